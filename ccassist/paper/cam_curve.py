"""Lift and piston about overlap, drawn: the valve's lift, the lift at which it would meet the piston, the least gap."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from ccassist.paper.chart import Scale, scale_between
from ccassist.paper.drawing import THICK
from ccassist.paper.furniture import Block
from ccassist.paper.plot import FOOT, HEAD, LEFT, Frame, Told, curve, line_boxes, told_near
from ccassist.paper.shapes import Point
from ccassist.paper.sheet import BLACK, SMALL, STRONG, TEXT, Sheet, cut
from ccassist.plan.valves import words
from ccassist.plan.valves.place import Place
from ccassist.plan.valves.room import Nearest, ValveRoom
from ccassist.values.display import show, show_value

HIGH = 170.0
_STEP = math.radians(1.0)
_BEYOND = math.radians(5.0)  # past a least gap that lies outside the table
_ROW, _SAMPLE, _SERIF, _GAP = 13.0, 26.0, 4.0, 7.0
_EDGE = 20.0  # room for half of the last number
_HEAVY, _NORMAL = 1.8, 0.9
_DASHED, _DOTTED = (4.0, 2.5), (1.2, 2.0)


@dataclass(frozen=True, kw_only=True)
class CrankFrame(Frame):
    """Crank angle across, its two sides of top dead centre in words."""

    def number(self, key: str, value: float, scale: Scale) -> str:
        """An angle says its side: "20 before"."""
        text = super().number(key, abs(value) if key == self.x_key else value, scale)
        if key != self.x_key:
            return text
        return "TDC" if float(text) == 0 else f"{text} {'before' if value < 0 else 'after'}"

    def name(self, key: str) -> str:
        """The angle with its unit; lift, drop and gap share the other scale."""
        if key == self.x_key:
            return "crank angle from top dead centre at overlap, deg"
        return f"lift along the valve, piston drop, {words.gap_unit(self.system)}"


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """One line of the drawing: what it is, its points in SI, how it is drawn."""

    name: str
    points: tuple[Point, ...]
    width: float
    dash: tuple[float, ...] = ()


class LiftCurve(Block):
    """One valve over the piston that it comes nearest to."""

    def __init__(self, sheet: Sheet, room: ValveRoom, worst: Nearest, place: Place, reach: float) -> None:
        super().__init__()
        self.sheet, self.room, self.worst, self.place = sheet, room, worst, place
        self.reach = max(reach, abs(worst.crank) + _BEYOND)
        self.key = _ROW * math.ceil(len(self.lines) / 2)
        self.width, self.height = sheet.width, HEAD + HIGH + FOOT + self.key

    @cached_property
    def lines(self) -> tuple[Drawn, ...]:
        """Where it would meet, the lift as read, the lift at the worst phasing, and the piston."""
        place, system, worst = self.place, self.sheet.system, self.worst
        count = round(2 * self.reach / _STEP)
        angles = [self.reach * (2 * n / count - 1) for n in range(count + 1)]
        lift = "lift, " + ("as read" if self.room.measured else "ASSUMED")
        meets = "lift at which it would meet " + (
            "the pocket or the crown" if place.pocket is not None else "the crown"
        )
        found = [
            Drawn(name=meets, points=tuple((at, place.gap_at(at, 0.0)) for at in angles), width=_HEAVY),
            Drawn(name=lift, points=self._lift(angles, 0.0), width=_NORMAL),
            Drawn(name="piston drop", points=tuple((at, place.drop(at)) for at in angles), width=_NORMAL, dash=_DOTTED),
        ]
        phase = words.phase_text(worst.phase, system)
        if worst.phase:
            moved = Drawn(name=f"lift {phase}", points=self._lift(angles, worst.phase), width=_NORMAL, dash=_DASHED)
            found.insert(2, moved)
        return tuple(one for one in found if one.points)

    def _lift(self, angles: Sequence[float], phase: float) -> tuple[Point, ...]:
        """Lift against crank angle, as far as it is known."""
        place = self.place
        return tuple((at, place.curve.at(at + phase)) for at in angles if place.covers(at + phase))

    @cached_property
    def frame(self) -> CrankFrame:
        """Scales that hold every line."""
        system = self.sheet.system
        heights = [y for one in self.lines for _, y in one.points]
        low, high = min(0.0, *heights), max(heights)
        return CrankFrame(
            x_key="crank_angle",
            y_key="valve_gap",
            x=scale_between("crank_angle", -self.reach, self.reach, system, 6),
            y=scale_between("valve_gap", low, high + 0.04 * (high - low), system),
            wide=self.width - LEFT - _EDGE,
            high=HIGH,
            system=system,
        )

    @cached_property
    def bar(self) -> tuple[Point, Point]:
        """The least gap: from the lift to where the valve would meet."""
        at, lift = self.worst.crank, self.worst.lift
        return self.frame.at(at, lift), self.frame.at(at, lift + self.worst.gap.nominal)

    @cached_property
    def told(self) -> Told | None:
        """The words on the least gap, clear of the lines; None where there is no room."""
        system, frame = self.sheet.system, self.frame
        said = (
            f"least gap {show_value(self.worst.gap, system=system)}",
            f"at {show('crank_angle', self.worst.crank, system=system)}".replace("at at", "at"),
        )
        taken = [box for one in self.lines for box in line_boxes([frame.at(*point) for point in one.points])]
        (x, low), (_, high) = self.bar
        taken.append((x - _SERIF, min(low, high), x + _SERIF, max(low, high)))
        return told_near(said, STRONG, (x + _GAP, (low + high) / 2), frame.box, taken)

    def draw(self) -> None:
        """Lines, least gap, frame, and the key below."""
        canvas, frame = self.canv, self.frame
        canvas.saveState()
        canvas.translate(LEFT, FOOT + self.key)
        for one in self.lines:
            curve(canvas, [frame.at(*point) for point in one.points], one.width, one.dash)
        (x, low), (_, high) = self.bar
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(THICK)
        canvas.lines([(x, low, x, high), *((x - _SERIF, y, x + _SERIF, y) for y in (low, high))])
        if self.told is not None:
            self.told.draw(canvas)
        frame.draw(canvas)
        canvas.restoreState()
        self._key()

    def _key(self) -> None:
        """A sample of each line with what it is, two beside each other."""
        canvas, wide = self.canv, (self.width - LEFT) / 2
        for n, one in enumerate(self.lines):
            x, y = LEFT + n % 2 * wide, self.key - _ROW * (n // 2 + 1) + 4
            curve(canvas, [(x, y + 3), (x + _SAMPLE, y + 3)], one.width, one.dash)
            canvas.setFillGray(BLACK)
            canvas.setFont(TEXT, SMALL)
            canvas.drawString(x + _SAMPLE + 6, y, cut(one.name, TEXT, SMALL, wide - _SAMPLE - 12))


__all__ = ["CrankFrame", "LiftCurve"]
