"""Where a target is met, and how far it reaches: by sampling, against values written out by hand.

Swept volume is π/4 × bore² × stroke, its only formula.
"""

from __future__ import annotations

import math

import pytest

from ccassist.engine.model import Choices
from ccassist.solve.question import Problem
from ccassist.solve.scan import Scan, TargetRange, _miss, _zero, impossible, roots, roots_together, scan, size_of
from ccassist.vocabulary import term

RUNS = Scan(runs=(((-2.0, 4.0), (-1.0, 1.0), (0.0, 0.0)), ((1.0, 1.0), (3.0, 9.0))))


def problem(unknowns: tuple[str, ...], known: dict[str, float], **targets: float) -> Problem:
    return Problem(known=known, choices=Choices(), unknowns=unknowns, targets=targets)


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        ((-math.inf, math.inf), TargetRange(low=0.0, high=9.0, low_at=0.0, high_at=3.0)),
        ((-2.0, -1.0), TargetRange(low=1.0, high=4.0, low_at=-1.0, high_at=-2.0)),
        ((-1.0, 1.0), TargetRange(low=0.0, high=1.0, low_at=0.0, high_at=-1.0)),
        ((3.0, 3.0), TargetRange(low=9.0, high=9.0, low_at=3.0, high_at=3.0)),
        ((1.5, 2.5), None),
    ],
)
def test_reach_within_limits(limits: tuple[float, float], expected: TargetRange | None) -> None:
    assert RUNS.reach(limits) == expected


def test_flat_is_as_far_as_the_lowest_is_from_the_highest() -> None:
    assert RUNS.flat(9.0)
    assert not RUNS.flat(8.9)
    assert not Scan(runs=(((0.0, 1.0),),)).flat(1.0)  # one point shows nothing


@pytest.mark.parametrize("bore", [0.061, 0.0834, 0.11])
def test_a_root_is_where_the_formula_has_it(bore: float) -> None:
    wanted = problem(("bore",), {"stroke": 0.0713}, swept_volume=math.pi / 4 * bore**2 * 0.0713)
    assert roots(wanted, scan(wanted)) == [pytest.approx(bore, rel=1e-9)]


def test_a_run_ends_where_no_engine_can_be() -> None:
    """Bores are possible within the limits of the term: the samples reach both ends of them, and rise."""
    (run,) = scan(problem(("bore",), {"stroke": 0.0713}, swept_volume=4e-4)).runs
    assert [x for x, _ in run] == sorted(x for x, _ in run)
    low, high = term("bore").possible
    assert low <= run[0][0] < run[-1][0] <= high
    for bore, swept in run:
        assert swept == pytest.approx(math.pi / 4 * bore**2 * 0.0713)


def test_what_is_impossible_is_named() -> None:
    asked = problem(("bore",), {"stroke": 0.0713}, swept_volume=4e-4)
    for bore, wrong in ((0.08, None), (-0.08, "bore"), (term("bore").possible[1] * 1.001, "bore")):
        worked = asked.worked({"bore": bore})
        assert worked is not None
        assert impossible(asked, *worked) == wrong


@pytest.mark.parametrize(("beyond", "wrong"), [(0.95e-9, False), (1.05e-9, True)])
def test_only_rounding_is_allowed_at_the_edge_of_what_can_be(beyond: float, wrong: bool) -> None:
    """A thousand millionth of the usual span."""
    low, high = term("bore").plausible
    bore = term("bore").possible[1] + beyond * (high - low)
    asked = problem(("bore",), {"stroke": 0.0713}, swept_volume=4e-4)
    model = asked.model({"bore": bore})
    assert model is not None
    values = asked.values({"bore": bore})
    assert values is not None
    assert (impossible(asked, model, values) == "bore") is wrong


@pytest.mark.parametrize(("bore", "stroke"), [(0.0834, 0.0713), (0.0612, 0.0941), (0.1034, 0.0867)])
def test_two_found_together(bore: float, stroke: float) -> None:
    """Displacement and the ratio of bore to stroke say both, whatever the start."""
    swept, square = math.pi / 4 * bore**2 * stroke, bore / stroke
    (place,) = roots_together(problem(("bore", "stroke"), {}, swept_volume=swept, bore_stroke_ratio=square))
    assert place == {"bore": pytest.approx(bore, rel=1e-9), "stroke": pytest.approx(stroke, rel=1e-9)}


def test_a_target_near_nothing_is_judged_by_its_usual_span() -> None:
    low, high = term("deck_clearance").plausible
    assert size_of("deck_clearance", 0.0) == pytest.approx((high - low) / 1000)
    assert size_of("deck_clearance", -0.002) == 0.002


def circle_and_hyperbola(place: dict[str, float]) -> list[float]:
    """x² + y² = 25 and x y = 12: at (3, 4) and (4, 3)."""
    return [(place["x"] ** 2 + place["y"] ** 2) / 25 - 1, place["x"] * place["y"] / 12 - 1]


def test_a_miss_is_a_part_of_what_is_wanted() -> None:
    """Half as much again of each, and of a deck clearance of nothing a part of its usual span."""
    low, high = term("deck_clearance").plausible
    known = {"stroke": 0.08, "rod_length": 0.14, "block_deck_height": 0.212}
    asked = problem(("bore", "compression_height"), known, swept_volume=4e-4, deck_clearance=0.0)
    bore = math.sqrt(1.5 * 4e-4 * 4 / math.pi / 0.08)
    found = _miss(asked)({"bore": bore, "compression_height": 0.031})
    assert found == [pytest.approx(0.5), pytest.approx(0.001 / (high - low) * 1000)]


ONE = {"x": 1.0}


@pytest.mark.parametrize(
    ("start", "end"), [((1.0, 9.0), (3.0, 4.0)), ((9.0, 1.0), (4.0, 3.0)), ((5.0, 0.0), (4.0, 3.0))]
)
def test_two_curves_cross_where_they_do(start: tuple[float, float], end: tuple[float, float]) -> None:
    found = _zero(circle_and_hyperbola, {"x": start[0], "y": start[1]}, {"x": 1.0, "y": 100.0})  # type: ignore[arg-type]
    assert found == {"x": pytest.approx(end[0], rel=1e-9), "y": pytest.approx(end[1], rel=1e-9)}


def test_newtons_step_is_shortened_where_it_overshoots() -> None:
    """Beyond 1.39 the whole step of the arc tangent runs away from its root."""
    found = _zero(lambda place: [math.atan(place["x"])], {"x": 10.0}, ONE)
    assert found == {"x": pytest.approx(0.0, abs=1e-9)}


def test_what_has_no_root_or_no_slope_or_no_engine_beside_it_is_left() -> None:
    assert _zero(lambda place: [place["x"] ** 2 + 1], {"x": 2.0}, ONE) is None
    assert _zero(lambda place: [1.0], {"x": 2.0}, ONE) is None
    assert _zero(lambda place: None, {"x": 2.0}, ONE) is None
    for side in (1, -1):  # an engine at 2 and on one side of it only
        assert _zero(lambda place, side=side: [5.0] if side * (place["x"] - 2) <= 0 else None, {"x": 2.0}, ONE) is None


def test_a_step_goes_no_farther_than_there_are_engines() -> None:
    """x² = 4 from 0.5: the whole step leads to 4.25, where none is."""
    found = _zero(lambda place: [place["x"] ** 2 / 4 - 1] if place["x"] < 3 else None, {"x": 0.5}, ONE)
    assert found == {"x": pytest.approx(2.0)}
