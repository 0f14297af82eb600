"""Which tolerance must be asked of each held term, so that a target never leaves a wanted band."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from ccassist.plan.tolerance.expected import Stand, held_to, worst_case
from ccassist.plan.tolerance.worst import Span, parts_of
from ccassist.values.band import Band
from ccassist.values.display import show
from ccassist.values.measured import Number, nominal
from ccassist.vocabulary import term

_TRIES = 40
_HAIR = 1e-9  # of the room: what rounding may make of a corner that lies just on the band's end


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What must be asked of the maker for one cylinder.

    Attributes
    ----------
    room : from the nominal to the nearer end of the band, SI.
    measured : how far all else that is in doubt moves it at its worst, toward that end, SI.
    alone : term -> half-width with which the band is kept at its worst where that term alone is in doubt besides, SI.
    shared : term -> half-width where all held terms take equal parts of what is left, SI.
    reason : why nothing can be asked, in words; "" where something can.
    """

    room: float
    measured: float
    alone: Mapping[str, float]
    shared: Mapping[str, float]
    reason: str = ""


def asked_of_the_maker(
    stood: Stand, band: Band, *, stated: Mapping[str, float] | None = None, system: str = "metric"
) -> Asked:
    """The limits to ask of each held term for a band of the target: with every limit reached at once it is kept.

    Parameters
    ----------
    stood : the cylinder with the terms to be held put in; how close they are held now does not matter.
    band : what is wanted of the target, SI.
    stated : held term -> half-width that it has already, SI; what it takes of the band the others do not get.
    system : "metric" or "imperial", for the words.
    """
    fast = dict(stated or {})
    bare = held_to(stood, {**dict.fromkeys(stood.limits, 0.0), **fast})
    value, span = nominal(bare.number), worst_case(bare)
    room, left = min(value - band.low, band.high - value), _left(span, band)
    reason = _refusal(bare, value, room, left, system)
    if reason:
        return Asked(room=room, measured=room - left, alone={}, shared={}, reason=reason)
    slopes = {
        key: abs(float(bare.number.derivatives.get(effect, 0.0)))
        for key, effect in bare.limits.items()
        if key not in fast
    }
    limits = {key: left / slope if slope > 0 else math.inf for key, slope in slopes.items()}
    shares = {key: limit / len(limits) for key, limit in limits.items()}
    alone = {key: _kept(bare, {key: limit}, fast, band)[key] for key, limit in limits.items()}
    return Asked(room=room, measured=room - left, alone=alone, shared=_kept(bare, shares, fast, band))


def _left(span: Span, band: Band) -> float:
    """What a span leaves of a band at its narrower side, SI; NaN where the span is not known."""
    return math.nan if math.isnan(span.low) else min(span.low - band.low, band.high - span.high)


def _kept(stood: Stand, limits: Mapping[str, float], fast: Mapping[str, float], band: Band) -> dict[str, float]:
    """Limits found in a straight line, drawn in until every corner of them and of the fast ones lies in the band."""
    finite = {key: limit for key, limit in limits.items() if math.isfinite(limit)}
    room = min(nominal(stood.number) - band.low, band.high - nominal(stood.number))
    factor = 1.0
    for _ in range(_TRIES):
        drawn_in = {key: factor * size for key, size in finite.items()}
        left = _left(worst_case(held_to(stood, {**fast, **drawn_in})), band)
        if left >= -_HAIR * room or not finite:
            break
        factor *= 0.5 if math.isnan(left) else max(0.5, 1 + 2 * left / room)
    return {**limits, **{key: factor * size for key, size in finite.items()}}


def _refusal(bare: Stand, value: float, room: float, left: float, system: str) -> str:
    """Why nothing can be asked; what takes the room is named by its largest part."""
    target = bare.target
    name, shown = term(target).name, show(target, value, None, system=system)
    if room <= 0:
        return f"the {name} stands at {shown}, outside the band: solve for a term that brings it to the middle first"
    if math.isnan(left):
        return f"the measurement's own ± of the {name} is not known yet: take repeat readings first"
    if left > _HAIR * room:
        return ""
    eaten, end = (show(target, size, None, system=system, words=False, decimals=3) for size in (room - left, room))
    return (
        f"what is in doubt already takes the band: at its worst it moves the {name} by {eaten}, and from {shown} there "
        f"is only {end} to the nearer end; {_largest(bare.number, target, system)}"
    )


def _largest(number: Number, target: str, system: str) -> str:
    """The cause that takes most of the room, how much, and what to do about it."""
    part = parts_of(number)[0]
    size = show(target, part.size, None, system=system, words=False, decimals=3)
    remedy = part.cause.remedy or "measure or hold it closer"
    return f"the largest part, {size}, is the {part.cause.name}: {remedy}, or want a wider band"
