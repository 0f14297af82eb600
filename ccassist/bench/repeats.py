"""Repeat readings: mean, scatter, and the scatter pooled over all made the same way.

Three fills of one chamber say little about the scatter; three fills of eight
chambers, made alike, say it with sixteen degrees of freedom (JCGM 100:2008,
H.3.6 note and H.5; ISO 5725-2).  From four degrees on the readings speak
alone.  Under four a declared repeatability is needed; the readings are joined
with it, and refute it where they cannot come of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ccassist.values.coverage import fisher

ENOUGH = 4  # degrees of freedom; as many a declared figure counts beside readings (common practice, no source)
DECLARED_DOF = 8.0  # a declared figure is taken as known to a quarter (JCGM 100:2008, eq. G.3)
REFUTES = 0.99  # Fisher's F that readings stay under, as often as this, where the declared figure is right


@dataclass(frozen=True, kw_only=True)
class Declared:
    """A repeatability that is known before anything is read.

    Attributes
    ----------
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
    source: str = "declared"
    pool: str = ""

    def refuted_by(self, seen: float, dof: int) -> bool:
        """Whether a scatter [SI] with so many degrees of freedom cannot come of it: an F test at 1 %."""
        usual = math.hypot(self.standard, self.step / math.sqrt(12))
        return seen > usual * math.sqrt(fisher(dof, max(1, int(self.dof)), REFUTES))

    def joined(self, seen: float, dof: int) -> float:
        """The declared figure, counting four degrees, with a scatter seen [SI]; never less than declared."""
        both = (ENOUGH * self.standard**2 + dof * seen**2) / (ENOUGH + dof)
        return max(self.standard, math.sqrt(both))


@dataclass(frozen=True, kw_only=True)
class Scatter:
    """Standard deviation of one reading.

    Attributes
    ----------
    standard : SI; NaN where it is not known yet, or the readings refute what was declared.
    dof : its degrees of freedom.
    source : "pooled", "declared", "joined" (of both), "calibration", "refuted" or "unknown".
    more : further repeats needed before it is known.
    pool : name of the estimate, where other causes of doubt rest on the same one.
    seen : that of the readings alone, SI; NaN where there are none to tell.
    declared : what was known before, None where nothing was.
    beyond : whether the readings cannot come of what was declared.
    """

    standard: float
    dof: float
    source: str
    more: int = 0
    pool: str = ""
    seen: float = math.nan
    declared: Declared | None = None
    beyond: bool = False


UNKNOWN = Scatter(standard=math.nan, dof=1.0, source="unknown", more=2)


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean, summed exactly."""
    return math.fsum(values) / len(values)


def pooled(groups: Iterable[Sequence[float]]) -> tuple[float, int]:
    """Pooled standard deviation and its degrees of freedom.

    √(Σ(n−1)s² ÷ Σ(n−1)) over groups whose means may differ.

    >>> s, dof = pooled([[1.0, 1.2], [5.0, 5.2]]); (round(s, 6), dof)
    (0.141421, 2)
    """
    squares, dof = 0.0, 0
    for group in groups:
        if len(group) > 1:
            centre = mean(group)
            squares += math.fsum((v - centre) ** 2 for v in group)
            dof += len(group) - 1
    return (math.sqrt(squares / dof) if dof else math.nan), dof


def scatter_of(groups: Iterable[Sequence[float]], declared: Declared | None, pool: str = "") -> Scatter:
    """The scatter to use for readings made one way.

    With four degrees or more what the readings show.  With one to three the
    larger of what was declared and the two joined, or nothing at all where
    the readings refute it; with none what was declared.

    Parameters
    ----------
    groups : the readings of each thing so measured, SI.
    declared : what is known of one reading before, or None.
    pool : name of the estimate, where it needs one of its own.
    """
    s, dof = pooled(groups)
    if declared is not None and dof == 0:
        known, own = declared.standard, pool or declared.pool
        return Scatter(standard=known, dof=declared.dof, source=declared.source, pool=own, declared=declared)
    beyond = declared is not None and declared.refuted_by(s, dof)
    more = max(0, ENOUGH - dof)
    found = replace(UNKNOWN, more=more, pool=pool, seen=s, declared=declared, beyond=beyond)
    if dof >= ENOUGH:
        return replace(found, standard=s, dof=float(dof), source="pooled")
    if declared is None or beyond:
        return replace(found, source="refuted" if beyond else "unknown")
    return replace(found, standard=declared.joined(s, dof), dof=float(ENOUGH + dof), source="joined", more=0)
