"""Ethanol and water: OIML R 22 (1975), general formula p. 5, constants p. 13."""

from __future__ import annotations

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, ethanol_water_density, mass_fraction, water_density
from ccassist.bench.fluids import ethanol, expansion_of
from tests.references.sources import cites, promise

# fmt: off
# mass fraction, °C -> kg/m³: verification points of a public transcription of OIML R 22.
CHECKS = {
    (0, 20): 998.20123, (1, 20): 789.2391233, (0, 0): 999.8369332, (1, 0): 806.2151206, (0.5, 20): 913.7705950,
}
# Aqueous ethanol at 25 °C by mass, Perry's Chemical Engineers' Handbook (from memory), relative to water at 4 °C.
HANDBOOK_25 = {0.1: 0.98043, 0.2: 0.96639, 0.3: 0.95067, 0.4: 0.93148, 0.5: 0.90985, 0.6: 0.88699, 0.7: 0.86340,
               0.8: 0.83911, 0.9: 0.81362, 1.0: 0.78506}
# fmt: on


@cites("r22")
@pytest.mark.parametrize(("point", "density"), CHECKS.items())
def test_verification_points(point, density):
    """OIML R 22 (1975), to 1e-7 kg/m³."""
    fraction, t = point
    assert ethanol_water_density(ICE_POINT + t, fraction) == pytest.approx(density, abs=1e-7)


@cites("own")
@pytest.mark.parametrize("strength", [0.40, 0.70, 0.90, 0.96])
def test_strength_by_volume(strength):
    """What the words mean: the pure ethanol in a litre, at 20 °C, over a litre; and the slope by differences."""
    fraction, fluid = mass_fraction(strength), ethanol(strength)
    density, pure = fluid.density(293.15), ethanol_water_density(293.15, 1.0)
    assert fraction * density / pure == pytest.approx(strength, rel=1e-9)
    slope = (ethanol_water_density(292.65, fraction) - ethanol_water_density(293.65, fraction)) / density
    assert expansion_of(fluid)[0] == pytest.approx(slope, rel=1e-4)


@cites("perry")
@pytest.mark.parametrize(("fraction", "relative"), HANDBOOK_25.items())
def test_handbook_at_25_degrees(fraction, relative):
    """Perry's Chemical Engineers' Handbook (from memory): the mixed terms away from 20 °C, within 0.12 kg/m³."""
    assert ethanol_water_density(298.15, fraction) == pytest.approx(relative * 999.972, abs=0.12)


@cites("coolprop")
@pytest.mark.parametrize("fraction", [0.1, 0.2, 0.4, 0.5, 0.6])
def test_mixture_model(fraction):
    """CoolProp INCOMP::MEA, its incompressible mixture: within 0.35 kg/m³."""
    from CoolProp.CoolProp import PropsSI

    theirs = PropsSI("D", "T", 293.15, "P", 101325.0, f"INCOMP::MEA[{fraction}]")
    assert ethanol_water_density(293.15, fraction) == pytest.approx(theirs, abs=0.35)


@cites("tanaka")
@pytest.mark.parametrize("t", range(0, 41, 5))
def test_no_ethanol_is_water(t):
    """The water column of OIML R 22 (1975) is within 0.0075 kg/m³ of Tanaka et al. 2001."""
    assert ethanol_water_density(ICE_POINT + t, 0.0) == pytest.approx(water_density(ICE_POINT + t), abs=0.0075)


@cites("coolprop")
def test_pure_ethanol_by_its_equation_of_state():
    """CoolProp's density within 0.25 kg/m³, its expansion within 1 %."""
    from CoolProp.CoolProp import PropsSI

    low, here, high = (PropsSI("D", "T", kelvin, "P", 101325.0, "Ethanol") for kelvin in (292.15, 293.15, 294.15))
    assert ethanol(1.0).density(293.15) == pytest.approx(here, abs=0.25)
    assert expansion_of(ethanol(1.0))[0] == pytest.approx((low - high) / 2 / here, rel=0.01)


@cites("gum")
def test_doubt_of_temperature_is_carried():
    """First-order propagation, eq. (10): u(ρ) = u(t) by the slope, here by differences."""
    fraction = mass_fraction(0.70)
    density = ethanol_water_density(ufloat(293.15, 1.0), fraction)
    slope = ethanol_water_density(292.65, fraction) - ethanol_water_density(293.65, fraction)
    assert density.std_dev == pytest.approx(slope, rel=1e-4)


@promise()
def test_outside_its_range_it_says_so():
    with pytest.raises(ValueError, match="ethanol and water holds from -20 to 40 °C"):
        ethanol_water_density(320.0, 0.5)
    with pytest.raises(ValueError, match="between 0 and 100 %, not at 120 %"):
        mass_fraction(1.2)
