"""The drawing of the piston to be ordered: its crown holds what is ordered, and nothing lies over anything else."""

from __future__ import annotations

import math
from functools import cache

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.report.crown_drawing import ROOM, CrownView, bare_of, crown_figure, crown_line, crown_words, rim, surface
from ccassist.report.order import Order, order_of
from ccassist.report.scene import words_of
from ccassist.report.section import turned
from ccassist.values.display import formatter
from ccassist.vocabulary.units import System
from tests.report.scenes import faults

ENGINE = """
format = 1
[job]
name = "Pistons to be made"
[engine]
cylinders = 1
bore = "88.60 +/- 0.01 mm, measured"
stroke = "97.30 +/- 0.02 mm, measured"
rod_length = "151.20 +/- 0.03 mm, measured"
block_height = "231.40 +/- 0.03 mm, measured"
chamber_volume = "47.3 +/- 0.2 cc, measured"
gasket_bore = "89.9 +/- 0.1 mm, measured"
gasket_thickness = "1.20 +/- 0.03 mm, measured"
land_height = "7.1 +/- 0.1 mm, measured"
land_diameter = "88.0 +/- 0.03 mm, measured"
[wanted]
static_ratio = "{ratio}"
squish = "0.9 to 1.1 mm"
[counted]
crevice = "not counted"
[order]
pin_diameter = "22.0 mm"
[order.crown]
{crown}
"""
POCKETS = """
[order.pocket.intake]
pockets = 2
pocket_diameter = "33.0 mm"
pocket_depth = "3.4 mm below the flat"
pocket_tilt = "9 deg"
pocket_along_pin = "17.5 mm toward the front"
pocket_across_pin = "17.0 mm to the right"
[order.pocket.exhaust]
pockets = 1
pocket_diameter = "30.0 mm"
pocket_depth = "2.9 mm below the flat"
pocket_along_pin = "level with the bore axis"
pocket_across_pin = "24.0 mm to the left"
"""
CROWNS = {
    "band": ("9.3 to 9.5", 'shape = "dish inside a squish band"\nsquish_band = "9.0 mm"\ndish_corner = "1.0 mm"'),
    "ball": ("9.3 to 9.5", 'shape = "ball-cut dish"\nsquish_band = "9.0 mm"'),
    "dome": ("15.2 to 15.6", 'shape = "dome with sloped sides"\ndome_diameter = "62 mm"\ndome_top = "40 mm"'),
    "none": ("9.3 to 9.5", ""),
    "pockets": ("9.3 to 9.5", 'shape = "flat dish"\ndish_diameter = "61 mm"\n' + POCKETS),
    "domed": (
        "14.2 to 14.6",
        'shape = "dome with sloped sides"\ndome_diameter = "66 mm"\ndome_top = "44 mm"\n'
        + POCKETS.replace("9 deg", "0 deg"),  # what a tilted one leaves hanging over is not drawn
    ),
}


@cache
def order(kind: str, system: System) -> Order:
    """The order of a crown."""
    ratio, crown = CROWNS[kind]
    return order_of(survey(parse_job(ENGINE.format(ratio=ratio, crown=crown)).job), system)


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("kind", CROWNS)
def test_everything_keeps_within_the_frame(kind: str, system: System) -> None:
    figure = crown_figure(order(kind, system).spec, formatter(system))
    assert not faults(figure.scene)
    assert ("TAKES" if "dome" in kind else "ADDS") in figure.caption
    assert figure.scene.height <= ROOM


def test_the_room_on_the_page_decides_the_scale() -> None:
    spec, fmt = order("band", System.METRIC).spec, formatter(System.METRIC)
    scales = [CrownView(spec=spec, fmt=fmt, room=room).scale for room in (110.0, 150.0, 180.0)]
    assert scales == sorted(scales)
    assert scales[0] < scales[-1] <= 1
    assert all(crown_figure(spec, fmt, room).scene.height <= room for room in (110.0, 150.0, 180.0))


@pytest.mark.parametrize("kind", ["pockets", "domed"])
def test_the_surface_that_is_drawn_holds_what_is_ordered(kind: str) -> None:
    """Summed over squares of 0.25 mm, apart from how the volume of a pocket is worked out."""
    spec = order(kind, System.METRIC).spec
    assert spec.shape.net is not None
    cuts = [one.cut(*at) for one in spec.shape.pockets.values() for at in one.places]
    bare, side = bare_of(spec, 0.044), 0.25e-3
    middles = [(n + 0.5) * side for n in range(-176, 176)]
    depths = (surface(x, y, bare, cuts) for x in middles for y in middles if math.hypot(x, y) < 0.044)
    assert math.fsum(depths) * side**2 == pytest.approx(spec.shape.net, abs=0.06e-6)


def test_pockets_stand_in_the_plan_where_they_are_said_to_be() -> None:
    """The first with x and y, the second on the other side; each rim about its middle, within the edge of the crown."""
    spec, fmt = order("pockets", System.METRIC).spec, formatter(System.METRIC)
    view = CrownView(spec=spec, fmt=fmt)
    places = [(round(one.x * 1e3, 6), round(one.y * 1e3, 6)) for _, _, one in view.placed]
    assert places == [(17.5, 17.0), (-17.5, 17.0), (0.0, -24.0)]
    said = [one.text for one in words_of(view.scene().items)]
    assert "x 17.50 mm front" in said
    assert "y 24.00 mm left" in said
    assert said.count("intake") == 2
    upright = view.placed[2][2]
    assert all(math.dist((upright.x, upright.y), at) <= 0.015001 for at in rim(upright, 0.044))
    assert max(math.hypot(*at) for *_, one in view.placed for at in rim(one, 0.030)) <= 0.030001


@pytest.mark.parametrize("kind", ["band", "ball", "dome", "none"])
def test_the_drawn_crown_holds_what_is_ordered(kind: str) -> None:
    """Turned about the axis, by cone frusta: dish below the flat, dome above it, or an equal half ellipsoid."""
    spec = order(kind, System.METRIC).spec
    assert spec.crown is not None
    line, true = crown_line(spec, 0.0440)
    assert true == (kind != "none")
    assert -turned(line) == pytest.approx(spec.crown.value, rel=2e-3, abs=1e-9)
    assert math.copysign(1, line[-1][1]) == (1 if kind == "dome" else -1)


def test_the_crown_is_said_in_words_that_cannot_be_turned_round() -> None:
    fmt = formatter(System.METRIC)
    assert crown_words(order("band", System.METRIC).spec, fmt).startswith("DISH: adds ")
    assert crown_words(order("dome", System.METRIC).spec, fmt).startswith("DOME: takes ")
