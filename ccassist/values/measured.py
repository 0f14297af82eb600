"""A value with its ± and where it comes from; what the ± rests on; and values as plain data for JSON.

A cause of doubt is without ground where :attr:`ccassist.values.uncertainty.Cause.guess` says why: the value is assumed,
or no ± of it is said and the usual one is taken, or nobody says where it comes from, or what should have been read (a
temperature) was not.  That a ± holds the true value with 95 % confidence may be said only where what is without ground
makes at most :data:`MOST` of the variance (:attr:`Ground.sure`).  Of a difference of two numbers what they share
cancels first.  A limit that a maker will hold (the tolerance of an order) is no guess; a number of the order without
one is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import field
from typing import Any

from ccassist.values.display import METRIC, Formatter, formatter, places, spread_text
from ccassist.values.findings import capital
from ccassist.values.number import Number, nominal
from ccassist.values.pint_bridge import Pints, pint_quantity
from ccassist.values.uncertainty import Cause, Share, budget, expand
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, conversion

MOST = 0.05  # of the variance: what may be without ground where 95 % is said
CONFIDENCE = 0.95
WITHHELD = "95 % cannot be said of every ± here:"
SURE = "± holds the true value with 95 % confidence."
NAMED = 4  # guesses named in one sentence


@record(kw_only=False)
class Value:
    """A term with its number and the story behind it.

    key : the term.
    number : SI; a float, or an uncertain number.
    origin : where it comes from.
    how : how it was found, in words.
    line : line of the job file, where it has one.
    raw : the texts by which the job states it, as written; none for what was read in a series or computed.
    """

    key: str
    number: Number
    origin: Origin
    how: str = ""
    line: int | None = None
    raw: tuple[str, ...] = field(default=())

    @property
    def nominal(self) -> float:
        """The plain SI number."""
        return nominal(self.number)

    @property
    def expanded(self) -> float:
        """Expanded uncertainty at 95 %, SI; NaN where it cannot be stated yet."""
        return expand(self.number).expanded

    @property
    def low(self) -> float:
        """Lower end of its interval at 95 %, SI; the plain number where the ± is not known yet."""
        return expand(self.number).low

    @property
    def high(self) -> float:
        """Upper end of its interval at 95 %, SI; the plain number where the ± is not known yet."""
        return expand(self.number).high

    def quantity(self) -> Pints:
        """Its number with its ± as a quantity of Pint, in SI units; Pint is loaded when this is asked for."""
        return pint_quantity(self.key, self.number)

    def to_dict(self, system: str = "metric") -> dict[str, Any]:
        """Plain data, SI, with its origin and its words; ``system`` : units of the text."""
        return value_to_dict(self, formatter(system))


def computed(key: str, number: Number, how: str = "") -> Value:
    """A term that follows from others, SI, and how, in words."""
    return Value(key, number, Origin.COMPUTED, how=how)


Result = tuple[str, Value]  # whose it is, in words ("" for the whole engine), and what


@record
class Ground:
    """What a number's ± rests on."""

    share: float  # of the variance, what is without ground; 0 for an exact number, NaN where the ± is not known yet
    guesses: tuple[Share, ...]  # the causes without ground, the largest first
    number: Number  # the number itself

    @property
    def expanded(self) -> float:
        """The number's ±, SI; NaN where it is not known yet."""
        return expand(self.number).expanded

    @property
    def sure(self) -> bool:
        """Whether 95 % may be said of the ±."""
        return self.share <= MOST

    @property
    def taken(self) -> float:
        """How much of the ± is without ground, SI: its part of the variance as a ±."""
        return self.expanded * math.sqrt(self.share)


def ground_of(number: Number) -> Ground:
    """What the ± of a number rests on; a plain number is exact."""
    rows = budget(number)
    guesses = tuple(row for row in rows if row.cause.guess)
    unknown = any(math.isnan(row.standard) for row in rows)
    share = math.nan if unknown else math.fsum(row.share for row in guesses)
    return Ground(share=share, guesses=guesses, number=number)


def at_confidence(number: Number) -> str:
    """Behind a verdict: " at 95 %" where that may be said of the ± it rests on, else what that is."""
    return " at 95 %" if ground_of(number).sure else " by a ± only taken as usual"


def judged_at(numbers: Iterable[Number]) -> str:
    """What stands over verdicts: 95 % where it may be said of every ± they rest on."""
    return "at 95 %" if all(ground_of(number).sure for number in numbers) else "verdict"


def ground_text(key: str, number: Number, fmt: Formatter = METRIC, whose: str = "") -> str:
    """How much of a result's ± is only taken, how many guesses that are, and what to measure first; "" where sure.

    ``whose`` : the cylinder, in words.  Nothing is said where the ± is not known yet.
    """
    rests = ground_of(number)
    if rests.sure or math.isnan(rests.share):
        return ""
    whole, taken = _parts(key, rests, fmt)
    named = f"{term(key).name}{f' of {whose}' if whose else ''}"
    count = f"{len(rests.guesses)} guess{'es' if len(rests.guesses) > 1 else ''}"
    return (
        f"{named}: of the {whole}, {taken} is only taken as usual or assumed, {count} "
        f"({guessed_names(row.cause for row in rests.guesses)}); first {rests.guesses[0].cause.remedy}"
    )


def _parts(key: str, rests: Ground, fmt: Formatter) -> tuple[str, str]:
    """The whole ± with its unit, and what of it is without ground."""
    unit = fmt.unit(key)
    scale = conversion(unit).scale
    decimals = places(unit, rests.expanded / scale)
    whole, taken = (spread_text(size / scale, decimals) for size in (rests.expanded, rests.taken))
    return f"± {whole} {unit}".strip(), taken


def guessed_names(causes: Iterable[Cause]) -> str:
    """What is guessed, by name, each once; the first few where there are many."""
    names = list(dict.fromkeys(TERMS[c.key].name if c.key in TERMS else c.subject or c.name for c in causes))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return ", ".join(names[:NAMED]) + more


def withheld(results: Iterable[Result]) -> list[Result]:
    """Of every term among the results the one with the most guessed in it, where 95 % cannot be said of it."""
    worst: dict[str, tuple[float, Result]] = {}
    for whose, value in results:
        share = ground_of(value.number).share
        if share > MOST and (value.key not in worst or share > worst[value.key][0]):
            worst[value.key] = share, (whose, value)
    return [result for _, result in worst.values()]


def confidence_texts(results: Iterable[Result], fmt: Formatter = METRIC) -> list[str]:
    """What may be said of the ± of results shown together: 95 %, or of which it may not be said, and why.

    The first result of which it may not be said is told in full.  Nothing where no ± is known yet.
    """
    shown = [(whose, value) for whose, value in results if math.isfinite(value.expanded)]
    unsure = withheld(shown)
    if not unsure:
        return [SURE] if shown else []
    none_left = {value.key for _, value in shown} == {value.key for _, value in unsure}
    lead = "Of no ± here can it be said that it holds with 95 %." if none_left else f"{SURE[:-1]}, but for these:"
    return [lead, *_told(unsure, fmt)]


def unsure_texts(results: Iterable[Result], fmt: Formatter = METRIC) -> list[str]:
    """Why 95 % may not be said of results that are shown with it; nothing where it may."""
    unsure = withheld(results)
    return [WITHHELD, *_told(unsure, fmt)] if unsure else []


def _told(unsure: Sequence[Result], fmt: Formatter) -> list[str]:
    """The first in full, the others in a few words."""
    (whose, first), *rest = unsure
    text = capital(ground_text(first.key, first.number, fmt, whose))
    return [f"{text}.", *([_likewise(rest, fmt)] if rest else [])]


def _likewise(results: Iterable[Result], fmt: Formatter) -> str:
    """The other results of which 95 % may not be said, each in a few words."""
    told = []
    for _, value in results:
        whole, taken = _parts(value.key, ground_of(value.number), fmt)
        told.append(f"{term(value.key).name} ({taken} of {whole})")
    return f"Likewise {', '.join(told)}."


def ground_to_dict(number: Number) -> dict[str, Any]:
    """Plain data: the confidence that may be said (null where none), the share without ground, the count of guesses."""
    rests = ground_of(number)
    return {
        "confidence": CONFIDENCE if rests.sure else None,
        "without_ground": None if math.isnan(rests.share) else rests.share,
        "guesses": len(rests.guesses),
    }


def guess_to_dict(row: Share) -> dict[str, Any]:
    """One guess as plain data: what, why it is one, its standard part (SI) and share, and what would end it."""
    return {
        "what": row.cause.subject or row.cause.name,
        "key": row.cause.key,
        "why": row.cause.guess,
        "standard_uncertainty": None if math.isnan(row.standard) else row.standard,
        "share": None if math.isnan(row.share) else row.share,
        "remedy": row.cause.remedy,
    }


def known(number: float) -> float | None:
    """JSON has no word for a number that is not known or has no end."""
    return number if math.isfinite(number) else None


def number_to_dict(key: str, number: Number, fmt: Formatter) -> dict[str, Any]:
    """A number of a term, SI, with its ± and its words."""
    stated = expand(number)
    return {
        "value": stated.value,
        "expanded_uncertainty": known(stated.expanded),
        "text": fmt.number(key, number),
        **ground_to_dict(number),
    }


def value_to_dict(value: Value, fmt: Formatter) -> dict[str, Any]:
    """One value: SI number, standard and expanded uncertainty, degrees of freedom, origin, words.

    A ± that is not known yet is null.
    """
    stated = expand(value.number)
    unknown_yet = math.isnan(stated.standard)
    return {
        "name": term(value.key).name,
        "value": stated.value,
        "unit": term(value.key).kind.si,
        "standard_uncertainty": None if unknown_yet else stated.standard,
        "expanded_uncertainty": None if unknown_yet else stated.expanded,
        "coverage_factor": None if unknown_yet else stated.factor,
        "degrees_of_freedom": known(stated.dof),
        "origin": value.origin,
        "how": value.how,
        "line": value.line,
        "text": fmt.value(value),
        **ground_to_dict(value.number),
    }
