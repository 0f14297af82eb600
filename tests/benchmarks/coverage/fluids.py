"""Water, air and metal of the simulator: its own formulas, from sources other than those of the package under test."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

IRON, ALUMINIUM = (32.4e-6, 2e-6), (67e-6, 3e-6)  # cubic expansion and its standard deviation, 1/K, handbooks


def pure_water(t: float) -> float:
    """Density [g/ml] at t [°C].  Kell, J. Chem. Eng. Data 20 (1975) 97 (from memory; 0.9970449 at 25 °C)."""
    top = 999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4
    return (top - 280.54253e-12 * t**5) / (1 + 16.879850e-3 * t) / 1000


@dataclass(frozen=True, kw_only=True)
class Bench:
    """The bench on the day: true temperature [°C] and what is read of it, density of fluid and air [g/ml]."""

    temperature: float
    read: float
    water: float
    air: float

    def mass(self, volume: float) -> float:
        """What a scale set with steel weights gains by a volume [ml] of the fluid, g: a vented bottle takes in air."""
        return volume * (self.water - self.air) / (1 - self.air / 8.0)


def bench(random: Random, low: float = 16, high: float = 25) -> Bench:
    """Tap water with a drop of detergent: salts up to 0.5 g/l, detergent within 0.05 %; dry air as an ideal gas.

    ``low``, ``high`` [°C] : between which the thermometer reads.
    """
    read = random.uniform(low, high)
    true = read + random.uniform(-1, 1)
    salts, detergent = random.uniform(0, 0.5), random.uniform(-0.5, 0.5)
    pressure = random.uniform(93_000, 104_000)
    return Bench(
        temperature=true,
        read=read,
        water=pure_water(true) + (salts + detergent) / 1000,
        air=pressure / (287.05 * (273.15 + true)) / 1e6 * 1000,
    )


def expanded(volume: float, metal: tuple[float, float], temperature: float, random: Random) -> float:
    """A space of a volume at 20 °C, at another temperature."""
    return volume * (1 + random.gauss(*metal) * (temperature - 20))
