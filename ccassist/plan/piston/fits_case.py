"""The order in the engine, with its numbers at hand: what every check of the fits looks at."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from ccassist.analysis.cylinder import Cylinder
from ccassist.plan.expected import Span, reach
from ccassist.plan.piston.specification import Specification
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import listed
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record


@record(kw_only=False)
class Fault:
    """What does not hold: the check's key, what is wrong in words with its amounts."""

    key: str
    wrong: str
    right: str = ""  # the way out, where it is another than the check's own
    settled: str = ""  # words of the order that settle it already, "" where none do


@record(kw_only=False)
class Unseen:
    """What could not be looked at, in words: what, and what is not given for it."""

    what: str
    lacks: str


Told = Fault | Unseen


@record
class FitCase:
    """One specification, its units, and its numbers."""

    spec: Specification
    system: str

    @property
    def fmt(self) -> Formatter:
        """What makes every printed number of it."""
        return formatter(self.system)

    @property
    def cylinders(self) -> tuple[Cylinder, ...]:
        """Every cylinder with the ordered piston in it."""
        return self.spec.planned.cylinders

    @cached_property
    def first(self) -> Mapping[str, Value]:
        """The first cylinder's values; what belongs to the piston is the same in all."""
        return self.cylinders[0].values

    def number(self, key: str) -> Number | None:
        """A number of the piston: of the order, else of the cylinders, SI; None where it is not given."""
        value = self.spec.order.get(key) or self.first.get(key)
        return None if value is None else value.number

    def span(self, key: str) -> Span | None:
        """The same from its lowest to its highest."""
        number = self.number(key)
        return None if number is None else reach(number)

    def all(self, key: str) -> list[Number]:
        """A term of every cylinder that has it."""
        return [one.values[key].number for one in self.cylinders if key in one.values]

    def worst(self, cylinder: int, key: str) -> Span | None:
        """What a term of a cylinder comes to at its worst; None where it is not known."""
        return self.spec.worst.get(cylinder, {}).get(key)

    @property
    def least_bore(self) -> Span | None:
        """The smallest bore at its worst."""
        spans = [reach(number) for number in self.all("bore")]
        return min(spans, key=lambda span: span.low, default=None)

    def said(self, key: str, value: float) -> str:
        """An amount as printed, without words of sign."""
        return self.fmt.show(key, value, words=False)

    def told(self, key: str, value: float) -> str:
        """An amount as printed, its sign in words."""
        return self.fmt.show(key, value)

    def between(self, key: str, span: Span) -> str:
        """A span as printed."""
        return self.fmt.span(key, span.low, span.high)

    def against(self, key: str, span: Span, band: Band) -> str:
        """A span as printed, as finely as it takes to see what of it lies outside a band."""
        out = [(span.low, band.low)] if span.low < band.low else []
        out += [(span.high, band.high)] if span.high > band.high else []
        decimals = max((self.fmt.telling(key, pair) for pair in out), default=None)
        return self.fmt.span(key, span.low, span.high, decimals=decimals)

    def short(self, key: str, value: float, limit: float, *, words: bool = False) -> str:
        """An amount as printed, as finely as it takes to see that it is not the limit it falls short of."""
        return self.fmt.show(key, value, words=words, decimals=self.fmt.telling(key, (value, limit)))

    def lacking(self, *keys: str) -> str:
        """Which of these are not given, by name; "" where all are."""
        return listed([term(key).name for key in keys if self.number(key) is None])
