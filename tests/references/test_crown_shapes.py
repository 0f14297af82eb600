"""Crown shapes against handbook numbers and numerical integration.

Sources: Machinery's Handbook, 31st ed. (2020), pp. 80 and 90-91, worked
numbers recomputed in double precision; SciPy quadrature as independent route.
"""

from math import pi, radians, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from ccassist.engine import crown_shapes as shapes

MM3 = 1e-9


@pytest.mark.parametrize(
    ("depth_side", "expected"),
    [(-6, 313.797932), (6, 1611.935294), (18, 3894.412086)],
)
def test_pocket_cut_by_the_crown(depth_side, expected):
    """Machinery's Handbook p. 90, ungula with r = 18 mm tilted 12 degrees; equal to quadrature."""
    depth = depth_side * 1e-3 * tan(radians(12))
    assert shapes.pocket(radius=0.018, tilt=radians(12), depth=depth) == pytest.approx(expected * MM3, rel=1e-9)


@given(st.floats(0.005, 0.03), st.floats(0.01, 0.6), st.floats(-0.9, 3))
def test_pocket_equals_quadrature(radius, tilt, share):
    """SciPy: the column over every strip of the floor that lies below the crown."""
    line = share * radius
    strip = lambda x: 2 * sqrt(max(0.0, radius**2 - x**2)) * (x + line) * tan(tilt)  # noqa: E731
    expected, _ = quad(strip, max(-radius, -line), radius, epsabs=1e-16, limit=200)
    found = shapes.pocket(radius=radius, tilt=tilt, depth=line * tan(tilt))
    assert found == pytest.approx(expected, rel=1e-6, abs=1e-14)


def test_upright_pocket_is_a_cylinder():
    """Limit: no tilt."""
    assert shapes.pocket(radius=0.018, tilt=0.0, depth=0.003) == pytest.approx(pi * 0.018**2 * 0.003)


def test_cap_of_the_handbook():
    """Machinery's Handbook p. 91: chord 125, height 50 mm gives 372,247 mm3 (exact 372,246.0045)."""
    assert shapes.cap(radius=0.0625, height=0.05) == pytest.approx(372246.0045 * MM3, rel=1e-9)


def test_frustum_of_the_handbook():
    """Machinery's Handbook p. 90 formula; R 10, r 5, h 12 gives exactly 700 pi."""
    assert shapes.frustum(base=0.10, top=0.05, height=0.12) == pytest.approx(700 * pi * 1e-6, rel=1e-12)


def test_flat_dish_equals_quadrature():
    """SciPy: the rounded dish as rings; R 43, depth 10, corner 3 mm gives 57,574.355913 mm3."""

    def area(z):  # z above the floor
        inset = 3 - sqrt(9 - (3 - z) ** 2) if z < 3 else 0.0
        return pi * (43 - inset) ** 2

    expected = quad(area, 0, 3)[0] + quad(area, 3, 10)[0]
    assert expected == pytest.approx(57574.355913, rel=1e-8)
    assert shapes.flat_dish(radius=0.043, depth=0.010, corner=0.003) == pytest.approx(expected * MM3, rel=1e-8)


@given(st.floats(1e-3, 0.02), st.floats(0.02, 0.05))
def test_depth_from_volume_undoes_volume_from_depth(depth, radius):
    """Property: every shape and its inverse."""
    corner = depth / 3
    dish = shapes.flat_dish(radius=radius, depth=depth, corner=corner)
    assert shapes.flat_dish_depth(dish, radius=radius, corner=corner) == pytest.approx(depth, rel=1e-9)
    assert shapes.cap_height(shapes.cap(radius=radius, height=depth), radius=radius) == pytest.approx(depth, rel=1e-9)
    dome = shapes.frustum(base=radius, top=radius / 2, height=depth)
    assert shapes.frustum_height(dome, base=radius, top=radius / 2) == pytest.approx(depth, rel=1e-9)


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: shapes.flat_dish(radius=0.04, depth=0.002, corner=0.003), "corner radius"),
        (lambda: shapes.frustum(base=0.03, top=0.04, height=0.01), "wider"),
        (lambda: shapes.cap(radius=0.0, height=0.01), "edge radius"),
        (lambda: shapes.pocket(radius=0.01, tilt=1.5, depth=0.01), "tilted"),
    ],
)
def test_what_cannot_be_cut_is_refused(make, why):
    """A shape that no tool could cut."""
    with pytest.raises(ValueError, match=why):
        make()
