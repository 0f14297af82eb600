"""Crown shapes, rings and bores against solids worked in handbooks and textbooks, and SciPy's integration."""

import json
from math import atan, degrees, hypot, pi, radians, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from ccassist.engine import crown_shapes as shapes
from ccassist.engine import relations as r
from ccassist.engine.pocket_cut import Bare, Cut, cut_volumes
from tests.order_job import changed, pocket
from tests.references.sources import cites, promise
from tests.sound_job import Shop

MM3 = 1e-9


WEDGES = [  # radius, tilt [degrees], printed volume, how near; the floor dips under the crown from its middle on
    pytest.param(4, 30, 24.6, 0.04, marks=cites("stewart"), id="Stewart: 128 / (3 √3)"),
    pytest.param(3, 45, 18, 1e-9, marks=cites("thomas"), id="Thomas"),
    pytest.param(2.5, degrees(atan(2 / 2.5)), 8.33, 4e-3, marks=cites("machinery"), id="p. 90, half a base, in³"),
]


@pytest.mark.parametrize(("radius", "tilt", "printed", "near"), WEDGES)
def test_an_obliquely_cut_cylinder(radius, tilt, printed, near):
    """Cut by a plane through a diameter, as the tool's closed form and as level lines summed over the crown."""
    assert shapes.pocket(radius=radius, tilt=radians(tilt), depth=0.0) == pytest.approx(printed, abs=near)
    one = Cut(radius=radius * 1e-3, tilt=radians(tilt), floor=0.0, x=5e-3)
    assert sum(cut_volumes([one], Bare())) * 1e9 == pytest.approx(printed, abs=near + 1e-6)


ORDERED = [  # crown, pockets, printed volume [cc], how near; the example's sizes in mm, by 5, 0.4 and 10
    pytest.param('"flat"', pocket(diameter=40.0, depth=0.0, tilt=30.0, offset=6.0), 24.6 * 0.125, 6e-3,
                 marks=cites("stewart"), id="wedge"),
    pytest.param('"ball-cut dish"\ndish_diameter = "50 mm"\ndish_depth = "20 mm"', "", 372.247 * 0.064, 3e-4,
                 marks=cites("machinery"), id="cap, p. 91"),
    pytest.param('"dome with sloped sides"\ndome_diameter = "60 mm"\ndome_top = "40 mm"\ndome_height = "36 mm"', "",
                 -71.6, 0.06, marks=cites("bird"), id="frustum"),
]  # fmt: skip


@pytest.mark.parametrize(("crown", "pockets", "printed", "near"), ORDERED)
def test_the_same_through_the_order(shop: Shop, crown: str, pockets: str, printed: float, near: float) -> None:
    """What ``order --json`` says that the crown adds to the space, or takes."""
    whole = changed('valve_pockets = "over the valves"', crown=f"[order.crown]\nshape = {crown}\n", more=pockets)
    shop.write(whole)
    assert shop.run("order", "job.toml", "--json") == 0, shop.err
    assert json.loads(shop.out)["crown"]["net"] * 1e6 == pytest.approx(printed, abs=near)


@cites("scipy")
@given(st.floats(0.005, 0.03), st.floats(0.01, 0.6), st.floats(-0.9, 3))
def test_pocket_equals_quadrature(radius, tilt, share):
    """SciPy: the column over every strip of the floor that lies below the crown."""
    line = share * radius
    strip = lambda x: 2 * sqrt(max(0.0, radius**2 - x**2)) * (x + line) * tan(tilt)  # noqa: E731
    expected, _ = quad(strip, max(-radius, -line), radius, epsabs=1e-16, limit=200)
    found = shapes.pocket(radius=radius, tilt=tilt, depth=line * tan(tilt))
    assert found == pytest.approx(expected, rel=1e-6, abs=1e-14)


@cites("own")
def test_upright_pocket_is_a_cylinder():
    """Limit: no tilt."""
    assert shapes.pocket(radius=0.018, tilt=0.0, depth=0.003) == pytest.approx(pi * 0.018**2 * 0.003)


def zone(narrow, wide, height):
    """Between two parallel planes of one sphere, by the tool's caps: radii of the ends, and height."""
    away = (wide**2 - narrow**2 - height**2) / (2 * height)  # the wide plane from the middle, towards the narrow one
    ball = hypot(wide, away)
    over_narrow = shapes.cap(radius=narrow, height=ball - away - height)
    if away >= 0:
        return shapes.cap(radius=wide, height=ball - away) - over_narrow
    return 4 / 3 * pi * ball**3 - shapes.cap(radius=wide, height=ball + away) - over_narrow


SOLIDS = [  # worked by the tool, printed, how near
    pytest.param(shapes.cap(radius=62.5, height=50), 372247, 4, marks=cites("machinery"), id="cap, p. 91, mm³"),
    pytest.param(shapes.pocket(radius=62.5, tilt=atan(50 / 125), depth=125), pi * 125**2 * (100 + 150) / 8, 1e-6,
                 marks=cites("machinery"), id="cylinder cut obliquely, p. 89, by its formula"),
    pytest.param(zone(1.5, 2, 1.5), 16.493, 6e-4, marks=cites("machinery"), id="zone, p. 92, in³"),
    pytest.param(zone(12, 20, 7), 6161, 0.6, marks=cites("bird"), id="zone, Ø 24 and 40, cm³"),
    pytest.param(zone(14, 22, 10), 11210, 6, marks=cites("bird"), id="zone, radii 14 and 22, cm³"),
    pytest.param(zone(4, 6, 3), 259.2, 0.06, marks=cites("bird"), id="zone, Ø 80 and 120 mm, cm³"),
    pytest.param(zone(sqrt(6.5**2 - 2.6**2), 6.5, 2.6), 326.7, 0.06, marks=cites("bird"),
                 id="zone from a diameter, cm³"),
    pytest.param(zone(sqrt(1.6**2 - 1.2**2), sqrt(1.6**2 - 1.0**2), 2.2), 14.84, 0.006, marks=cites("bird"),
                 id="zone about the middle, cm³"),
    pytest.param(4 / 3 * pi * 22.5**3 - shapes.cap(radius=sqrt(22.5**2 - 7.5**2), height=15), 35340, 6,
                 marks=cites("bird"), id="ball of Ø 45 filled to 30, cm³"),
    pytest.param(4 / 3 * pi * 15**3 - shapes.cap(radius=sqrt(15**2 - 5**2), height=10), 10470, 6,
                 marks=cites("bird"), id="ball of Ø 30 filled to 20, cm³"),
    pytest.param(shapes.frustum(base=3, top=2, height=3.6), 71.6, 0.06, marks=cites("bird"), id="frustum, cm³"),
    pytest.param(shapes.frustum(base=28, top=7, height=45), 48510, 25, marks=cites("ncert"), id="frustum, ex. 12, cm³"),
    pytest.param(shapes.frustum(base=2, top=1, height=14), 102.667, 0.05, marks=cites("ncert"), id="tumbler, cm³"),
    pytest.param(shapes.frustum(base=5, top=4, height=21), 1342, 0.8, marks=cites("ssc"), id="radii 5 and 4, cm³"),
    pytest.param(r.crevice_volume(36, 28, 28), 11259.5, 0.06, marks=cites("machinery"), id="ring, p. 90, cm³"),
    pytest.param(r.swept_volume(2.5, 20), 98.17, 6e-3, marks=cites("machinery"), id="cylinder, p. 89, in³"),
    pytest.param(7850e-9 * (r.crevice_volume(800, 700, 100) - r.crevice_volume(760, 700, 60)), 60, 0.5,
                 marks=cites("beer"), id="grooved rim, kg"),
]  # fmt: skip


@pytest.mark.parametrize(("found", "printed", "near"), SOLIDS)
def test_solids_of_handbooks_and_textbooks(found, printed, near):
    """To the last digit printed; with 22/7 for π to 5e-4."""
    assert found == pytest.approx(printed, abs=near)


@cites("scipy")
def test_flat_dish_equals_quadrature():
    """SciPy: the rounded dish as rings."""

    def area(z):  # z above the floor
        inset = 3 - sqrt(9 - (3 - z) ** 2) if z < 3 else 0.0
        return pi * (43 - inset) ** 2

    expected = quad(area, 0, 3)[0] + quad(area, 3, 10)[0]
    assert shapes.flat_dish(radius=0.043, depth=0.010, corner=0.003) == pytest.approx(expected * MM3, rel=1e-8)


@cites("own")
@given(st.floats(1e-3, 0.02), st.floats(0.02, 0.05))
def test_depth_from_volume_undoes_volume_from_depth(depth, radius):
    """Property: every shape and its inverse."""
    corner = depth / 3
    dish = shapes.flat_dish(radius=radius, depth=depth, corner=corner)
    assert shapes.flat_dish_depth(dish, radius=radius, corner=corner) == pytest.approx(depth, rel=1e-9)
    assert shapes.cap_height(shapes.cap(radius=radius, height=depth), radius=radius) == pytest.approx(depth, rel=1e-9)
    dome = shapes.frustum(base=radius, top=radius / 2, height=depth)
    assert shapes.frustum_height(dome, base=radius, top=radius / 2) == pytest.approx(depth, rel=1e-9)


@promise()
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
