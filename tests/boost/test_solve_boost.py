"""What one thing must be for a boosted target: put back through the whole chain, and limits.

That it knocks and presses alike by SciPy's solver and by Cantera stands in tests/references/test_boost_solved.
"""

from __future__ import annotations

from dataclasses import replace
from math import degrees, isfinite, radians

import pytest
from scipy.optimize import brentq
from uncertainties import ufloat

from ccassist.boost.conditions import conditions, value
from ccassist.boost.equivalents import compressed, equivalents
from ccassist.boost.figures import OCTANE, Stand, figure
from ccassist.boost.knock_charge import Habit
from ccassist.boost.knock_compare import octane_difference
from ccassist.boost.solve_boost import _cooler, solve_boost
from ccassist.engine.slider_crank import Geometry
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal, standard
from tests.boost.test_charge import sure
from tests.each import each

HABIT = Habit(bore=0.0853, speed=2500 / 60, burn_centre=radians(8), burn_duration=radians(50), octane=95.0)


def engine(ratio: object, boost: float, closing: object = radians(55), habit: Habit | None = HABIT) -> Stand:
    """An engine of a static ratio at a gauge boost in bar, certain in all but what is given uncertain."""
    geometry = Geometry(static_ratio=ratio, stroke=0.084, rod_length=0.145, intake_closing=closing)
    return Stand(geometry=geometry, conditions=sure(boost_gauge=boost * 1e5), habit=habit)


TODAY, CLEAN = engine(8.5, 1.0), engine(9.0, 0.6)
QUESTIONS = [
    ("static_ratio", "trapped_ratio", 7.0),
    ("intake_closing", "trapped_ratio", 7.0),
    ("static_ratio", "end_pressure", 25e5),
    ("intake_closing", "end_pressure", 25e5),
    ("boost_gauge", "end_pressure", 25e5),
    ("manifold_pressure", "end_pressure", 25e5),
    ("charge_temperature", "end_temperature", 660.0),
    ("cooler_effectiveness", "end_temperature", 675.0),
    ("static_ratio", "end_temperature", 660.0),
    ("static_ratio", "pressure_equivalent", 13.0),
    ("boost_gauge", "pressure_equivalent", 13.0),
    ("boost_gauge", "density_equivalent", 13.0),
    ("boost_gauge", "temperature_equivalent", 10.0),
    ("boost_gauge", "root_equivalent", 11.0),
    ("static_ratio", OCTANE, 0.0),
    ("boost_gauge", OCTANE, 0.0),
    ("intake_closing", OCTANE, 0.0),
    ("burn_phasing", OCTANE, 0.0),
    ("charge_temperature", OCTANE, 0.0),
    ("burn_phasing", OCTANE, 2.0),
]


@pytest.mark.parametrize(("unknown", "target", "wanted"), QUESTIONS)
def test_solved_and_worked_through_again(unknown: str, target: str, wanted: float) -> None:
    """A root put back gives the target, by the records of the room and not by the solver's own figures."""
    answer = solve_boost(TODAY, unknown=unknown, target=target, value=wanted, baseline=CLEAN)
    for number, check in zip(answer.numbers, answer.checks, strict=True):
        made = TODAY.but(**{unknown: nominal(number)})
        assert check == pytest.approx(wanted, rel=1e-9, abs=1e-7)
        assert again(target, made) == pytest.approx(wanted, rel=1e-7, abs=1e-6)


def again(target: str, made: Stand) -> float:
    if target == OCTANE:
        return octane_difference(CLEAN.case, made.case)
    if target == "trapped_ratio":
        return float(made.geometry.trapped_ratio)
    end = compressed(made.geometry, made.conditions).end
    direct = {"end_pressure": end.pressure, "end_temperature": end.temperature}
    found = {one.convention.key: one.number for one in equivalents(made.geometry, made.conditions)}
    return float({**found, **direct}[target])


def test_both_closings_are_found() -> None:
    """Without offset a closing before bottom traps as much as one after it: it is offered to such a cam alone."""
    early_now = TODAY.but(intake_closing=radians(-10))
    (alone,) = solve_boost(TODAY, unknown="intake_closing", target="trapped_ratio", value=7.0).numbers
    early, late = solve_boost(early_now, unknown="intake_closing", target="trapped_ratio", value=7.0).numbers
    assert alone == pytest.approx(late, rel=1e-9)
    assert late == pytest.approx(-early, rel=1e-9)
    assert 60 < degrees(late) < 62


def test_by_a_general_solver() -> None:
    """SciPy's brentq on the record of the room."""

    def missed(boost: float) -> float:
        stand = engine(8.5, boost / 1e5)
        return float(compressed(stand.geometry, stand.conditions).end.pressure) - 25e5

    answer = solve_boost(TODAY, unknown="boost_gauge", target="end_pressure", value=25e5)
    assert answer.number == pytest.approx(brentq(missed, 1e4, 3e5, xtol=1e-6), rel=1e-9)


def test_the_octane_that_makes_up_for_it() -> None:
    """The baseline's fuel and the difference, which has a ±: what cannot be held equal between two builds."""
    answer = solve_boost(TODAY, unknown="octane_number", target=OCTANE, value=0.0, baseline=CLEAN)
    assert nominal(answer.number) == pytest.approx(95 + octane_difference(CLEAN.case, TODAY.case), rel=1e-12)
    assert standard(answer.number) > 0
    assert answer.checks == pytest.approx((0.0,), abs=1e-9)


def test_doubt_is_that_of_solving_again() -> None:
    """The root's standard uncertainty is half the change between the input a standard uncertainty up and down."""
    closing = ufloat(radians(55), radians(1))
    today = engine(8.5, 1.0, closing)
    number = solve_boost(today, unknown="boost_gauge", target="end_pressure", value=25e5).number
    ends = [
        solve_boost(
            engine(8.5, 1.0, radians(55 + side)), unknown="boost_gauge", target="end_pressure", value=25e5
        ).number
        for side in (1, -1)
    ]
    assert number.std_dev == pytest.approx(abs(ends[0] - ends[1]) / 2, rel=1e-3)
    assert number.derivatives[closing] > 0  # a later closing bears more boost


def test_assumed_inputs_make_the_doubt() -> None:
    """What is only assumed is not certain, and filling is most of it (common practice, no source)."""
    air = conditions("iso-octane", {"boost_gauge": value("boost_gauge", 1e5, "stated", "")})
    stand = replace(TODAY, conditions=air)
    number = solve_boost(stand, unknown="static_ratio", target="end_pressure", value=25e5).number
    parts = {variable.tag.key: abs(part) for variable, part in number.error_components().items()}
    assert max(parts, key=parts.__getitem__) == "filling"


def test_uncertain_target() -> None:
    number = solve_boost(TODAY, unknown="static_ratio", target="trapped_ratio", value=ufloat(7.0, 0.1)).number
    along = (figure("trapped_ratio", TODAY) - 1) / 7.5
    assert number.std_dev == pytest.approx(0.1 / along, rel=1e-6)


def test_what_cannot_be_says_what_can() -> None:
    words = r"no boost \(gauge\) brings the end-of-compression temperature to .* °C; .* goes from .* to "
    with pytest.raises(NotPossible, match=words):
        solve_boost(TODAY, unknown="boost_gauge", target="end_temperature", value=400.0)
    with pytest.raises(NotPossible, match=r"to 8\.50 \(intake closing at BDC\)"):
        solve_boost(TODAY, unknown="intake_closing", target="trapped_ratio", value=9.0)


def test_a_cooler_is_named_or_ruled_out() -> None:
    """Effectiveness by its definition: fall over the whole excess above the coolant."""
    answer = solve_boost(TODAY, unknown="charge_temperature", target="end_temperature", value=675.0)
    hot = TODAY.compressed.charge.compressor_temperature
    share = (hot - answer.number) / (hot - 298.15)
    assert answer.findings[0].wrong == f"a cooler of effectiveness {share:.2f} brings the charge there"
    cold = solve_boost(TODAY, unknown="charge_temperature", target="end_temperature", value=600.0)
    assert "no cooler brings the charge there" in cold.findings[0].wrong


@pytest.mark.parametrize(
    ("unknown", "target", "baseline", "words"),
    [
        ("boost_gauge", "trapped_ratio", None, "does not depend on the boost"),
        ("octane_number", "end_pressure", None, "does not depend on the octane number"),
        ("burn_phasing", "end_pressure", None, "does not depend on the burn phasing"),
        ("boost_gauge", OCTANE, None, "none is named"),
        ("bore", "end_pressure", None, "cannot be found from"),
        ("boost_gauge", OCTANE, engine(9.0, 0.6, habit=replace(HABIT, speed=50.0)), "between different speeds"),
    ],
)
def test_questions_that_cannot_be_asked(unknown: str, target: str, baseline: Stand | None, words: str) -> None:
    with pytest.raises(InputError, match=words):
        solve_boost(TODAY, unknown=unknown, target=target, value=1.0, baseline=baseline)


@each(("above_coolant", "of_all", "words"), [(0.0, 1, "effectiveness 0.00"), (0.0, 1.01, "no cooler"),
                                             (0.2, 0, "effectiveness 1.00"), (-0.2, 0, "no cooler")])  # fmt: skip
def test_a_cooler_takes_from_nothing_to_all_that_the_compressor_made(
    above_coolant: float, of_all: float, words: str
) -> None:
    hot = nominal(TODAY.compressed.charge.compressor_temperature)
    coolant = nominal(TODAY.conditions["coolant_temperature"])
    (said,) = _cooler(TODAY, "charge_temperature", coolant + above_coolant + of_all * (hot - coolant))
    assert words in said.wrong
    assert _cooler(TODAY, "static_ratio", 320.0) == ()
    assert _cooler(engine(9.0, 0.0), "charge_temperature", 320.0) == ()


def test_a_stated_charge_temperature_hides_the_cooler() -> None:
    fixed = TODAY.but(charge_temperature=320.0)
    with pytest.raises(InputError, match="stated as such"):
        solve_boost(fixed, unknown="cooler_effectiveness", target="end_temperature", value=680.0)


def test_the_other_figures_come_along() -> None:
    answer = solve_boost(TODAY, unknown="static_ratio", target=OCTANE, value=0.0, baseline=CLEAN)
    assert set(answer.figures) >= {"trapped_ratio", "end_pressure", "end_temperature", "pressure_equivalent"}
    assert all(isfinite(nominal(number)) for number in answer.figures.values())
    assert answer.figures["end_pressure"] == pytest.approx(figure("end_pressure", CLEAN), rel=0.02)


def test_what_an_engine_is_now() -> None:
    assert TODAY.now("boost_gauge") == pytest.approx(1e5)
    assert TODAY.now("burn_phasing") == radians(8)
    assert TODAY.now("charge_temperature") == TODAY.compressed.charge.charge_temperature
    assert TODAY.now("bore") is None
    with pytest.raises(ValueError, match="not known how the engine is run"):
        _ = engine(8.5, 1.0, habit=None).case
