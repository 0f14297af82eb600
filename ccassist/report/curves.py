"""Curves: trapped ratio against intake closing, with its range; lift and piston about overlap, with the least gap."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import field
from functools import cached_property

from ccassist.plan.boost.build import Build
from ccassist.plan.boost.story import CURVE, BoostStory, CylinderStory
from ccassist.plan.valves.place import ValveOverPiston
from ccassist.plan.valves.room import Nearest, ValveRoom
from ccassist.report.axes import FOOT, HEAD, LEFT, Axes, Scale, line_boxes, lines_near, mark_box, scale_between, strip
from ccassist.report.scene import MEDIUM, THICK, Box, Item, Lettering, Point, Scene, Stroke, dot, moved, whisker
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
        geometry = self.build.geometry.plain()
        return [(closing, nominal(geometry.closing_at(closing).trapped_ratio)) for closing in closings]

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
    def told(self) -> tuple[tuple[Box, list[Lettering]], ...]:
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


LIFT_HIGH = 60.0
_DEGREE = math.radians(1.0)
_BEYOND = math.radians(5.0)  # past a least gap that lies outside the table
_ROW, _SAMPLE, _BAR_END, _WORDS_OFF = 4.6, 9.0, 1.4, 2.5
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
        return f"lift along the valve, piston drop, {self.fmt.unit('valve_gap')}"


@record
class DrawnLine:
    """One line of the drawing: what it is, its points in SI, how it is drawn."""

    name: str
    points: tuple[Point, ...]
    width: float
    dash: str = ""


@record
class LiftCurve:
    """One valve over the piston that it comes nearest to, for a width, mm."""

    room: ValveRoom = field(repr=False)
    worst: Nearest
    place: ValveOverPiston = field(repr=False)
    about: float  # how far before and after overlap is shown at least, rad
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
        count = round(2 * self.reach / _DEGREE)
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
        phase = phase_text(worst.phase, fmt)
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
            high=LIFT_HIGH,
            fmt=fmt,
        )

    @cached_property
    def bar(self) -> tuple[Point, Point]:
        """The least gap: from the lift to where the valve would meet."""
        at, lift = self.worst.crank, self.worst.lift
        return self.axes.at(at, lift), self.axes.at(at, lift + self.worst.gap.nominal)

    @cached_property
    def told(self) -> tuple[Box, list[Lettering]] | None:
        """The words on the least gap with the room that they take, clear of the lines; None where there is no room."""
        fmt, axes = self.fmt, self.axes
        said = (
            f"least gap {fmt.value(self.worst.gap)}",
            f"at {fmt.show('crank_angle', self.worst.crank)}".replace("at at", "at"),
        )
        taken = [box for one in self.lines for box in line_boxes([axes.at(*point) for point in one.points])]
        (x, low), (_, high) = self.bar
        taken.append((x - _BAR_END, min(low, high), x + _BAR_END, max(low, high)))
        return lines_near(said, (x + _WORDS_OFF, (low + high) / 2), axes.box, taken, bold=True)

    def scene(self) -> Scene:
        """Lines, least gap, field, and the key below: a sample of each line with what it is, two beside each other."""
        axes, rows = self.axes, math.ceil(len(self.lines) / 2)
        items: list[Item] = [
            Stroke(tuple(axes.at(*at) for at in one.points), one.width, one.dash) for one in self.lines
        ]
        (x, low), (_, high) = self.bar
        items += [Stroke(((x, low), (x, high)), THICK)]
        items += [Stroke(((x - _BAR_END, y), (x + _BAR_END, y)), THICK) for y in (low, high)]
        items += [*(self.told[1] if self.told else ()), *axes.items()]
        key: list[Item] = []
        wide = (self.width - LEFT) / 2
        for n, one in enumerate(self.lines):
            x, y = LEFT + n % 2 * wide, _ROW * (rows - n // 2 - 1) + 1.4
            key += [
                Stroke(((x, y + 1), (x + _SAMPLE, y + 1)), one.width, one.dash),
                Lettering((x + _SAMPLE + 2, y), one.name),
            ]
        up = FOOT + _ROW * rows
        return Scene(self.width, HEAD + LIFT_HIGH + up, (*key, *moved(items, LEFT, up)))


def phase_text(phase: float, fmt: Formatter) -> str:
    """The phasing in words."""
    return "phased as read" if abs(phase) < 1e-9 else f"phased {fmt.show('cam_advance', phase)}"
