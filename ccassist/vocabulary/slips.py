"""Slips of spelling: which known word a mistyped one is, and never another word that merely looks like it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from ccassist.vocabulary.words import SHORT

_LETTERS_A_SLIP = 4  # a word may have one slip for so many letters; common practice, no source
_MOST = 3


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
    known = {word for name in names for word in _parted(name)}
    best, found = _MOST * len(words) + 1, set[str]()
    for name, meant in names.items():
        cost = _cost(words, _parted(name), known)
        if cost is not None and cost <= best:
            found = {*meant} if cost < best else found | {*meant}
            best = cost
    return found.pop() if len(found) == 1 else None


@cache
def _parted(name: str) -> list[str]:
    return name.split()


def _cost(words: list[str], name: list[str], known: set[str]) -> int | None:
    """All slips from what was typed to a name, or None where it is not the same words mistyped."""
    if len(words) != len(name):
        return 0 if "".join(words) == "".join(name) else None  # run together or pulled apart
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
