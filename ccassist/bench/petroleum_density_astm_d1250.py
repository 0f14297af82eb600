"""Density of paraffin, white spirit and light oil at bench temperatures.

Source: ASTM D1250-80 / API MPMS 11.1, volume correction to 15 °C; constants
per degree Celsius with densities in kg/m³ (seen as transcribed).  The
lubricating-oil constant 0.34878 met in some tables is the same number per
degree Fahrenheit: 1.8 times too small here.
"""

from __future__ import annotations

from math import e
from typing import Any

from ccassist.bench.temperatures import celsius

BASE = 15.0  # °C
# group -> K0 [kg²/(m⁶ °C)], K1 [kg/(m³ °C)]
GROUPS = {"paraffin": (594.5418, 0.0), "diesel": (186.9696, 0.4862), "lubricating oil": (0.0, 0.6278)}


def petroleum_expansion(density_at_15: Any, group: str) -> Any:
    """Cubic expansion at 15 °C: K0 / ρ² + K1 / ρ.

    density at 15 °C [kg/m³], group of GROUPS -> [1/K].  Source: ASTM D1250-80.

    >>> round(petroleum_expansion(850.0, "lubricating oil"), 7)
    0.0007386
    """
    k0, k1 = GROUPS[group]
    return k0 / density_at_15**2 + k1 / density_at_15


def petroleum_density(temperature: Any, density_at_15: Any, group: str) -> Any:
    """Density at a temperature: ρ₁₅ exp(−α Δt (1 + 0.8 α Δt)).

    temperature [K], density at 15 °C [kg/m³] -> density [kg/m³].  Floats or
    uncertain numbers.  Source: ASTM D1250-80 / API MPMS 11.1.

    >>> round(petroleum_density(293.15, 850.0, "lubricating oil"), 1)
    846.9
    """
    change = petroleum_expansion(density_at_15, group) * (celsius(temperature) - BASE)
    return density_at_15 * e ** (-change * (1 + 0.8 * change))
