"""Which cause of doubt more repeats of a series would make smaller."""

from __future__ import annotations

from ccassist.bench.cell import Reduced
from ccassist.bench.kit import MORE_REPEATS
from ccassist.values.measured import Cause, budget


def scatter_cause(one: Reduced) -> tuple[Cause, float] | None:
    """The cause of doubt that more repeats would make smaller, and the standard deviation of the mean by it, SI."""
    for value in one.values.values():
        for share in budget(value.number):
            if share.cause.remedy == MORE_REPEATS and share.cause.pool:
                return share.cause, abs(share.standard)
    return None
