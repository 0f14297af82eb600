"""Moist air: the simplified CIPM equation against the full one, an older form, and a reference library."""

from __future__ import annotations

import math

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, UNREAD_AIR, UNREAD_AIR_HALF_WIDTH, air_density
from tests.references.sources import cites, promise

CONDITIONS = [(1013.25, t, h) for t, h in ((15, 0.5), (20, 0.0), (20, 0.5), (20, 1.0), (25, 0.5), (30, 0.5))]
CONDITIONS += [(p, 20, 0.5) for p in (800, 900, 950, 1050)]  # hPa, °C, share


def cipm_2007(pascal: float, humidity: float, t: float) -> float:
    """Picard et al. 2008, with 400 parts in a million of carbon dioxide [kg/m³]; t in °C."""
    kelvin = t + 273.15
    saturation = math.exp(1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin)
    enhanced = 1.00062 + 3.14e-8 * pascal + 5.6e-7 * t**2
    vapour = humidity * enhanced * saturation / pascal
    first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
    first += (5.707e-6 - 2.051e-8 * t) * vapour + (1.9898e-4 - 2.376e-6 * t) * vapour**2
    z = 1 - pascal / kelvin * first + (pascal / kelvin) ** 2 * (1.83e-11 - 0.765e-8 * vapour**2)
    return pascal * 28.96546e-3 / (z * 8.314472 * kelvin) * (1 - vapour * (1 - 18.01528 / 28.96546))


@cites("cipm", "coolprop")
@pytest.mark.parametrize(("hectopascal", "t", "humidity"), CONDITIONS)
def test_against_the_full_equation_and_a_library(hectopascal, t, humidity):
    """Within 2e-4 kg/m³ of both, at the pressures and temperatures of a shop."""
    from CoolProp.HumidAirProp import HAPropsSI

    found = air_density(hectopascal * 100, humidity, ICE_POINT + t)
    assert found == pytest.approx(cipm_2007(hectopascal * 100, humidity, t), abs=2e-4)
    dry = HAPropsSI("Vha", "T", ICE_POINT + t, "P", hectopascal * 100, "R", humidity)
    assert found == pytest.approx(1 / dry, abs=2e-4)


@cites("sop2")
def test_older_american_form_agrees():
    """0.46460 (P − 0.0037960 U e) / T, e = 1.3146e9 exp(−5315.56/T); mmHg, mg/cm³."""
    kelvin = 293.15
    vapour = 1.3146e9 * math.exp(-5315.56 / kelvin)
    assert air_density() == pytest.approx(0.46460 / kelvin * (760 - 0.0037960 * 50 * vapour), abs=1e-4)


@cites("practice")
def test_unread_air_covers_ordinary_days():
    """15 to 25 °C, sea level to about 700 m (930 hPa)."""
    thick, thin = air_density(102500.0, 0.4, 288.15), air_density(93500.0, 0.6, 297.15)
    assert UNREAD_AIR - UNREAD_AIR_HALF_WIDTH - 0.02 < thin < thick < UNREAD_AIR + UNREAD_AIR_HALF_WIDTH


@cites("own")
def test_doubt_of_pressure_and_humidity_is_carried():
    """Slopes by differences."""
    by_pressure = air_density(ufloat(101325.0, 100.0), 0.5, 293.15)
    by_humidity = air_density(101325.0, ufloat(0.5, 0.01), 293.15)
    assert by_pressure.std_dev == pytest.approx(air_density(101425.0) - air_density(101325.0), rel=1e-4)
    assert by_humidity.std_dev == pytest.approx(air_density(101325.0, 0.49) - air_density(), rel=1e-4)


@promise()
def test_outside_its_range_it_says_so():
    with pytest.raises(ValueError, match="density of air holds from 0 to 40 °C"):
        air_density(101325.0, 0.5, 320.0)
