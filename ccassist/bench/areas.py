"""Openings of gaskets and chambers that are not round: rows -> mean area with its causes of doubt.

One row is one measurement of the area: the two axes of an oval, one traced
outline, one cut-out weighed against a square of the same sheet.  Repeats are
pooled as those of lengths are.  The readings of one row share the error of
their instrument, so an oval and an outline bear it twice over, once for each
direction; each reading is rounded, and repeats, by itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.cell import Cell, Line, Reading
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean
from ccassist.engine.relations import gasket_area_ellipse
from ccassist.measured import Cause, Number, half_width
from ccassist.terms import Kind, term

AREAS = ("gasket_area", "chamber_area")
SHEET = 0.01  # of the area: how unevenly a sheet weighs, either way (common practice, no source)
NEAR = 0.05  # of a load: a scale errs alike within it (common practice, no source)
Point = tuple[float, float]


def finds_area(cell: Cell) -> bool:
    """Whether the rows of a cell are areas."""
    return bool(cell.readings) and area_key(cell) in AREAS


def area_key(cell: Cell) -> str:
    """The term of the area that the rows of a cell find."""
    return cell.readings[0].method.gives


def points_of(row: Reading) -> list[Point]:
    """The points of a traced outline [m], in order."""
    return [(x.value, y.value) for x, y in zip(row.fields["x"], row.fields["y"], strict=True)]


def polygon_area(points: Sequence[Point]) -> float:
    """Area inside straight lines from point to point, back to the first; in either sense of going round.

    points [m] -> [m²], not negative.  ½ |Σ (xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ)|, reckoned from
    the first point so that far-off rulers cost no digits.  Source: Gauss's
    area formula (shoelace formula).

    >>> polygon_area([(0, 0), (3, 0), (3, 4)])
    6.0
    """
    return abs(_signed(points))


def _signed(points: Sequence[Point]) -> float:
    return math.fsum(halves(points))


def halves(points: Sequence[Point]) -> list[float]:
    """The triangle that each side makes with the first point [m²], positive anticlockwise; they add to the area."""
    x0, y0 = points[0]
    moved = [(x - x0, y - y0) for x, y in points]
    return [(x * v - u * y) / 2 for (x, y), (u, v) in sides(moved)]


def sides(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Each side of an outline by its two ends, the last one back to the first point."""
    return list(zip(points, [*points[1:], points[0]], strict=True))


def bulge(points: Sequence[Point]) -> float:
    """What the edge holds beyond the straight lines [m²], were it evenly curved between the points.

    An arc over a chord c that turns by a small angle θ holds c² θ ÷ 12 beyond
    the chord; a chord is given half of the turn at each of its ends.  Positive
    where the outline bulges, negative where it is hollow.  Source: circular
    segment, Machinery's Handbook 31st ed. (2020) p. 79, for small angles.

    >>> around = [i * math.pi / 18 for i in range(36)]
    >>> circle = [(math.cos(a), math.sin(a)) for a in around]
    >>> round(math.pi - polygon_area(circle), 4), round(bulge(circle), 4)
    (0.0159, 0.0159)
    """
    return math.fsum(bulges(points))


def bulges(points: Sequence[Point]) -> list[float]:
    """What the edge holds beyond each straight line [m²], as :func:`bulge`, from the first point on."""
    ways = [(u - x, v - y) for (x, y), (u, v) in sides(points)]
    turns = [_turn(before, after) for before, after in zip([ways[-1], *ways[:-1]], ways, strict=True)]
    sense = math.copysign(1.0, _signed(points))
    lengths = [math.hypot(*way) for way in ways]
    ends = zip(lengths, turns, [*turns[1:], turns[0]], strict=True)
    return [sense * c * c * (first + last) / 24 for c, first, last in ends]


def edge_doubt(points: Sequence[Point]) -> float:
    """How far the area may be out for the edge between the points [m²]: half of what a curved one adds.

    Flats and corners between two points make it less, an uneven bend less or more.
    """
    return abs(bulge(points)) / 2


def _turn(before: Point, after: Point) -> float:
    """Angle from one side to the next, −π to π."""
    (a, b), (c, d) = before, after
    return math.atan2(a * d - b * c, a * c + b * d)


def row_area(row: Reading) -> float:
    """One row's area [m²].

    Between the traced points the edge is taken as evenly curved.  The
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
        return 0.5 * math.sqrt(math.fsum((u - x) ** 2 + (v - y) ** 2 for (x, y), (u, v) in across))
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
    made = f"{cell.where}: repeat scatter, {rows[0].method.title}, with {cell.tool}"
    read = _readings(rows[0])
    rounding = kit.rounding(cell.instrument, area_key(cell), read, cell.where, written_step(cell)) / math.sqrt(read)
    rounding = mean([slope(row) for row in rows]) * rounding
    found = kit.scatter_of(cell.way, cell.name)
    number = mean(areas) + kit.repeat_effect(found, cell.way, count, area_key(cell), made, rounding)
    for doubtful in _SHARED[rows[0].method.key](cell, kit):
        number = number + doubtful
    lines = _outline_lines(cell) if rows[0].method.key == "outline" else []
    words = f"mean of {count} areas" if count > 1 else "one area"
    return number, [*lines, Line(words=words, key=area_key(cell), number=number)]


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
    straight, curved = mean([polygon_area(p) for p in outlines]), mean([bulge(p) for p in outlines])
    return [
        Line(words="inside straight lines from point to point", key=area_key(cell), number=straight),
        Line(words="plus what an evenly curved edge adds", key=area_key(cell), number=curved),
    ]


def _ellipse_doubt(cell: Cell, kit: Kit) -> list[Number]:
    """The caliper's error stretches both axes: π/4 (short × error of long + long × error of short)."""
    long, short = (mean([row.one(name) for row in cell.counted]) for name in ("long", "short"))
    return [
        math.pi / 4 * short * kit.scale_error(cell.instrument, area_key(cell), [long], read="gasket_long"),
        math.pi / 4 * long * kit.scale_error(cell.instrument, area_key(cell), [short], read="gasket_short"),
    ]


def _outline_doubt(cell: Cell, kit: Kit) -> list[Number]:
    """The rule stretches all points alike, across and up; and what a curved edge adds is known to half of it."""
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
        source="common practice, no source: half of what a curved edge adds",
        remedy="trace more points, close together in bends and corners",
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
