"""The standard atmosphere against the library ambiance (ISO 2533:1975)."""

from __future__ import annotations

import warnings

import pytest
from uncertainties import ufloat

from ccassist.boost.conditions import (
    AIR_CONSTANT,
    GRAVITY,
    geopotential,
    pressure_geopotential,
    standard_pressure,
    standard_temperature,
)
from tests.references.sources import cites

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from ambiance import Atmosphere


@cites("iso2533")
@pytest.mark.parametrize("altitude", [-400.0, 0.0, 123.0, 1500.0, 1609.344, 4321.0, 6000.0, 10000.0])
def test_against_ambiance(altitude: float) -> None:
    """ambiance takes geometric altitude and makes it geopotential itself."""
    air = Atmosphere(altitude)
    assert standard_pressure(altitude) == pytest.approx(float(air.pressure[0]), rel=1e-6)
    assert pressure_geopotential(float(air.H[0])) == pytest.approx(float(air.pressure[0]), rel=1e-6)
    warmth = standard_temperature(geopotential(altitude))
    assert warmth == pytest.approx(float(air.temperature[0]), rel=1e-9)
    assert geopotential(altitude) == pytest.approx(float(air.H[0]), abs=1e-6)


@cites("own")
def test_uncertain_altitude_falls_by_about_the_weight_of_the_air() -> None:
    """Hydrostatics: dp/dz = −ρ g, with ρ from the ideal gas law."""
    altitude = ufloat(1500.0, 20.0)
    air = standard_pressure(altitude)
    warmth = standard_temperature(geopotential(1500.0))
    density = air.nominal_value / (AIR_CONSTANT * warmth)
    assert air.std_dev == pytest.approx(20 * density * GRAVITY, rel=1e-3)
