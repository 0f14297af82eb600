"""Names of instruments and fluids as people write them.

Two spellings are one name when their words are the same, whatever the case, order and spacing: "60cc Syringe" is
"syringe 60 ml".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import TypeVar

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


def closest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like a mistyped one, or None.

    >>> closest("veneer caliper", ["vernier caliper", "steel rule"])
    'vernier caliper'
    """
    from difflib import get_close_matches

    by_words = {" ".join(words(key)): key for key in known}
    found = get_close_matches(" ".join(words(name)), list(by_words), n=1, cutoff=0.5)
    return by_words[found[0]] if found else None
