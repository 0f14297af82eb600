"""Isentropic compression against two independent libraries, and the effective exponents of charge mixtures.

Sources: Cantera (its own equilibrium at constant entropy and volume, frozen
composition, same NASA data); CoolProp (its own equation of state of air, and
so also the size of what an ideal gas leaves out); exponents computed with
Cantera beforehand, to three places.
"""

from __future__ import annotations

import warnings
from math import log

import pytest

from ccassist.boost.charge import GasState, effective_exponent, isentropic
from ccassist.boost.gas import DRY_AIR, SPECIES, Mixture, mixture

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import cantera

AIR = mixture("none", 0.0, 0.0)
START = GasState(pressure=1e5, temperature=340.0)


@pytest.mark.parametrize(("fuel", "theirs"), [("iso-octane", "C8H18,isooctane"), ("ethanol", "C2H5OH")])
@pytest.mark.parametrize("ratio", [1.0, 6.5, 12.0, 25.0])
def test_cantera_at_the_same_entropy_and_volume(fuel: str, theirs: str, ratio: float) -> None:
    """Cantera finds the state of equal entropy at the smaller specific volume by its own solver."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        named = {s.name: s for s in cantera.Species.list_from_file("nasa_gas.yaml")}
    gas = cantera.Solution(thermo="ideal-gas", species=[named[name] for name in (*DRY_AIR, theirs)])
    gas.TPX = 340.0, 1e5, {**DRY_AIR, theirs: 1.1 * DRY_AIR["O2"] / SPECIES[fuel].oxygen_needed}
    gas.SV = gas.s, gas.v / ratio
    end = isentropic(mixture(fuel, 1.1, 0.0), START, ratio)
    assert end.temperature == pytest.approx(gas.T, rel=1e-7)
    assert end.pressure == pytest.approx(gas.P, rel=1e-7)


@pytest.mark.parametrize(("ratio", "apart"), [(4.0, 2.0), (8.0, 4.0), (12.0, 6.5)])
def test_coolprop_real_air(ratio: float, apart: float) -> None:
    """CoolProp's real air ends 2 to 8 K hotter: below every other doubt in an engine."""
    from CoolProp.CoolProp import PropsSI  # takes two seconds to load

    entropy = PropsSI("SMASS", "T", 300.0, "P", 1e5, "Air")
    density = PropsSI("DMASS", "T", 300.0, "P", 1e5, "Air")
    real = PropsSI("T", "SMASS", entropy, "DMASS", density * ratio, "Air")
    ours = isentropic(AIR, GasState(pressure=1e5, temperature=300.0), ratio).temperature
    assert 0 < real - ours < apart


RATIOS = (6.0, 8.0, 10.0, 12.0)
EXPONENTS = {
    ("none", 0.0): {
        300: (1.391, 1.388, 1.386, 1.384),
        340: (1.386, 1.383, 1.380, 1.378),
        380: (1.381, 1.377, 1.374, 1.372),
    },
    ("iso-octane", 1.0): {
        300: (1.336, 1.332, 1.330, 1.327),
        340: (1.328, 1.324, 1.321, 1.319),
        380: (1.320, 1.316, 1.313, 1.310),
    },
    ("iso-octane", 1 / 0.88): {
        300: (1.330, 1.326, 1.324, 1.321),
        340: (1.321, 1.318, 1.315, 1.312),
        380: (1.313, 1.309, 1.306, 1.304),
    },
    ("ethanol", 1.0): {
        300: (1.338, 1.334, 1.331, 1.328),
        340: (1.329, 1.325, 1.322, 1.319),
        380: (1.320, 1.316, 1.313, 1.310),
    },
}


@pytest.mark.parametrize("case", EXPONENTS)
@pytest.mark.parametrize("kelvin", [300, 340, 380])
def test_effective_exponents_to_three_places(case: tuple[str, float], kelvin: int) -> None:
    """n = ln(p₂/p₁) ÷ ln r of the adiabatic compression, computed with Cantera; within one in the last place."""
    gas: Mixture = mixture(*case, 0.0)
    start = GasState(pressure=1e5, temperature=float(kelvin))
    for ratio, printed in zip(RATIOS, EXPONENTS[case][kelvin], strict=True):
        end = isentropic(gas, start, ratio)
        found = effective_exponent(start, end, ratio)
        assert found == pytest.approx(printed, abs=6e-4)
        assert found == pytest.approx(1 + log(end.temperature / kelvin) / log(ratio), rel=1e-12)
