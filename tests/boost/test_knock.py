"""Knock as a comparison only: figures, intervals, roots and refusals.

Consistency, no physics: the delay's source stands in tests/references; sizes of what is not known have none.
"""

from __future__ import annotations

import math
from dataclasses import fields, replace
from math import radians

import pytest

from ccassist.boost.burn_case import BurntCylinder, Operating
from ccassist.boost.cautions import POSSIBLE, refusals, unsound
from ccassist.boost.draws import COMMON, Common, Own, drawn
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_charge import equal_knock
from ccassist.boost.knock_compare import compare, octane_difference
from ccassist.values.findings import InputError, NotPossible
from tests.each import each
from tests.knock_builds import build

BASE = build(9.0, 0.6)
NOTHING = Common(**{f.name: 0.0 for f in fields(Common)} | {"heat_loss": 1.0})
# Each way to change a build, by its term: what it makes of a case, and where the case stands.
LEVERS = {
    "static_ratio": (lambda case, x: replace(case, cylinder=case.cylinder.with_ratio(x)), lambda case: 8.5),
    "clearance_volume": (
        lambda case, x: case.but(clearance_volume=x),
        lambda case: case.cylinder.clearance_volume,
    ),
    "intake_closing": (lambda case, x: case.but(closing=x), lambda case: case.operating.closing),
    "closing_pressure": (lambda case, x: case.but(pressure=x), lambda case: case.operating.pressure),
    "closing_temperature": (lambda case, x: case.but(temperature=x), lambda case: case.operating.temperature),
    "burn_phasing": (lambda case, x: case.but(burn_centre=x), lambda case: case.operating.burn_centre),
}
NOTHING_OWN = Own(**{f.name: 0.0 for f in fields(Own)})


def codes(findings):
    """What was found, by name."""
    return [f.code for f in findings]


def test_a_build_against_itself():
    """Nothing shared moves a difference of nothing; what is its own does."""
    found, findings = compare(BASE, BASE)
    assert found is not None
    assert found.octane == 0
    assert found.common == pytest.approx(0, abs=1e-12)
    assert found.low < 0 < found.high
    assert findings == ()


def test_a_draw_in_fewer_steps_is_an_octane_to_a_hundredth():
    """Against the steps of what is not drawn, for a mild engine and one far over it that burns late."""
    draws = drawn(COMMON, Own()).first(250)
    for other in (build(8.5, 1.0), build(8.5, 1.0).but(temperature=420.0, burn_centre=math.radians(25))):
        known, asked = draws.shared(BASE), draws.unshared(draws.shared(other))
        few = octane_over(95.0, draws.integrals(asked) / draws.integrals(known))
        whole = knock_integrals(asked, delay=draws.delay) / knock_integrals(known, delay=draws.delay)
        assert few == pytest.approx(octane_over(95.0, whole), abs=0.01)
        assert (few != octane_over(95.0, whole)).all()


def test_without_any_doubt_the_interval_closes():
    """Limit: no unknowns, no width."""
    found, _ = compare(BASE, build(8.5, 1.0), common=NOTHING, own=NOTHING_OWN)
    assert found is not None
    assert found.low == pytest.approx(found.high, rel=1e-12)
    assert found.low == pytest.approx(found.octane, abs=1e-3)  # the draws run in fewer steps
    assert found.harder == 1.0


def test_there_and_back():
    """Exact: (KI/KI₀)^(1/3.402) and its inverse."""
    there, back = octane_difference(BASE, build(8.5, 1.0)), octane_difference(build(8.5, 1.0), BASE)
    assert (1 + there / 95) * (1 + back / 95) == pytest.approx(1, rel=1e-12)


def test_the_same_draws_every_time():
    """The same builds give the same interval, also from draws made afresh."""
    first, _ = compare(BASE, build(8.5, 1.0))
    drawn.cache_clear()
    again, _ = compare(BASE, build(8.5, 1.0))
    assert first == again


def test_the_draws_fill_their_ranges():
    """Half-widths as declared, about the stated value."""
    shared = drawn(COMMON, NOTHING_OWN).shared(BASE).operating
    for name, stated, half in (
        ("burned_at_end", 0.90, COMMON.burned_at_end),
        ("burn_duration", radians(50), COMMON.burn_duration),
        ("burn_centre", radians(8), COMMON.burn_centre),
        ("heat_release", 0.93, COMMON.heat_release),
    ):
        values = getattr(shared, name)
        assert values.min() == pytest.approx(stated - half, abs=half / 100)
        assert values.max() == pytest.approx(stated + half, abs=half / 100)
    assert shared.heat_loss.min() == pytest.approx(0.5, rel=0.01)
    assert shared.heat_loss.max() == pytest.approx(2.0, rel=0.01)


def test_no_cooler_no_doubt_of_it():
    """A cooler's effectiveness moves only a charge that comes hot to it."""
    only_cooler = Own(**{f.name: 0.0 for f in fields(Own)} | {"cooler": 0.07})
    hot, _ = compare(BASE, build(8.5, 1.0), common=NOTHING, own=only_cooler)
    none, _ = compare(BASE, build(8.5, 1.0, cooler_span=0.0), common=NOTHING, own=only_cooler)
    assert hot is not None
    assert none is not None
    assert none.overall == pytest.approx(0, abs=1e-9)
    assert hot.overall > 0.3


def test_no_baseline_no_figure():
    """Rule of the house: knock is only ever a difference."""
    found, findings = compare(None, BASE)
    assert found is None
    assert codes(findings) == ["no-baseline"]
    with pytest.raises(InputError, match="none is named"):
        equal_knock(None, lambda ratio: build(ratio, 1.0), 9.0)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"speed": 5000 / 60}, "other-speed"),
        ({"octane": 98.0}, "other-fuel"),
        ({"ethanol": 0.05}, "other-fuel"),
        ({"fuel": "toluene"}, "other-fuel"),
        ({"octane": 111.0}, "octane-out-of-range"),
        ({"octane": 79.0}, "octane-out-of-range"),
        ({"octane": math.nan}, "octane-out-of-range"),
        ({"ethanol": 0.85}, "knock-ethanol"),
        ({"fuel": "ethanol"}, "knock-ethanol"),
        ({"methanol": 0.03}, "knock-methanol"),
        ({"direct_injection": True}, "knock-direct-injection"),
        ({"fuel": "none"}, "knock-no-fuel"),
        ({"equivalence_ratio": 0.0}, "knock-no-fuel"),
        ({"pressure": math.nan}, "knock-impossible-case"),
        ({"clearance_volume": -1e-6}, "knock-impossible-case"),
        ({"rod_length": 0.04}, "knock-impossible-case"),
        ({"burn_centre": radians(150)}, "knock-impossible-case"),
        ({"burned_at_end": 0.999}, "knock-impossible-case"),
        ({"burn_duration": 0.0}, "knock-impossible-case"),
    ],
)
def test_refused_in_words(changes, code):
    """What the correlation does not cover, and what cannot be compared, is refused and never worked out."""
    found, findings = compare(BASE, build(8.5, 1.0, **changes))
    assert found is None
    assert code in codes(findings)
    assert all(f.text() for f in findings)


def test_the_same_slip_on_both_sides_is_refused_too():
    """Two engines on a fuel beyond the correlation are no comparison either."""
    found, findings = compare(build(9.0, 0.6, ethanol=0.85), build(8.5, 1.0, ethanol=0.85))
    assert found is None
    assert codes(findings) == ["knock-ethanol", "knock-ethanol"]


def test_other_spark_is_said():
    """Burn phasing decides, so a difference of it is never silent."""
    found, findings = compare(BASE, build(8.5, 1.0, burn_centre=radians(14)))
    assert found is not None
    assert codes(findings) == ["burn-phasing-differs"]
    assert "mixture-differs" in codes(compare(BASE, build(8.5, 1.0, equivalence_ratio=1.0))[1])


def test_far_jumps_are_marked():
    """Beyond 110 octane the formula holds nothing: shown as much harder, not as a fuel."""
    found, findings = compare(build(9.5), build(8.5, 1.0))
    assert found is not None
    assert codes(findings) == ["beyond-the-correlation"]
    assert "harder" in findings[0].text()
    assert "easier" in compare(build(8.5, 1.0), build(9.5))[1][0].text()


def test_no_exponent_can_be_stated():
    """A user's exponent of compression has no way into the knock figure."""
    names = {f.name for record in (BurntCylinder, Operating) for f in fields(record)}
    assert not [name for name in names if "exponent" in name or "polytropic" in name]


@pytest.mark.parametrize(("unknown", "now"), [(key, at(build(8.5, 0.8))) for key, (_, at) in LEVERS.items()])
def test_each_lever_brings_it_to_the_baseline(unknown, now):
    """There and back: at the root the octane difference is nothing."""
    candidate, change = build(8.5, 0.8), LEVERS[unknown][0]
    found, *_ = equal_knock(BASE, lambda x: change(candidate, x), now, unknown=unknown)
    assert octane_difference(BASE, change(candidate, found)) == pytest.approx(0, abs=1e-7)


def test_boost_with_all_that_it_does():
    """Any variable: the caller says how it makes the build."""
    (found,) = equal_knock(BASE, lambda boost: build(8.0, boost / 1e5), 1e5, unknown="boost_gauge")
    assert 0.6e5 < found < 1.0e5


def test_closing_has_two_roots():
    """Without offset and heat loss, closing as much before bottom dead centre as after it traps the same."""
    candidate, closing = build(9.0, 0.6, heat_loss=0.0), radians(40)
    baseline = candidate.but(closing=closing)
    found = equal_knock(baseline, lambda x: candidate.but(closing=x), -closing, unknown="intake_closing")
    assert found == pytest.approx((-closing, closing), rel=1e-3)


def test_impossible_in_words():
    """What it can come to, and where."""
    hot = build(8.5, 1.8)
    with pytest.raises(NotPossible, match=r"no burn phasing .* brings .*; within what can be it") as caught:
        equal_knock(BASE, lambda x: hot.but(burn_centre=min(x, radians(12))), radians(8), unknown="burn_phasing")
    least = octane_difference(BASE, hot.but(burn_centre=radians(12)))
    assert f"from {least:.2f}" in str(caught.value)


def test_values_that_make_no_engine_are_passed_over():
    """A range that reaches past what can be is no fault."""
    candidate = build(8.5, 1.0)
    now = candidate.cylinder.clearance_volume
    assert unsound(candidate.but(clearance_volume=0.0))
    found = equal_knock(BASE, lambda v: candidate.but(clearance_volume=v), now, unknown="clearance_volume")
    assert len(found) == 1


def test_natural_ratio_of_no_boost_is_its_own():
    """Limit: without boost the equivalent ratio is the ratio."""
    assert equal_knock(build(9.7), build, 8.0) == (pytest.approx(9.7, rel=1e-8),)


def test_no_natural_ratio_in_reach():
    """Nothing that can be asks as much of the fuel: it says so."""
    with pytest.raises(NotPossible, match="no static compression ratio brings the octane difference"):
        equal_knock(build(16.0, 3.0), build, 10.0)


def test_sound_cases_are_sound():
    """No false alarm."""
    assert unsound(BASE) == ""


def test_a_ratio_that_no_engine_has_is_refused():
    """From 2 to 60 (common practice, no source): the clearance volume alone, within what one cylinder may have."""
    swept = float(BASE.cylinder.swept_volume())
    for ratio, fair in ((1.98, False), (2.02, True), (59.5, True), (60.5, False)):
        said = unsound(BASE.but(clearance_volume=swept / (ratio - 1)))
        assert said == ("" if fair else "the clearance volume gives no static ratio that an engine can have")


@each("name", POSSIBLE)
@each("wild", [-1e9, 1e9, math.inf, math.nan])
def test_wild_figures_are_refused(name, wild):
    """Nothing reaches the sums that could break them."""
    assert unsound(BASE.but(**{name: wild})) == f"{name.replace('_', ' ')} is outside what an engine can have"


DEGREES = {"closing", "burn_centre", "burn_duration"}
# As the trade says it (bar, K, °, m, rpm ÷ 60): what is no engine of any kind, and what still may be one.
EDGES = {
    "bore": (9e-3, 11e-3, 0.9, 1.1), "stroke": (9e-3, 11e-3, 1.9, 2.1), "rod_length": (9e-3, 11e-3, 4.9, 5.1),
    "pin_offset": (-0.11, -0.09, 0.09, 0.11), "clearance_volume": (0.9e-7, 1.1e-7, 0.49, 0.51),
    "speed": (0.9, 1.1, 390, 410), "closing": (-91, -89, 134, 136), "pressure": (0.95e4, 1.05e4, 19.5e5, 20.5e5),
    "temperature": (215, 225, 790, 810), "residual": (-0.01, 0.01, 0.49, 0.51),
    "residual_temperature": (490, 510, 1950, 2050), "cooler_span": (-105, -95, 590, 610),
    "burn_centre": (-46, -44, 89, 91), "burn_duration": (4.9, 5.1, 179, 181), "heat_release": (0.09, 0.11, 0.99, 1.01),
    "heat_loss": (-0.1, 0.1, 4.9, 5.1), "wall_temperature": (215, 225, 990, 1010),
    "burned_at_end": (0.49, 0.51, 0.97, 0.99),
}  # fmt: skip


@each("name", POSSIBLE)
def test_the_sums_are_asked_for_what_may_be_an_engine_and_no_more(name):
    """Where each range ends, from both sides (common practice, no source)."""
    unit = math.radians(1) if name in DEGREES else 1.0
    wrong = f"{name.replace('_', ' ')} is outside what an engine can have"
    found = [unsound(BASE.but(**{name: value * unit})) == wrong for value in EDGES[name]]
    assert found == [True, False, False, True]


@each(
    "changes",
    [{"octane": 80.0}, {"octane": 110.0}, {"ethanol": 0.10}, {"equivalence_ratio": 0.8}, {"equivalence_ratio": 2.0}],
)
def test_at_its_ends_the_formula_still_holds(changes):
    """Petrol of 80 to 110 octane (seen), to 10 % of ethanol (common practice), lean to as rich as it burns."""
    assert refusals(BASE.but(**changes), BASE.but(**changes)) == ()


@pytest.mark.parametrize("name", sorted(set(POSSIBLE) - {"bore", "stroke", "rod_length", "clearance_volume"}))
@pytest.mark.parametrize("end", [0, 1])
def test_the_ends_of_what_is_possible_can_be_worked_out(name, end):
    """A finite figure, or a refusal in words, at each end of each range."""
    case = BASE.but(**{name: POSSIBLE[name][end]})
    if not unsound(case):
        assert 0 < knock_integral(case) < math.inf
