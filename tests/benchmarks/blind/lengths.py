"""Readings of lengths: bores, gasket, deck and drop, each with the errors of its tool."""

from __future__ import annotations

import math
from random import Random

from tests.benchmarks.blind.population import Population, rounded
from tests.benchmarks.blind.truth import Truth


def mm(value: float, step: float) -> str:
    """A reading to the step of its tool."""
    return f"{rounded(value, step):.3f} mm"


def stated(rng: Random, value: float, doubt: float) -> str:
    """A value with the ± at 95 % that is true of it (normal)."""
    return f"{value + rng.gauss(0, doubt / 1.959964):.4f} +/- {doubt:g} mm, measured"


class Rule:
    """The length tools of one job."""

    def __init__(self, rng: Random, crowd: Population, truth: Truth, rows: int) -> None:
        self.rng, self.truth, self.rows = rng, truth, rows
        self.gauge = crowd.error(rng, 0.010)
        self.caliper = crowd.error(rng, 0.020) - rng.uniform(0, 0.01)
        self.micrometer = crowd.error(rng, 0.004)
        self.near = crowd.curve(rng, limit=0.009, use=abs(truth.decks[0]), top=1.0, waves=4)
        self.far = crowd.curve(rng, limit=0.015, use=truth.drop, top=10.0, waves=5)
        self.round = rng.uniform(0, 0.008)

    def bore(self, n: int) -> list[str]:
        """Rows for one bore: two axes in turn."""
        found = []
        for row in range(2 * (self.rows - 1)):
            axis = self.round if row % 2 else -self.round
            read = self.truth.bores[n] + axis + self.gauge + self.rng.gauss(0, 0.003)
            found.append(f'bore = "{mm(read, 0.005)}"')
        return found

    def opening(self) -> list[str]:
        """Rows for the gasket's opening: three axes, each twice."""
        phase = self.rng.uniform(0, math.pi)
        found = []
        for row in range(6):
            oval = self.truth.oval * math.cos(2 * (phase + row * math.pi / 3))
            read = self.truth.opening + oval + self.caliper + self.rng.gauss(0, 0.02)
            found.append(f'opening = "{mm(read, 0.02)}"')
        return found

    def thickness(self) -> list[str]:
        """Rows for the compressed thickness: six points round the ring."""
        phase, wave = self.rng.uniform(0, 2 * math.pi), self.rng.uniform(0, 0.015)
        found = []
        for row in range(6):
            here = wave * math.cos(phase + row * math.pi / 3) + self.rng.gauss(0, 0.006)
            read = self.truth.thickness + here + self.micrometer + self.rng.gauss(0, 0.002)
            found.append(f'thickness = "{mm(read, 0.01)}"')
        return found

    def deck(self, n: int, both_sides: bool) -> list[str]:
        """Rows for one deck clearance."""
        rng = self.rng
        true, names = self.truth.decks[n], ("thrust", "away") if both_sides else ("front", "rear")
        tilt = rng.uniform(0.03, 0.15) if both_sides else rng.gauss(0, 0.008)
        sway = 0.008 if both_sides else 0.0
        error = math.copysign(1.0, true) * self.near(abs(true))
        found = []
        for _ in range(self.rows):
            common = true + error + rng.gauss(0, 0.004) + rng.uniform(0, 0.003)
            sides = [common + side * tilt + rng.gauss(0, sway) + rng.gauss(0, 0.005) for side in (1, -1)]
            found.append(", ".join(f'{name} = "{_below(read)}"' for name, read in zip(names, sides, strict=True)))
        return found

    def drop(self) -> tuple[float, list[str]]:
        """True drop of one cylinder, and the two readings of it."""
        true = self.truth.drop + self.rng.gauss(0, 0.05)
        read = [true + self.far(true) + self.rng.gauss(0, 0.004) for _ in range(2)]
        return true, [mm(one, 0.005) for one in read]


def _below(value: float) -> str:
    shown = rounded(value, 0.005)
    if shown == 0:
        return "flush"
    return f"{abs(shown):.3f} mm {'below deck' if shown > 0 else 'proud'}"
