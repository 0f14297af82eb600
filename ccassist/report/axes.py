"""Scales with round ticks, in the unit shown, and the field of a drawing of one quantity against another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ccassist.report.scene import THIN, Box, Item, Point, Shape, Stroke, Words, rectangle
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
    said = {"+": wanted.sign.says_plus, "−": wanted.sign.says_minus}
    shown = [mark for mark, there in (("+", scale.high > 0), ("−", scale.low < 0)) if there]
    return f"{name} ({', '.join(f'{mark} {around(said[mark])}' for mark in shown)})"


def around(says: str) -> str:
    """The words that stand about the amount: those after it, or the first of those before it.

    >>> around("{} below deck"), around("dish, adds {} of space")
    ('below deck', 'dish')
    """
    before, _, after = says.partition("{}")
    return before.split(",")[0].strip() or after.strip()


def scale_of(values: Sequence[Value], band: Band | None, fmt: Formatter) -> Scale:
    """A scale with round ticks that holds every value, its ± and the limits of the band."""
    ends = [v.nominal + side * _finite(v.expanded) for v in values for side in (-1, 1)]
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


def _finite(spread: float) -> float:
    return spread if math.isfinite(spread) else 0.0


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
        yield Shape(rectangle(self.box))
        for tick in self.x.ticks:
            x = self.x.across(tick, self.wide)
            yield Stroke(((x, 0.0), (x, -1.0)))
            yield Words((x, -4.2), self.number(self.x_key, tick, self.x), anchor="middle")
        for tick in self.y.ticks:
            y = self.y.across(tick, self.high)
            yield Stroke(((0.0, y), (-1.0, y)))
            yield Words((-1.8, y - 1.05), self.number(self.y_key, tick, self.y), anchor="end")
        yield Words((self.wide / 2, -8.2), self.name(self.x_key), anchor="middle", shade="grey")
        yield Words((-LEFT, self.high + 1.8), self.name(self.y_key), shade="grey")

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


def strip(box: Box) -> Shape:
    """A range, hatched so that a copy shows it too."""
    return Shape(rectangle(box), "sparse", THIN)
