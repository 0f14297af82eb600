"""Valve against piston: the geometry by vectors, and the search for the least gap against SciPy."""

from __future__ import annotations

from math import acos, cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from ccassist.engine.valve_room import (
    depth_at_middle,
    depth_at_rim,
    farthest_below,
    gap_to_crown,
    gap_to_floor,
    nearest_phase,
    rim_reach,
    room_at_top,
    shift,
)
from ccassist.values.numerics import least

ANGLES = st.floats(0.0, radians(30))
LENGTHS = st.floats(0.0, 12e-3)


def rim(diameter: float, angle: float, room: float, lift: float, place: float) -> np.ndarray:
    """A point of the open valve's rim, in the plane of its lean: x across, y aside, z above the crown at top.

    ``place`` counts from the deepest point.  The stem points down and aside; the rim is square to it.
    """
    stem = np.array([sin(angle), 0.0, -cos(angle)])
    deep = np.array([-cos(angle), 0.0, -sin(angle)])
    across = np.array([0.0, 1.0, 0.0])
    lowest_closed = np.array([0.0, 0.0, room])
    centre = lowest_closed - deep * diameter / 2 + stem * lift
    return centre + diameter / 2 * (deep * cos(place) + across * sin(place))


@given(LENGTHS, LENGTHS, LENGTHS, ANGLES)
def test_the_gap_to_the_crown_along_the_stem_by_vectors(lift: float, drop: float, room: float, angle: float) -> None:
    """From the deepest point of the rim along the stem to the plane z = −drop."""
    point = rim(33e-3, angle, room, lift, 0.0)
    along = (point[2] + drop) / cos(angle)
    assert gap_to_crown(lift, drop, room, angle) == pytest.approx(along, abs=1e-12)


@given(LENGTHS, LENGTHS, st.floats(0.5e-3, 12e-3), ANGLES, st.floats(0.0, 5e-3))
def test_the_gap_to_a_pockets_floor_by_vectors(
    lift: float, drop: float, room: float, angle: float, pocket: float
) -> None:
    """The floor is square to the stem, ``pocket`` beyond the crown at the deep rim with the piston at top."""
    stem = np.array([sin(angle), 0.0, -cos(angle)])
    closed = rim(33e-3, angle, room, 0.0, 0.0)
    on_crown = closed + stem * closed[2] / cos(angle)
    floor = on_crown + stem * pocket + np.array([0.0, 0.0, -drop])
    point = rim(33e-3, angle, room, lift, 0.0)
    assert gap_to_floor(lift, drop, room, angle, pocket) == pytest.approx(float((floor - point) @ stem), abs=1e-12)


@given(st.floats(0.1e-3, 8e-3), st.floats(radians(1), radians(30)), st.floats(0.0, 8e-3))
def test_the_farthest_point_below_the_crown_and_its_reach_by_scan(below: float, angle: float, drop: float) -> None:
    """Every point of the rim below the crown, against the pocket's axis shifted with the piston."""
    diameter, gap = 33e-3, -below
    lift = 5e-3
    room = (lift + gap) * cos(angle) - drop
    deep = np.array([-cos(angle), 0.0, -sin(angle)])
    across = np.array([0.0, 1.0, 0.0])
    stem = np.array([sin(angle), 0.0, -cos(angle)])
    pocket_centre = np.array([0.0, 0.0, room]) - deep * diameter / 2 + np.array([0.0, 0.0, -drop])
    farthest = 0.0
    for place in np.linspace(0, pi, 801):
        point = rim(diameter, angle, room, lift, place)
        if point[2] > -drop + 1e-12:
            continue
        aside = point - pocket_centre
        farthest = max(farthest, float(np.hypot(aside @ deep, aside @ across)))
        assert abs(stem @ deep) < 1e-12
    made = rim_reach(diameter, shift(drop, angle), farthest_below(gap, diameter, angle))
    assert made == pytest.approx(farthest, abs=4e-5)


def test_an_upright_valve_has_no_lean() -> None:
    assert farthest_below(-1e-6, 33e-3, 0.0) == -1.0
    assert gap_to_crown(5e-3, 1e-3, 3e-3, 0.0) == gap_to_floor(5e-3, 1e-3, 3e-3, 0.0, 0.0)


def test_depth_at_the_rim_and_at_the_middle() -> None:
    assert depth_at_rim(1e-3, 30e-3, radians(12)) == pytest.approx(1e-3 + 15e-3 * np.tan(radians(12)))
    assert depth_at_middle(depth_at_rim(1e-3, 30e-3, 0.2), 30e-3, 0.2) == pytest.approx(1e-3)
    assert acos(farthest_below(-15e-3 * 2 * sin(0.2) / cos(0.2) / 2, 30e-3, 0.2)) == pytest.approx(pi / 2)


def test_room_adds_up() -> None:
    """0.2 below deck, 1.3 gasket, 2.0 recessed, 1.0 raised crown: 2.5 mm."""
    assert room_at_top(0.2e-3, 1.3e-3, 2.0e-3, -1.0e-3) == pytest.approx(2.5e-3)


@pytest.mark.parametrize(
    "function",
    [
        lambda x: (x - 0.123) ** 2,
        lambda x: 3 * x**2 - np.sin(5 * x),
        lambda x: np.cosh(x - 0.7) - 0.3 * x,
        lambda x: abs(x + 0.4) ** 1.5,
    ],
)
def test_the_least_is_that_of_the_library(function: object) -> None:
    """SciPy's bounded Brent search as an independent route."""
    theirs = minimize_scalar(function, bounds=(-1, 1), method="bounded", options={"xatol": 1e-12})
    ours = least(function, -1.0, 1.0, step=0.05)  # type: ignore[arg-type]
    assert function(ours) <= theirs.fun + 1e-12  # type: ignore[operator]
    assert ours == pytest.approx(theirs.x, abs=1e-6)


def test_the_least_may_lie_at_an_end_or_in_the_deeper_of_two_dips() -> None:
    assert least(lambda x: x, -1.0, 1.0, step=0.1) == -1.0
    assert least(lambda x: min((x - 0.5) ** 2, (x + 0.5) ** 2 - 0.01), -1.0, 1.0, step=0.05) == pytest.approx(-0.5)


@pytest.mark.parametrize(("cam", "phase"), [(10, 10), (30, 20), (-3, -3), (-30, -5)])
def test_the_worst_phasing_brings_the_piston_highest(cam: float, phase: float) -> None:
    assert nearest_phase(cam, 5, 20) == phase
