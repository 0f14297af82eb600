"""The middle of a traced chamber opening, as far as a tilted cut goes by it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.areas import Point, bulges, halves, points_of, sides, written_step
from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean
from ccassist.measured import Number

FROM_EDGE = "from_edge"


def centroid_across(points: Sequence[Point]) -> float:
    """Distance of the centroid from the zero line of x [m]; in either sense of going round.

    Σ (xᵢ + xᵢ₊₁)(xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ) ÷ 6 A between straight lines, and what an
    evenly curved edge adds counted at the middle of each line.  Source:
    centroid of a polygon (Gauss's formulas), Machinery's Handbook 31st ed.
    (2020), centres of gravity (from memory).

    >>> round(centroid_across([(0, 0), (4, 0), (4, 3), (0, 3)]), 12)
    2.0
    """
    x0 = points[0][0]
    ends = [(x - x0) + (u - x0) for (x, _), (u, _) in sides(points)]
    straight = halves(points)
    sense = math.copysign(1.0, math.fsum(straight))
    curved = [sense * one for one in bulges(points)]
    moment = math.fsum(h * both / 3 for h, both in zip(straight, ends, strict=True))
    moment += math.fsum(c * both / 2 for c, both in zip(curved, ends, strict=True))
    return x0 + moment / (math.fsum(straight) + math.fsum(curved))


def centroid_of(cell: Cell, kit: Kit) -> Number | None:
    """Centroid of a chamber's opening from the edge that is not cut [m]; None where it was not traced from there."""
    if FROM_EDGE not in cell.settings or cell.readings[0].method.key != "outline":
        return None
    across = mean([centroid_across(points_of(row)) for row in cell.counted])
    edge = cell.settings[FROM_EDGE][0]
    key = "opening_centroid"
    start = kit.setting(edge, (FROM_EDGE, cell.where, edge.raw), f"{cell.where}: zero of the outline", cell.instrument)
    error = kit.scale_error(cell.instrument, key, [across], read="outline_x")
    return start + across + error + kit.rounding(cell.instrument, key, 1, cell.where, written_step(cell))
