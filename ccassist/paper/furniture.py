"""Page furniture: headings, prose, ruled tables with repeated heads, large figures, boxes, signatures, columns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import (
    ActionFlowable,
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
)

from ccassist.paper.ruled import GAP, FixedSize, Ruled
from ccassist.paper.sheet import (
    BLACK,
    BODY,
    GREY,
    LARGE,
    LEADING,
    SMALL,
    STRONG,
    TEXT,
    Sheet,
    broken,
    cut,
    markup,
    measure,
)
from ccassist.values.display import unbroken
from ccassist.vocabulary.record import record

_ENDLESS = 1e6
SCALES = (1.0, 0.96, 0.92, 0.88, 0.85)  # of a page that is to hold all of something: its smallest type stays legible


@record(kw_only=False)
class LineText:
    """One line of a box or drawing: text, font, size, shade."""

    text: str
    font: str = TEXT
    size: float = SMALL
    shade: float = BLACK


class CellText(FixedSize):
    """A few lines, broken to the width that they get; drawn as they are, never read as markup."""

    def __init__(self, *lines: LineText) -> None:
        super().__init__()
        self.lines = lines
        self.broken: list[LineText] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Break the lines; the whole width is taken."""
        self.broken = [
            LineText(part, line.font, line.size, line.shade)
            for line in self.lines
            for part in broken(line.text, line.font, line.size, width)
        ]
        self.width, self.height = width, sum(line.size * LEADING for line in self.broken)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the lines from the top."""
        y = self.height
        for line in self.broken:
            y -= line.size * LEADING
            self.canv.setFillGray(line.shade)
            self.canv.setFont(line.font, line.size)
            self.canv.drawString(0.0, y + line.size * (LEADING - 1), line.text)


class NumberedHeading(FixedSize):
    """A numbered heading under a heavy rule; it is also entered in the reader's outline."""

    def __init__(self, title: str, width: float) -> None:
        super().__init__()
        self.title, self.width, self.height = title, width, 27.0

    def draw(self) -> None:
        """Rule and title."""
        self.canv.mark(self.title)
        self.canv.setStrokeGray(BLACK)
        self.canv.setLineWidth(1.4)
        self.canv.line(0, self.height - 2, self.width, self.height - 2)
        self.canv.setFillGray(BLACK)
        self.canv.setFont(STRONG, LARGE)
        self.canv.drawString(0, 8, self.title)


class OutlineEntry(FixedSize):
    """An entry in the reader's outline, with nothing to be seen."""

    width = height = 0.0

    def __init__(self, title: str) -> None:
        super().__init__()
        self.title = title

    def draw(self) -> None:
        """Enter it."""
        self.canv.mark(self.title)


def heading(title: str, width: float, *, room: float = 120) -> list[Flowable]:
    """A heading with room for what follows it."""
    return [CondPageBreak(room), Spacer(1, 10), NumberedHeading(title, width)]


@cache
def style(
    font: str = TEXT,
    size: float = BODY,
    *,
    shade: float = BLACK,
    before: float = 0.0,
    after: float = 4.0,
    indent: float = 0.0,
    keep: bool = False,
) -> ParagraphStyle:
    """A paragraph style; the same arguments give the same style."""
    return ParagraphStyle(
        name=f"{font} {size}",
        fontName=font,
        fontSize=size,
        leading=size * 1.32,
        textColor=(shade, shade, shade),
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=indent,
        bulletFontName=STRONG,
        bulletFontSize=size,
        keepWithNext=keep,
    )


SHORT = 90.0  # points: a paragraph no higher than this is not torn over a page


class Prose(Paragraph):  # type: ignore[misc]  # the library has no types
    """A paragraph; a short one goes to the next page whole."""

    def split(self, width: float, height: float) -> list[Flowable]:
        """Its parts where it is torn over a page; nothing where it moves as it is."""
        return [] if self.height <= SHORT else list(super().split(width, height))


def prose(text: str, font: str = TEXT, size: float = BODY, **more: Any) -> Paragraph:
    """A paragraph of plain text, broken and carried over pages as needed."""
    return Prose(markup(unbroken(text)), style(font, size, **more))


def subheading(text: str, *, room: float = 70) -> list[Flowable]:
    """A small heading inside a section."""
    return [CondPageBreak(room), prose(text, STRONG, 10.2, before=8, after=3)]


def together(*story: Flowable) -> list[Flowable]:
    """What must not be torn apart, such as a short table and the note below it; split only where no page holds it."""
    return [KeepTogether([one for one in story if not isinstance(one, CondPageBreak)])]


def labelled(label: str, text: str, *, indent: float = 46, size: float = BODY) -> Paragraph:
    """A paragraph hung beside a short bold word."""
    return Prose(markup(unbroken(text)), style(TEXT, size, indent=indent), bulletText=label)


class Boxes(FixedSize):
    """Cells side by side between two rules, divided by thin ones."""

    def __init__(self, cells: Sequence[CellText], width: float) -> None:
        super().__init__()
        self.cells, self.width = cells, width
        self.each = width / len(cells)
        self.height = 18 + max(cell.wrap(self.each - 16, 1e6)[1] for cell in cells)

    def draw(self) -> None:
        """Rules, then the cells."""
        canvas = self.canv
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.lines([(0, 6, self.width, 6), (0, self.height, self.width, self.height)])
        canvas.setLineWidth(0.4)
        for i, cell in enumerate(self.cells):
            if i:
                canvas.line(i * self.each, 6, i * self.each, self.height)
            cell.drawOn(canvas, i * self.each + (8 if i else 1), self.height - 6 - cell.height)


class LargeFigure(FixedSize):
    """A box with one large figure."""

    HEIGHT = 77.0

    def __init__(self, title: str, figure: str, *words: str) -> None:
        super().__init__()
        self.title, self.figure, self.words = title, figure, words

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """As wide as given, of fixed height."""
        self.width, self.height = width, self.HEIGHT
        return width, self.HEIGHT

    def draw(self) -> None:
        """Box, title, figure, words; what is too wide is set smaller."""
        canvas, inside = self.canv, self.width - 14
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.rect(0, 0, self.width, self.height, stroke=1, fill=0)
        lines = [
            LineText(self.title, shade=GREY),
            LineText(self.figure, STRONG, fitted(self.figure, STRONG, (17.0, 10.0), inside)),
            *(LineText(words, size=fitted(words, TEXT, (SMALL, 6.8), inside)) for words in self.words[:2]),
        ]
        for line, y in zip(lines, (63, 40, 22, 9), strict=False):
            canvas.setFont(line.font, line.size)
            canvas.setFillGray(line.shade)
            canvas.drawString(7, y, cut(line.text, line.font, line.size, inside))


def fitted(text: str, font: str, sizes: tuple[float, float], room: float) -> float:
    """The largest size between two [points] in which a text has room; the smaller one where it has in none."""
    most, least = sizes
    return max(least, min(most, most * (room - 0.1) / max(measure(text, font, most), 0.1)))


class LargeFigures(FixedSize):
    """Large figures in a row."""

    def __init__(self, figures: Sequence[LargeFigure], width: float) -> None:
        super().__init__()
        self.figures, self.width, self.height = figures, width, LargeFigure.HEIGHT

    def draw(self) -> None:
        """One beside the other."""
        gap = 8.0
        each = min((self.width - gap * (len(self.figures) - 1)) / len(self.figures), self.width / 2)
        for i, figure in enumerate(self.figures):
            figure.wrap(each, self.height)
            figure.drawOn(self.canv, i * (each + gap), 0)


class Signatures(FixedSize):
    """Boxes to be signed by hand."""

    ROW = 32.0

    def __init__(self, width: float, boxes: Sequence[tuple[str, str]], *, remarks: int = 0) -> None:
        super().__init__()
        self.boxes, self.remarks = boxes, remarks
        self.width, self.height = width, self.ROW * len(boxes) + (remarks * 24 + 26 if remarks else 0)
        self.spaceBefore = 8.0

    def draw(self) -> None:
        """A frame, its rows, and lines for remarks."""
        canvas, y = self.canv, self.height
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.rect(0, 0, self.width, self.height, stroke=1, fill=0)
        columns = (0.0, self.width * 0.42, self.width * 0.62)
        for who, when in self.boxes:
            y -= self.ROW
            canvas.setLineWidth(0.9)
            canvas.line(0, y, self.width, y)
            canvas.setLineWidth(0.4)
            for x in columns[1:]:
                canvas.line(x, y, x, y + self.ROW)
            for x, words in zip(columns, (f"{who} (name)", when, "signature"), strict=True):
                self._words(x + 7, y + self.ROW - 12, words)
        if self.remarks:
            self._words(7, y - 14, "remarks")
        canvas.setLineWidth(0.4)
        canvas.setStrokeGray(GREY)
        for i in range(self.remarks):
            canvas.line(7, y - 38 - i * 24, self.width - 7, y - 38 - i * 24)

    def _words(self, x: float, y: float, text: str) -> None:
        self.canv.setFillGray(GREY)
        self.canv.setFont(TEXT, SMALL)
        self.canv.drawString(x, y, text)


class Stack(FixedSize):
    """Parts one below the other, as one that is never torn apart."""

    def __init__(self, parts: Sequence[Flowable], width: float) -> None:
        super().__init__()
        self.parts = [part for part in parts if not isinstance(part, CondPageBreak | ActionFlowable)]
        self.width, self.height, self.tops = width, 0.0, list[float]()
        after = 0.0
        for number, part in enumerate(self.parts):
            high = part.wrap(width, _ENDLESS)[1]
            self.height += max(after, part.getSpaceBefore()) if number else 0.0
            self.tops.append(self.height)
            self.height += high
            after = part.getSpaceAfter()

    def draw(self) -> None:
        """From the top."""
        for part, top in zip(self.parts, self.tops, strict=True):
            part.drawOn(self.canv, 0, self.height - top - part.wrap(self.width, _ENDLESS)[1])

    def parted(self, height: float) -> tuple[Stack, Stack] | None:
        """What goes onto a page of some height and what is left; None where its first part would not fit."""
        if height >= self.height:
            return self, Stack((), self.width)
        for number, top in enumerate(self.tops):
            part = self.parts[number]
            if top + part.wrap(self.width, _ENDLESS)[1] > height:
                torn = part.split(self.width, height - top) if isinstance(part, Ruled) else []
                fits, left = ([*torn[:1]], [*torn[1:]]) if torn else ([], [part])
                done = [*self.parts[:number], *fits]
                return (
                    (Stack(done, self.width), Stack([*left, *self.parts[number + 1 :]], self.width)) if done else None
                )
        return None


class Columns(FixedSize):
    """Stacks beside one another, level at the top; where a page ends each goes on at the head of the next."""

    def __init__(self, stacks: Sequence[Stack], gap: float) -> None:
        super().__init__()
        self.stacks, self.gap = stacks, gap
        self.width = sum(one.width for one in stacks) + gap * (len(stacks) - 1)
        self.height = max(one.height for one in stacks)

    def split(self, width: float, height: float) -> list[Flowable]:  # the page maker's name
        """What fits, and the rest; nothing where not all of the columns can begin."""
        halves = [one.parted(height) for one in self.stacks]
        if any(half is None for half in halves):
            return []
        both = [half for half in halves if half is not None]
        return [Columns([half[place] for half in both], self.gap) for place in (0, 1)]

    def draw(self) -> None:
        """From the left."""
        x = 0.0
        for one in self.stacks:
            one.drawOn(self.canv, x, self.height - one.height)
            x += one.width + self.gap


class OneSheet(FixedSize):
    """What fills a page: as large as fits, its last part at the foot."""

    def __init__(self, stack: Stack, foot: Stack, size: tuple[float, float], scale: float) -> None:
        super().__init__()
        self.stack, self.foot, self.scale = stack, foot, scale
        self.width, self.height = size

    def draw(self) -> None:
        """All of it at its scale."""
        self.canv.saveState()
        self.canv.scale(self.scale, self.scale)
        self.stack.drawOn(self.canv, 0, self.height / self.scale - self.stack.height)
        self.foot.drawOn(self.canv, 0, 0)
        self.canv.restoreState()


Made = Callable[[float], list[Flowable]]  # parts for a width


def one_sheet(sheet: Sheet, make: Made, spare: Made) -> list[Flowable]:
    """Parts on one page, spare ones above the last of them or on the page after; as they flow where no page holds them.

    ``make``, ``spare`` : give the parts for a width, the spare ones perhaps none.
    """
    size = sheet.width, sheet.height - 0.5
    for all_of_it in (True, False):
        for scale in SCALES:
            width = size[0] / scale
            *parts, last = make(width)
            stack = Stack([*parts, *(spare(width) if all_of_it else ())], width)
            foot = Stack([last], width)
            if (stack.height + GAP + foot.height) * scale <= size[1]:
                sheet_made = OneSheet(stack, foot, size, scale)
                return [sheet_made, *(() if all_of_it else spare(size[0]))]
    parts = make(size[0])
    return [*parts[:-2], *together(*parts[-2:]), *spare(size[0])]


def one_page(sheet: Sheet, make: Made) -> list[Flowable] | None:
    """Parts that hardly go over a page, a little smaller, on one; None where they would be too small."""
    for scale in SCALES[1:4]:
        stack = Stack(make(sheet.width / scale), sheet.width / scale)
        if stack.height * scale <= sheet.height - 0.5:
            return [OneSheet(stack, Stack((), stack.width), (sheet.width, sheet.height - 0.5), scale)]
    return None


# What must not be missed, in white on black; entries under one another make one bar, on as many pages.

BAR_PAD, BAR_SIZE = 8.0, 9.2  # points: from its edge, and of its letters


class Bar(FixedSize):
    """Words in white on black: a title, or one entry; entries under one another make one bar, on as many pages."""

    def __init__(self, text: str, width: float, *, title: bool = False, last: bool = False) -> None:
        super().__init__()
        self.font, self.width = STRONG if title else TEXT, width
        self.inset = BAR_PAD if title else BAR_PAD + 10
        self.title = title
        self.lines = broken(text, self.font, BAR_SIZE, width - self.inset - BAR_PAD)
        self.foot = 5.0 if last else 1.0
        self.height = 3.0 + len(self.lines) * BAR_SIZE * LEADING + self.foot

    def draw(self) -> None:
        """The black first, then the lines from the top."""
        canvas = self.canv
        canvas.setFillGray(BLACK)
        canvas.rect(0, -0.3, self.width, self.height + 0.6, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.setFont(self.font, BAR_SIZE)
        y = self.height - 3.0
        for n, line in enumerate(self.lines):
            y -= BAR_SIZE * LEADING
            if n == 0 and not self.title:
                canvas.drawString(BAR_PAD, y + 3.0, "•")
            canvas.drawString(self.inset, y + 3.0, line)


def notice(title: str, texts: Sequence[str], width: float) -> list[Flowable]:
    """A bar of a title and what stands below it."""
    made = [Bar(title, width, title=True)]
    made += [Bar(text, width, last=text is texts[-1]) for text in texts]
    return [*made, Spacer(1, 4)]
