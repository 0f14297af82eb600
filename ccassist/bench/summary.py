"""One series in figures: mean, spread, and the scatter and t-factor by which its mean is in doubt."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ccassist.bench.cell import Reduced
from ccassist.bench.repeats import mean
from ccassist.coverage import student
from ccassist.measured import Cause, budget

REMEDY = "more repeats"  # as the cause of a mean's repeat scatter says it


@dataclass(frozen=True, kw_only=True)
class Summary:
    """The counted readings of one series, SI.

    Attributes
    ----------
    count, mean, spread : how many, their mean, largest less smallest.
    standard : standard deviation of one reading, as charged; NaN where it is not known yet.
    dof : its degrees of freedom.
    factor : Student's t for them at 95 %; NaN with the standard deviation.
    """

    count: int
    mean: float
    spread: float
    standard: float
    dof: float
    factor: float

    @property
    def expanded(self) -> float:
        """± of the mean at 95 % from the scatter of its readings alone, SI."""
        return self.factor * self.standard / math.sqrt(self.count)


def scatter_cause(one: Reduced) -> tuple[Cause, float] | None:
    """The cause of doubt that more repeats would make smaller, and the standard deviation of the mean by it, SI."""
    for value in one.values.values():
        for share in budget(value.number):
            if share.cause.remedy == REMEDY and share.cause.pool:
                return share.cause, abs(share.standard)
    return None


def summary_of(one: Reduced) -> Summary | None:
    """A series in figures; None where nothing in it counts or it has no scatter of its own."""
    values = [v for row, v in zip(one.cell.readings, one.rows, strict=True) if not row.set_aside and v is not None]
    found = scatter_cause(one)
    if not values or found is None:
        return None
    cause, standard = found
    known = not math.isnan(standard)
    return Summary(
        count=len(values),
        mean=mean(values),
        spread=max(values) - min(values),
        standard=standard * math.sqrt(len(values)),
        dof=cause.dof,
        factor=student(cause.dof) if known else math.nan,
    )
