"""The grammar of a number as people write it: decimals, fractions, ``(n)``, and the ± that follows.

Nothing of the text is evaluated; every pattern has a length limit.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from ccassist.findings import InputError, error

# Plain digits only: \d would also take those of other scripts, which the comma rule does not know.
_DIGITS = r"[0-9]{1,15}(?:[.,][0-9]{1,15})?"
NUMBER = re.compile(
    rf"(?P<sign>[+\-−]\s?)?(?:(?P<whole>[0-9]{{1,6}})[ \-])?(?P<top>[0-9]{{1,6}})\s?/\s?(?P<bottom>[0-9]{{1,6}})"
    rf"|(?P<sign2>[+\-−]\s?)?(?P<plain>{_DIGITS}|[.,][0-9]{{1,15}})(?P<exponent>[eE][+\-]?[0-9]{{1,4}})?(?:\((?P<last>[0-9]{{1,6}})\))?"
)
DOUBT = re.compile(rf"\s*(?:\+/-|\+-|±)\s*(?P<number>{_DIGITS}(?:[eE][+\-]?[0-9]{{1,3}})?)\s*")


@dataclass(frozen=True, kw_only=True)
class Numeral:
    """A number as read, in the unit that follows it.

    ``value`` without its sign; ``step`` the size of its last digit; ``standard``
    of the ``(n)`` notation, or None; ``sign`` "+", "-" or ""; ``text`` the number
    without its sign, as written.
    """

    value: float
    step: float
    standard: float | None
    sign: str
    text: str


def fault(code: str, text: str, wrong: str, right: str = "") -> InputError:
    """A refusal of one text."""
    return InputError(error(code, wrong, read=text, right=right))


def decimal(text: str, raw: str) -> float:
    """A decimal number with point or unmistakable comma."""
    if "," in text:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
            raise fault(
                "ambiguous-comma",
                raw,
                f"{text} could be a decimal comma or a thousand",
                f"write {text.replace(',', '.')} or {text.replace(',', '')}",
            )
        text = text.replace(",", ".")
    return float(text)


def numeral(match: re.Match[str], raw: str) -> Numeral:
    """The number that :data:`NUMBER` found in a text."""
    given = match["sign"] or match["sign2"] or ""
    sign, text = given.strip().replace("−", "-"), match[0][len(given) :]
    if match["top"]:
        if int(match["bottom"]) == 0:
            raise fault("not-a-number", raw, "a fraction over nothing", 'write e.g. "5/16 in"')
        part = Fraction(int(match["top"]), int(match["bottom"])) + int(match["whole"] or 0)
        return Numeral(value=float(part), step=0.0, standard=None, sign=sign, text=text)
    digits, power = match["plain"], _power(match["exponent"] or "")
    decimals = len(re.split("[.,]", digits)[1]) if re.search("[.,]", digits) else 0
    value, step = decimal(digits, raw) * power, 10.0**-decimals * power
    if not math.isfinite(value) or not math.isfinite(step):
        raise fault("not-finite", raw, "the number is too large to be a measurement")
    standard = int(match["last"]) * step if match["last"] else None
    return Numeral(value=value, step=step, standard=standard, sign=sign, text=text)


def _power(exponent: str) -> float:
    if not exponent:
        return 1.0
    power = int(exponent[1:])
    return math.inf if power > 300 else 10.0**power
