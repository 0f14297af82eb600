"""The answer as it is printed: every line adds up, signs are in words."""

from __future__ import annotations

import ast
import math
import operator
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.engine.model import Choices
from ccassist.solve.solver import Answer, solve
from ccassist.solve.words import algebra, conclusion, levers_of, lines, sums
from ccassist.values.display import METRIC, Formatter
from ccassist.values.findings import InputError
from ccassist.values.uncertainty import Cause, doubt
from ccassist.vocabulary.enumerations import System
from tests.solve.solve_engines import C1, C1_DISHED, COUNTED, INPUTS, engines, evaluated

DONE = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
LIMIT = {"metric": 2e-3, "imperial": 2e-4}


def said(text: str) -> float:
    """A printed sum done as it stands, in the usual order of operations."""
    plain = text.translate(str.maketrans({"×": "*", "÷": "/", "−": "-", "²": "**2", "√": "root"}))
    return worked_out(ast.parse(plain.replace("π", "pi"), mode="eval").body)


def worked_out(node: ast.expr) -> float:
    match node:
        case ast.Constant(value=float() | int() as number):
            return float(number)
        case ast.Name(id="pi"):
            return math.pi
        case ast.Call(func=ast.Name(id="root"), args=[inside]):
            return math.sqrt(worked_out(inside))
        case ast.UnaryOp(op=ast.USub(), operand=inside):
            return -worked_out(inside)
        case ast.BinOp(left=left, op=sign, right=right):
            return DONE[type(sign)](worked_out(left), worked_out(right))
    raise AssertionError(f"not a hand sum: {ast.dump(node)}")


def levers(answer: Answer, fmt: Formatter = METRIC) -> list[str]:
    return levers_of("static_ratio", answer.sensitivity("static_ratio"), fmt)


def test_c1_is_printed_to_be_re_added() -> None:
    """C1 (common practice, recomputed): 51.078 − 38.6 − 6.425 − 0.988 − 0.574 = 4.491."""
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    text = "\n".join(lines(answer))
    assert "  CR = (Vs + Vc) ÷ Vc\n  Vc = Vch + Vg + Vd + Vp + Vcr\n" in text
    assert "  Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd − Vcr\n" in text
    assert "  Vc = 403.514 ÷ (8.9 − 1) = 51.078 cm³\n" in text
    assert "  Vp = 51.078 − 38.6 − 6.425 − 0.988 − 0.574 = 4.491 cm³\n" in text
    assert "Answer: net crown volume dish, adds 4.49 cc of space\n" in text
    assert "Check: put back, it gives the static compression ratio 8.900\n" in text


def test_c1_in_inches() -> None:
    """403.514 cm³ is 24.6239 in³ (1 in³ = 16.387064 cm³: NIST SP 811, 2008, appendix B.8)."""
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    text = "\n".join(sums(answer, fmt=Formatter(System.IMPERIAL)))
    assert "Vs = 24.6239 in³  (swept volume)" in text
    assert "Vc = 24.6239 ÷ (8.9 − 1) = 3.1169 in³ = 51.077 cc" in text
    assert "-" not in text


@pytest.mark.parametrize("system", ["metric", "imperial"])
@given(engine=engines(offset=False), unknown=st.sampled_from(INPUTS["static_ratio"]))
@settings(max_examples=20, deadline=None)
def test_every_printed_sum_adds_up_as_printed(system: str, engine: dict[str, float], unknown: str) -> None:
    value = evaluated(engine)["static_ratio"]
    answer = solve(engine, COUNTED, unknowns=(unknown,), targets={"static_ratio": value})
    printed = sums(answer, Formatter(System(system)))
    assert printed
    for line in printed[printed.index("The numbers put in:") + 1 :]:
        put_in, result = line.split(" = ")[1:3]
        number = re.match(r"−?[\d.]+", result)
        assert number is not None, line
        shown = number[0].replace("−", "-")
        half = 0.5 * 10.0 ** -len(shown.partition(".")[2])
        assert abs(said(put_in) - float(shown)) <= max(half, LIMIT[system]) * 1.001, line


def test_a_small_difference_of_large_numbers_gets_more_decimals() -> None:
    """The offset is the root of a small difference: with bench decimals the sum would miss it."""
    known = {**C1, "rod_length": 0.1386004}
    answer = solve(known, COUNTED, unknowns=("pin_offset",), targets={"deck_clearance": 2.0e-4})
    put_in = sums(answer)[-1]
    result = float(put_in.split(" = ")[-1].removesuffix(" cm").replace("−", "-"))
    assert result == pytest.approx(answer.best.nominal * 100, abs=1.1e-4)


def test_signs_are_said_in_words() -> None:
    answer = solve(C1_DISHED, COUNTED, unknowns=("compression_height",), targets={"static_ratio": 10.0})
    text = "\n".join(conclusion(answer))
    assert "With it: deck clearance 1.06 mm proud of the deck" in text
    assert "Warning: the deck clearance would be 1.06 mm proud of the deck" in text
    dome = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 10.5})
    assert "Answer: net crown volume dome, takes 4.11 cc of space" in "\n".join(conclusion(dome))


def test_the_spread_is_stated_and_what_is_not_known_yet() -> None:
    for standard, shown in ((0.3e-6, "4.49 ± 0.59 cc"), (math.nan, "4.49 cc (± not known yet)")):
        known = {**C1, "chamber_volume": C1["chamber_volume"] + doubt(standard, Cause(name="burette"))}
        answer = solve(known, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
        assert f"dish, adds {shown} of space" in "\n".join(conclusion(answer))


def test_without_a_closed_form_it_is_said_and_nothing_is_put_in() -> None:
    known = {**C1_DISHED, "pin_offset": 0.0008}
    answer = solve(known, COUNTED, unknowns=("stroke",), targets={"static_ratio": 9.0})
    assert answer.route == "numeric"
    assert algebra(answer)[-1].startswith("No closed form is worked out")
    assert sums(answer) == []
    assert "  T = √((S ÷ 2 + L)² − d²) − √((L − S ÷ 2)² − d²)" in algebra(answer)


def test_a_closed_form_that_was_not_asked_for_is_not_denied() -> None:
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9}, algebra=False)
    assert algebra(answer)[-1] == "It was found by trial, closing in on the target from both sides."


def test_findings_may_be_left_to_the_caller() -> None:
    answer = solve(C1_DISHED, COUNTED, unknowns=("compression_height",), targets={"static_ratio": 10.0})
    told, without = lines(answer), lines(answer, findings=False)
    assert [line for line in told if line not in without] == [f"Warning: {f.text()}" for f in answer.findings]


def test_both_answers_are_given_where_both_can_be() -> None:
    answer = solve(C1, COUNTED, unknowns=("pin_offset",), targets={"squish": 1.452e-3})
    text = "\n".join(conclusion(answer))
    assert "Answer: pin offset 0.85 mm" in text
    assert "or: pin offset 0.85 mm" in text
    assert "toward the thrust side" in text
    assert "away from the thrust side" in text


def test_a_speed_is_put_in_by_metres_and_seconds() -> None:
    """Mean piston speed 2 × 0.0817 m × 100 /s = 16.34 m/s (Heywood 1988, eq. 2.9, from memory)."""
    answer = solve(C1, COUNTED, unknowns=("engine_speed",), targets={"mean_piston_speed": 16.34})
    assert "  N = 16.34 ÷ (2 × 0.0817) = 100 rev/s" in sums(answer)


def test_a_line_that_only_renames_is_left_out() -> None:
    known = {**C1_DISHED, "chamfer_volume": 3e-7}
    answer = solve(known, COUNTED, unknowns=("chamfer_volume",), targets={"static_ratio": 8.85})
    assert "Vb = Vb" not in "\n".join(lines(answer))


def test_levers_give_the_change_for_a_small_step() -> None:
    """C1: 1 cm³ moves the ratio by (CR−1)²/Vs = 0.155 (common practice, recomputed)."""
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9})
    assert "  −0.1547 for 1 cc more chamber volume" in levers_of("static_ratio", answer.sensitivity("static_ratio"))
    assert "  +0.0764 for 0.1 mm more compression height" in levers_of(
        "static_ratio", answer.sensitivity("static_ratio")
    )
    other = solve(C1_DISHED, COUNTED, unknowns=("chamber_volume",), targets={"static_ratio": 8.9})
    assert "  −0.1547 for 1 cc more net crown volume (dish)" in levers_of(
        "static_ratio", other.sensitivity("static_ratio")
    )
    assert any(
        "5 thou more stroke" in line
        for line in levers_of("static_ratio", answer.sensitivity("static_ratio"), Formatter(System.IMPERIAL))
    )


@pytest.mark.parametrize(
    ("unknown", "lacks"), [("rod_length", "block deck height"), ("gasket_thickness", "rod length")]
)
def test_a_target_that_stands_in_the_file_is_not_said_to_be_missing(unknown: str, lacks: str) -> None:
    """A deck clearance read by dial is given: what is not given is what it would be worked out from."""
    known = {"bore": 81.7e-3, "stroke": 69.3e-3, "deck_clearance": 0.3e-3, "gasket_thickness": 1.1e-3}
    with pytest.raises(InputError, match=f"needs what is not given: .*{lacks}") as fault:
        solve(known, Choices(), unknowns=(unknown,), targets={"deck_clearance": 0.2e-3})
    assert "not given: deck clearance" not in str(fault.value)
