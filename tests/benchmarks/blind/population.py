"""How an instrument's true error lies within its class."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from random import Random


@dataclass(frozen=True, kw_only=True)
class Population:
    """A crowd of instruments of one class.

    Attributes
    ----------
    key : letter by which it is chosen.
    normal : errors are normal with a third of the limit; otherwise rectangular over the whole of it.
    waves : how many times as many waves a scale has.
    """

    key: str
    normal: bool = False
    waves: int = 1

    def error(self, rng: Random, limit: float) -> float:
        """Error of one instrument at its point of use, in the unit of the limit."""
        if not self.normal:
            return rng.uniform(-limit, limit)
        while True:
            drawn = rng.gauss(0, limit / 3)
            if abs(drawn) <= limit:
                return drawn

    def curve(self, rng: Random, *, limit: float, use: float, top: float, waves: int) -> Curve:
        """Error over a scale from 0 to ``top``, any two points of it within ``limit``; nought at nought.

        The error at ``use`` is drawn from the crowd; gain leads there, and
        waves fill part of what the class leaves over.
        """
        end = self.error(rng, limit)
        slack = (limit - abs(end)) / 2
        height = slack * rng.random() / (3 if self.normal else 1)
        count = waves * self.waves
        knots = sorted({0.0, use, *(top * n / count for n in range(1, count + 1))})
        heights = [0.0 if x in (0.0, use) else rng.uniform(-height, height) for x in knots]
        return Curve(
            gain=end / use,
            knots=tuple(knots),
            heights=tuple(heights),
            low=min(0.0, end) - slack,
            high=max(0.0, end) + slack,
        )


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Error of a scale at any point: gain and waves, within bounds."""

    gain: float
    knots: tuple[float, ...]
    heights: tuple[float, ...]
    low: float
    high: float

    def __call__(self, x: float) -> float:
        """Shown less true; same unit as the scale."""
        return min(max(self.gain * x + self._wave(x), self.low), self.high)

    def _wave(self, x: float) -> float:
        if x <= self.knots[0]:
            return self.heights[0]
        if x >= self.knots[-1]:
            return self.heights[-1]
        n = bisect_right(self.knots, x)
        part = (x - self.knots[n - 1]) / (self.knots[n] - self.knots[n - 1])
        smooth = (1 - math.cos(math.pi * part)) / 2
        return self.heights[n - 1] + (self.heights[n] - self.heights[n - 1]) * smooth


POPULATIONS = {p.key: p for p in (Population(key="A"), Population(key="B", normal=True), Population(key="S", waves=10))}


def solve(amount: Callable[[float], float], wanted: float, guess: float) -> float:
    """Where a scale that runs nearly one to one gives the wanted amount."""
    for _ in range(40):
        guess += wanted - amount(guess)
    return guess


def rounded(value: float, step: float) -> float:
    """To the nearest step of a scale."""
    return round(value / step) * step
