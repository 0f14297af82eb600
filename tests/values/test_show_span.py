"""From one value to another as printed: what both ends say in words is said once, and never the wrong words."""

from __future__ import annotations

import pytest

from ccassist.values.display import METRIC, formatter
from ccassist.vocabulary import TERMS
from tests.each import each

SIGNED = [key for key, term in TERMS.items() if term.sign is not None]
SYSTEMS = ("metric", "imperial")


@each("system", SYSTEMS)
@each("key", SIGNED)
@each("side", [1, -1])
def test_two_ends_on_one_side_share_their_words(key: str, side: int, system: str) -> None:
    size = max(abs(end) for end in TERMS[key].plausible)
    low, high = sorted((0.4 * side * size, 0.8 * side * size))
    said = formatter(system).span(key, low, high)
    sign = TERMS[key].sign
    assert sign is not None
    says = sign.says_plus if side > 0 else sign.says_minus
    for words in filter(None, (part.strip() for part in says.split("{}"))):
        assert said.count(words) == 1
    for end in (low, high):
        assert formatter(system).show(key, end, words=False).lstrip("−").split(" ")[0] in said


@pytest.mark.parametrize("key", SIGNED)
def test_two_ends_on_two_sides_keep_both(key: str) -> None:
    size = 0.5 * max(abs(end) for end in TERMS[key].plausible)
    said = METRIC.span(key, -size, size)
    assert said == f"{METRIC.show(key, -size)} to {METRIC.show(key, size)}"


@each("key", SIGNED)
def test_an_end_at_nothing_keeps_its_own_words(key: str) -> None:
    size = 0.5 * max(abs(end) for end in TERMS[key].plausible)
    assert METRIC.span(key, 0.0, size) == f"{METRIC.show(key, 0.0)} to {METRIC.show(key, size)}"


def test_two_ends_that_print_alike_are_one() -> None:
    assert METRIC.span("squish", -0.16e-3, -0.160001e-3) == METRIC.show("squish", -0.16e-3)
