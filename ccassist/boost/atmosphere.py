"""The standard atmosphere: pressure and temperature of the air by altitude.

Source: ISO 2533:1975, Standard Atmosphere (the ICAO standard atmosphere is the
same to 32 km), lowest layer, up to 11 km geopotential.

Two altitudes, never mixed: *geometric* is height in metres as a map gives it;
*geopotential* is the altitude at which gravity is taken as constant, 3 m less
at 4 km.  The figures of a real day differ by ± 3 % and more: a barometer read
on site is better.
"""

from __future__ import annotations

from ccassist.values.number import Number

SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
LAPSE = 0.0065  # K per metre of geopotential altitude
GRAVITY = 9.80665  # m/s²
AIR_CONSTANT = 287.05287  # J/(kg K), of ISO 2533
EARTH_RADIUS = 6_356_766.0  # m, of ISO 2533


def geopotential(altitude: Number) -> Number:
    """Geopotential of a geometric altitude.  [m] -> [m].

    Source: ISO 2533:1975, 2.3.

    >>> round(geopotential(4000.0), 1)
    3997.5
    """
    return EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)


def geometric(altitude: Number) -> Number:
    """Geometric altitude of a geopotential one.  [m] -> [m].

    Source: ISO 2533:1975, 2.3.

    >>> round(geometric(geopotential(4000.0)), 6)
    4000.0
    """
    return EARTH_RADIUS * altitude / (EARTH_RADIUS - altitude)


def pressure(altitude: Number) -> Number:
    """Standard air pressure at a geometric altitude.  [m] -> [Pa].

    Source: ISO 2533:1975, lowest layer.

    >>> round(pressure(1000.0), 1)
    89876.3
    """
    return pressure_geopotential(geopotential(altitude))


def temperature_geopotential(altitude: Number) -> Number:
    """Standard air temperature at a geopotential altitude.  [m] -> [K].

    Source: ISO 2533:1975, lowest layer.

    >>> temperature_geopotential(2000.0)
    275.15
    """
    return SEA_LEVEL_TEMPERATURE - LAPSE * altitude


def pressure_geopotential(altitude: Number) -> Number:
    """Standard air pressure at a geopotential altitude.  [m] -> [Pa].

    Source: ISO 2533:1975, lowest layer.

    >>> round(pressure_geopotential(2000.0))
    79495
    """
    part = temperature_geopotential(altitude) / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * part ** (GRAVITY / AIR_CONSTANT / LAPSE)
