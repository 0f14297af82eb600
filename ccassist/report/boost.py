"""The report of a boosted engine: static, dynamic and effective ratio as built, and against the baseline.

"Dynamic" is said of the trapped ratio alone, "effective" of the ratio that an
unboosted engine would need for the same of one thing, which stands with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ccassist.boost.cautions import CAUTIONS, beside
from ccassist.boost.equivalents import PRESSURE
from ccassist.boost.solve_boost import RATIO
from ccassist.plan.boost.build import SPEEDS, EquivalentLine, Knock
from ccassist.plan.boost.field import BoostField, Mark, boost_field
from ccassist.plan.boost.stated import NEEDED
from ccassist.plan.boost.story import BoostStory
from ccassist.plan.boost.ways import CROWN, WayPlace, ways
from ccassist.report.blocks import MARKS, Block, Figure, Heading, Report, Table, Text, items
from ccassist.report.boost_support import boost_support, figure_text, known_text, part_text, unknown_text
from ccassist.report.boost_told import Boost, interval_text, octane_text, verdict
from ccassist.report.curves import ClosingCurve
from ccassist.report.data import rows_merged
from ccassist.report.findings import finding_text
from ccassist.report.maps import OCTANE, maps_scene, panels
from ccassist.values.display import Formatter
from ccassist.values.findings import clean, errors
from ccassist.values.measured import Value
from ccassist.values.verdict import band_text
from ccassist.vocabulary import Kind, term

NO_CHARGE = "No [charge] is given: add one with boost_gauge, or with manifold_pressure if it is absolute."
MOST_UNKNOWNS = 2  # in the answer
_NAMES = ("static ratio", "dynamic (trapped) ratio", "effective ratio (unboosted, same end pressure)")
_SHORT = {CROWN: "crown", "boost_gauge": "boost", "intake_closing": "closing", "charge_temperature": "charge"} | {
    "burn_phasing": "burn phasing", "octane_number": "octane number"
}  # fmt: skip


def boost_report(
    story: BoostStory, told: Boost, fmt: Formatter, *, pictures: float | None = None, everything: bool = True
) -> Report:
    """The answer first: ratios as built, against the baseline, what would make it equal, and what is least known.

    ``pictures`` : the width of the page, mm, for maps and curve before all that supports the answer; None for none.
    ``everything`` : with what supports the answer, which takes its time to make.
    """
    job = story.survey.job
    wrong = errors(story.findings)
    more = f" And {len(wrong) - 1} more." if len(wrong) > 1 else ""
    return Report(
        title="Static, dynamic and boosted",
        subject="Planning figures of a boosted engine, each named by its meaning",
        answer=(
            Text(clean(job.name or job.file, 79), spare=True),
            *(Text(f"{one.text()}{more}", MARKS[one.level]) for one in wrong[:1]),
            *_headline(story, told, fmt),
            *_as_built(story, told, fmt),
            *_ways(told, fmt, long=bool(wrong)),
            *_closing(told, fmt),
            *_least_known(told),
            *_into(story, fmt),
            Text(CAUTIONS["proof"]),
        ),
        support=(
            *(() if pictures is None else boost_pictures(story, fmt, pictures)),
            *(boost_support(story, told, fmt) if everything else ()),
        ),
        more=not everything,
    )


def _headline(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Against the baseline with interval and verdict; or what is lacking for it, and where it is said."""
    lacking = dict.fromkeys(key for one in told.cylinders for key in one.not_given)
    if lacking:
        names = ", ".join(term(key).name for key in lacking)
        how = "" if "intake_closing" not in lacking else (
            "; degree it, or take it from the cam card, with the lift at which it was read, under [cam]"
        )  # fmt: skip
        yield Text(f"Not given: {names}{how}.", strong=True)
        if set(lacking) == {RATIO} and story.conditions is not None:
            asked = "octane_difference=0" if story.baseline_running is not None else "trapped_ratio=7"
            yield Text(f"Which ratio it needs, before head and pistons: boost FILE --for static_ratio --to {asked}.")
    if story.running is None:
        yield Text(NO_CHARGE)
    elif story.knock is not None and story.knock.difference is None:
        first = story.knock.refused[0] if story.knock.refused else None
        yield Text(f"Not compared with a baseline: {finding_text(first).words}." if first else "Knock is not compared.")
    elif story.knock is not None and story.knock.difference is not None:
        doubted = closing_contradicted(story)
        if doubted:
            yield Text("First put the cam card right: figures known as well deny the closing.", strong=True)
        who = f"{'With it as stated, cylinder' if doubted else 'Cylinder'} {story.worst}"
        yield Text(difference_text(story.knock, who), strong=not doubted)
        yield from _taken(story, fmt)


def closing_contradicted(story: BoostStory) -> bool:
    """Whether the closing is denied by figures of the card that are known no worse: then none of them is the right one.

    One that is better known than what contradicts it, such as measured against printed, stands.
    """
    closing, stated = story.card.intake_closing, story.survey.stated.get("cam", {})
    denied = [stated[key] for one in errors(story.card.findings) if (key := one.place.removeprefix("cam.")) in stated]
    return closing is not None and any(
        one.key.startswith("intake_") and one.origin == closing.origin and one.key != closing.key for one in denied
    )


def _taken(story: BoostStory, fmt: Formatter) -> Iterator[Block]:
    """What of the run is not stated and taken instead; without a speed, what it is over a range of them."""
    assert story.running is not None
    assert story.knock is not None
    taken = [story.running.run[key] for key in NEEDED if key not in story.running.stated and key != "engine_speed"]
    told = [f"{_SHORT[one.key]} {fmt.value(one)} ({one.how.removeprefix('not stated: ')})" for one in taken]
    if by_speed := story.knock.by_speed:
        low, high = (
            f"{octane_text(more)} at {fmt.show('engine_speed', at)}" for more, at in zip(by_speed, SPEEDS, strict=True)
        )
        told.insert(0, f"any speed ({low}, {high})")
    if told:
        yield Text(f"Taken: {'; '.join(told)}.")


def difference_text(knock: Knock, who: str) -> str:
    """The octane difference with its interval and verdict."""
    assert knock.difference is not None
    octane = knock.difference.octane
    return (
        f"{who} asks {octane_text(octane)} octane of the fuel than the baseline: {verdict(knock)} "
        f"({interval_text(knock)} in 95 of 100, by what is assumed)."
    )


def _as_built(story: BoostStory, told: Boost, fmt: Formatter) -> Iterator[Block]:
    """Static, dynamic and effective ratio: of the cylinder with the highest beside the baseline, or of every one."""
    worst = next((one for one in told.cylinders if one.cylinder == story.worst), None)
    if worst is None or told.fuel is None:
        yield _every(told, fmt)
    else:
        columns = [_ratios(worst.values, worst.equivalents, fmt)]
        if told.baseline is not None:
            columns.append(_ratios(told.baseline.values, told.baseline.equivalents, fmt))
        yield Table(
            head=("as built", f"cylinder {worst.cylinder}", *(["baseline"] if told.baseline else [])),
            rows=tuple(zip(_NAMES, *columns, strict=True)),
            names=(0,),
        )


def _ratios(values: Mapping[str, Value], equivalents: Sequence[EquivalentLine], fmt: Formatter) -> list[str]:
    effective = next((figure_text(one, fmt) for one in equivalents if one.convention is PRESSURE), "none")
    return [*(fmt.value(values[key]) for key in ("static_ratio", "trapped_ratio")), effective]


def _every(told: Boost, fmt: Formatter) -> Table:
    """Static and dynamic ratio of every cylinder; equal ones share a row."""
    return Table(
        head=("cyl", *_NAMES[:2]),
        rows=rows_merged(
            (one.cylinder, [known_text(value, fmt) for value in (one.static_ratio, one.values.get("trapped_ratio"))])
            for one in told.cylinders
        ),
        long=True,
    )


def _ways(told: Boost, fmt: Formatter, *, long: bool) -> Iterator[Block]:
    """What alone would make it as hard as the baseline; ``long`` : cut where what is wrong needs the room."""
    if told.ways:
        yield Table(
            head=("as hard", "now", "at even odds", "no harder in 95 of 100"),
            rows=tuple(
                (
                    f"by {_SHORT[one.term]}",
                    _place_text(one.term, one.now, fmt),
                    _place_text(one.term, one.even_odds, fmt),
                    _place_text(one.term, one.sure, fmt, one.beyond),
                )
                for one in told.ways
            ),
            names=(0, 3),
            long=long,
        )


def _place_text(key: str, place: WayPlace | None, fmt: Formatter, beyond: str = "") -> str:
    """Where a way leads, in short; the crown as so much dish or dome, with the ratio then."""
    if place is None:
        return "cannot be"
    if key != CROWN:
        decimals = 0 if term(key).kind in (Kind.ANGLE, Kind.TEMPERATURE) else None
        return f"{fmt.show(key, place.value, decimals=decimals)} {beyond}".rstrip()
    kind, more = ("dish", "or more") if place.value >= 0 else ("dome", "or less")
    ratio = "" if place.static_ratio is None else f" ({fmt.show('static_ratio', place.static_ratio)})"
    amount = fmt.amount(key, abs(place.value), decimals=1)
    return f"{amount} {fmt.unit(key)} {kind}{ratio} {more if beyond else ''}".rstrip()


def _closing(told: Boost, fmt: Formatter) -> Iterator[Block]:
    if told.intake_closing is not None:
        at = f"; {told.cam_position}" if told.cam_position else ""
        yield Text(f"Dynamic from closing {fmt.value(told.intake_closing)}, {told.lift_basis}{at}.")


def _least_known(told: Boost) -> Iterator[Block]:
    """The largest unknowns of the difference, or of the end pressure, and what would shrink them."""
    if told.knock is not None and told.knock.unknowns:
        parts = [unknown_text(one) for one in told.knock.unknowns[:MOST_UNKNOWNS]]
        yield Text(f"Least known: {'; '.join(parts)}.")
    elif told.budgets.get("end_pressure"):
        parts = [part_text(one) for one in told.budgets["end_pressure"][:MOST_UNKNOWNS]]
        yield Text(f"Least known of the end pressure: {'; '.join(parts)}.")


def _into(story: BoostStory, fmt: Formatter) -> Iterator[Block]:
    """The lines for the first way that can be, at even odds."""
    for one in ways(story, fmt):
        if one.into is not None and not one.into.refused:
            lines = "; ".join(line.text(fmt) for line in one.into.lines)
            first = ", its readings set aside (--all)" if one.into.aside else ""
            yield Text("", typed=f"For even odds{first}: {lines}.", spare=bool(errors(story.findings)))
            return


# The pictures of a boosted engine: boost by static ratio as maps, and trapped ratio against intake closing.

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
