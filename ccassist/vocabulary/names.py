"""Names as people write them, of terms and at the end of instruments and fluids.

Which term a word means, where it stands: by its key, its trade name, a word of the trade, or a slip of spelling.

What the trade calls a term stands in the term's own row (``also`` and ``signed``), with every term that it may mean:
where only one of them has a place the word is taken for it, where several have one they are named and nothing is taken.
Words are small letters, with spaces.  Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping
from functools import cache, cached_property, lru_cache
from typing import TypeVar

from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.term import Term

_LETTERS_A_SLIP = 4  # a word may have one slip for so many letters; common practice, no source
_MOST = 3

# A word as people shorten or spell it -> as it stands below.
SHORT: dict[str, str] = {
    "temp": "temperature",
    "dia": "diameter",
    "diam": "diameter",
    "vol": "volume",
    "center": "centre",
    "centerline": "centreline",
    "conrod": "rod",
    "inlet": "intake",
    "intercooler": "cooler",
    "aftercooler": "cooler",
}
# A word for what is said otherwise here: word -> (the term, how one comes from the other).
OTHERWISE: dict[str, tuple[str, str]] = {
    **dict.fromkeys(
        ("afr", "air fuel ratio", "a f", "a f ratio", "air to fuel ratio"),
        (
            "mixture_strength",
            "it is lambda: the air-fuel ratio over that of the fuel's complete burning, about 14.7 for petrol without "
            "ethanol: 12.5 of it is 0.85",
        ),
    ),
    **dict.fromkeys(
        ("phi", "equivalence ratio", "fuel air equivalence ratio"),
        ("mixture_strength", "it is lambda, 1 over the fuel-air equivalence ratio"),
    ),
    **dict.fromkeys(
        ("throw", "crank throw", "crank radius", "crank pin radius"), ("stroke", "it is twice the throw of the crank")
    ),
    **dict.fromkeys(("lift ratio", "tappet ratio"), ("rocker_ratio", "it is valve movement over tappet movement")),
    **dict.fromkeys(
        ("mon", "pump octane", "aki", "anti knock index"),
        ("octane_number", "it is by the research method (RON); (R+M)/2 on a pump is 4 to 5 lower"),
    ),
    **dict.fromkeys(
        ("cranking pressure", "cranking compression", "cylinder pressure", "compression test"),
        ("end_pressure", "it is worked out, motored, and is not what a cranking gauge shows"),
    ),
}


@record
class Meant:
    """A term that a word may mean; ``says`` is the word for its sign that the name itself says, "" for none."""

    term: Term
    says: str = ""


class Names:
    """All names of all terms."""

    def __init__(self, terms: Mapping[str, Term]) -> None:
        self.terms = terms

    @cached_property
    def _index(self) -> dict[str, tuple[Meant, ...]]:
        """Every name -> the terms it may mean.  A key or a trade name means its own term alone."""
        own: dict[str, Meant] = {}
        for term in self.terms.values():
            own.setdefault(plain(term.key), Meant(term=term))
        for term in self.terms.values():
            own.setdefault(plain(term.name), Meant(term=term))
        said = ((term, word) for term in self.terms.values() for word in term.synonyms)
        found = together((plain(word), Meant(term=term, says=term.says.get(word, ""))) for term, word in said)
        return {**{word: tuple(meant) for word, meant in found.items()}, **{name: (one,) for name, one in own.items()}}

    def meant(self, word: str, among: Container[str] | None = None) -> tuple[Meant, ...]:
        """The terms that a word may mean, of those that have a place here; none where it is no name."""
        if word in self.terms:
            found: tuple[Meant, ...] = (Meant(term=self.terms[word]),)
        else:
            found = self._index.get(plain(word), ())
        return tuple(one for one in found if among is None or one.term.key in among)

    def otherwise(self, word: str) -> tuple[Term, str] | None:
        """The term by which a word is said here, and how one comes from the other; None where there is none."""
        said = _otherwise().get(plain(word))
        return (self.terms[said[0]], said[1]) if said else None

    def nearest(self, word: str, known: Iterable[str]) -> str | None:
        """The known name of which a word is a slip of spelling; one that is another term's, or nobody's, is none."""
        known = tuple(known)
        names = dict(self._meanings) if any(name in self.terms for name in known) else {}
        for name in known:
            names[plain(name)] = {name}
        found = closest(word, names)
        return found if found in known else None

    @cached_property
    def _meanings(self) -> dict[str, set[str]]:
        """Every name -> the keys it may mean; one that is said otherwise here means none."""
        means = {name: {one.term.key for one in meant} for name, meant in self._index.items()}
        return {**{word: {""} for word in _otherwise()}, **means}


@cache
def _otherwise() -> dict[str, tuple[str, str]]:
    return {plain(word): said for word, said in OTHERWISE.items()}


# -- slips of spelling: never another word that merely looks like it ------------------------------------------


@lru_cache(maxsize=8192)
def plain(text: str) -> str:
    """A name in small letters, its words apart, shortened ones spelled out.

    >>> plain("Gasket-Bore_dia.")
    'gasket bore diameter'
    """
    small = "".join(c if c.isalnum() or c in "%+°'" else " " for c in text.casefold())
    return " ".join(SHORT.get(word, word) for word in small.split())


def slips(word: str, meant: str) -> int:
    """Letters left out, put in, changed, or swapped with their neighbour, from one word to another.

    >>> slips("stroek", "stroke"), slips("compression", "compressor")
    (1, 2)
    """
    before: list[int] = []
    row = list(range(len(meant) + 1))
    for i, letter in enumerate(word, 1):
        older, before, row = before, row, [i]
        for j, other in enumerate(meant, 1):
            cost = min(row[-1] + 1, before[j] + 1, before[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == meant[j - 2] and word[i - 2] == other:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
    return row[-1]


def closest(typed: str, names: Mapping[str, Iterable[str]]) -> str | None:
    """The one thing whose name was mistyped, or None where there is none, or more than one.

    ``names`` : name -> what it may mean.  A word that stands in any of the names is no slip of another word.
    """
    words = plain(typed).split()
    joined, known = "".join(words), _words_of(tuple(names))
    best, found = _MOST * len(words) + 1, set[str]()
    for name, meant in names.items():
        if len(_parted(name)) == len(words):
            cost = _cost(words, _parted(name), known)
        else:
            cost = 0 if _run_together(name) == joined else None
        if cost is not None and cost <= best:
            found = {*meant} if cost < best else found | {*meant}
            best = cost
    return found.pop() if len(found) == 1 else None


@lru_cache(maxsize=64)
def _words_of(names: tuple[str, ...]) -> frozenset[str]:
    return frozenset(word for name in names for word in _parted(name))


@cache
def _parted(name: str) -> list[str]:
    return name.split()


@cache
def _run_together(name: str) -> str:
    return "".join(_parted(name))


def _cost(words: list[str], name: list[str], known: frozenset[str]) -> int | None:
    """All slips from what was typed to a name, or None where it is not the same words mistyped; as many words each."""
    total = 0
    for word, meant in zip(words, name, strict=True):
        if word == meant:
            continue
        if word in known and word.rstrip("s") != meant.rstrip("s"):
            return None
        most = min(_MOST, (len(meant) + 1) // _LETTERS_A_SLIP)
        # one slip changes the length by one at most, and two of the letters
        if abs(len(word) - len(meant)) > most or len({*word} ^ {*meant}) > 2 * most:
            return None
        count = slips(word, meant)
        if count > most:
            return None
        total += count
    return total


# Names of instruments and fluids.  Two spellings are one name when their words are the same, whatever the case, order
# and spacing: "60cc Syringe" is "syringe 60 ml".

Entry = TypeVar("Entry")
LONGEST = 80

_MILLILITRE = r"(?<![a-z])(?:ccs?|cm3|cm³|mls|millilit(?:re|er)s?)(?![a-z])"
_WORD = re.compile(r"\d{1,9}(?:[.,]\d{1,9})?|[^\W\d_]+")
_FILLERS = frozenset({"class", "grade", "with", "and", "of", "the", "by", "percent"})
_SAME = {
    "gram": "g",
    "millimetre": "mm",
    "millimeter": "mm",
    "inch": "in",
    "inches": "in",
    "thousandth": "thou",
    "gage": "gauge",
    "buret": "burette",
    "calliper": "caliper",
}


def words(name: str) -> tuple[str, ...]:
    """The words of a name, sorted, small, and without fillers.

    >>> words("Syringe, 60cc") == words("60 ml syringe")
    True
    """
    text = re.sub(_MILLILITRE, " ml ", name[:LONGEST].casefold())
    return tuple(sorted(_plain(word) for word in _WORD.findall(text) if word not in _FILLERS))


def _plain(word: str) -> str:
    """One word, singular and in one spelling; a number without idle noughts."""
    if word[0].isdecimal():
        return f"{float(word.replace(',', '.')):g}"
    singular = word[:-1] if len(word) > 3 and word[-1] == "s" != word[-2] else word
    return _SAME.get(word) or _SAME.get(singular, singular)


def index(entries: Mapping[str, Entry], synonyms: Mapping[str, tuple[str, ...]]) -> dict[tuple[str, ...], Entry]:
    """Every name and synonym of a catalogue by its words.

    Raises ValueError where two entries would answer to one name.
    """
    table: dict[tuple[str, ...], Entry] = {}
    for key, entry in entries.items():
        for name in (key, *synonyms[key]):
            if table.setdefault(words(name), entry) is not entry:
                raise ValueError(f'"{name}" would be the name of two things')
    return table


def closest_name(name: str, known: Iterable[str]) -> str | None:
    """The known name most like a mistyped one, or None.

    >>> closest_name("veneer caliper", ["vernier caliper", "steel rule"])
    'vernier caliper'
    """
    from difflib import get_close_matches

    by_words = {" ".join(words(key)): key for key in known}
    found = get_close_matches(" ".join(words(name)), list(by_words), n=1, cutoff=0.5)
    return by_words[found[0]] if found else None
