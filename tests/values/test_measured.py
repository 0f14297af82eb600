"""Uncertain numbers: causes, budgets, degrees of freedom, the ± as stated.

Outside sources for the arithmetic stand in tests/references/test_gum.py; here
are the rules of the module itself (GUM clauses from memory).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from ccassist.values.measured import Value
from ccassist.values.number import nominal, standard
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, Share, budget, degrees, doubt, expand, half_width

BURETTE = Cause(name="burette", shape="rectangular")
REPEATS = Cause(name="repeats", dof=2)
DIAL = Cause(name="dial")


def test_a_doubt_moves_nothing_but_the_uncertainty() -> None:
    number = 46.3 + doubt(0.2, DIAL)
    assert (nominal(number), standard(number)) == (46.3, 0.2)


@pytest.mark.parametrize("number", [3, 3.5, -2])
def test_a_plain_number_has_no_uncertainty(number: float) -> None:
    assert (nominal(number), standard(number), budget(number)) == (number, 0.0, [])


def test_an_effect_used_twice_is_one_effect() -> None:
    """The same object adds in full and cancels in full (GUM 5.2, fully correlated)."""
    shared = doubt(0.3, DIAL)
    assert standard((1 + shared) + (2 + shared)) == pytest.approx(0.6)
    assert standard((1 + shared) - (2 + shared)) == 0.0


def test_two_effects_of_the_same_size_are_not_one() -> None:
    assert standard(doubt(0.3, DIAL) + doubt(0.3, Cause(name="dial"))) == pytest.approx(0.3 * math.sqrt(2))


# -- budgets ----------------------------------------------------------------------------------------------


def test_budget_is_largest_first_and_its_shares_are_the_whole() -> None:
    rows = budget(10 + doubt(1.0, DIAL) + 2 * doubt(2.0, REPEATS) - doubt(2.0, BURETTE))
    assert [row.cause for row in rows] == [REPEATS, BURETTE, DIAL]
    assert [row.standard for row in rows] == pytest.approx([4.0, 2.0, 1.0])
    assert [row.share for row in rows] == pytest.approx([16 / 21, 4 / 21, 1 / 21])


def test_effects_that_bear_one_cause_are_one_line() -> None:
    rows = budget(doubt(3.0, DIAL) + doubt(4.0, DIAL) + doubt(1.0, REPEATS))
    assert [(row.cause.name, row.standard) for row in rows] == [("dial", 5.0), ("repeats", 1.0)]


def test_causes_alike_in_words_stay_apart() -> None:
    """A cause is the object, not its name: two burettes may be called the same."""
    assert len(budget(doubt(1.0, Cause(name="burette")) + doubt(1.0, Cause(name="burette")))) == 2


def test_what_has_no_effect_has_no_line() -> None:
    shared = doubt(1.0, DIAL)
    rows = budget(shared - shared + doubt(1.0, REPEATS) + doubt(0.0, BURETTE))
    assert [row.cause for row in rows] == [REPEATS]


def test_a_number_from_elsewhere_gets_a_name() -> None:
    assert [row.cause.name for row in budget(ufloat(1.0, 0.1) + ufloat(1.0, 0.2, tag="scale"))] == ["scale", "unnamed"]


@given(st.lists(st.floats(1e-6, 1e3), min_size=1, max_size=6))
@settings(deadline=None)
def test_standard_contributions_add_in_squares(sizes: list[float]) -> None:
    """GUM 5.1.2, independent effects."""
    number = sum(doubt(size, Cause(name=str(place))) for place, size in enumerate(sizes))
    rows = budget(number)
    assert math.hypot(*(row.standard for row in rows)) == pytest.approx(standard(number))
    assert sum(row.share for row in rows) == pytest.approx(1.0)


# -- degrees of freedom -----------------------------------------------------------------------------------


def test_degrees_of_one_cause_are_its_own() -> None:
    assert degrees(budget(doubt(0.1, REPEATS))) == pytest.approx(2)


def test_degrees_without_repeats_are_infinite() -> None:
    assert degrees(budget(doubt(0.1, BURETTE))) == math.inf
    assert degrees([]) == math.inf


def test_degrees_grow_when_something_well_known_dominates() -> None:
    """GUM G.4.1: repeats of a tenth of the burette's doubt hardly matter."""
    assert degrees(budget(doubt(1.0, BURETTE) + doubt(0.1, REPEATS))) == pytest.approx(2 * 1.01**2 / 0.1**4)


@given(st.lists(st.tuples(st.floats(0.01, 10), st.integers(1, 50)), min_size=1, max_size=5))
@settings(deadline=None)
def test_degrees_lie_between_the_smallest_and_the_sum(parts: list[tuple[float, int]]) -> None:
    """GUM G.4.1, note: ν_eff is at most the sum of the ν, and at least the smallest."""
    rows = [Share(cause=Cause(name=str(n), dof=dof), standard=u, share=0.0) for n, (u, dof) in enumerate(parts)]
    dofs = [dof for _, dof in parts]
    assert min(dofs) * (1 - 1e-9) <= degrees(rows) <= sum(dofs) * (1 + 1e-9)


def test_a_pool_is_one_estimate_wherever_it_enters() -> None:
    pooled = [doubt(u, Cause(name=f"chamber {u}", dof=16, pool="chambers")) for u in (1.0, 2.0)]
    other = doubt(1.0, Cause(name="crown", dof=4, pool="crowns"))
    assert degrees(budget(sum(pooled))) == pytest.approx(16)
    assert degrees(budget(sum(pooled) + other)) == pytest.approx(36 / (25 / 16 + 1 / 4))


# -- the ± as stated --------------------------------------------------------------------------------------


def test_expanded_by_student_for_few_degrees() -> None:
    stated = expand(5.0 + doubt(0.1, REPEATS))
    assert (stated.value, stated.standard, stated.dof) == (5.0, 0.1, pytest.approx(2))
    assert stated.factor == pytest.approx(4.30, abs=0.005)  # GUM Table G.2
    assert stated.expanded == pytest.approx(0.430, abs=0.0005)


def test_expanded_by_the_normal_without_limits_to_the_degrees() -> None:
    assert expand(doubt(1.0, DIAL)).factor == pytest.approx(1.959964, abs=1e-6)


def test_a_rectangle_alone_never_leaves_its_limit() -> None:
    """95 % of a rectangle: 0.95 of its half-width, never beyond it (GUM 4.3.7)."""
    stated = expand(half_width(0.05, BURETTE))
    assert stated.expanded == pytest.approx(0.95 * 0.05)
    assert stated.factor == pytest.approx(0.95 * math.sqrt(3))


@pytest.mark.parametrize("normal", [1e-9, 1e-3, 0.1, 0.3, 0.5])
def test_a_rectangle_with_a_little_normal_grows_smoothly(normal: float) -> None:
    stated = expand(half_width(math.sqrt(3), BURETTE) + doubt(normal, DIAL))
    assert 0.95 * math.sqrt(3) * (1 - 1e-9) <= stated.expanded <= 1.96 * stated.standard


def test_few_repeats_beside_a_rectangle_still_tell() -> None:
    many = half_width(math.sqrt(3), BURETTE) + doubt(0.5, DIAL)
    few = half_width(math.sqrt(3), BURETTE) + doubt(0.5, REPEATS)
    assert expand(few).expanded > 1.1 * expand(many).expanded


def test_a_rectangle_below_half_tells_too() -> None:
    """No step at a half: 1.927 by the shape of the sum; a normal alone would say 1.960."""
    just_over, just_under = (half_width(math.sqrt(3), BURETTE) + doubt(u, DIAL) for u in (0.999, 1.001))
    assert expand(just_over).factor == pytest.approx(expand(just_under).factor, abs=3e-4)
    stated = expand(half_width(math.sqrt(3), BURETTE) + doubt(1.1, DIAL))
    assert stated.factor == pytest.approx(1.9269, abs=1e-4)


def test_a_limit_that_is_itself_doubted_is_no_rectangle() -> None:
    """GUM H.1: the limit of the expansion coefficients' difference has 50 degrees: Student's t for them."""
    limit = Cause(name="limit", shape="rectangular", dof=50)
    assert expand(half_width(1.0, limit)).factor == pytest.approx(student(50))


def test_a_triangle_is_two_rectangles() -> None:
    """95 % of a triangle: 1 − √0.05 of its half-width (JCGM 100:2008, 4.3.9: the triangle's own form)."""
    stated = expand(half_width(1.0, Cause(name="two readings", shape="triangular")))
    assert stated.expanded == pytest.approx(1 - math.sqrt(0.05), rel=1e-5)


@pytest.mark.parametrize("number", [4.0, 4.0 + 0 * doubt(1.0, DIAL)])
def test_no_doubt_no_plus_or_minus(number: object) -> None:
    stated = expand(number)
    assert (stated.value, stated.standard, stated.expanded, stated.dof) == (4.0, 0.0, 0.0, math.inf)


# -- not known yet ----------------------------------------------------------------------------------------


def unknown() -> object:
    return 2.0 + doubt(math.nan, REPEATS) + doubt(0.1, DIAL)


def test_unknown_scatter_makes_every_result_say_so() -> None:
    stated = expand(unknown() * 3)  # type: ignore[operator]
    assert stated.value == 6.0
    assert math.isnan(stated.standard)
    assert math.isnan(stated.expanded)
    assert math.isnan(stated.factor)


def test_unknown_scatter_leads_the_budget() -> None:
    rows = budget(unknown())
    assert rows[0].cause is REPEATS
    assert math.isnan(rows[0].standard)
    assert rows[1].standard == pytest.approx(0.1)


def test_a_value_states_its_number_and_its_plus_or_minus() -> None:
    value = Value(key="chamber_volume", number=46e-6 + doubt(0.1e-6, DIAL), origin="measured")
    assert (value.nominal, value.expanded) == (46e-6, pytest.approx(0.196e-6, rel=1e-3))
    assert math.isnan(Value(key="bore", number=unknown(), origin="measured").expanded)


# -- Student's t ------------------------------------------------------------------------------------------


def test_student_falls_toward_the_normal() -> None:
    row = [student(dof) for dof in (1, 2, 3, 10, 50, 200, 201, 1000, 1e5, 1e7, math.inf)]
    assert row == sorted(row, reverse=True)
    assert row[-1] == pytest.approx(1.959964, abs=1e-6)


def test_student_joins_its_two_forms() -> None:
    """The closed sum up to 200 degrees and the expansion above meet without a step."""
    steps = [student(dof) - student(dof + 1) for dof in (198, 199, 200, 201)]
    assert steps == sorted(steps, reverse=True)
    assert steps[2] == pytest.approx((steps[1] + steps[3]) / 2, rel=1e-3)
