"""A report as lines of a terminal: the answer within one window, what supports it when asked for."""

from __future__ import annotations

import math
import shlex
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise, product, zip_longest
from textwrap import wrap

from ccassist.cli.paragraph import HEIGHT, WIDTH, Bold, filled
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
    items,
)
from ccassist.values.display import KEPT, unbroken
from ccassist.values.findings import capital, clean
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS

# Figures drawn with letters: values on a scale, shares as bars.

LEAST_FIELD = 20  # letters across; with less left, the figures stand below their rows
MOST_NAME = 0.4  # of the width


@record
class Letters:
    """What a figure is drawn with."""

    dot: str = "●"
    was: str = "◇"
    line: str = "─"
    ends: tuple[str, str] = ("├", "┤")
    band: str = "░"
    full: str = "█"


PLAIN = Letters(dot="o", was="x", line="-", ends=("|", "|"), band=".", full="#")  # where a terminal has no others


def letters() -> Letters:
    """Those that the output can show."""
    found = Letters()
    try:
        "".join((found.dot, found.was, found.line, *found.ends, found.band, found.full)).encode(
            sys.stdout.encoding or "utf-8"
        )
    except UnicodeEncodeError:
        return PLAIN
    return found


def dot_lines(plot: DotPlot, width: int) -> list[str]:
    """A row for each value, the scale, and what the marks mean."""
    name = max(len(one.name) for one in plot.dots)
    beside = [f"{one.figure}  {one.note}".strip() for one in plot.dots]
    room = width - name - 3 - max(map(len, beside)) - 2
    below = room < LEAST_FIELD
    field = min(width - name - 4 if below else room, 60)
    signs = letters()
    lines = []
    for one, words, drawn in zip(plot.dots, beside, _fields(plot, field, signs), strict=True):
        row = f"{one.name:<{name}} {drawn}"
        lines += [row.rstrip(), f"{'':<{name}} {words}"] if below else [f"{row}  {words}"]
    lines += [f"{'':<{name}} {_ticks(plot, field)}".rstrip(), *wrap(_legend(plot, signs), width - 1)]
    return lines


def _fields(plot: DotPlot, wide: int, signs: Letters) -> Iterator[str]:
    """Each value in its field: the band, the ±, what it was, the value over all."""
    low, high = plot.ends

    def column(at: float) -> int:
        return round(min(max((at - low) / (high - low), 0.0), 1.0) * (wide - 1))

    for one in plot.dots:
        field = [" "] * wide
        if plot.band is not None:
            first, last = map(column, plot.band)
            field[first : last + 1] = signs.band * (last + 1 - first)
        if math.isfinite(one.spread) and one.spread > 0:
            first, last = column(one.at - one.spread), column(one.at + one.spread)
            field[first : last + 1] = signs.line * (last + 1 - first)
            field[first], field[last] = signs.ends
        if one.before is not None:
            field[column(one.before)] = signs.was
        field[column(one.at)] = signs.dot
        yield "".join(field)


def _ticks(plot: DotPlot, wide: int) -> str:
    """The numbers of the scale under their places, as many as there is room for."""
    low, high = plot.ends
    line = ""
    for at, text in plot.ticks:
        start = round((at - low) / (high - low) * (wide - 1)) - len(text) // 2
        if start >= len(line) + 2 or (not line and start >= 0):
            line = line.ljust(start) + text
    return line


def _legend(plot: DotPlot, signs: Letters) -> str:
    """What the marks mean, after what the scale counts."""
    said = [plot.axis]
    if any(one.before is not None for one in plot.dots):
        said.append(f"{signs.was} before, {signs.dot} after")
    if plot.band is not None:
        said.append(f"{signs.band} {'the aim' if plot.band[0] == plot.band[1] else 'wanted'}")
    return "; ".join(said)


def bar_lines(bars: Bars, width: int) -> list[str]:
    """A bar for each share, as long as it is of the whole."""
    room = int(MOST_NAME * width)
    names = [wrap(one.name, room) or [""] for one in bars.bars]
    name = max(len(line) for lines in names for line in lines)
    figure = max(len(one.figure) for one in bars.bars)
    field, full = min(width - name - figure - 4, 40), letters().full
    lines = []
    for one, (first, *rest) in zip(bars.bars, names, strict=True):
        drawn = full * max(round(one.share * field), 1)
        lines += [f"{first:<{name}}  {one.figure:>{figure}}  {drawn}", *(f"  {line}" for line in rest)]
    return lines


ALL = "--all shows all rows, and what supports them."
GAPS = "  ", " "  # between columns
LEAST_WORDS = 15  # characters: no column of words is made narrower


def command_lines(words: Sequence[str], *, width: int = WIDTH - 1) -> list[str]:
    """A command to be copied, quoted as a shell wants it; a line ends between two of its words, if it must."""
    said = ""
    for before, word in pairwise(("", *words)):
        gap = KEPT if before.startswith("--") and not word.startswith("--") else " "  # an option stays with its value
        said += gap + shlex.quote(clean(word, 300)).replace(" ", KEPT)
    return filled(said.strip(), first=" " * 4, rest=" " * 6, width=width)


def report_lines(report: Report, *, everything: bool = False, width: int = WIDTH, height: int = HEIGHT) -> list[str]:
    """The lines of a report.

    Without ``everything`` they are the answer, which with the prompt after it
    fits a window: what is spare is left out of it first, the last of it before
    the others, then the long tables are cut.
    """
    if everything:
        return _spaced(_block(block, width) for block in (*report.answer, *report.support))
    lines: list[str] = []
    for blocks, most in _shorter(report.answer, height):
        last = [ALL] if report.support or report.more or len(blocks) < len(report.answer) else []
        lines = [*_spaced(_first(block, most, width) for block in blocks), *last]
        if len(lines) < height:
            break
    return lines


def _shorter(answer: Sequence[Block], height: int) -> Iterator[tuple[Sequence[Block], int]]:
    """The answer, ever shorter: its blocks, and how many rows of a long table are shown."""
    blocks = list(answer)
    yield blocks, height
    for block in reversed(answer):
        if isinstance(block, Text) and block.spare:
            blocks = [one for one in blocks if one is not block]
            yield blocks, height
    for most in range(height - 1, 0, -1):
        yield blocks, most


def _first(block: Block, most: int, width: int) -> list[str]:
    """A block of the answer; of a long table or a grid the first rows, and how many there are more."""
    if isinstance(block, Grid):
        lines = grid_lines(block, width)
        return lines if len(lines) <= most + 2 else [*lines[: most + 1], "And more: --all.", ""]
    if not isinstance(block, Table) or not block.long or len(block.rows) <= most:
        return _block(block, width)
    head, rows = table_parts(replace(block, rows=block.rows[:most]), width)
    left = len(block.rows) - most
    return [*head, *chain.from_iterable(rows), f"And {left} more row{'s' if left > 1 else ''}: --all."]


def _spaced(blocks: Iterable[list[str]]) -> list[str]:
    """Lines one after another, no two of them empty and none at the ends."""
    lines: list[str] = []
    for line in (line for block in blocks for line in block):
        if line or (lines and lines[-1]):
            lines.append(line)
    return lines[:-1] if lines and not lines[-1] else lines


def _block(block: Block, width: int) -> list[str]:
    if isinstance(block, Heading):
        return ["", *(Bold(line) for line in filled(capital(block.words), width=width - 1))]
    if isinstance(block, Text):
        return text_lines(block, width)
    if isinstance(block, Grid):
        return grid_lines(block, width)
    if isinstance(block, Table):
        return table_lines(block, width)
    if isinstance(block, Figure):
        return [line for text in block.instead for line in filled(text, width=width - 1)]
    if isinstance(block, DotPlot | Bars):
        lines = dot_lines(block, width - 1) if isinstance(block, DotPlot) else bar_lines(block, width - 1)
        return ["", *(Bold(line) for line in filled(block.title, width=width - 1)), *lines, ""]
    if isinstance(block, Sum):
        return _sum(block, width)
    return _spaced(_block(one, width) for one in _in_lines(block))


def _in_lines(block: Tiles | Notice | Facts | SignOff | Beside | OnePage) -> Iterator[Block]:
    """What stands side by side on paper, one after another."""
    if isinstance(block, Tiles):
        yield from (Text(": ".join((one.title, ", ".join((one.figure, *one.words))))) for one in block.tiles)
    elif isinstance(block, Facts):
        yield Text("; ".join(f"{name} {text}" for name, text in block.facts))
    elif isinstance(block, Notice):
        yield Heading(block.title)
        yield from items(block.texts)
    elif isinstance(block, Beside):
        yield from chain.from_iterable(block.columns)
    elif isinstance(block, OnePage):
        yield from (*block.blocks, *block.spare)


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


def text_lines(block: Text, width: int = WIDTH) -> list[str]:
    """A paragraph, hung beside its mark, and the command that goes with it."""
    mark = {ITEM: "  - ", WRITTEN: "  ", "": ""}.get(block.mark, f"{block.mark:<6}")
    hung = 6 if block.mark == WRITTEN else len(mark)
    lines = filled(block.place + block.words + block.typed, first=mark, rest=" " * hung, width=width - 1)
    if block.command:
        lines += command_lines(block.command, width=width - 1)
    return [Bold(line) for line in lines] if block.strong else lines


def grid_lines(block: Grid, width: int = WIDTH) -> list[str]:
    """Its texts in columns as wide as the widest of them."""
    wide = max(map(len, block.cells), default=0) + 3
    across = max(1, (width + 2) // wide)
    rows = [block.cells[at : at + across] for at in range(0, len(block.cells), across)]
    return ["", *("".join(cell.ljust(wide) for cell in row).rstrip() for row in rows), ""]


def table_lines(block: Table, width: int = WIDTH) -> list[str]:
    """A table between two empty lines."""
    head, rows = table_parts(block, width)
    return ["", *head, *chain.from_iterable(rows), ""]


def table_parts(block: Table, width: int) -> tuple[list[str], list[list[str]]]:
    """The lines of its head and of each row: in columns, closer or with words in several lines, else a paragraph a row.

    A figure is never broken; columns of words are, where every column cannot be as wide as its widest cell.
    """
    for made, gap in product((block, _lean(block)), GAPS):
        columns = list(zip(*made.rows, strict=True)) or [()] * len(made.head)
        widths = [_wide(title, cells) for title, cells in zip(made.head, columns, strict=True)]
        room = width - 1 - len(gap) * (len(widths) - 1)
        if made is not block and gap == GAPS[-1]:
            widths = _narrowed(made, columns, widths, room)
        if sum(widths) <= room:
            heads = [_head(title, wide) for title, wide in zip(made.head, widths, strict=True)]
            high = max(map(len, heads))
            stacked = zip(*([""] * (high - len(head)) + head for head in heads), strict=True)
            above = [_line(made, row, widths, gap) for row in stacked]
            return above, [list(_row(made, row, widths, gap)) for row in made.rows]
    return [], [list(_paragraph(block, row, width)) for row in block.rows]


def _wide(title: str, cells: Sequence[str]) -> int:
    """The width of a column: that of its widest cell or, where that is more, of the longest word of its head."""
    return max((len(text) for text in (*cells, *title.split())), default=0)


def _narrowed(block: Table, columns: Sequence[Sequence[str]], widths: Sequence[int], room: int) -> list[int]:
    """The widest columns of words made narrower, as far as words may be, so that all columns fit."""
    found = list(widths)
    words = {
        n: (word for text in (block.head[n], *columns[n]) for word in unbroken(text).split(" ")) for n in block.names
    }
    least = {n: max(LEAST_WORDS, *map(len, longest), 0) for n, longest in words.items()}
    while sum(found) > room:
        wider = [n for n in block.names if found[n] > least[n]]
        if not wider:
            break
        found[max(wider, key=lambda n: found[n])] -= 1
    return found


def _row(block: Table, row: Sequence[str], widths: Sequence[int], gap: str) -> Iterator[str]:
    """The line of a row, or its lines where a cell of words is wider than its column."""
    cells = [
        filled(cell, width=wide) if column in block.names and len(cell) > wide else [cell]
        for column, (cell, wide) in enumerate(zip(row, widths, strict=True))
    ]
    for parts in zip_longest(*cells, fillvalue=""):
        yield _line(block, parts, widths, gap)


def _lean(block: Table) -> Table:
    """The same table with the words that end every figure of a column, such as "mm below deck", in its head instead."""
    head, columns = list(block.head), [list(cells) for cells in zip(*block.rows, strict=True)]
    for place, cells in enumerate(columns):
        tails = {cell.partition(" ± ")[2].partition(" ")[2] for cell in cells}
        if place not in block.names and len(tails) == 1 and (tail := tails.pop()):
            head[place] += f", {tail}"
            columns[place] = [cell.removesuffix(f" {tail}") for cell in cells]
    return replace(block, head=tuple(head), rows=tuple(zip(*columns, strict=True)))


def _head(title: str, room: int) -> list[str]:
    """A title in lines as wide as what stands below it; no word of it is broken."""
    return wrap(title, room, break_on_hyphens=False, break_long_words=False) if title else [""]


def _line(block: Table, row: Sequence[str], widths: Sequence[int], gap: str) -> str:
    cells = [
        cell.ljust(wide) if column in block.names else cell.rjust(wide)
        for column, (cell, wide) in enumerate(zip(row, widths, strict=True))
    ]
    return gap.join(cells).rstrip()


def _paragraph(block: Table, row: Sequence[str], width: int) -> Iterator[str]:
    """A row with the title before each of its values."""
    told = [
        f"{title} {cell}".strip() if column in block.names else _figure(title, cell)
        for column, (title, cell) in enumerate(zip(block.head, row, strict=True))
    ]
    first, *rest = told
    lead = f"{first:<3}" if not block.head[0] and first.isdigit() else f"{first}:"  # a bare number is one of a list
    if not rest:
        lead = first
    yield from filled(f"{lead} {'; '.join(rest)}", rest=" " * 4, width=width - 1)


def _figure(title: str, cell: str) -> str:
    """A figure with its title before it, and the unit that the title names behind it."""
    name, _, unit = title.rpartition(", ")
    if unit not in UNITS or not cell[-1:].isdigit():
        name, unit = title, ""
    return f"{name} {f'{cell} {unit}'.strip().replace(' ', KEPT)}".strip()
