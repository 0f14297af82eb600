"""The algebra as it is written, and the rearranging by itself.

Judges: SymPy, and the trade's own formulas (common practice, no source); the rest is consistency, no physics.
"""

from __future__ import annotations

import pytest
import sympy

from ccassist.engine.mathematics import FLOATS, Hand, printed
from ccassist.engine.model import build
from ccassist.solve.algebra import Formula, Rewriter, equations, isolate, rearrange, symbol, written
from ccassist.solve.question import Problem
from ccassist.vocabulary import TERMS
from tests.solve.solve_engines import C1_DISHED, COUNTED

X, Y, A, B = sympy.symbols("x y a b", positive=True)


def formulas(unknown: str, target: str, **more: float) -> tuple[Formula, ...] | None:
    known = {**C1_DISHED, **more}
    known = {key: value for key, value in known.items() if key not in (unknown, target)}
    question = Problem(known=known, choices=COUNTED, unknowns=(unknown,), targets={target: 0.0})
    return rearrange(question.models()[0], unknown, target)


@pytest.mark.parametrize(
    ("unknown", "target", "text"),
    [
        ("crown_volume", "static_ratio", "Vp = Vs ÷ (CR − 1) − Vch − Vg − Vd − Vcr"),
        ("clearance_volume", "static_ratio", "Vc = Vs ÷ (CR − 1)"),
        ("swept_volume", "static_ratio", "Vs = Vc × (CR − 1)"),
        ("gasket_thickness", "static_ratio", "hg = (Vs ÷ (CR − 1) − Vch − Vd − Vp − Vcr) ÷ Ag"),
        ("gasket_bore", "static_ratio", "Bg = 2 × √((Vs ÷ (CR − 1) − Vch − Vd − Vp − Vcr) ÷ (π × hg))"),
        ("compression_height", "deck_clearance", "CH = H − c − S ÷ 2 − L"),
        ("compression_height", "squish", "CH = H + hg − q − S ÷ 2 − L"),
        ("rod_length", "deck_clearance", "L = H − c − S ÷ 2 − CH"),
        ("bore", "swept_volume", "B = 2 × √(Vs ÷ (π × T))"),
        ("land_diameter", "crevice_volume", "Dl = √(B² − 4 × Vl ÷ (π × hl))"),
        (
            "bore",
            "static_ratio",
            "B = √((CR − 1) × (4 × Vch + 4 × Vg + 4 × Vp − π × Dl² × hl) ÷ (π × (T − (CR − 1) × (c + hl))))",
        ),
    ],
)
def test_formulas_are_written_as_on_the_bench(unknown: str, target: str, text: str) -> None:
    """C1's needed crown as the trade writes it: Vp = Vs/(CR−1) − Vch − Vg − Vd − Vcr (common practice, no source)."""
    found = formulas(unknown, target)
    assert found is not None
    assert [one.text for one in found] == [text]


def test_the_offset_has_two_sides() -> None:
    found = formulas("pin_offset", "deck_clearance", pin_offset=0.0008)
    assert found is not None
    assert [one.text for one in found] == [
        "d = √((S ÷ 2 + L)² − (H − c − CH)²)",
        "d = −√((S ÷ 2 + L)² − (H − c − CH)²)",
    ]


@pytest.mark.parametrize(("unknown", "target"), [("stroke", "static_ratio"), ("rod_length", "piston_travel")])
def test_two_roots_of_the_unknown_have_no_closed_form(unknown: str, target: str) -> None:
    assert formulas(unknown, target, pin_offset=0.0008) is None


def test_what_is_not_there_is_not_written() -> None:
    model = build(C1_DISHED, COUNTED)
    lines = [written(line, ("bore",)) for line in equations(model, "crown_volume", "static_ratio")]
    assert not any("Vx" in line or "Vb" in line for line in lines)
    chamfered = {**C1_DISHED, "chamfer_volume": 3e-7}
    lines = [written(line, ()) for line in equations(build(chamfered, COUNTED), "crown_volume", "static_ratio")]
    assert any("Vb" in line for line in lines)


def test_steps_stop_where_everything_passes_through_one_term() -> None:
    found = formulas("gasket_bore", "static_ratio")
    assert found is not None
    assert [step.key for step in found[0].steps] == ["clearance_volume", "gasket_volume", "gasket_area", "gasket_bore"]
    assert [line.key for line in found[0].given] == ["static_ratio", "clearance_volume", "gasket_volume", "gasket_area"]


def test_symbols_are_positive_only_where_nothing_else_can_be() -> None:
    assert symbol("bore").is_positive
    assert symbol("gasket_thickness").is_nonnegative
    assert symbol("crown_volume").is_nonnegative is None
    assert symbol("deck_clearance").is_nonnegative is None
    assert symbol("deck_clearance").is_real
    assert len({symbol(key) for key in TERMS}) == len(TERMS)


@pytest.mark.parametrize(
    "expression",
    [X + A, A * X, A / X, X**2 + A, sympy.sqrt(X + A), (X + A) / X, (A + X) / (B + X), A * X + B * X, X**2 * A + X * B],
)
def test_isolating_is_undone_by_putting_back(expression: sympy.Expr) -> None:
    """SymPy itself is the outside check: the root put back gives what was given."""
    roots = isolate(Y, expression, X)
    assert roots
    for root in roots:
        back = expression.subs(X, root)
        numbers = {A: sympy.Rational(7, 3), B: sympy.Rational(11, 5), Y: sympy.Rational(13, 4)}
        assert sympy.Abs(sympy.N(back.subs(numbers), 30) - numbers[Y]) < sympy.Float("1e-20")


def test_both_roots_of_a_square_are_found() -> None:
    roots = isolate(Y, A * X**2 + B * X, X)
    assert roots is not None
    found = {round(float(root.subs({A: 1, B: 1, Y: 6})), 12) for root in roots}
    assert found == {2.0, -3.0}


@pytest.mark.parametrize("expression", [X**3 + X, sympy.sqrt(X) + X, sympy.sin(X) + X, A * X - A * X + X**0 * B])
def test_what_is_not_simple_is_left_to_trial(expression: sympy.Expr) -> None:
    assert isolate(Y, expression, X) is None


@pytest.mark.parametrize(
    ("expression", "text"),
    [
        (A + B, "a + b"),
        (B - A, "b − a"),
        (-A - B, "−a − b"),
        (A * (B - 1), "a × (b − 1)"),
        (A / (B * X), "a ÷ (b × x)"),
        (1 / A, "1 ÷ a"),
        (sympy.pi / 4 * A**2, "π ÷ 4 × a²"),
        (sympy.sqrt(A / B), "√(a ÷ b)"),
        (-sympy.sqrt(A), "−√(a)"),
        (A - 2 * (B + 1), "a − 2 × b − 2"),
        (sympy.Rational(3, 2) * A, "3 × a ÷ 2"),
    ],
)
def test_expressions_are_written_in_the_hand_sum_manner(expression: sympy.Expr, text: str) -> None:
    assert Rewriter(Hand, printed(), ("a", "b", "x"))(expression).text == text


@pytest.mark.parametrize(
    "expression",
    [A + B, B - A, A * (B - 1), A / (B * X), sympy.pi / 4 * A**2, sympy.sqrt(A / B) * X, -A / B**2, 3 * A / 2 - 7],
)
def test_numbers_put_in_give_what_sympy_gives(expression: sympy.Expr) -> None:
    numbers = {"a": 2.5, "b": 0.75, "x": 3.25}
    expected = float(expression.subs({sympy.Symbol(key, positive=True): value for key, value in numbers.items()}))
    assert Rewriter(numbers.__getitem__, FLOATS)(expression) == pytest.approx(expected, rel=1e-14)


def test_a_power_that_no_relation_has_is_refused() -> None:
    with pytest.raises(ValueError, match="a power that no relation has"):
        Rewriter(Hand, printed())(A ** sympy.Rational(1, 3))
