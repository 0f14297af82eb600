"""Whatever is taken away is found again, by every route, and by a route that is not the tool's.

Consistency, no physics: the model is its own judge, or straight code with NumPy's and SciPy's root finders.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from ccassist.engine.mathematics import arrays, uncertain
from ccassist.solve.solver import Answer, solve
from ccassist.values.findings import NotPossible
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, doubt
from tests.solve.solve_engines import C1_DISHED, COUNTED, INPUTS, PAIRS, UNCOUNTED, engines, evaluated, straight_ratio

RATIO_INPUTS = tuple(key for key in INPUTS["static_ratio"] if key != "extra_volume")


def found_again(answer: Answer, wanted: float) -> bool:
    return any(math.isclose(root.nominal, wanted, rel_tol=1e-9, abs_tol=1e-13) for root in answer.roots)


@pytest.mark.parametrize(("target", "unknown"), PAIRS)
@given(engine=engines())
@settings(max_examples=6, deadline=None)
def test_what_is_taken_away_is_found_again(target: str, unknown: str, engine: dict[str, float]) -> None:
    """The inverse of the model is the model's inverse: own algebra, no outside source needed."""
    value = evaluated(engine)[target]
    without = {key: number for key, number in engine.items() if key != unknown}
    answer = solve(without, COUNTED, unknowns=(unknown,), targets={target: value})
    assert found_again(answer, engine[unknown])
    for root in answer.roots:
        assert root.check == pytest.approx(value, rel=1e-9, abs=1e-14)


@pytest.mark.parametrize("target", ["static_ratio", "deck_clearance", "squish", "piston_travel"])
@given(engine=engines(offset=True))
@settings(max_examples=5, deadline=None)
def test_an_offset_is_found_on_either_side(target: str, engine: dict[str, float]) -> None:
    value = evaluated(engine)[target]
    answer = solve(engine, COUNTED, unknowns=("pin_offset",), targets={target: value})
    assert {round(math.copysign(1, root.nominal)) for root in answer.roots} == {-1, 1}
    size = abs(engine["pin_offset"])
    # The travel hardly moves with the offset, so its last digits decide less.
    assert all(abs(root.nominal) == pytest.approx(size, rel=1e-6) for root in answer.roots)


@given(engine=engines(), unknown=st.sampled_from(RATIO_INPUTS), change=st.floats(0.998, 1.002))
@settings(max_examples=40, deadline=None)
def test_a_root_is_that_of_a_general_solver_on_straight_code(
    engine: dict[str, float], unknown: str, change: float
) -> None:
    """Independent route: scipy.optimize.brentq on the ratio written out in one function."""
    value = evaluated({**engine, unknown: engine[unknown] * change})["static_ratio"]
    answer = solve(engine, COUNTED, unknowns=(unknown,), targets={"static_ratio": value})
    size = max(abs(engine[unknown]) * 0.005, 1e-7)
    low, high = engine[unknown] - size, engine[unknown] + size
    root = brentq(lambda x: straight_ratio({**engine, unknown: x}) - value, low, high, xtol=1e-17, rtol=1e-14)
    assert found_again(answer, root)


@given(engine=engines(), pair=st.sampled_from(PAIRS))
@settings(max_examples=40, deadline=None)
def test_algebra_and_bracketing_agree(engine: dict[str, float], pair: tuple[str, str]) -> None:
    target, unknown = pair
    value = evaluated(engine)[target]
    by_algebra = solve(engine, COUNTED, unknowns=(unknown,), targets={target: value})
    by_trial = solve(engine, COUNTED, unknowns=(unknown,), targets={target: value}, algebra=False)
    assert by_trial.route == "numeric"
    assert by_trial.best.nominal == pytest.approx(by_algebra.best.nominal, rel=1e-9, abs=1e-13)


@given(engine=engines(offset=False), unknown=st.sampled_from(RATIO_INPUTS))
@settings(max_examples=25, deadline=None)
def test_the_doubt_is_that_of_the_formula_done_in_uncertain_numbers(engine: dict[str, float], unknown: str) -> None:
    """Two routes to one uncertain number: their difference must have neither a value nor a doubt."""
    known = {key: number + doubt(1e-3 * abs(number) + 1e-9, Cause(name=key)) for key, number in engine.items()}
    value = evaluated(engine)["static_ratio"] + doubt(0.02, Cause(name="target"))
    answer = solve(known, COUNTED, unknowns=(unknown,), targets={"static_ratio": value})
    best = answer.best
    assert best.formula is not None
    others = best.model.evaluate({**known, unknown: best.nominal}, uncertain())
    formula = best.formula.computed({**others, "static_ratio": value}, uncertain())
    assert nominal(formula) == pytest.approx(best.nominal, rel=1e-9, abs=1e-13)
    assert standard(best.number) > 0
    assert standard(formula - best.number) <= 1e-9 * standard(best.number)


@given(engine=engines(offset=False), unknown=st.sampled_from(RATIO_INPUTS))
@settings(max_examples=20, deadline=None)
def test_a_formula_takes_arrays(engine: dict[str, float], unknown: str) -> None:
    value = evaluated(engine)["static_ratio"]
    answer = solve(engine, COUNTED, unknowns=(unknown,), targets={"static_ratio": value})
    formula = answer.best.formula
    assert formula is not None
    settled = answer.question.settled(answer.best.model)
    targets = value * np.array([1.0, 1.001, 0.999])
    got = formula.computed({**settled, "static_ratio": targets}, arrays())
    assert got.shape == (3,)
    one_by_one = [formula.computed({**settled, "static_ratio": float(one)}) for one in targets]
    np.testing.assert_allclose(got, one_by_one, rtol=1e-9, atol=1e-13)


def test_shared_causes_cancel() -> None:
    """JCGM 100:2008, 5.2: a bore shared by target and unknown must not be charged twice."""
    shared = doubt(1e-5, Cause(name="bore gauge"))
    known = {**C1_DISHED, "bore": C1_DISHED["bore"] + shared, "gasket_bore": C1_DISHED["gasket_bore"] + shared}
    answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.8})
    step = 1e-7
    ends = [
        solve(
            {**C1_DISHED, "bore": C1_DISHED["bore"] + move, "gasket_bore": C1_DISHED["gasket_bore"] + move},
            COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.8},
        ).best.nominal
        for move in (-step, step)
    ]  # fmt: skip
    assert standard(answer.number) == pytest.approx(abs(ends[1] - ends[0]) / (2 * step) * 1e-5, rel=1e-4)


@given(engine=engines(offset=False), target=st.floats(7.0, 14.0))
@settings(max_examples=25, deadline=None)
def test_a_piston_that_comes_proud_uncounted_takes_its_own_relation(engine: dict[str, float], target: float) -> None:
    """With the crevice not counted only the solid crown takes space above the deck (common practice, no source)."""
    try:
        answer = solve(engine, UNCOUNTED, unknowns=("compression_height",), targets={"static_ratio": target})
    except NotPossible:
        return
    best = answer.best
    area = engine["land_diameter"] if best.values["deck_clearance"] < 0 else engine["bore"]
    assert best.values["deck_volume"] == pytest.approx(
        math.pi / 4 * area**2 * best.values["deck_clearance"], rel=1e-9, abs=1e-15
    )
    assert best.check == pytest.approx(target, rel=1e-9)
