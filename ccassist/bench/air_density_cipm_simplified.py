"""Density of moist air, the simplified form of the CIPM equation.

Source: ISO 8655-6:2022 and OIML R 111-1 eq. (E.3-1) (coefficients seen as
transcribed, attributed to ISO 8655-6; the R 111 number from memory).
"""

from __future__ import annotations

from math import e
from typing import Any

from ccassist.bench.temperatures import REFERENCE, celsius, must_lie_within

# °C; stated for 10 to 30 °C, 900 to 1100 hPa, humidity below 0.8, and there good to 2 parts in 10,000 (relative
# standard uncertainty; OIML R 111-1 annex E, from memory): nothing beside the doubt of the air itself.
LIMITS = (0.0, 40.0)

# Air of which nothing was read: the reference density of weighing (OIML D 28,
# from memory) ± a rectangle of 0.1 kg/m³, which covers 15 to 25 °C below about
# 700 m (common practice, no source).  It costs 0.01 % of a weighed volume.
UNREAD, UNREAD_HALF_WIDTH = 1.2, 0.1  # kg/m³

_HPA = 1e-2  # the formula takes hectopascal and per cent
_PERCENT = 1e2


def air_density(pressure: Any = 101325.0, humidity: Any = 0.5, temperature: Any = REFERENCE) -> Any:
    """Density of moist air: (0.34848 p − 0.009 h exp(0.061 t)) / (t + 273.15).

    pressure [Pa], at the station and not reduced to sea level; humidity as a
    share of 1; temperature [K], 273.15 to 313.15 -> density [kg/m³].
    Floats or uncertain numbers.  Raises ValueError outside the range.
    Source: ISO 8655-6:2022; OIML R 111-1 eq. (E.3-1).

    >>> round(air_density(), 5)
    1.19929
    """
    must_lie_within(temperature, LIMITS, "the density of air")
    t = celsius(temperature)
    moisture = 0.009 * (humidity * _PERCENT) * e ** (0.061 * t)
    return (0.34848 * (pressure * _HPA) - moisture) / temperature
