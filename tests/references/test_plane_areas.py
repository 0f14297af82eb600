"""Areas of plane figures: exact formulas of geometry, numerical integration by SciPy, and a trade example.

Regular polygon ½ n r² sin(2π/n), triangle by Heron, circular segment and
ellipse: Machinery's Handbook, 31st ed. (2020), areas of plane figures (from
memory; the segment seen, p. 79).  The shoelace formula is Gauss's.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from ccassist.bench.traced import bulge, edge_half_width, polygon_area
from ccassist.engine import relations as r
from tests.references.sources import cites

pytestmark = cites("own")

Points = list[tuple[float, float]]


def around(count: int, x: Callable[[float], float], y: Callable[[float], float]) -> Points:
    """Points of a closed curve at equal steps of its angle."""
    return [(x(a), y(a)) for a in (2 * math.pi * i / count for i in range(count))]


def ellipse(count: int, long: float = 90.0, short: float = 84.0) -> Points:
    return around(count, lambda a: long / 2 * math.cos(a), lambda a: short / 2 * math.sin(a))


def slot(straight: float, width: float, count: int) -> Points:
    """Two half circles joined by straight flats, as two cylinders grown together; count points to each half."""
    right = [math.pi * (i / (count - 1) - 0.5) for i in range(count)]
    half = [(straight / 2 + width / 2 * math.cos(a), width / 2 * math.sin(a)) for a in right]
    return half + [(-x, -y) for x, y in half]


class TestShoelace:
    """The area inside straight lines."""

    @pytest.mark.parametrize("count", [3, 4, 7, 36, 360])
    def test_regular_polygons(self, count: int) -> None:
        points = around(count, lambda a: 43 * math.cos(a), lambda a: 43 * math.sin(a))
        assert polygon_area(points) == pytest.approx(count / 2 * 43**2 * math.sin(2 * math.pi / count), rel=1e-13)

    @given(st.tuples(*[st.floats(-100, 100)] * 6))
    def test_any_triangle_by_heron(self, c: tuple[float, ...]) -> None:
        corners = [(c[0], c[1]), (c[2], c[3]), (c[4], c[5])]
        a, b, d = (math.dist(p, q) for p, q in [*pairwise(corners), (corners[2], corners[0])])
        s = (a + b + d) / 2
        heron = math.sqrt(max(0.0, s * (s - a) * (s - b) * (s - d)))
        assert polygon_area(corners) == pytest.approx(heron, abs=1e-3)  # Heron itself loses digits on thin ones

    def test_a_notch_is_left_out(self) -> None:
        """An L of 8 × 8 less 5 × 6, added by hand."""
        assert polygon_area([(0, 0), (8, 0), (8, 2), (3, 2), (3, 8), (0, 8)]) == 34

    def test_either_way_round_from_any_point_and_any_ruler(self) -> None:
        points = ellipse(40)
        area = polygon_area(points)
        assert polygon_area(points[::-1]) == pytest.approx(area, rel=1e-14)
        assert polygon_area(points[13:] + points[:13]) == pytest.approx(area, rel=1e-14)
        assert polygon_area([(x + 1e6, y - 1e6) for x, y in points]) == pytest.approx(area, rel=1e-9)

    def test_an_odd_outline_by_numerical_integration(self) -> None:
        """A three-lobed outline ½ ∫ r² dφ by SciPy; 2,000 points come within two parts in a million."""

        def radius(a: float) -> float:
            return 43 + 3 * math.cos(3 * a)

        exact, _ = integrate.quad(lambda a: radius(a) ** 2 / 2, 0, 2 * math.pi)
        points = around(2000, lambda a: radius(a) * math.cos(a), lambda a: radius(a) * math.sin(a))
        assert polygon_area(points) == pytest.approx(exact, rel=3e-6)
        assert polygon_area(points) == pytest.approx(abs(_by_trapezes(points)), rel=1e-12)


def _by_trapezes(points: Points) -> float:
    """The same polygon as ∮ y dx by NumPy's trapezoidal rule."""
    closed = np.array([*points, points[0]])
    return float(np.trapezoid(closed[:, 1], closed[:, 0]))


class TestBulge:
    """What a curved edge holds beyond the straight lines."""

    @pytest.mark.parametrize(("count", "within"), [(12, 0.02), (24, 0.005), (36, 0.0025), (72, 0.001)])
    def test_a_circle_by_its_segments(self, count: int, within: float) -> None:
        """Circle less regular polygon; the angle taken as small is out by θ²/20 or so."""
        points = around(count, lambda a: 43 * math.cos(a), lambda a: 43 * math.sin(a))
        missing = math.pi * 43**2 - polygon_area(points)
        assert bulge(points) == pytest.approx(missing, rel=within)

    @pytest.mark.parametrize("count", [24, 40, 80])
    def test_an_ellipse(self, count: int) -> None:
        exact, points = math.pi / 4 * 90 * 84, ellipse(count)
        assert bulge(points) == pytest.approx(exact - polygon_area(points), rel=0.01)

    @pytest.mark.parametrize("count", [8, 13, 25])
    def test_flats_between_bends_stay_within_the_doubt(self, count: int) -> None:
        """No point on the flats at all: what is taken for their bend is within the half that is in doubt."""
        points = slot(20.0, 80.0, count)
        exact = 20 * 80 + math.pi / 4 * 80**2
        assert abs(polygon_area(points) + bulge(points) - exact) < edge_half_width(points)

    def test_a_hollow_edge_counts_down(self) -> None:
        """A square with one side hollowed by an arc of 60°, less its circular segment; points close at the corners."""
        side, near = 100.0, 0.01
        end = math.pi / 6
        angles = [-end, *np.linspace(near / side - end, end - near / side, 21), end]
        arc = [(100 + math.sqrt(3) / 2 * side - side * math.cos(a), 50 + side * math.sin(a)) for a in angles]
        corners = [(100.0, 100.0), (100 - near, 100.0), (near, 100.0), (0.0, 100.0), (0.0, 100 - near), (0.0, near)]
        corners += [(0.0, 0.0), (near, 0.0), (100 - near, 0.0)]
        points = [*arc[:-1], *corners]
        exact = side**2 - side**2 / 2 * (math.pi / 3 - math.sin(math.pi / 3))
        over = polygon_area(points) - exact
        assert over > 2
        assert -bulge(points) == pytest.approx(over, rel=0.06)


def test_ellipse_by_numerical_integration() -> None:
    """4 ∫ b √(1 − x²/a²) dx from 0 to a, by SciPy."""
    a, b = 0.045, 0.042
    exact, _ = integrate.quad(lambda x: 4 * b * math.sqrt(1 - (x / a) ** 2), 0, a)
    assert r.gasket_area_ellipse(2 * a, 2 * b) == pytest.approx(exact, rel=1e-8)


def test_ellipse_with_equal_axes_is_a_circle() -> None:
    assert r.gasket_area_ellipse(0.088, 0.088) == pytest.approx(r.gasket_area_round(0.088), rel=1e-15)
