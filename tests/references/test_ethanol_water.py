"""Ethanol and water: OIML R 22 (1975), general formula p. 5, constants p. 13."""

from __future__ import annotations

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, ethanol_water_density, mass_fraction, water_density
from ccassist.bench.fluids import ethanol, expansion_of

# fmt: off
# mass fraction, °C -> kg/m³: verification points of a public transcription of OIML R 22.
CHECKS = {
    (0, 20): 998.20123, (1, 20): 789.2391233, (0, 0): 999.8369332, (1, 0): 806.2151206, (0.5, 20): 913.7705950,
}
# % by volume at 20 °C -> mass fraction, density, cubic expansion; OIML R 22 computed apart from this code.
BY_VOLUME = {
    40: (0.33300, 948.045, 7.03e-4), 70: (0.62386, 885.562, 9.39e-4), 90: (0.85665, 829.182, 1.047e-3),
    95: (0.92408, 811.380, 1.068e-3), 96: (0.93838, 807.420, 1.072e-3),
}
# Aqueous ethanol at 25 °C by mass, Perry's Chemical Engineers' Handbook (from memory), relative to water at 4 °C.
HANDBOOK_25 = {0.1: 0.98043, 0.2: 0.96639, 0.3: 0.95067, 0.4: 0.93148, 0.5: 0.90985, 0.6: 0.88699, 0.7: 0.86340,
               0.8: 0.83911, 0.9: 0.81362, 1.0: 0.78506}
# fmt: on
# Incompressible-mixture model at 20 °C by mass, computed with CoolProp 8.0.0.
MIXTURE_MODEL = {0.1: 981.84, 0.2: 968.92, 0.4: 935.32, 0.5: 913.57, 0.6: 891.11}


@pytest.mark.parametrize(("point", "density"), CHECKS.items())
def test_verification_points(point, density):
    """OIML R 22 (1975), to 1e-7 kg/m³."""
    fraction, t = point
    assert ethanol_water_density(ICE_POINT + t, fraction) == pytest.approx(density, abs=1e-7)


@pytest.mark.parametrize(("percent", "row"), BY_VOLUME.items())
def test_strength_by_volume(percent, row):
    """OIML R 22 (1975): mass fraction, density and expansion at 20 °C."""
    fraction, density, expansion = row
    fluid = ethanol(percent / 100)
    assert mass_fraction(percent / 100) == pytest.approx(fraction, abs=6e-6)
    assert fluid.density(293.15) == pytest.approx(density, abs=1.5e-3)
    assert expansion_of(fluid)[0] == pytest.approx(expansion, abs=5e-7)


@pytest.mark.parametrize(("fraction", "relative"), HANDBOOK_25.items())
def test_handbook_at_25_degrees(fraction, relative):
    """Perry's Chemical Engineers' Handbook (from memory): the mixed terms away from 20 °C, within 0.12 kg/m³."""
    assert ethanol_water_density(298.15, fraction) == pytest.approx(relative * 999.972, abs=0.12)


@pytest.mark.parametrize(("fraction", "density"), MIXTURE_MODEL.items())
def test_mixture_model(fraction, density):
    """CoolProp 8.0.0, INCOMP::MEA: within 0.35 kg/m³."""
    assert ethanol_water_density(293.15, fraction) == pytest.approx(density, abs=0.35)


@pytest.mark.parametrize("t", range(0, 41, 5))
def test_no_ethanol_is_water(t):
    """The water column of OIML R 22 (1975) is within 0.0075 kg/m³ of Tanaka et al. 2001."""
    assert ethanol_water_density(ICE_POINT + t, 0.0) == pytest.approx(water_density(ICE_POINT + t), abs=0.0075)


def test_pure_ethanol_by_its_equation_of_state():
    """CoolProp 8.0.0: 789.42 kg/m³ and 1.084e-3 per K; general libraries spread 789.2 to 790.3."""
    assert ethanol(1.0).density(293.15) == pytest.approx(789.42, abs=0.2)
    assert expansion_of(ethanol(1.0))[0] == pytest.approx(1.084e-3, rel=0.01)


def test_doubt_of_temperature_is_carried():
    """First-order propagation, JCGM 100:2008 eq. (10): u(ρ) = ρ β u(t)."""
    density = ethanol_water_density(ufloat(293.15, 1.0), mass_fraction(0.70))
    assert density.std_dev == pytest.approx(885.562 * 9.39e-4, rel=1e-3)


def test_outside_its_range_it_says_so():
    with pytest.raises(ValueError, match="ethanol and water holds from -20 to 40 °C"):
        ethanol_water_density(320.0, 0.5)
    with pytest.raises(ValueError, match="between 0 and 100 %, not at 120 %"):
        mass_fraction(1.2)
