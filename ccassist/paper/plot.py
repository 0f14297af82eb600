"""What drawings of one quantity against another are made of: frame and scales, marks, words with a white edge.

Black on white: marks differ by shape, lines by their weight and dashes, and each is also named.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from reportlab.pdfgen.canvas import Canvas

from ccassist.paper.drawing import MEDIUM, THIN, WHITE, Box, Point, kept
from ccassist.paper.page import TEXT
from ccassist.paper.sheet import BLACK, GREY, LEADING, SMALL, measure
from ccassist.report.scales import Scale
from ccassist.values.display import Formatter
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

HEAD, FOOT, LEFT = 14.0, 27.0, 30.0  # room above the field, below it, and to its left, points
MARK = 3.4  # half the size of a mark
_EDGE, _STEP, _CLEAR = 6.0, 4.0, 3.0
Symbol = Callable[[Canvas, Point], None]


@record
class Frame:
    """The field of a drawing, its lower left corner at nothing: what is shown across and up, and how large it is."""

    x_key: str
    y_key: str
    x: Scale
    y: Scale
    wide: float
    high: float
    fmt: Formatter

    @property
    def box(self) -> Box:
        """The field itself."""
        return 0.0, 0.0, self.wide, self.high

    def at(self, x: float, y: float) -> Point:
        """Where two SI values lie, kept within the field."""
        return self.x.across(x, self.wide), self.y.across(y, self.high)

    def draw(self, canvas: Canvas) -> None:
        """The edge, the ticks with their numbers, and what they are."""
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(MEDIUM)
        canvas.rect(*self.box, stroke=1, fill=0)
        canvas.setFont(TEXT, SMALL)
        canvas.setFillGray(BLACK)
        for tick in self.x.ticks:
            x = self.x.across(tick, self.wide)
            canvas.line(x, 0, x, -3)
            canvas.drawCentredString(x, -12, self.number(self.x_key, tick, self.x))
        for tick in self.y.ticks:
            y = self.y.across(tick, self.high)
            canvas.line(0, y, -3, y)
            canvas.drawRightString(-5, y - 3, self.number(self.y_key, tick, self.y))
        canvas.setFillGray(GREY)
        canvas.drawCentredString(self.wide / 2, -23, self.name(self.x_key))
        canvas.drawString(-LEFT, self.high + 5, self.name(self.y_key))

    def name(self, key: str) -> str:
        """What is shown across or up, with its unit."""
        return name_of(key, self.fmt)

    def number(self, key: str, value: float, scale: Scale) -> str:
        """What stands at a tick."""
        return self.fmt.amount(key, value, decimals=scale.decimals)


def name_of(key: str, fmt: Formatter) -> str:
    """A term with its unit, and with the way it is counted: "intake closing, deg after BDC"."""
    wanted = term(key)
    unit = fmt.unit(wanted)
    after = wanted.sign.says_plus.partition("{}")[2] if wanted.sign and unit else ""
    return f"{fmt.title(wanted)}{after}"


@record
class Told:
    """Lines of words on a drawing, and the room that they take."""

    lines: tuple[str, ...]
    font: str
    box: Box

    def draw(self, canvas: Canvas) -> None:
        """The lines, one below the other."""
        canvas.setFillGray(BLACK)
        canvas.setFont(self.font, SMALL)
        for n, line in enumerate(self.lines, 1):
            canvas.drawString(self.box[0], self.box[3] - n * SMALL * LEADING + SMALL * 0.3, line)


def told_near(lines: Sequence[str], font: str, near: Point, room: Box, taken: Sequence[Box]) -> Told | None:
    """Words as near to a point as there is room for them, clear of what is taken; None where there is none."""
    size = max(measure(line, font, SMALL) for line in lines), len(lines) * SMALL * LEADING
    box = roomy(size, near, room, taken)
    return None if box is None else Told(lines=tuple(lines), font=font, box=box)


def line_boxes(points: Sequence[Point]) -> list[Box]:
    """The room that each piece of a line takes; its points from left to right."""
    return [(a[0], min(a[1], b[1]), b[0], max(a[1], b[1])) for a, b in pairwise(points)]


def words_box(middle: Point, text: str, font: str = TEXT) -> Box:
    """The room that a line of words takes about its middle."""
    half, tall = measure(text, font, SMALL) / 2 + 1.5, SMALL * 0.5
    return middle[0] - half, middle[1] - tall, middle[0] + half, middle[1] + tall


def words_on(canvas: Canvas, middle: Point, text: str, font: str = TEXT) -> None:
    """A line of words on a drawing, with a white edge so that no line runs through it."""
    left, bottom, right, top = words_box(middle, text, font)
    canvas.setFillGray(WHITE)
    canvas.rect(left, bottom, right - left, top - bottom, stroke=0, fill=1)
    canvas.setFillGray(BLACK)
    canvas.setFont(font, SMALL)
    canvas.drawCentredString(middle[0], middle[1] - SMALL * 0.34, text)


def overlap(one: Box, other: Box, gap: float = 1.0) -> bool:
    """Whether two boxes lie over each other or nearer than a gap."""
    apart = one[2] + gap <= other[0] or other[2] + gap <= one[0] or one[3] + gap <= other[1] or other[3] + gap <= one[1]
    return not apart


def inside(box: Box, room: Box, edge: float = 2.0) -> bool:
    """Whether a box lies in a room."""
    low = box[0] >= room[0] + edge and box[1] >= room[1] + edge
    return low and box[2] <= room[2] - edge and box[3] <= room[3] - edge


def beside(point: Point, text: str, room: Box, taken: Sequence[Box], font: str = TEXT) -> Point | None:
    """The middle of words beside a mark, where there is room for them: right, left, above, below, or further off."""
    half = measure(text, font, SMALL) / 2 + MARK + 4
    for away in (1.0, 1.8, 3.0):
        for right, up in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (1, -1), (-1, 1)):
            middle = point[0] + right * half, point[1] + up * away * (MARK + SMALL * 0.8)
            box = words_box(middle, text, font)
            if inside(box, room) and not any(overlap(box, other) for other in taken):
                return middle
    return None


def roomy(size: tuple[float, float], near: Point, room: Box, taken: Sequence[Box]) -> Box | None:
    """The place for words of a size that is nearest to a point and clear of all that is there; None without one."""
    wide, high = size
    best: tuple[float, float, float] | None = None
    found = None
    for left in _steps(room[0], room[2] - wide):
        for bottom in _steps(room[1], room[3] - high):
            box = left, bottom, left + wide, bottom + high
            away = math.dist(near, (min(max(near[0], box[0]), box[2]), min(max(near[1], box[1]), box[3])))
            rank = away, -left, bottom
            if (best is None or rank < best) and not any(overlap(box, other, _CLEAR) for other in taken):
                best, found = rank, box
    return found


def _steps(low: float, high: float) -> list[float]:
    """Places from one to the other, a little off both."""
    return [low + _EDGE + n * _STEP for n in range(int((high - low - 2 * _EDGE) // _STEP) + 1)]


def mark_box(point: Point) -> Box:
    """The room that a mark takes."""
    return point[0] - MARK, point[1] - MARK, point[0] + MARK, point[1] + MARK


def dot(canvas: Canvas, at: Point) -> None:
    """A filled dot with a white edge."""
    for radius, shade in ((MARK + 1, WHITE), (MARK, BLACK)):
        canvas.setFillGray(shade)
        canvas.circle(*at, radius, stroke=0, fill=1)


def diamond(canvas: Canvas, at: Point) -> None:
    """An open diamond."""
    size = MARK * 1.25
    path = canvas.beginPath()
    path.moveTo(at[0], at[1] + size)
    for dx, dy in ((size, 0), (0, -size), (-size, 0)):
        path.lineTo(at[0] + dx, at[1] + dy)
    path.close()
    with kept(canvas):
        canvas.setFillGray(WHITE)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(1.2)
        canvas.drawPath(path, stroke=1, fill=1)


def curve(canvas: Canvas, points: Sequence[Point], width: float = 1.0, dash: Sequence[float] = ()) -> None:
    """A line through points, open."""
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    with kept(canvas):
        canvas.setLineJoin(1)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(width)
        canvas.setDash(list(dash))
        canvas.drawPath(path, stroke=1, fill=0)


def strip(canvas: Canvas, left: float, bottom: float, right: float, top: float) -> None:
    """A pale strip with thin edges, for a range."""
    with kept(canvas):
        canvas.setFillGray(0.88)
        canvas.setStrokeGray(GREY)
        canvas.setLineWidth(THIN)
        canvas.rect(left, bottom, right - left, top - bottom, stroke=1, fill=1)


# Lines of equal value through a grid, by marching squares.
#
# Every cell of the grid is cut where the level lies between two of its corners,
# in proportion; a saddle is parted by the mean of its corners.  A cell with a
# corner that is not a number is a hole: lines end at it.

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
