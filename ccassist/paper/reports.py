"""A report as pages: the answer, then all that supports it.

A figure is never parted from its unit or its ±, a heading stays with what
follows it, and columns that the page is too narrow for go on in a table below.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path

from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Spacer

from ccassist.analysis.results import Survey
from ccassist.job.disk import write_bytes
from ccassist.paper.furniture import (
    Boxes,
    CellText,
    Columns,
    LargeFigure,
    LargeFigures,
    LineText,
    OutlineEntry,
    Signatures,
    Stack,
    heading,
    labelled,
    notice,
    one_page,
    one_sheet,
    prose,
    subheading,
)
from ccassist.paper.pages import Drawing, render
from ccassist.paper.ruled import CLOSE, GAP, Ruled, apart, table
from ccassist.paper.sheet import BODY, GREY, MM, SLANT, SMALL, STRONG, TEXT, Sheet, measure, register
from ccassist.report.blocks import (
    ITEM,
    WRITTEN,
    Bars,
    Beside,
    Block,
    DotPlot,
    Facts,
    Figure,
    Grid,
    Heading,
    Notice,
    OnePage,
    Report,
    SignOff,
    Sum,
    Table,
    Text,
    Tiles,
)
from ccassist.report.figures import bars_scene, dots_scene, legend
from ccassist.report.findings import on_paper
from ccassist.values.display import KEPT, Formatter, unbroken

PADDING = 7.0  # points: of a cell, both sides
LEAST_NAME = 0.5  # of an even share of the width: what a column of words keeps, whatever its longest word
SHARING = 6  # columns at most that the even share is of
COLUMNS_APART = 16.0  # points
WHOLE_TABLE = 170.0  # points: a table no higher than this is not torn apart after its heading
MOST_ROOM = 600.0, 500.0  # points asked for by a heading, by its level, so that every page has it
LEAD = 70.0  # points: so much text may lead from a heading to what must stand with it
FIRST_ROWS = 3  # of a table, its head counted: they stay with the heading above it
TITLE = 17.0  # points
ACROSS = 8  # columns of a hand sum side by side
NAME, MOST_AMOUNT = 118.0, 66.0  # points: widths of its columns


def write_report(report: Report, survey: Survey, path: str | Path, *, page: str = "A4", fmt: Formatter) -> int:
    """Write the report as a PDF, atomically; returns its number of pages.

    Raises InputError: unknown page size, or the file cannot be written.
    """
    data, pages = report_bytes(report, survey, page=page, fmt=fmt)
    write_bytes(Path(path), data)
    return pages


def report_bytes(report: Report, survey: Survey, *, page: str = "A4", fmt: Formatter) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same report gives the same bytes. Raises InputError: unknown page size."""
    register()
    sheet = Sheet(survey=survey, system=fmt.system, page=page)
    sheet.running, sheet.mark = sheet.short(report.title, 60), report.mark
    first = report.answer[0]
    titled = isinstance(first, OnePage) or (isinstance(first, Heading) and not first.level)
    blocks = (*(() if titled else (Heading(report.title),)), *report.answer, *report.support)
    what = report.title[:1].lower() + report.title[1:]
    finish = partial(render, sheet, what=what, subject=report.subject, author=report.author)
    data, pages = finish(drawn(sheet, blocks, sheet.width))
    small = one_page(sheet, partial(drawn, sheet, blocks)) if pages == 2 and not titled else None
    return (data, pages) if small is None else finish(small)


def drawn(sheet: Sheet, blocks: Sequence[Block], width: float) -> list[Flowable]:
    """Blocks as parts of a page of some width.

    Before a heading, and before a text that leads to what follows, stands how much room it needs with that.
    """
    made = [(block, list(_drawn(sheet, block, width))) for block in blocks]
    story: list[Flowable] = []
    for number, (block, parts) in enumerate(made):
        most = _most_room(block)
        if most:
            parts = [part for part in parts if not isinstance(part, CondPageBreak)]
            story.append(CondPageBreak(min(_room(parts, made[number + 1 :], width), most)))
        story += parts
    return story


def _most_room(block: Block) -> float:
    """What is asked for at the most by a block that leads to what follows it; nothing by another [points]."""
    if isinstance(block, Heading):
        return MOST_ROOM[block.level - 1] if block.level else 0.0
    return MOST_ROOM[-1] if isinstance(block, Text) and block.words.endswith(":") else 0.0


def _room(parts: list[Flowable], after: Iterable[tuple[Block, list[Flowable]]], width: float) -> float:
    """Height of a heading, the headings and the paragraphs below it, and the begin of what they lead to [points]."""
    high = led = sum(_height(part, width) for part in parts)
    for block, more in after:
        if isinstance(block, Table) and more:
            *wider, last = more
            return high + sum(_height(one, width) for one in wider) + _begin(last, width)
        if isinstance(block, Heading) and high > led:  # what was led to has ended
            break
        high += sum(_height(part, width) for part in more)
        if isinstance(block, Heading):
            led = high
        elif not isinstance(block, Text) or high - led > LEAD:
            break
    return high


def _height(part: Flowable, width: float) -> float:
    if isinstance(part, CondPageBreak):
        return 0.0
    return float(part.getSpaceBefore() + part.wrap(width, 1e6)[1] + part.getSpaceAfter())


def _begin(made: Ruled, width: float) -> float:
    """Of a table its first rows, or all of it where it is short."""
    whole = _height(made, width)
    return whole if whole <= WHOLE_TABLE else made.begin(FIRST_ROWS - 1)


def _drawn(sheet: Sheet, block: Block, width: float) -> Iterator[Flowable]:
    if isinstance(block, Heading):
        yield from _heading(sheet, block, width)
    elif isinstance(block, Text):
        if block.words:
            yield _text(sheet, block)
    elif isinstance(block, Grid):
        yield prose("; ".join(sheet.words(cell).replace(" ", KEPT) for cell in block.cells))
    elif isinstance(block, Table):
        for one in fitting(block, width):
            yield _table(sheet, one, width)
    elif isinstance(block, Notice):
        texts = [f"{sheet.words(on_paper(text)).rstrip('.')}." for text in block.texts]
        yield from notice(block.title, texts, width)
    elif isinstance(block, Tiles):
        figures = [LargeFigure(one.title, one.figure, *one.words) for one in block.tiles]
        yield LargeFigures(figures, width)
        yield Spacer(1, GAP)
    elif isinstance(block, Facts):
        cells = [
            CellText(LineText(name, shade=GREY), LineText(sheet.words(text) or "–", STRONG, BODY))
            for name, text in block.facts
        ]
        yield Boxes(cells, width)
    elif isinstance(block, SignOff):
        yield Signatures(width, block.boxes, remarks=block.remarks)
    elif isinstance(block, Beside):
        each = [(width - COLUMNS_APART) * share / sum(block.shares) for share in block.shares]
        columns = zip(block.columns, each, strict=True)
        yield Spacer(1, GAP)
        yield Columns([Stack(drawn(sheet, blocks, wide), wide) for blocks, wide in columns], COLUMNS_APART)
        yield Spacer(1, 3)
    elif isinstance(block, OnePage):
        yield from one_sheet(sheet, partial(drawn, sheet, block.blocks), partial(drawn, sheet, block.spare))
    elif isinstance(block, Sum):
        yield from _sum(sheet, block, width)
    else:
        yield from _figure(sheet, block, width)


def _figure(sheet: Sheet, block: Figure | DotPlot | Bars, width: float) -> list[Flowable]:
    """A drawing with its title above and what its marks mean below it."""
    wide = width / MM
    if isinstance(block, Figure):
        title, scene, words = "", block.scene, block.caption
    elif isinstance(block, DotPlot):
        title, scene, words = block.title, dots_scene(block, wide), legend(block)
    else:
        title, scene, words = block.title, bars_scene(block, wide), ""
    below = prose(sheet.words(words), SLANT, SMALL, shade=GREY, before=2) if words else Spacer(1, GAP)
    drawing = Drawing(scene, width)
    room = drawing.height + below.wrap(width, 1e6)[1]
    return [*(subheading(sheet.words(title), room=room + 20) if title else [CondPageBreak(room)]), drawing, below]


def _sum(sheet: Sheet, block: Sum, width: float) -> list[Flowable]:
    """A hand sum, a few columns side by side."""
    story: list[Flowable] = []
    for start in range(1, len(block.head), ACROSS):
        cells = [(row[0], *row[start : start + ACROSS]) for row in (block.head, *block.rows, *block.totals)]
        head, *rows = [[sheet.words(text) for text in row] for row in cells]
        each = min(MOST_AMOUNT, (width - NAME) / (len(head) - 1))
        total = len(block.rows)
        widths = [NAME, *[each] * (len(head) - 1)]
        story.append(table(head, rows, widths, breaks=range(total, len(rows)), strong=(total,), groups=(0,)))
    return story


def _heading(sheet: Sheet, block: Heading, width: float) -> list[Flowable]:
    words = sheet.words(block.words)
    if block.level == 0:
        return [OutlineEntry(words[:60]), prose(words, STRONG, TITLE, after=4)]
    return heading(words, width) if block.level == 1 else subheading(words)


def _text(sheet: Sheet, block: Text) -> Paragraph:
    words = sheet.words(block.words if block.mark == WRITTEN else on_paper(block.words)) + ("." if block.typed else "")
    small = {"size": SMALL} if block.small else {}
    if block.mark == WRITTEN:
        return prose(words, after=1.5, indent=12.0)
    if block.mark:
        indent = {"indent": 12.0} if block.mark == ITEM else {}
        return labelled(sheet.words(block.mark), words, **indent, **small)
    shade = {"shade": GREY, "after": 2.0} if block.small else {}
    return prose(words, STRONG if block.strong else TEXT, **small, **shade)


def _table(sheet: Sheet, block: Table, width: float) -> Flowable:
    head, *rows = [[unbroken(sheet.words(on_paper(text))) for text in row] for row in (block.head, *block.rows)]
    scale = CLOSE / SMALL if block.close else 1.0
    widths = [wide * scale for wide in column_widths([head, *rows], block.names, width / scale)]
    return table(
        head,
        rows,
        widths,
        words=block.names,
        cells=block.strong,
        breaks=block.groups[1:],
        struck=block.struck,
        groups=block.groups,
        close=block.close,
    )


def fitting(block: Table, width: float) -> list[Table]:
    """The table itself or, where no page is so wide, its columns in several, each with the first of them."""
    least, _ = _asked([block.head, *block.rows], block.names, width)
    if sum(least) <= width or len(block.head) < 4:
        return [block]
    parts: list[list[int]] = [[0]]
    for column in range(1, len(least)):
        if len(parts[-1]) > 1 and sum(least[one] for one in (*parts[-1], column)) > width:
            parts.append([0])
        parts[-1].append(column)
    return [_columns(block, columns) for columns in _evened(parts, least, width)]


def _evened(parts: list[list[int]], least: Sequence[float], width: float) -> list[list[int]]:
    """As many columns in each part as in the others where they fit so: none stands alone below the rest."""
    others = [column for part in parts for column in part[1:]]
    each = -(-len(others) // len(parts))
    even = [[0, *others[start : start + each]] for start in range(0, len(others), each)]
    return even if all(sum(least[one] for one in part) <= width for part in even) else parts


def _columns(block: Table, kept: Sequence[int]) -> Table:
    """Some columns of a table."""
    return Table(
        head=tuple(block.head[one] for one in kept),
        rows=tuple(tuple(row[one] for one in kept) for row in block.rows),
        names=tuple(place for place, one in enumerate(kept) if one in block.names),
        strong=tuple((row, kept.index(column)) for row, column in block.strong if column in kept),
        groups=block.groups,
        struck=block.struck,
    )


def column_widths(rows: Sequence[Sequence[str]], names: Sequence[int], width: float) -> list[float]:
    """Widths that fill the page [points]: as the texts ask or, where that is too much, nearer to what they must."""
    least, asked = _asked(rows, names, width)
    must, want = sum(least), sum(asked)
    if want <= width or must >= width:
        wide = asked if want <= width else least
        return [one * width / sum(wide) for one in wide]
    return _filled(least, asked, width)


def _filled(least: Sequence[float], asked: Sequence[float], width: float) -> list[float]:
    """What each must have, and of the rest equal parts until it has what it asks for: only the longest are broken."""
    wide, open_ones = list(least), set(range(len(least)))
    while open_ones:
        part = (width - sum(wide)) / len(open_ones)
        short = {n for n in open_ones if asked[n] - wide[n] <= part}
        for n in short or open_ones:
            wide[n] = asked[n] if short else wide[n] + part
        open_ones = open_ones - short if short else set()
    return wide


def _asked(rows: Sequence[Sequence[str]], names: Sequence[int], width: float) -> tuple[list[float], list[float]]:
    """What each column must have, and what it asks for [points].

    A column of figures must have its widest one in one line, and each word of its head.
    """
    least, asked = [], []
    for column, cells in enumerate(zip(*rows, strict=True)):
        more = apart(column, names)
        whole = more + max(map(_wide, cells))
        words = more + max((_wide(word) for text in cells for word in text.split(" ")), default=0.0)
        if column in names:
            figures = max((_wide(word) for text in cells for word in text.split(" ") if KEPT in word), default=0.0)
            least.append(max(min(words, LEAST_NAME * width / min(len(rows[0]), SHARING)), min(figures, width / 3)))
        else:
            least.append(min(max(words, *map(_wide, cells[1:]), 0.0), width / 2))
        asked.append(max(whole, least[-1]))
    return least, asked


def _wide(text: str) -> float:
    """Of a text in the bolder of the two faces of a table."""
    return measure(text, STRONG, SMALL) + PADDING
