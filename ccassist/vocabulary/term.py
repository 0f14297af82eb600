"""What a term is: one quantity of the trade, declared as one row with its texts as people write them.

Ranges and widths are written in the unit people say ("20 to 300 mm", "0.5 cc or 1 %") and read as SI when they are
asked for: m, m³, m², rad, Pa, K, kg, s, m/s, 1/s, kg/m³.  The words never carry a unit.  What is usual is common
practice, no source; what is possible is far outside it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import KW_ONLY, field
from functools import cached_property

from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS, UNITS, Kind, Origin, System, conversion

Range = tuple[float, float]
_END = r"(-?[0-9.]+|inf)(?: ([^\d\s].*?))?"
_RANGE = re.compile(rf"{_END} to {_END}")


@record
class Sign:
    """The words that stand for the sign of a quantity, so it is never bare.

    ``plus``, ``minus`` and ``zero`` are the words accepted from the user; ``says_plus``, ``says_minus`` and
    ``says_zero`` are how the value is shown, with ``{}`` for the unsigned amount and its unit.  ``bare_is_plus`` is for
    quantities whose unsigned number nobody reads as negative.
    """

    plus: tuple[str, ...]
    minus: tuple[str, ...]
    zero: tuple[str, ...]
    says_plus: str
    says_minus: str
    says_zero: str
    bare_is_plus: bool = False


def sign(plus: str, minus: str, zero: str, says: str, *, bare_is_plus: bool = False) -> Sign:
    """A sign from its words, commas between; ``says`` is how plus, minus and nothing are shown, bars between."""
    says_plus, says_minus, says_zero = says.split(" | ")
    return Sign(
        plus=tuple(plus.split(", ")),
        minus=tuple(minus.split(", ")),
        zero=tuple(zero.split(", ")),
        says_plus=says_plus,
        says_minus=says_minus,
        says_zero=says_zero,
        bare_is_plus=bare_is_plus,
    )


@record(kw_only=False)
class Width:
    """A half-width: at least so much (SI), or a share of the value where that is more."""

    least: float
    share: float = 0.0

    def at(self, value: float) -> float:
        """The half-width of a value, SI.

        >>> round(Width(0.5e-6, 0.01).at(80e-6) * 1e6, 6)
        0.8
        """
        return max(self.least, self.share * abs(value))


@record(kw_only=False)
class Silent:
    """How well a value is known of which no ± is said, by where it comes from: the usual tool, a maker, a guess.

    What was measured is so known with 95 % (a normal); a maker's figure and a guess lie anywhere within.  Common
    practice, no source.
    """

    measured: Width
    maker: Width
    assumed: Width

    def of(self, origin: str) -> Width:
        """The width for an origin; where nobody says it, as a maker's figure.

        >>> silent("0.05 mm; 0.10 mm; 0.3 mm").of("").least
        0.0001
        """
        return {Origin.MEASURED: self.measured, Origin.ASSUMED: self.assumed}.get(Origin(origin), self.maker)


@record(kw_only=False)
class Term:
    """One quantity of the trade: a row of the vocabulary, lists and ranges as texts.

    widths : how well it is known where no ± is said: "measured; maker's; assumed"; as its kind says where empty.
    counted : whether it is a number of things; else the unit in ``usual`` says the kind, and a ratio has none.
    eg : how a metric and how an imperial shop would write one, " | " between; empty where it is never asked for.
    stated : where the job file may state it: "engine" (once), "part" (a part or cylinder too), or names of sections.
    beside : what is usual of it beside another term, as shares of that, such as "0.97 to 1.1 of bore": outside it one
        is asked too, where both are known; common practice, no source.
    signed : words that say the sign with the quantity, by the word of the sign that they say.
    """

    key: str  # name used in job files, JSON and as parameter name of relations
    symbol: str  # short form for the algebra
    meaning: str  # what exactly is meant, in one sentence
    usual: str  # range outside which the user is asked "are you sure?"; SI as :attr:`plausible`
    limits: str  # range outside which a value is refused; SI as :attr:`possible`
    widths: str = ""
    _: KW_ONLY
    called: str = ""  # the trade's word for it; the key with spaces where empty
    counted: bool = False
    sign: Sign | None = None  # sign in words, or None where the quantity has no sign to mistake
    small: bool = False  # shown in the finer unit of its kind (thou rather than inch)
    units: str = ""  # shown units where they differ from the kind's, "metric | imperial"
    basis: str = ""  # of a pressure, what it counts from: "gauge" or "absolute", which may be said behind the unit
    usually: str = ""  # an ordinary value, for an example; a middle of the usual range where empty
    eg: str = ""
    stated: str = ""
    wanted: int = 0  # its place among what may be wanted, from 1; 0 where it may not be
    beside: str = ""
    alike: str = ""  # how far apart is worth a question among cylinders and repeats; "" where they need not be alike
    caution: str = ""  # the mistake commonly made with it
    also: str = ""  # other words of the trade for it, of which some mean other terms too
    signed: Mapping[str, str] = field(default_factory=dict)

    __eq__, __hash__ = object.__eq__, object.__hash__  # one row, one term

    def __repr__(self) -> str:
        return f"term({self.key!r})"

    @cached_property
    def name(self) -> str:
        """The trade's word for it."""
        return self.called or self.key.replace("_", " ")

    @cached_property
    def kind(self) -> Kind:
        """Which units may be written."""
        unit = _ends(self.usual)[1][1]
        return Kind.COUNT if self.counted else UNITS[unit][0] if unit else Kind.RATIO

    @cached_property
    def says(self) -> dict[str, str]:
        """Words that say the sign with the quantity -> which of the sign's own words each says."""
        return {word: own for own, words in self.signed.items() for word in _listed(words)}

    @property
    def synonyms(self) -> tuple[str, ...]:
        """Other words of the trade for it; some mean other terms too."""
        return (*_listed(self.also), *self.says)

    @cached_property
    def places(self) -> tuple[str, ...]:
        """Where the job file may state it."""
        return _listed(self.stated)

    @property
    def difference(self) -> bool:
        """Whether it is a difference of temperatures, which a unit with a zero of its own cannot say."""
        return self.units.startswith("K") and self.kind is Kind.TEMPERATURE

    @cached_property
    def plausible(self) -> Range:
        """SI range outside which the user is asked "are you sure?".

        >>> from ccassist.vocabulary import term
        >>> term("bore").plausible
        (0.02, 0.3)
        """
        return span(self.usual)

    @cached_property
    def possible(self) -> Range:
        """SI range outside which a value is refused."""
        return span(self.limits)

    @cached_property
    def usual_share(self) -> tuple[str, Range] | None:
        """The key of the term beside which it is judged, and what is usual as shares of that; None where it is not.

        >>> from ccassist.vocabulary import term
        >>> term("gasket_bore").usual_share, term("bore").usual_share
        (('bore', (0.97, 1.1)), None)
        """
        shares, _, other = self.beside.partition(" of ")
        return (other, span(shares)) if self.beside else None

    @cached_property
    def typical(self) -> float | None:
        """SI value for an example; a middle of the plausible range where None."""
        return span(f"{self.usually} to {self.usually}")[0] if self.usually else None

    @cached_property
    def silent(self) -> Silent:
        """How well it is known where no ± is said: its own widths, or those of its kind."""
        return silent(self.widths or self.kind.silent)

    def silent_width(self, origin: str, value: float) -> float:
        """Half-width of a value of which no ± is said, SI; where nobody says its origin, as a maker's figure.

        >>> from ccassist.vocabulary import term
        >>> round(term("chamber_volume").silent_width("assumed", 46e-6) * 1e6, 6)
        4.6
        """
        return self.silent.of(origin).at(value)

    @cached_property
    def alike_within(self) -> Width:
        """How far apart is worth a question among cylinders and repeats; of a term that says it."""
        return width(self.alike)

    @cached_property
    def examples(self) -> tuple[str, ...]:
        """How a metric and how an imperial shop would write one; empty where it is never asked for."""
        return _pair(self.eg)

    def example(self, system: str = System.METRIC) -> str:
        """How a value may be written, as the row gives it; "" where the term is never asked for.

        >>> from ccassist.vocabulary import term
        >>> term("gasket_thickness").example(), term("gasket_thickness").example("imperial")
        ('1.30 mm', '33 thou')
        """
        return self.examples[SYSTEMS.index(System(system))] if self.eg else ""

    @cached_property
    def _shown(self) -> tuple[str, ...]:
        if self.units:
            return _pair(self.units)
        metric, imperial = self.kind.shown
        return metric, "thou" if self.small and self.kind is Kind.LENGTH else imperial

    def shown(self, system: str = System.METRIC) -> str:
        """The unit in which it is shown and in which bare numbers are taken.

        >>> from ccassist.vocabulary import term
        >>> term("bore").shown("imperial"), term("deck_clearance").shown("imperial"), term("displacement").shown()
        ('in', 'thou', 'cc')
        """
        return self._shown[SYSTEMS.index(System(system))]


def _listed(text: str) -> tuple[str, ...]:
    return tuple(text.split(", ")) if text else ()


def _pair(text: str) -> tuple[str, ...]:
    """What stands for metric and for imperial shops, the same for both where one stands alone."""
    first, bar, second = text.partition(" | ")
    return (first, second if bar else first) if text else ()


def span(text: str) -> Range:
    """A range as SI; a unit behind the last end serves both.

    >>> span("-1 to 2 mm"), span("0.001 cc to 10 l"), span("3.8 to 24")
    ((-0.001, 0.002), (1e-09, 0.01), (3.8, 24.0))
    """
    low, high = _ends(text)
    return _si(*low), _si(*high)


def _ends(text: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """Both ends of a range as they are written, each with its unit; "" for none."""
    found = _RANGE.fullmatch(text)
    if not found:
        raise ValueError(f"no range: {text}")
    low, unit, high, last = found.groups(default="")
    return (low, unit or last), (high, last)


def _si(number: str, unit: str) -> float:
    """A number in a unit as SI, in exact decimals and rounded once: −30 °C is 243.15 K."""
    from decimal import Decimal

    factor = conversion(unit)
    return float(Decimal(number) * Decimal(repr(factor.scale)) + Decimal(repr(factor.zero)))


def silent(text: str) -> Silent:
    """The widths of a text such as "0.5 cc or 1 %; 1 cc or 2.5 %; 10 %": measured, a maker's, assumed."""
    measured, maker, assumed = (width(part) for part in text.split("; "))
    return Silent(measured, maker, assumed)


def width(text: str) -> Width:
    """A half-width of a text: an amount, a share of the value in %, or the larger of both.

    >>> width("0.5 cc or 1 %"), width("6 %"), width("2 K")
    (Width(least=5e-07, share=0.01), Width(least=0.0, share=0.06), Width(least=2.0, share=0.0))
    """
    least = share = 0.0
    for part in text.split(" or "):
        number, _, unit = part.partition(" ")
        if unit == "%":
            share = float(number) / 100
        else:
            least = _si(number, unit) - conversion(unit).zero
    return Width(least, share)
