"""Figures drawn with letters: values on a scale, shares as bars."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from textwrap import wrap

from ccassist.report.blocks import Bars, DotPlot
from ccassist.vocabulary.record import record

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
