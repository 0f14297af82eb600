"""Lines of equal value through a grid, by marching squares.

Every cell of the grid is cut where the level lies between two of its corners,
in proportion; a saddle is parted by the mean of its corners.  A cell with a
corner that is not a number is a hole: lines end at it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ccassist.report.scene import Point

Edge = tuple[int, int, int]  # column, row, and 0 along x or 1 along y
Grid = Sequence[Sequence[float]]


def contours(xs: Sequence[float], ys: Sequence[float], field: Grid, level: float) -> list[list[Point]]:
    """The lines along which a field has one value; a closed line ends where it began.

    Parameters
    ----------
    xs, ys : where the columns and rows of the grid lie, rising.
    field : value at (xs[i], ys[j]) is field[i][j].

    >>> contours((0, 1), (0, 1), ((0, 0), (1, 1)), 0.5)
    [[(0.5, 0.0), (0.5, 1.0)]]
    """
    joined: dict[Edge, list[Edge]] = {}
    for i in range(len(xs) - 1):
        for j in range(len(ys) - 1):
            for one, other in _pieces(field, i, j, level):
                joined.setdefault(one, []).append(other)
                joined.setdefault(other, []).append(one)
    return [[_place(edge, xs, ys, field, level) for edge in chain] for chain in _chains(joined)]


def _pieces(field: Grid, i: int, j: int, level: float) -> list[tuple[Edge, Edge]]:
    """What of the line lies in one cell, as pairs of its edges."""
    corners = field[i][j], field[i + 1][j], field[i + 1][j + 1], field[i][j + 1]
    above = [value >= level for value in corners]
    if all(above) or not any(above) or not all(map(math.isfinite, corners)):
        return []
    bottom, right, top, left = edges = (i, j, 0), (i + 1, j, 1), (i, j + 1, 0), (i, j, 1)
    crossed = [edge for n, edge in enumerate(edges) if above[n] != above[(n + 1) % 4]]
    if len(crossed) == 2:
        return [(crossed[0], crossed[1])]
    joins_first = (sum(corners) / 4 >= level) == above[0]
    return [(bottom, right), (top, left)] if joins_first else [(left, bottom), (right, top)]


def _place(edge: Edge, xs: Sequence[float], ys: Sequence[float], field: Grid, level: float) -> Point:
    """Where the level is crossed on an edge."""
    i, j, along_y = edge
    one, other = field[i][j], field[i][j + 1] if along_y else field[i + 1][j]
    share = (level - one) / (other - one)
    if along_y:
        return float(xs[i]), ys[j] + share * (ys[j + 1] - ys[j])
    return xs[i] + share * (xs[i + 1] - xs[i]), float(ys[j])


def _chains(joined: dict[Edge, list[Edge]]) -> Iterator[list[Edge]]:
    """Edges one after another: the open lines from their ends, then the closed ones."""
    ends = [edge for edge, others in joined.items() if len(others) == 1]
    for start in (*ends, *joined):
        chain = [start]
        while joined[chain[-1]]:
            there = joined[chain[-1]].pop(0)
            joined[there].remove(chain[-1])
            chain.append(there)
        if len(chain) > 1:
            yield chain
