"""Lengths, and areas of openings that are not round: rows -> mean with every component of its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable

from ccassist.bench.cell import Cell, Line
from ccassist.bench.fills import counted_results, summed_rounding
from ccassist.bench.kit import Kit, bounded
from ccassist.bench.repeats import points_apart
from ccassist.bench.rows import arithmetic, points_of
from ccassist.bench.step import Way
from ccassist.bench.steps.fills import GAUGE
from ccassist.bench.traced import (
    across_half_width,
    across_slope,
    bulge,
    centroid_across,
    corners,
    edge_half_width,
    polygon_area,
)
from ccassist.values.number import Number
from ccassist.values.quantity import Quantity
from ccassist.values.statement import has_doubt
from ccassist.values.statistics import mean
from ccassist.values.uncertainty import half_width
from ccassist.vocabulary.record import record

UNSAID_GAUGE = "depth gauge"  # a depth is read by it or, better, by dial indicator (common practice, no source)


def mean_length(cell: Cell, kit: Kit, key: str) -> tuple[Number, list[Line]]:
    """Mean length [m] with scatter, the instrument's error and rounding."""
    values = counted_results(cell, kit)
    rounding, points = summed_rounding(cell, kit, key)
    scatter = kit.mean_scatter(cell, key, f"{cell.step.title.lower()} with {cell.tool}", rounding / points)
    number = mean(values) + kit.scale_error(cell.instrument, key, [mean(values)]) + scatter
    return number, [Line(f"mean of {len(values)} readings" if len(values) > 1 else "one reading", key, number)]


@record
class Several:
    """Readings of one length that stand as a list in the file, such as the drop of a piston.

    quantities : the readings, one at least.
    key, where : the term, and the thing in words.
    instrument : what they were read with, "" where it is not said.
    way, name : what makes others "made the same way"; what tells it from those.
    place, line : in the file.
    """

    quantities: tuple[Quantity, ...]
    key: str
    where: str
    instrument: str
    way: Way
    name: str
    place: str = ""
    line: int | None = None

    @property
    def values(self) -> tuple[float, ...]:
        """The readings, SI."""
        return tuple(q.value for q in self.quantities)

    @property
    def step(self) -> float:
        """The smallest step in which they were written, SI."""
        return min(q.step for q in self.quantities)


def depth_tool(cell: Cell) -> str:
    """What read the depths of a series: where it is not said, the coarser of the usual two."""
    return cell.choices.get(GAUGE.name, UNSAID_GAUGE)


def drop_of(cell: Cell) -> Several | None:
    """The drop of the piston that a crown was filled at; None where none is given."""
    found = cell.settings.get("drop", ())
    if not found:
        return None
    tool = depth_tool(cell)
    return Several(
        quantities=found,
        key="crown_drop",
        where=f"{cell.where}: drop of the piston",
        instrument=tool,
        way=Way(cell.step.key, "drop", tool, by=cell.by),
        name=cell.name,
        place=f"{cell.place}.drop",
        line=cell.line,
    )


def mean_of_several(several: Several, kit: Kit) -> Number:
    """Mean of a list of readings [SI], with scatter, the instrument's error and rounding; of one reading too."""
    key, where, tool = several.key, several.where, several.instrument
    first, values = several.quantities[0], several.values
    if len(values) == 1 and (has_doubt(first) or tool not in kit.instruments):
        return kit.setting(first, (where, key), where, tool)
    found = kit.scatter_of(several.way, several.name)
    points = points_apart(values, kit.step_of(tool, several.step))
    rounding = kit.rounding(tool, key, where, several.step, [points])
    made = f"{where}: repeat scatter with {tool or 'no instrument named'}"
    scatter = kit.repeat_effect(found, several.way, len(values), key, made, rounding)
    return mean(values) + kit.scale_error(tool, key, [mean(values)]) + scatter


# ---- areas: one row is one measurement, the two axes of an oval, one traced outline, one cut-out weighed against a
# square of the same sheet.  The readings of one row share the error of their instrument, so an oval and an outline bear
# it twice over, once for each direction; each reading is rounded, and repeats, by itself.

SHEET = 0.01  # of the area: how unevenly a sheet weighs, either way (common practice, no source)
NEAR = 0.05  # of a load: a scale errs alike within it (common practice, no source)
FROM_EDGE = "from_edge"


@record
class _Opening:
    """What is reckoned of openings read one way, beside the mean of their areas.

    also : a further term that it finds, and how; None where it was not read for it.
    """

    shared: Callable[[Cell, Kit], list[Number]]  # the uncertain parts that all rows share [m²]
    lines: Callable[[Cell], list[Line]] = lambda cell: []  # what the sum shows before its total
    also: tuple[str, Callable[[Cell, Kit], Number | None]] | None = None


def found_besides(cell: Cell, kit: Kit) -> dict[str, Number]:
    """What openings read so find besides their area: the short axis of an oval, the centroid of a chamber [m]."""
    also = _OPENINGS[cell.method.key].also
    number = also[1](cell, kit) if also is not None else None
    return {} if also is None or number is None else {also[0]: number}


def mean_area(cell: Cell, kit: Kit) -> tuple[Number, list[Line]]:
    """Mean area [m²] with every component of its uncertainty, line by line."""
    areas, opening = counted_results(cell, kit), _OPENINGS[cell.method.key]
    number = mean(areas) + read_effect(cell, kit, cell.key)
    for shared in opening.shared(cell, kit):
        number = number + shared
    words = f"mean of {len(areas)} areas" if len(areas) > 1 else "one area"
    return number, [*opening.lines(cell), Line(words, cell.key, number)]


def slopes(cell: Cell) -> list[float]:
    """How far the area of each counted row moves for one unit in each of its readings [m² per m, or per kg]."""
    return [arithmetic(cell.method).unit(row, 1.0) for row in cell.counted]


def read_effect(cell: Cell, kit: Kit, key: str) -> Number:
    """What hand and step of its readings do to a mean area [m²], each by itself; ``key`` is what it bears on."""
    rounding, read = summed_rounding(cell, kit, key)
    one = rounding / math.sqrt(read)
    return kit.mean_scatter(cell, key, f"{cell.method.title}, with {cell.tool}", mean(slopes(cell)) * one)


def _short_axis(cell: Cell, kit: Kit) -> Number:
    """The shorter axis of an oval [m], as its instrument reads it; which one was called long does not matter."""
    short = min(mean([row.one(name) for row in cell.counted]) for name in ("long", "short"))
    key = "gasket_short"
    error = kit.scale_error(cell.instrument, key, [short])
    return short + error + kit.rounding(cell.instrument, key, cell.where, cell.written_step)


def _outline_lines(cell: Cell) -> list[Line]:
    outlines = [points_of(row) for row in cell.counted]
    found = ", ".join(str(corners(points)) for points in outlines)
    straight, curved = mean([polygon_area(p) for p in outlines]), mean([bulge(p) for p in outlines])
    return [
        Line("inside straight lines from point to point", cell.key, straight),
        Line(f"plus what the edge adds, evenly curved between its corners (found: {found})", cell.key, curved),
    ]


def _oval_errors(cell: Cell, kit: Kit) -> list[Number]:
    """The caliper's error stretches both axes: π/4 (short × error of long + long × error of short)."""
    long, short = (mean([row.one(name) for row in cell.counted]) for name in ("long", "short"))
    return [
        math.pi / 4 * short * kit.scale_error(cell.instrument, cell.key, [long], read="gasket_long"),
        math.pi / 4 * long * kit.scale_error(cell.instrument, cell.key, [short], read="gasket_short"),
    ]


def _outline_errors(cell: Cell, kit: Kit) -> list[Number]:
    """The rule stretches all points alike, across and up; what the edge adds is known to a part of it."""
    outlines = [points_of(row) for row in cell.counted]
    area, half = mean(counted_results(cell, kit)), mean([edge_half_width(points) for points in outlines])
    found: list[Number] = []
    for axis in (0, 1):
        span = mean([max(p[axis] for p in points) - min(p[axis] for p in points) for points in outlines])
        found.append(area / span * kit.scale_error(cell.instrument, cell.key, [span], read="outline_x"))
    return [*found, _between_points(cell, cell.key, half)]


def _between_points(cell: Cell, key: str, half: float) -> Number:
    """What the edge between the traced points leaves in doubt [that of the term], either way."""
    cause = bounded(
        f"{cell.where}: the edge between the traced points",
        key,
        "trace more points, close together in bends, and one in every corner",
        source="common practice, no source: half of what a curved edge adds, most of what a corner may",
    )
    return half_width(half, cause)


def _cut_out_errors(cell: Cell, kit: Kit) -> list[Number]:
    """The square's own size, the scale at both loads, and how unevenly the sheet weighs."""
    rows, areas = cell.counted, counted_results(cell, kit)
    area, found = mean(areas), []
    for row, one in zip(rows, areas, strict=True):
        square = row.fields["reference"][0]
        own = kit.setting(square, ("reference square", square.raw), "reference square, area") - square.value
        found.append(one / square.value / len(rows) * own)
    for name, sign in (("cutout_mass", 1), ("reference_mass", -1)):
        load = mean([row.one(name) for row in rows])
        shown = rows[0].fields[name][0].raw
        error = kit.load_error(cell.instrument, cell.key, load, NEAR * load, shown, read=name)
        found.append(sign * area / load * error)
    cause = bounded("the sheet weighs unevenly", cell.key, "an evener sheet: plastic or shim for card")
    even = kit.shared(("sheet", cell.part, cell.state), lambda: half_width(SHEET, cause))
    return [*found, area * even]


def _centroid(cell: Cell, kit: Kit) -> Number | None:
    """Centroid of a chamber's opening from the edge that is not cut [m]; None where it was not traced from there."""
    if FROM_EDGE not in cell.settings:
        return None
    across = mean([centroid_across(points_of(row)) for row in cell.counted])
    edge = cell.settings[FROM_EDGE][0]
    key = "opening_centroid"
    start = kit.setting(edge, (FROM_EDGE, cell.where, edge.raw), f"{cell.where}: zero of the outline", cell.instrument)
    error = kit.scale_error(cell.instrument, key, [across], read="outline_x")
    outlines = [points_of(row) for row in cell.counted]
    times = mean([across_slope(points) for points in outlines]) / mean(slopes(cell))
    between = _between_points(cell, key, mean([across_half_width(points) for points in outlines]))
    return start + across + error + times * read_effect(cell, kit, key) + between


_OPENINGS = {
    "ellipse": _Opening(shared=_oval_errors, also=("gasket_short", _short_axis)),
    "outline": _Opening(shared=_outline_errors, lines=_outline_lines, also=("opening_centroid", _centroid)),
    "cut-out": _Opening(shared=_cut_out_errors),
}
