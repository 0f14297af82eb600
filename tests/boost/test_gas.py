"""The charge mixture: its atoms counted by hand, kinds of number, and what it refuses.

What its gases are like is held against Cantera in tests/references.
"""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.boost.gas import ATOMIC_WEIGHTS, FUELS, SPECIES, Mixture, mixture


@pytest.mark.parametrize("fuel", FUELS[1:])
@pytest.mark.parametrize("strength", [0.7, 1.0, 1.25, 1.6])
def test_burning_keeps_every_atom(fuel: str, strength: float) -> None:
    from ccassist.boost.gas import _burned, _fresh

    before, after = _fresh(fuel, strength), _burned(fuel, strength)
    for name in ATOMIC_WEIGHTS:
        count = [sum(n * getattr(SPECIES[s].atoms, name) for s, n in side.items()) for side in (before, after)]
        assert count[1] == pytest.approx(count[0], abs=1e-14)
    assert min(after.values()) >= -1e-15


def test_rich_products_are_in_water_gas_equilibrium() -> None:
    """K = 3.5: Heywood (1988) sec. 4.6 (from memory)."""
    from ccassist.boost.gas import _burned

    made = _burned("iso-octane", 1.2)
    assert made["H2O"] * made["CO"] / made["CO2"] / made["H2"] == pytest.approx(3.5)


def test_heat_freed_is_the_heating_value_while_there_is_air_enough() -> None:
    def freed(strength: float) -> float:
        fresh, burned = (mixture("iso-octane", strength, share) for share in (0.0, 1.0))
        return (fresh.enthalpy(298.15) - burned.enthalpy(298.15)) / fresh.fuel_fraction / fresh.heating_value

    assert freed(0.8) == pytest.approx(1.0, rel=1e-9)
    assert freed(1.2) < 0.9


@pytest.mark.parametrize("name", ["cp", "gamma", "enthalpy", "entropy_function"])
def test_arrays_floats_and_uncertain_numbers_agree(name: str) -> None:
    gas = mixture("ethanol", 1.1, 0.05)
    temperatures = np.array([250.0, 600.0, 1000.0, 1400.0])
    property_ = getattr(gas, name)
    singly = [property_(float(t)) for t in temperatures]
    assert property_(temperatures) == pytest.approx(singly, rel=1e-13)
    doubtful = property_(ufloat(600.0, 2.0))
    slope = (property_(600.01) - property_(599.99)) / 0.02
    assert doubtful.nominal_value == pytest.approx(singly[1], rel=1e-13)
    assert doubtful.std_dev == pytest.approx(2 * abs(slope), rel=1e-5)


def test_residual_may_be_an_array() -> None:
    shares = np.array([0.0, 0.05, 0.1])
    together = mixture("iso-octane", 1.0, shares).gamma(np.array([350.0, 350.0, 1200.0]))
    singly = [mixture("iso-octane", 1.0, s).gamma(t) for s, t in zip(shares, (350.0, 350.0, 1200.0), strict=True)]
    assert together == pytest.approx(singly, rel=1e-13)


def test_dry_air_has_no_fuel() -> None:
    air: Mixture = mixture("none", 1.0, 0.3)
    assert (air.equivalence_ratio, air.fuel_fraction, air.heating_value) == (0.0, 0.0, 0.0)
    assert air.gamma(500.0) == pytest.approx(mixture("none", 0.0, 0.0).gamma(500.0), rel=1e-14)
    assert np.isnan(air.stoichiometric_air_fuel)


@pytest.mark.parametrize("strength", [-0.1, 2.1, float("nan")])
def test_strengths_outside_are_refused(strength: float) -> None:
    with pytest.raises(ValueError, match="equivalence ratio must be from 0 to 2"):
        mixture("toluene", strength, 0.0)


def test_unknown_fuel_is_refused() -> None:
    with pytest.raises(ValueError, match="no such fuel: paraffin"):
        mixture("paraffin", 1.0, 0.0)
