"""Repeat readings: mean, scatter, and the scatter pooled over all made the same way.

Three fills of one chamber say little about the scatter; three fills of eight
chambers, made alike, say it with sixteen degrees of freedom (JCGM 100:2008,
H.3.6 note and H.5; ISO 5725-2).  Under four degrees the tool does not guess:
it uses a repeatability that the user declared, or says that it needs more.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

ENOUGH = 4  # degrees of freedom (common practice, no source)
DECLARED_DOF = 8.0  # a declared figure is taken as known to a quarter (JCGM 100:2008, eq. G.3)


@dataclass(frozen=True, kw_only=True)
class Scatter:
    """Standard deviation of one reading.

    Attributes
    ----------
    standard : SI; NaN where it is not known yet.
    dof : its degrees of freedom.
    source : "pooled", "declared", "calibration" or "unknown".
    more : further repeats needed before it is known.
    pool : name of the estimate, where other causes of doubt rest on the same one.
    """

    standard: float
    dof: float
    source: str
    more: int = 0
    pool: str = ""


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


def scatter_of(groups: Sequence[Sequence[float]], declared: float | None) -> Scatter:
    """The scatter to use for readings made one way.

    Parameters
    ----------
    groups : the readings of each thing so measured, SI.
    declared : a declared repeatability (standard deviation, SI), or None.
    """
    s, dof = pooled(groups)
    if dof >= ENOUGH:
        return Scatter(standard=s, dof=float(dof), source="pooled")
    if declared is not None:
        return Scatter(standard=declared, dof=DECLARED_DOF, source="declared")
    return Scatter(standard=math.nan, dof=1.0, source="unknown", more=max(1, ENOUGH - dof))
