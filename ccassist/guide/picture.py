"""Points as a small picture in characters, so that one out of its place is seen before it is kept."""

from __future__ import annotations

from collections.abc import Sequence

WIDE, HIGH = 40, 11  # characters; one is about twice as high as wide
TALLER = 2.0


def picture(points: Sequence[tuple[float, float]]) -> list[str]:
    """Points in their own proportions, the first marked 1; x to the right and y upwards, in one unit.

    >>> print("\\n".join(picture([(0, 0), (20, 0), (20, 10), (0, 10)])))
    The points as read, the first marked 1:
    o·······································o
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    ·········································
    1·······································o
    """
    left, low = (min(point[i] for point in points) for i in (0, 1))
    wide, high = (max(point[i] for point in points) - start for i, start in ((0, left), (1, low)))
    if wide <= 0 or high <= 0:
        return []
    size = max(wide / WIDE, high / (HIGH - 1) / TALLER)  # of a character's width
    columns, rows = round(wide / size), round(high / size / TALLER)
    marks = {(round((x - left) / size), round((y - low) / size / TALLER)): "o" for x, y in points}
    x, y = points[0]
    marks[round((x - left) / size), round((y - low) / size / TALLER)] = "1"
    lines = ["".join(marks.get((c, r), "·") for c in range(columns + 1)) for r in range(rows, -1, -1)]
    return ["The points as read, the first marked 1:", *lines]
