"""The sum as one would write it down: every line adds up as printed, by Python's own arithmetic on its text."""

from __future__ import annotations

import ast
import math
import operator
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.engine.model import Choices
from ccassist.solve.hand_sum import Derivation, workings
from ccassist.solve.solver import Answer, solve
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError
from ccassist.vocabulary.units import System
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


def worked(answer: Answer, system: str = "metric") -> Derivation:
    """The one turn of an answer."""
    (one,) = workings(answer, Formatter(System(system)))
    return one


def test_c1_is_printed_to_be_re_added() -> None:
    """C1 (common practice, recomputed): 51.078 − 38.6 − 6.425 − 0.988 − 0.574 = 4.491."""
    made = worked(solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9}))
    assert made.given == ("CR = (Vs + Vc) ÷ Vc", "Vc = Vch + Vg + Vd + Vp + Vcr")
    assert made.formula == "Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd − Vcr"
    assert made.sums == (
        "Vc = 403.514 ÷ (8.9 − 1) = 51.078 cc",
        "Vp = 51.078 − 38.6 − 6.425 − 0.988 − 0.574 = 4.491 cc",
    )


def test_a_thousand_stands_where_millimetres_meet_cc() -> None:
    """As the trade writes it: lengths in mm, volumes in cc, 1 cc = 1000 mm³."""
    made = worked(solve(C1_DISHED, COUNTED, unknowns=("gasket_thickness",), targets={"static_ratio": 8.9}))
    above, below, result = re.fullmatch(r"hg = ([\d.]+) × 1000 ÷ ([\d.]+) = ([\d.]+) mm", made.sums[-1]).groups()  # type: ignore[union-attr]
    assert float(above) / (float(below) / 1000) == pytest.approx(float(result), abs=5e-4)


def test_c1_in_inches() -> None:
    """403.514 cm³ is 24.6239 in³ (1 in³ = 16.387064 cm³: NIST SP 811, 2008, appendix B.8)."""
    made = worked(solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9}), "imperial")
    assert "Vs = 24.6239 in³  (swept volume)" in made.entries
    assert "Vc = 24.6239 ÷ (8.9 − 1) = 3.1169 in³ = 51.077 cc" in made.sums
    assert "-" not in "".join((*made.entries, *made.sums))


@pytest.mark.parametrize("system", ["metric", "imperial"])
@given(engine=engines(offset=False), unknown=st.sampled_from(INPUTS["static_ratio"]))
@settings(max_examples=20, deadline=None)
def test_every_printed_sum_adds_up_as_printed(system: str, engine: dict[str, float], unknown: str) -> None:
    value = evaluated(engine)["static_ratio"]
    answer = solve(engine, COUNTED, unknowns=(unknown,), targets={"static_ratio": value})
    printed = worked(answer, system).sums
    assert printed
    for line in printed:
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
    put_in = worked(answer).sums[-1]
    result = float(put_in.split(" = ")[-1].removesuffix(" mm").replace("−", "-"))
    assert result == pytest.approx(answer.best.nominal * 1000, abs=1.1e-3)


def test_without_a_closed_form_it_is_said_and_nothing_is_put_in() -> None:
    known = {**C1_DISHED, "pin_offset": 0.0008}
    answer = solve(known, COUNTED, unknowns=("stroke",), targets={"static_ratio": 9.0})
    assert answer.route == "numeric"
    made = worked(answer)
    assert made.trial.startswith("No closed form is worked out")
    assert made.sums == made.steps == ()
    assert "T = √((S ÷ 2 + L)² − d²) − √((L − S ÷ 2)² − d²)" in made.given


def test_a_closed_form_that_was_not_asked_for_is_not_denied() -> None:
    answer = solve(C1, COUNTED, unknowns=("crown_volume",), targets={"static_ratio": 8.9}, algebra=False)
    assert worked(answer).trial == "It was found by trial, closing in on the target from both sides."


def test_a_speed_is_put_in_by_metres_and_seconds() -> None:
    """Mean piston speed 2 × 0.0817 m × 100 /s = 16.34 m/s (Heywood 1988, eq. 2.9, from memory)."""
    answer = solve(C1, COUNTED, unknowns=("engine_speed",), targets={"mean_piston_speed": 16.34})
    assert "N = 16.34 ÷ (2 × 0.0817) = 100 rev/s" in worked(answer).sums


def test_a_line_that_only_renames_is_left_out() -> None:
    known = {**C1_DISHED, "chamfer_volume": 3e-7}
    answer = solve(known, COUNTED, unknowns=("chamfer_volume",), targets={"static_ratio": 8.85})
    made = worked(answer)
    assert "Vb = Vb" not in (*made.given, *made.steps)


@pytest.mark.parametrize(
    ("unknown", "lacks"), [("rod_length", "block deck height"), ("gasket_thickness", "rod length")]
)
def test_a_target_that_stands_in_the_file_is_not_said_to_be_missing(unknown: str, lacks: str) -> None:
    """A deck clearance read by dial is given: what is not given is what it would be worked out from."""
    known = {"bore": 81.7e-3, "stroke": 69.3e-3, "deck_clearance": 0.3e-3, "gasket_thickness": 1.1e-3}
    with pytest.raises(InputError, match=f"needs what is not given: .*{lacks}") as fault:
        solve(known, Choices(), unknowns=(unknown,), targets={"deck_clearance": 0.2e-3})
    assert "not given: deck clearance" not in str(fault.value)
