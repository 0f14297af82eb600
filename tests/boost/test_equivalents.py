"""Boosted equivalents: limits, a computed table, the trade's habit, and how doubt is carried.

The table was computed beforehand with three independent codings of the same
assumptions (25 °C, 101.325 kPa, compressor 0.75, cooler 0.8, no losses, 20 K of
heating, residual by 1.05 and 1100 K, λ 0.88, r 42, L 145 mm, closing 55°).
"""

from __future__ import annotations

from math import radians

import pytest
from uncertainties import ufloat

from ccassist.boost.charge import Geometry
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
from ccassist.values.findings import NotPossible
from ccassist.vocabulary import TERMS
from tests.boost.test_charge import stated, sure


def engine(static_ratio: object) -> Geometry:
    return Geometry(static_ratio=static_ratio, stroke=0.084, rod_length=0.145, intake_closing=radians(55))


# gauge boost bar, static ratio: trapped, end pressure bar, end temperature K
ENDS = [
    (0.0, 8.5, 7.271, 13.86, 651),
    (0.0, 10.5, 8.943, 18.15, 682),
    (1.0, 8.5, 7.271, 27.33, 680),
    (1.0, 9.5, 8.107, 31.48, 697),
    (1.8, 8.5, 7.271, 38.04, 696),
    (1.8, 10.5, 8.943, 49.74, 729),
]


@pytest.mark.parametrize(("boost", "static", "trapped", "bar", "kelvin"), ENDS)
def test_computed_end_of_compression(boost: float, static: float, trapped: float, bar: float, kelvin: float) -> None:
    state = compressed(engine(static), sure(boost_gauge=boost * 1e5) if boost else sure())
    assert state.trapped_ratio == pytest.approx(trapped, abs=5.1e-4)
    assert state.end.pressure / 1e5 == pytest.approx(bar, abs=0.015)
    assert state.end.temperature == pytest.approx(kelvin, abs=0.8)


def test_polytropic_stands_beside_the_isentrope() -> None:
    """Computed beforehand: 1.0 bar on 8.5 ends at 27.62 bar, 687 K by n = 1.32; by the isentrope n is a little less."""
    state = compressed(engine(8.5), sure(boost_gauge=1e5, polytropic_exponent=1.32))
    assert state.polytropic.pressure / 1e5 == pytest.approx(27.62, abs=0.006)
    assert state.polytropic.temperature == pytest.approx(687, abs=0.6)
    assert state.effective_exponent == pytest.approx(1.3148, abs=5e-4)


# gauge boost bar, static ratio: same pressure, same temperature, square-root habit
EQUIVALENTS = [
    (0.4, 8.5, 11.00, 9.32, 10.0),
    (0.7, 8.5, 12.78, 9.86, 11.1),
    (1.0, 8.5, 14.48, 10.34, 12.0),
    (1.0, 9.5, 16.18, 11.49, 13.4),
    (1.0, 10.5, 17.88, 12.65, 14.8),
    (1.8, 8.5, 18.77, 11.45, 14.2),
    (1.8, 10.5, 23.19, 13.96, 17.5),
]


@pytest.mark.parametrize(("boost", "static", "pressure", "temperature", "root"), EQUIVALENTS)
def test_computed_equivalents(boost: float, static: float, pressure: float, temperature: float, root: float) -> None:
    found = {e.convention: e for e in equivalents(engine(static), sure(boost_gauge=boost * 1e5))}
    assert found[PRESSURE].number == pytest.approx(pressure, rel=3e-3)
    assert found[TEMPERATURE].number == pytest.approx(temperature, rel=5e-3)
    assert found[ROOT].number == pytest.approx(root, abs=0.06)
    assert found[DENSITY].number > found[PRESSURE].number
    assert found[PRESSURE].beyond is (pressure > 14)


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
