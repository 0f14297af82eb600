"""Contours by marching squares, against fields whose lines are known in closed form."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest

from ccassist.report.maps import contours

SIDE = [n / 20 for n in range(-40, 41)]  # −2 to 2


def grid(of: Callable[[float, float], float], xs: list[float] = SIDE, ys: list[float] = SIDE) -> list[list[float]]:
    """A field on the grid."""
    return [[of(x, y) for y in ys] for x in xs]


def test_a_linear_field_gives_its_straight_line_exactly() -> None:
    """2x + 3y = 1 by hand, on a grid of uneven steps."""
    xs, ys = [-2.0, -1.7, -0.3, 0.1, 1.4, 2.0], [-2.0, -0.9, 0.2, 0.25, 1.9]
    (line,) = contours(xs, ys, grid(lambda x, y: 2 * x + 3 * y, xs, ys), 1.0)
    assert [2 * x + 3 * y for x, y in line] == pytest.approx([1.0] * len(line), abs=1e-12)
    ends = sorted((line[0], line[-1]))
    assert ends[0] == pytest.approx((-2.0, 5 / 3))
    assert ends[1] == pytest.approx((2.0, -1.0))
    assert [x for x, _ in line] in (sorted(x for x, _ in line), sorted((x for x, _ in line), reverse=True))


def test_a_circle_is_one_closed_line_of_its_length_and_area() -> None:
    """Circumference 2πr and area πr² of r = 1.3, from a paraboloid; a chord error of h²/(8r) is below 3e-4."""
    (line,) = contours(SIDE, SIDE, grid(lambda x, y: x * x + y * y), 1.3**2)
    assert line[0] == line[-1]
    assert [math.hypot(*p) for p in line] == pytest.approx([1.3] * len(line), abs=6e-4)
    pairs = list(itertools.pairwise(line))
    assert sum(math.dist(a, b) for a, b in pairs) == pytest.approx(2 * math.pi * 1.3, rel=1e-3)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2
    assert abs(area) == pytest.approx(math.pi * 1.3**2, rel=1e-3)


def test_the_branches_of_a_saddle_never_cross() -> None:
    """xy = ±0.01: each branch of the hyperbola stays in its own quadrant."""
    for level in (0.01, -0.01):
        lines = contours(SIDE, SIDE, grid(lambda x, y: (x + 0.025) * (y + 0.025)), level)
        assert len(lines) == 2
        for line in lines:
            assert len({(x + 0.025 > 0, y + 0.025 > 0) for x, y in line}) == 1


@pytest.mark.parametrize("level", [0.49, 0.51])
def test_one_saddle_cell_is_parted_by_its_mean(level: float) -> None:
    """Corners 1, 0, 1, 0, mean 0.5: below it the low corners are cut off, above it the high ones."""
    lines = contours((0, 1), (0, 1), ((1, 0), (0, 1)), level)
    assert len(lines) == 2
    high = level > 0.5
    for line in lines:
        middle = (line[0][0] + line[1][0]) / 2, (line[0][1] + line[1][1]) / 2
        corner = min(((x, y) for x in (0, 1) for y in (0, 1)), key=lambda c: math.dist(c, middle))
        assert (corner[0] == corner[1]) is high


def test_lines_end_at_a_hole() -> None:
    """The line x = 0.51, a hole about the origin where the field is not a number."""
    field = grid(lambda x, y: math.nan if math.hypot(x, y) < 1 else x)
    lines = contours(SIDE, SIDE, field, 0.51)
    assert len(lines) == 2
    for line in lines:
        assert all(x == pytest.approx(0.51) for x, _ in line)
        assert all(math.hypot(x, y) > 0.99 for x, y in line)
    ends = sorted(y for line in lines for y in (line[0][1], line[-1][1]))
    assert ends[0] == -2
    assert ends[-1] == 2
    assert 0.8 < ends[2] < 1.1
    assert -1.1 < ends[1] < -0.8


@pytest.mark.parametrize("value", [1.0, 2.0])
def test_a_flat_field_has_no_line(value: float) -> None:
    assert contours(SIDE, SIDE, grid(lambda x, y: value), 1.0) == []


def test_a_level_met_by_corners_exactly_is_one_unbroken_line() -> None:
    """x = 0.5, on a column of the grid."""
    (line,) = contours(SIDE, SIDE, grid(lambda x, y: x), 0.5)
    assert all(x == pytest.approx(0.5) for x, _ in line)
    assert abs(line[0][1] - line[-1][1]) == 4


def test_a_whole_grid_is_joined_into_few_lines_in_the_same_order() -> None:
    """sin x sin y on a wide grid: its zero lines are straight, the closed lines about its hills one to a hill."""
    side = [n / 10 + 0.013 for n in range(63)]
    field = grid(lambda x, y: math.sin(x) * math.sin(y), side, side)
    lines = contours(side, side, field, 0.5)
    assert len(lines) == 2  # hills at (π/2, π/2) and (3π/2, 3π/2)
    assert all(line[0] == line[-1] for line in lines)
    assert lines == contours(side, side, field, 0.5)
