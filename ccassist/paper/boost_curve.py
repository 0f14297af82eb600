"""Trapped ratio against intake closing, drawn: the curve of one cylinder, its closing, and the range of the phasing."""

from __future__ import annotations

import math
from functools import cached_property

from ccassist.boost.trapped import curve as trapped_curve
from ccassist.display import show, show_value
from ccassist.measured import Value
from ccassist.paper.chart import scale_between
from ccassist.paper.drawing import MEDIUM
from ccassist.paper.furniture import Block
from ccassist.paper.plot import FOOT, HEAD, LEFT, Frame, curve, dot, strip
from ccassist.paper.shapes import Point
from ccassist.paper.sheet import BLACK, LEADING, SMALL, STRONG, TEXT, Sheet, measure
from ccassist.plan.boost_story import CURVE, BoostStory, Build

HIGH = 190.0
_STEP = math.radians(2.5)
_ROOM = math.radians(10)  # beyond a closing that lies outside the usual
_GAP = 7.0


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
        room = 0.1 * (high - low)  # above: for the words on the static ratio
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

    def draw(self) -> None:
        """Range, curve, closing, frame."""
        canvas, frame = self.canv, self.frame
        canvas.saveState()
        canvas.translate(LEFT, FOOT)
        self._range()
        self._static()
        curve(canvas, [frame.at(*point) for point in self.points], 1.3)
        self._closing()
        frame.draw(canvas)
        canvas.restoreState()

    def _range(self) -> None:
        """The phasing as a strip, and the trapped ratio at both of its ends."""
        reach, frame = self.reach, self.frame
        if reach is None or self.worst.earliest is None or self.worst.latest is None:
            return
        left, right = (frame.x.across(end.nominal, frame.wide) for end in reach)
        strip(self.canv, left, 0, right, frame.high)
        system = self.sheet.system
        ends = zip(("advanced", "retarded"), reach, (self.worst.earliest, self.worst.latest), strict=True)
        lines = ["grey: range of the intake cam's phasing"]
        lines += [
            f"fully {way}, {show('intake_closing', at.nominal, system=system)}: {show_value(ratio, system=system)}"
            for way, at, ratio in ends
        ]
        wide = max(measure(line, TEXT, SMALL) for line in lines)
        x = left - _GAP - wide if left - _GAP - wide > _GAP else right + _GAP
        self._lines(lines, (x, 8 + (len(lines) - 1) * SMALL * LEADING))

    def _static(self) -> None:
        """What the curve comes to where the intake closes at bottom dead centre."""
        frame, value = self.frame, self.build.values["static_ratio"]
        y = frame.y.across(value.nominal, frame.high)
        curve(self.canv, [(0, y), (frame.wide, y)], MEDIUM, (3, 2))
        text = f"static ratio {show_value(value, system=self.sheet.system)}"
        self._lines([text], (frame.wide - _GAP - measure(text, TEXT, SMALL), y + 4))

    def _closing(self) -> None:
        """This engine: a dot with the ± of both."""
        frame, canvas, trapped = self.frame, self.canv, self.build.values["trapped_ratio"]
        at = frame.at(self.closing.nominal, trapped.nominal)
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        spread = self.closing.expanded
        if math.isfinite(spread) and spread > 0:
            ends = [frame.x.across(self.closing.nominal + side * spread, frame.wide) for side in (-1, 1)]
            canvas.lines([(ends[0], at[1], ends[1], at[1]), *((x, at[1] - 4, x, at[1] + 4) for x in ends)])
        dot(canvas, at)
        system = self.sheet.system
        lines = [
            f"this engine: {show_value(self.closing, system=system)}",
            f"trapped ratio {show_value(trapped, system=system)}",
        ]
        wide = max(measure(line, STRONG, SMALL) for line in lines)
        x = at[0] + 16 if at[0] + 16 + wide < frame.wide - _GAP else at[0] - 16 - wide
        y = at[1] + 9 if x > at[0] else at[1] - 20
        self._lines(lines, (x, y + SMALL * LEADING), STRONG)

    def _lines(self, lines: list[str], first: Point, font: str = TEXT) -> None:
        self.canv.setFillGray(BLACK)
        self.canv.setFont(font, SMALL)
        for n, line in enumerate(lines):
            self.canv.drawString(first[0], first[1] - n * SMALL * LEADING, line)


__all__ = ["ClosingCurve"]
