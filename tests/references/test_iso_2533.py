"""The standard atmosphere against ISO 2533:1975: the library ambiance, and a table by altitude.

Table values were computed with ambiance 1.3.1 beforehand and rounded as printed.
"""

from __future__ import annotations

import warnings

import pytest
from uncertainties import ufloat

from ccassist.boost import atmosphere

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from ambiance import Atmosphere

# geometric altitude m: pressure Pa, temperature K
TABLE = {
    0: (101325.0, 288.150),
    250: (98357.6, 286.525),
    500: (95461.3, 284.900),
    750: (92634.6, 283.276),
    1000: (89876.3, 281.651),
    1250: (87185.1, 280.027),
    1500: (84559.7, 278.402),
    1750: (81998.9, 276.778),
    2000: (79501.4, 275.154),
    2250: (77066.1, 273.530),
    2500: (74691.7, 271.906),
    2750: (72377.1, 270.283),
    3000: (70121.1, 268.659),
    3250: (67922.6, 267.036),
    3500: (65780.4, 265.413),
    3750: (63693.3, 263.789),
    4000: (61660.4, 262.166),
}
# geopotential altitude m: pressure Pa
GEOPOTENTIAL = {1000: 89874.6, 2000: 79495.2, 3000: 70108.5, 4000: 61640.2}


@pytest.mark.parametrize("altitude", TABLE)
def test_table_by_geometric_altitude(altitude: int) -> None:
    pressure, temperature = TABLE[altitude]
    assert atmosphere.pressure(altitude) == pytest.approx(pressure, abs=0.051)
    assert atmosphere.temperature(altitude) == pytest.approx(temperature, abs=5.1e-4)


@pytest.mark.parametrize("altitude", GEOPOTENTIAL)
def test_table_by_geopotential_altitude(altitude: int) -> None:
    assert atmosphere.pressure_geopotential(altitude) == pytest.approx(GEOPOTENTIAL[altitude], abs=0.051)
    assert atmosphere.pressure(altitude) != pytest.approx(GEOPOTENTIAL[altitude], abs=0.5)


@pytest.mark.parametrize("altitude", [-400.0, 0.0, 123.0, 1609.344, 4321.0, 6000.0, 10000.0])
def test_against_ambiance(altitude: float) -> None:
    """ambiance takes geometric altitude and makes it geopotential itself."""
    air = Atmosphere(altitude)
    assert atmosphere.pressure(altitude) == pytest.approx(float(air.pressure[0]), rel=1e-6)
    assert atmosphere.temperature(altitude) == pytest.approx(float(air.temperature[0]), rel=1e-9)
    assert atmosphere.geopotential(altitude) == pytest.approx(float(air.H[0]), abs=1e-6)


def test_uncertain_altitude_falls_by_about_the_weight_of_the_air() -> None:
    """Hydrostatics: dp/dz = −ρ g, with ρ from the ideal gas law."""
    altitude = ufloat(1500.0, 20.0)
    air = atmosphere.pressure(altitude)
    density = air.nominal_value / (atmosphere.AIR_CONSTANT * atmosphere.temperature(1500.0))
    assert air.std_dev == pytest.approx(20 * density * atmosphere.GRAVITY, rel=1e-3)
