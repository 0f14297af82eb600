"""Trapped ratio as a target: trade example C9, round trips, the cosine rule, and what is said where it cannot be.

C9 is common practice, no source; the cosine rule and the crown are plane geometry; the rest is consistency.
"""

from __future__ import annotations

import math
from math import radians

import pytest
from scipy.optimize import brentq

from ccassist.engine.model import build
from ccassist.solve.hand_sum import workings
from ccassist.solve.solver import solve
from ccassist.values.findings import InputError, NotPossible
from ccassist.values.number import standard
from ccassist.values.uncertainty import Cause, doubt
from tests.solve.solve_engines import C1_DISHED, COUNTED, straight_ratio

CAMMED = {**C1_DISHED, "intake_closing": radians(55)}
SHIFTED = {**CAMMED, "pin_offset": 0.0012}


def straight_trapped(engine: dict[str, float]) -> float:
    """The trapped ratio in straight-line code from crank angles; nothing of the tool's relations is used."""
    throw, rod, offset = engine["stroke"] / 2, engine["rod_length"], engine.get("pin_offset", 0.0)
    top, bottom = (math.sqrt((rod + s * throw) ** 2 - offset**2) for s in (1, -1))
    angle = math.pi + math.asin(offset / (rod - throw)) + engine["intake_closing"]
    pin = throw * math.cos(angle) + math.sqrt(rod**2 - (throw * math.sin(angle) - offset) ** 2)
    return 1 + (straight_ratio(engine) - 1) * (top - pin) / (top - bottom)


@pytest.mark.parametrize(("degrees", "trapped"), [(30, 8.517), (45, 8.037), (55, 7.612), (65, 7.106), (75, 6.527)])
def test_trade_example_c9(degrees: float, trapped: float) -> None:
    """C1 with intake closing 30 to 75 degrees after bottom (constructed, recomputed), to its printed rounding."""
    engine = {**C1_DISHED, "intake_closing": radians(degrees)}
    found = build(engine, COUNTED).evaluate(engine)
    assert found["trapped_ratio"] == pytest.approx(trapped, abs=5.1e-4)
    assert found["trapped_ratio"] == pytest.approx(straight_trapped(engine), rel=1e-12)


@pytest.mark.parametrize("offset", [0.0, 0.0012, -0.0012, 0.010])
def test_closing_at_bottom_traps_the_static_ratio(offset: float) -> None:
    engine = {**C1_DISHED, "intake_closing": 0.0, "pin_offset": offset}
    found = build(engine, COUNTED).evaluate(engine)
    assert found["trapped_ratio"] == pytest.approx(found["static_ratio"], rel=1e-12)


def test_without_a_closing_nothing_is_lacking_and_with_one_it_says_what_is() -> None:
    assert "trapped_ratio" not in build(C1_DISHED, COUNTED).lacking
    bare = {key: value for key, value in CAMMED.items() if key not in ("rod_length", "chamber_volume")}
    bare["deck_clearance"] = 2e-4
    assert build(bare, COUNTED).lacking["trapped_ratio"] == ("chamber_volume", "rod_length")


@pytest.mark.parametrize("engine", [CAMMED, SHIFTED], ids=["centred", "offset"])
@pytest.mark.parametrize("unknown", ["crown_volume", "gasket_thickness", "chamber_volume", "intake_closing", "stroke"])
def test_solved_and_put_back_into_straight_code(unknown: str, engine: dict[str, float]) -> None:
    answer = solve(engine, COUNTED, unknowns=(unknown,), targets={"trapped_ratio": 7.8})
    for root in answer.roots:
        assert straight_trapped({**engine, unknown: root.nominal}) == pytest.approx(7.8, rel=1e-9)
    assert answer.route == ("numeric" if unknown in ("intake_closing", "stroke") else "algebra")


def test_the_crown_by_hand() -> None:
    """Vp = Vs (x ÷ T) ÷ (CRt − 1) less the rest, with x of C9 at 55 degrees."""
    answer = solve(CAMMED, COUNTED, unknowns=("crown_volume",), targets={"trapped_ratio": 7.8})
    share = (straight_trapped(CAMMED) - 1) / (straight_ratio(CAMMED) - 1)
    swept = math.pi / 4 * 0.0793**2 * 0.0817
    now = swept / (straight_ratio(CAMMED) - 1)
    assert answer.best.nominal - CAMMED["crown_volume"] == pytest.approx(swept * share / 6.8 - now, rel=1e-9)
    assert workings(answer)[0].formula == "Vp = Vs × xc ÷ (T × (CRt − 1)) − Vch − Vg − Vd − Vcr"


def test_closing_by_the_cosine_rule() -> None:
    """Two closings, alike before and after bottom: rod, throw and pin height make a triangle (Euclid II 12 and 13).

    An engine that closes as usual is not offered the early one; one that closes before bottom is, and that first.
    """
    answer = solve(CAMMED, COUNTED, unknowns=("intake_closing",), targets={"trapped_ratio": 7.5})
    early = {**CAMMED, "intake_closing": radians(-20)}
    both = solve(early, COUNTED, unknowns=("intake_closing",), targets={"trapped_ratio": 7.5})
    throw, rod = 0.04085, 0.1386
    high = throw + rod - 0.0817 * 6.5 / (straight_ratio(CAMMED) - 1)
    by_hand = math.pi - math.acos((throw**2 + high**2 - rod**2) / (2 * throw * high))
    assert [root.nominal for root in answer.roots] == pytest.approx([by_hand], rel=1e-9)
    assert [root.nominal for root in both.roots] == pytest.approx([-by_hand, by_hand], rel=1e-9)
    assert "before BDC, which no usual engine has" in answer.dropped[0]
    assert workings(answer)[0].trial.startswith("No closed form is worked out")


def test_closing_with_offset_by_a_general_solver() -> None:
    """SciPy's brentq on the straight code: the two closings are no longer alike."""
    early_now = {**SHIFTED, "intake_closing": radians(-20)}
    answer = solve(early_now, COUNTED, unknowns=("intake_closing",), targets={"trapped_ratio": 7.5})

    def missed(closing: float) -> float:
        return straight_trapped({**SHIFTED, "intake_closing": closing}) - 7.5

    late, early = brentq(missed, 0.1, 1.5, xtol=1e-14), brentq(missed, -1.5, -0.1, xtol=1e-14)
    assert [root.nominal for root in answer.roots] == pytest.approx([early, late], rel=1e-9)
    assert abs(late + early) > 1e-3


def test_the_doubt_of_the_closing_comes_through() -> None:
    """Against the slope of the straight code: one degree of closing in cc of crown."""
    known = {**CAMMED, "intake_closing": radians(55) + doubt(radians(1), Cause(name="degree wheel"))}
    answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"trapped_ratio": 7.8})
    crown = answer.best.nominal

    def trapped(closing: float, volume: float) -> float:
        return straight_trapped({**CAMMED, "intake_closing": radians(closing), "crown_volume": volume})

    by_closing = (trapped(55.01, crown) - trapped(54.99, crown)) / 0.02
    by_crown = (trapped(55, crown + 1e-8) - trapped(55, crown - 1e-8)) / 2e-8
    assert standard(answer.number) == pytest.approx(abs(by_closing / by_crown), rel=1e-4)
    assert "intake_closing" in dict(answer.sensitivity("trapped_ratio"))


def test_height_from_squish_and_crown_from_the_trapped_ratio() -> None:
    """The piston order: the squish settles the height, what is left the crown."""
    found = solve(
        CAMMED,
        COUNTED,
        unknowns=("compression_height", "crown_volume"),
        targets={"squish": 1.0e-3, "trapped_ratio": 7.8},
    )
    height, crown = (found.best.numbers[key] for key in found.question.unknowns)
    assert height == pytest.approx(0.2113 - 0.04085 - 0.1386 - (1.0e-3 - 1.25e-3), abs=1e-12)
    made = {**CAMMED, "compression_height": height, "crown_volume": crown}
    assert straight_trapped(made) == pytest.approx(7.8, rel=1e-9)
    assert found.route == "in turn"


def test_out_of_reach_says_how_far_it_goes() -> None:
    with pytest.raises(NotPossible, match=r"no intake closing brings the trapped ratio to 9\.00; .* to 8\.90"):
        solve(CAMMED, COUNTED, unknowns=("intake_closing",), targets={"trapped_ratio": 9.0})


def test_without_a_cam_the_closing_is_asked_for() -> None:
    with pytest.raises(InputError, match="needs what is not given: intake closing"):
        solve(C1_DISHED, COUNTED, unknowns=("crown_volume",), targets={"trapped_ratio": 7.5})
    answer = solve(C1_DISHED, COUNTED, unknowns=("intake_closing",), targets={"trapped_ratio": 7.5})
    assert len(answer.roots) == 1  # the usual one
