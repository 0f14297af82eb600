"""The charge from the air outside to intake closing: what is assumed, what goes before what, and the state reached.

Outside checks of compressor and cooler stand in tests/references (textbooks).
Here consistency alone is checked, no physics.
"""

from __future__ import annotations

import warnings
from dataclasses import replace

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.boost.charge import Charge, charge, compressor_outlet, cooler_outlet
from ccassist.boost.conditions import (
    AIR,
    COMPRESSOR,
    Conditions,
    absolute,
    aspirated,
    conditions,
    gauge,
    remarks,
    standard_pressure,
)
from ccassist.boost.gas import mixture
from ccassist.values.measured import Value
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import budget
from ccassist.vocabulary import TERMS

BAR = 1e5


def stated(**numbers: object) -> dict[str, Value]:
    return {key: Value(key=key, number=number, origin="stated") for key, number in numbers.items()}


def sure(**numbers: object) -> Conditions:
    """Conditions with nothing in doubt: 25 °C, standard pressure, no losses, as in the computed table below."""
    given = {"barometer": 101325.0, "intake_air_temperature": 298.15, "charge_heating": 20.0, "filling": 1.0}
    given |= {"exhaust_ratio": 1.05, "residual_temperature": 1100.0, "mixture_strength": 0.88}
    given |= {"compressor_efficiency": 0.75, "cooler_effectiveness": 0.8, "cooler_drop": 0.0} if numbers else {}
    return conditions("iso-octane", stated(**{**given, **numbers}))


@pytest.mark.parametrize("ratio", [8.5, 10.5])
@pytest.mark.parametrize("boost", [0.0, 1.0, 1.8])
def test_state_at_closing_by_a_reference_library(boost: float, ratio: float) -> None:
    """Compressor, cooler and mixing again by Cantera 3's isentropes and enthalpies (its own nasa_gas.yaml)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import cantera

        named = {one.name: one for one in cantera.Species.list_from_file("nasa_gas.yaml")}
    fuel, air = "C8H18,isooctane", {"O2": 0.2095, "N2": 0.7812, "Ar": 0.0093}
    gas = cantera.Solution(thermo="ideal-gas", species=[named[n] for n in (*air, fuel, "CO2", "H2O")])
    there = charge(sure(boost_gauge=boost * BAR, mixture_strength=1.0) if boost else sure(mixture_strength=1.0), ratio)
    gas.TPX = 298.15, 101325.0, air
    begin = gas.h
    gas.SP = gas.s, 101325.0 + boost * BAR
    gas.HP = begin + (gas.h - begin) / 0.75, gas.P
    manifold = 298.15 + 0.2 * (gas.T - 298.15)
    assert there.charge_temperature == pytest.approx(manifold, abs=0.01)
    moles = 0.2095 / 12.5
    gas.TPX = manifold + 20.0, 1e5, {**air, fuel: moles}
    fresh = cantera.Quantity(gas, mass=1.0, constant="HP")
    fresh_constant = cantera.gas_constant / gas.mean_molecular_weight
    gas.TPX = 1100.0, 1e5, {"N2": 0.7812, "Ar": 0.0093, "CO2": 8 * moles, "H2O": 9 * moles}
    residual_constant = cantera.gas_constant / gas.mean_molecular_weight
    share = 1.05 / ratio * fresh_constant * (manifold + 20.0) / (residual_constant * 1100.0)
    assert there.residual_fraction == pytest.approx(share, rel=1e-4)
    fresh += cantera.Quantity(gas, mass=share / (1 - share), constant="HP")
    assert there.closing.temperature == pytest.approx(fresh.T, abs=0.02)
    assert there.closing.pressure == 101325.0 + boost * BAR


def test_gauge_and_absolute_are_kept_apart() -> None:
    """Common practice, recomputed: 1 bar gauge at 0.84 bar is 1.82 × the standard pressure, not 1.99."""
    high = charge(sure(boost_gauge=BAR, barometer=0.84 * BAR), 8.5)
    assert high.pressure_ratio == pytest.approx(1.82, abs=0.006)
    assert high.compressor_ratio == pytest.approx(2.19, abs=0.006)
    assert charge(sure(boost_gauge=BAR), 8.5).pressure_ratio == pytest.approx(1.99, abs=0.006)
    assert gauge(absolute(1e5, 9e4), 9e4) == 1e5


def test_absolute_pressure_held_makes_the_compressor_work_harder_at_altitude() -> None:
    low = conditions("iso-octane", stated(manifold_pressure=2e5, altitude=0.0))
    high = low.but(altitude=2500.0)
    assert high["manifold_pressure"] == 2e5
    assert high["barometer"].nominal_value == pytest.approx(standard_pressure(2500.0))
    assert charge(high.plain(), 8.5).charge_temperature > charge(low.plain(), 8.5).charge_temperature + 3


def test_gauge_boost_held_follows_the_barometer() -> None:
    low = conditions("iso-octane", stated(boost_gauge=1e5, barometer=1e5))
    assert low.but(barometer=8e4)["manifold_pressure"] == 1.8e5
    assert low.but(boost_gauge=5e4)["manifold_pressure"] == 1.5e5
    assert "boost_gauge" not in low.but(manifold_pressure=1.9e5).values
    assert low.but(manifold_pressure=1.9e5).but(boost_gauge=5e4)["manifold_pressure"] == 1.5e5


def test_coolant_follows_the_air_unless_it_is_stated() -> None:
    base = conditions("iso-octane", stated(boost_gauge=1e5, intake_air_temperature=300.0))
    assert base.but(intake_air_temperature=315.0)["coolant_temperature"] == 315.0
    water = base.but(coolant_temperature=330.0)
    assert water.but(intake_air_temperature=315.0)["coolant_temperature"] == 330.0


def test_no_boost_needs_no_compressor() -> None:
    """Limit: without boost the charge is the air outside, warmed and mixed with what was left."""
    natural = conditions("iso-octane", stated(barometer=1e5, intake_air_temperature=300.0))
    there = charge(natural.plain(), 9.0)
    assert not natural.compressed
    assert (there.manifold_pressure, there.charge_temperature) == (1e5, 300.0)
    assert there.compressor_ratio is there.compressor_temperature is None
    assert "compressor_efficiency" not in natural.values
    assert natural.but(boost_gauge=5e4).compressed


def test_what_is_stated_goes_before_what_would_be_computed() -> None:
    there = charge(sure(boost_gauge=1e5, charge_temperature=320.0, residual_fraction=0.06, closing_pressure=2.2e5), 8.5)
    assert there.charge_temperature == 320.0
    assert there.residual_fraction == 0.06
    assert there.closing.pressure == pytest.approx(2.2e5, rel=1e-14)
    fresh, left, both = (mixture("iso-octane", 1 / 0.88, share) for share in (0.0, 1.0, 0.06))
    kept = 0.94 * fresh.enthalpy(340.0) + 0.06 * left.enthalpy(1100.0)
    assert both.enthalpy(there.closing.temperature) == pytest.approx(kept, rel=1e-12)
    assert {v.key for v in there.computed} == {"pressure_ratio", "closing_pressure", "closing_temperature"}


def test_every_assumption_is_listed_with_its_origin() -> None:
    there: Charge = charge(conditions("ethanol", stated(boost_gauge=8e4)), 9.0)
    origins = {value.key: value.origin for value in there.conditions.values.values()}
    assert {a.key for a in (*AIR, *COMPRESSOR)} <= origins.keys()
    assert origins["boost_gauge"] == "stated"
    assert {origins["filling"], origins["cooler_drop"]} == {"assumed"}
    assert {origins["barometer"], origins["manifold_pressure"]} == {"computed"}
    assert all(value.how for value in there.conditions.values.values() if value.origin != "stated")
    assert {value.key for value in (*there.conditions.values.values(), *there.computed)} <= TERMS.keys()


@pytest.mark.parametrize("assumption", [*AIR, *COMPRESSOR], ids=lambda a: a.key)
def test_assumptions_are_plausible(assumption: object) -> None:
    low, high = TERMS[assumption.key].plausible  # type: ignore[attr-defined]
    assert low <= assumption.number <= high  # type: ignore[attr-defined]


def test_doubt_is_put_down_to_the_assumptions() -> None:
    """Common practice: filling is the largest doubt in pressure, heating and cooling in temperature."""
    there = charge(conditions("iso-octane", stated(boost_gauge=1e5)), 8.5)
    assert budget(there.closing.pressure)[0].cause.key == "filling"
    keys = {share.cause.key for share in budget(there.closing.temperature)}
    assert {"charge_heating", "cooler_effectiveness", "intake_air_temperature", "barometer"} <= keys
    assert all(share.cause.source for share in budget(there.closing.temperature))


def test_two_builds_share_their_doubts() -> None:
    base = conditions("iso-octane", stated(boost_gauge=1e5))
    apart = charge(base.but(boost_gauge=1.1e5), 8.5).closing.temperature - charge(base, 8.5).closing.temperature
    assert 0.5 < apart.nominal_value < 5
    assert apart.std_dev < 0.5 < charge(base, 8.5).closing.temperature.std_dev


def test_arrays_of_boost_and_ratio() -> None:
    boosts, ratios = np.array([0.4e5, 1.0e5]), np.array([8.5, 9.5])
    together = charge(sure(boost_gauge=boosts), ratios)
    for i in range(2):
        singly = charge(sure(boost_gauge=float(boosts[i])), float(ratios[i]))
        assert together.closing.temperature[i] == pytest.approx(singly.closing.temperature, rel=1e-14)
        assert together.mixture.gamma(400.0)[i] == pytest.approx(singly.mixture.gamma(400.0), rel=1e-14)


def test_naturally_aspirated_reference_breathes_the_same_air_at_the_fixed_pressure() -> None:
    base = conditions("iso-octane", stated(boost_gauge=1e5, barometer=8.4e4, charge_temperature=330.0))
    natural = aspirated(base)
    assert natural["manifold_pressure"] == 101325.0
    assert natural["charge_heating"] is base["charge_heating"]
    assert not natural.compressed
    assert "charge_temperature" not in natural.values


def test_without_boost_an_exhaust_that_nobody_stated_is_free() -> None:
    """The turbine's back pressure goes with the boost, its ± too; what was stated stays."""
    free = conditions("iso-octane", stated())["exhaust_ratio"]
    boosted = conditions("iso-octane", stated(boost_gauge=1e5))
    assert nominal(boosted["exhaust_ratio"]) != nominal(free)
    made = aspirated(boosted)["exhaust_ratio"]
    assert (nominal(made), standard(made)) == (nominal(free), standard(free))
    assert standard(free) > 0
    plainly = replace(boosted.values["exhaust_ratio"], number=nominal(boosted["exhaust_ratio"]))
    certain = aspirated(replace(boosted, values={**boosted.values, "exhaust_ratio": plainly}))["exhaust_ratio"]
    assert (nominal(certain), standard(certain)) == (nominal(free), 0.0)
    assert aspirated(conditions("iso-octane", stated(boost_gauge=1e5, exhaust_ratio=1.9)))["exhaust_ratio"] == 1.9


def test_a_cooler_with_its_coolant_hotter_than_the_charge_heats_it() -> None:
    assert cooler_outlet(compressor_outlet(298.15, 1.1, 0.75), 340.0, 0.8) > 320


REMARKS = [
    ({"boost_gauge": 1e5, "manifold_pressure": 2e5}, "boost-twice"),
    ({"altitude": 1800.0, "barometer": 101300.0}, "barometer-reduced"),
    ({"manifold_pressure": 0.7e5}, "gauge-for-absolute"),
    ({"altitude": 1500.0, "barometer": 1.049 * 84556.0}, ""),  # 84 556 Pa at 1500 m: ISO 2533, Table 1 (from memory)
    ({"altitude": 1500.0, "barometer": 1.051 * 84556.0}, "barometer-reduced"),
    ({"altitude": 1500.0, "barometer": 0.951 * 84556.0}, ""),
    ({"altitude": 1500.0, "barometer": 0.949 * 84556.0}, "barometer-reduced"),
    ({"barometer": 9e4, "manifold_pressure": 0.951 * 9e4}, ""),
    ({"barometer": 9e4, "manifold_pressure": 0.949 * 9e4}, "gauge-for-absolute"),
]


@pytest.mark.parametrize(("numbers", "code"), REMARKS)
def test_what_does_not_fit_together_is_said(numbers: dict[str, float], code: str) -> None:
    assert [finding.code for finding in remarks(stated(**numbers))] == ([code] if code else [])


def test_nothing_is_said_of_what_fits() -> None:
    assert remarks(stated(altitude=1800.0, barometer=81500.0, boost_gauge=ufloat(1e5, 2e3))) == ()


def test_unknown_fuel_is_refused() -> None:
    with pytest.raises(ValueError, match="no such fuel: paraffin"):
        conditions("paraffin", {})


@pytest.mark.parametrize("alone", [{"altitude": 1800.0}, {"barometer": 99000.0}])
def test_one_of_altitude_and_barometer_contradicts_nothing(alone: dict[str, float]) -> None:
    assert remarks(stated(boost_gauge=ufloat(1e5, 2e3), **alone)) == ()
