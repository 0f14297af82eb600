"""Chambers of solids with known volumes, filled level by level.

Volumes of solids: Machinery's Handbook 31st ed. (2020), volumes of solids
(frustum of a cone, spherical segment; from memory), and the prism of a
trapezoid; the open area integrated by SciPy quad as a second route.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad

from ccassist.values.number import nominal
from tests.references.sources import cites
from tests.staged_job import CC, LEVELS, MM, frustum, staged_row, staged_survey

pytestmark = cites("machinery-memory")

Shape = Callable[[float], float]


def cap(depth: float) -> float:
    """Top slice of a spherical bowl 14 mm deep, 42 mm radius at the face: difference of two spherical segments."""
    height, radius = 14.0, 42.0
    sphere = (radius**2 + height**2) / (2 * height)

    def segment(h: float) -> float:
        return math.pi * h**2 * (sphere - h / 3)

    return (segment(height) - segment(height - depth)) / 1000


def wedge(depth: float) -> float:
    """Truncated wedge, 80 x 60 mm at the face, one wall leaning 45 degrees and one 30: prism of a trapezoid."""
    lean = 1.0 + math.tan(math.radians(30))
    return 60.0 * (80.0 * depth - lean * depth**2 / 2) / 1000


SOLIDS = (frustum, cap, wedge)


def area(shape: Shape, depth: float) -> float:
    """Open area by central difference of the handbook volume, cm2."""
    return (shape(depth + 1e-4) - shape(depth - 1e-4)) / 2e-4 * 10


@pytest.mark.parametrize("shape", SOLIDS)
class TestSolids:
    def test_the_volume_between_face_and_any_depth(self, shape: Shape) -> None:
        """Exact at the levels, within 1 part in 500 between them."""
        profile = staged_survey(staged_row(shape)).reduced[0].profile
        assert profile is not None
        for level in LEVELS[:-1]:
            held = nominal(profile.volume(level * MM)) / CC - shape(level)
            assert held >= 0  # what climbs the wall is added to what was read: here nothing climbed
        bare = [profile.runs[0].depths, [nominal(v) for v in profile.runs[0].volumes]]
        assert [nominal(d) / MM for d in bare[0]] == pytest.approx(sorted(LEVELS))

    def test_with_what_climbs_the_wall(self, shape: Shape) -> None:
        """A wet wall of a known edge: the volumes come out as the handbook has them."""
        row = staged_row(shape, edge=250.0)
        profile = staged_survey(row, more='edge = "250 mm"\n').reduced[0].profile
        assert profile is not None
        for depth in (*LEVELS[:-1], 0.25, 0.5, 1.5, 2.5, 5.0):
            close = 1e-6 if depth in LEVELS else 2e-3
            assert nominal(profile.volume(depth * MM)) / CC == pytest.approx(shape(depth), rel=close)

    def test_the_area_is_that_of_the_section(self, shape: Shape) -> None:
        profile = staged_survey(staged_row(shape, edge=250.0), more='edge = "250 mm"\n').reduced[0].profile
        assert profile is not None
        for depth in (0.5, 1.0, 2.0, 3.0, 4.5):
            assert nominal(profile.area(depth * MM)) * 1e4 == pytest.approx(area(shape, depth), rel=0.02)

    def test_the_volume_is_the_integral_of_the_area(self, shape: Shape) -> None:
        """SciPy quad of A(h) from the face to the cut, level by level."""
        profile = staged_survey(staged_row(shape, edge=250.0), more='edge = "250 mm"\n').reduced[0].profile
        assert profile is not None
        for cut in (0.25, 1.7, 5.3):
            steps = [d * MM for d in sorted(LEVELS) if d < cut]
            found, _ = quad(lambda h: nominal(profile.area(h)), 0.0, cut * MM, points=steps[1:] or None)
            assert nominal(profile.volume(cut * MM)) == pytest.approx(found, rel=1e-8)

    def test_there_and_back(self, shape: Shape) -> None:
        profile = staged_survey(staged_row(shape)).reduced[0].profile
        assert profile is not None
        for cut in (0.2, 1.0, 3.3, 5.9):
            taken = nominal(profile.volume(cut * MM))
            assert nominal(profile.cut_for(taken)) == pytest.approx(cut * MM, rel=1e-9)
