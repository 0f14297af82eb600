"""The field of a drawing of one quantity against another: its edge, its scales and what they count.

Black on white: marks differ by shape, lines by their weight and dashes, and each is also named.
"""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.report.scales import Scale
from ccassist.report.scene import THIN, Box, Item, Point, Shape, Stroke, Words, rectangle
from ccassist.values.display import Formatter
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

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
