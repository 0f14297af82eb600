"""Names of instruments and fluids as people write them.

Two spellings are one name when their words are the same, whatever the case,
order and spacing: "60cc Syringe" is "syringe 60 ml".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import TypeVar

Entry = TypeVar("Entry")
LONGEST = 80

_MILLILITRE = re.compile(r"(?<![a-z])(?:ccs?|cm3|cm³|mls|millilit(?:re|er)s?)(?![a-z])")
_WORD = re.compile(r"\d{1,9}(?:[.,]\d{1,9})?|[^\W\d_]+")
_FILLERS = frozenset({"class", "grade", "with", "and", "of", "the", "by", "percent"})
_SAME = {
    "gram": "g",
    "grams": "g",
    "millimetre": "mm",
    "millimeter": "mm",
    "inch": "in",
    "inches": "in",
    "thousandths": "thou",
    "gage": "gauge",
    "buret": "burette",
    "calliper": "caliper",
}


def words(name: str) -> tuple[str, ...]:
    """The words of a name, sorted, small, and without fillers.

    >>> words("Syringe, 60cc") == words("60 ml syringe")
    True
    """
    text = _MILLILITRE.sub(" ml ", name[:LONGEST].casefold())
    found = (_SAME.get(word, word) for word in _WORD.findall(text))
    return tuple(sorted(_number(word) for word in found if word not in _FILLERS))


def _number(word: str) -> str:
    return f"{float(word.replace(',', '.')):g}" if word[0].isdecimal() else word


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
