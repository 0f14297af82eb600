"""A report on the terminal: the answer within one window, what supports it when asked for."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, product
from textwrap import wrap

from ccassist.cli.figures import bar_lines, dot_lines
from ccassist.cli.screen import Bold, filled, say
from ccassist.report.blocks import (
    ITEM,
    Bars,
    Beside,
    Block,
    DotPlot,
    Facts,
    Figure,
    Heading,
    OnePage,
    Report,
    SignOff,
    Sum,
    Table,
    Text,
    Tiles,
)
from ccassist.values.findings import capital

WIDTH, HEIGHT = 80, 24  # of a window
LEAST_WIDTH = 40
ALL = "--all shows all rows, and what supports them."
GAPS = "  ", " "  # between columns
KEPT = "\N{NO-BREAK SPACE}"  # within a figure, so that no line ends inside it


def show_report(report: Report, *, everything: bool, kept: int = 0) -> None:
    """Print it; all of it where ``everything`` is asked for, else leaving ``kept`` lines of the window free."""
    terminal = sys.stdout.isatty()
    for line in report_lines(report, everything=everything, width=window_width(), height=HEIGHT - kept):
        say(line if terminal else str(line))


def window_width() -> int:
    """Columns to print in: the window's on a terminal, the usual ones into a file or a pipe."""
    columns = shutil.get_terminal_size((WIDTH, HEIGHT)).columns if sys.stdout.isatty() else WIDTH
    return max(LEAST_WIDTH, min(columns, WIDTH))


def report_lines(report: Report, *, everything: bool = False, width: int = WIDTH, height: int = HEIGHT) -> list[str]:
    """The lines of a report.

    Without ``everything`` they are the answer, whose long table is cut so that
    with the prompt after them they fit a window, and what more there is.
    """
    if everything:
        return _spaced(_block(block, width) for block in (*report.answer, *report.support))
    last = [ALL] if report.support else []
    lines: list[str] = []
    for most in range(height, 0, -1):
        lines = [*_spaced(_first(block, most, width) for block in report.answer), *last]
        if len(lines) < height:
            break
    return lines


def _first(block: Block, most: int, width: int) -> list[str]:
    """A block of the answer; of a long table the first rows, and how many there are more."""
    if not isinstance(block, Table) or not block.long or len(block.rows) <= most:
        return _block(block, width)
    head, rows = _table(replace(block, rows=block.rows[:most]), width)
    left = len(block.rows) - most
    return [*head, *chain.from_iterable(rows), f"And {left} more row{'s' if left > 1 else ''}: --all."]


def _spaced(blocks: Iterable[list[str]]) -> list[str]:
    """Lines one after another, no two of them empty and none at the ends."""
    lines: list[str] = []
    for line in (line for block in blocks for line in block):
        if line or (lines and lines[-1]):
            lines.append(line)
    return lines


def _block(block: Block, width: int) -> list[str]:
    if isinstance(block, Heading):
        return ["", *(Bold(line) for line in filled(capital(block.words), width=width - 1))]
    if isinstance(block, Text):
        return _text(block, width)
    if isinstance(block, Figure):
        return [line for text in block.instead for line in filled(text, width=width - 1)]
    if isinstance(block, DotPlot | Bars):
        lines = dot_lines(block, width) if isinstance(block, DotPlot) else bar_lines(block, width)
        return ["", *(Bold(line) for line in filled(block.title, width=width - 1)), *lines, ""]
    if isinstance(block, Sum):
        return _sum(block, width)
    if not isinstance(block, Table):
        return _spaced(_block(one, width) for one in _in_lines(block))
    head, rows = _table(block, width)
    return ["", *head, *chain.from_iterable(rows), ""]


def _in_lines(block: Tiles | Facts | SignOff | Beside | OnePage) -> Iterator[Block]:
    """What stands side by side on paper, one after another."""
    if isinstance(block, Tiles):
        yield from (Text(": ".join((one.title, ", ".join((one.figure, *one.words))))) for one in block.tiles)
    elif isinstance(block, Facts):
        yield Text("; ".join(f"{name} {text}" for name, text in block.facts))
    elif isinstance(block, Beside):
        yield from chain.from_iterable(block.columns)
    elif isinstance(block, OnePage):
        yield from block.blocks


def _sum(block: Sum, width: int) -> list[str]:
    """A hand sum: parts, a rule, what they add to; columns for which there is no room stand below it again."""
    rows = [block.head, *block.rows, *block.totals]
    name, *columns = ([row[n] for row in rows] for n in range(len(block.head)))
    first = max(map(len, name))
    each = max((len(cell) for cells in columns for cell in cells), default=0) + 2
    many = max(1, (width - 1 - first) // each)
    lines: list[str] = []
    for start in range(0, len(columns), many):
        part = [
            label.ljust(first) + "".join(cells[n].rjust(each) for cells in columns[start : start + many])
            for n, label in enumerate(name)
        ]
        ruled = 1 + len(block.rows)
        lines += ["", *part[:ruled], "-" * len(part[0]), *part[ruled:]]
    return [*lines, ""]


def _text(block: Text, width: int) -> list[str]:
    """A paragraph, hung beside its mark."""
    mark = "  - " if block.mark == ITEM else f"{block.mark:<6}" if block.mark else ""
    words = block.words.replace(" ± ", f"{KEPT}±{KEPT}")
    lines = [line.replace(KEPT, " ") for line in filled(words, first=mark, rest=" " * len(mark), width=width - 1)]
    return [Bold(line) for line in lines] if block.strong else lines


def _table(block: Table, width: int) -> tuple[list[str], list[list[str]]]:
    """The lines of its head and of each row: in columns, closer where they would not fit, else a paragraph a row."""
    for made, gap in product((block, _lean(block)), GAPS):
        columns = list(zip(*made.rows, strict=True)) or [()] * len(made.head)
        heads = [_head(title, max(map(len, cells), default=0)) for title, cells in zip(made.head, columns, strict=True)]
        widths = [max(map(len, (*head, *cells))) for head, cells in zip(heads, columns, strict=True)]
        if sum(widths) + len(gap) * (len(widths) - 1) < width:
            high = max(map(len, heads))
            stacked = zip(*([""] * (high - len(head)) + head for head in heads), strict=True)
            lines = [_line(made, row, widths, gap) for row in (*stacked, *made.rows)]
            return lines[:high], [[line] for line in lines[high:]]
    return [], [list(_paragraph(block, row, width)) for row in block.rows]


def _lean(block: Table) -> Table:
    """The same table with the words that end every figure of a column, such as "mm gap", in its head instead."""
    head, columns = list(block.head), [list(cells) for cells in zip(*block.rows, strict=True)]
    for place, cells in enumerate(columns):
        tails = {cell.partition(" ± ")[2].partition(" ")[2] for cell in cells}
        if place not in block.names and len(tails) == 1 and (tail := tails.pop()):
            head[place] += f", {tail}"
            columns[place] = [cell.removesuffix(f" {tail}") for cell in cells]
    return replace(block, head=tuple(head), rows=tuple(zip(*columns, strict=True)))


def _head(title: str, room: int) -> list[str]:
    """A title in lines about as wide as what stands below it; no word of it is broken."""
    return wrap(title, max(room, *map(len, title.split())), break_on_hyphens=False) if title else [""]


def _line(block: Table, row: Sequence[str], widths: Sequence[int], gap: str) -> str:
    cells = [
        cell.ljust(wide) if column in block.names else cell.rjust(wide)
        for column, (cell, wide) in enumerate(zip(row, widths, strict=True))
    ]
    return gap.join(cells).rstrip()


def _paragraph(block: Table, row: Sequence[str], width: int) -> Iterator[str]:
    """A row with the title before each of its values."""
    told = [
        f"{title} {cell if column in block.names else cell.replace(' ', KEPT)}".strip()
        for column, (title, cell) in enumerate(zip(block.head, row, strict=True))
    ]
    first, *rest = told
    lines = wrap("; ".join(rest), width - 1, initial_indent=f"{first:<3} ", subsequent_indent=" " * 4)
    yield from (line.replace(KEPT, " ") for line in lines)
