"""Trapped ratio against intake closing, drawn: the curve of one cylinder, its closing, and the range of the phasing."""

from __future__ import annotations

import math
from functools import cached_property

from ccassist.boost.trapped import curve as trapped_curve
from ccassist.paper.chart import scale_between
from ccassist.paper.drawing import MEDIUM, Box
from ccassist.paper.furniture import Block
from ccassist.paper.plot import FOOT, HEAD, LEFT, Frame, Told, curve, dot, line_boxes, mark_box, strip, told_near
from ccassist.paper.shapes import Point
from ccassist.paper.sheet import BLACK, STRONG, TEXT, Sheet
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.story import CURVE, BoostStory
from ccassist.plan.boost.words import SHORT
from ccassist.values.display import show, show_value
from ccassist.values.measured import Value
from ccassist.vocabulary import term

HIGH = 190.0
_STEP = math.radians(2.5)
_ROOM = math.radians(10)  # beyond a closing that lies outside the usual
_GAP, _SERIF = 7.0, 4.0


class ClosingCurve(Block):
    """The curve of the cylinder with the highest ratio."""

    def __init__(self, sheet: Sheet, story: BoostStory) -> None:
        super().__init__()
        worst, closing = story.worst_one, story.card.intake_closing
        assert worst is not None
        assert worst.build is not None
        assert closing is not None
        self.sheet, self.story, self.worst, self.closing = sheet, story, worst, closing
        self.build: Build = worst.build
        self.width, self.height = sheet.width, HEAD + HIGH + FOOT

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
        return [(one.intake_closing, one.trapped_ratio) for one in found]

    @cached_property
    def frame(self) -> Frame:
        """Scales that hold the curve and the static ratio."""
        ratios = [ratio for _, ratio in self.points]
        static = self.build.values["static_ratio"].nominal
        low, high = min(ratios), max(*ratios, static)
        room = 0.11 * (high - low)  # above: for the words on the static ratio
        system = self.sheet.system
        return Frame(
            x_key="intake_closing",
            y_key="trapped_ratio",
            x=scale_between("intake_closing", self.points[0][0], self.points[-1][0], system, 10),
            y=scale_between("trapped_ratio", low - room, high + room, system),
            wide=self.width - LEFT - 10,
            high=HIGH,
            system=system,
        )

    @cached_property
    def dot(self) -> Point:
        """Where this engine lies on the drawing."""
        return self.frame.at(self.closing.nominal, self.build.values["trapped_ratio"].nominal)

    @cached_property
    def whisker(self) -> Box | None:
        """The ± of the closing, as wide as it is; None where there is none or it is not known."""
        spread = self.closing.expanded
        if not (math.isfinite(spread) and spread > 0):
            return None
        left, right = (self.frame.x.across(self.closing.nominal + side * spread, self.frame.wide) for side in (-1, 1))
        return left, self.dot[1] - _SERIF, right, self.dot[1] + _SERIF

    @cached_property
    def range(self) -> Box | None:
        """The strip of the phasing; None without it."""
        if self.reach is None:
            return None
        left, right = (self.frame.x.across(end.nominal, self.frame.wide) for end in self.reach)
        return left, 0.0, right, self.frame.high

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """The words on the drawing, clear of its lines and of each other."""
        frame, system = self.frame, self.sheet.system
        static, trapped = (self.build.values[key] for key in ("static_ratio", "trapped_ratio"))
        level = frame.y.across(static.nominal, frame.high)
        taken = line_boxes([frame.at(*point) for point in self.points])
        taken += [(0.0, level, frame.wide, level), mark_box(self.dot), *([self.whisker] if self.whisker else [])]
        here = (f"this engine: {show_value(self.closing, system=system)}", _shown(trapped, system))
        wanted: list[tuple[tuple[str, ...], str, Point]] = [
            ((_shown(static, system),), TEXT, (frame.wide, level + _GAP)),
            (here, STRONG, (self.dot[0] + _GAP, self.dot[1] + _GAP)),
        ]
        if self.range is not None:
            left, low, right, high = self.range
            taken += [(x, low, x, high) for x in (left, right)]
            wanted.append((self._ends(), TEXT, (right, 0.0)))
        found = []
        for lines, font, near in wanted:
            told = told_near(lines, font, near, frame.box, taken)
            if told is not None:
                taken.append(told.box)
                found.append(told)
        return tuple(found)

    def _ends(self) -> tuple[str, ...]:
        """The phasing in words, with the trapped ratio at both of its ends."""
        system = self.sheet.system
        ends = zip(("advanced", "retarded"), self.reach or (), (self.worst.earliest, self.worst.latest), strict=False)
        return (
            "grey: range of the intake cam's phasing",
            *(
                f"fully {way}, {show('intake_closing', at.nominal, system=system)}: {show_value(ratio, system=system)}"
                for way, at, ratio in ends
                if ratio is not None
            ),
        )

    def draw(self) -> None:
        """Range, static ratio, curve, closing, words, frame."""
        canvas, frame = self.canv, self.frame
        canvas.saveState()
        canvas.translate(LEFT, FOOT)
        if self.range is not None:
            strip(canvas, *self.range)
        level = frame.y.across(self.build.values["static_ratio"].nominal, frame.high)
        curve(canvas, [(0, level), (frame.wide, level)], MEDIUM, (3, 2))
        curve(canvas, [frame.at(*point) for point in self.points], 1.3)
        if self.whisker is not None:
            left, low, right, high = self.whisker
            canvas.setLineWidth(0.9)
            canvas.setStrokeGray(BLACK)
            canvas.lines([(left, self.dot[1], right, self.dot[1]), *((x, low, x, high) for x in (left, right))])
        dot(canvas, self.dot)
        for one in self.told:
            one.draw(canvas)
        frame.draw(canvas)
        canvas.restoreState()


def _shown(ratio: Value, system: str) -> str:
    return f"{SHORT.get(ratio.key, term(ratio.key).name)} {show_value(ratio, system=system)}"


__all__ = ["ClosingCurve"]
