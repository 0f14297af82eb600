"""Boosted equivalents: limits, the trade's habit, and how uncertainty is carried.

Consistency: each figure put back by its own definition; the habits are common practice, no source.
"""

from __future__ import annotations

from math import radians

import pytest
from uncertainties import ufloat

from ccassist.boost.conditions import conditions
from ccassist.boost.equivalents import (
    DENSITY,
    PRESSURE,
    ROOT,
    TEMPERATURE,
    Equivalent,
    compressed,
    equal_ratio,
    equivalents,
    root_habit,
)
from ccassist.engine.slider_crank import Geometry
from ccassist.values.findings import NotPossible
from ccassist.vocabulary import TERMS
from tests.boost.test_charge import stated, sure


def engine(static_ratio: object) -> Geometry:
    return Geometry(static_ratio=static_ratio, stroke=0.084, rod_length=0.145, intake_closing=radians(55))


def test_polytropic_stands_beside_the_isentrope() -> None:
    """p Vⁿ from the closing; by the isentrope n is a little less (Heywood sec. 9.2, from memory: 1.3 ± 0.05)."""
    state = compressed(engine(8.5), sure(boost_gauge=1e5, polytropic_exponent=1.32))
    closing = state.charge.closing
    assert state.polytropic.pressure == pytest.approx(closing.pressure * state.trapped_ratio**1.32, rel=1e-12)
    assert state.polytropic.temperature == pytest.approx(closing.temperature * state.trapped_ratio**0.32, rel=1e-12)
    assert 1.30 < state.effective_exponent < 1.32


@pytest.mark.parametrize("boost", [0.4e5, 0.7e5, 1.0e5, 1.8e5])
def test_the_conventions_stand_in_their_order(boost: float) -> None:
    """By what each keeps equal: density asks the most, temperature the least; beyond 14:1 it says so."""
    found = {e.convention: e for e in equivalents(engine(9.5), sure(boost_gauge=boost))}
    assert found[DENSITY].number > found[PRESSURE].number > found[ROOT].number > found[TEMPERATURE].number > 9.5
    assert found[PRESSURE].beyond is (found[PRESSURE].number > 14)


def test_each_equivalent_holds_equal_what_it_names() -> None:
    """The naturally aspirated engine of that ratio is put back and compared."""
    boosted = compressed(engine(9.0), sure(boost_gauge=0.6e5))
    density, pressure, temperature, _ = equivalents(engine(9.0), sure(boost_gauge=0.6e5))
    assert compressed(engine(density.number), sure()).density == pytest.approx(boosted.density, rel=1e-12)
    assert compressed(engine(pressure.number), sure()).end.pressure == pytest.approx(boosted.end.pressure, rel=1e-12)
    same = compressed(engine(temperature.number), sure()).end.temperature
    assert same == pytest.approx(boosted.end.temperature, rel=1e-12)


def test_no_boost_gives_the_static_ratio_back() -> None:
    """Limit: an engine without boost is its own equivalent, by every convention, without doubt."""
    natural = conditions("iso-octane", stated(barometer=101325.0))
    for found in equivalents(engine(9.7), natural):
        assert getattr(found.number, "nominal_value", found.number) == pytest.approx(9.7, rel=1e-9)
        assert getattr(found.number, "std_dev", 0.0) < 1e-9


def test_trade_numbers_of_the_habits() -> None:
    """Common practice, recomputed: 7.0 at 1 atm of boost: by the root 9.9; 8.8 at PR 2: 12.4."""
    assert root_habit(7.0, 2.0) == pytest.approx(9.9, abs=0.05)
    assert root_habit(8.8, 2.0) == pytest.approx(12.4, abs=0.05)


def test_pressure_equivalent_is_near_the_power_rule() -> None:
    """Common practice: static ratio × PR^(1/1.3) is the rule for equal end pressure; within 0.2 of a ratio."""
    _, pressure, _, _ = equivalents(engine(8.5), sure(boost_gauge=1e5))
    assert pressure.number == pytest.approx(8.5 * (1 + 1e5 / 101325.0) ** (1 / 1.3), abs=0.2)


def test_doubt_of_an_equivalent_is_its_slope() -> None:
    """Against central differences of plain runs, for boost and for a shared assumption."""

    def pressure(boost: float, heating: float) -> float:
        return float(equivalents(engine(8.5), sure(boost_gauge=boost, charge_heating=heating))[1].number)

    boost, heating = ufloat(1e5, 4e3), ufloat(20.0, 6.0)
    found = equivalents(engine(8.5), sure(boost_gauge=boost, charge_heating=heating))[1].number
    parts = {variable: abs(part) for variable, part in found.error_components().items()}
    assert parts[boost] == pytest.approx(4 * (pressure(1.005e5, 20.0) - pressure(0.995e5, 20.0)), rel=1e-3)
    assert parts[heating] == pytest.approx(6 * abs(pressure(1e5, 20.5) - pressure(1e5, 19.5)), rel=2e-2, abs=1e-6)


def test_shared_doubts_cancel_in_the_pressure_equivalent() -> None:
    """The same charge heating warms both engines: it moves the end pressure's equivalent hardly at all."""
    found = equivalents(engine(8.5), conditions("iso-octane", stated(boost_gauge=1e5)))[1].number
    assert found.std_dev < 0.35


def test_harder_than_a_baseline_is_a_difference_by_one_convention() -> None:
    today = equivalents(engine(9.0), sure(boost_gauge=0.6e5))
    planned = equivalents(engine(8.5), sure(boost_gauge=1e5))
    assert planned[1].harder_than(today[1]) == pytest.approx(planned[1].number - today[1].number)
    with pytest.raises(ValueError, match="only figures of one convention can be compared"):
        planned[1].harder_than(today[2])


def test_any_rising_criterion_can_be_held_equal() -> None:
    """The hook for the knock integral: here a made-up rising figure with a doubtful target."""
    found = equal_ratio(lambda ratio: ratio**2, ufloat(100.0, 4.0))
    assert found.nominal_value == pytest.approx(10.0, rel=1e-12)
    assert found.std_dev == pytest.approx(4.0 / 20, rel=1e-6)
    assert equal_ratio(lambda ratio: ratio**2, 100.0) == pytest.approx(10.0, rel=1e-12)


def test_what_no_ratio_reaches_is_said() -> None:
    with pytest.raises(NotPossible, match="no naturally aspirated engine from 3:1 to 150:1 matches it"):
        equal_ratio(lambda ratio: ratio, 200.0)


def test_no_convention_is_called_effective_or_safe() -> None:
    for found in equivalents(engine(8.5), sure(boost_gauge=1e5)):
        convention = found.convention
        words = f"{convention.name} {convention.meaning} {convention.misleads}".lower()
        assert "effective" not in words
        assert "safe" not in words
        assert convention.misleads
        assert convention.key in TERMS


def test_above_fourteen_it_is_no_ratio_to_build() -> None:
    assert Equivalent(convention=PRESSURE, number=14.1).beyond
    assert not Equivalent(convention=PRESSURE, number=13.9).beyond


def test_a_convention_without_an_answer_leaves_the_others() -> None:
    """A cooler of ice and a long intake closing: no unboosted engine is that cold at the end of compression."""
    cold = sure(boost_gauge=1e5, charge_temperature=150.0, charge_heating=0.0, residual_fraction=0.0)
    found = {e.convention: e for e in equivalents(engine(4.0), cold)}
    assert found[TEMPERATURE].number is None
    assert "no naturally aspirated engine" in found[TEMPERATURE].reason
    assert not found[TEMPERATURE].beyond
    for one in (DENSITY, PRESSURE, ROOT):
        assert found[one].number is not None
        assert found[one].reason == ""
    assert found[TEMPERATURE].harder_than(found[TEMPERATURE]) is None
