"""Water: Tanaka et al., Metrologia 38 (2001) 301-309, against independent formulations and CoolProp (IAPWS-95)."""

from __future__ import annotations

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, celsius, warm_water_density, water_density
from ccassist.bench.fluids import FLUIDS, density_of, expansion_of
from ccassist.vocabulary.units import conversion
from tests.references.sources import cites, promise

PROPS = ("P", 101325.0, "Water")


def iapws_95(t: float) -> float:
    """CoolProp, at 101.325 kPa [kg/m³]; t in °C."""
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("D", "T", ICE_POINT + t, *PROPS))


@cites("tanaka")
@pytest.mark.parametrize(("t", "printed", "near"), [(25, 997.047021671824, 1e-9), (3.983035, 999.974950, 1e-9)])
def test_values_of_the_formula(t, printed, near):
    """At 25 °C as in a public library's own test; the greatest density, exact in the formula."""
    assert water_density(ICE_POINT + t) == pytest.approx(printed, abs=near)
    assert water_density(ICE_POINT + 3.9) < 999.974950 > water_density(ICE_POINT + 4.1)


@cites("coolprop")
@pytest.mark.parametrize("t", [1, 5, 15, 20, 25, 30, 40])
def test_agrees_with_iapws_95(t):
    """Within 1.2 parts in a million; the expansion by differences within 1e-6 per K."""
    assert water_density(ICE_POINT + t) == pytest.approx(iapws_95(t), rel=1.2e-6)
    slope = (iapws_95(t - 0.5) - iapws_95(t + 0.5)) / iapws_95(t)
    assert expansion_of(FLUIDS["water"], ICE_POINT + t)[0] == pytest.approx(slope, abs=1e-6)


def kell_1975(t: float, denominator: float = 16.879850e-3) -> float:
    """Kell, J. Chem. Eng. Data 20 (1975) 97-105, atmospheric pressure; t in °C."""
    top = (
        999.83952
        + 16.945176 * t
        - 7.9870401e-3 * t**2
        - 46.170461e-6 * t**3
        + 105.56302e-9 * t**4
        - 280.54253e-12 * t**5
    )
    return top / (1 + denominator * t)


@cites("kell")
@pytest.mark.parametrize("t", range(5, 36, 5))
def test_agrees_with_kell(t):
    """Kell 1975 with the denominator 16.879850e-3: within 0.0033 kg/m³."""
    assert water_density(ICE_POINT + t) == pytest.approx(kell_1975(t), abs=0.0033)


@cites("kell")
def test_kell_with_swapped_digits_is_caught():
    """Trap: 16.897850e-3 circulates for 16.879850e-3 and is 0.27 kg/m³ out at 20 °C.

    997.0449 at 25 °C is Kell's printed value (from memory).
    """
    assert kell_1975(25) == pytest.approx(997.0449, abs=5e-5)
    assert kell_1975(20, 16.897850e-3) - water_density(293.15) == pytest.approx(-0.271, abs=0.004)


@cites("quam")
def test_expansion_of_water_in_the_guide_to_quantifying_uncertainty():
    """EURACHEM/CITAC CG4 (QUAM:2012), Example A1, A1.4: 2.1e-4 per °C (seen)."""
    assert expansion_of(FLUIDS["water"])[0] == pytest.approx(2.1e-4, rel=0.02)


@cites("gum")
def test_doubt_of_temperature_is_carried():
    """First-order propagation, eq. (10): u(ρ) = u(t) by the slope, here by differences."""
    slope = water_density(293.05) - water_density(293.25)
    assert water_density(ufloat(293.15, 0.2)).std_dev == pytest.approx(slope, rel=1e-4)


@promise()
@pytest.mark.parametrize("t", [-0.1, 40.1, float("nan")])
def test_outside_its_range_it_says_so(t):
    with pytest.raises(ValueError, match="density of water holds from 0 to 40 °C"):
        water_density(ICE_POINT + t)


@promise()
def test_ice_point_is_that_of_the_unit_list():
    assert conversion("degC").zero == ICE_POINT
    assert celsius(ICE_POINT) == 0


# CRC Handbook of Chemistry and Physics, "Standard density of water" (from memory).
HANDBOOK_WARM = {45: 990.21, 50: 988.04, 60: 983.20, 70: 977.76, 80: 971.79, 90: 965.31}


@cites("crc")
@pytest.mark.parametrize(("t", "density"), HANDBOOK_WARM.items())
def test_warm_water_of_the_handbook(t, density):
    """CRC Handbook, table of the density of water: within the stated uncertainty."""
    fluid = FLUIDS["water"]
    found, doubt = density_of(fluid, ICE_POINT + t)
    assert found == pytest.approx(density, abs=0.03)
    assert doubt > 0.03


@cites("coolprop")
@pytest.mark.parametrize("t", [40.5, 45, 55, 65, 75, 85, 95, 99])
def test_warm_water_agrees_with_iapws_95(t):
    """Within half of the stated standard uncertainty."""
    assert warm_water_density(ICE_POINT + t) == pytest.approx(iapws_95(t), abs=0.025)
    assert FLUIDS["water"].density(ICE_POINT + t) == pytest.approx(warm_water_density(ICE_POINT + t), abs=0.001)


@promise()
def test_no_step_where_one_equation_takes_over():
    """At 40 °C the two differ by less than the closer one's own uncertainty."""
    assert warm_water_density(ICE_POINT + 40) == pytest.approx(water_density(ICE_POINT + 40), abs=0.01)


@promise()
def test_no_water_above_its_boiling_point():
    """Above 100 °C nothing is stated."""
    with pytest.raises(ValueError, match=r"water.* holds from 0 to 100 °C"):
        density_of(FLUIDS["water"], ICE_POINT + 101)
