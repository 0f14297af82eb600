"""What may be said at 95 %: of a value against a limit or a band, of two things against each other, of all cylinders.

Decision rule against a band: inside only where the whole 95 % interval lies
within the limits, outside only where none of it does (guarded acceptance and
guarded rejection; JCGM 106:2012, clauses 8.3.2 and 8.3.3, from memory).

Of two things everything that they share cancels.  Largest and smallest of
several are picked after looking, so that their difference is judged by the
studentized range for as many as there are, not by Student's t, which is for a
pair named beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from ccassist.values.band import Band
from ccassist.values.display import NEEDS_REPEATS
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal, standard
from ccassist.values.statistics import COVERAGE, studentized_range
from ccassist.values.uncertainty import budget, degrees, expand


class Verdict(Enum):
    """What may be said: of a value against a band (the first three), of one thing against another (the others)."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    CANNOT_TELL = "cannot tell at this ±"
    DIFFERS = "differs"
    NOT_SHOWN = "no difference shown at 95 %"
    ONE_VALUE = "one and the same value serves both"
    NOT_KNOWN = NEEDS_REPEATS


def decide(value: float, spread: float, band: Band) -> Verdict:
    """The verdict for a value ± expanded uncertainty (both SI) against a band.

    An unknown ± (NaN) never decides.  A band without width is taken as an aim:
    inside where the interval holds it.

    >>> from ccassist.values.band import parse_band
    >>> decide(58.4e-6, 0.3e-6, parse_band("at least 58.0 cc", "chamber_volume")).value
    'inside'
    """
    if math.isnan(spread):
        return Verdict.CANNOT_TELL
    low, high = value - spread, value + spread
    if band.low == band.high:
        return Verdict.INSIDE if low <= band.aim <= high else Verdict.OUTSIDE
    if band.low <= low and high <= band.high:
        return Verdict.INSIDE
    if high < band.low or low > band.high:
        return Verdict.OUTSIDE
    return Verdict.CANNOT_TELL


def verdicts(values: Mapping[str, Value], wanted: Mapping[str, Band]) -> dict[str, str]:
    """The verdict in words on every wanted term that is known, by its key."""
    return {
        key: decide(value.nominal, value.expanded, band).value
        for key, band in wanted.items()
        if (value := values.get(key)) is not None
    }


def of_difference(difference: Number, expanded: float) -> Verdict:
    """Whether two things differ: their difference (SI), what they share cancelled, against its ± at 95 % (SI)."""
    if nominal(difference) == 0 and standard(difference) == 0:
        return Verdict.ONE_VALUE
    if math.isnan(expanded):
        return Verdict.NOT_KNOWN
    return Verdict.DIFFERS if abs(nominal(difference)) > expanded else Verdict.NOT_SHOWN


COMPARED = ("chamber_volume", "clearance_volume", "static_ratio", "deck_clearance", "squish")


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Largest less smallest of one term.

    Attributes
    ----------
    key : the term.
    low, high : the numbers of the cylinders with the smallest and the largest.
    difference : largest less smallest, SI; it keeps only the causes of doubt that the two do not share.
    average : mean of all that have it, SI.
    count : how many there were to pick from.
    """

    key: str
    low: int
    high: int
    difference: Number
    average: Number
    count: int = 2

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 %, SI."""
        return apart(self.difference, self.count)


def apart(difference: Number, count: int = 2, rows: int = 1) -> float:
    """Expanded uncertainty of a difference at 95 %, SI; NaN where it is not known.

    Parameters
    ----------
    difference : of two results, its shared causes cancelled.
    count : of how many the two were picked after looking; 2 where they were named beforehand.
    rows : how many such differences, each named beforehand, are looked at together.

    Source: q(0.95; count, ν)/√2 standard uncertainties of the difference,
    Tukey-Kramer (NIST/SEMATECH e-Handbook 7.4.7.1).  Of several rows each has a
    chance of 0.05 ÷ rows to be wrong, so that all hold together with 95 %
    whatever they share: Bonferroni's method (ibid. 7.4.7.3; Dunn, J. Am. Stat.
    Assoc. 56 (1961) 52, from memory).
    """
    u = standard(difference)
    if count == 2 or u == 0 or math.isnan(u):
        return expand(difference, 1 - (1 - COVERAGE) / rows).expanded
    return studentized_range(count, degrees(budget(difference))) / math.sqrt(2) * u


def spread_of(key: str, values: Sequence[tuple[int, Value]]) -> Spread | None:
    """The spread of a term over the cylinders that have it; None where fewer than two do."""
    if len(values) < 2:
        return None
    low = min(values, key=lambda pair: pair[1].nominal)
    high = max(values, key=lambda pair: pair[1].nominal)
    total = sum(v.number for _, v in values)
    return Spread(
        key=key,
        low=low[0],
        high=high[0],
        difference=high[1].number - low[1].number,
        average=total / len(values),
        count=len(values),
    )


def is_shown(spread: Spread) -> bool:
    """Whether the measurement shows a difference at all."""
    return of_difference(spread.difference, spread.expanded) is Verdict.DIFFERS
