"""Density of pure water by Tanaka et al. 2001.

Source: Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301-309,
formula on p. 305 (seen as transcribed).
"""

from __future__ import annotations

from typing import Any

from ccassist.bench.temperatures import celsius, must_lie_within

LIMITS = (0.0, 40.0)  # °C
# The formula is good to about 1e-6; water that is merely "pure" and not known
# to be free of air is good to about 1e-5 (Simposio de Metrologia 2004).
STANDARD = 0.01  # kg/m³

_A1, _A2, _A3, _A4, _A5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950


def water_density(temperature: Any) -> Any:
    """Density of air-free water of standard isotopic make-up at one atmosphere.

    temperature [K], 273.15 to 313.15 -> density [kg/m³].  Floats or uncertain
    numbers.  Raises ValueError outside the range.  Source: Tanaka et al.,
    Metrologia 38 (2001) p. 305, ITS-90, 101.325 kPa.

    >>> round(water_density(293.15), 4)
    998.2067
    """
    must_lie_within(temperature, LIMITS, "the density of water")
    t = celsius(temperature)
    return _A5 * (1 - (t + _A1) ** 2 * (t + _A2) / (_A3 * (t + _A4)))
