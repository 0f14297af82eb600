"""What each lever does, in words and as rows, on the screen and on paper alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ccassist.boost.figures import OCTANE
from ccassist.boost.levers import SHOWN, Effect
from ccassist.plan.boost.answers import Levers
from ccassist.values.units import conversion, shown_unit
from ccassist.vocabulary import Kind, term

SHORT = {
    "static_ratio": "static",
    "trapped_ratio": "trapped",
    "squish": "squish",
    "end_pressure": "end p",
    "end_temperature": "end t",
    "pressure_equivalent": "p-equiv",
    OCTANE: "octane",
}
_PLACES = {"mm": 2, "in": 4, "thou": 1, "bar": 2, "psi": 1, "K": 1, "°F": 1, "": 3}
_OCTANE = (
    "octane is what is added to the difference from the baseline; the difference itself goes with an interval of some "
    "octane, see ccassist boost without --levers."
)
ONE_FUEL = (
    "Engine and baseline are compared on one fuel, the baseline's: a better one is counted against the difference, and "
    "octane_number in the file is that of both."
)
_NO_OCTANE = "No octane is shown: there is no baseline, or the comparison with it is refused."


def lead_text(made: Levers) -> str:
    """Of what, and how worked out."""
    return (
        f"What one step of each lever does to cylinder {made.story.worst} as it is today, {made.story.lift_basis}; "
        "worked through the whole chain, all else as it is:"
    )


def shown_keys(made: Levers) -> list[str]:
    """The figures that there are."""
    return [key for key in SHOWN if any(key in effect.changes for effect in made.effects)]


def rows(made: Levers, system: str) -> list[list[str]]:
    """Every lever that can be moved, with the change of each figure."""
    keys = shown_keys(made)
    return [[effect.lever.name, *_cells(effect, keys, system)] for effect in made.effects if not effect.reason]


def notes(made: Levers, system: str | None = None) -> list[str]:
    """What stands below the table: of octane, and of what could not be worked out."""
    lacking = [f"{e.lever.name}: not worked out, {e.reason}." for e in made.effects if e.reason]
    octane = [_OCTANE, ONE_FUEL] if made.compared else [_NO_OCTANE]
    return [*octane, *held_texts(made, system or made.story.survey.job.system), *lacking]


def held_texts(made: Levers, system: str) -> list[str]:
    """What must be written out so that the baseline stays as it is while a step is put into the file."""
    if not made.held:
        return []
    lead = "The baseline is held as it is. Before a step is put into the file, write what it takes from this engine: "
    return [lead + "; ".join(replace(line, why="").text(system) for line in made.held) + "."]


def units_text(keys: Sequence[str], system: str) -> str:
    """The units of the columns by their short names."""
    units = [f"{SHORT[key]} {unit}" for key in keys if (unit := unit_of(key, system))]
    return f"In {', '.join(units)}; p-equiv is the end-pressure equivalent."


def price_text(effect: Effect) -> str:
    """What a lever costs."""
    return f"{effect.lever.name}: {'; '.join(effect.lever.trade_offs)}."


def unit_of(key: str, system: str) -> str:
    """The unit of a change; a change of temperature is in kelvin, or in degrees Fahrenheit."""
    if term(key).kind is Kind.TEMPERATURE:
        return "°F" if system == "imperial" else "K"
    return shown_unit(term(key), system)


def _cells(effect: Effect, keys: Sequence[str], system: str) -> list[str]:
    return [_change(key, effect.changes[key], system) if key in effect.changes else "-" for key in keys]


def _change(key: str, change: float, system: str) -> str:
    unit = unit_of(key, system)
    shown = change / (conversion(unit).scale if unit else 1.0)
    text = f"{shown:+.{2 if key == OCTANE else _PLACES.get(unit, 2)}f}"
    return "0" if float(text) == 0 else text.replace("-", "−")
