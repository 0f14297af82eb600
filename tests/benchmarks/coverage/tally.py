"""Simulated jobs through the real pipeline, and what share of the stated intervals holds the truth."""

from __future__ import annotations

import math
import multiprocessing
import re
import statistics
from collections.abc import Iterable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from itertools import chain
from random import Random

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors
from ccassist.values.number import Number
from ccassist.values.uncertainty import Share, budget, expand

from .methods import METHODS

SEED = "bench"
ENOUGH = 4  # pooled degrees of freedom from which an interval must keep its promise
LEAST, MOST, FEW = 0.93, 0.975, 0.99  # the last below those degrees, where a declared figure serves
FULL = 2000  # jobs a method of the full table, in which nothing is put down to chance
OFF_CENTRE = {"weighing, unread and warm"}  # a bench far from what is taken for it is the point of the line
# One reading rests on what is declared and nothing else; a hand so much worse does not show.  Printed, not judged.
BY_THE_RULE = {"drop read once, hand × 1.5"}
MOST_BIAS = 0.1  # of the mean expanded uncertainty
NARROW, WIDE = 0.9, 1.3  # of U ÷ (2 × the root of the mean squared error)
TWO_DELIVERIES = {"burette with a refill", "full syringes and a rest"}  # two errors of one limit, in a row or against


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One stated interval: truth, value, expanded uncertainty (NaN where none is stated), SI.

    ``top`` is the share of the variance that the largest limit makes (see :func:`_largest_limit`),
    ``dof`` the fewest degrees of freedom behind any scatter in it, ``few`` whether that is a declared one.
    """

    method: str
    quantity: str
    truth: float
    value: float
    expanded: float
    top: float
    dof: float
    few: bool

    @property
    def held(self) -> bool:
        """Whether the interval holds the truth."""
        return abs(self.value - self.truth) <= self.expanded


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the table, SI: medians of ``top`` and ``dof``, means of the rest over the stated intervals.

    ``rms`` : root of the mean squared error; ``few`` : whether a declared scatter is behind most of them.
    """

    method: str
    quantity: str
    jobs: int
    stated: int
    held: int
    expanded: float
    bias: float
    top: float
    dof: float
    rms: float = math.nan
    few: bool = False

    @property
    def coverage(self) -> float:
        """Share of the stated intervals that hold the truth; NaN where none was stated."""
        return self.held / self.stated if self.stated else math.nan

    @property
    def biased(self) -> bool:
        """Whether the mean error is more than a tenth of the mean expanded uncertainty, beyond chance."""
        # A mean error strays by about half of U over the root of the number; none of it is excused in the full table.
        chance = 1.5 / math.sqrt(self.stated) if self.stated > 0 and self.jobs < FULL else 0.0
        if self.method in OFF_CENTRE:
            return False
        return self.stated > 0 and abs(self.bias) > self.expanded * (MOST_BIAS + chance)

    @property
    def low(self) -> bool:
        """Whether too few intervals hold the truth, beyond chance."""
        if self.method in BY_THE_RULE:
            return False
        return self.stated > 0 and self.held < self.stated * LEAST - self._chance(LEAST)

    @property
    def width(self) -> float:
        """The mean ± over twice the root of the mean squared error: 1 where it is as wide as the errors ask."""
        return self.expanded / (2 * self.rms) if self.rms > 0 else math.nan

    @property
    def off(self) -> bool:
        """Whether it is too narrow or too wide, beyond chance, and nothing says why.

        One limit over half of the variance, or two of them, are as they are; under four degrees Student's factor alone
        is over 1.3 times that of the normal, and a hand that is not what is declared shows in nothing.
        """
        # The root of a mean square strays by 1/√(2n) of it.
        chance = 3 / math.sqrt(2 * self.stated) if self.stated > 0 and self.jobs < FULL else 0.0
        if not self.stated or self.top > 0.5 or self.few or self.method in TWO_DELIVERIES | OFF_CENTRE:
            return False
        return not NARROW * (1 - chance) <= self.width <= WIDE * (1 + chance)

    @property
    def generous(self) -> str:
        """Why more intervals than promised hold the truth; "" where they do not, or where nothing explains it."""
        if not self.stated or self.coverage <= MOST:
            return ""
        if self.top > 0.5:
            return "one rectangular cause makes over half of the variance"
        if "unread" in self.method:
            return "a temperature that was not read is usually nearer"
        if "× 0.5" in self.method:
            return "the hand is steadier than declared"
        return "under four degrees" if self.few and self.coverage <= FEW + self._chance(FEW) / self.stated else ""

    @property
    def high(self) -> bool:
        """Whether more intervals than promised hold the truth, beyond chance and without a reason that is told."""
        beyond = self.held > self.stated * MOST + self._chance(MOST)
        return self.stated > 0 and beyond and not self.generous

    def _chance(self, share: float) -> float:
        """How far a count strays by chance: three standard deviations of a binomial count; none in the full table."""
        return 0.0 if self.jobs >= FULL else 3 * math.sqrt(self.stated * share * (1 - share))


def outcomes(task: tuple[str, int]) -> list[Outcome]:
    """The intervals of one simulated job; the same method and number always give the same job.

    Raises AssertionError where the pipeline finds an error in it.
    """
    method, number = task
    made = METHODS[method](Random(f"{SEED}:{method}:{number}"))
    loaded = parse_job(made.text)
    result = survey(loaded.job)
    faults = errors([*loaded.findings, *result.findings])
    if faults:
        raise AssertionError(f"{method}, job {number}: {faults[0]}")
    found = []
    for truth in made.truths:
        value = result.cylinders[0].values[truth.key].number
        if truth.less:
            value = value - result.cylinders[truth.less - 1].values[truth.key].number
        found.append(_outcome(method, truth.quantity, truth.value, value))
    return found


def _outcome(method: str, quantity: str, truth: float, value: Number) -> Outcome:
    stated, shares = expand(value), budget(value)
    return Outcome(
        method=method,
        quantity=quantity,
        truth=truth,
        value=stated.value,
        expanded=stated.expanded,
        top=_largest_limit(shares),
        dof=min((share.cause.dof for share in shares), default=math.inf),
        few=any(share.cause.source.startswith("declared repeatability") for share in shares),
    )


def _largest_limit(shares: Sequence[Share]) -> float:
    """Share of the variance that one limit makes: a scale's error, or reading one scale, of whichever cylinder."""
    sums: dict[str, float] = {}
    for share in shares:
        if share.cause.shape in ("rectangular", "triangular"):
            words = re.sub(r"^cylinder \d+: ", "", share.cause.name)
            sums[words] = sums.get(words, 0.0) + share.share
    return max(sums.values(), default=0.0)


def line_of(found: Sequence[Outcome]) -> Line:
    """A line of the table, from the outcomes of one method and quantity."""
    stated = [one for one in found if not math.isnan(one.expanded)]
    return Line(
        method=found[0].method,
        quantity=found[0].quantity,
        jobs=len(found),
        stated=len(stated),
        held=sum(one.held for one in stated),
        expanded=statistics.fmean(one.expanded for one in stated) if stated else math.nan,
        bias=statistics.fmean(one.value - one.truth for one in stated) if stated else math.nan,
        top=statistics.median(one.top for one in stated) if stated else math.nan,
        dof=statistics.median(one.dof for one in stated) if stated else math.nan,
        rms=math.sqrt(statistics.fmean((one.value - one.truth) ** 2 for one in stated)) if stated else math.nan,
        few=sum(one.few for one in stated) > len(stated) / 2,
    )


def tally(jobs: int, methods: Iterable[str] = tuple(METHODS), workers: int = 1) -> Iterator[Line]:
    """The table, line by line: every method, every quantity."""
    with multiprocessing.get_context("spawn").Pool(workers) if workers > 1 else nullcontext() as pool:
        for method in methods:
            tasks = [(method, number) for number in range(jobs)]
            lists = pool.map(outcomes, tasks, chunksize=50) if pool else map(outcomes, tasks)
            groups: dict[str, list[Outcome]] = {}
            for one in chain.from_iterable(lists):
                groups.setdefault(one.quantity, []).append(one)
            yield from map(line_of, groups.values())
