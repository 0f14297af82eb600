"""What is wrong or doubtful with openings as they were read: too few points, a line that crosses itself."""

from __future__ import annotations

from ccassist.bench.areas import finds_area, points_of
from ccassist.bench.cell import Cell, Reading
from ccassist.bench.traced import crosses_itself, edge_doubt, polygon_area
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
