"""Valve lift against crank angle: through readings, without overshoot, or assumed where there are none.

Plain floats, angles [rad] and lifts [m].  Between readings a cubic is laid
that rises where they rise and falls where they fall; beyond the first and the
last reading nothing is said.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from ccassist.engine.mathematics import FLOATS, Mathematics

FULLNESS = 1.5  # exponent of the assumed curve; common practice, no source: fuller near the seat than most lobes


@dataclass(frozen=True, kw_only=True)
class Readings:
    """Lift through readings: monotone piecewise cubic Hermite interpolation.

    Angles rise; there are at least two.  Slopes at the readings are the
    weighted harmonic means of the slopes beside them, nothing where these
    differ in sign.  Source: Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5
    (1984) 300 (from memory; checked against SciPy).
    """

    angles: tuple[float, ...]
    lifts: tuple[float, ...]
    slopes: tuple[float, ...]

    @property
    def low(self) -> float:
        """The first angle read."""
        return self.angles[0]

    @property
    def high(self) -> float:
        """The last angle read."""
        return self.angles[-1]

    def place(self, angle: float) -> tuple[int, float]:
        """The reading before an angle, and how far it lies toward the next (0 … 1)."""
        index = min(max(bisect_right(self.angles, angle) - 1, 0), len(self.angles) - 2)
        return index, (angle - self.angles[index]) / (self.angles[index + 1] - self.angles[index])

    def at(self, angle: float) -> float:
        """Lift at an angle between the first and the last reading."""
        index, part = self.place(angle)
        step = self.angles[index + 1] - self.angles[index]
        first, last = self.lifts[index], self.lifts[index + 1]
        rise, run = step * self.slopes[index], step * self.slopes[index + 1]
        return (
            first * (1 + 2 * part) * (1 - part) ** 2
            + rise * part * (1 - part) ** 2
            + last * part**2 * (3 - 2 * part)
            + run * part**2 * (part - 1)
        )

    def slope(self, angle: float) -> float:
        """Lift per angle [m/rad] at an angle between the first and the last reading."""
        index, part = self.place(angle)
        step = self.angles[index + 1] - self.angles[index]
        chord = (self.lifts[index + 1] - self.lifts[index]) / step
        first, last = self.slopes[index], self.slopes[index + 1]
        return 6 * part * (1 - part) * chord + first * (1 - part) * (1 - 3 * part) + last * part * (3 * part - 2)


def through(angles: Sequence[float], lifts: Sequence[float]) -> Readings:
    """The curve through readings.

    Raises
    ------
    ValueError : fewer than two readings, or angles that do not rise.

    >>> through((0.0, 1.0, 2.0), (0.0, 0.0, 1.0)).at(0.5)
    0.0
    """
    steps = [after - before for before, after in pairwise(angles)]
    if len(angles) < 2 or len(angles) != len(lifts) or min(steps) <= 0:
        raise ValueError("a curve needs two readings or more, at angles that rise")
    chords = [(after - before) / h for (before, after), h in zip(pairwise(lifts), steps, strict=True)]
    if len(steps) == 1:
        slopes = [chords[0], chords[0]]
    else:
        inner = [_inner(*h, *chord) for h, chord in zip(pairwise(steps), pairwise(chords), strict=True)]
        slopes = [_end(*steps[:2], *chords[:2]), *inner, _end(*steps[:-3:-1], *chords[:-3:-1])]
    return Readings(angles=tuple(angles), lifts=tuple(lifts), slopes=tuple(slopes))


def _inner(before: float, after: float, chord_before: float, chord_after: float) -> float:
    """Slope at an inner reading."""
    if chord_before * chord_after <= 0:
        return 0.0
    near, far = 2 * after + before, after + 2 * before
    return (near + far) / (near / chord_before + far / chord_after)


def _end(near: float, far: float, chord_near: float, chord_far: float) -> float:
    """Slope at the first or the last reading: of the parabola through three, kept from overshooting."""
    slope = ((2 * near + far) * chord_near - near * chord_far) / (near + far)
    if slope * chord_near <= 0:
        return 0.0
    if chord_near * chord_far < 0 and abs(slope) > 3 * abs(chord_near):
        return 3 * chord_near
    return slope


def assumed_half(half_duration: Any, event_lift: Any, most: Any, *, m: Mathematics = FLOATS) -> Any:
    """Half the width of the assumed curve at the seat, from half the duration at a lift [rad].

    Half duration [rad], lift of the events at the valve [m], largest lift [m] -> [rad].  Source: the assumed
    curve turned round.
    """
    return half_duration / m.sqrt(1 - (event_lift / most) ** (1 / FULLNESS))


def assumed_lift(angle: Any, centre: Any, half: Any, most: Any) -> Any:
    """An assumed smooth lift, for planning only: most × (1 − ((θ − centre) ÷ half)²)^1.5 inside the width.

    Angle, centre and half width [rad], largest lift [m] -> [m].  Source: an
    assumption, not a lobe: nobody's cam is exactly so.

    >>> round(assumed_lift(0.0, 0.0, 2.0, 0.010), 6)
    0.01
    """
    return most * (1 - ((angle - centre) / half) ** 2) ** FULLNESS
