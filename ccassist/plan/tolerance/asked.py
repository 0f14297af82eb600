"""Which tolerance must be asked of each held term, so that a target stays within a wanted band."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from ccassist.band import Band
from ccassist.display import show
from ccassist.engine.mathematics import uncertain
from ccassist.measured import SHAPES, Cause, Number, doubt, expand, nominal
from ccassist.plan.tolerance.expected import Stand
from ccassist.terms import term

_HALVINGS = 45


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What must be asked of the maker for one cylinder.

    Attributes
    ----------
    room : from the nominal to the nearer end of the band, SI.
    measured : the ± (95 %) that the measurement alone makes, SI.
    alone : term -> half-width that fills the room where that term alone is in doubt besides the measurement, SI.
    shared : term -> half-width where all held terms take equal parts of the variance, SI.
    reason : why nothing can be asked, in words; "" where something can.
    """

    room: float
    measured: float
    alone: Mapping[str, float]
    shared: Mapping[str, float]
    reason: str = ""


def asked_of_the_maker(stood: Stand, band: Band, *, system: str = "metric") -> Asked:
    """The limits to ask of each held term for a band of the target (95 %, linear).

    Parameters
    ----------
    stood : the cylinder with the terms to be held put in; how close they are held now does not matter.
    band : what is wanted of the target, SI.
    system : "metric" or "imperial", for the words.
    """
    exact = {**stood.known, **{key: nominal(stood.known[key]) for key in stood.limits}}
    rest = stood.model.evaluate(exact, uncertain())[stood.target]
    value, measured = nominal(rest), expand(rest).expanded
    room = min(value - band.low, band.high - value)
    reason = _refusal(stood.target, value, room, measured, system)
    if reason:
        return Asked(room=room, measured=measured, alone={}, shared={}, reason=reason)
    leaning = {key: abs(float(stood.number.derivatives[effect])) for key, effect in stood.limits.items()}
    to_limit = {key: SHAPES["rectangular"] / slope if slope > 0 else math.inf for key, slope in leaning.items()}
    alone = {key: _largest(rest, 1, room) * by for key, by in to_limit.items()}
    part = _largest(rest, len(to_limit), room)
    return Asked(room=room, measured=measured, alone=alone, shared={key: part * by for key, by in to_limit.items()})


def _refusal(target: str, value: float, room: float, measured: float, system: str) -> str:
    name = term(target).name
    shown = show(target, value, None, system=system)
    if room <= 0:
        return f"the {name} stands at {shown}, outside the band: solve for a term that brings it to the middle first"
    if math.isnan(measured):
        return f"the measurement's own ± of the {name} is not known yet: take repeat readings first"
    if measured >= room:
        eaten, left = (show(target, size, None, system=system, words=False, decimals=3) for size in (measured, room))
        return (
            f"the measurement alone already eats the band: it makes ± {eaten}, and from {shown} there is only {left} "
            "to the nearer end; measure closer first, or aim for the middle"
        )
    return ""


def _largest(rest: Number, many: int, room: float) -> float:
    """The largest standard contribution (SI of the target) that each of so many limits may make within the room."""
    causes = [Cause(name="limit", shape="rectangular") for _ in range(many)]
    low, high = 0.0, room
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        number = rest + sum(doubt(middle, cause) for cause in causes)
        low, high = (middle, high) if expand(number).expanded <= room else (low, middle)
    return low
