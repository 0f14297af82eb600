"""The drawing of the piston to be ordered: its crown holds what is ordered, and nothing lies over anything else."""

from __future__ import annotations

import math
from functools import cache

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.plan.piston.order import Order, order_of
from ccassist.report.crown_drawing import PistonView, crown_line, crown_words
from ccassist.report.scene import words_of
from ccassist.report.section import turned
from ccassist.values.display import formatter
from ccassist.vocabulary.enumerations import System
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
CROWNS = {
    "band": ("9.3 to 9.5", 'shape = "dish inside a squish band"\nsquish_band = "9.0 mm"\ndish_corner = "1.0 mm"'),
    "ball": ("9.3 to 9.5", 'shape = "ball-cut dish"\nsquish_band = "9.0 mm"'),
    "dome": ("15.2 to 15.6", 'shape = "dome with sloped sides"\ndome_diameter = "62 mm"\ndome_top = "40 mm"'),
    "none": ("9.3 to 9.5", ""),
}


@cache
def order(kind: str, system: System) -> Order:
    """The order of a crown."""
    ratio, crown = CROWNS[kind]
    return order_of(survey(parse_job(ENGINE.format(ratio=ratio, crown=crown)).job), system)


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("kind", CROWNS)
def test_everything_keeps_within_the_frame(kind: str, system: System) -> None:
    view = PistonView(spec=order(kind, system).spec, fmt=formatter(system), width=177.0)
    assert not faults(view.scene())
    said = " ".join(one.text for one in words_of(view.scene().items))
    assert ("TAKES" if kind == "dome" else "ADDS") in said


@pytest.mark.parametrize("kind", CROWNS)
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
