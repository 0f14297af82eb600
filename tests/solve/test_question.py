"""What a question says of an engine on trial: slopes of figures, what is unlikely; against derivatives written out.

A figure is any procedure; here powers, whose derivatives are those of the calculus.
Consistency, no physics: the engine put together again, and derivatives written out by hand.
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest

from ccassist.engine.mathematics import Relation
from ccassist.engine.model import Choices
from ccassist.solve.question import Problem
from ccassist.solve.remarks import _unusual, ask, check_values, fault, rough
from ccassist.solve.scan import roots, scan
from ccassist.solve.solver import _unlikely, agrees, solve
from ccassist.values.display import METRIC
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary import term
from tests.each import each
from tests.solve.solve_engines import C1_DISHED, COUNTED, straight_ratio


def squared(static_ratio: Any, *, m: Any = None) -> Any:
    return 2 + static_ratio**2 / 50


def only_to_nine(static_ratio: Any, *, m: Any = None) -> Any:
    if static_ratio > 9:
        raise ValueError
    return squared(static_ratio)


def problem(function: Any = squared, *, present: float | None = None, **targets: float) -> Problem:
    figure = Relation("a figure", "trapped_ratio", ("static_ratio",), function)
    here = {} if present is None else {"static_ratio": present}
    return Problem(
        known={},
        choices=Choices(),
        unknowns=("static_ratio",),
        targets=targets,
        figures={figure.gives: figure},
        present=here,
    )


def slope(function: Any, at: float) -> float:
    asked, place = problem(function, trapped_ratio=5.0), {"static_ratio": at}
    model = asked.model(place)
    assert model is not None
    return asked.slopes(place, model)["trapped_ratio"]["static_ratio"]


@pytest.mark.parametrize("at", [4.0, 8.5, 12.0])
def test_the_slope_of_a_figure_is_its_derivative(at: float) -> None:
    assert slope(squared, at) == pytest.approx(at / 25, rel=1e-6)


def test_at_the_edge_of_what_can_be_the_slope_is_that_on_the_near_side() -> None:
    """Nothing is beyond 9; a step of a ten-thousandth of the usual span back, s, takes half of s ÷ 25 off it."""
    low, high = term("static_ratio").plausible
    assert slope(only_to_nine, 9.0) == pytest.approx(9 / 25 - 0.5e-4 * (high - low) / 25, rel=1e-6)


@pytest.mark.parametrize("ratio", [5.3, 7.0, 8.9, 11.7])
def test_a_figure_is_met_where_its_root_is(ratio: float) -> None:
    asked = problem(trapped_ratio=squared(ratio))
    assert roots(asked, scan(asked)) == [pytest.approx(ratio, rel=1e-9)]


def test_a_figure_is_looked_at_seldom_and_where_it_stands_too() -> None:
    """It costs much: some twenty places, the present one and both ends of what is looked at among them."""
    (run,) = scan(problem(trapped_ratio=5.0, present=8.123)).runs
    places = [x for x, _ in run]
    assert len(places) < 30
    assert places == sorted(set(places))
    assert {3.0, 8.123, 40.0} <= set(places)
    for x, y in run:
        assert y == pytest.approx(squared(x))
    figure = Relation("a figure", "trapped_ratio", ("manifold_pressure",), lambda manifold_pressure, m=None: 9.0)
    asked = Problem(
        known={}, choices=Choices(), unknowns=("manifold_pressure",), targets={"trapped_ratio": 9.0},
        figures={"trapped_ratio": figure},
    )  # fmt: skip
    (run,) = scan(asked).runs
    assert (run[0][0], run[-1][0]) == (0.5e5, 7e5)  # half a bar to seven, absolute: common practice, no source


def unlikely(now: dict[str, float], **numbers: float) -> tuple[int, float]:
    asked = Problem(known={}, choices=Choices(), unknowns=tuple(numbers), targets={}, present=now)
    return _unlikely(asked, SimpleNamespace(plain=numbers))  # type: ignore[arg-type]


def test_of_several_answers_the_likelier_leaves_less_of_what_is_usual_and_lies_nearer() -> None:
    low, high = term("bore").plausible
    wide = high - low
    assert unlikely({"bore": low}, bore=high) == (0, pytest.approx(1.0))  # the ends are usual too
    assert unlikely({"bore": high}, bore=low) == (0, pytest.approx(1.0))
    assert unlikely({"bore": low}, bore=high + 0.1 * wide) == (1, pytest.approx(1.1))
    assert unlikely({"bore": high}, bore=low - 0.1 * wide) == (1, pytest.approx(1.1))
    assert unlikely({"bore": low - 0.2 * wide}, bore=low - 0.1 * wide) == (0, pytest.approx(0.1))  # it is out already
    assert unlikely({}, bore=high) == (0, pytest.approx(0.5))  # from the middle, where nothing is said
    assert unlikely({"bore": low}, bore=high + wide, stroke=term("stroke").plausible[1] * 2)[0] == 2
    assert math.isfinite(unlikely({}, bore=low)[1])


def test_what_a_target_lacks_is_the_least_that_it_would_follow_from() -> None:
    """A deck clearance follows from block, stroke, rod and piston; an offset pin is one thing more."""
    asked = Problem(known={}, choices=Choices(), unknowns=("rod_length",), targets={"deck_clearance": 2e-4})
    said = fault(asked).wrong
    assert all(term(key).name in said for key in ("block_deck_height", "stroke", "compression_height"))
    assert term("pin_offset").name not in said


@pytest.mark.parametrize("ratio", [8.2, 9.7, 11.0])
def test_a_figure_of_the_ratio_is_met_by_way_of_the_ratio(ratio: float) -> None:
    """The figure gives the ratio, and the ratio the chamber: put into the ratio in straight-line code."""
    figure = Relation("a figure", "trapped_ratio", ("static_ratio",), squared)
    found = solve(
        C1_DISHED,
        COUNTED,
        unknowns=("chamber_volume",),
        targets={"trapped_ratio": squared(ratio)},
        figures={"trapped_ratio": figure},
        algebra=False,
    )
    assert found.upper is not None
    assert found.upper.number == pytest.approx(ratio, rel=1e-8)
    assert straight_ratio({**C1_DISHED, "chamber_volume": nominal(found.number)}) == pytest.approx(ratio, rel=1e-8)
    assert found.best.checks["trapped_ratio"] == pytest.approx(squared(ratio), rel=1e-8)


def test_what_cannot_be_solved_for_says_why() -> None:
    """Nothing moves the target; no engine is to be had; the target cannot be; what is wanted cannot be met."""
    stroke, tall = {"stroke": 0.08}, {"rod_length": 0.2, "block_deck_height": 0.212}  # a rod too long for the block
    for unknowns, known, targets, kind, words in (
        (("rod_length",), {**stroke, "bore": 0.08}, {"swept_volume": 4e-4}, InputError, "does not depend"),
        (("bore",), stroke, {"swept_volume": -4e-4}, InputError, "no swept volume can be that"),
        (("compression_height",), {**stroke, **tall}, {"deck_clearance": 0.0}, NotPossible, "compression height"),
        (("bore", "stroke"), {}, {"swept_volume": 4e-4, "bore_area": 5e-3}, None, ""),
        (("bore", "rod_length"), stroke, {"swept_volume": 4e-4, "bore_area": 5e-3}, InputError, "rod length"),
    ):  # fmt: skip
        if kind is None:
            found = solve(known, Choices(), unknowns=unknowns, targets=targets, algebra=False)
            assert nominal(found.numbers["bore"][0]) == pytest.approx(math.sqrt(5e-3 * 4 / math.pi))
            assert nominal(found.numbers["stroke"][0]) == pytest.approx(4e-4 / 5e-3)
            continue
        with pytest.raises(kind, match=words):
            solve(known, Choices(), unknowns=unknowns, targets=targets, algebra=False)


@pytest.mark.parametrize("algebra", [True, False])
def test_the_doubt_of_what_is_given_goes_into_the_answer(algebra: bool) -> None:
    """A bore from swept volume and stroke: b = √(4 V ÷ π s), so that u(b) is b ÷ 2 of the relative u of either."""
    stroke = 0.08 + doubt(1e-4, Cause("the stroke as read", "stroke"))
    found = solve({"stroke": stroke}, Choices(), unknowns=("bore",), targets={"swept_volume": 4e-4}, algebra=algebra)
    bore = math.sqrt(4 * 4e-4 / (math.pi * 0.08))
    assert nominal(found.number) == pytest.approx(bore, rel=1e-9)
    assert standard(found.number) == pytest.approx(bore / 2 * 1e-4 / 0.08, rel=1e-6)
    both = solve(
        {},
        Choices(),
        unknowns=("bore", "stroke"),
        targets={"swept_volume": 4e-4 + doubt(1e-6, Cause("what is wanted", "swept_volume")), "bore_stroke_ratio": 1.0},
        algebra=algebra,
    )
    square = (4 * 4e-4 / math.pi) ** (1 / 3)
    for (number,) in both.numbers.values():
        assert nominal(number) == pytest.approx(square, rel=1e-9)
        assert standard(number) == pytest.approx(square / 3 * 1e-6 / 4e-4, rel=1e-5)


def test_a_target_of_the_whole_engine_is_reached_too() -> None:
    """The displacement of four cylinders is four times π/4 b² s; no relation of one cylinder needs it."""
    asked = Problem(
        known={"stroke": 0.08, "cylinders": 4.0},
        choices=Choices(),
        unknowns=("bore",),
        targets={"displacement": 1.8e-3},
    )
    assert roots(asked, scan(asked)) == [pytest.approx(math.sqrt(1.8e-3 / math.pi / 0.08), rel=1e-9)]


@each("key", ["static_ratio", "squish", "swept_volume"])
def test_the_ends_of_what_a_target_can_be_can_be_asked_for(key: str) -> None:
    low, high = term(key).possible
    for value in (low, high):
        check_values(problem(**{key: value}))
    for value in (low - 1e-6, high + 1e-6):
        with pytest.raises(InputError, match="can be that"):
            check_values(problem(**{key: value}))


@each(
    ("unknowns", "count"),
    [((), "two unknowns and two targets are four"), (("bore", "bore"), "two unknowns and two targets are four"),
     (("bore", "stroke", "bore"), "three unknowns and three targets are six"),
     (("bore", "stroke"), "two unknowns and two targets are four")],
)  # fmt: skip
def test_as_many_targets_as_unknowns_and_all_of_them_different(unknowns: tuple[str, ...], count: str) -> None:
    wanted = dict.fromkeys(("squish", "static_ratio", "swept_volume")[: len(unknowns) if unknowns[2:] else 1], 1.0)
    with pytest.raises(InputError, match=count):
        ask({}, Choices(), unknowns=unknowns, targets=wanted)


@each(("at", "said"), [(0, False), (1, False), (-1e-6, True), (1 + 1e-6, True)])
def test_an_answer_is_unusual_beyond_what_is_usual(at: float, said: bool) -> None:
    """At a share of its usual range; all else of the engine stays."""
    low, high = term("chamber_volume").plausible
    asked = Problem(
        known={key: value for key, value in C1_DISHED.items() if key != "chamber_volume"},
        choices=COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 9.0},
    )  # fmt: skip
    worked = asked.worked({"chamber_volume": 38e-6})
    assert worked is not None
    model, values = worked
    there = high if at == 1 else low + at * (high - low)
    found = _unusual(asked, "chamber_volume", model, {**values, "chamber_volume": there}, METRIC)
    assert ["chamber volume would be" in f.wrong for f in found] == [True] * said


@each(
    ("function", "at", "spread", "figure", "said"),
    [
        (lambda x: 3 * x - 1, 2.0, 0.5, False, False),
        (lambda x: x**2, 2.0, 0.5, False, False),  # 0.25 off a tangent that rises by 2
        (lambda x: x**2, 2.0, 1.0, False, True),
        (lambda x: x**2, 0.5, 0.4, False, True),
        (lambda x: x**2, 0.5, 0.4, True, False),
        (lambda x: x**2, 0.0, 0.4, False, False),  # level there: nothing follows at all
        (lambda x: x**2, 2.0, 0.0, False, False),
        (lambda x: 4 * x if x < 2.1 else None, 2.0, 0.5, False, True),
        (lambda x: 4 * x if x > 1.9 else None, 2.0, 0.5, False, True),
    ],
)
def test_a_doubt_is_rough_where_the_target_leaves_its_tangent(
    function: Any, at: float, spread: float, figure: bool, said: bool
) -> None:
    """By more than a fifth of what the tangent gives, at either end of the ±: a standard ± of half of it, normal."""
    asked = SimpleNamespace(
        at=function, unknown="bore", target="squish", figures={"squish": function} if figure else {}
    )
    number = at + doubt(spread / 1.96, Cause("as read", "bore")) if spread else at
    slope = function(at + 1e-6) / 1e-6 - function(at) / 1e-6 if function(at) is not None else 0.0
    slope = 0.0 if at == 0 else slope
    found = rough(asked, number, function(at), slope)  # type: ignore[arg-type]
    assert [f.code for f in found] == ["rough-spread"] * said


@each(("off", "agreed"), [(0.0, True), (0.9e-9, True), (-0.9e-9, True), (1.2e-9, False), (-1.2e-9, False)])
def test_a_target_got_back_agrees_to_a_thousand_millionth(off: float, agreed: bool) -> None:
    asked = Problem(known={}, choices=Choices(), unknowns=("bore",), targets={"swept_volume": 4e-4})
    assert agrees(asked, "swept_volume", 4e-4 * (1 + off)) is agreed
    figure = problem(trapped_ratio=8.0)
    assert agrees(figure, "trapped_ratio", 8.0 * (1 + 100 * off)) is agreed


def test_what_follows_from_the_one_thing_known_is_settled() -> None:
    """Of a bore alone its area: π/4 b²."""
    asked = Problem(known={"bore": 0.08}, choices=Choices(), unknowns=("stroke",), targets={"swept_volume": 4e-4})
    model = asked.model({"stroke": 0.08})
    assert model is not None
    bare = asked.settled(model)
    assert bare["bore_area"] == pytest.approx(math.pi / 4 * 0.08**2)
    assert "swept_volume" not in bare
