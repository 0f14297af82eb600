"""The figures of a boosted engine that a builder can aim at, each from one engine as it stands.

Each has a *lack*: what it misses of a value, nothing where it is met.  For an
equivalent the lack is taken between the boosted engine and the naturally
aspirated one of that ratio, so that no root has to be found within a root.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ccassist.boost.charge import pressure_ratio
from ccassist.boost.equivalents import CRITERIA, ROOT, equal_ratio, root_habit
from ccassist.boost.knock_compare import octane_difference
from ccassist.boost.numbers import plain
from ccassist.boost.stand import Stand

OCTANE = "octane_difference"


def _root(stand: Stand) -> Any:
    return root_habit(stand.geometry.static_ratio, pressure_ratio(stand.conditions["manifold_pressure"]))


_DIRECT: Mapping[str, Callable[[Stand], Any]] = {
    "static_ratio": lambda stand: stand.geometry.static_ratio,
    "trapped_ratio": lambda stand: stand.geometry.trapped_ratio,
    "end_pressure": lambda stand: stand.compressed.end.pressure,
    "end_temperature": lambda stand: stand.compressed.end.temperature,
    ROOT.key: _root,
}
FIGURES = (*_DIRECT, *CRITERIA, OCTANE)


def figure(key: str, stand: Stand, baseline: Stand | None = None) -> Any:
    """One figure of an engine, SI; floats give floats, and uncertain numbers stay linked to their inputs.

    Parameters
    ----------
    key : one of FIGURES.
    baseline : known to run clean; only the octane difference needs it, and is always plain.

    Raises
    ------
    NotPossible : no naturally aspirated engine matches an equivalent.
    ValueError : no baseline, or it is not known how an engine is run, or its numbers are no engine.
    """
    if key in _DIRECT:
        return _DIRECT[key](stand)
    if key in CRITERIA:
        sure = stand.plain()
        return equal_ratio(
            lambda ratio: CRITERIA[key](stand.natural(ratio).compressed),
            CRITERIA[key](stand.compressed),
            sure=lambda ratio: float(CRITERIA[key](sure.natural(ratio).compressed)),
        )
    if baseline is None:
        raise ValueError("an octane difference needs a baseline")
    return octane_difference(baseline.case, stand.case)


def lack(key: str, stand: Stand, value: Any, baseline: Stand | None = None) -> Any:
    """What a figure misses of a value; nothing where the engine meets it.  In the unit of what is held equal."""
    if key in CRITERIA:
        return CRITERIA[key](stand.compressed) - CRITERIA[key](stand.natural(value).compressed)
    return figure(key, stand, baseline) - value


def lack_plain(key: str, stand: Stand, value: float, baseline: Stand | None = None) -> float:
    """The same on plain numbers."""
    return float(plain(lack(key, stand.plain(), value, baseline)))
