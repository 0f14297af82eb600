"""How far the cylinders lie apart, with everything they share cancelled.

Largest and smallest are picked after looking, so that their difference is
judged by the studentized range for as many cylinders as there are, not by
Student's t, which is for a pair named beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ccassist.values.measured import Number, Value, budget, degrees, expand, nominal, standard
from ccassist.values.statistics import COVERAGE, studentized_range

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
    return abs(nominal(spread.difference)) > spread.expanded
