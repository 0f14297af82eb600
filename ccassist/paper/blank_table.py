"""The rows of a form: a box for every reading, its unit printed in it, and one for the sum by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.bench.forms import IN_WORDS, LEAKS, NOT_READ, POINTS, Form, columns, row_sums, rows_of
from ccassist.bench.step import Field, Method
from ccassist.engine.model import RELATIONS
from ccassist.paper.blank_boxes import LABEL, Pen, text_box, tick_box
from ccassist.paper.sheet import BLACK, BOTTOM, SMALL, STRONG, TEXT, broken, cut, measure
from ccassist.report.workings import formula
from ccassist.values.display import Formatter, formatter
from ccassist.vocabulary import Sign, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

if TYPE_CHECKING:
    from ccassist.paper.blank_boxes import Print


LABELS = 50.0  # points: the column that says which cylinder
HEAD, SMALL_TICK = 34.0, 10.0
PRESSED = 0.95  # of the least height of a row: where all rows stand on the page so, none is alone on the next
BLOCKS, POINT = 4, 18.0  # blocks of points side by side, and how high one is


@record
class RowGrid:
    """The rows of one page, and how high each is."""

    rows: tuple[tuple[str, int], ...]
    high: float


@record
class Column:
    """One column: the box of a reading, or of a sum (no field)."""

    method: Method | None
    repeat: int
    field: Field | None
    words: str
    unit: str = ""
    share: float = 1.0

    @property
    def sign(self) -> Sign | None:
        """The words of its sign, where it has one that can be mistaken."""
        sign = term(self.field.term).sign if self.field else None
        return None if sign is None or (sign.bare_is_plus and self.field and self.field.name != "angle") else sign


def grid_of(form: Form, what: Print, *, first: float, later: float, tallest: float, least: float) -> list[RowGrid]:
    """The rows over the pages: as high as the room allows, within what a hand can fill."""
    if form.points:
        return [RowGrid(rows=(), high=POINT if first >= points_height(form) else 0.0)]
    rows = list(rows_of(form, what.cylinders))
    pages: list[RowGrid] = []
    room = first - HEAD
    while rows:
        lowest = least if form.by_line or room / len(rows) < PRESSED * least else room / len(rows)
        count = max(1, min(len(rows), int(room / lowest + 1e-6)))
        if form.by_line:
            rows = rows[:count]  # lines are as many as fit
        high = min(tallest, room / count)
        pages.append(RowGrid(rows=tuple(rows[:count]), high=high))
        rows, room = rows[count:], later - HEAD
    return pages


def columns_of(form: Form, fmt: Formatter) -> list[Column]:
    """The columns of a row, from left to right."""
    found: list[Column] = []
    repeats = max(form.repeats(m) for m in form.methods)
    for method in form.methods:
        times = 1 if form.by_line else form.repeats(method)
        for repeat in range(1, times + 1):
            for field in columns(method):
                unit = fmt.unit(field.term)
                share = 1.8 if term(field.term).sign else 1.0
                found.append(
                    Column(method=method, repeat=repeat, field=field, words=field.words, unit=unit, share=share)
                )
            found += _sum_of(method, repeat, fmt)
    if len(form.methods) == 1 and repeats > 1 and not form.by_line:
        unit = _result_unit(form, form.methods[0], fmt)
        found.append(Column(method=None, repeat=0, field=None, words="mean", unit=unit))
    return found


def _sum_of(method: Method, repeat: int, fmt: Formatter) -> Iterator[Column]:
    """The columns of the sum by hand, where several boxes make one figure."""
    for words, key in row_sums(method):
        yield Column(method=method, repeat=repeat, field=None, words=words, unit=fmt.unit(key))


def _result_unit(form: Form, method: Method, fmt: Formatter) -> str:
    """The unit of what several rows come to."""
    return fmt.unit(form.step.finds(method))


class _Rows:
    """Draws the rows of one page."""

    def __init__(self, pen: Pen, form: Form, what: Print, page: int) -> None:
        self.pen, self.form, self.what, self.page = pen, form, what, page
        self.columns = columns_of(form, formatter(what.system))
        shares = sum(c.share for c in self.columns)
        self.labels = LABELS if not (form.by_line and form.whole) else 26.0
        self.each = (pen.width - self.labels) / shares

    def name(self, *parts: str) -> str:
        """The name of a field of this page."""
        return self.form.box_name(self.page, self.what.system, *parts)

    def edges(self) -> Iterator[tuple[float, float, Column]]:
        """Left edge and width of every column."""
        x = self.pen.left + self.labels
        for column in self.columns:
            yield x, self.each * column.share, column
            x += self.each * column.share

    def head(self) -> None:
        """What each column holds; repeats are numbered over it."""
        pen, top = self.pen, self.pen.y
        pen.y -= HEAD
        label = "line" if self.form.by_line and self.form.whole else "cylinder"
        pen.write(pen.left, pen.y + 3, label, font=STRONG, size=LABEL)
        last: tuple[object, int] | None = None
        for x, wide, column in self.edges():
            group = (column.method, column.repeat)
            if group != last and column.repeat and not self.form.by_line:
                pen.write(x + 1, top - 8, f"reading {column.repeat}", font=STRONG, size=LABEL)
            last = group
            lines = broken(column.words, TEXT, 6.9, wide - 3)[:3]
            for place, line in enumerate(reversed(lines)):
                pen.write(x + 1, pen.y + 3 + 7.4 * place, cut(line, TEXT, 6.9, wide - 2), size=6.9)

    def row(self, row: str, before: int, high: float) -> None:
        """One cylinder, or one line."""
        pen = self.pen
        pen.y -= high
        box_high = high - 3
        if not self.form.by_line:
            pen.write(pen.left + 4, pen.y + box_high / 2 - 4, row, font=STRONG, size=13)
        elif self.form.whole:
            pen.write(pen.left + 4, pen.y + box_high / 2 - 4, row, size=10)
        else:
            text_box(pen.canvas, self.name("n", row), "cylinder", (pen.left, pen.y, self.labels - 6, box_high))
        if before:
            pen.write(pen.left + 14, pen.y + box_high / 2 - 3, f"from {before + 1}", size=LABEL)
        asked = self.form.asked(self.what.cylinders)
        last = before + max(c.repeat for c in self.columns) >= asked  # the mean stands beside the last of them
        for x, wide, column in self.edges():
            repeat = column.repeat and column.repeat + before
            if repeat <= asked and (repeat or last):
                self._box(row, replace(column, repeat=repeat), (x, pen.y, wide - 3, box_high))

    def _box(self, row: str, column: Column, place: tuple[float, float, float, float]) -> None:
        x, y, wide, high = place
        canvas, repeat = self.pen.canvas, str(column.repeat)
        if column.field is None:
            name = self.name(NOT_READ, row, repeat, column.method.key if column.method else "mean", column.words[2:])
            text_box(canvas, name, f"{column.words}, by hand", place, unit=column.unit, bold=True)
            return
        which = f"line {row}" if self.form.by_line else f"cylinder {row}, reading {repeat}"
        hint = f"{which}: {column.field.words}"
        sign = column.sign
        beside = 0.0 if sign is None else _sign_width(sign)
        text_box(
            canvas, self.name("r", row, repeat, column.field.name), hint, (x, y, wide - beside, high), unit=column.unit
        )
        if sign is None:
            return
        for place_up, (key, words) in enumerate((("minus", sign.minus), ("plus", sign.plus))):
            at = y + place_up * high / 2 + (high / 2 - SMALL_TICK) / 2
            tick = self.name("s", row, repeat, column.field.name, key)
            tick_box(canvas, tick, f"{hint}: {words[0]}", x + wide - beside + 2, at, SMALL_TICK)
            self.pen.write(x + wide - beside + SMALL_TICK + 4, at + 2.6, _short(words), size=6.9)


def _short(words: Sequence[str]) -> str:
    """The first of the words that may be said, cut to one where that alone says it."""
    first = words[0].split(" ")[0]
    return first if first in words else words[0]


def _sign_width(sign: Sign) -> float:
    return SMALL_TICK + 6 + max(measure(_short(words), TEXT, 6.9) for words in (sign.plus, sign.minus))


def draw_rows(pen: Pen, form: Form, what: Print, grid: RowGrid, *, page: int) -> None:
    """The rows of one page, with their head."""
    rows = _Rows(pen, form, what, page)
    rows.head()
    for row in grid.rows:
        rows.row(*row, grid.high)


def points_height(form: Form) -> float:
    """Room for the points of one outline, or the stages of one fill, points."""
    return POINT * POINTS / BLOCKS + 14 + (0 if form.whole else 22)


def draw_points(pen: Pen, form: Form, what: Print, grid: RowGrid, *, page: int) -> None:
    """Points of one outline, or stages of one fill, in blocks; over them the cylinder, where they are one's own."""
    fields = form.methods[0].fields
    blocks, each = BLOCKS, POINTS // BLOCKS
    wide, high = pen.width / blocks, POINT
    if not form.whole:
        pen.y -= 22
        pen.write(pen.left, pen.y + 5, "cylinder", font=STRONG, size=LABEL)
        box = form.box_name(page, what.system, "n", "1")
        text_box(pen.canvas, box, "cylinder", (pen.left + 46, pen.y, LABELS, high - 1))
    pen.y -= 14
    for block in range(blocks):
        left = pen.left + block * wide
        for place, field in enumerate(fields):
            x = left + 18 + place * (wide - 24) / len(fields)
            pen.fit(x, pen.y + 2, field.name, 40, font=STRONG, shade=BLACK)
    for line in range(each):
        pen.y -= high
        for block in range(blocks):
            number = block * each + line + 1
            left = pen.left + block * wide
            pen.write(left, pen.y + 4, str(number), size=LABEL)
            for place, field in enumerate(fields):
                room = (wide - 24) / len(fields)
                name = form.box_name(page, what.system, "p", str(number), field.name)
                unit = term(field.term).shown(what.system)
                frame = (left + 18 + place * room, pen.y, room - 2, high - 2)
                text_box(pen.canvas, name, f"point {number}, {field.name}", frame, unit=unit)


# Below the rows: what shows a leak, and how the readings are worked up by hand.

Entry = tuple[str, str, tuple[str, ...]]  # words over a box, its unit, its name
LEAK_HIGH, LINE, RULE = 45.0, 11.0, 20.0
MEAN_HIGH, MEANS = 32.0, 8  # points; boxes in a row


def tail_height(form: Form, what: Print) -> float:
    """Room for what stands below the rows, points."""
    means = MEAN_HIGH * -(-len(_means(form, what)) // MEANS) if _means(form, what) else 0.0
    return (LEAK_HIGH if form.leak else 0.0) + means + LINE * len(_lines(form, what.system)) + 6


def draw_tail(pen: Pen, form: Form, what: Print, *, page: int) -> None:
    """The means, the leak check of one fill, and the formulas for the sums by hand."""
    _mean_boxes(pen, form, what, page)
    if form.leak:
        _leak(pen, form, what, page)
    pen.y -= 4
    for line in _lines(form, what.system):
        pen.y -= LINE
        pen.fit(pen.left, pen.y, line, pen.width)
    _notes(pen)


def _means(form: Form, what: Print) -> list[tuple[str, str]]:
    """The boxes for means that stand in no row: the words over each, and its unit."""
    fmt = formatter(what.system)
    if form.points:
        return [] if form.step.fills else [("area inside the outline", fmt.unit(form.methods[0].result))]
    if form.step.curve is not None or not form.step.part or not (form.by_line or len(form.methods) > 1):
        return []
    method = form.methods[0]
    if form.by_line and not form.whole:
        return [(f"mean, cylinder {n}", _result_unit(form, method, fmt)) for n in range(1, what.cylinders + 1)]
    return [(f"mean {_short_name(m)}", _result_unit(form, m, fmt)) for m in form.methods]


def _short_name(method: Method) -> str:
    return method.title if len(method.fields) == 1 else term(method.result).name


def _mean_boxes(pen: Pen, form: Form, what: Print, page: int) -> None:
    found = _means(form, what)
    for start in range(0, len(found), MEANS):
        row = found[start : start + MEANS]
        wide = min(pen.width / len(row), 150.0)
        pen.y -= MEAN_HIGH
        for place, (words, unit) in enumerate(row):
            x = pen.left + place * wide
            pen.fit(x, pen.y + 22, words, wide - 4)
            name = form.box_name(page, what.system, NOT_READ, "mean", str(start + place + 1))
            text_box(pen.canvas, name, f"{words}, by hand", (x, pen.y, wide - 4, 19.5), unit=unit, bold=True)


def _notes(pen: Pen) -> None:
    """Lines to write on, where the page has room for them."""
    if pen.y - BOTTOM < 3 * RULE:
        return
    pen.y -= 18
    pen.write(pen.left, pen.y, "Notes", font=STRONG, size=LABEL)
    pen.canvas.setStrokeGray(BLACK)
    pen.canvas.setLineWidth(0.3)
    pen.canvas.setDash(1, 2)
    while pen.y - RULE > BOTTOM:
        pen.y -= RULE
        pen.canvas.line(pen.left, pen.y, pen.left + pen.width, pen.y)
    pen.canvas.setDash()


def _lines(form: Form, system: str) -> list[str]:
    """What the sums are, in the symbols of the worksheet, with the factors of these units."""
    lines = [line for method in form.methods for line in IN_WORDS.get(method.key, ())]
    lines += [f"{term(RELATIONS[key].gives).name}: {formula(RELATIONS[key])}" for key in form.by_hand]
    if form.by_hand:
        lines.append(factors(system))
    if any(method.refills and method.along for method in form.methods) and not form.points:
        lines.append("Refilled? Write both starts and both ends with ; between: 0; 0 and 50; 12.4.")
    if any(choice.name == "hole" for choice in form.choices):
        lines.append("Fluid in the plate's hole: π/4 × diameter² × thickness, taken off once.")
    return lines


def factors(system: str) -> str:
    """What turns the sums of a page into cc and cm², in its own units.

    >>> factors("metric")
    'mm³ ÷ 1000 = cc; mm² ÷ 100 = cm²'
    >>> factors("imperial")
    'in³ × 16.387 = cc; thou ÷ 1000 = in'
    """
    if system == "metric":
        return f"mm³ ÷ {_times('cc', 'mm3'):g} = cc; mm² ÷ {_times('cm2', 'mm2'):g} = cm²"
    return f"in³ × {_times('in3', 'cc'):.3f} = cc; thou ÷ {_times('in', 'thou'):g} = in"


def _times(large: str, small: str) -> float:
    """How many of a small unit make a large one."""
    return round(conversion(large).scale / conversion(small).scale, 9)


def _leak(pen: Pen, form: Form, what: Print, page: int) -> None:
    """One row: which fill, when it ended, and up to four readings afterwards."""

    def name(*parts: str) -> str:
        return form.box_name(page, what.system, "l", *parts)

    pen.y -= 13
    pen.write(pen.left, pen.y, "Level falling? One fill topped up and read again:", font=STRONG, size=SMALL)
    fields = {f.name: f for f in form.leak}
    which: list[Entry] = [("line" if form.by_line else "cylinder", "", ("row",))]
    which += [] if form.by_line else [("reading", "", ("repeat",))]
    time, level = (term(fields[key].term).shown(what.system) for key in ("fill_time", "settle"))
    cells: list[Entry] = [*which, ("end of fill at", time, ("fill_time",))]
    for n in range(1, LEAKS + 1):
        cells += [(f"at, {n}", time, ("settle_at", str(n))), (f"level, {n}", level, ("settle", str(n)))]
    wide = pen.width / len(cells)
    pen.y -= 29
    for place, (words, unit, parts) in enumerate(cells):
        x = pen.left + place * wide
        pen.fit(x, pen.y + 19, words, wide - 3)
        text_box(pen.canvas, name(*parts), words, (x, pen.y, wide - 3, 17.5), unit=unit)
