"""Scales with round ticks, in the unit shown, the field of a drawing, and words that lie over nothing in it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import pairwise

from ccassist.report.data import around
from ccassist.report.scene import (
    LEADING,
    SMALL,
    THIN,
    Area,
    Box,
    Disc,
    Item,
    Lettering,
    Point,
    Stroke,
    broken,
    measure,
    rectangle,
)
from ccassist.values.display import Formatter
from ccassist.values.measured import Value
from ccassist.values.verdict import Band
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Unit, conversion


@record
class Scale:
    """From SI to a length of a drawing; ``ticks`` are SI and ``decimals`` those of their numbers."""

    low: float
    high: float
    ticks: tuple[float, ...]
    decimals: int

    def across(self, value: float, width: float) -> float:
        """Where a value lies, kept within the width."""
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0) * width


def axis_name(key: str, unit: str, scale: Scale) -> str:
    """What the scale shows, its sign in words: "deck clearance, mm (+ below deck, − proud of the deck)"."""
    wanted = term(key)
    name = f"{wanted.name}{f', {unit}' if unit else ''}"
    if wanted.sign is None or (scale.low >= 0 and wanted.sign.bare_is_plus):
        return name
    sign = wanted.sign
    said = {"+": around(sign.says_plus) or sign.plus[0], "−": around(sign.says_minus)}
    shown = [mark for mark, there in (("+", scale.high > 0), ("−", scale.low < 0)) if there]
    return f"{name} ({', '.join(f'{mark} {said[mark]}' for mark in shown)})"


def scale_of(values: Sequence[Value], band: Band | None, fmt: Formatter) -> Scale:
    """A scale with round ticks that holds every value, its ± and the limits of the band."""
    ends = [v.nominal + side * (v.expanded if math.isfinite(v.expanded) else 0.0) for v in values for side in (-1, 1)]
    ends += [end for end in ((band.low, band.high, band.aim) if band else ()) if math.isfinite(end)]
    key = values[0].key
    unit = conversion(fmt.unit(key))
    low, high = ((end - unit.zero) / unit.scale for end in (min(ends), max(ends)))
    least = 10.0 ** -max(fmt.decimals(v) for v in values)
    room = max(high - low, 4 * least)
    low, high = low - 0.08 * room, high + 0.08 * room
    return scale_between(key, low * unit.scale + unit.zero, high * unit.scale + unit.zero, fmt)


def scale_between(key: str, low: float, high: float, fmt: Formatter, parts: int = 5) -> Scale:
    """A scale from end to end, SI, with round ticks in the shown unit, about so many parts of it apart."""
    unit = conversion(fmt.unit(key))
    step = round_step((high - low) / unit.scale / parts)
    ticks = tuple(tick * unit.scale + unit.zero for tick in multiples(low, high, step, unit))
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(low=low, high=high, ticks=ticks, decimals=decimals)


def multiples(low: float, high: float, step: float, unit: Unit) -> list[float]:
    """The multiples of a step in a unit that lie between two SI values."""
    first, last = ((end - unit.zero) / unit.scale / step for end in (low, high))
    return [n * step for n in range(math.ceil(first - 1e-9), math.floor(last + 1e-9) + 1)]


def round_step(rough: float) -> float:
    """The next step of 1, 2 or 5 times a power of ten.

    >>> round_step(0.034), round_step(7.0)
    (0.05, 10.0)
    """
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= rough * (1 - 1e-9))


# The field of a drawing of one quantity against another: its edge, its scales and what they count.
#
# Black on white: marks differ by shape, lines by their weight and dashes, and each is also named.

HEAD, FOOT, LEFT = 5.0, 9.6, 10.8  # room above the field, below it, and to its left, mm


@record
class Axes:
    """What is shown across and up, and how large the field is, mm; its lower left corner is nothing."""

    x_key: str
    y_key: str
    x: Scale
    y: Scale
    wide: float
    high: float
    fmt: Formatter

    @property
    def box(self) -> Box:
        """The field itself."""
        return 0.0, 0.0, self.wide, self.high

    def at(self, x: float, y: float) -> Point:
        """Where two SI values lie, kept within the field."""
        return self.x.across(x, self.wide), self.y.across(y, self.high)

    def items(self) -> Iterator[Item]:
        """The edge, the ticks with their numbers, and what they are."""
        yield Area(rectangle(self.box))
        for tick in self.x.ticks:
            x = self.x.across(tick, self.wide)
            yield Stroke(((x, 0.0), (x, -1.0)))
            yield Lettering((x, -4.2), self.number(self.x_key, tick, self.x), anchor="middle")
        for tick in self.y.ticks:
            y = self.y.across(tick, self.high)
            yield Stroke(((0.0, y), (-1.0, y)))
            yield Lettering((-1.8, y - 1.05), self.number(self.y_key, tick, self.y), anchor="end")
        yield Lettering((self.wide / 2, -8.2), self.name(self.x_key), anchor="middle", shade="grey")
        yield Lettering((-LEFT, self.high + 1.8), self.name(self.y_key), shade="grey")

    def name(self, key: str) -> str:
        """What is shown across or up, with its unit."""
        return name_of(key, self.fmt)

    def number(self, key: str, value: float, scale: Scale) -> str:
        """What stands at a tick."""
        return self.fmt.amount(key, value, decimals=scale.decimals)


def name_of(key: str, fmt: Formatter) -> str:
    """A term with its unit, and with the way it is counted: "intake closing, deg after BDC"."""
    wanted = term(key)
    unit = fmt.unit(wanted)
    after = wanted.sign.says_plus.partition("{}")[2] if wanted.sign and unit else ""
    return f"{fmt.title(wanted)}{after}"


def strip(box: Box) -> Area:
    """A range, hatched so that a copy shows it too."""
    return Area(rectangle(box), "sparse", THIN)


# Where words go on a drawing, so that they lie over nothing: labels in a column, words near a point.

APART = 1.8  # mm between labels of a column
MARK = 1.2  # half the size of a mark
_EDGE, _STEP, _CLEAR = 2.1, 1.4, 1.0  # of words near a point: from the edge of the room, a try, from what is there


@record(kw_only=False)
class Label:
    """Lines of words for a point of a drawing; the leader ends in a dot, or at a line without one."""

    at: Point
    lines: tuple[Lettering, ...]
    dot: bool = True

    def fitted(self, width: float) -> list[Lettering]:
        """Its lines, none wider than a column."""
        return [
            replace(line, text=text)
            for line in self.lines
            for text in broken(line.text, width, partial(measure, bold=line.bold, size=line.size))
        ]


def named(at: Point, name: str, *words: str, dot: bool = True) -> Label:
    """A label of a name in bold with words under it; empty ones are left out."""
    return Label(at, (Lettering(at, name, bold=True), *(Lettering(at, text) for text in words if text)), dot)


def spread(targets: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> list[float]:
    """Middles of labels, as near their targets as order and room allow, from the top down.

    >>> spread([10, 9], [4, 4], 20, 0)
    [10, 6.0]
    """
    middles: list[float] = []
    for target, height in zip(targets, heights, strict=True):
        ceiling = top if not middles else middles[-1] - heights[len(middles) - 1] / 2
        middles.append(min(target, ceiling - height / 2))
    floor = bottom
    for i in reversed(range(len(middles))):
        middles[i] = max(middles[i], floor + heights[i] / 2)
        floor = middles[i] + heights[i] / 2
    return middles


def column(
    found: Sequence[Label], x: float, width: float, top: float, bottom: float, *, right: bool = False
) -> list[Item]:
    """Labels in a column, each with a leader to its point.

    ``x`` is the edge of the column that faces the drawing: its left edge, or
    its right edge where the column stands to the left (``right``).
    """
    ordered = sorted(found, key=lambda label: -label.at[1])
    blocks = [label.fitted(width) for label in ordered]
    heights = [sum(line.size * LEADING for line in lines) + APART for lines in blocks]
    middles = spread([label.at[1] for label in ordered], heights, top, bottom)
    leaders: list[Item] = []
    words: list[Item] = []
    for label, lines, height, middle in zip(ordered, blocks, heights, middles, strict=True):
        leaders += _leader(label, x, middle, -1 if right else 1)
        y = middle + (height - APART) / 2
        for line in lines:
            y -= line.size * LEADING
            words.append(replace(line, at=(x, y + 0.27 * line.size), anchor="end" if right else "start"))
    return [*leaders, *words]


def _leader(label: Label, x: float, y: float, way: int) -> list[Item]:
    """From the label's edge to its point, with a white edge so that it shows on a hatch."""
    points = (label.at, (x - way * 4.2, y), (x - way * 1.1, y))
    made: list[Item] = [Stroke(points, 0.8, shade="white"), Stroke(points)]
    return [*made, Disc(label.at, 0.8, "white"), Disc(label.at, 0.55)] if label.dot else made


# -- words near a point ------------------------------------------------------------------
def overlap(one: Box, other: Box, gap: float = 0.35) -> bool:
    """Whether two boxes lie over each other or nearer than a gap."""
    apart = one[2] + gap <= other[0] or other[2] + gap <= one[0] or one[3] + gap <= other[1] or other[3] + gap <= one[1]
    return not apart


def inside(box: Box, room: Box) -> bool:
    """Whether a box lies in a room."""
    edge = 0.7  # mm
    low = box[0] >= room[0] + edge and box[1] >= room[1] + edge
    return low and box[2] <= room[2] - edge and box[3] <= room[3] - edge


def lines_near(
    lines: Sequence[str], near: Point, room: Box, taken: Sequence[Box], *, bold: bool = False
) -> tuple[Box, list[Lettering]] | None:
    """Lines of words as near to a point as there is room for them, clear of what is taken; None where there is none.

    Where they find no place as they are they are broken to be narrower.
    """
    measured, down = partial(measure, bold=bold), SMALL * LEADING
    wide = max(map(measured, lines))
    for share in (1.0, 0.7, 0.5):
        told = [part for line in lines for part in broken(line, share * wide + 0.01, measured)]
        box = _roomy((max(map(measured, told)), len(told) * down), near, room, taken)
        if box is not None:
            return box, [
                Lettering((box[0], box[3] - n * down + 0.3 * SMALL), line, bold) for n, line in enumerate(told, 1)
            ]
    return None


def _roomy(size: tuple[float, float], near: Point, room: Box, taken: Sequence[Box]) -> Box | None:
    """The place for words of a size that is nearest to a point and clear of all that is there; None without one."""
    wide, high = size
    best: tuple[float, float, float] | None = None
    found = None
    for left in _steps(room[0], room[2] - wide):
        for bottom in _steps(room[1], room[3] - high):
            box = left, bottom, left + wide, bottom + high
            away = math.dist(near, (min(max(near[0], box[0]), box[2]), min(max(near[1], box[1]), box[3])))
            rank = away, -left, bottom
            if (best is None or rank < best) and not any(overlap(box, other, _CLEAR) for other in taken):
                best, found = rank, box
    return found


def _steps(low: float, high: float) -> list[float]:
    """Places from one to the other, a little off both."""
    return [low + _EDGE + n * _STEP for n in range(int((high - low - 2 * _EDGE) // _STEP) + 1)]


def line_boxes(points: Sequence[Point]) -> list[Box]:
    """The room that each piece of a line takes; its points from left to right."""
    return [(a[0], min(a[1], b[1]), b[0], max(a[1], b[1])) for a, b in pairwise(points)]


def mark_box(point: Point) -> Box:
    """The room that a mark takes."""
    return point[0] - MARK, point[1] - MARK, point[0] + MARK, point[1] + MARK


def words_box(middle: Point, text: str, bold: bool = False) -> Box:
    """The room that words take about their middle."""
    half, tall = measure(text, bold) / 2 + 0.5, SMALL * 0.5
    return middle[0] - half, middle[1] - tall, middle[0] + half, middle[1] + tall


def beside(point: Point, text: str, room: Box, taken: Sequence[Box], *, bold: bool = False) -> Point | None:
    """The middle of words beside a mark, where there is room for them: right, left, above, below, or further off."""
    half = measure(text, bold) / 2 + MARK + 1.4
    for away in (1.0, 1.8, 3.0):
        for right, up in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (1, -1), (-1, 1)):
            middle = point[0] + right * half, point[1] + up * away * (MARK + SMALL * 0.8)
            box = words_box(middle, text, bold)
            if inside(box, room) and not any(overlap(box, other) for other in taken):
                return middle
    return None
