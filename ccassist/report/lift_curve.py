"""Lift and piston about overlap: the valve's lift, the lift at which it would meet the piston, the least gap."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from functools import cached_property

from ccassist.plan.valves.place import ValveOverPiston
from ccassist.plan.valves.room import Nearest, ValveRoom
from ccassist.report import cam_words as words
from ccassist.report.axes import FOOT, HEAD, LEFT, Axes, Scale, scale_between
from ccassist.report.placing import line_boxes, lines_near
from ccassist.report.scene import THICK, Box, Item, Point, Scene, Stroke, Words, moved
from ccassist.values.display import Formatter
from ccassist.vocabulary.record import record

HIGH = 60.0
_STEP = math.radians(1.0)
_BEYOND = math.radians(5.0)  # past a least gap that lies outside the table
_ROW, _SAMPLE, _SERIF, _GAP = 4.6, 9.0, 1.4, 2.5
_EDGE = 7.0  # room for half of the last number
_HEAVY, _NORMAL = 0.63, 0.32


@record
class CrankAxes(Axes):
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
        return f"lift along the valve, piston drop, {words.gap_unit(self.fmt)}"


@record
class DrawnLine:
    """One line of the drawing: what it is, its points in SI, how it is drawn."""

    name: str
    points: tuple[Point, ...]
    width: float
    dash: str = ""


@record
class LiftCurve:
    """One valve over the piston that it comes nearest to, for a width, mm.

    ``about`` : how far before and after overlap is shown at least, rad.
    """

    room: ValveRoom = field(repr=False)
    worst: Nearest
    place: ValveOverPiston = field(repr=False)
    about: float
    fmt: Formatter
    width: float

    @property
    def reach(self) -> float:
        """How far before and after overlap is shown."""
        return max(self.about, abs(self.worst.crank) + _BEYOND)

    @cached_property
    def lines(self) -> tuple[DrawnLine, ...]:
        """Where it would meet, the lift as read, the lift at the worst phasing, and the piston."""
        place, fmt, worst = self.place, self.fmt, self.worst
        count = round(2 * self.reach / _STEP)
        angles = [self.reach * (2 * n / count - 1) for n in range(count + 1)]
        lift = "lift, " + ("as read" if self.room.measured else "ASSUMED")
        meets = "lift at which it would meet " + (
            "the pocket or the crown" if place.pocket is not None else "the crown"
        )
        drop = tuple((at, place.drop(at)) for at in angles)
        found = [
            DrawnLine(name=meets, points=tuple((at, place.gap_at(at, 0.0)) for at in angles), width=_HEAVY),
            DrawnLine(name=lift, points=self._lift(angles, 0.0), width=_NORMAL),
            DrawnLine(name="piston drop", points=drop, width=_NORMAL, dash="dotted"),
        ]
        phase = words.phase_text(worst.phase, fmt)
        if worst.phase:
            moved = DrawnLine(
                name=f"lift {phase}", points=self._lift(angles, worst.phase), width=_NORMAL, dash="dashed"
            )
            found.insert(2, moved)
        return tuple(one for one in found if one.points)

    def _lift(self, angles: Sequence[float], phase: float) -> tuple[Point, ...]:
        """Lift against crank angle, as far as it is known."""
        place = self.place
        return tuple((at, place.curve.at(at + phase)) for at in angles if place.covers(at + phase))

    @cached_property
    def axes(self) -> CrankAxes:
        """Scales that hold every line."""
        fmt = self.fmt
        heights = [y for one in self.lines for _, y in one.points]
        low, high = min(0.0, *heights), max(heights)
        return CrankAxes(
            x_key="crank_angle",
            y_key="valve_gap",
            x=scale_between("crank_angle", -self.reach, self.reach, fmt, 6),
            y=scale_between("valve_gap", low, high + 0.04 * (high - low), fmt),
            wide=self.width - LEFT - _EDGE,
            high=HIGH,
            fmt=fmt,
        )

    @cached_property
    def bar(self) -> tuple[Point, Point]:
        """The least gap: from the lift to where the valve would meet."""
        at, lift = self.worst.crank, self.worst.lift
        return self.axes.at(at, lift), self.axes.at(at, lift + self.worst.gap.nominal)

    @cached_property
    def told(self) -> tuple[Box, list[Words]] | None:
        """The words on the least gap with the room that they take, clear of the lines; None where there is no room."""
        fmt, axes = self.fmt, self.axes
        said = (
            f"least gap {fmt.value(self.worst.gap)}",
            f"at {fmt.show('crank_angle', self.worst.crank)}".replace("at at", "at"),
        )
        taken = [box for one in self.lines for box in line_boxes([axes.at(*point) for point in one.points])]
        (x, low), (_, high) = self.bar
        taken.append((x - _SERIF, min(low, high), x + _SERIF, max(low, high)))
        return lines_near(said, (x + _GAP, (low + high) / 2), axes.box, taken, bold=True)

    def scene(self) -> Scene:
        """Lines, least gap, field, and the key below: a sample of each line with what it is, two beside each other."""
        axes, rows = self.axes, math.ceil(len(self.lines) / 2)
        items: list[Item] = [
            Stroke(tuple(axes.at(*at) for at in one.points), one.width, one.dash) for one in self.lines
        ]
        (x, low), (_, high) = self.bar
        items += [Stroke(((x, low), (x, high)), THICK)]
        items += [Stroke(((x - _SERIF, y), (x + _SERIF, y)), THICK) for y in (low, high)]
        items += [*(self.told[1] if self.told else ()), *axes.items()]
        key: list[Item] = []
        wide = (self.width - LEFT) / 2
        for n, one in enumerate(self.lines):
            x, y = LEFT + n % 2 * wide, _ROW * (rows - n // 2 - 1) + 1.4
            key += [
                Stroke(((x, y + 1), (x + _SAMPLE, y + 1)), one.width, one.dash),
                Words((x + _SAMPLE + 2, y), one.name),
            ]
        up = FOOT + _ROW * rows
        return Scene(self.width, HEAD + HIGH + up, (*key, *moved(items, LEFT, up)))
