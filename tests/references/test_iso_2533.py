"""The standard atmosphere against the library ambiance (ISO 2533:1975)."""

from __future__ import annotations

import warnings

import pytest
from uncertainties import ufloat

from ccassist.boost import atmosphere
from tests.references.sources import cites

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from ambiance import Atmosphere


@cites("iso2533")
@pytest.mark.parametrize("altitude", [-400.0, 0.0, 123.0, 1500.0, 1609.344, 4321.0, 6000.0, 10000.0])
def test_against_ambiance(altitude: float) -> None:
    """ambiance takes geometric altitude and makes it geopotential itself."""
    air = Atmosphere(altitude)
    assert atmosphere.pressure(altitude) == pytest.approx(float(air.pressure[0]), rel=1e-6)
    assert atmosphere.pressure_geopotential(float(air.H[0])) == pytest.approx(float(air.pressure[0]), rel=1e-6)
    warmth = atmosphere.temperature_geopotential(atmosphere.geopotential(altitude))
    assert warmth == pytest.approx(float(air.temperature[0]), rel=1e-9)
    assert atmosphere.geopotential(altitude) == pytest.approx(float(air.H[0]), abs=1e-6)


@cites("own")
def test_uncertain_altitude_falls_by_about_the_weight_of_the_air() -> None:
    """Hydrostatics: dp/dz = −ρ g, with ρ from the ideal gas law."""
    altitude = ufloat(1500.0, 20.0)
    air = atmosphere.pressure(altitude)
    warmth = atmosphere.temperature_geopotential(atmosphere.geopotential(1500.0))
    density = air.nominal_value / (atmosphere.AIR_CONSTANT * warmth)
    assert air.std_dev == pytest.approx(20 * density * atmosphere.GRAVITY, rel=1e-3)
