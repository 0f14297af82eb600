"""The vocabulary: every quantity the tool speaks of, declared once.

Prompts, job files, JSON, printed pages and the docs all read a quantity's
name, symbol, sign words and ranges from here.
"""

from __future__ import annotations

from dataclasses import replace

from ccassist.vocabulary.bottom_end import BOTTOM_END
from ccassist.vocabulary.cam import CAM
from ccassist.vocabulary.charge import CHARGE
from ccassist.vocabulary.derived import DERIVED
from ccassist.vocabulary.machining import MACHINING
from ccassist.vocabulary.names import Meant, Names
from ccassist.vocabulary.openings import OPENINGS
from ccassist.vocabulary.piston import PISTON
from ccassist.vocabulary.readings import READINGS
from ccassist.vocabulary.term import Kind, Sign, Term
from ccassist.vocabulary.top_end import TOP_END
from ccassist.vocabulary.valves import VALVES
from ccassist.vocabulary.whole import WHOLE
from ccassist.vocabulary.words import SIGNED, WORDS

_MATTERS = (BOTTOM_END, TOP_END, DERIVED, READINGS, OPENINGS, WHOLE, CAM, PISTON, CHARGE, VALVES, MACHINING)
TERMS: dict[str, Term] = {
    term.key: replace(term, synonyms=(*WORDS.get(term.key, ()), *SIGNED.get(term.key, ())))
    for matter in _MATTERS
    for term in matter
}
_NAMES = Names(TERMS)
meant = _NAMES.meant
otherwise = _NAMES.otherwise


def term(key: str) -> Term:
    """The term of that key.

    >>> term("bore").name
    'bore'
    """
    return TERMS[key]


def find(text: str) -> Term | None:
    """The one term meant by a key, a trade name, a word of the trade or a symbol, or None.

    >>> find("pin height").key
    'compression_height'
    >>> find("deck height")
    """
    if text in TERMS:
        return TERMS[text]
    found = meant(text)
    if found:
        return found[0].term if len(found) == 1 else None
    return next((wanted for wanted in TERMS.values() if wanted.symbol == text), None)


def nearest(word: str, known: tuple[str, ...] | None = None) -> str | None:
    """The known key of which a word is a slip of spelling, or None; never the key of another quantity.

    >>> nearest("stoke"), nearest("compresion_ratio"), nearest("compression_ratio", ("compressor_ratio",))
    ('stroke', 'static_ratio', None)
    """
    return _NAMES.nearest(word, known if known is not None else tuple(TERMS))


__all__ = ["TERMS", "Kind", "Meant", "Sign", "Term", "find", "meant", "nearest", "otherwise", "term"]
