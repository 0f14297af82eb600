"""Boost by static ratio as maps: lines of equal end pressure, end temperature and octane difference, one map each.

Three small maps rather than one: without colour three families of lines over each other cannot be read.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from reportlab.pdfgen.canvas import Canvas

from ccassist.paper.chart import Scale, multiples, round_step, scale_between
from ccassist.paper.contours import Grid, contours
from ccassist.paper.drawing import Box, kept
from ccassist.paper.furniture import Block, Cell, Line
from ccassist.paper.plot import (
    FOOT,
    HEAD,
    LEFT,
    Frame,
    Symbol,
    beside,
    curve,
    diamond,
    dot,
    inside,
    mark_box,
    name_of,
    overlap,
    strip,
    words_box,
    words_on,
)
from ccassist.paper.shapes import Point
from ccassist.paper.sheet import BLACK, SMALL, STRONG, Sheet
from ccassist.plan.boost.field import BoostField, Mark
from ccassist.values.band import Band
from ccassist.values.display import amount
from ccassist.values.findings import capital
from ccassist.values.units import conversion, shown_unit
from ccassist.vocabulary import term

OWN, BASELINE = "this engine", "baseline"
OCTANE = "octane_difference"
HIGH, GAP, TITLE = 178.0, 20.0, 14.0
APART = 4.0  # points between labels
LINES, FEW = 7, 3  # about so many lines to a map, and to one of which only a part can be shown
_WIDE = 0.4  # the share of a map that is no longer a small part
_NORMAL, _HEAVY, _BETWEEN = 0.7, 1.5, 4.0
_DASHES = (4.0, 2.5)


@dataclass(frozen=True, kw_only=True)
class Contour:
    """One line of a map: its value, the words on it, how it is drawn."""

    level: float
    text: str
    width: float = _NORMAL
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Labelled:
    """A label as placed: of which line, and where its middle lies in the field."""

    contour: Contour
    middle: Point


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One map, before it is drawn.

    Attributes
    ----------
    key : what its lines show; ``values`` the grid of it, SI.
    frame : scales and size.
    field : the map it is taken from.
    wanted : a band of static ratio shown as a strip.
    """

    key: str
    values: Grid = field(repr=False)
    frame: Frame
    field: BoostField = field(repr=False)
    wanted: Band | None = None

    @property
    def title(self) -> str:
        """What its lines show, with the unit."""
        name = name_of(self.key, self.frame.system)
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
        return (*found, *(Contour(level=end, text=_signed(f"{end:g}"), dash=_DASHES) for end in ends))

    def _round(self, low: float, high: float, count: int) -> Iterator[Contour]:
        """About so many lines at round values in the shown unit; that of an octane difference of nothing is heavy."""
        unit = conversion(shown_unit(term(self.key), self.frame.system))
        step = round_step((high - low) / unit.scale / count)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        octane = self.key == OCTANE
        for multiple in multiples(low, high, step, unit):
            level = multiple * unit.scale + unit.zero
            text = amount(self.key, level, system=self.frame.system, decimals=decimals)
            heavy = octane and level == 0
            yield Contour(level=level, text=_signed(text) if octane else text, width=_HEAVY if heavy else _NORMAL)

    @cached_property
    def lines(self) -> tuple[tuple[Contour, list[Point]], ...]:
        """Every line on the page's field."""
        across = [self.frame.x.across(boost, self.frame.wide) for boost in self.field.map.boosts]
        up = [self.frame.y.across(ratio, self.frame.high) for ratio in self.field.map.ratios]
        return tuple((one, line) for one in self.contours for line in contours(across, up, self.values, one.level))

    @cached_property
    def strip(self) -> Box | None:
        """Where the static ratio is as wanted."""
        if self.wanted is None:
            return None
        ends = max(self.wanted.low, self.frame.y.low), min(self.wanted.high, self.frame.y.high)
        low, high = (self.frame.y.across(end, self.frame.high) for end in ends)
        return (0.0, low, self.frame.wide, high) if ends[0] <= ends[1] else None

    @cached_property
    def marks(self) -> tuple[tuple[str, Symbol, Point], ...]:
        """The engines that are marked: words, symbol, place."""
        found: list[tuple[str, Symbol, Mark]] = [(OWN, dot, self.field.own)]
        if self.field.baseline is not None:
            found.insert(0, (BASELINE, diamond, self.field.baseline))
        return tuple((words, symbol, self.frame.at(at.boost, at.ratio)) for words, symbol, at in found)

    @cached_property
    def named(self) -> tuple[tuple[str, Point], ...]:
        """The words beside the marks, where there is room for them."""
        taken = [mark_box(at) for _, _, at in self.marks]
        found = []
        for words, _, at in self.marks:
            middle = beside(at, words, self.frame.box, taken, STRONG)
            if middle is not None:
                taken.append(words_box(middle, words, STRONG))
                found.append((words, middle))
        return tuple(found)

    @cached_property
    def labels(self) -> tuple[Labelled, ...]:
        """A label in each line, clear of marks, words and other labels, and of other lines where that can be."""
        taken = [mark_box(at) for _, _, at in self.marks]
        taken += [words_box(middle, words, STRONG) for words, middle in self.named]
        taken += [] if self.strip is None else [self.strip]
        found = []
        for contour, line in self.lines:
            others = [point for one, other in self.lines if one is not contour for point in other]
            middle = _clear(line, contour.text, self.frame.box, taken, others) if contour.text else None
            if middle is not None:
                taken.append(words_box(middle, contour.text))
                found.append(Labelled(contour=contour, middle=middle))
        return tuple(found)

    def draw(self, canvas: Canvas) -> None:
        """Strip, lines, labels, marks, frame."""
        frame = self.frame
        if self.strip is not None:
            strip(canvas, *self.strip)
        for contour, line in self.lines:
            curve(canvas, line, contour.width, contour.dash)
        for label in self.labels:
            words_on(canvas, label.middle, label.contour.text)
        for words, middle in self.named:
            words_on(canvas, middle, words, STRONG)
        for _, symbol, at in self.marks:
            symbol(canvas, at)
        frame.draw(canvas)
        canvas.setFillGray(BLACK)
        canvas.setFont(STRONG, SMALL)
        canvas.drawString(-LEFT, frame.high + HEAD + 3, self.title)


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


class Maps(Block):
    """The maps, two side by side; where a place is left over, what is said of them stands in it."""

    def __init__(self, sheet: Sheet, found: BoostField, told: Sequence[str]) -> None:
        super().__init__()
        self.panels = panels(sheet, found)
        self.told = told if len(self.panels) % 2 else ()
        self.each = HEAD + TITLE + HIGH + FOOT
        self.width, self.height = sheet.width, self.each * math.ceil(len(self.panels) / 2)

    def draw(self) -> None:
        """One after another."""
        for n, panel in enumerate(self.panels):
            with kept(self.canv):
                left = LEFT + n % 2 * (self.width + GAP) / 2
                self.canv.translate(left, self.height - (n // 2 + 1) * self.each + FOOT)
                panel.draw(self.canv)
        if self.told:
            wide = (self.width - GAP) / 2
            cell = Cell(*(line for text in self.told for line in (Line(text), Line(" ", size=_BETWEEN))))
            cell.wrap(wide, HIGH)
            cell.drawOn(self.canv, self.width - wide, FOOT + HIGH - cell.height)


def panels(sheet: Sheet, found: BoostField) -> tuple[Panel, ...]:
    """A map of each field that there is."""
    grids = {
        "end_pressure": found.map.end_pressure,
        "end_temperature": found.map.end_temperature,
        OCTANE: found.map.octane_difference,
    }
    frame = Frame(
        x_key="boost_gauge",
        y_key="static_ratio",
        x=_scale("boost_gauge", found.map.boosts, sheet),
        y=_scale("static_ratio", found.map.ratios, sheet),
        wide=(sheet.width - GAP) / 2 - LEFT,
        high=HIGH,
        system=sheet.system,
    )
    wanted = sheet.survey.wanted.get("static_ratio")
    return tuple(
        Panel(key=key, values=grid.tolist(), frame=frame, field=found, wanted=wanted)
        for key, grid in grids.items()
        if grid is not None
    )


def _scale(key: str, axis: Sequence[float], sheet: Sheet) -> Scale:
    return scale_between(key, axis[0], axis[-1], sheet.system)


__all__ = ["Maps", "Panel", "panels"]
