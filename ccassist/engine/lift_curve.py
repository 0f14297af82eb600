"""Valve lift against crank angle: through readings, without overshoot, or assumed where there are none.

Plain floats, angles [rad] and lifts [m].  Beyond the first and the last
reading nothing is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from ccassist.engine.mathematics import FLOATS, Mathematics
from ccassist.values.number import N
from ccassist.values.numerics import Curve

FULLNESS = 1.5  # exponent of the assumed curve; common practice, no source: fuller near the seat than most lobes


@dataclass(frozen=True, kw_only=True)
class Readings:
    """Lift through readings, by the curve of :class:`ccassist.values.numerics.Curve`.

    Angles [rad] rise, there are at least two.
    """

    angles: tuple[float, ...]
    lifts: tuple[float, ...]

    @cached_property
    def curve(self) -> Curve[float]:
        """Lift [m] against angle [rad]."""
        return Curve(self.angles, self.lifts)

    @property
    def low(self) -> float:
        """The first angle read [rad]."""
        return self.angles[0]

    @property
    def high(self) -> float:
        """The last angle read [rad]."""
        return self.angles[-1]

    def place(self, angle: float) -> tuple[int, float]:
        """The reading before an angle [rad], and how far it lies toward the next (0 … 1)."""
        index = self.curve.interval(angle)
        return index, (angle - self.angles[index]) / (self.angles[index + 1] - self.angles[index])

    def at(self, angle: float) -> float:
        """Lift [m] at an angle [rad] between the first and the last reading."""
        return float(self.curve.value(angle))

    def slope(self, angle: float) -> float:
        """Lift per angle [m/rad] at an angle between the first and the last reading."""
        return float(self.curve.slope(angle))


def through(angles: Sequence[float], lifts: Sequence[float]) -> Readings:
    """The curve through readings.

    Raises
    ------
    ValueError : fewer than two readings, or angles that do not rise.

    >>> through((0.0, 1.0, 2.0), (0.0, 0.0, 1.0)).at(0.5)
    0.0
    """
    if len(angles) < 2 or len(angles) != len(lifts) or any(after <= before for before, after in pairwise(angles)):
        raise ValueError("a curve needs two readings or more, at angles that rise")
    return Readings(angles=tuple(angles), lifts=tuple(lifts))


def assumed_half(half_duration: N, event_lift: N, most: N, *, m: Mathematics = FLOATS) -> N:
    """Half the width of the assumed curve at the seat, from half the duration at a lift [rad].

    Half duration [rad], lift of the events at the valve [m], largest lift [m] -> [rad].  Source: the assumed
    curve turned round.
    """
    return half_duration / m.sqrt(1 - (event_lift / most) ** (1 / FULLNESS))


def assumed_lift(angle: N, centre: N, half: N, most: N) -> N:
    """An assumed smooth lift, for planning only: most × (1 − ((θ − centre) ÷ half)²)^1.5 inside the width.

    Angle, centre and half width [rad], largest lift [m] -> [m].  Source: an
    assumption, not a lobe: nobody's cam is exactly so.

    >>> round(assumed_lift(0.0, 0.0, 2.0, 0.010), 6)
    0.01
    """
    return most * (1 - ((angle - centre) / half) ** 2) ** FULLNESS
