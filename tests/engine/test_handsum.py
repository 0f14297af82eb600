"""Relations written out as a person would write them.

Consistency, no physics: what is printed is added up again by Python's arithmetic.
"""

from __future__ import annotations

import math
import re

import pytest

from ccassist.engine.mathematics import Hand, applied, number, printed
from ccassist.engine.model import RELATIONS
from ccassist.vocabulary import TERMS
from tests.each import each

A, B, C = Hand("A"), Hand("B"), Hand("C")


@each(
    ("hand", "text"),
    [
        (A + B + C, "A + B + C"),
        (A - B - C, "A − B − C"),
        (A - (B + C), "A − (B + C)"),
        (A - (B - C), "A − (B − C)"),
        (A + (B - C), "A + B − C"),
        ((A + B) * C, "(A + B) × C"),
        (A * (B + C), "A × (B + C)"),
        (A * B + C, "A × B + C"),
        (A / (B * C), "A ÷ (B × C)"),
        (A / (B / C), "A ÷ (B ÷ C)"),
        ((A + B) / C, "(A + B) ÷ C"),
        (A / B * C, "A ÷ B × C"),
        (A**2, "A²"),
        ((A + B) ** 2, "(A + B)²"),
        ((A * B) ** 3, "(A × B)³"),
        ((A**2) ** 2, "(A²)²"),
        (-A, "−A"),
        (-(A + B), "−(A + B)"),
        (-A + B, "−A + B"),
        (B + -A, "B − A"),
        ((-A) ** 2, "(−A)²"),
        (2 * A, "2 × A"),
        (A / 2, "A ÷ 2"),
        (1 - A, "1 − A"),
        (1 / A, "1 ÷ A"),
        (3 + A, "3 + A"),
        (0.5 * A, "0.5 × A"),
        (applied("√")(A**2 - B**2), "√(A² − B²)"),
        (applied("sin")(A) ** 2, "sin(A)²"),
    ],
)
def test_written_form(hand: Hand, text: str) -> None:
    assert hand.text == text


@pytest.mark.parametrize(
    ("hand", "text"),
    [
        (A * number("-0.65"), "A × (−0.65)"),
        (A - number("-0.65"), "A − (−0.65)"),
        (number("-0.65") + A, "−0.65 + A"),
        (number("-0.65") * A, "(−0.65) × A"),
        (number("-0.65") ** 2, "(−0.65)²"),
        (number("0.65") * A, "0.65 × A"),
        (number("−3") * A, "(−3) × A"),
    ],
)
def test_negative_numbers_are_bracketed_where_arithmetic_needs_it(hand: Hand, text: str) -> None:
    assert hand.text == text


def test_a_negative_number_is_never_added_with_two_signs() -> None:
    """A proud piston in the sum of volumes reads as a plain subtraction."""
    assert (A + number("-3.86") + B).text == "A − 3.86 + B"


def test_python_sum_starts_from_nothing() -> None:
    assert sum([A, B, C]).text == "A + B + C"


@pytest.mark.parametrize(
    ("name", "formula"),
    [
        ("bore_area", "π ÷ 4 × B²"),
        ("swept_volume", "π ÷ 4 × B² × T"),
        ("deck_clearance_centred", "H − S ÷ 2 − L − CH"),
        ("piston_travel_offset", "√((L + S ÷ 2)² − d²) − √((L − S ÷ 2)² − d²)"),
        ("crevice_volume", "π ÷ 4 × (B² − Dl²) × hl"),
        ("clearance_volume", "Vch + Vg + Vd + Vp + Vcr + Vb + Vx"),
        ("static_ratio", "(Vs + Vc) ÷ Vc"),
        ("closing_drop_centred", "S ÷ 2 × (1 + cos(IVC)) + L − √(L² − (S ÷ 2 × sin(IVC))²)"),
        ("trapped_ratio", "1 + (CR − 1) × xc ÷ T"),
        ("mean_piston_speed", "2 × T × N"),
    ],
)
def test_formula_of_a_relation(name: str, formula: str) -> None:
    """By the symbols of the terms, in the relation's own order."""
    symbols = {key: Hand(term.symbol) for key, term in TERMS.items()}
    assert RELATIONS[name](symbols, printed()).text == formula


def worked_out(text: str) -> float:
    """The value of a printed sum, by Python's own arithmetic: the text is this test's, not a user's."""
    plain = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹]+", lambda m: "**" + "".join(str("⁰¹²³⁴⁵⁶⁷⁸⁹".index(c)) for c in m[0]), text)
    for written, python in (("×", "*"), ("÷", "/"), ("−", "-"), ("√", "sqrt"), ("π", "pi")):
        plain = plain.replace(written, python)
    return float(eval(plain, {"__builtins__": {}}, vars(math)))


@each("name", RELATIONS)
@each("sign", [1, -1])
def test_the_printed_sum_re_added_by_hand_is_the_result(name: str, sign: int) -> None:
    """Brackets are where they must be: also with negative numbers wherever a term has a sign."""
    relation = RELATIONS[name]
    values = {
        key: (sign if TERMS[key].sign else 1) * round(2.5 + 0.37 * place + (90 if key == "rod_length" else 0), 2)
        for place, key in enumerate(relation.needs)
    }
    text = relation({key: number(f"{value:.2f}") for key, value in values.items()}, printed()).text
    assert worked_out(text) == pytest.approx(relation(values), rel=1e-12)
    assert "-" not in text
    assert "+ −" not in text
