"""The middle of a traced chamber opening, as far as a tilted cut goes by it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.areas import points_of, read_effect, slope
from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean
from ccassist.bench.traced import Point, corner_slopes, edges, halves, polygon_area, sides
from ccassist.values.measured import Cause, Number, half_width

FROM_EDGE = "from_edge"


def centroid_across(points: Sequence[Point]) -> float:
    """Distance of the centroid from the zero line of x [m]; in either sense of going round.

    Σ (xᵢ + xᵢ₊₁)(xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ) ÷ 6 A between straight lines, and what the
    edge adds counted at the middle of each line.  Source:
    centroid of a polygon (Gauss's formulas), Machinery's Handbook 31st ed.
    (2020), centres of gravity (from memory).

    >>> round(centroid_across([(0, 0), (4, 0), (4, 3), (0, 3)]), 12)
    2.0
    """
    x0 = points[0][0]
    ends = [(x - x0) + (u - x0) for (x, _), (u, _) in sides(points)]
    straight = halves(points)
    sense = math.copysign(1.0, math.fsum(straight))
    curved = [sense * edge.extra for edge in edges(points)]
    moment = math.fsum(h * both / 3 for h, both in zip(straight, ends, strict=True))
    moment += math.fsum(c * both / 2 for c, both in zip(curved, ends, strict=True))
    return x0 + moment / (math.fsum(straight) + math.fsum(curved))


def across_slope(points: Sequence[Point]) -> float:
    """How far the centroid moves, at the root of the sum of squares, for one unit in each reading by itself.

    m per m.  The slopes of ∮ ½ x² dy ÷ A at every point, straight lines between (JCGM 100:2008, 5.1.2), and those of
    its corners.
    """
    x0 = centroid_across(points)
    moved = [(x - x0, y) for x, y in points]
    square = 0.0
    for (a, b), (x, y), (u, v) in zip([moved[-1], *moved[:-1]], moved, [*moved[1:], moved[0]], strict=True):
        across = ((y - b) * (a + 2 * x) + (v - y) * (2 * x + u)) / 6
        up = ((a * a + a * x) - (x * u + u * u)) / 6
        square += across**2 + up**2
    corners = [slope * arm for slope, arm in zip(corner_slopes(points), _arms(points, x0), strict=True)]
    return math.hypot(math.sqrt(square), *corners) / polygon_area(points)


def across_doubt(points: Sequence[Point]) -> float:
    """How far the centroid may be out for the edge between the points [m]: each side's doubt at its distance."""
    arms = _arms(points, centroid_across(points))
    return math.fsum(edge.doubt * arm for edge, arm in zip(edges(points), arms, strict=True)) / polygon_area(points)


def _arms(points: Sequence[Point], place: float) -> list[float]:
    """How far the middle of each side lies across from a place [m]."""
    return [abs((x + u) / 2 - place) for (x, _), (u, _) in sides(points)]


def centroid_of(cell: Cell, kit: Kit) -> Number | None:
    """Centroid of a chamber's opening from the edge that is not cut [m]; None where it was not traced from there."""
    if FROM_EDGE not in cell.settings or cell.readings[0].method.key != "outline":
        return None
    across = mean([centroid_across(points_of(row)) for row in cell.counted])
    edge = cell.settings[FROM_EDGE][0]
    key = "opening_centroid"
    start = kit.setting(edge, (FROM_EDGE, cell.where, edge.raw), f"{cell.where}: zero of the outline", cell.instrument)
    error = kit.scale_error(cell.instrument, key, [across], read="outline_x")
    outlines = [points_of(row) for row in cell.counted]
    times = mean([across_slope(points) for points in outlines]) / mean([slope(row) for row in cell.counted])
    cause = Cause(
        name=f"{cell.where}: the edge between the traced points",
        key=key,
        shape="rectangular",
        source="common practice, no source",
        remedy="trace more points, close together in bends, and one in every corner",
    )
    edge = half_width(mean([across_doubt(points) for points in outlines]), cause)
    return start + across + error + times * read_effect(cell, kit, key) + edge
