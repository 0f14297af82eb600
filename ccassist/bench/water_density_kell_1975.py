"""Density of pure water by Kell 1975, for water warmer than the workshop's.

Source: Kell, J. Chem. Eng. Data 20 (1975) 97-105, equation (16) (from memory; checked against CoolProp's IAPWS-95).
"""

from __future__ import annotations

from typing import Any

from ccassist.bench.temperatures import celsius, must_lie_within

LIMITS = (0.0, 100.0)  # °C, of the 150 that it was fitted to
# The fit itself is good to a few 1e-6; its degrees are of 1968, up to 0.026 °C off today's at 100 °C, and water so
# warm gives off air and vapour while it is read.
STANDARD = 0.05  # kg/m³

_TOP = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_BOTTOM = 16.879850e-3


def warm_water_density(temperature: Any) -> Any:
    """Density of air-free water at one atmosphere.

    temperature [K], 273.15 to 373.15 -> density [kg/m³].  Floats or uncertain
    numbers.  Raises ValueError outside the range.  Source: Kell (1975) eq. (16).

    >>> round(warm_water_density(333.15), 2)
    983.2
    """
    must_lie_within(temperature, LIMITS, "the density of water")
    t = celsius(temperature)
    return sum(a * t**power for power, a in enumerate(_TOP)) / (1 + _BOTTOM * t)
