"""The middle of a traced chamber opening, as far as a tilted cut goes by it."""

from __future__ import annotations

from ccassist.bench.areas import points_of, read_effect, slope
from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean
from ccassist.bench.traced import (
    across_doubt,
    across_slope,
    centroid_across,
)
from ccassist.values.measured import Cause, Number, half_width

FROM_EDGE = "from_edge"


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
