"""Rows of the vocabulary: each can be read, holds together, and the examples for contributors are rows that work."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pint
import pytest

from ccassist.job.sections import STATED
from ccassist.vocabulary import ALIKE, TERMS, Kind, Term
from ccassist.vocabulary.term import silent, span, width
from ccassist.vocabulary.units import UNITS, in_unit, unit
from tests.each import each

DEVELOPERS = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
PLACES = {"part", "engine", "valve", "order.pocket", *STATED}


@each("one", TERMS.values())
def test_every_row_holds_together(one: Term) -> None:
    assert one.possible[0] <= one.plausible[0] < one.plausible[1] <= one.possible[1]
    assert one.typical is None or one.plausible[0] <= one.typical <= one.plausible[1]
    assert len(one.examples) in (0, 2)
    assert set(one.places) <= PLACES
    for known in (one.silent.measured, one.silent.maker, one.silent.assumed):
        assert min(known.least, known.share) >= 0
    for least, most in ((one.silent.measured, one.silent.maker), (one.silent.maker, one.silent.assumed)):
        assert least.at(one.plausible[1]) <= most.at(one.plausible[1])


@each("one", TERMS.values())
def test_every_unit_in_a_row_is_of_its_kind(one: Term) -> None:
    """A range of another kind would be read by the wrong factor: an angle in radians, a length in metres."""
    said = re.findall(r"(?<=[0-9] )[^\d\s;]+", "; ".join((one.usual, one.limits, one.widths, one.usually, one.alike)))
    kinds = {UNITS[text][0] for text in said if text not in ("to", "or", "%")}
    assert kinds <= {one.kind}
    assert one.kind in (Kind.RATIO, Kind.COUNT) or kinds == {one.kind}


def test_targets_have_each_a_place_of_their_own() -> None:
    places = sorted(one.wanted for one in TERMS.values() if one.wanted)
    assert places == list(range(1, len(places) + 1))


def test_what_is_alike_is_known_better_than_it_is_alike() -> None:
    """An amount within which a plain reading lies would ask about every cylinder."""
    for key in ALIKE:
        usual, most = TERMS[key].plausible[1], TERMS[key].alike_within
        assert TERMS[key].silent.measured.at(usual) <= most.at(usual), key


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("-30 to 100 °C", 243.15, 373.15),
        ("0.001 cc to 50 l", 1e-9, 0.05),
        ("60 to 105 kPa", 6e4, 1.05e5),
        ("-15 to 15 deg", -math.pi / 12, math.pi / 12),
        ("0 to inf mm", 0.0, math.inf),
        ("3.8 to 24", 3.8, 24.0),
        ("30 sq in to 1 m", 0.0193548, 1.0),  # a unit of two words: 30 × 6.4516 cm², NIST SP 811 (2008), B.8
    ],
)
def test_ranges_are_read_in_the_unit_said(text: str, low: float, high: float) -> None:
    """In SI: 0 °C is 273.15 K, a litre 0.001 m³, a degree π/180 (NIST SP 811 (2008), B.8; ISO 80000, from memory)."""
    assert span(text) == pytest.approx((low, high), rel=1e-12)


@pytest.mark.parametrize("text", ["20 to", "to 30 mm", "20 - 30 mm", "twenty to thirty mm", "20 to 30 mm or so"])
def test_what_is_no_range_is_refused(text: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        span(text)


def test_widths_are_amounts_and_shares() -> None:
    found = silent("0.5 cc or 1 %; 1 cc; 10 %")
    assert (found.measured.at(80e-6), found.measured.at(20e-6)) == pytest.approx((0.8e-6, 0.5e-6))
    assert (found.of("").at(1.0), found.of("maker's figure").at(1.0)) == pytest.approx((1e-6, 1e-6))
    assert found.of("assumed").at(50e-6) == pytest.approx(5e-6)
    assert width("2 K").at(293.15) == 2.0


# -- the examples for contributors ---------------------------------------------------------------------------


def example(heading: str) -> str:
    """The block of code under a heading of DEVELOPERS.md."""
    return DEVELOPERS.partition(f"## {heading}\n")[2].partition("```python\n")[2].partition("```")[0]


def test_the_row_of_a_new_term_works() -> None:
    (made,) = eval(example("Adding a term"), {"Term": Term})
    assert made.key not in TERMS
    assert made.symbol not in {one.symbol for one in TERMS.values()}
    assert made.kind is Kind.LENGTH
    assert made.plausible == (0.0, 0.005)
    assert made.silent.maker.at(1.0) == 0.2e-3
    assert made.example("imperial") == "0.047 in"
    assert in_unit(0.0012, made.shown("imperial")) == pytest.approx(0.047, abs=5e-4)


def test_the_row_of_a_new_kind_has_what_every_kind_has() -> None:
    """Its factors are Pint's, as every kind's are (tests/references/test_units_sp811.py)."""
    made: Any = eval(example("Adding a unit, or a kind of quantity").partition("=")[2], {"unit": unit})
    word, si, shown, hand, step, known, *units = made
    assert word not in {kind.value for kind in Kind}
    assert {text for one in units for text in one.spellings} >= set(shown.split(" | "))
    assert not {text for one in units for text in one.spellings} & set(UNITS)
    assert silent(known).assumed.share == 0.2
    assert hand == step == ""
    registry = pint.UnitRegistry()
    newton_metre, pound_foot = (one.scale for one in units)
    assert newton_metre == registry("newton * meter").to(si).magnitude
    assert pound_foot == pytest.approx(registry("foot * pound_force").to(si).magnitude, rel=1e-15)
