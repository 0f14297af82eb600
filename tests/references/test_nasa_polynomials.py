"""Gas properties against two independent libraries and a published table of mixtures.

Sources, each named beside its test: Cantera (its ``nasa_gas.yaml`` holds the
same NASA TM-4513 data: an independent evaluation and mixing); CoolProp (its
own equations of state: independent data); dry air and fuel-vapour mixtures
computed with Cantera beforehand and rounded to four places.
"""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from ccassist.boost.gas import ATOMIC_WEIGHTS, DRY_AIR, FUELS, GAS_CONSTANT, SPECIES, mixture

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


def test_atomic_weights_are_the_standard_ones() -> None:
    """IUPAC abridged standard atomic weights as Cantera carries them."""
    symbols = {"carbon": "C", "hydrogen": "H", "oxygen": "O", "nitrogen": "N", "argon": "Ar"}
    for name, weight in ATOMIC_WEIGHTS.items():
        assert weight * 1e3 == pytest.approx(cantera.Element(symbols[name]).weight, rel=1e-12)


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


@pytest.mark.parametrize("fuel", FUELS[1:])
def test_heating_value_is_that_of_the_vapour(fuel: str) -> None:
    """Heywood (1988) table D.4 (from memory), liquid plus heat of evaporation, within 0.3 %."""
    assert mixture(fuel, 1.0, 0.0).heating_value / 1e6 == pytest.approx(sum(LIQUID_AND_EVAPORATION[fuel]), rel=3e-3)


@pytest.mark.parametrize("temperature", [250.0, 300.0, 400.0, 500.0, 700.0, 900.0, 1000.0])
def test_air_against_coolprop(temperature: float) -> None:
    """CoolProp's ideal-gas air (its own fit of other data): heat capacity within 0.1 %, γ within 0.0005."""
    from CoolProp.CoolProp import PropsSI  # takes two seconds to load

    constant = PropsSI("GAS_CONSTANT", "Air") / PropsSI("M", "Air")
    cp = PropsSI("CP0MASS", "T", temperature, "P", 1e5, "Air")
    air = mixture("none", 0.0, 0.0)
    assert air.cp(temperature) == pytest.approx(cp, rel=1e-3)
    assert air.gamma(temperature) == pytest.approx(cp / (cp - constant), abs=5e-4)


# γ(T), four places: computed with Cantera from NASA TM-4513.  The residual column counts molecules.
KELVIN = (300, 350, 400, 450, 500, 600, 700, 800, 900, 1000, 1500, 2000)
GAMMAS = {
    ("none", 0.0, 0.0): "1.4000 1.3979 1.3948 1.3910 1.3865 1.3761 1.3648 1.3538 1.3440 1.3364 1.3116 1.2976",
    ("iso-octane", 1.0, 0.0): "1.3548 1.3464 1.3380 1.3297 1.3216 1.3064 1.2926 1.2807 1.2706 1.2625 1.2378 1.2247",
    ("iso-octane", 1.14, 0.0): "1.3496 1.3405 1.3316 1.3229 1.3146 1.2989 1.2851 1.2731 1.2631 1.2550 1.2305 1.2176",
    ("iso-octane", 1.0, 0.08): "1.3561 1.3479 1.3397 1.3316 1.3236 1.3085 1.2949 1.2830 1.2730 1.2649 1.2400 1.2267",
    ("toluene", 1.0, 0.0): "1.3697 1.3615 1.3532 1.3448 1.3366 1.3212 1.3076 1.2959 1.2861 1.2780 1.2542 1.2415",
    ("ethanol", 1.0, 0.0): "1.3589 1.3499 1.3405 1.3313 1.3222 1.3055 1.2912 1.2792 1.2692 1.2607 1.2362 1.2233",
    ("iso-octane", 1.0, 1.0): "1.3716 1.3660 1.3602 1.3543 1.3484 1.3363 1.3245 1.3133 1.3033 1.2951 1.2680 1.2534",
}


@pytest.mark.parametrize("case", sorted(GAMMAS))
def test_table_of_gamma(case: tuple[str, float, float]) -> None:
    """Printed to four places; the strength 1.14 stands for 1/0.88, and 8 % of the molecules are residual."""
    fuel, strength, share = case
    strength = 1 / 0.88 if strength == 1.14 else strength
    fresh, burned = mixture(fuel, strength, 0.0), mixture(fuel, strength, 1.0)
    weight = share / burned.gas_constant / (share / burned.gas_constant + (1 - share) / fresh.gas_constant)
    printed = [float(text) for text in GAMMAS[case].split()]
    found = mixture(fuel, strength, weight).gamma(np.array(KELVIN, dtype=float))
    assert np.abs(found - printed).max() < 1.05e-4 / 2
