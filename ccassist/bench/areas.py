"""Openings of gaskets and chambers that are not round: rows -> mean area with its causes of doubt.

One row is one measurement of the area: the two axes of an oval, one traced
outline, one cut-out weighed against a square of the same sheet.  Repeats are
pooled as those of lengths are.  The readings of one row share the error of
their instrument, so an oval and an outline bear it twice over, once for each
direction; each reading is rounded, and repeats, by itself.
"""

from __future__ import annotations

import math

from ccassist.bench.cell import Cell, Line, Reading
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean
from ccassist.bench.traced import (
    Point,
    across_doubt,
    across_slope,
    bulge,
    centroid_across,
    corner_slopes,
    corners,
    crosses_itself,
    edge_doubt,
    polygon_area,
)
from ccassist.engine.relations import gasket_area_ellipse
from ccassist.values.findings import Finding, error, warning
from ccassist.values.measured import Cause, Number, half_width
from ccassist.vocabulary import Kind, term

AREAS = ("gasket_area", "chamber_area")
SHEET = 0.01  # of the area: how unevenly a sheet weighs, either way (common practice, no source)
NEAR = 0.05  # of a load: a scale errs alike within it (common practice, no source)


def finds_area(cell: Cell) -> bool:
    """Whether the rows of a cell are areas."""
    return bool(cell.readings) and area_key(cell) in AREAS


def area_key(cell: Cell) -> str:
    """The term of the area that the rows of a cell find."""
    return cell.readings[0].method.gives


def points_of(row: Reading) -> list[Point]:
    """The points of a traced outline [m], in order."""
    return [(x.value, y.value) for x, y in zip(row.fields["x"], row.fields["y"], strict=True)]


def row_area(row: Reading) -> float:
    """One row's area [m²].

    Between the traced points the edge is taken as evenly curved but in its
    corners (:mod:`ccassist.bench.traced`).  The
    cut-out's area is to the square's as their masses are; trade example C7.
    Source: common practice, no source.
    """
    if row.method.key == "ellipse":
        return float(gasket_area_ellipse(row.one("long"), row.one("short")))
    if row.method.key == "outline":
        points = points_of(row)
        return polygon_area(points) + bulge(points)
    copies = row.one("copies") if "copies" in row.fields else 1.0
    return row.one("reference") * row.one("cutout_mass") / row.one("reference_mass") / copies


def slope(row: Reading) -> float:
    """How far one row's area moves, at the root of the sum of squares, for one unit in each reading by itself.

    m² per m, or m² per kg.  For an outline ½ √Σ((xᵢ₊₁ − xᵢ₋₁)² + (yᵢ₊₁ − yᵢ₋₁)²),
    the slopes of the shoelace formula (JCGM 100:2008, 5.1.2).
    """
    if row.method.key == "ellipse":
        return math.pi / 4 * math.hypot(row.one("long"), row.one("short"))
    if row.method.key == "outline":
        points = points_of(row)
        across = zip([points[-1], *points[:-1]], [*points[1:], points[0]], strict=True)
        straight = 0.5 * math.sqrt(math.fsum((u - x) ** 2 + (v - y) ** 2 for (x, y), (u, v) in across))
        return math.hypot(straight, *corner_slopes(points))
    return row_area(row) * math.hypot(1 / row.one("reference_mass"), 1 / row.one("cutout_mass"))


def read_kind(row: Reading) -> Kind:
    """What the instrument of a row reads."""
    return Kind.MASS if row.method.key == "cut-out" else Kind.LENGTH


def written_step(cell: Cell) -> float:
    """The smallest step in which the readings were written, SI."""
    kind = read_kind(cell.readings[0])
    return min(q.step for q in cell.quantities if term(q.key).kind is kind)


def mean_area(cell: Cell, kit: Kit) -> tuple[Number, list[Line]]:
    """Mean area with every cause of its doubt, line by line."""
    rows = cell.counted
    areas, count = [row_area(row) for row in rows], len(rows)
    number = mean(areas) + read_effect(cell, kit, area_key(cell))
    for doubtful in _SHARED[rows[0].method.key](cell, kit):
        number = number + doubtful
    lines = _outline_lines(cell) if rows[0].method.key == "outline" else []
    words = f"mean of {count} areas" if count > 1 else "one area"
    return number, [*lines, Line(words=words, key=area_key(cell), number=number)]


def read_effect(cell: Cell, kit: Kit, key: str) -> Number:
    """What hand and step of its readings do to a mean area [m²], each by itself; ``key`` is what it bears on."""
    rows = cell.counted
    made = f"{cell.where}: repeat scatter, {rows[0].method.title}, with {cell.tool}"
    read = _readings(rows[0])
    rounding = kit.rounding(cell.instrument, key, read, cell.where, written_step(cell)) / math.sqrt(read)
    rounding = mean([slope(row) for row in rows]) * rounding
    return kit.repeat_effect(kit.scatter_of(cell.way, cell.name), cell.way, len(rows), key, made, rounding)


def short_axis(cell: Cell, kit: Kit) -> Number:
    """The shorter axis of an oval [m], as its instrument reads it; which one was called long does not matter."""
    short = min(mean([row.one(name) for row in cell.counted]) for name in ("long", "short"))
    key = "gasket_short"
    error = kit.scale_error(cell.instrument, key, [short])
    return short + error + kit.rounding(cell.instrument, key, 1, cell.where, written_step(cell))


def _readings(row: Reading) -> int:
    return 2 * len(row.fields["x"]) if row.method.key == "outline" else 2


def _outline_lines(cell: Cell) -> list[Line]:
    outlines = [points_of(row) for row in cell.counted]
    found = ", ".join(str(corners(points)) for points in outlines)
    straight, curved = mean([polygon_area(p) for p in outlines]), mean([bulge(p) for p in outlines])
    return [
        Line(words="inside straight lines from point to point", key=area_key(cell), number=straight),
        Line(
            words=f"plus what the edge adds, evenly curved between its corners (found: {found})",
            key=area_key(cell),
            number=curved,
        ),
    ]


def _ellipse_doubt(cell: Cell, kit: Kit) -> list[Number]:
    """The caliper's error stretches both axes: π/4 (short × error of long + long × error of short)."""
    long, short = (mean([row.one(name) for row in cell.counted]) for name in ("long", "short"))
    return [
        math.pi / 4 * short * kit.scale_error(cell.instrument, area_key(cell), [long], read="gasket_long"),
        math.pi / 4 * long * kit.scale_error(cell.instrument, area_key(cell), [short], read="gasket_short"),
    ]


def _outline_doubt(cell: Cell, kit: Kit) -> list[Number]:
    """The rule stretches all points alike, across and up; what the edge adds is known to a part of it."""
    outlines = [points_of(row) for row in cell.counted]
    area, half = mean([row_area(row) for row in cell.counted]), mean([edge_doubt(points) for points in outlines])
    found: list[Number] = []
    for axis in (0, 1):
        span = mean([max(p[axis] for p in points) - min(p[axis] for p in points) for points in outlines])
        found.append(area / span * kit.scale_error(cell.instrument, area_key(cell), [span], read="outline_x"))
    cause = Cause(
        name=f"{cell.where}: the edge between the traced points",
        key=area_key(cell),
        shape="rectangular",
        source="common practice, no source: half of what a curved edge adds, most of what a corner may",
        remedy="trace more points, close together in bends, and one in every corner",
    )
    return [*found, half_width(half, cause)]


def _cutout_doubt(cell: Cell, kit: Kit) -> list[Number]:
    """The square's own size, the scale at both loads, and how unevenly the sheet weighs."""
    rows = cell.counted
    area, found = mean([row_area(row) for row in rows]), []
    for row in rows:
        square = row.fields["reference"][0]
        own = kit.setting(square, ("reference square", square.raw), "reference square, area") - square.value
        found.append(row_area(row) / square.value / len(rows) * own)
    for name, sign in (("cutout_mass", 1), ("reference_mass", -1)):
        load = mean([row.one(name) for row in rows])
        shown = rows[0].fields[name][0].raw
        error = kit.load_error(cell.instrument, area_key(cell), load, NEAR * load, shown, read=name)
        found.append(sign * area / load * error)
    cause = Cause(
        name="the sheet weighs unevenly",
        key=area_key(cell),
        shape="rectangular",
        source="common practice, no source",
        remedy="an evener sheet: plastic or shim for card",
    )
    even = kit.shared(("sheet", cell.part, cell.state), lambda: half_width(SHEET, cause))
    return [*found, area * even]


_SHARED = {"ellipse": _ellipse_doubt, "outline": _outline_doubt, "cut-out": _cutout_doubt}


# The middle of a traced chamber opening, as far as a tilted cut goes by it.

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
    between = half_width(mean([across_doubt(points) for points in outlines]), cause)
    return start + across + error + times * read_effect(cell, kit, key) + between


# What is wrong or doubtful with openings as they were read: too few points, a line that crosses itself.

LEAST, MOST = 3, 1000  # points
COARSE = 0.01  # of the area: a doubt between the points beyond it is said (common practice, no source)


def unfit_openings(cell: Cell) -> list[Finding]:
    """Findings for the rows of traced outlines."""
    if not finds_area(cell) or cell.readings[0].method.key != "outline":
        return []
    found = []
    for row in cell.readings:
        finding = _unfit(row)
        if finding is not None:
            found.append(finding.at(line=row.line, place=row.place))
    return found


def _unfit(row: Reading) -> Finding | None:
    points = points_of(row)
    if len(points) < LEAST:
        return error("few-points", f"an outline of {len(points)} points holds no area", right="trace some forty points")
    if len(points) > MOST:
        return error("many-points", f"an outline of {len(points)} points", right=f"{MOST} points are more than enough")
    if len(set(points)) < len(points):
        wrong = "a point of the outline is given twice"
        return error("twice-a-point", wrong, right="the last point joins the first by itself")
    if crosses_itself(points) or polygon_area(points) == 0:
        right = "give the points in order round the opening"
        return error("crossed-outline", "the outline crosses itself", right=right)
    doubt = edge_doubt(points) / polygon_area(points)
    if doubt <= COARSE:
        return None
    wrong = f"{len(points)} points leave {100 * doubt:.0f} % of the area in doubt, the edge between them being unknown"
    return warning("coarse-outline", wrong, right="trace more points, close together in bends, and one in every corner")
