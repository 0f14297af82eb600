"""A text taken apart: its number, its unit, its ± and the words that are left; nothing of it is understood here.

``[words] number [unit] [words] [± number [unit]] [words] [, origin]``
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from ccassist.values.numerals import NUMBER, PLUS_OR_MINUS, Numeral, fault, numeral
from ccassist.values.units import UNITS

ORIGINS = ("measured", "maker's figure", "assumed")

_ORIGIN = re.compile(r",?\s*\b(?P<origin>measured|maker[’']?s figure|makers figure|assumed)\s*$", re.IGNORECASE)
_NO_NUMBER = re.compile(r"\b(nan|inf|infinity)\b", re.IGNORECASE)
_UNIT_TEXTS = sorted(UNITS, key=len, reverse=True)


@dataclass(frozen=True, kw_only=True)
class Said:
    """What stands in a text.

    Attributes
    ----------
    number : the number, or None.
    unit : the unit behind the number, "" where none stands.
    doubt, doubt_unit : number and unit of the ±; None and "" without.  A unit that stands here alone serves both.
    words : everything else, without the origin.
    stranger : the word where the unit should stand, "" where none does.
    origin : measured, maker's figure, assumed; "" where not said.
    """

    number: Numeral | None
    unit: str
    doubt: Numeral | None
    doubt_unit: str
    words: str
    stranger: str
    origin: str


def without_origin(text: str) -> tuple[str, str]:
    """The text without the words for its origin, and the origin."""
    text = text.strip()
    found = _ORIGIN.search(text)
    if not found:
        return text, ""
    word = found["origin"].lower()
    return text[: found.start()], "maker's figure" if word.startswith("maker") else word


def taken_apart(body: str, raw: str, origin: str = "") -> Said:
    """A text, without its origin, as its parts; ``raw`` is what a refusal shows.

    Raises
    ------
    InputError : a number or a ± that cannot be read.

    >>> said = taken_apart("0.20 mm below deck +/- 0.02 mm", "")
    >>> said.number.value, said.unit, said.doubt.value, said.words.split()
    (0.2, 'mm', 0.02, ['below', 'deck'])
    """
    head, *more = PLUS_OR_MINUS.split(body)
    if len(more) > 1:
        raise fault("wrong-spread", raw, "more than one ±", "write one behind the value")
    doubt, doubt_unit, after = _doubt(more[0], raw) if more else (None, "", "")
    match = None if _NO_NUMBER.search(head) else NUMBER.search(head)
    if not match:
        return Said(
            number=None,
            unit="",
            doubt=doubt,
            doubt_unit=doubt_unit,
            words=f"{head} {after}",
            stranger="",
            origin=origin,
        )
    number = numeral(match, raw)
    unit, rest = _take_unit(head[match.end() :])
    if doubt is not None and number.standard is not None:
        raise fault("wrong-spread", raw, "both digits in brackets and a ±", "keep one of them")
    return Said(
        number=number,
        unit=unit,
        doubt=doubt,
        doubt_unit=doubt_unit,
        words=f"{head[: match.start()]} {rest} {after}",
        stranger="" if unit or doubt_unit else _first_word(rest),
        origin=origin,
    )


def _doubt(text: str, raw: str) -> tuple[Numeral, str, str]:
    """Number and unit of a ±, and what follows."""
    match = NUMBER.match(text.lstrip())
    if not match or _NO_NUMBER.search(text):
        raise fault("not-understood", raw, "no number behind the ±", 'write e.g. "± 0.02 mm"')
    number = numeral(match, raw)
    if number.sign or number.standard is not None:
        raise fault("not-understood", raw, "the ± is followed by a plain number", 'write e.g. "± 0.02 mm"')
    unit, rest = _take_unit(text.lstrip()[match.end() :])
    return number, unit, rest


def _take_unit(text: str) -> tuple[str, str]:
    """The unit at the start of the text, and what follows."""
    text = text.lstrip()
    for unit in _UNIT_TEXTS:
        if text.startswith(unit):
            rest = text[len(unit) :]
            if not rest or not (rest[0].isalnum() and unit[-1].isalnum()):
                return unit, rest
    return "", text


def _first_word(rest: str) -> str:
    word = re.match(r"\s*([^\W\d_][^\s,;()]*)", rest)
    return word[1] if word else ""


def sign_words(text: str) -> str:
    """What a text says of the sign: in small letters, without brackets, commas and the words that say nothing."""
    plain = re.sub(r"\bof space\b|\(|\)|,|\bof the deck\b", " ", text.lower())
    return " ".join(plain.split())


def matches(said: str, words: tuple[str, ...]) -> bool:
    """Whether what was said is one of the words, or two of them together ("dish adds")."""
    parts = said.split(" ")
    return said in words or (bool(said) and len({*parts}) == len(parts) and all(part in words for part in parts))
