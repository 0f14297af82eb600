"""Ruled tables: rows of broken texts between rules, with the head repeated on every page.

A table is measured once and torn row by row, so that ten thousand rows take ten times what a thousand do.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise
from typing import Any

from reportlab.platypus import Flowable

from ccassist.paper.sheet import BLACK, LEADING, PALE, SMALL, STRONG, TEXT, broken, measure
from ccassist.vocabulary.record import record

GAP = 7.0
KEPT = 500.0  # points; rows that are higher together than this are not kept together: no page might hold them
CLOSE = 7.6  # points: letters of a table whose rows stand close together
LAST = 3  # rows of a table that are not torn apart: none stands alone at the head of a page
PAD = 3.0  # points, on both sides of a cell
APART = 8.0  # points


class FixedSize(Flowable):  # type: ignore[misc]
    """Something drawn that has a fixed size."""

    width: float
    height: float

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its own size, whatever the room."""
        return self.width, self.height


Cells = tuple[tuple[str, ...], ...]  # the lines of each cell of a row


@record
class Row:
    """A row: its cells, the columns in bold and struck through, a rule above it, whether kept with the row above."""

    cells: Cells
    bold: Collection[int] = ()
    struck: Collection[int] = ()
    ruled: bool = False
    kept: bool = False


@record
class Look:
    """What the rows of a table have in common [points].

    ``words`` : columns set to the left; ``above``, ``below`` : between letters and rules.
    """

    widths: tuple[float, ...]
    words: Collection[int]
    size: float
    above: float
    below: float

    @property
    def leading(self) -> float:
        """From line to line."""
        return self.size * LEADING

    def pad(self, column: int) -> float:
        """What stays free left of a cell's letters: more where words stand after figures."""
        return PAD + apart(column, self.words)

    def high(self, cells: Cells) -> float:
        """Height of a row."""
        return max(map(len, cells)) * self.leading + self.above + self.below


def apart(column: int, words: Collection[int]) -> float:
    """How much farther a column of words stands from one of figures before it, points."""
    return APART if column in words and column - 1 not in words and column > 0 else 0.0


class Ruled(FixedSize):
    """A ruled table; ``ends`` : whether its last row is the last of all."""

    def __init__(self, head: Row, rows: Sequence[Row], look: Look, *, begins: bool = True, ends: bool = True) -> None:
        super().__init__()
        self.head, self.rows, self.look, self.begins, self.ends = head, rows, look, begins, ends
        self.width, self.height = sum(look.widths), self.begin(len(rows))
        self.spaceBefore, self.spaceAfter = 2.0 if begins else 0.0, GAP if ends else 0.0

    def begin(self, rows: int) -> float:
        """Height of its head and first rows."""
        return self.look.high(self.head.cells) + sum(self.look.high(row.cells) for row in self.rows[:rows])

    def split(self, width: float, height: float) -> list[Flowable]:  # the page maker's name
        """What a page of some height holds, and the rest; nothing where no row of it does."""
        fit, left = 0, height - self.look.high(self.head.cells)
        while fit < len(self.rows) and self.look.high(self.rows[fit].cells) <= left:
            left -= self.look.high(self.rows[fit].cells)
            fit += 1
        whole = fit
        while 0 < whole < len(self.rows) and self.rows[whole].kept:
            whole -= 1
        rows = whole or (fit if height > KEPT else 0)
        if not 0 < rows < len(self.rows):
            return [self] if rows else []
        return [
            Ruled(self.head, self.rows[:rows], self.look, begins=self.begins, ends=False),
            Ruled(self.head, self.rows[rows:], self.look, begins=False, ends=self.ends),
        ]

    def draw(self) -> None:
        """The letters row after row from the top, then the rules."""
        canvas, look, top = self.canv, self.look, self.height
        canvas.setFillGray(BLACK)
        letters, rules = canvas.beginText(), [(top, 0.9, BLACK)]
        struck: list[tuple[float, float, float, float]] = []
        for row in (self.head, *self.rows):
            if row.ruled:
                rules.append((top, 0.6, BLACK))
            for column, (x, low, wide, high) in self._boxes(row, top):
                struck += self.cell(letters, row, column, (x, low, wide, high))
            top -= look.high(row.cells)
            rules.append((top, 0.6, BLACK) if row is self.head else (top, 0.25, PALE))
        if self.ends:
            rules[-1] = (top, 0.9, BLACK)
        canvas.drawText(letters)
        for y, wide, shade in rules:
            canvas.setLineWidth(wide)
            canvas.setStrokeGray(shade)
            canvas.line(0, y, self.width, y)
        canvas.setLineWidth(0.7)
        canvas.setStrokeGray(BLACK)
        canvas.lines(struck)

    def _boxes(self, row: Row, top: float) -> Iterator[tuple[int, tuple[float, float, float, float]]]:
        """Of each cell of a row its column, and left, foot, width and height."""
        x, high = 0.0, self.look.high(row.cells)
        for column, wide in enumerate(self.look.widths):
            yield column, (x, top - high, wide, high)
            x += wide

    def cell(
        self, letters: Any, row: Row, column: int, box: tuple[float, float, float, float]
    ) -> list[tuple[float, float, float, float]]:
        """Write a cell's lines, those of the head at its foot; returns the strokes through them."""
        left, low, wide, high = box
        look, lines, strokes = self.look, row.cells[column], []
        font = STRONG if column in row.bold else TEXT
        down = high - look.below - len(lines) * look.leading if row is self.head else look.above
        y = low + high - down - look.size
        letters.setFont(font, look.size)
        for line in lines:
            x = left + look.pad(column) if column in look.words else left + wide - PAD - measure(line, font, look.size)
            letters.setTextOrigin(x, y)
            letters.textOut(line)
            if line and column in row.struck:
                middle = y + look.size * 0.27
                strokes.append((x, middle, x + measure(line, font, look.size), middle))
            y -= look.leading
        return strokes


def table(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
    *,
    words: Collection[int] = (0,),
    breaks: Collection[int] = (),
    strong: Collection[int] = (),
    cells: Collection[tuple[int, int]] = (),
    struck: Collection[int] = (),
    groups: Sequence[int] = (),
    close: bool = False,
) -> Ruled:
    """A ruled table of texts; one too wide for its column is broken into lines.

    widths : of the columns, points.
    words : columns of words, set to the left; the others are figures, set to the right.
    breaks : rows with a rule above them; strong : rows set in bold; cells : cells set in bold, by row and column.
    struck : rows whose figures are struck through.
    groups : the first row of each group that stays on one page, as far as one holds it; so do the last rows of all.
    close : rows close together, in smaller letters.
    """
    size, above, below = (CLOSE, 0.3, 0.9) if close else (SMALL, 1.8, 2.4)
    look = Look(widths=tuple(widths), words=words, size=size, above=above, below=below)
    every = range(len(widths))
    bold: dict[int, Collection[int]] = dict.fromkeys(strong, every)
    for row, column in cells:
        bold[row] = (*bold.get(row, ()), column)
    figures = [column for column in every if column not in words]
    head_lines = _lines(head, every, look)
    lines = [_lines(row, bold.get(n, ()), look) for n, row in enumerate(rows)]
    high = [look.high(cells) for cells in (head_lines, *lines)]
    kept = _kept(high, groups)
    made = [
        Row(
            cells=one,
            bold=bold.get(n, ()),
            struck=figures if n in struck else (),
            ruled=n in breaks,
            kept=n in kept,
        )
        for n, one in enumerate(lines)
    ]
    return Ruled(Row(cells=head_lines, bold=every), made, look)


def _lines(texts: Sequence[str], bold: Collection[int], look: Look) -> Cells:
    """The lines of each cell of a row."""
    return tuple(
        tuple(broken(text, STRONG if column in bold else TEXT, look.size, wide - PAD - look.pad(column)))
        for column, (text, wide) in enumerate(zip(texts, look.widths, strict=True))
    )


def _kept(high: Sequence[float], groups: Sequence[int]) -> set[int]:
    """The rows that stay with the one above them: the last few and those of a group, as far as a page holds them.

    ``high`` : of the head and of each row.
    """
    rows = len(high) - 1
    first = max(rows - LAST, 0)
    while sum(high[first + 1 :]) > KEPT:
        first += 1
    whole = [(first, rows), *((a, b) for a, b in pairwise([*groups, rows]) if sum(high[a + 1 : b + 1]) <= KEPT)]
    return {row for first, end in whole for row in range(first + 1, end)}
