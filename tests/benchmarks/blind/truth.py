"""The engine as it truly is, in mm and ml."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What only the maker of the job knows; lists by cylinder."""

    bores: list[float]
    chambers: list[float]
    crowns: list[float]  # + adds space
    decks: list[float]  # + below the deck
    stroke: float
    opening: float
    oval: float
    thickness: float
    land_diameter: float
    land_height: float
    drop: float  # aimed at

    def area(self, n: int) -> float:
        """Bore area, mm2."""
        return math.pi / 4 * self.bores[n] ** 2

    def gasket(self) -> float:
        """Ml."""
        return math.pi / 4 * (self.opening + self.oval) * (self.opening - self.oval) * self.thickness / 1000

    def ratio(self, n: int) -> float:
        """Swept and clearance over clearance; the crevice is counted."""
        crevice = math.pi / 4 * (self.bores[n] ** 2 - self.land_diameter**2) * self.land_height / 1000
        deck = self.area(n) * self.decks[n] / 1000
        clearance = self.chambers[n] + self.gasket() + deck + self.crowns[n] + crevice
        return 1 + self.area(n) * self.stroke / 1000 / clearance


def draw(rng: Random, cylinders: int, *, large: bool) -> Truth:
    """An engine of some sort; chambers too large for one burette where ``large``."""
    bore, count = rng.uniform(76, 86), range(cylinders)
    chamber = rng.uniform(56, 72) if large else rng.uniform(36, 47)
    dish = rng.uniform(2, 9)
    deck = rng.uniform(0.12, 0.5) * (-1 if rng.random() < 0.25 else 1)
    return Truth(
        bores=[bore + rng.gauss(0, 0.006) for _ in count],
        chambers=[chamber + rng.gauss(0, 0.3) for _ in count],
        crowns=[dish + rng.gauss(0, 0.15) for _ in count],
        decks=[deck + rng.gauss(0, 0.02) for _ in count],
        stroke=rng.uniform(70, 92),
        opening=bore + rng.uniform(0.8, 1.8),
        oval=rng.uniform(0, 0.06),
        thickness=rng.uniform(0.6, 1.5),
        land_diameter=bore - rng.uniform(0.5, 0.9),
        land_height=rng.uniform(5, 8),
        drop=rng.uniform(5, 6.5),
    )
