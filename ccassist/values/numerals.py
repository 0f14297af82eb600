"""The grammar of a number as people write it: decimals, fractions, powers of ten and ``(n)``.

Nothing of the text is evaluated; whoever looks for a number limits the length of the text first.  A number is read
whole or not at all: what it is cut off from stays in the text, where it is not understood.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from ccassist.values.findings import InputError, error

# Plain digits only: \d would also take those of other scripts, which the comma rule does not know.
_DIGITS = r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
NUMBER = re.compile(
    r"(?P<sign>[+\-−]\s?)?(?:(?P<whole>[0-9]+)[ \-])?(?P<top>[0-9]+)\s?/\s?(?P<bottom>[0-9]+)"
    rf"|(?P<sign2>[+\-−]\s?)?(?P<plain>{_DIGITS})(?P<exponent>[eE][+\-]?[0-9]+)?(?:\((?P<last>[0-9]+)\))?"
)
PLUS_OR_MINUS = re.compile(r"\+/-|\+-|±")
MOST_POWER = 300  # of ten, either way: no measurement needs more, and a float holds no more


@dataclass(frozen=True, kw_only=True)
class Numeral:
    """A number as read, in the unit that follows it.

    ``value`` without its sign; ``step`` the size of its last digit, 0 of a
    fraction; ``standard`` of the ``(n)`` notation, or None; ``sign`` "+", "-" or
    ""; ``text`` the number without its sign, as written.
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
    value = float(digits + exponent)
    step = float(f"1e{int(exponent[1:] or 0) - len(digits.partition('.')[2])}") if len(exponent) < 6 else math.inf
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
        right = f"write {text.replace(',', '.')} or {text.replace(',', '')}"
        raise fault("ambiguous-comma", raw, wrong, right)
    return text.replace(",", ".")


def _fraction(match: re.Match[str], raw: str) -> Fraction:
    """A fraction and the whole before it, which leaves less than one to the fraction."""
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
