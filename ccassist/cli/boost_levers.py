"""``ccassist boost --levers``: what one step of each lever does to every figure, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.boost.figures import OCTANE
from ccassist.boost.levers import GENERAL, SHOWN, Effect
from ccassist.cli.screen import say, say_json, table, wrapped
from ccassist.findings import clean
from ccassist.plan.boost.answers import Levers, levers_of
from ccassist.results import survey_of
from ccassist.terms import Kind, term
from ccassist.units import conversion, shown_unit

_SHORT = {
    "static_ratio": "static",
    "trapped_ratio": "trapped",
    "squish": "squish",
    "end_pressure": "end p",
    "end_temperature": "end t",
    "pressure_equivalent": "p-equiv",
    OCTANE: "octane",
}
_PLACES = {"mm": 2, "in": 4, "thou": 1, "bar": 2, "psi": 1, "K": 1, "°F": 1, "": 3}


def run(file: Path, *, system: str | None, as_json: bool) -> int:
    """Print what each lever does to the cylinder whose ratio may be the highest."""
    survey = survey_of(file)
    shown = system or survey.job.system
    made = levers_of(survey, shown)
    if as_json:
        say_json(made.to_dict())
        return 0
    story, found = made.story, made.effects
    say(clean(story.survey.job.name or story.survey.job.file, 79))
    wrapped(
        f"What one step of each lever does to cylinder {story.worst} as it is today, {story.lift_basis}; worked "
        "through the whole chain, all else as it is:"
    )
    _print_table(made, shown)
    say()
    _print_prices(found)
    for text in GENERAL:
        wrapped(text, first="- ", rest="  ")
    say()
    for caution in made.cautions:
        wrapped(caution, first="  ! ", rest="    ")
    return 0


def _print_table(made: Levers, system: str) -> None:
    found = made.effects
    keys = [key for key in SHOWN if any(key in effect.changes for effect in found)]
    rows = [[effect.lever.name, *_cells(effect, keys, system)] for effect in found if not effect.reason]
    say()
    table(["", *(_SHORT[key] for key in keys)], rows)
    units = [f"{_SHORT[key]} {unit}" for key in keys if (unit := _unit(key, system))]
    wrapped(f"In {', '.join(units)}; p-equiv is the end-pressure equivalent.", rest="  ")
    if made.compared:
        wrapped(
            "octane is what is added to the difference from the baseline; the difference itself goes with an interval "
            "of some octane, see ccassist boost without --levers.",
            rest="  ",
        )
    else:
        wrapped("No octane is shown: there is no baseline, or the comparison with it is refused.", rest="  ")
    for effect in found:
        if effect.reason:
            wrapped(f"{effect.lever.name}: not worked out, {effect.reason}.", rest="  ")


def _cells(effect: Effect, keys: Sequence[str], system: str) -> list[str]:
    return [_change(key, effect.changes[key], system) if key in effect.changes else "-" for key in keys]


def _unit(key: str, system: str) -> str:
    """The unit of a change; a change of temperature is in kelvin, or in degrees Fahrenheit."""
    if term(key).kind is Kind.TEMPERATURE:
        return "°F" if system == "imperial" else "K"
    return shown_unit(term(key), system)


def _change(key: str, change: float, system: str) -> str:
    unit = _unit(key, system)
    shown = change / (conversion(unit).scale if unit else 1.0)
    text = f"{shown:+.{2 if key == OCTANE else _PLACES.get(unit, 2)}f}"
    return "0" if float(text) == 0 else text.replace("-", "−")


def _print_prices(found: Sequence[Effect]) -> None:
    for effect in found:
        wrapped(f"{effect.lever.name}: {'; '.join(effect.lever.trade_offs)}.", rest="  ")
    say()
