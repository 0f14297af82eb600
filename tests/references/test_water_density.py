"""Water from 0 to 40 °C: Tanaka et al., Metrologia 38 (2001) 301-309, against independent formulations.

Values "computed with CoolProp 8.0.0" are IAPWS-95 at 101.325 kPa, identical to
1e-5 kg/m³ in iapws 1.5.5 and chemicals 1.5.2.  CoolProp gives none at 0 °C.
"""

from __future__ import annotations

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, celsius, warm_water_density, water_density
from ccassist.bench.fluids import FLUIDS, density_of, expansion_of
from ccassist.vocabulary.units import conversion

# fmt: off
# Tanaka's formula in double precision; the value at 25 °C also stands in a public library's own test.
TANAKA = {
    0: 999.84283, 4: 999.97495, 5: 999.96678, 10: 999.70270, 15: 999.10257, 18: 998.59836, 20: 998.20675,
    22: 997.77298, 25: 997.04702, 30: 995.64880, 35: 994.03260, 40: 992.21521,
}
IAPWS_95 = {  # computed with CoolProp 8.0.0
    5: 999.96663, 10: 999.70247, 15: 999.10262, 18: 998.59863, 20: 998.20715, 22: 997.77349, 25: 997.04764,
    30: 995.64945, 35: 994.03331, 40: 992.21635,
}
# fmt: on
# Older handbook table, as seen in a public library's test: before Tanaka, last digits differ.
OLDER_TABLE = {10: 999.7026, 15: 999.1026, 20: 998.2071, 22: 997.7735, 25: 997.0479, 30: 995.6502}


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


@pytest.mark.parametrize(("t", "density"), TANAKA.items())
def test_formula_gives_its_own_values(t, density):
    """Tanaka et al. 2001, formula of p. 305, to the last digit kept."""
    assert water_density(ICE_POINT + t) == pytest.approx(density, abs=6e-6)


def test_greatest_density_is_at_four_degrees():
    """Tanaka et al. 2001: 999.974950 kg/m³ at 3.983035 °C, exact in the formula."""
    assert water_density(ICE_POINT + 3.983035) == pytest.approx(999.974950, abs=1e-9)
    assert water_density(ICE_POINT + 3.9) < 999.974950 > water_density(ICE_POINT + 4.1)


@pytest.mark.parametrize(("t", "density"), IAPWS_95.items())
def test_agrees_with_iapws_95(t, density):
    """IAPWS R6-95, computed with CoolProp 8.0.0: within 1.2 parts in a million."""
    assert water_density(ICE_POINT + t) == pytest.approx(density, rel=1.2e-6)


@pytest.mark.parametrize("t", range(5, 36, 5))
def test_agrees_with_kell(t):
    """Kell 1975 with the denominator 16.879850e-3: within 0.0033 kg/m³."""
    assert water_density(ICE_POINT + t) == pytest.approx(kell_1975(t), abs=0.0033)


def test_kell_with_swapped_digits_is_caught():
    """Trap: 16.897850e-3 circulates for 16.879850e-3 and is 0.27 kg/m³ out at 20 °C.

    997.0449 at 25 °C is Kell's printed value (from memory).
    """
    assert kell_1975(25) == pytest.approx(997.0449, abs=5e-5)
    assert kell_1975(20, 16.897850e-3) - water_density(293.15) == pytest.approx(-0.271, abs=0.004)


@pytest.mark.parametrize(("t", "density"), OLDER_TABLE.items())
def test_not_the_older_table(t, density):
    """Trap: 998.2071, 997.0479 … is the table before Tanaka; near, but not to be mixed."""
    assert water_density(ICE_POINT + t) == pytest.approx(density, abs=0.0015)
    if t >= 20:
        assert abs(water_density(ICE_POINT + t) - density) > 2e-4


# Central differences of Tanaka's formula; 2.0681e-4 at 20 °C with CoolProp 8.0.0.
EXPANSION = {15: 1.509e-4, 18: 1.852e-4, 20: 2.0687e-4, 22: 2.276e-4, 25: 2.573e-4, 30: 3.034e-4}


@pytest.mark.parametrize(("t", "expansion"), EXPANSION.items())
def test_expansion_of_water(t, expansion):
    """Cubic expansion; EURACHEM/CITAC CG4 (QUAM:2012) A1.4 takes 2.1e-4 at 20 °C."""
    assert expansion_of(FLUIDS["water"], ICE_POINT + t)[0] == pytest.approx(expansion, abs=1e-7)


def test_expansion_of_water_in_the_guide_to_quantifying_uncertainty():
    """EURACHEM/CITAC CG4 (QUAM:2012), Example A1, A1.4: 2.1e-4 per °C (seen)."""
    assert expansion_of(FLUIDS["water"])[0] == pytest.approx(2.1e-4, rel=0.02)


def test_doubt_of_temperature_is_carried():
    """First-order propagation, JCGM 100:2008 eq. (10): u(ρ) = ρ β u(t)."""
    density = water_density(ufloat(293.15, 0.5))
    assert density.std_dev == pytest.approx(998.2067 * 2.0687e-4 * 0.5, rel=1e-3)


@pytest.mark.parametrize("t", [-0.1, 40.1, float("nan")])
def test_outside_its_range_it_says_so(t):
    with pytest.raises(ValueError, match="density of water holds from 0 to 40 °C"):
        water_density(ICE_POINT + t)


def test_ice_point_is_that_of_the_unit_list():
    assert conversion("degC").zero == ICE_POINT
    assert celsius(ICE_POINT) == 0


# CRC Handbook of Chemistry and Physics, "Standard density of water" (from memory).
HANDBOOK_WARM = {45: 990.21, 50: 988.04, 60: 983.20, 70: 977.76, 80: 971.79, 90: 965.31}


@pytest.mark.parametrize(("t", "density"), HANDBOOK_WARM.items())
def test_warm_water_of_the_handbook(t, density):
    """CRC Handbook, table of the density of water: within the stated uncertainty."""
    fluid = FLUIDS["water"]
    found, doubt = density_of(fluid, ICE_POINT + t)
    assert found == pytest.approx(density, abs=0.03)
    assert doubt > 0.03


@pytest.mark.parametrize("t", [40.5, 45, 55, 65, 75, 85, 95, 99])
def test_warm_water_agrees_with_iapws_95(t):
    """IAPWS R6-95 by CoolProp: within half of the stated standard uncertainty."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    expected = coolprop.PropsSI("D", "T", ICE_POINT + t, "P", 101325.0, "Water")
    assert warm_water_density(ICE_POINT + t) == pytest.approx(expected, abs=0.025)
    assert FLUIDS["water"].density(ICE_POINT + t) == pytest.approx(warm_water_density(ICE_POINT + t), abs=0.001)


def test_no_step_where_one_equation_takes_over():
    """At 40 °C the two differ by less than the closer one's own uncertainty."""
    assert warm_water_density(ICE_POINT + 40) == pytest.approx(water_density(ICE_POINT + 40), abs=0.01)


def test_no_water_above_its_boiling_point():
    """Above 100 °C nothing is stated."""
    with pytest.raises(ValueError, match=r"water.* holds from 0 to 100 °C"):
        density_of(FLUIDS["water"], ICE_POINT + 101)
