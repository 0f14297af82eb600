"""The vocabulary: every quantity the tool speaks of, declared once.

Prompts, job files, JSON, printed pages and the docs all read a quantity's
name, symbol, sign words and ranges from here.
"""

from __future__ import annotations

from ccassist.terms.bottom_end import BOTTOM_END
from ccassist.terms.cam import CAM
from ccassist.terms.charge import CHARGE
from ccassist.terms.derived import DERIVED
from ccassist.terms.machining import MACHINING
from ccassist.terms.openings import OPENINGS
from ccassist.terms.piston import PISTON
from ccassist.terms.readings import READINGS
from ccassist.terms.term import Kind, Sign, Term
from ccassist.terms.top_end import TOP_END
from ccassist.terms.valves import VALVES
from ccassist.terms.whole import WHOLE

_MATTERS = (BOTTOM_END, TOP_END, DERIVED, READINGS, OPENINGS, WHOLE, CAM, PISTON, CHARGE, VALVES, MACHINING)
TERMS: dict[str, Term] = {term.key: term for matter in _MATTERS for term in matter}


def term(key: str) -> Term:
    """The term of that key.

    >>> term("bore").name
    'bore'
    """
    return TERMS[key]


def find(text: str) -> Term | None:
    """The term meant by a key, a trade name, a synonym or a symbol, or None.

    >>> find("pin height").key
    'compression_height'
    """
    if text in TERMS:
        return TERMS[text]
    words = " ".join(text.lower().replace("_", " ").replace("-", " ").split())
    for wanted in TERMS.values():
        names = (wanted.key.replace("_", " "), wanted.name, *wanted.synonyms)
        if words in {name.lower().replace("-", " ") for name in names}:
            return wanted
    return next((wanted for wanted in TERMS.values() if wanted.symbol == text), None)


def nearest(word: str, known: tuple[str, ...] | None = None) -> str | None:
    """The known key closest to a mistyped one, or None.

    >>> nearest("stoke")
    'stroke'
    """
    from difflib import get_close_matches

    names = known if known is not None else tuple(TERMS)
    found = get_close_matches(word.lower().replace("-", "_").replace(" ", "_"), names, n=1, cutoff=0.6)
    return found[0] if found else None


__all__ = ["TERMS", "Kind", "Sign", "Term", "find", "nearest", "term"]
