"""The vocabulary: every quantity the tool speaks of, one row each, and the kinds and units in which it is written.

Prompts, job files, JSON, printed pages and the docs all read a quantity's name, symbol, sign words, ranges, examples,
its usual ± and where it may be stated from here: the rows stand in the ``*_terms`` files, the kinds in ``units`` with
the words that are compared.  ``names`` tells which term, tool or fluid a name means; ``record`` is what every room
writes its records with.
"""

from __future__ import annotations

from collections.abc import Iterable

from ccassist.vocabulary.charge_terms import CAM, CHARGE
from ccassist.vocabulary.engine_terms import BENCH, ENGINE, ORDER
from ccassist.vocabulary.names import Meant, Names
from ccassist.vocabulary.term import Sign, Term, Width
from ccassist.vocabulary.units import Kind

TERMS: dict[str, Term] = {one.key: one for one in (*ENGINE, *CAM, *CHARGE, *ORDER, *BENCH)}
# Computed from the others: an odd one says only what is said of them already, unless it is alone.
FOLLOWS = ("crown_and_deck_volume", "gasket_volume", "clearance_volume", "static_ratio")
# How nearly the cylinders of one engine, and the repeats of one reading, should be alike; what follows comes last. A
# slip is looked for only beyond these amounts.  Common practice, no source: as cast, chambers and crowns of one set lie
# within a few per cent; cut surfaces and ground parts within a tenth or two of a millimetre.
ALIKE = tuple(one.key for one in sorted(TERMS.values(), key=lambda one: one.key in FOLLOWS) if one.alike)
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


def suggested(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """The question whether the nearest of what is known was meant; where none is near, what is said otherwise.

    >>> suggested("stoke", ("bore", "stroke")), suggested("x", ("bore",), "say bore")
    ('did you mean "stroke"?', 'say bore')
    """
    near = nearest(word, tuple(known))
    return f'did you mean "{near}"?' if near else otherwise


def stated_in(section: str) -> tuple[str, ...]:
    """The keys of the terms that may be stated there: "part", "engine", or a section of the job file.

    >>> stated_in("engine")
    ('engine_speed', 'air_pressure', 'temperature')
    """
    return tuple(key for key, one in TERMS.items() if section in one.places)


__all__ = [
    "ALIKE",
    "FOLLOWS",
    "TERMS",
    "Kind",
    "Meant",
    "Sign",
    "Term",
    "Width",
    "find",
    "meant",
    "nearest",
    "otherwise",
    "stated_in",
    "suggested",
    "term",
]
