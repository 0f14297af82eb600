"""How far the cylinders lie apart, with everything they share cancelled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ccassist.measured import Number, Value, expand, nominal


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Largest less smallest of one term.

    ``low`` and ``high`` are the cylinder numbers; ``difference`` [SI] keeps
    only the causes of doubt that the two do not share.
    """

    key: str
    low: int
    high: int
    difference: Number
    average: Number

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 %, SI."""
        return expand(self.difference).expanded


def spread_of(key: str, values: Sequence[tuple[int, Value]]) -> Spread | None:
    """The spread of a term over the cylinders that have it; None where fewer than two do."""
    if len(values) < 2:
        return None
    low = min(values, key=lambda pair: pair[1].nominal)
    high = max(values, key=lambda pair: pair[1].nominal)
    total = sum(v.number for _, v in values)
    return Spread(
        key=key, low=low[0], high=high[0], difference=high[1].number - low[1].number, average=total / len(values)
    )


def is_shown(spread: Spread) -> bool:
    """Whether the measurement shows a difference at all."""
    return abs(nominal(spread.difference)) > spread.expanded
