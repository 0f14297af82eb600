"""The events of a cam at another lift than its card has: where the valve, as its lift was read, passes that lift."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from ccassist.analysis.results import Survey
from ccassist.plan.valves.lift import MeasuredCurve, event_lift_at_valve, read_curve
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import root

PRINTED = (0.001, 0.00127)  # m: 1 mm and 0.050 in, the lifts at which most cards are printed (common practice)
# Valve, whether it opens there, and the event's own counting: factor and bottom or top dead centre it counts from.
_EVENTS = {
    "intake_opening": ("intake", True, -1, 0.0),
    "intake_closing": ("intake", False, 1, math.pi),
    "exhaust_opening": ("exhaust", True, -1, -math.pi),
    "exhaust_closing": ("exhaust", False, 1, 0.0),
}


def event_at(survey: Survey, key: str, lift: Number, zero: Number = 0.0) -> Value | None:
    """An event at a lift of the valve [m]; None where the lift was not read there.

    ``zero`` : doubt of the degree wheel's zero [rad].
    """
    valve, opens, way, centre = _EVENTS[key]
    curve = read_curve(survey, valve, zero)
    angle = None if curve is None else _passes(curve, lift, opens)
    return None if angle is None else computed(key, way * (angle - centre), "from the lift as read")


def turned(survey: Survey, event: Value, lift: Value, other: Value) -> Value | None:
    """An event read at one lift as it is at another, by the lift as read of this engine's valve; None without it."""
    valve = _EVENTS[event.key][0]
    ends = [event_lift_at_valve(survey, one, valve) for one in (other, lift)]
    there, here = (None if end is None else event_at(survey, event.key, end) for end in ends)
    if there is None or here is None:
        return None
    return computed(event.key, event.number + there.number - here.number, "turned to the lift of the card")


def others(survey: Survey, card: Value | None, zero: Number) -> Iterator[tuple[Value, float]]:
    """Each event at the lifts that cards are printed at, other than that of this card, with the lift [m]."""
    for lift in PRINTED:
        if card is None or not math.isclose(lift, card.nominal, abs_tol=1e-6):
            for key in _EVENTS:
                found = event_at(survey, key, lift, zero)
                if found is not None:
                    yield found, lift


def _passes(curve: MeasuredCurve, lift: Number, opens: bool) -> Number | None:
    """The crank angle [rad] at which it passes a lift on that flank; None where it was not read there."""
    wanted = nominal(lift)
    x, y = curve.readings.x, curve.readings.y
    for (low, below), (high, above) in pairwise(zip(x, y, strict=True)):
        if (below <= wanted < above) if opens else (below > wanted >= above):
            at = root(lambda angle: curve.at(angle) - wanted, low, high)
            slope = curve.readings.slope(at)
            return at + (lift - curve.number(at)) / slope if slope else None
    return None
