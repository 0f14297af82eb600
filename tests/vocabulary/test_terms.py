"""The vocabulary: every way to name a term leads to it and to no other."""

from __future__ import annotations

from collections import Counter

from ccassist.vocabulary import TERMS, find, meant
from tests.each import each

COUNTED_AS_IT_IS = ("chamfer_volume", "chamfer_counted")  # one symbol on paper: counting it changes nothing


def test_no_two_terms_share_a_symbol() -> None:
    terms = [term for term in TERMS.values() if term.key != COUNTED_AS_IT_IS[1]]
    shared = [symbol for symbol, count in Counter(term.symbol for term in terms).items() if count > 1]
    assert shared == []


@each("key", TERMS)
def test_every_name_of_a_term_finds_it(key: str) -> None:
    wanted = TERMS[key]
    symbol = () if key == COUNTED_AS_IT_IS[1] else (wanted.symbol,)
    for name in (key, wanted.name, *symbol):
        assert find(name) is wanted, name
    for name in wanted.synonyms:  # several of them mean other terms too
        assert wanted in [one.term for one in meant(name)], name
