"""The pictures of a boosted engine: boost by static ratio as maps, and trapped ratio against intake closing."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.boost.cautions import beside
from ccassist.plan.boost.field import BoostField, Mark, boost_field
from ccassist.plan.boost.story import BoostStory
from ccassist.report.blocks import Block, Figure, Heading, Text, items
from ccassist.report.boost_told import interval_text
from ccassist.report.curves import ClosingCurve
from ccassist.report.maps import OCTANE, maps_scene, panels
from ccassist.values.display import Formatter
from ccassist.values.verdict import band_text
from ccassist.vocabulary import term

_DOT = "The dot is the closing as it is stated; the bar through it is its ±."


def boost_pictures(story: BoostStory, fmt: Formatter, width: float) -> Iterator[Block]:
    """The curve, which fits below the answer, and the maps, as far as there are; ``width`` : of the page, mm."""
    if story.curve:
        yield Heading(f"Trapped ratio of cylinder {story.worst} against intake closing, {story.lift_basis}", 2)
        yield Figure(ClosingCurve(story=story, fmt=fmt, width=width).scene(), _DOT)
    yield from _maps(story, fmt, width)


def _maps(story: BoostStory, fmt: Formatter, width: float) -> Iterator[Block]:
    found = boost_field(story)
    if found is None or story.conditions is None:
        return
    legend = _legend(story, found, fmt)
    shown = panels(found, story.survey.wanted.get("static_ratio"), fmt, width)
    yield Heading("Boost by static ratio")
    air = fmt.value(story.conditions.values["barometer"])
    yield Text(
        f"Cylinder {story.worst}: every point is this crank, cam, charge and burn as stated and assumed, with boost "
        f"and static ratio changed and nothing else; boost is gauge, above a barometer of {air}. Planning figures "
        "without their ±, for choosing which way to go."
    )
    yield Figure(maps_scene(shown, legend, width))
    yield from items(() if len(shown) % 2 else legend)
    for figures in ("compression", "knock"):
        if figures != "knock" or found.map.octane_difference is not None:
            yield from items(beside(figures))


def _legend(story: BoostStory, found: BoostField, fmt: Formatter) -> list[str]:
    """What the marks and lines are."""
    lines = [f"Filled dot: this engine, {_at(found.own, fmt)}."]
    if found.baseline is not None:
        lines.append(
            f"Open diamond: the baseline, {_at(found.baseline, fmt)}. Where it is run otherwise than this engine, "
            "the lines at its mark are those of this engine there, not its own."
        )
    band = story.survey.wanted.get("static_ratio")
    if band is not None:
        lines.append(f"Hatched strip: static ratio wanted, {band_text(band, fmt)}.")
    knock = story.knock
    if found.map.octane_difference is None or knock is None:
        return [*lines, "No map of knock: it is only shown against a baseline."]
    return [
        *lines,
        f"{term(OCTANE).name.capitalize()}: + asks more of the fuel than the baseline does, − less; the heavy line is "
        "as hard as the baseline; dashed, where what the delay formula holds for ends. At this engine's mark the "
        f"interval for 95 in 100 is {interval_text(knock)}, and the other points are no better known.",
    ]


def _at(mark: Mark, fmt: Formatter) -> str:
    return f"{fmt.show('boost_gauge', mark.boost)} gauge, static ratio {fmt.show('static_ratio', mark.ratio)}"
