"""SI numbers -> the words a reader sees: unit, sign in words, rounded to the ±.

Rounding happens here and only here.  The ± is given to two significant digits and the value to the same place (common
practice; JCGM 100:2008, 7.2.6 asks for no more than two digits).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import cache
from typing import Protocol

from ccassist.values.number import Number
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Kind, Term, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS, System, conversion, in_unit

NEEDS_REPEATS = "± not known yet"
KEPT = "\N{NO-BREAK SPACE}"  # within a figure, so that no line ends inside it


def places(unit: str, spread: float | None) -> int:
    """Decimals to print: two significant digits of the ±, but never finer than one digit more than is usual.

    Fewer than none for a large one: −2 is to whole hundreds.
    """
    usual = conversion(unit).decimals
    if spread is None or not math.isfinite(spread) or spread <= 0:
        return usual
    return min(usual + 1, two_figures(spread))


def two_figures(spread: float) -> int:
    """Decimals that show two significant digits of a positive number, and no third where it is rounded up to it.

    >>> two_figures(0.0996), two_figures(0.0994), two_figures(1237)
    (2, 3, -2)
    """
    decimals = 1 - math.floor(math.log10(spread) + 1e-12)
    return decimals if round(spread, decimals) < 10.0 ** (2 - decimals) else decimals - 1


def fixed(number: float, decimals: int) -> str:
    """A number to so many decimals; fewer than none rounds it to tens, hundreds and so on.

    >>> fixed(71234.0, -2), fixed(1.005, 1)
    ('71200', '1.0')
    """
    return f"{number:.{decimals}f}" if decimals >= 0 else f"{round(number, decimals):.0f}"


def two_text(size: float) -> str:
    """A positive number to two significant digits, without an exponent and without noughts at its end.

    >>> two_text(0.05), two_text(1237.0), two_text(1.0)
    ('0.05', '1200', '1')
    """
    text = fixed(size, two_figures(size))
    return text.rstrip("0").rstrip(".") if "." in text else text


def spread_text(spread: float, decimals: int) -> str:
    """The ± to a number of decimals, rounded up rather than to nothing."""
    text = fixed(spread, decimals)
    return text if float(text) > 0 else fixed(10.0**-decimals, decimals)


def cc(volume: float, decimals: int = 2) -> str:
    """A volume [m³] of the bench in words, as it is read there in either system of units.

    >>> cc(1.234e-6), cc(25e-6, 0)
    ('1.23 cc', '25 cc')
    """
    return f"{fixed(in_unit(volume, 'cc'), decimals)} cc"


def percent(share: float) -> str:
    """A share of 1 in whole per cent.

    >>> percent(0.052)
    '5 %'
    """
    return f"{fixed(100 * share, 0)} %"


def figures(*amounts: float, unit: str, count: int = 5) -> str:
    """Amounts [SI] in a unit, to so many significant figures at the most, from one to the other.

    >>> figures(0.0834, unit="mm"), figures(10e-6, 20e-6, unit="cc")
    ('83.4 mm', '10 to 20 cc')
    """
    return f"{' to '.join(f'{in_unit(amount, unit):.{count}g}' for amount in amounts)} {unit}"


class Valued(Protocol):
    """A number of a term, such as :class:`ccassist.values.measured.Value`."""

    @property
    def key(self) -> str: ...
    @property
    def number(self) -> Number: ...


@record(kw_only=False)
class Formatter:
    """Every number as it is printed in one system of units; made once per answer.

    >>> Formatter().show("deck_clearance", 0.0002)
    '0.20 mm below deck'
    >>> Formatter(System.IMPERIAL).show("bore", 0.0834)
    '3.2835 in'
    """

    system: System = System.METRIC

    def unit(self, wanted: Term | str) -> str:
        """The unit in which a term, or the term of a key, is shown."""
        return (term(wanted) if isinstance(wanted, str) else wanted).shown(self.system)

    def title(self, wanted: Term | str) -> str:
        """Heading of a column: the trade name and its unit."""
        one = term(wanted) if isinstance(wanted, str) else wanted
        unit = self.unit(one)
        return f"{one.name}, {unit}" if unit else one.name

    def decimals(self, value: Valued) -> int:
        """Decimals to which a value's headline is rounded."""
        unit, spread = self.unit(value.key), expand(value.number).expanded
        return places(unit, spread / conversion(unit).scale if spread else None)

    def telling(self, key: str, numbers: Sequence[float], more: int = 4) -> int:
        """Decimals with which numbers (SI) of a term are printed as different as they are, at most so many over usual.

        >>> Formatter().telling("squish", (0.000901, 0.0009))
        3
        """
        unit = self.unit(key)
        usual, shown, differ = places(unit, None), [in_unit(number, unit) for number in numbers], len(set(numbers))
        enough = (n for n in range(usual, usual + more) if len({round(number, n) for number in shown}) == differ)
        return next(enough, usual + more)

    def amount(self, key: str, value: float, *, decimals: int | None = None) -> str:
        """The bare number (SI) in the shown unit, without unit and sign words; "−" for minus."""
        wanted, unit = term(key), self.unit(key)
        number = in_unit(value, unit)
        count = 0 if wanted.kind is Kind.COUNT else places(unit, None) if decimals is None else decimals
        text = fixed(number, count)
        return text.lstrip("-") if float(text) == 0 else text.replace("-", "−")

    def show(
        self, key: str, value: float, spread: float | None = None, *, words: bool = True, decimals: int | None = None
    ) -> str:
        """A value as printed, such as "0.20 ± 0.03 mm below deck" or "9.39 ± 0.12".

        key : the term.
        value, spread : SI; the spread is the expanded uncertainty, NaN for "not known yet".
        words : say the sign in words (else a bare signed number).
        decimals : fixed decimals instead of those that the ± asks for.

        >>> Formatter().show("crown_volume", -11.548e-6, 0.4e-6)
        'dome, takes 11.55 ± 0.40 cc of space'
        """
        wanted, unit = term(key), self.unit(key)
        spread_shown = None if spread is None else spread / conversion(unit).scale
        count = places(unit, spread_shown) if decimals is None else decimals
        body = self.amount(key, abs(value) if words and wanted.sign else value, decimals=count)
        if spread_shown is not None and math.isfinite(spread_shown) and spread_shown > 0:
            body += f" ± {spread_text(spread_shown, count)}"
        if unit:
            body += f" {unit}"
        if spread is not None and math.isnan(spread):
            body += f" ({NEEDS_REPEATS})"
        return _with_words(body, value, count, unit, wanted) if words else body

    def span(self, key: str, low: float, high: float, *, decimals: int | None = None) -> str:
        """From one value (SI) to another as printed; words of sign that hold for both are said once.

        >>> Formatter().span("squish", -0.16e-3, -0.05e-3)
        '0.16 to 0.05 mm OVERLAP: piston meets head'
        >>> Formatter().span("deck_clearance", -0.0001, 0.0002)
        '0.10 mm proud of the deck to 0.20 mm below deck'
        """
        first, last = (self.show(key, end, decimals=decimals) for end in (low, high))
        sign, bare = term(key).sign, self.amount(key, abs(low), decimals=decimals)
        if first == last:
            return first
        if sign is None or (low < 0) != (high < 0) or {first, last} & {sign.says_zero}:
            return f"{first} to {last}"
        alone = self.amount(key, abs(high), decimals=decimals)
        return last.replace(alone, f"{bare} to {alone}", 1)

    def value(self, value: Valued, *, words: bool = True) -> str:
        """A value with its expanded uncertainty."""
        return self.number(value.key, value.number, words=words)

    def number(self, key: str, number: Number, *, words: bool = True) -> str:
        """An uncertain number of a term, SI, with its expanded uncertainty."""
        stated = expand(number)
        return self.show(key, stated.value, None if stated.expanded == 0 else stated.expanded, words=words)


METRIC = Formatter()


def formatter(system: str = System.METRIC) -> Formatter:
    """The formatter of a system of units by its word."""
    return Formatter(System(system))


def show(
    key: str,
    value: float,
    spread: float | None = None,
    *,
    system: str = "metric",
    words: bool = True,
    decimals: int | None = None,
) -> str:
    """As :meth:`Formatter.show`.

    >>> show("deck_clearance", 0.0002)
    '0.20 mm below deck'
    """
    return formatter(system).show(key, value, spread, words=words, decimals=decimals)


def _with_words(body: str, value: float, count: int, unit: str, wanted: Term) -> str:
    if wanted.sign is None:
        return body
    rounded = round(in_unit(value, unit), count)
    if rounded == 0:
        spread = body.partition(" ± ")[2]
        return f"{wanted.sign.says_zero}{f', ± {spread}' if spread else ''}"
    says = wanted.sign.says_minus if value < 0 else wanted.sign.says_plus
    return says.format(body)


def show_value(value: Valued, *, system: str = "metric", words: bool = True) -> str:
    """A value with its expanded uncertainty, in a system of units."""
    return formatter(system).value(value, words=words)


def show_number(key: str, number: Number, *, system: str = "metric", words: bool = True) -> str:
    """An uncertain number of a term, SI, with its expanded uncertainty, in a system of units."""
    return formatter(system).number(key, number, words=words)


def unbroken(text: str) -> str:
    """A text whose figures end no line before their ± or unit.

    >>> unbroken("squish 1.50 ± 0.05 mm").replace(KEPT, "_")
    'squish 1.50_±_0.05_mm'
    """
    if text.startswith("= "):  # a result that stands by itself
        text = f"={KEPT}{text[2:]}"
    kept = text.replace(" ± ", f"{KEPT}±{KEPT}").replace(NEEDS_REPEATS, NEEDS_REPEATS.replace(" ", KEPT))
    return _unit_after_number().sub(KEPT, re.sub(r"\b(stated|this) ±", rf"\1{KEPT}±", kept))


@cache
def _unit_after_number() -> re.Pattern[str]:
    words = sorted((*UNITS, "%", "octane"), key=len, reverse=True)
    return re.compile(rf"(?<=[0-9?]) (?=(?:{'|'.join(map(re.escape, filter(None, words)))})(?![\w/]))")


_SIZE = re.compile(r"\[([^|\]]+)\|([^\]]+)\]")


def sized(text: str, system: str) -> str:
    """The text with its sizes in the units of a system.

    >>> sized("a [1 mm|0.04 in] fillet", "imperial")
    'a 0.04 in fillet'
    """
    return _SIZE.sub(r"\2" if system == "imperial" else r"\1", text)
