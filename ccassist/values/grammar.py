"""The grammar of a text: a number as people write it, its unit, its ± and the words that are left.

``[words] number [unit] [words] [± number [unit]] [words] [, origin]``

A number is a decimal, a fraction, a power of ten or ``(n)``, and is read whole or not at all: what it is cut off from
stays in the text, where it is not understood.  Nothing of a text is evaluated, and nothing of it is understood here;
whoever looks for a number limits the length of the text first.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS, Origin

if TYPE_CHECKING:
    from fractions import Fraction

# Plain digits only: \d would also take those of other scripts, which the comma rule does not know.
_DIGITS = r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
NUMBER = re.compile(
    r"(?P<sign>[+\-−]\s?)?(?:(?P<whole>[0-9]+)[ \-])?(?P<top>[0-9]+)\s?/\s?(?P<bottom>[0-9]+)"
    rf"|(?P<sign2>[+\-−]\s?)?(?P<plain>{_DIGITS})(?P<exponent>[eE][+\-]?[0-9]+)?(?:\((?P<last>[0-9]+)\))?"
)
PLUS_OR_MINUS = re.compile(r"\+/-|\+-|±")
MOST_POWER = 300  # of ten, either way: no measurement needs more, and a float holds no more


@record
class Numeral:
    """A number as read, in the unit that follows it.

    ``value`` without its sign; ``step`` the size of its last digit, 0 of a fraction; ``standard`` of the ``(n)``
    notation, or None; ``sign`` "+", "-" or ""; ``text`` the number without its sign, as written.
    """

    value: float
    step: float
    standard: float | None
    sign: str
    text: str

    @property
    def fraction(self) -> bool:
        """Whether it was written over a stroke, as inches are."""
        return "/" in self.text


def fault(code: str, text: str, wrong: str, right: str = "") -> InputError:
    """A refusal of one text."""
    return InputError(error(code, wrong, read=text, right=right))


def numeral(match: re.Match[str], raw: str) -> Numeral:
    """The number that :data:`NUMBER` found in a text."""
    given = match["sign"] or match["sign2"] or ""
    sign, text = given.strip().replace("−", "-"), match[0][len(given) :]
    if match["top"]:
        return Numeral(value=float(_fraction(match, raw)), step=0.0, standard=None, sign=sign, text=text)
    digits, exponent = _with_point(match["plain"], raw), match["exponent"] or ""
    value, power = float(digits + exponent), exponent[1:].lstrip("+-").lstrip("0") or "0"
    places = (-1 if "-" in exponent else 1) * int(power[:5]) - len(digits.partition(".")[2])
    step = float(f"1e{places}") if len(power) < 5 else math.inf
    if not math.isfinite(value) or not math.isfinite(step):
        raise fault("not-finite", raw, "the number is too large to be a measurement")
    if step < 10.0**-MOST_POWER or (value == 0 and any(c in "123456789" for c in digits)):
        raise fault("not-finite", raw, "the number is too small to be a measurement")
    standard = float(match["last"]) * step if match["last"] else None
    return Numeral(value=value, step=step, standard=standard, sign=sign, text=text)


def _with_point(text: str, raw: str) -> str:
    """A decimal number with a point for an unmistakable comma."""
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
        wrong = f"{text} could be a decimal comma or a thousand"
        raise fault("ambiguous-comma", raw, wrong, f"write {text.replace(',', '.')} or {text.replace(',', '')}")
    return text.replace(",", ".")


def _fraction(match: re.Match[str], raw: str) -> Fraction:
    """A fraction and the whole before it, which leaves less than one to the fraction."""
    from fractions import Fraction

    whole, top, bottom = (int(match[name] or 0) for name in ("whole", "top", "bottom"))
    if bottom == 0:
        raise fault("not-a-number", raw, "a fraction over nothing", 'write e.g. "5/16 in"')
    part = Fraction(top, bottom)
    if match["whole"] and part >= 1:
        total = whole + part
        rest = f" {total % 1}" if total % 1 else ""
        wrong = f"{top}/{bottom} makes one or more by itself, and {whole} stands before it"
        raise fault("improper", raw, wrong, f"write {total.__floor__()}{rest} if that is meant")
    if whole + part > 10**MOST_POWER:
        raise fault("not-finite", raw, "the number is too large to be a measurement")
    return whole + part


ORIGINS = (Origin.MEASURED, Origin.MAKER, Origin.ASSUMED)
_ORIGIN = re.compile(r",?\s*\b(?P<origin>measured|maker[’']?s figure|makers figure|assumed)\s*$", re.IGNORECASE)
_NO_NUMBER = re.compile(r"\b(nan|inf|infinity)\b", re.IGNORECASE)
_UNIT_TEXTS = sorted(UNITS, key=len, reverse=True)


@record
class TextRead:
    """What stands in a text.

    doubt, doubt_unit : number and unit of the ±; None and "" without.  A unit that stands here alone serves both.
    """

    number: Numeral | None  # the number, or None
    unit: str  # the unit behind the number, "" where none stands
    doubt: Numeral | None
    doubt_unit: str
    words: str  # everything else, without the origin
    stranger: str  # the word where the unit should stand, "" where none does
    origin: Origin  # one of :data:`ORIGINS`; ``Origin.UNSAID`` where not said


def without_origin(text: str) -> tuple[str, Origin]:
    """The text without the words for its origin, and the origin.

    >>> without_origin("84.9 mm, maker's figure")
    ('84.9 mm', <Origin.MAKER: "maker's figure">)
    """
    text = text.strip()
    found = _ORIGIN.search(text)
    if not found:
        return text, Origin.UNSAID
    word = found["origin"].lower()
    return text[: found.start()], Origin.MAKER if word.startswith("maker") else Origin(word)


def taken_apart(body: str, raw: str, origin: Origin = Origin.UNSAID) -> TextRead:
    """A text, without its origin, as its parts; ``raw`` is what a refusal shows.

    Raises InputError: a number or a ± that cannot be read.

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
        words = f"{head} {after}"
        return TextRead(
            number=None, unit="", doubt=doubt, doubt_unit=doubt_unit, words=words, stranger="", origin=origin
        )
    number = numeral(match, raw)
    unit, rest = _take_unit(head[match.end() :])
    if doubt is not None and number.standard is not None:
        raise fault("wrong-spread", raw, "both digits in brackets and a ±", "keep one of them")
    return TextRead(
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
    """What a text says of the sign: in small letters, without brackets, commas and the words that say nothing.

    >>> sign_words("Dish, adds (of space)")
    'dish adds'
    """
    plain = re.sub(r"\bof space\b|\(|\)|,|\bof the deck\b", " ", text.lower())
    return " ".join(plain.split())


def matches(said: str, words: tuple[str, ...]) -> bool:
    """Whether what was said is one of the words, or two of them together.

    >>> matches("dish adds", ("dish", "adds")), matches("dish dome", ("dish", "adds"))
    (True, False)
    """
    parts = said.split(" ")
    return said in words or (bool(said) and len({*parts}) == len(parts) and all(part in words for part in parts))
