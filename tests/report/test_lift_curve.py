"""The drawing of a valve about overlap: the bar is the least gap, words keep clear, sides are in words."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from math import degrees, radians

import pytest

from ccassist.plan.valves.cam import Cam, cam_of
from ccassist.report.axes import inside, overlap
from ccassist.report.curves import LiftCurve
from ccassist.values.display import formatter
from tests.cam_job import CAM, ENGINE, EXHAUST, INTAKE, PHASING, valve
from tests.report.scenes import faults
from tests.sound_survey import surveyed

ASSUMED = ENGINE + CAM + valve("intake", more='valve_lift = "9.8 +/- 0.05 mm, measured"')
TOUCHING = ENGINE + CAM + INTAKE.replace("3.0 +/- 0.05 mm recessed", "3.0 +/- 0.05 mm proud")
JOBS = {"both": ENGINE + CAM + PHASING + INTAKE + EXHAUST, "assumed": ASSUMED, "touching": TOUCHING}
DRAWN = [("both", "intake"), ("both", "exhaust"), ("assumed", "intake"), ("touching", "intake")]


@cache
def cam(name: str) -> Cam:
    """The cam of a job."""
    return cam_of(surveyed(JOBS[name]), "metric")


def drawn(name: str, which: str, system: str = "metric") -> LiftCurve:
    """One drawing, before it is drawn."""
    room = cam(name).rooms[which]
    assert room.worst is not None
    assert room.worst_place is not None
    return LiftCurve(
        room=room,
        worst=room.worst,
        place=room.worst_place,
        about=math.radians(30.0),
        fmt=formatter(system),
        width=177.0,
    )


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize(("name", "which"), DRAWN)
def test_the_bar_is_the_least_gap_between_lift_and_piston(name: str, which: str, system: str) -> None:
    """Its foot on the lift at the worst phasing, its head where the valve would meet, where they are nearest."""
    found = drawn(name, which, system)
    (x, low), (_, high) = found.bar
    axes, lines = found.axes, found.lines
    per_metre = axes.high / (axes.y.high - axes.y.low)
    assert high - low == pytest.approx(found.worst.gap.nominal * per_metre, abs=0.01)
    angle = axes.x.low + x / axes.wide * (axes.x.high - axes.x.low)
    assert angle == pytest.approx(found.worst.crank)
    lift = next(one for one in reversed(lines) if one.name.startswith("lift"))
    assert _at(lift.points, angle) == pytest.approx(found.worst.lift, abs=2e-5)
    assert _at(lines[0].points, angle) == pytest.approx(found.worst.lift + found.worst.gap.nominal, abs=2e-5)
    nearest = min(
        y - _at(lift.points, at) for at, y in lines[0].points if lift.points[0][0] <= at <= lift.points[-1][0]
    )
    assert nearest == pytest.approx(found.worst.gap.nominal, abs=2e-5)


def _at(points: tuple[tuple[float, float], ...], x: float) -> float:
    """A line at a place, in proportion between its points."""
    for (a, low), (b, high) in pairwise(points):
        if a <= x <= b:
            return low + (high - low) * (x - a) / (b - a)
    raise AssertionError(f"the line does not reach {degrees(x):.1f} degrees")


@pytest.mark.parametrize(("name", "which"), DRAWN)
def test_words_keep_clear_and_lines_differ_without_colour(name: str, which: str) -> None:
    found = drawn(name, which)
    assert not faults(found.scene())
    assert found.told is not None
    box = found.told[0]
    assert inside(box, found.axes.box)
    for one in found.lines:
        for point in (found.axes.at(*at) for at in one.points):
            assert not overlap(box, (*point, *point))
    assert len({(one.width, one.dash) for one in found.lines}) == len(found.lines) == len({o.name for o in found.lines})


def test_sides_of_top_dead_centre_are_in_words() -> None:
    axes = drawn("both", "intake").axes
    said = [axes.number("crank_angle", radians(at), axes.x) for at in (-20, 0, 20)]
    assert said == ["20 before", "TDC", "20 after"]
