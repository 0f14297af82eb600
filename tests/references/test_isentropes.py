"""Isentropic compression against Cantera (equal entropy, smaller volume, same NASA data) and CoolProp's real air."""

from __future__ import annotations

import warnings
from math import log

import pytest

from ccassist.boost.charge import GasState, effective_exponent, isentropic
from ccassist.boost.gas import DRY_AIR, SPECIES, mixture
from tests.references.sources import cites

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import cantera

AIR = mixture("none", 0.0, 0.0)


@cites("cantera")
@pytest.mark.parametrize(("fuel", "theirs"), [("iso-octane", "C8H18,isooctane"), ("ethanol", "C2H5OH")])
@pytest.mark.parametrize("kelvin", [300.0, 380.0])
@pytest.mark.parametrize("ratio", [1.0, 6.5, 12.0, 25.0])
def test_cantera_at_the_same_entropy_and_volume(fuel: str, theirs: str, kelvin: float, ratio: float) -> None:
    """Cantera finds the state of equal entropy at the smaller specific volume by its own solver."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        named = {s.name: s for s in cantera.Species.list_from_file("nasa_gas.yaml")}
    gas = cantera.Solution(thermo="ideal-gas", species=[named[name] for name in (*DRY_AIR, theirs)])
    gas.TPX = kelvin, 1e5, {**DRY_AIR, theirs: 1.1 * DRY_AIR["O2"] / SPECIES[fuel].oxygen_needed}
    gas.SV = gas.s, gas.v / ratio
    start = GasState(pressure=1e5, temperature=kelvin)
    end = isentropic(mixture(fuel, 1.1, 0.0), start, ratio)
    assert end.temperature == pytest.approx(gas.T, rel=1e-7)
    assert end.pressure == pytest.approx(gas.P, rel=1e-7)
    if ratio > 1:
        exponent = log(gas.P / 1e5) / log(ratio)
        assert effective_exponent(start, end, ratio) == pytest.approx(exponent, rel=1e-6)
        assert exponent == pytest.approx(1.32, abs=0.03)  # what is usual for a vapour mixture (common practice)


@cites("coolprop")
@pytest.mark.parametrize(("ratio", "apart"), [(4.0, 2.0), (8.0, 4.0), (12.0, 6.5)])
def test_coolprop_real_air(ratio: float, apart: float) -> None:
    """CoolProp's real air ends 2 to 8 K hotter: below every other doubt in an engine."""
    from CoolProp.CoolProp import PropsSI  # takes two seconds to load

    entropy = PropsSI("SMASS", "T", 300.0, "P", 1e5, "Air")
    density = PropsSI("DMASS", "T", 300.0, "P", 1e5, "Air")
    real = PropsSI("T", "SMASS", entropy, "DMASS", density * ratio, "Air")
    ours = isentropic(AIR, GasState(pressure=1e5, temperature=300.0), ratio).temperature
    assert 0 < real - ours < apart
