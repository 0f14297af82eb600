"""Water, air and apparent mass, by a route of their own."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from tests.benchmarks.blind.population import Population, rounded

_WEIGHTS = 8000.0  # kg/m3, OIML D 28 (from memory)


def kell(t: float) -> float:
    """Density of air-free water in kg/m3 at t in °C.  Kell, J. Chem. Eng. Data 20 (1975) 97."""
    above = 999.83952 + t * (
        16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return above / (1 + 16.879850e-3 * t)


def air(t: float, pressure: float, humidity: float) -> float:
    """Density of air in kg/m3; °C, hPa, %.  Simplified CIPM formula, OIML R 111-1 (E.3-1)."""
    return (0.34848 * pressure - 0.009 * humidity * math.exp(0.061 * t)) / (t + 273.15)


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day at the bench: what the fluid is and how warm it is."""

    temperature: float  # °C, true
    thermometer: float  # its error, K
    salts: float  # kg/m3 above pure water
    air: float  # kg/m3

    @classmethod
    def draw(cls, rng: Random, crowd: Population, *, detergent: bool) -> Day:
        """A day of some sort."""
        t = rng.uniform(17, 24)
        salts = rng.uniform(0, 0.5) + (rng.uniform(0, 0.3) if detergent else 0)
        return cls(
            temperature=t,
            thermometer=crowd.error(rng, 1.0),
            salts=salts,
            air=air(t, rng.uniform(960, 1040), rng.uniform(30, 70)),
        )

    @property
    def said(self) -> str:
        """Temperature as written down."""
        return f"{rounded(self.temperature + self.thermometer, 0.5):.1f} degC"

    def density(self, t: float) -> float:
        """Of the fluid at t, in kg/m3."""
        return kell(t) + self.salts

    def shown(self, volume: float) -> float:
        """Apparent mass in g of a volume in ml at the day's temperature, on a scale without error."""
        rho = self.density(self.temperature)
        return volume * 1e-3 * rho * (1 - self.air / rho) / (1 - self.air / _WEIGHTS)

    def holds(self, volume: float, warmer: float) -> float:
        """Ml of the day's fluid that fill a part of so many ml at 20 °C, the part being warmer by so many K."""
        t = self.temperature + warmer
        return volume * (1 + 69e-6 * (t - 20)) * self.density(t) / self.density(self.temperature)
