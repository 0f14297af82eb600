"""Boost by static ratio as maps: lines of equal end pressure, end temperature and octane difference, one map each.

Three small maps rather than one: without colour three families of lines over each other cannot be read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import field
from functools import cached_property

from ccassist.plan.boost.field import BoostField, Mark
from ccassist.report.axes import (
    FOOT,
    HEAD,
    LEFT,
    Axes,
    Scale,
    beside,
    inside,
    mark_box,
    multiples,
    name_of,
    overlap,
    round_step,
    scale_between,
    strip,
    words_box,
)
from ccassist.report.scene import (
    LEADING,
    SMALL,
    Box,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    broken,
    centred,
    diamond,
    dot,
    measure,
    moved,
)
from ccassist.values.display import Formatter
from ccassist.values.findings import capital
from ccassist.values.verdict import Band
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

# Lines of equal value through a grid, by marching squares.
#
# Every cell of the grid is cut where the level lies between two of its corners,
# in proportion; a saddle is parted by the mean of its corners.  A cell with a
# corner that is not a number is a hole: lines end at it.

Edge = tuple[int, int, int]  # column, row, and 0 along x or 1 along y
Grid = Sequence[Sequence[float]]


def contours(xs: Sequence[float], ys: Sequence[float], field: Grid, level: float) -> list[list[Point]]:
    """The lines along which a field has one value; a closed line ends where it began.

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


Symbol = Callable[[Point], list[Item]]
OWN, BASELINE = "this engine", "baseline"
OCTANE = "octane_difference"
HIGH, GAP, TITLE, EDGE = 63.0, 5.0, 5.0, 2.0  # EDGE: room for half of the last number
APART = 1.4  # mm between labels
LINES, FEW = 7, 3  # about so many lines to a map, and to one of which only a part can be shown
_WIDE = 0.4  # the share of a map that is no longer a small part
_NORMAL, _HEAVY = 0.25, 0.53


@record
class Contour:
    """One line of a map: its value, the words on it, how it is drawn."""

    level: float
    text: str
    width: float = _NORMAL
    dash: str = ""


@record
class Labelled:
    """A label as placed: of which line, and where its middle lies in the field."""

    contour: Contour
    middle: Point


@record
class Panel:
    """One map, before it is drawn."""

    key: str  # what its lines show; ``values`` the grid of it, SI
    values: Grid = field(repr=False)
    axes: Axes  # scales and size
    field: BoostField = field(repr=False)  # the map it is taken from
    wanted: Band | None = None  # a band of static ratio shown as a strip

    @property
    def title(self) -> str:
        """What its lines show, with the unit."""
        name = name_of(self.key, self.axes.fmt)
        return capital(name)

    @cached_property
    def contours(self) -> tuple[Contour, ...]:
        """The lines at round values; of octane differences only as far as the delay formula holds."""
        numbers = [value for row in self.values for value in row if math.isfinite(value)]
        low, high = min(numbers), max(numbers)
        if self.key != OCTANE:
            return tuple(self._round(low, high, LINES))
        least, most = max(low, self.field.least), min(high, self.field.most)
        share = sum(least <= value <= most for value in numbers) / len(numbers)
        ends = [end for end in (self.field.least, self.field.most) if low < end < high]
        found = [one for one in self._round(least, most, LINES if share > _WIDE else FEW) if one.level not in ends]
        return (*found, *(Contour(level=end, text=_signed(f"{end:g}"), dash="dashed") for end in ends))

    def _round(self, low: float, high: float, count: int) -> Iterator[Contour]:
        """About so many lines at round values in the shown unit; that of an octane difference of nothing is heavy."""
        unit = conversion(self.axes.fmt.unit(self.key))
        step = round_step((high - low) / unit.scale / count)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        octane = self.key == OCTANE
        for multiple in multiples(low, high, step, unit):
            level = multiple * unit.scale + unit.zero
            text = self.axes.fmt.amount(self.key, level, decimals=decimals)
            heavy = octane and level == 0
            yield Contour(level=level, text=_signed(text) if octane else text, width=_HEAVY if heavy else _NORMAL)

    @cached_property
    def lines(self) -> tuple[tuple[Contour, list[Point]], ...]:
        """Every line on the page's field."""
        across = [self.axes.x.across(boost, self.axes.wide) for boost in self.field.map.boosts]
        up = [self.axes.y.across(ratio, self.axes.high) for ratio in self.field.map.ratios]
        return tuple((one, line) for one in self.contours for line in contours(across, up, self.values, one.level))

    @cached_property
    def strip(self) -> Box | None:
        """Where the static ratio is as wanted."""
        if self.wanted is None:
            return None
        ends = max(self.wanted.low, self.axes.y.low), min(self.wanted.high, self.axes.y.high)
        low, high = (self.axes.y.across(end, self.axes.high) for end in ends)
        return (0.0, low, self.axes.wide, high) if ends[0] <= ends[1] else None

    @cached_property
    def marks(self) -> tuple[tuple[str, Symbol, Point], ...]:
        """The engines that are marked: words, symbol, place."""
        found: list[tuple[str, Symbol, Mark]] = [(OWN, dot, self.field.own)]
        if self.field.baseline is not None:
            found.insert(0, (BASELINE, diamond, self.field.baseline))
        return tuple((words, symbol, self.axes.at(at.boost, at.ratio)) for words, symbol, at in found)

    @cached_property
    def named(self) -> tuple[tuple[str, Point], ...]:
        """The words beside the marks, where there is room for them."""
        taken = [mark_box(at) for _, _, at in self.marks]
        found = []
        for words, _, at in self.marks:
            middle = beside(at, words, self.axes.box, taken, bold=True)
            if middle is not None:
                taken.append(words_box(middle, words, bold=True))
                found.append((words, middle))
        return tuple(found)

    @cached_property
    def labels(self) -> tuple[Labelled, ...]:
        """A label in each line, clear of marks, words and other labels, and of other lines where that can be."""
        taken = [mark_box(at) for _, _, at in self.marks]
        taken += [words_box(middle, words, bold=True) for words, middle in self.named]
        taken += [] if self.strip is None else [self.strip]
        found = []
        for contour, line in self.lines:
            others = [point for one, other in self.lines if one is not contour for point in other]
            middle = _clear(line, contour.text, self.axes.box, taken, others) if contour.text else None
            if middle is not None:
                taken.append(words_box(middle, contour.text))
                found.append(Labelled(contour=contour, middle=middle))
        return tuple(found)

    def items(self) -> Iterator[Item]:
        """Strip, lines, labels, marks, field, what it is."""
        if self.strip is not None:
            yield strip(self.strip)
        for contour, line in self.lines:
            yield Stroke(tuple(line), contour.width, contour.dash)
        for label in self.labels:
            yield centred(label.middle, label.contour.text, cleared=True)
        for words, middle in self.named:
            yield centred(middle, words, bold=True, cleared=True)
        for _, symbol, at in self.marks:
            yield from symbol(at)
        yield from self.axes.items()
        yield Lettering((-LEFT, self.axes.high + HEAD + 1.2), self.title, bold=True)


def _signed(text: str) -> str:
    """A difference with its sign."""
    turned = text.replace("-", "−")
    return turned if turned == "0" or turned.startswith("−") else f"+{turned}"


def _clear(line: Sequence[Point], text: str, room: Box, taken: Sequence[Box], others: Sequence[Point]) -> Point | None:
    """Where on a line its label lies over the fewest other lines, nearest to the line's middle."""
    best: tuple[int, int] | None = None
    found = None
    for n, middle in enumerate(line):
        box = words_box(middle, text)
        if not inside(box, room) or any(overlap(box, other, APART) for other in taken):
            continue
        struck = sum(box[0] <= x <= box[2] and box[1] <= y <= box[3] for x, y in others)
        rank = struck, abs(2 * n - len(line) + 1)
        if best is None or rank < best:
            best, found = rank, middle
    return found


def maps_scene(found: Sequence[Panel], told: Sequence[str], width: float) -> Scene:
    """The maps, two side by side; where a place is left over, what is said of them stands in it."""
    each = HEAD + TITLE + HIGH + FOOT
    height = each * math.ceil(len(found) / 2)
    items: list[Item] = []
    for n, panel in enumerate(found):
        items += moved(panel.items(), LEFT + n % 2 * (width + GAP) / 2, height - (n // 2 + 1) * each + FOOT)
    if len(found) % 2:
        wide, y = (width - GAP) / 2, FOOT + HIGH
        for text in told:
            for line in broken(text, wide, measure):
                y -= SMALL * LEADING
                items.append(Lettering((width - wide, y), line))
            y -= 1.8
    return Scene(width, height, tuple(items))


def panels(found: BoostField, wanted: Band | None, fmt: Formatter, width: float) -> tuple[Panel, ...]:
    """A map of each field that there is, for two side by side in a width, mm; ``wanted`` : of the static ratio."""
    grids = {
        "end_pressure": found.map.end_pressure,
        "end_temperature": found.map.end_temperature,
        OCTANE: found.map.octane_difference,
    }
    axes = Axes(
        x_key="boost_gauge",
        y_key="static_ratio",
        x=_scale("boost_gauge", found.map.boosts, fmt),
        y=_scale("static_ratio", found.map.ratios, fmt),
        wide=(width - GAP) / 2 - LEFT - EDGE,
        high=HIGH,
        fmt=fmt,
    )
    return tuple(
        Panel(key=key, values=grid.tolist(), axes=axes, field=found, wanted=wanted)
        for key, grid in grids.items()
        if grid is not None
    )


def _scale(key: str, axis: Sequence[float], fmt: Formatter) -> Scale:
    return scale_between(key, axis[0], axis[-1], fmt)
