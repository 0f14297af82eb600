"""What is read of a text, against a second reader written from the grammar alone, in exact fractions.

The grammar, as the reference page states it::

    [words] number [unit] [words] [± number [unit]] [words] [, origin]

The second reader walks the text letter by letter and knows nothing of the first: no pattern, no float, no registry.
Units by their exact definitions: NIST SP 811 (2008), appendix B.8 (inch 25.4 mm, cubic inch 16.387064 cm³).
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ccassist.values.findings import InputError
from ccassist.values.quantity import UNSAID, parse
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS

LENGTHS = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "um": Fraction(1, 10**6),
    "in": Fraction(254, 10000),
    '"': Fraction(254, 10000),
    "thou": Fraction(254, 10**7),
}
VOLUMES = {
    "cc": Fraction(1, 10**6),
    "ml": Fraction(1, 10**6),
    "cm3": Fraction(1, 10**6),
    "mm3": Fraction(1, 10**9),
    "l": Fraction(1, 1000),
    "in3": Fraction(16387064, 10**12),
}
DIGITS = "0123456789"
BELOW = ("below deck", "below the deck", "below", "down the hole", "in the hole", "down")
PROUD = ("above deck", "above the deck", "above", "proud", "out of the hole")


class Not(Exception):
    """The grammar has no place for it."""


class Walk:
    """A place in a text."""

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0

    @property
    def left(self) -> str:
        return self.text[self.at :]

    def skip(self) -> None:
        while self.left[:1].isspace():
            self.at += 1

    def take(self, *marks: str) -> str:
        for mark in marks:
            if self.left.startswith(mark):
                self.at += len(mark)
                return mark
        return ""

    def digits(self) -> str:
        start = self.at
        while self.left[:1] and self.left[0] in DIGITS:
            self.at += 1
        return self.text[start : self.at]


def whole_number(walk: Walk) -> tuple[str, Fraction]:
    """What stands at a place, as it is written and in fractions: 12, 12.5, .5, 1,25, 5/16, 3 5/16, 3-5/16, 1.2e3."""
    start = walk.at
    whole = walk.digits()
    before = walk.at
    # a fraction, perhaps behind a whole number
    if whole:
        if walk.take(" ", "-"):
            top = walk.digits()
            found = _over(walk, top) if top else None
            if found is not None:
                if found >= 1:
                    raise Not("more than one behind a whole number")
                return walk.text[start : walk.at], int(whole) + found
            walk.at = before
        found = _over(walk, whole)
        if found is not None:
            return walk.text[start : walk.at], found
        walk.at = before
    point, parts = walk.take(".", ","), ""
    if point:
        parts = walk.digits()
        if not parts:
            walk.at, point = before, ""
    if not whole and not parts:
        raise Not("no number")
    if point == "," and len(parts) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0":
        raise Not("a thousand or a decimal")
    value = Fraction(int(whole or "0")) + (Fraction(int(parts), 10 ** len(parts)) if parts else 0)
    here = walk.at
    if walk.take("e", "E"):
        sign = -1 if walk.take("-", "+") == "-" else 1
        power = walk.digits()
        if not power:
            walk.at = here
        elif len(power) > 4 or int(power) > 250:
            raise Not("out of all measure")
        else:
            value *= Fraction(10) ** (sign * int(power))
    return walk.text[start : walk.at], value


def _over(walk: Walk, top: str) -> Fraction | None:
    if walk.left[:1].isspace() and walk.left[1:2] == "/":
        walk.at += 1
    if not walk.take("/"):
        return None
    if walk.left[:1].isspace():
        walk.at += 1
    bottom = walk.digits()
    if not bottom:
        return None
    if int(bottom) == 0:
        raise Not("over nothing")
    return Fraction(int(top), int(bottom))


def last_digits(walk: Walk) -> None:
    """The digits in brackets right behind a number: its standard uncertainty in units of its last digit."""
    here = walk.at
    if not (walk.take("(") and walk.digits() and walk.take(")")):
        walk.at = here


def a_unit(walk: Walk, units: dict[str, Fraction]) -> Fraction | None:
    """The factor of the unit at a place."""
    walk.skip()
    for name in sorted(units, key=len, reverse=True):
        if walk.left.startswith(name):
            behind = walk.left[len(name) : len(name) + 1]
            if behind.isalnum() and name[-1].isalnum():
                raise Not("a longer word")
            walk.at += len(name)
            return units[name]
    return None


def second_reader(
    text: str, units: dict[str, Fraction], signs: tuple[tuple[str, ...], tuple[str, ...]] | None
) -> tuple[Fraction, Fraction | None]:
    """Value and ± in SI; ``signs`` are the words for plus and minus.  Every number must have its unit."""
    walk = Walk(text.strip())
    start = next(
        (i for i, c in enumerate(walk.text) if c in DIGITS or (c in ".," and walk.text[i + 1 : i + 2] in set(DIGITS))),
        None,
    )
    if start is None:
        raise Not("no number")
    words, minus = walk.text[:start].strip(), False
    for mark in ("-", "−", "+"):
        if words.endswith(mark) and walk.text[max(0, start - 2) : start].strip():
            minus, words = mark != "+", words[: -len(mark)]
            break
    signed = len(words) != len(walk.text[:start].strip())
    walk.at = start
    _, value = whole_number(walk)
    if not any(c in "/" for c in walk.text[start : walk.at]):
        last_digits(walk)
    factor = a_unit(walk, units)
    doubt: Fraction | None = None
    rest = walk.left
    for mark in ("+/-", "+-", "±"):
        if mark in rest:
            before, _, after = rest.partition(mark)
            behind = Walk(after.strip())
            _, doubt = whole_number(behind)
            own = a_unit(behind, units)
            factor = factor if factor is not None else own
            if factor is None:
                raise Not("no unit")
            doubt *= own if own is not None else factor
            rest = f"{before} {behind.left}"
            break
    if any(mark in rest + words for mark in ("+/-", "+-", "±")) or factor is None:
        raise Not("two of them, or no unit")
    said = " ".join(f"{words} {rest}".replace(",", " ").replace("(", " ").replace(")", " ").lower().split())
    if signs is None:
        if said:
            raise Not("words")
        return (-value if minus else value) * factor, doubt
    plus, takes = signs
    sides = [all(part in side for part in said.split()) and len({*said.split()}) == len(said.split()) for side in signs]
    below, proud = said in plus or (sides[0] and bool(said)), said in takes or (sides[1] and bool(said))
    if signed or below == proud:
        raise Not("no sign")
    return (value if below else -value) * factor, doubt


PIECES = [
    *"0123456789", "10", "25", "87.02", "0.5", ".5", ".5.", "1,234", "1.234,5", "1,5", "12,", "1 234", "e3", "e-3",
    "e400", "1e400", "1e-400", "/", "5/16", "15/6", "1/0", "3/4/5", "1-5/16", "5 1/2/3", " ", "-", "−", "+", "±",
    " ± ", "+/-", " +- ", "mm", " mm", "in", '"', "thou", " thou", "um", "cm", "cc", " ml", "in3", "%", "(1)", "(12)",
    ",", ".", "\u2009", "\u202f", "\u00a0", "½", "²", "٣", "８", "'", "below", " below deck", "proud", "flush", "x",
    "_", ":1", "0.1234567890123456789", "12345678901234567890", "000", "to", "–",
]  # fmt: skip
NUMBERS = ("87.02", "3 7/16", "3-7/16", "15/6", "1 15/6", "8,702e1", "40.12345678901234567", "25", "40.5(2)", "1/2")
DOUBTS = ("", "", "±0.01", " +/- 1/64", " +- .05", " ± 5e-3", " ± 0.0123456789012345678", " ± 1(2)")


def slipped(text: str, slips: list[tuple[int, int, str]]) -> str:
    """A text with a few slips: at a place, so many letters replaced by a piece."""
    for at, length, piece in slips:
        at %= len(text) + 1
        text = text[:at] + piece + text[at + length :]
    return text


SLIPS = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 2), st.sampled_from(["", *PIECES])), max_size=2)


def texts(units: tuple[str, ...], tails: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Sound texts, sound ones with a slip or two, and heaps of pieces."""
    parts = (NUMBERS, units, DOUBTS, ("", "", *units), tails)
    sound = st.tuples(*(st.sampled_from(part) for part in parts)).map("".join)
    return st.one_of(
        sound, st.builds(slipped, sound, SLIPS), st.lists(st.sampled_from(PIECES), max_size=9).map("".join)
    )


ANY_LENGTH = texts((" mm", "mm", " in", '"', " thou"), ("",))
ANY_SIDE = texts((" mm", "mm", " in", " thou"), (" below deck", ", proud", " in the hole", " (below)", ""))
ANY_VOLUME = texts((" cc", "ml", " in3"), ("",))


def agree(
    text: str, key: str, units: dict[str, Fraction], signs: tuple[tuple[str, ...], tuple[str, ...]] | None
) -> bool:
    """Whether both readers take a text, with one value and one ±, or neither does."""
    low, high = (Fraction(end) for end in TERMS[key].possible)
    try:
        value, doubt = second_reader(text, units, signs)
    except Not:
        value, doubt = None, None
    try:
        read = parse(text, key, system=UNSAID)
    except InputError as refused:
        codes = [finding.code for finding in refused.findings]
        # What is read by both may still be impossible, or have a ± that says nothing.
        if codes == ["impossible"]:
            return value is None or not low < value < high
        spread = doubt is not None or "(" in text  # last digits in brackets are a ± too
        return value is None or (codes == ["wrong-spread"] and spread)
    if read.value == 0:  # nothing needs no unit and no sign, and may be said in a word
        said = re.split(r"±|\+/-|\+-", text)[0]
        digits = re.sub(r"(?<=[\d.,])[eE][-+−]?\d+", "", said)  # nothing times a thousand is nothing
        return value == 0 or not any(c in "123456789" for c in digits)
    assert value is not None, f"{text!r} was read as {read.value}"
    assert read.value == pytest.approx(float(value), rel=1e-14)
    if doubt is None or read.spread is None:
        return doubt is None and read.spread is None
    return read.spread == pytest.approx(float(doubt), rel=1e-14)


@given(ANY_LENGTH)
@settings(max_examples=600, deadline=None)
@example("1 15/6 in")
@example('0003 7/16" ± 5e-0003')
@example("0.1234567890123456789 mm ± 0.0000000000000000001 mm")
@example("87.1234567890123456789 mm")
@example("87.02 mm below deck")
@example("5 1/2/3 in")
@example("25 mm ± 1/64 in")
def test_a_length_is_read_as_the_grammar_says_or_not_at_all(text: str) -> None:
    assert agree(text, "bore", LENGTHS, None), text


@given(ANY_SIDE)
@settings(max_examples=600, deadline=None)
@example("0.20 mm below deck ± 0.02 mm")
@example("0.20 below ± 0.02 mm")
@example("25 thou ± 1 proud")
def test_a_signed_length_is_read_as_the_grammar_says_or_not_at_all(text: str) -> None:
    assert agree(text, "deck_clearance", LENGTHS, (BELOW, PROUD)), text


@given(ANY_VOLUME)
@settings(max_examples=360, deadline=None)
@example("(1(12) cc")
def test_a_volume_is_read_as_the_grammar_says_or_not_at_all(text: str) -> None:
    assert agree(text, "chamber_volume", VOLUMES, None), text


# -- a ± that says nothing -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("bore", "86.50 ± 86.50 mm"),
        ("bore", "86.50 ± 90 mm"),
        ("chamber_volume", "46.3 cc ± 46.3 ml"),
        ("chamber_volume", "46.3(999) cc"),
        ("gasket_thickness", "1.3 mm ± 1.3 mm"),
        ("gasket_thickness", "40 thou ± 1 in"),
        ("deck_clearance", "0.20 mm below deck ± 20 mm"),
        ("film_thickness", "0.02 ± 0.03 mm"),
        ("static_ratio", "9.5 ± 10"),
        ("cylinders", "4 ± 1"),
        ("bore", "86.50(1) ± 0.01 mm"),
        ("bore", "86.50 ± 0.01 ± 0.02 mm"),
        ("chamber_volume", "46.3 cc ± 1 %"),
        ("compressor_efficiency", "0.75 ± 2 %"),
        ("static_ratio", "9.5 ± 2 %"),
    ],
)
def test_a_plus_or_minus_that_says_nothing_is_refused(key: str, text: str) -> None:
    with pytest.raises(InputError, match="±") as caught:
        parse(text, key)
    assert [finding.code for finding in caught.value.findings] == ["wrong-spread"]


@pytest.mark.parametrize(
    ("key", "text", "value", "spread"),
    [
        ("deck_clearance", "flush ± 0.05 mm", 0.0, 0.05e-3),
        ("deck_clearance", "flush ± 2 thou, measured", 0.0, 0.0508e-3),
        ("deck_clearance", "0.02 mm below deck ± 0.05 mm", 0.02e-3, 0.05e-3),
        ("deck_clearance", "0.02 ± 0.05 mm proud", -0.02e-3, 0.05e-3),
        ("crown_volume", "flat ± 0.3 cc", 0.0, 0.3e-6),
        ("crown_volume", "dish 1 cc ± 2 cc", 1e-6, 2e-6),
        ("pin_offset", "centred ± 0.1 mm", 0.0, 0.1e-3),
        ("film_thickness", "0.02 ± 0.02 mm", 0.02e-3, 0.02e-3),
        ("level_depth", "0 ± 0.05 mm", 0.0, 0.05e-3),
        ("burette_reading", "0.00 ml ± 0.05 ml", 0.0, 0.05e-6),
        ("temperature", "0 °C ± 5 °C", 273.15, 5.0),
        ("compressor_efficiency", "75 ± 2 %", 0.75, 0.02),
        ("compressor_efficiency", "75 % ± 2 %", 0.75, 0.02),
    ],
)
def test_what_may_be_nearly_nothing_keeps_its_plus_or_minus(key: str, text: str, value: float, spread: float) -> None:
    read = parse(text, key)
    assert (read.value, read.spread) == (pytest.approx(value, abs=1e-18), pytest.approx(spread))


@pytest.mark.parametrize("text", ["at least 58 ± 1 cc", "58 ± 1 cc to 60 cc", "58(1) cc", "at most 58(1) cc"])
def test_no_plus_or_minus_of_a_limit_is_passed_over(text: str) -> None:
    with pytest.raises(InputError, match="has no ± of its own"):
        parse_band(text, "chamber_volume")
