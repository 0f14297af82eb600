"""Trapped ratio against intake closing: the curve of one cylinder, its closing, and the range of the phasing."""

from __future__ import annotations

import math
from dataclasses import field
from functools import cached_property

from ccassist.boost.trapped import curve as trapped_curve
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.story import CURVE, BoostStory, CylinderStory
from ccassist.report.axes import FOOT, HEAD, LEFT, Axes, scale_between, strip
from ccassist.report.placing import line_boxes, lines_near, mark_box
from ccassist.report.scene import MEDIUM, Box, Item, Point, Scene, Stroke, Words, dot, moved, whisker
from ccassist.values.display import Formatter
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.vocabulary.record import record

HIGH = 67.0
_STEP = math.radians(2.5)
_ROOM = math.radians(10)  # beyond a closing that lies outside the usual
_GAP, _SERIF = 2.5, 1.4


@record
class ClosingCurve:
    """The curve of the cylinder with the highest ratio, for a width, mm; there must be one, and a closing."""

    story: BoostStory = field(repr=False)
    fmt: Formatter
    width: float

    @property
    def worst(self) -> CylinderStory:
        """That cylinder."""
        assert self.story.worst_one is not None
        return self.story.worst_one

    @property
    def build(self) -> Build:
        """What it is made of."""
        assert self.worst.build is not None
        return self.worst.build

    @property
    def closing(self) -> Value:
        """The closing that the figures are for."""
        closing = self.story.closing
        assert closing is not None
        return closing

    @property
    def reach(self) -> tuple[Value, Value] | None:
        """Intake closing with the cam fully advanced and fully retarded; None without phasing."""
        ends = self.story.card.reach("intake_closing") if self.story.card.phased("intake") else None
        return None if ends is None else (ends.earliest, ends.latest)

    @cached_property
    def points(self) -> list[Point]:
        """Closing and trapped ratio along the curve."""
        shown = [self.closing.nominal, *(end.nominal for end in self.reach or ())]
        first = CURVE[0] if min(shown) >= CURVE[0] else min(shown) - _ROOM
        last = CURVE[-1] if max(shown) <= CURVE[-1] else max(shown) + _ROOM
        pieces = round((last - first) / _STEP)
        closings = [first + (last - first) * n / pieces for n in range(pieces + 1)]
        found = trapped_curve(self.build.geometry.plain(), closings)
        return [(nominal(one.intake_closing), nominal(one.trapped_ratio)) for one in found]

    @cached_property
    def axes(self) -> Axes:
        """Scales that hold the curve and the static ratio."""
        ratios = [ratio for _, ratio in self.points]
        static = self.build.values["static_ratio"].nominal
        low, high = min(ratios), max(*ratios, static)
        room = 0.11 * (high - low)  # above: for the words on the static ratio
        return Axes(
            x_key="intake_closing",
            y_key="trapped_ratio",
            x=scale_between("intake_closing", self.points[0][0], self.points[-1][0], self.fmt, 10),
            y=scale_between("trapped_ratio", low - room, high + room, self.fmt),
            wide=self.width - LEFT - 3.5,
            high=HIGH,
            fmt=self.fmt,
        )

    @cached_property
    def dot(self) -> Point:
        """Where this engine lies on the drawing."""
        return self.axes.at(self.closing.nominal, self.build.values["trapped_ratio"].nominal)

    @cached_property
    def whisker(self) -> Box | None:
        """The ± of the closing, as wide as it is; None where there is none or it is not known."""
        spread = self.closing.expanded
        if not (math.isfinite(spread) and spread > 0):
            return None
        left, right = (self.axes.x.across(self.closing.nominal + side * spread, self.axes.wide) for side in (-1, 1))
        return left, self.dot[1] - _SERIF, right, self.dot[1] + _SERIF

    @cached_property
    def range(self) -> Box | None:
        """The strip of the phasing; None without it."""
        if self.reach is None:
            return None
        left, right = (self.axes.x.across(end.nominal, self.axes.wide) for end in self.reach)
        return left, 0.0, right, self.axes.high

    @cached_property
    def told(self) -> tuple[tuple[Box, list[Words]], ...]:
        """The words on the drawing with the room that they take, clear of its lines and of each other."""
        axes, fmt = self.axes, self.fmt
        static, trapped = (self.build.values[key] for key in ("static_ratio", "trapped_ratio"))
        level = axes.y.across(static.nominal, axes.high)
        taken = line_boxes([axes.at(*point) for point in self.points])
        taken += [(0.0, level, axes.wide, level), mark_box(self.dot), *([self.whisker] if self.whisker else [])]
        here = (f"this engine: {fmt.value(self.closing)}", _shown(trapped, fmt))
        wanted: list[tuple[tuple[str, ...], bool, Point]] = [
            ((_shown(static, fmt),), False, (axes.wide, level + _GAP)),
            (here, True, (self.dot[0] + _GAP, self.dot[1] + _GAP)),
        ]
        if self.range is not None:
            left, low, right, high = self.range
            taken += [(x, low, x, high) for x in (left, right)]
            wanted.append((self._ends(), False, (right, 0.0)))
        found = []
        for lines, bold, near in wanted:
            placed = lines_near(lines, near, axes.box, taken, bold=bold)
            if placed is not None:
                taken.append(placed[0])
                found.append(placed)
        return tuple(found)

    def _ends(self) -> tuple[str, ...]:
        """The phasing in words, with the trapped ratio at both of its ends."""
        fmt = self.fmt
        ends = zip(("advanced", "retarded"), self.reach or (), (self.worst.earliest, self.worst.latest), strict=False)
        return (
            "hatched: range of the intake cam's phasing",
            *(
                f"fully {way}, {fmt.show('intake_closing', at.nominal)}: {fmt.value(ratio)}"
                for way, at, ratio in ends
                if ratio is not None
            ),
        )

    def scene(self) -> Scene:
        """Range, static ratio, curve, closing, words, field."""
        axes = self.axes
        level = axes.y.across(self.build.values["static_ratio"].nominal, axes.high)
        items: list[Item] = [] if self.range is None else [strip(self.range)]
        items.append(Stroke(((0.0, level), (axes.wide, level)), MEDIUM, "dashed"))
        items.append(Stroke(tuple(axes.at(*point) for point in self.points), 0.46))
        if self.whisker is not None:
            items += whisker(self.whisker[0], self.whisker[2], self.dot[1], _SERIF)
        items += [*dot(self.dot), *(line for _, lines in self.told for line in lines), *axes.items()]
        return Scene(self.width, HEAD + HIGH + FOOT, tuple(moved(items, LEFT, FOOT)))


def _shown(ratio: Value, fmt: Formatter) -> str:
    name = "static ratio" if ratio.key == "static_ratio" else "dynamic (trapped) ratio"
    return f"{name} {fmt.value(ratio)}"
