"""Two terms from two targets: the trade's piston order, put back, and by a route that is not the tool's.

Judges: straight code with SciPy's fsolve; the rest is consistency, no physics.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve

from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, build
from ccassist.solve.hand_sum import workings
from ccassist.solve.solver import Answer, solve
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary import term
from tests.solve.solve_engines import C1, C1_DISHED, COUNTED, engines, evaluated, straight_ratio

CC, MM = 1e-6, 1e-3
ORDER = ("compression_height", "crown_volume")
IN_TURN = [
    (("compression_height", "crown_volume"), ("squish", "static_ratio")),
    (("crown_volume", "compression_height"), ("static_ratio", "deck_clearance")),
    (("block_deck_height", "gasket_thickness"), ("deck_clearance", "clearance_volume")),
    (("rod_length", "chamber_volume"), ("rod_ratio", "static_ratio")),
    (("bore", "gasket_thickness"), ("swept_volume", "squish")),
]
THREE = (("compression_height", "crown_volume", "bore"), ("squish", "static_ratio", "swept_volume"))
AT_ONCE = [
    (("compression_height", "gasket_thickness"), ("squish", "static_ratio")),
    (("bore", "stroke"), ("swept_volume", "bore_stroke_ratio")),
    (("stroke", "bore"), ("clearance_volume", "static_ratio")),
]


def names(found: Answer) -> list[float]:
    return [nominal(found.best.numbers[key]) for key in found.question.unknowns]


def test_c1_the_piston_order_in_one() -> None:
    """C1: 0.20 mm below deck and 8.90 ask for CH 31.65 mm and a crown of +4.491 cm³ (common practice, recomputed)."""
    known = {key: value for key, value in C1.items() if key != "compression_height"}
    found = solve(known, COUNTED, unknowns=ORDER, targets={"deck_clearance": 0.20 * MM, "static_ratio": 8.90})
    assert found.route == "in turn"
    assert found.best.numbers["compression_height"] / MM == pytest.approx(31.65, abs=1e-9)
    assert found.best.numbers["crown_volume"] / CC == pytest.approx(4.491, abs=5e-4)
    assert [turn.route for turn in found.best.turns] == ["algebra", "algebra"]


def test_the_order_of_asking_does_not_matter() -> None:
    targets = {"squish": 1.45 * MM, "static_ratio": 8.90}
    one = solve(C1_DISHED, COUNTED, unknowns=ORDER, targets=targets)
    turned = dict(reversed(targets.items()))
    other = solve(C1_DISHED, COUNTED, unknowns=(ORDER[1], ORDER[0]), targets=turned)
    assert one.best.numbers == other.best.numbers
    assert one.best.checks == other.best.checks


@pytest.mark.parametrize(("unknowns", "targets"), [*IN_TURN, *AT_ONCE])
@given(engine=engines(), change=st.floats(-1, 1))
@settings(max_examples=6, deadline=None)
def test_what_is_taken_away_is_found_again(
    unknowns: tuple[str, str], targets: tuple[str, str], engine: dict[str, float], change: float
) -> None:
    """The inverse of the model is the model's inverse: both put in give both targets, no outside source needed."""
    there = evaluated(engine)
    asked = {key: there[key] for key in targets}
    found = solve(
        {**engine, unknowns[0]: engine[unknowns[0]] * (1 + 1e-3 * change)},
        COUNTED,
        unknowns=unknowns,
        targets=asked,
        algebra=False,
    )
    assert found.route == ("in turn" if (unknowns, targets) in IN_TURN else "at once")
    for one in found.roots:
        plain = {key: nominal(number) for key, number in one.numbers.items()}
        back = evaluated({**engine, **plain})
        assert {key: back[key] for key in targets} == pytest.approx(asked, rel=1e-9, abs=1e-13)
    wanted = [engine[key] for key in unknowns]
    assert any(
        [nominal(one.numbers[key]) for key in unknowns] == pytest.approx(wanted, rel=1e-6, abs=1e-10)
        for one in found.roots
    )


@given(engine=engines(), change=st.floats(-1, 1))
@settings(max_examples=6, deadline=None)
def test_three_are_found_as_two_are(engine: dict[str, float], change: float) -> None:
    """Bore from swept volume, height from squish, crown from what is left: each taken away and found again."""
    unknowns, targets = THREE
    there = evaluated(engine)
    asked = {key: there[key] for key in targets}
    known = {**engine, "bore": engine["bore"] * (1 + 1e-3 * change)}
    found = solve(known, COUNTED, unknowns=unknowns, targets=asked, algebra=False)
    turns = [turn.question.unknown for turn in found.best.turns]
    assert turns == ["compression_height", "bore", "crown_volume"]
    assert found.best.plain == pytest.approx({key: engine[key] for key in unknowns}, rel=1e-9, abs=1e-12)


@given(engine=engines(), ratio=st.floats(0.97, 1.03), squish=st.floats(0.6e-3, 1.4e-3))
@settings(max_examples=30, deadline=None)
def test_the_order_is_that_of_a_general_solver_on_straight_code(
    engine: dict[str, float], ratio: float, squish: float
) -> None:
    """Independent route: scipy.optimize.fsolve on squish and ratio written out in one function."""
    engine = {**engine, "squish_step": 0.0}
    value = straight_ratio(engine) * ratio
    targets = {"squish": squish, "static_ratio": value}
    found = solve(engine, COUNTED, unknowns=ORDER, targets=targets, algebra=False)

    def miss(scaled: list[float]) -> list[float]:
        tried = {**engine, "compression_height": scaled[0] * MM, "crown_volume": scaled[1] * CC}
        throw, rod = engine["stroke"] / 2, engine["rod_length"]
        top = math.sqrt((rod + throw) ** 2 - engine.get("pin_offset", 0.0) ** 2)
        gap = engine["block_deck_height"] - top - tried["compression_height"] + engine["gasket_thickness"]
        return [(gap - squish) / MM, straight_ratio(tried) - value]

    # From where the tool came to rest, a little aside, so that the other solver has its own way to go.
    start = [nominal(found.best.numbers[key]) / unit for key, unit in zip(ORDER, (MM, CC), strict=True)]
    got, _, ended, message = fsolve(miss, [start[0] + 0.2, start[1] + 1.5], full_output=True, xtol=1e-12)
    assert ended == 1, message
    assert start == pytest.approx(list(got), rel=1e-7, abs=1e-6)


def doubted(engine: dict[str, float]) -> dict[str, object]:
    return {key: number + doubt(1e-3 * abs(number) + 1e-9, Cause(name=key)) for key, number in engine.items()}


@pytest.mark.parametrize(("unknowns", "targets"), [IN_TURN[0], AT_ONCE[0], AT_ONCE[2]])
def test_both_put_back_leave_no_doubt_in_the_targets(unknowns: tuple[str, str], targets: tuple[str, str]) -> None:
    """The answers carry exactly the doubt that the targets lack: put back, all of it cancels (JCGM 100:2008, 5.2)."""
    there = evaluated(C1_DISHED)
    known = doubted(C1_DISHED)
    found = solve(known, COUNTED, unknowns=unknowns, targets={key: there[key] for key in targets})
    back = build(C1_DISHED, COUNTED).evaluate({**known, **found.best.numbers}, uncertain())
    plain = build(C1_DISHED, COUNTED).evaluate(known, uncertain())
    for key in targets:
        assert standard(plain[key]) > 0
        assert standard(back[key]) <= 1e-6 * standard(plain[key])
    assert all(standard(found.best.numbers[key]) > 0 for key in unknowns)


def test_doubt_of_the_crown_knows_of_the_height() -> None:
    """A gasket thicker than thought: CH takes it up in the squish, so of the crown only Ag − A of it is left.

    By hand: CH = H + hg − q − S/2 − L, so c = q − hg, and Vp = Vc − Vch − Ag·hg − A·c − Vcr.
    """
    u = 0.05 * MM
    known = {**C1, "gasket_thickness": C1["gasket_thickness"] + doubt(u, Cause(name="gasket"))}
    found = solve(known, COUNTED, unknowns=ORDER, targets={"squish": 1.45 * MM, "static_ratio": 8.9})
    ring = math.pi / 4 * (C1["gasket_bore"] ** 2 - C1["bore"] ** 2)
    assert standard(found.best.numbers["compression_height"]) == pytest.approx(u, rel=1e-9)
    assert standard(found.best.numbers["crown_volume"]) == pytest.approx(ring * u, rel=1e-6)


def test_an_offset_on_either_side_gives_two_pairs() -> None:
    engine = {**C1_DISHED, "pin_offset": 0.8 * MM}
    there = evaluated(engine)
    targets = {"squish": there["squish"], "static_ratio": 9.2}
    found = solve(engine, COUNTED, unknowns=("pin_offset", "chamber_volume"), targets=targets)
    sides = sorted(round(nominal(one.numbers["pin_offset"]) / MM, 6) for one in found.roots)
    assert sides == [-0.8, 0.8]
    assert found.best.numbers["pin_offset"] > 0


def test_a_fill_over_the_piston_stays_as_found() -> None:
    """The crown was filled at the old height: a new height moves the deck, not the crown."""
    fill = {**C1, "crown_fill": 75.0 * CC, "crown_drop": 14.0 * MM}
    choices = Choices(crevice=True, chamfer=True, seal="grease")
    now = build(fill, choices).evaluate(fill)
    targets = {"squish": 1.0 * MM, "static_ratio": 9.0}
    found = solve(fill, choices, unknowns=("compression_height", "chamber_volume"), targets=targets)
    assert found.best.values["crown_volume"] == pytest.approx(now["crown_volume"], rel=1e-12)
    assert found.best.checks == pytest.approx(targets, rel=1e-9)
    assert "kept-as-found" in {f.code for f in found.findings}


def test_the_working_holds_both_formulas_in_turn() -> None:
    found = solve(C1_DISHED, COUNTED, unknowns=ORDER, targets={"squish": 1.45 * MM, "static_ratio": 8.9})
    first, second = workings(found)
    assert first.lead.startswith("First the compression height: of the two only it moves the squish gap.")
    assert first.formula == "CH = H + hg − q − S ÷ 2 − L"
    assert second.lead.startswith("Then, with the compression height 31.65 mm, the net crown volume.")
    assert second.formula == "Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd − Vcr"
    assert "deck_clearance" in found.moved
    levers = dict(found.sensitivity("static_ratio"))
    assert "chamber_volume" in levers
    assert "crown_volume" not in levers


def test_the_working_says_where_trial_was_needed() -> None:
    there = evaluated(C1_DISHED)
    targets = {key: there[key] for key in ("swept_volume", "bore_stroke_ratio")}
    found = solve(C1_DISHED, COUNTED, unknowns=("bore", "stroke"), targets=targets)
    (made,) = workings(found)
    assert made.lead == "Both targets hang on both unknowns:"
    assert "B/S = B ÷ S" in made.given
    assert names(found) == pytest.approx([0.0793, 0.0817], rel=1e-9)


@pytest.mark.parametrize(
    ("unknowns", "targets", "words"),
    [
        (("bore", "bore"), {"squish": 1e-3, "static_ratio": 9.0}, "four different terms"),
        (("bore", "squish"), {"squish": 1e-3, "static_ratio": 9.0}, "four different terms"),
        (ORDER, {"squish": 1e-3, "deck_clearance": 0.0}, "hang on the compression height alone, not on the net crown"),
        (ORDER, {"mean_piston_speed": 20.0, "static_ratio": 9.0}, "mean piston speed does not depend on"),
        (ORDER, {"squish": 1e-3, "static_ratio": 0.5}, "no static compression ratio can be that"),
    ],
)
def test_questions_that_are_not_sound(unknowns: tuple[str, str], targets: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        solve(C1_DISHED, COUNTED, unknowns=unknowns, targets=targets)


@pytest.mark.parametrize("unknowns", [ORDER, ORDER[::-1]])
@pytest.mark.parametrize("passes_on", ["compression_height", "block_deck_height", "rod_length", "stroke"])
def test_what_stops_an_unknown_is_named_with_what_to_leave_out(passes_on: str, unknowns: tuple[str, str]) -> None:
    """A height of the stack moves nothing where the deck clearance is given as such, in whichever place it is asked."""
    pair = ("crown_volume", passes_on) if unknowns[0] == "crown_volume" else (passes_on, "crown_volume")
    known = {**C1_DISHED, "deck_clearance": 0.2 * MM}
    words = (
        f"squish gap does not depend on the {term(passes_on).name} here; the deck clearance is given as such, measured "
        "or stated: leave it out"
    )
    with pytest.raises(InputError, match=words):
        solve(known, COUNTED, unknowns=pair, targets={"static_ratio": 8.5, "squish": 1.1 * MM})
    freed = {key: value for key, value in known.items() if key != "deck_clearance"}
    found = solve(freed, COUNTED, unknowns=pair, targets={"static_ratio": 8.9, "squish": 1.1 * MM})
    assert found.best.checks["squish"] == pytest.approx(1.1 * MM)


def test_what_is_not_possible_is_said_of_the_pair() -> None:
    """With the squish met, no chamber is small enough for 80 to 1 (C1 recomputed: the rest is over 5.1 cm³)."""
    with pytest.raises(
        NotPossible,
        match=r"no compression height and chamber volume together bring the squish gap to 1\.00 mm and the "
        r"static compression ratio to 80\.00; with the compression height 32\.10 mm",
    ):
        solve(
            C1_DISHED,
            COUNTED,
            unknowns=("compression_height", "chamber_volume"),
            targets={"squish": 1.0 * MM, "static_ratio": 80.0},
        )


def test_two_that_do_the_same_cannot_be_told_apart() -> None:
    """Rod and pin height do one and the same to the stack: no second target of the stack parts them."""
    known = {**C1_DISHED}
    targets = {"squish": 1.2 * MM, "clearance_volume": 60.0 * CC}
    with pytest.raises(NotPossible, match="no compression height and block deck height together bring"):
        solve(known, COUNTED, unknowns=("compression_height", "block_deck_height"), targets=targets)
