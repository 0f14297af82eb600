"""The flat cut that brings one cylinder to a target, through the whole engine."""

from __future__ import annotations

from collections.abc import Callable

from ccassist.analysis.cylinder import Cylinder
from ccassist.plan.machining.opening import Opening
from ccassist.values.band import Band
from ccassist.values.display import show
from ccassist.values.findings import InputError, NotPossible, error
from ccassist.values.measured import Number, nominal
from ccassist.vocabulary import term

_HALVINGS = 60
_NEARLY_ALL = 0.95  # of the chamber: farther than any cut goes
_PART = 1e-3  # of the cut, for the slope


def cut_to_reach(band: Band, after: Callable[[Number], Cylinder], *, opening: Opening, chamber: float | None) -> Number:
    """The flat cut [m] that brings a term to its aim, with the ± of what it is reckoned from.

    ``after(cut)`` is the cylinder after a cut [m]; ``chamber`` its volume before [m³].

    Raises
    ------
    InputError : the term does not move with a cut of the head; NotPossible : no cut reaches the aim.
    """
    place = f"cylinder {opening.cylinder}"
    start = _plain(band.key, after(0.0), place)
    most = opening.deepest(_NEARLY_ALL * chamber) if chamber else opening.reach
    end = _plain(band.key, after(most), place)
    if start == end:
        wrong = f"a cut of the head does not move the {term(band.key).name}"
        raise InputError(error("unmoved", wrong, right="chamber_volume, clearance_volume or static_ratio"))
    if (band.aim - start) * (end - start) < 0:
        raise NotPossible(f"{place}: {_said(band.key, start, opening)} is past {_aim(band, opening)} before any cut")
    if (band.aim - start) * (end - band.aim) < 0:
        raise NotPossible(
            f"{place}: {_aim(band, opening)} is out of reach: {_said('face_cut', most, opening)}, the deepest cut that "
            f"can be reckoned, gives {_said(band.key, end, opening)}"
        )
    cut = _close_in(lambda x: (_plain(band.key, after(x), place) - band.aim) * (end - start), most)
    if cut == 0:
        return 0.0
    step = _PART * cut
    slope = (_plain(band.key, after(cut), place) - _plain(band.key, after(cut - step), place)) / step
    return cut - (after(cut).values[band.key].number - band.aim) / slope


def _plain(key: str, cylinder: Cylinder, place: str) -> float:
    value = cylinder.values.get(key)
    if value is None:
        lacking = ", ".join(term(k).name for k in cylinder.model.lacking.get(key, ()))
        wrong = f"the {term(key).name} cannot be worked out{f': not given: {lacking}' if lacking else ''}"
        raise InputError(error("missing-value", wrong, right="give it for the engine", place=place))
    return value.nominal


def _close_in(miss: Callable[[float], float], high: float) -> float:
    """The place between nothing and ``high`` at which a rising miss is nothing."""
    low = 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if miss(middle) < 0 else (low, middle)
    return (low + high) / 2


def _said(key: str, number: float, opening: Opening) -> str:
    shown = show(key, nominal(number), system=opening.system)
    return shown if key == "face_cut" else f"the {term(key).name} of {shown}"


def _aim(band: Band, opening: Opening) -> str:
    return show(band.key, band.aim, system=opening.system)
