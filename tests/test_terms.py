"""The vocabulary: every way to name a term leads to it and to no other."""

from __future__ import annotations

from collections import Counter

import pytest

from ccassist.terms import TERMS, find


def test_no_two_terms_share_a_symbol() -> None:
    shared = [symbol for symbol, count in Counter(term.symbol for term in TERMS.values()).items() if count > 1]
    assert shared == []


@pytest.mark.parametrize("key", TERMS)
def test_every_name_of_a_term_finds_it(key: str) -> None:
    wanted = TERMS[key]
    for name in (key, wanted.name, wanted.symbol, *wanted.synonyms):
        assert find(name) is wanted, name
