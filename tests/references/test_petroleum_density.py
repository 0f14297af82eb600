"""Paraffin and oils: ASTM D1250-80 / API MPMS 11.1, correction to 15 °C (coefficients seen as transcribed)."""

from __future__ import annotations

import pytest

from ccassist.bench.densities import PETROLEUM_GROUPS, petroleum_density, petroleum_expansion

# fmt: off
# density at 15 °C, group, cubic expansion at 15 °C; computed from the published constants.
EXPANSION = [
    (775.0, "paraffin", 9.90e-4), (800.0, "paraffin", 9.29e-4), (838.0, "paraffin", 8.47e-4),
    (820.0, "diesel", 8.71e-4), (845.0, "diesel", 8.37e-4),
    (830.0, "lubricating oil", 7.56e-4), (850.0, "lubricating oil", 7.39e-4), (880.0, "lubricating oil", 7.13e-4),
]
# fmt: on
AT_20 = [(800.0, "paraffin", 796.3), (835.0, "diesel", 831.4), (850.0, "lubricating oil", 846.9)]


@pytest.mark.parametrize(("density", "group", "expansion"), EXPANSION)
def test_expansion_at_15(density, group, expansion):
    assert petroleum_expansion(density, group) == pytest.approx(expansion, abs=6e-7)


@pytest.mark.parametrize(("density", "group", "at_20"), AT_20)
def test_density_at_20(density, group, at_20):
    """Jet-kerosene, diesel and lubricating-oil groups."""
    assert petroleum_density(293.15, density, group) == pytest.approx(at_20, abs=0.06)
    assert petroleum_density(288.15, density, group) == pytest.approx(density, abs=1e-9)


def test_oil_constant_is_the_one_per_degree_celsius():
    """Trap: 0.34878 is the same constant per degree Fahrenheit, and is met under a Celsius heading."""
    assert PETROLEUM_GROUPS["lubricating oil"] == (0.0, pytest.approx(0.34878 * 1.8, abs=5e-5))


def test_stand_in_of_known_density():
    """n-dodecane, a stand-in for paraffin: 9.90e-4 per K at 20 °C (CoolProp 8.0.0); the group gives it within 8 %."""
    assert petroleum_expansion(753.1, "paraffin") == pytest.approx(9.90e-4, rel=0.08)
