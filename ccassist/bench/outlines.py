"""What is wrong or doubtful with openings as they were read: too few points, a line that crosses itself."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ccassist.bench.areas import finds_area, points_of
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.traced import Point, edge_doubt, polygon_area, sides
from ccassist.values.findings import Finding, error, warning

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


def crosses_itself(points: Sequence[Point]) -> bool:
    """Whether any two sides that are not neighbours cross."""
    every = sides(points)
    last = len(every) - 1
    return any(
        _cross(*every[i], *every[j]) for i, j in combinations(range(len(every)), 2) if j - i > 1 and (i, j) != (0, last)
    )


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether a side from a to b and one from c to d have each other's ends on either hand."""
    return _hand(a, b, c) * _hand(a, b, d) < 0 and _hand(c, d, a) * _hand(c, d, b) < 0


def _hand(a: Point, b: Point, c: Point) -> float:
    """Positive where c lies left of the way from a to b."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
