"""Boost by static ratio as maps: lines of equal end pressure, end temperature and octane difference, one map each.

Three small maps rather than one: without colour three families of lines over each other cannot be read.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import field
from functools import cached_property

from reportlab.pdfgen.canvas import Canvas

from ccassist.boost.charge import curve as trapped_curve
from ccassist.paper.drawing import MEDIUM, Box, Point, kept
from ccassist.paper.furniture import Block, Cell, Line
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.plot import (
    FOOT,
    HEAD,
    LEFT,
    Frame,
    Grid,
    Symbol,
    Told,
    beside,
    contours,
    curve,
    diamond,
    dot,
    inside,
    line_boxes,
    mark_box,
    name_of,
    overlap,
    strip,
    told_near,
    words_box,
    words_on,
)
from ccassist.paper.sheet import BLACK, SMALL, Sheet
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.field import BoostField, Mark
from ccassist.plan.boost.story import CURVE, BoostStory
from ccassist.plan.boost.words import SHORT
from ccassist.report.scales import Scale, multiples, round_step, scale_between
from ccassist.values.display import Formatter
from ccassist.values.findings import capital
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

OWN, BASELINE = "this engine", "baseline"
OCTANE = "octane_difference"
HIGH, GAP, TITLE = 178.0, 20.0, 14.0
APART = 4.0  # points between labels
LINES, FEW = 7, 3  # about so many lines to a map, and to one of which only a part can be shown
_WIDE = 0.4  # the share of a map that is no longer a small part
_NORMAL, _HEAVY, _BETWEEN = 0.7, 1.5, 4.0
_DASHES = (4.0, 2.5)


@record
class Contour:
    """One line of a map: its value, the words on it, how it is drawn."""

    level: float
    text: str
    width: float = _NORMAL
    dash: tuple[float, ...] = ()


@record
class Labelled:
    """A label as placed: of which line, and where its middle lies in the field."""

    contour: Contour
    middle: Point


@record
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
        name = name_of(self.key, self.frame.fmt)
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
        unit = conversion(self.frame.fmt.unit(self.key))
        step = round_step((high - low) / unit.scale / count)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        octane = self.key == OCTANE
        for multiple in multiples(low, high, step, unit):
            level = multiple * unit.scale + unit.zero
            text = self.frame.fmt.amount(self.key, level, decimals=decimals)
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
        fmt=sheet.fmt,
    )
    wanted = sheet.survey.wanted.get("static_ratio")
    return tuple(
        Panel(key=key, values=grid.tolist(), frame=frame, field=found, wanted=wanted)
        for key, grid in grids.items()
        if grid is not None
    )


def _scale(key: str, axis: Sequence[float], sheet: Sheet) -> Scale:
    return scale_between(key, axis[0], axis[-1], sheet.fmt)


# Trapped ratio against intake closing, drawn: the curve of one cylinder, its closing, and the range of the phasing.

CURVE_HIGH = 190.0
_STEP = math.radians(2.5)
_ROOM = math.radians(10)  # beyond a closing that lies outside the usual
_GAP, _SERIF = 7.0, 4.0


class ClosingCurve(Block):
    """The curve of the cylinder with the highest ratio."""

    def __init__(self, sheet: Sheet, story: BoostStory) -> None:
        super().__init__()
        worst, closing = story.worst_one, story.card.intake_closing
        assert worst is not None
        assert worst.build is not None
        assert closing is not None
        self.sheet, self.story, self.worst, self.closing = sheet, story, worst, closing
        self.build: Build = worst.build
        self.width, self.height = sheet.width, HEAD + CURVE_HIGH + FOOT

    @property
    def reach(self) -> tuple[Value, Value] | None:
        """Intake closing with the cam fully advanced and fully retarded; None without phasing."""
        ends = self.story.card.reach("intake_closing") if self.story.card.phased("intake") else None
        return None if ends is None else (ends.earliest, ends.latest)

    @cached_property
    def points(self) -> list[Point]:
        """Closing and trapped ratio along the curve."""
        shown = [self.closing.nominal, *(end.nominal for end in self.reach or ())]
        first = CURVE[0] if min(shown) >= CURVE[0] else min(shown) - _ROOM
        last = CURVE[-1] if max(shown) <= CURVE[-1] else max(shown) + _ROOM
        pieces = round((last - first) / _STEP)
        closings = [first + (last - first) * n / pieces for n in range(pieces + 1)]
        found = trapped_curve(self.build.geometry.plain(), closings)
        return [(nominal(one.intake_closing), nominal(one.trapped_ratio)) for one in found]

    @cached_property
    def frame(self) -> Frame:
        """Scales that hold the curve and the static ratio."""
        ratios = [ratio for _, ratio in self.points]
        static = self.build.values["static_ratio"].nominal
        low, high = min(ratios), max(*ratios, static)
        room = 0.11 * (high - low)  # above: for the words on the static ratio
        fmt = self.sheet.fmt
        return Frame(
            x_key="intake_closing",
            y_key="trapped_ratio",
            x=scale_between("intake_closing", self.points[0][0], self.points[-1][0], fmt, 10),
            y=scale_between("trapped_ratio", low - room, high + room, fmt),
            wide=self.width - LEFT - 10,
            high=CURVE_HIGH,
            fmt=fmt,
        )

    @cached_property
    def dot(self) -> Point:
        """Where this engine lies on the drawing."""
        return self.frame.at(self.closing.nominal, self.build.values["trapped_ratio"].nominal)

    @cached_property
    def whisker(self) -> Box | None:
        """The ± of the closing, as wide as it is; None where there is none or it is not known."""
        spread = self.closing.expanded
        if not (math.isfinite(spread) and spread > 0):
            return None
        left, right = (self.frame.x.across(self.closing.nominal + side * spread, self.frame.wide) for side in (-1, 1))
        return left, self.dot[1] - _SERIF, right, self.dot[1] + _SERIF

    @cached_property
    def range(self) -> Box | None:
        """The strip of the phasing; None without it."""
        if self.reach is None:
            return None
        left, right = (self.frame.x.across(end.nominal, self.frame.wide) for end in self.reach)
        return left, 0.0, right, self.frame.high

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """The words on the drawing, clear of its lines and of each other."""
        frame, fmt = self.frame, self.sheet.fmt
        static, trapped = (self.build.values[key] for key in ("static_ratio", "trapped_ratio"))
        level = frame.y.across(static.nominal, frame.high)
        taken = line_boxes([frame.at(*point) for point in self.points])
        taken += [(0.0, level, frame.wide, level), mark_box(self.dot), *([self.whisker] if self.whisker else [])]
        here = (f"this engine: {fmt.value(self.closing)}", _shown(trapped, fmt))
        wanted: list[tuple[tuple[str, ...], str, Point]] = [
            ((_shown(static, fmt),), TEXT, (frame.wide, level + _GAP)),
            (here, STRONG, (self.dot[0] + _GAP, self.dot[1] + _GAP)),
        ]
        if self.range is not None:
            left, low, right, high = self.range
            taken += [(x, low, x, high) for x in (left, right)]
            wanted.append((self._ends(), TEXT, (right, 0.0)))
        found = []
        for lines, font, near in wanted:
            told = told_near(lines, font, near, frame.box, taken)
            if told is not None:
                taken.append(told.box)
                found.append(told)
        return tuple(found)

    def _ends(self) -> tuple[str, ...]:
        """The phasing in words, with the trapped ratio at both of its ends."""
        fmt = self.sheet.fmt
        ends = zip(("advanced", "retarded"), self.reach or (), (self.worst.earliest, self.worst.latest), strict=False)
        return (
            "grey: range of the intake cam's phasing",
            *(
                f"fully {way}, {fmt.show('intake_closing', at.nominal)}: {fmt.value(ratio)}"
                for way, at, ratio in ends
                if ratio is not None
            ),
        )

    def draw(self) -> None:
        """Range, static ratio, curve, closing, words, frame."""
        canvas, frame = self.canv, self.frame
        canvas.saveState()
        canvas.translate(LEFT, FOOT)
        if self.range is not None:
            strip(canvas, *self.range)
        level = frame.y.across(self.build.values["static_ratio"].nominal, frame.high)
        curve(canvas, [(0, level), (frame.wide, level)], MEDIUM, (3, 2))
        curve(canvas, [frame.at(*point) for point in self.points], 1.3)
        if self.whisker is not None:
            left, low, right, high = self.whisker
            canvas.setLineWidth(0.9)
            canvas.setStrokeGray(BLACK)
            canvas.lines([(left, self.dot[1], right, self.dot[1]), *((x, low, x, high) for x in (left, right))])
        dot(canvas, self.dot)
        for one in self.told:
            one.draw(canvas)
        frame.draw(canvas)
        canvas.restoreState()


def _shown(ratio: Value, fmt: Formatter) -> str:
    return f"{SHORT.get(ratio.key, term(ratio.key).name)} {fmt.value(ratio)}"


__all__ = ["ClosingCurve", "Maps", "Panel", "panels"]
