"""Moist air: the simplified CIPM equation against the full one and a reference library."""

from __future__ import annotations

import math

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, UNREAD_AIR, UNREAD_AIR_HALF_WIDTH, air_density

# fmt: off
# °C, humidity [share] at 1013.25 hPa: simplified (ISO 8655-6:2022, OIML R 111-1 eq. E.3-1), CIPM-2007 (Picard et
# al., Metrologia 45 (2008) 149-155), moist air computed with CoolProp 8.0.0; all kg/m³.
POINTS = [
    (15, 0.5, 1.22150, 1.22163, 1.22168), (20, 0.0, 1.20449, 1.20456, 1.20460), (20, 0.5, 1.19929, 1.19931, 1.19936),
    (20, 1.0, 1.19409, 1.19409, 1.19413), (25, 0.5, 1.17736, 1.17732, 1.17736), (30, 0.5, 1.15551, 1.15551, 1.15556),
]
# fmt: on
# Same equation at 20 °C, 50 %, by pressure [hPa]; double precision.
BY_PRESSURE = {800: 0.94579, 900: 1.06467, 950: 1.12411, 1000: 1.18354, 1050: 1.24298}


@pytest.mark.parametrize(("t", "humidity", "simplified", "full", "library"), POINTS)
def test_at_standard_pressure(t, humidity, simplified, full, library):
    """ISO 8655-6:2022 to its last digit; CIPM-2007 and CoolProp 8.0.0 within 0.0002 kg/m³."""
    found = air_density(101325.0, humidity, ICE_POINT + t)
    assert found == pytest.approx(simplified, abs=6e-6)
    assert found == pytest.approx(full, abs=2e-4)
    assert found == pytest.approx(library, abs=2e-4)


@pytest.mark.parametrize(("hectopascal", "density"), BY_PRESSURE.items())
def test_at_other_pressures(hectopascal, density):
    """ISO 8655-6:2022, double precision."""
    assert air_density(hectopascal * 100.0, 0.5, 293.15) == pytest.approx(density, abs=6e-6)


def test_older_american_form_agrees():
    """NIST SOP 2 (from memory): 0.46460 (P − 0.0037960 U e) / T, e = 1.3146e9 exp(−5315.56/T); mmHg, mg/cm³."""
    kelvin = 293.15
    vapour = 1.3146e9 * math.exp(-5315.56 / kelvin)
    assert air_density() == pytest.approx(0.46460 / kelvin * (760 - 0.0037960 * 50 * vapour), abs=1e-4)


def test_unread_air_covers_ordinary_days():
    """Common practice, no source: 15 to 25 °C, sea level to about 700 m (930 hPa)."""
    thick, thin = air_density(102500.0, 0.4, 288.15), air_density(93500.0, 0.6, 297.15)
    assert UNREAD_AIR - UNREAD_AIR_HALF_WIDTH - 0.02 < thin < thick < UNREAD_AIR + UNREAD_AIR_HALF_WIDTH


def test_doubt_of_pressure_and_humidity_is_carried():
    """OIML R 111-1 eq. (E.3-1) differentiated by hand: 0.34848/T per hPa, 0.009 exp(0.061 t)/T per cent."""
    by_pressure = air_density(ufloat(101325.0, 100.0), 0.5, 293.15)
    by_humidity = air_density(101325.0, ufloat(0.5, 0.01), 293.15)
    assert by_pressure.std_dev == pytest.approx(0.34848 / 293.15, rel=1e-9)
    assert by_humidity.std_dev == pytest.approx(0.009 * 3.3871877 / 293.15, rel=1e-6)


def test_outside_its_range_it_says_so():
    with pytest.raises(ValueError, match="density of air holds from 0 to 40 °C"):
        air_density(101325.0, 0.5, 320.0)
