"""Repeat readings: mean, scatter, and the scatter pooled over all made the same way.

Three fills of one chamber say little about the scatter; three fills of eight chambers, made alike, say it with sixteen
degrees of freedom (JCGM 100:2008, H.3.6 note and H.5; ISO 5725-2).  From four degrees on the readings speak alone.
Under four a declared repeatability is needed; the readings are joined with it, and refute it where they cannot come of
it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from enum import StrEnum

from ccassist.values.number import Number, standard
from ccassist.values.statistics import fisher, mean, pooled, pooled_squares, squares, student, variance_chance
from ccassist.values.uncertainty import budget, degrees
from ccassist.vocabulary.record import record

ENOUGH = 4  # degrees of freedom; as many a declared figure counts beside readings (common practice, no source)
DECLARED_DOF = 8.0  # a declared figure is taken as known to a quarter (JCGM 100:2008, eq. G.3)
REFUTES = 0.99  # Fisher's F that readings stay under, as often as this, where the declared figure is right


def repeats_of_each(least: int, others: int, made: int = 1, short: int = ENOUGH) -> int:
    """Repeats asked of a thing, so that the scatter is known in the end; by default of one that was read once.

    least : as many as its step asks, whatever is known.
    others : degrees of freedom still to come of other things that are read alike, and are asked as many.
    made : readings of it; short : degrees of freedom that are missing by now.

    >>> [repeats_of_each(3, 2 * (cylinders - 1)) for cylinders in (1, 2, 4)], repeats_of_each(2, 0)
    ([5, 3, 3], 5)
    """
    return max(least, made + short - others)


class Source(StrEnum):
    """Where a repeatability is from."""

    POOLED = "pooled"  # over all readings made one way
    DECLARED = "declared"  # known before anything was read
    JOINED = "joined"  # of both
    CALIBRATION = "calibration"  # what was left about the line of a calibrated scale
    OTHERS = "others"  # of a thing that stands apart: the scatter of the others
    REFUTED = "refuted"  # the readings cannot come of what was declared
    UNKNOWN = "unknown"


@record
class Declared:
    """A repeatability that is known before anything is read.

    standard : standard deviation of one reading, SI.
    words : whose it is, such as "the declared repeatability of dial indicator".
    dof : its degrees of freedom.
    step : what one reading is read to, SI; its rounding scatters readings too (step ÷ √12, JCGM 100:2008, F.2.2.1).
    source, pool : as of the :class:`Scatter` that it gives by itself.
    """

    standard: float
    words: str = "the declared repeatability"
    dof: float = DECLARED_DOF
    step: float = 0.0
    source: Source = Source.DECLARED
    pool: str = ""

    def refuted_by(self, seen: float, dof: int) -> bool:
        """Whether a scatter [SI] with so many degrees of freedom cannot come of it: an F test at 1 %.

        >>> Declared(standard=0.01).refuted_by(0.02, 2), Declared(standard=0.01).refuted_by(0.03, 2)
        (False, True)
        """
        usual = math.hypot(self.standard, self.step / math.sqrt(12))
        return seen > usual * math.sqrt(fisher(dof, max(1, int(self.dof)), REFUTES))

    def joined(self, seen: float, dof: int) -> float:
        """The declared figure, counting four degrees, with a scatter seen [SI]; never less than declared."""
        both = (ENOUGH * self.standard**2 + dof * seen**2) / (ENOUGH + dof)
        return max(self.standard, math.sqrt(both))


@record
class Scatter:
    """Standard deviation of one reading."""

    standard: float  # SI; NaN where it is not known yet, or the readings refute what was declared
    dof: float  # its degrees of freedom
    source: Source  # where it is from
    more: int = 0  # further repeats needed before it is known
    pool: str = ""  # name of the estimate, where other components of uncertainty rest on the same one
    seen: float = math.nan  # that of the readings alone, SI; NaN where there are none to tell
    declared: Declared | None = None  # what was known before, None where nothing was
    beyond: bool = False  # whether the readings cannot come of what was declared


APART = 2  # steps of a scale: readings that span as much or more were not taken at one point of it


def points_apart(readings: Iterable[float], step: float) -> int:
    """At how many points of a scale it was read: one, unless the readings span two steps [their unit] at least.

    Readings nearer together than that may be of one point, and rounded the same way every time.  Of others the
    fractions of a step have nothing to do with each other, so their rounding averages out as scatter does; those that
    are the same count as one.  Source: JCGM 100:2008, F.2.2.1; the two steps are common practice, no source.

    >>> points_apart([430, 431, 432, 432], 1), points_apart([430, 430, 431], 1), points_apart([0.0, 0.45, 1.3], 0.05)
    (3, 1, 3)
    """
    steps = {round(reading / step) for reading in readings} if step > 0 else set[int]()
    return len(steps) if steps and max(steps) - min(steps) >= APART else 1


UNKNOWN = Scatter(standard=math.nan, dof=1.0, source=Source.UNKNOWN, more=2)


def scatter_of(groups: Iterable[Sequence[float]], declared: Declared | None, pool: str = "") -> Scatter:
    """The scatter to use for readings made one way.

    With four degrees or more what the readings show.  With one to three the larger of what was declared and the two
    joined, or nothing at all where the readings refute it; with none what was declared.

    groups : the readings of each thing so measured, SI.
    declared : what is known of one reading before, or None.
    pool : name of the estimate, where it needs one of its own.

    >>> three = [[42.1, 42.3, 42.2], [40.8, 41.0, 40.9]]
    >>> found = scatter_of(three, None); (found.source.value, round(found.standard, 3), found.dof)
    ('pooled', 0.1, 4.0)
    """
    s, dof = pooled(groups)
    if declared is not None and dof == 0:
        known, own = declared.standard, pool or declared.pool
        return Scatter(standard=known, dof=declared.dof, source=declared.source, pool=own, declared=declared)
    beyond = declared is not None and declared.refuted_by(s, dof)
    more = max(0, ENOUGH - dof)
    found = replace(UNKNOWN, more=more, pool=pool, seen=s, declared=declared, beyond=beyond)
    if dof >= ENOUGH:
        return replace(found, standard=s, dof=float(dof), source=Source.POOLED)
    if declared is None or beyond:
        return replace(found, source=Source.REFUTED if beyond else Source.UNKNOWN)
    return replace(found, standard=declared.joined(s, dof), dof=float(ENOUGH + dof), source=Source.JOINED, more=0)


# ---- whether one reading, or one series, stands apart from the rest: tests that suggest and never reject.  Below six
# readings of one thing no test on their own scatter has power: of three, two that happen to agree make the third look
# wild.  There a range test against the scatter of *other* series made the same way is all there is.

RARE = 0.005  # chance at which anything is said of clean readings, for each test of one series
GRUBBS_FROM = 6  # readings; with fewer the test is next to powerless


def by_chance(number: Number) -> float:
    """How far a difference may be from nothing by chance alone, in its own unit; NaN where its ± is not known.

    Student's t at :data:`RARE`, with the effective degrees of freedom (JCGM 100:2008, G.4).
    """
    u = standard(number)
    return u if math.isnan(u) else student(degrees(budget(number)), 1 - RARE) * u


def grubbs(values: Sequence[float], rounding: float = 0.0) -> tuple[int, float]:
    """The reading farthest from the mean: its place, and its distance in standard deviations.

    ``rounding`` [that of the values] is the standard deviation that reading to steps gives by itself: few readings that
    fell on one step by chance are not the finer for it.

    Source: Grubbs, Technometrics 11 (1969) 1; NIST/SEMATECH e-Handbook 1.3.5.17.1.
    """
    centre = mean(values)
    spread = math.hypot(pooled([values])[0], rounding)
    far = max(range(len(values)), key=lambda i: abs(values[i] - centre))
    return far, abs(values[far] - centre) / spread if spread > 0 else 0.0


def grubbs_limit(count: int, chance: float = RARE) -> float:
    """The distance that the farthest of so many alike readings stays under, either way, but for that chance.

    (n−1)/√n · √(t² ÷ (n−2+t²)), t two-sided at chance/n with n−2 degrees of freedom; never above (n−1)/√n.  Source: as
    :func:`grubbs`; ISO 5725-2:1994, Table 5.

    >>> round(grubbs_limit(8, 0.05), 3)
    2.127
    """
    t = student(count - 2, 1 - chance / count)
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


def most_scattered(groups: Sequence[Sequence[float]], least: float = 0.0) -> tuple[int, float]:
    """The series that scatters most, and the chance that one of so many alike series would by chance.

    Cochran's test, its largest variance set against that of all the others together, so that the series need not be
    equally long.

    groups : readings of each thing, SI.
    least : standard deviation below which a scatter is not taken to be, for readings all rounded alike.

    Source: Cochran, Annals of Eugenics 11 (1941) 47; ISO 5725-2:1994, 7.3.3; unequal lengths: 't Lam, Chemom. Intell.
    Lab. Syst. 101 (2010) 43 (from memory).
    """
    sound = [i for i, group in enumerate(groups) if len(group) > 1]
    seen = {i: squares(groups[i]) for i in sound}
    best, rarest = -1, 1.0
    for i in sound:
        own, upper = pooled_squares([seen[i]])
        rest, lower = pooled_squares(seen[j] for j in sound if j != i)
        if lower == 0:
            return -1, 1.0
        ratio = (max(own, least) / max(rest, least)) ** 2 if max(rest, least) > 0 else (math.inf if own > 0 else 1.0)
        chance = len(sound) * variance_chance(ratio, upper, lower) if math.isfinite(ratio) else 0.0
        if chance < rarest:
            best, rarest = i, chance
    return best, min(1.0, rarest)
