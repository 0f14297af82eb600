"""The section: drawn shapes hold the volumes of the numbers, and the scale that is stated is true."""

from __future__ import annotations

import itertools
import math
import re
from functools import cache

import pytest

from ccassist.analysis.cylinder import Cylinder
from ccassist.report.axes import spread
from ccassist.report.scene import Scene, Stroke, words_of
from ccassist.report.section import (
    HalfSection,
    Views,
    chamfer_leg,
    detail_scene,
    equal_height,
    half_ellipse,
    lacking,
    largest_scale,
    scale_words,
    section_of,
    section_scene,
    small_scene,
    turned,
)
from ccassist.values.display import formatter
from ccassist.vocabulary.units import System
from tests.paper.made_sheets import DOME, HEADS, LARGE, RING, surveyed
from tests.report.scenes import faults

INCH = 25.4  # mm
PAGES = (177.0, 182.9, 120.0)  # widths between the margins of A4 and Letter, and of a column


DISH = """
format = 1
[job]
name = "Dished single"
[engine]
cylinders = 1
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
chamber_volume = "46.1 +/- 0.2 cc, measured"
crown_volume = "dish 11.2 +/- 0.3 cc, measured"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"
land_diameter = "82.7 +/- 0.03 mm, measured"
land_height = "7.0 +/- 0.1 mm, measured"
chamfer_volume = "0.3 +/- 0.1 cc, measured"
[counted]
crevice = "counted"
chamfer = "counted"
"""
KINDS = {"dish": DISH, "dome": DOME, "large": LARGE, "ring": RING}


@cache
def one_of(kind: str) -> Cylinder:
    """One cylinder of a kind: dish, dome and proud, without land and chamfer, ring-sealed."""
    return surveyed(KINDS[kind]).cylinders[0]


@pytest.fixture(params=KINDS)
def cylinder(request: pytest.FixtureRequest) -> Cylinder:
    return one_of(request.param)


def by_layers(line: list[tuple[float, float]], steps: int = 4000) -> float:
    """Volume inside a turned line, layer by layer from its lowest to its highest point (no formula of solids)."""
    low, high = (f(h for _, h in line) for f in (min, max))
    total = 0.0
    for i in range(steps):
        h = low + (high - low) * (i + 0.5) / steps
        for (r1, h1), (r2, h2) in itertools.pairwise(line):
            if min(h1, h2) <= h < max(h1, h2):
                total += math.pi * (r1 + (r2 - r1) * (h - h1) / (h2 - h1)) ** 2 * (high - low) / steps
                break
    return total


def test_solids_of_known_volume() -> None:
    # Cylinder π r² h, cone π r² h / 3, half sphere 2/3 π r³ (Archimedes, On the Sphere and Cylinder).
    assert turned([(2.0, 0.0), (2.0, 3.0)]) == pytest.approx(12 * math.pi)
    assert turned([(2.0, 0.0), (0.0, 3.0)]) == pytest.approx(4 * math.pi)
    assert turned(half_ellipse(1.0, 1.0)) == pytest.approx(2 / 3 * math.pi, rel=1e-3)
    assert by_layers(half_ellipse(1.0, 1.0)) == pytest.approx(2 / 3 * math.pi, rel=1e-3)


def test_an_equal_shape_is_deeper_the_more_it_holds_and_a_dome_is_negative() -> None:
    assert equal_height(-2e-6, 0.04) == pytest.approx(-equal_height(2e-6, 0.04))
    assert equal_height(4e-6, 0.04) == pytest.approx(2 * equal_height(2e-6, 0.04))


def test_drawn_shapes_hold_the_volumes_of_the_numbers(cylinder: Cylinder) -> None:
    s, value = section_of(cylinder), {key: v.nominal for key, v in cylinder.values.items()}
    assert by_layers(s.chamber_line()) == pytest.approx(value["chamber_volume"], rel=1e-4)
    assert math.pi * s.gasket**2 * s.thickness == pytest.approx(value["gasket_volume"], rel=1e-9)
    crown = sum(turned(s.crown_line()[i : i + 2]) for i in range(len(s.crown_line()) - 1))
    if "crown_volume" in value:
        assert -crown == pytest.approx(value["crown_volume"], rel=1e-9, abs=1e-15)
    deck = math.pi * s.bore**2 * s.deck
    if "crown_and_deck_volume" in value:
        # In the ring-sealed job the fill holds the crevice: all of it is drawn over the crown.
        assert -crown + deck + chamfer(s) == pytest.approx(value["crown_and_deck_volume"], rel=1e-6)
    if s.land_height:
        crevice = math.pi * (s.bore**2 - s.land**2) * s.land_height
        assert crevice == pytest.approx(value["crevice_volume"], rel=1e-9)
    assert chamfer(s) == pytest.approx(value.get("chamfer_volume", 0.0), rel=1e-6)


def chamfer(s: HalfSection) -> float:
    """Drawn chamfer outside the bore: a turned cone frustum less the bore in it."""
    edge = s.bore_line()
    if len(edge) == 1:
        return 0.0
    return by_layers(edge[::-1], 200) - math.pi * s.bore**2 * s.chamfer


def test_heights_are_those_of_the_numbers(cylinder: Cylinder) -> None:
    s, value = section_of(cylinder), cylinder.values
    assert s.crown_line()[0][1] == -value["deck_clearance"].nominal
    assert s.chamber_line()[0] == pytest.approx((s.chamber, value["gasket_thickness"].nominal))
    assert 2 * s.bore == value["bore"].nominal


def test_leg_of_a_chamfer() -> None:
    # A 45° chamfer of leg a on a hole of radius R: π a² (R + a/3), by Pappus's theorem.
    # However much is said to be in it: far more than its bore could hold is questioned elsewhere, and drawn.
    for volume, radius in itertools.product((1e-12, 0.3e-6, 4.7e-6, 1e-3), (1e-4, 0.0078, 0.04325)):
        leg = chamfer_leg(volume, radius)
        assert math.pi * leg**2 * (radius + leg / 3) == pytest.approx(volume)
    assert chamfer_leg(0.0, 0.04325) == 0.0


def lengths(scene: Scene, along: int) -> set[float]:
    """How far apart, across (0) or up (1), strokes lie that are square to that way and level with each other."""
    strokes = [one.points for one in scene.items if isinstance(one, Stroke) and len(one.points) == 2]
    square = [points for points in strokes if points[0][along] == points[1][along]]
    level = [[point[1 - along] for point in points] for points in square]
    pairs = itertools.combinations(zip(square, level, strict=True), 2)
    return {round(abs(a[0][along] - b[0][along]), 3) for (a, one), (b, other) in pairs if one == other}


def said(scene: Scene) -> str:
    """All words of a drawing."""
    return " ".join(one.text for one in words_of(scene.items))


@pytest.mark.parametrize("system", System)
def test_drawings_keep_within_their_frame_and_words_off_words(cylinder: Cylinder, system: System) -> None:
    for width in PAGES:
        views = Views(cylinder=cylinder, fmt=formatter(system), width=width)
        assert not faults(section_scene(views))
        assert not faults(small_scene(Views(cylinder=cylinder, fmt=formatter(system), width=84.0, room=34.0)))
        if width > 150:
            assert not faults(detail_scene(views))


def test_the_stated_scales_are_true(cylinder: Cylinder) -> None:
    views = Views(cylinder=cylinder, fmt=formatter(System.METRIC), width=177.0)
    s, scenes = section_of(cylinder), (section_scene(views), detail_scene(views))
    main, detail = (re.findall(r"Scale (\d+\.?\d*):(\d+\.?\d*)\.", said(scene))[0] for scene in scenes)
    # Extension lines of the bore stand a bore apart, those of the gasket lie a thickness apart.
    assert round(2000 * s.bore * float(main[0]) / float(main[1]), 3) in lengths(scenes[0], 0)
    assert round(1000 * s.thickness * float(detail[0]) / float(detail[1]), 3) in lengths(scenes[1], 1)


@pytest.mark.parametrize(("system", "length"), [(System.METRIC, 50.0), (System.IMPERIAL, 2 * INCH)])
def test_the_check_bar_is_as_long_as_it_says(system: System, length: float) -> None:
    scene = detail_scene(Views(cylinder=one_of("dish"), fmt=formatter(system), width=177.0))
    assert f"This bar is {'50 mm' if system == System.METRIC else '2 in'} long" in said(scene)
    strokes = [one.points for one in scene.items if isinstance(one, Stroke)]
    assert any(points[-1][0] - points[0][0] == pytest.approx(length) for points in strokes)


def test_labels_give_the_volumes_and_say_what_is_only_equal() -> None:
    fmt, drawn = formatter(System.METRIC), one_of("dish")
    views = Views(cylinder=drawn, fmt=fmt, width=177.0)
    text = f"{said(section_scene(views))} {said(detail_scene(views))}"
    for key in ("chamber_volume", "crown_volume", "gasket_volume", "crevice_volume", "chamfer_volume"):
        assert fmt.value(drawn.values[key]) in text, key
    for words in ("top-land crevice", "bore chamfer", "top ring", "below deck"):
        assert words in text
    assert text.count("drawn as an equal volume") == 3
    proud = Views(cylinder=one_of("dome"), fmt=fmt, width=177.0)
    assert "proud of the deck" in said(detail_scene(proud))


def test_what_a_drawing_lacks_is_named() -> None:
    assert lacking(surveyed(HEADS).cylinders[0])[0] == "bore"
    assert not lacking(one_of("dish"))


def test_scales() -> None:
    assert largest_scale((0.1, 0.1), (350, 350), (5, 2, 1, 0.5)) == 2
    assert largest_scale((10.0, 10.0), (40, 40), (2, 1, 0.5)) == 0.5  # none fits: the smallest
    assert [scale_words(s) for s in (2.5, 1, 0.4, 0.02)] == ["2.5:1", "1:1", "1:2.5", "1:50"]


def test_labels_keep_apart_and_within_their_column() -> None:
    middles = spread([100, 99, 98, 3], [20, 20, 20, 20], 110, 0)
    assert all(a - b >= 20 for a, b in itertools.pairwise(middles))
    assert middles[0] <= 100
    assert middles[-1] >= 10
