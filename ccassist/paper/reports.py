"""A report as pages: the answer, then all that supports it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.analysis.results import Survey
from ccassist.job.disk import write_bytes
from ccassist.paper.furniture import heading, labelled, prose, subheading, table
from ccassist.paper.page import STRONG, TEXT, register
from ccassist.paper.pages import render
from ccassist.paper.sheet import SMALL, Sheet, measure
from ccassist.report.blocks import ITEM, Block, Heading, Report, Text
from ccassist.values.display import Formatter

PADDING = 7.0  # points: of a cell, both sides
LEAST_NAME = 0.5  # of an even share of the width: what a column of words keeps, whatever its longest word
MOST_FIGURE = 0.5  # of the width: what one column of figures may ask for


def write_report(report: Report, survey: Survey, path: str | Path, *, page: str = "A4", fmt: Formatter) -> int:
    """Write the report as a PDF, atomically; returns its number of pages.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = report_bytes(report, survey, page=page, fmt=fmt)
    write_bytes(Path(path), data)
    return pages


def report_bytes(report: Report, survey: Survey, *, page: str = "A4", fmt: Formatter) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same report gives the same bytes.

    Raises
    ------
    InputError : unknown page size.
    """
    register()
    sheet = Sheet(survey=survey, system=fmt.system, page=page, running=report.title)
    blocks = (Heading(report.title), *report.answer, *report.support)
    story = [part for block in blocks for part in _drawn(sheet, block)]
    return render(sheet, story, what=report.title[:1].lower() + report.title[1:], subject=report.subject)


def _drawn(sheet: Sheet, block: Block) -> list[Flowable]:
    if isinstance(block, Heading):
        return (heading if block.level == 1 else _sub)(sheet, sheet.words(block.words))
    if isinstance(block, Text):
        if block.mark:
            indent = {"indent": 12.0} if block.mark == ITEM else {}
            return [labelled(sheet.words(block.mark), sheet.words(block.words), **indent)]
        return [prose(sheet.words(block.words), STRONG if block.strong else TEXT)]
    head, *rows = [[sheet.words(text) for text in row] for row in (block.head, *block.rows)]
    return [table(head, rows, column_widths([head, *rows], block.names, sheet.width), words=block.names)]


def _sub(sheet: Sheet, words: str) -> list[Flowable]:
    return subheading(words)


def column_widths(rows: Sequence[Sequence[str]], names: Sequence[int], width: float) -> list[float]:
    """Widths that fill the page [points]: as the texts ask or, where that is too much, nearer to what they must have.

    A column of figures must have its widest one in one line, and each word of its head.
    """
    least, asked = [], []
    for column, cells in enumerate(zip(*rows, strict=True)):
        whole = max(_wide(text) for text in cells)
        words = max((_wide(word) for text in cells for word in text.split()), default=0.0)
        if column in names:
            least.append(min(words, LEAST_NAME * width / len(rows[0])))
        else:
            figures = max(map(_wide, cells[1:]), default=0.0)
            least.append(min(max(figures, words), MOST_FIGURE * width))
        asked.append(max(whole, least[-1]))
    must, want = sum(least), sum(asked)
    if want <= width or must >= width:
        wide = asked if want <= width else least
        return [one * width / sum(wide) for one in wide]
    share = (width - must) / (want - must)
    return [low + share * (high - low) for low, high in zip(least, asked, strict=True)]


def _wide(text: str) -> float:
    """Of a text in the bolder of the two faces of a table."""
    return measure(text, STRONG, SMALL) + PADDING
