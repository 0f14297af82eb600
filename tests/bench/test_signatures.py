"""What repeats are taken for: the pattern of the odd one, refills and slips of unit, at the ends of each limit.

Factors of units: NIST SP 811 (2008), B.8; the limits are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from ccassist.bench.pooled import Repeats
from ccassist.bench.repeats import Scatter, Source
from ccassist.bench.signatures import (
    asked_too,
    exchanged,
    far_off,
    gross_slip,
    is_odd,
    refill_in,
    repeats_findings,
    shape,
    terms_of,
    unit_slip,
)
from ccassist.values.findings import Finding, warning
from ccassist.vocabulary import Width
from tests.bench.test_trouble import CC, filled, in_words, weighed
from tests.bench.test_trouble_limits import read
from tests.each import each

SIZES = (10 * CC, 25 * CC, 50 * CC)


def fills(*values: float, grain: float = 0.05) -> Repeats:
    """Fills [cc] of which nothing is known but that 2 cc is wide."""
    return read(values, range(10, 10 + len(values)), grain=grain)


@pytest.mark.parametrize(
    ("values", "pattern", "at"),
    [
        ((40, 44), "two", None),
        ((40, 43, 43.5), "low", 0),  # only the rest agree
        ((43, 40, 43.5), "low", 1),
        ((40, 40.5, 43.5), "high", 2),
        ((43.5, 40, 40.5), "first", None),  # a fill over what the one before left
        ((40, 50, 53.2), "low", 0),  # neither pair agrees: 10 is three times 3.2 and more
        ((40, 50, 53.5), "rising", None),
        ((53.5, 50, 40), "falling", None),
        ((50, 40, 53.5), "apart", None),
        ((40, 43.2, 53.2), "high", 2),
        ((43.5, 53.5, 40), "apart", None),  # 10 is less than three times 3.5
    ],
)
def test_the_odd_one_is_that_without_which_the_rest_agree(
    values: Sequence[float], pattern: str, at: int | None
) -> None:
    found = shape(fills(*values))
    assert (found.pattern, found.at) == (pattern, at)


@pytest.mark.parametrize(
    ("jump", "near", "size"),
    [(10.0, 0.0, 10), (-10.0, 0.0, 10), (10.29, 0.0, 10), (10.31, 0.0, None), (10.6, 0.7, 10), (10.8, 0.7, None),
     (11.1, 5.0, None), (25.2, 0.0, 25), (52.0, 2.1, 50), (56.0, 9.0, None), (3.0, 0.0, None)],
)  # fmt: skip
def test_a_jump_is_a_refill_within_0_3_cc_or_what_the_rest_lie_apart(
    jump: float, near: float, size: float | None
) -> None:
    """Never by more than a tenth of it."""
    found = refill_in(jump * CC, SIZES, near * CC)
    assert (None if found is None else found / CC) == (None if size is None else pytest.approx(size))


@each(
    ("ratio", "key", "words"),
    [
        (16.387064, "chamber_volume", "cubic inches"), (1 / 16.387064, "chamber_volume", "cubic inches"),
        (16.387064 * 1.04, "chamber_volume", "cubic inches"), (16.387064 * 1.06, "chamber_volume", ""),
        (10, "chamber_volume", "decimal point"), (0.1, "stroke", "decimal point"), (0.1 * 0.94, "stroke", ""),
        (25.4, "stroke", "inches and mm"), (1 / 25.4, "stroke", "inches and mm"),
        (2.54, "deck_clearance", "thou"), (1 / 2.54, "deck_clearance", "thou"), (2.54, "stroke", ""),
        (-1, "deck_clearance", "sign"), (-0.96, "deck_clearance", "sign"), (-0.9, "deck_clearance", ""),
        (-1, "stroke", ""), (1.0, "deck_clearance", ""), (10.5, "stroke", "decimal point"),  # on the limit
    ],
)  # fmt: skip
def test_a_slip_has_a_size_of_its_own(ratio: float, key: str, words: str) -> None:
    found = unit_slip(ratio, key, 0.05)
    assert words in found if words else found == ""


def slip(*values: float, refills: tuple[float, ...] = SIZES) -> Finding | None:
    one = fills(*values)
    return gross_slip(Repeats(**{**vars(one), "refills": refills}), in_words)


@pytest.mark.parametrize(
    ("values", "code", "line"),
    [
        ((40, 40.1, 50.1), "refill-jump", 12),
        ((40, 50.1, 40.1), "refill-jump", 11),
        ((40, 45.2, 52.6), None, None),  # the rest lie more than half a refill apart
        ((40, 44.9, 52.4), "refill-jump", 12),
        ((40, 40.1, 4.0), "unit-slip", 12),
        ((40, 43.9, 4.2), "unit-slip", 12),
        ((40, 40, 4.19), "unit-slip", 12),  # within a twentieth of itself
        ((40, 40, 4.21), None, None),
        ((40, 44.9, 4.2), None, None),  # the rest do not agree to a tenth
        ((0.4, 0.41, 0.04), None, None),  # too little to be looked at
        ((40, 40.1), None, None),
        ((40,), None, None),
    ],
)
def test_a_gross_slip_is_one_reading_beside_others_that_agree(
    values: Sequence[float], code: str | None, line: int | None
) -> None:
    found = slip(*values)
    assert (None if found is None else (found.code, found.line)) == (None if code is None else (code, line))


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ((40, 40.01, 40, 40.01, 40, 40.01), ""),
        ((40, 40.02, 40.05, 40.06, 40.08, 40.09), ""),  # a steady rise of less than two steps
        ((40, 40.02, 40.05, 40.06, 40.08, 40.11), "rising-repeats"),
        ((40.11, 40.08, 40.06, 40.05, 40.02, 40), "falling-repeats"),
        ((40, 40.02, 40.05, 40.05, 40.08, 40.11), ""),  # two alike are no steady rise
        ((40.11, 40.08, 40.05, 40.05, 40.02, 40), ""),
        ((40, 40.1, 40, 40.1, 40, 41.5), "stands-apart"),
        ((40, 40.1, 40, 40.1, 40, 38.5), "stands-apart"),
    ],
)
def test_of_six_and_more_a_steady_drift_or_grubbs_test(values: Sequence[float], code: str) -> None:
    found = repeats_findings(fills(*values), None, in_words)
    assert [f.code for f in found] == ([code] if code else [])
    if code == "stands-apart":
        assert ("less" in found[0].wrong) is (values[-1] < 40)
        assert found[0].line == 15


def test_a_small_syringe_has_small_refills() -> None:
    """0.925 cc beside 1 cc: nearer than what is looked at by itself, and yet a refill."""
    assert slip(40, 40.05, 40.95, refills=(1 * CC,)) is not None
    assert slip(40, 40.05, 40.90, refills=(1 * CC,)) is None


def test_a_rise_of_two_steps_of_the_scale_is_none() -> None:
    assert repeats_findings(fills(0, 1, 2, 3, 4, 8, grain=4.0), None, in_words) == []


def test_four_fills_are_judged_by_themselves_only_where_nothing_else_is_known() -> None:
    values = (40.0, 40.01, 40.0, 43.0)
    known = Scatter(standard=1.0 * CC, dof=10.0, source=Source.POOLED)
    assert [f.code for f in repeats_findings(fills(*values), None, in_words)] == ["stands-apart"]
    assert repeats_findings(read(values, range(10, 14), usual=known), None, in_words) == []


@each(
    ("value", "others", "odd"),
    [(43, (42, 42, 42), False), (43.01, (42, 42, 42), True), (40.99, (42, 42, 42), True), (48, (42, 43, 41), False),
     (48.1, (42, 43, 41), True), (109, (100, 100, 100), True), (108, (100, 100, 100), False)],
)  # fmt: skip
def test_a_part_is_odd_beyond_what_sisters_are_alike_within_and_six_deviations(
    value: float, others: Sequence[float], odd: bool
) -> None:
    """1 cc and 8 % of the usual, whichever is more; of 41, 42 and 43 the median deviation is 1."""
    assert is_odd(value, others, Width(least=1.0, share=0.08 if others[0] > 50 else 0.0)) is odd


@each(("value", "far"), [(105.0, False), (95.0, False), (105.01, True), (94.99, True), (100.0, False)])
def test_digits_exchanged_are_looked_for_beyond_a_twentieth(value: float, far: bool) -> None:
    assert far_off(value, 100.0, Width(least=1.0, share=0.01)) is far
    assert far_off(value, 100.0, Width(least=5.5, share=0.01)) is False


def test_only_the_first_finding_of_a_thing_is_made_a_question() -> None:
    found = [warning("one", "first"), warning("two", "second")]
    one, two = asked_too(fills(40, 40.1, 60), found, in_words)
    assert (one.code, one.asks, one.line, two) == ("one", True, 12, found[1])


def test_a_start_and_a_mass_left_are_taken_off() -> None:
    (burette,), (scale,) = (cell.readings for cell in (filled(1, (40.0,)), weighed(1, (40.0,))))
    for row, signs in ((burette, [-1, 1]), (scale, [1, -1])):
        assert [sign for _, sign in terms_of(row)] == signs
    alike = Width(least=1e-6, share=0.05)
    empty = weighed(1, (0.0,)).readings[0]
    assert exchanged(42e-6, [24e-6] * 3, alike, terms_of(empty)) == ""  # nothing was weighed out
