"""Gas properties against Cantera (nasa_gas.yaml: the same data, its own mixing) and CoolProp's own air."""

from __future__ import annotations

import math
import warnings
from typing import Any

import pytest

from ccassist.boost.gas import ATOMIC_WEIGHTS, DRY_AIR, FUELS, GAS_CONSTANT, SPECIES, mixture
from tests.references.sources import cites

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import cantera

NAMES = {"iso-octane": "C8H18,isooctane", "toluene": "C7H8", "ethanol": "C2H5OH"}
TEMPERATURES = (220.0, 298.15, 400.0, 700.0, 999.0, 1001.0, 1500.0, 2500.0)


@pytest.fixture(scope="module")
def nasa() -> dict[str, Any]:
    """Cantera's species of the NASA file, by its names."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return {s.name: s for s in cantera.Species.list_from_file("nasa_gas.yaml")}


def theirs(nasa: dict[str, Any], molecules: dict[str, float], temperature: float) -> Any:
    """The same molecules in Cantera, at 1 bar."""
    species = [nasa[NAMES.get(name, name)] for name in molecules]
    gas = cantera.Solution(thermo="ideal-gas", species=species)
    gas.TPX = temperature, 1e5, {NAMES.get(name, name): n for name, n in molecules.items()}
    return gas


@cites("cantera")
@pytest.mark.parametrize("name", sorted(SPECIES))
def test_species_are_those_of_the_published_table(nasa: dict[str, Any], name: str) -> None:
    """Cantera evaluates the NASA TM-4513 polynomials itself; the same numbers must come out."""
    single = nasa[NAMES.get(name, name)].thermo
    for temperature in TEMPERATURES:
        row = SPECIES[name].cool if temperature <= 1000 else SPECIES[name].hot
        cp = sum(a * temperature**i for i, a in enumerate(row[:5]))
        assert cp * GAS_CONSTANT * 1e3 == pytest.approx(single.cp(temperature), rel=1e-12)
        heat = sum(a * temperature**i / (i + 1) for i, a in enumerate(row[:5])) + row[5] / temperature
        assert heat * temperature * GAS_CONSTANT * 1e3 == pytest.approx(single.h(temperature), rel=1e-12, abs=1e-3)
        rise = sum(a * temperature**i / i for i, a in enumerate(row[1:5], 1))
        entropy = row[0] * math.log(temperature) + rise + row[6]
        assert entropy * GAS_CONSTANT * 1e3 == pytest.approx(single.s(temperature), rel=1e-12)


@cites("cantera")
def test_atomic_weights_are_the_standard_ones() -> None:
    """IUPAC abridged standard atomic weights as Cantera carries them."""
    symbols = {"carbon": "C", "hydrogen": "H", "oxygen": "O", "nitrogen": "N", "argon": "Ar"}
    for name, weight in ATOMIC_WEIGHTS.items():
        assert weight * 1e3 == pytest.approx(cantera.Element(symbols[name]).weight, rel=1e-12)


@cites("cantera")
@pytest.mark.parametrize("fuel", FUELS[1:])
def test_fresh_mixture_matches_cantera(nasa: dict[str, Any], fuel: str) -> None:
    """Cantera mixes fuel and air by moles; here it is done by mass."""
    molecules = {**DRY_AIR, fuel: 0.9 * DRY_AIR["O2"] / SPECIES[fuel].oxygen_needed}
    ours = mixture(fuel, 0.9, 0.0)
    cold = theirs(nasa, molecules, 300.0).s
    for temperature in TEMPERATURES:
        gas = theirs(nasa, molecules, temperature)
        assert ours.cp(temperature) == pytest.approx(gas.cp, rel=1e-9)
        assert ours.gamma(temperature) == pytest.approx(gas.cp / gas.cv, rel=1e-9)
        assert ours.enthalpy(temperature) == pytest.approx(gas.h, rel=1e-9)
        rise = ours.entropy_function(temperature) - ours.entropy_function(300.0)
        assert rise == pytest.approx(gas.s - cold, rel=1e-8, abs=1e-6)


@cites("cantera")
@pytest.mark.parametrize("fuel", FUELS[1:])
def test_air_fuel_and_fuel_share_match_cantera(nasa: dict[str, Any], fuel: str) -> None:
    """Cantera's stoichiometric air per fuel by mass, and the fuel's mass fraction in the mixture."""
    gas = theirs(nasa, {**DRY_AIR, fuel: 0.0, "CO2": 0.0, "H2O": 0.0}, 300.0)
    assert mixture(fuel, 1.0, 0.0).stoichiometric_air_fuel == pytest.approx(
        gas.stoich_air_fuel_ratio(NAMES[fuel], DRY_AIR, "mole"), rel=1e-9
    )
    gas.set_equivalence_ratio(1.2, NAMES[fuel], DRY_AIR)
    assert mixture(fuel, 1.2, 0.1).fuel_fraction == pytest.approx(0.9 * gas.Y[gas.species_index(NAMES[fuel])], rel=1e-9)


# Vapour at 25 °C = liquid + evaporation, MJ/kg: Heywood (1988) table D.4, both from memory
LIQUID_AND_EVAPORATION = {"iso-octane": (44.3, 0.31), "toluene": (40.6, 0.41), "ethanol": (26.9, 0.84)}


@cites("heywood")
@pytest.mark.parametrize("fuel", FUELS[1:])
def test_heating_value_is_that_of_the_vapour(fuel: str) -> None:
    """Heywood (1988) table D.4 (from memory), liquid plus heat of evaporation, within 0.3 %."""
    assert mixture(fuel, 1.0, 0.0).heating_value / 1e6 == pytest.approx(sum(LIQUID_AND_EVAPORATION[fuel]), rel=3e-3)


@cites("coolprop")
@pytest.mark.parametrize("temperature", [250.0, 300.0, 400.0, 500.0, 700.0, 900.0, 1000.0])
def test_air_against_coolprop(temperature: float) -> None:
    """CoolProp's ideal-gas air (its own fit of other data): heat capacity within 0.1 %, γ within 0.0005."""
    from CoolProp.CoolProp import PropsSI  # takes two seconds to load

    constant = PropsSI("GAS_CONSTANT", "Air") / PropsSI("M", "Air")
    cp = PropsSI("CP0MASS", "T", temperature, "P", 1e5, "Air")
    air = mixture("none", 0.0, 0.0)
    assert air.cp(temperature) == pytest.approx(cp, rel=1e-3)
    assert air.gamma(temperature) == pytest.approx(cp / (cp - constant), abs=5e-4)


@cites("cantera")
@pytest.mark.parametrize("left", [0.0, 0.08, 1.0])
@pytest.mark.parametrize("strength", [0.9, 1.0])
@pytest.mark.parametrize("fuel", FUELS[1:])
def test_gamma_with_residual(nasa: dict[str, Any], fuel: str, strength: float, left: float) -> None:
    """Complete burning counted anew; of the molecules a share is left from before."""
    atoms = {"iso-octane": (8, 18, 0), "toluene": (7, 8, 0), "ethanol": (2, 6, 1)}[fuel]
    carbon, hydrogen, oxygen = (strength * DRY_AIR["O2"] / (atoms[0] + atoms[1] / 4 - atoms[2] / 2) * n for n in atoms)
    spare = DRY_AIR["O2"] + oxygen / 2 - carbon - hydrogen / 4
    burned = {**DRY_AIR, "O2": spare, "CO2": carbon, "H2O": hydrogen / 2}
    fresh = {**DRY_AIR, fuel: carbon / atoms[0]}
    shares = [(side, share / sum(side.values())) for side, share in ((fresh, 1 - left), (burned, left))]
    mixed: dict[str, float] = {}
    for side, scale in shares:
        for name, count in side.items():
            mixed[name] = mixed.get(name, 0.0) + scale * count
    one, other = mixture(fuel, strength, 0.0), mixture(fuel, strength, 1.0)
    weight = left / other.gas_constant / (left / other.gas_constant + (1 - left) / one.gas_constant)
    for temperature in (300.0, 700.0, 2000.0):
        gas = theirs(nasa, mixed, temperature)
        assert mixture(fuel, strength, weight).gamma(temperature) == pytest.approx(gas.cp / gas.cv, rel=1e-8)
