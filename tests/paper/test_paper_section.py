"""The section: drawn shapes hold the volumes of the numbers, and the scale that is stated is true."""

from __future__ import annotations

import itertools
import math
import re

import pytest

from ccassist.analysis.cylinder import Cylinder
from ccassist.paper.drawing import (
    Section,
    chamfer_leg,
    equal_height,
    half_ellipse,
    lacking,
    largest_scale,
    scale_words,
    section_of,
    spread,
    turned,
)
from ccassist.values.display import show_value
from tests.paper.made_sheets import DOME, LARGE, RING, Made, example, invented, surveyed

INCH, POINT = 25.4, 25.4 / 72  # mm


def cylinders() -> list[Cylinder]:
    """One cylinder of every kind: dish, dome, proud, ring-sealed, with and without land and chamfer."""
    engines = [example(n).survey for n in ("three-pistons", "turbo-four", "v8-heads")]
    return [e.cylinders[0] for e in (*engines, surveyed(DOME), surveyed(LARGE), surveyed(RING))]


@pytest.fixture(params=range(6))
def cylinder(request: pytest.FixtureRequest) -> Cylinder:
    return cylinders()[request.param]


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


def chamfer(s: Section) -> float:
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
    leg = chamfer_leg(0.3e-6, 0.04325)
    assert math.pi * leg**2 * (0.04325 + leg / 3) == pytest.approx(0.3e-6)
    assert chamfer_leg(0.0, 0.04325) == 0.0


def scales(made: Made) -> tuple[float, float]:
    """Scales of section and detail as they are stated."""
    found = re.findall(r"Scale (\d+\.?\d*):(\d+\.?\d*)\.", made.text)
    assert len(found) == 2
    first, second = (float(a) / float(b) for a, b in found)
    return first, second


@pytest.mark.parametrize("name", ["three-pistons", "turbo-four", "v8-heads", "dome", "large", "ring"])
def test_the_stated_scales_are_true_on_the_page(name: str) -> None:
    made = example(name) if name not in ("dome", "large", "ring") else invented(name)
    main, detail = scales(made)
    drawn = min((c for c in made.survey.cylinders), key=lambda c: c.values["clearance_volume"].nominal)
    s = section_of(drawn)
    lines = [line for page in made.lines for line in page]
    # Extension lines of the bore: two thin upright lines, a bore apart.
    upright = [line for line in lines if abs(line["x0"] - line["x1"]) < 0.01]
    wide = 2 * s.bore * 1000 / POINT * main
    pairs = [
        (a, b)
        for a in upright
        for b in upright
        if b["x0"] - a["x0"] == pytest.approx(wide, abs=0.05)
        and a["top"] == pytest.approx(b["top"])
        and a["height"] == pytest.approx(b["height"])
    ]
    assert pairs
    # Extension lines of the gasket: two level lines, a thickness apart.
    level = [line for line in lines if abs(line["top"] - line["bottom"]) < 0.01]
    high = s.thickness * 1000 / POINT * detail
    assert any(
        b["top"] - a["top"] == pytest.approx(high, abs=0.05)
        and a["x0"] == pytest.approx(b["x0"])
        and a["width"] == pytest.approx(b["width"])
        for a in level
        for b in level
    )


@pytest.mark.parametrize(("system", "length"), [("metric", 50.0), ("imperial", 2 * INCH)])
def test_the_check_bar_is_as_long_as_it_says(system: str, length: float) -> None:
    made = example("turbo-four", "A4", system)
    assert f"This bar is {'50 mm' if system == 'metric' else '2 in'} long" in made.text
    assert any(line["width"] * POINT == pytest.approx(length, abs=0.01) for page in made.lines for line in page)


def test_the_cylinder_with_the_smallest_clearance_volume_is_drawn() -> None:
    made = example("v8-heads")
    smallest = min(made.survey.cylinders, key=lambda c: c.values["clearance_volume"].nominal)
    assert f"Section at top dead centre, cylinder {smallest.number}. Scale" in made.text


def test_labels_give_the_volumes_and_say_what_is_only_equal() -> None:
    made = example("turbo-four")
    drawn = min(made.survey.cylinders, key=lambda c: c.values["clearance_volume"].nominal)
    for key in ("chamber_volume", "crown_volume", "gasket_bore", "gasket_volume", "crevice_volume", "chamfer_volume"):
        assert show_value(drawn.values[key]) in made.flowing, key
    for words in ("top-land crevice", "bore chamfer", "top ring", "below deck"):
        assert words in made.text
    assert made.text.count("drawn as an equal volume") >= 3
    assert "proud of the deck" in invented("dome").text
    assert "not counted" in "\n".join(invented("large").texts[:3])


def test_without_the_lengths_no_section_is_drawn_and_it_is_said_why() -> None:
    made = invented("heads")
    assert "No section is drawn: not given: bore, compressed gasket thickness" in made.flowing
    assert "4 cylinders; not given: bore and stroke." not in made.text
    assert "2 cylinders; not given: bore and stroke." in made.text
    assert lacking(made.survey.cylinders[0])[0] == "bore"


def test_scales() -> None:
    assert largest_scale((0.1, 0.1), (1000, 1000), (5, 2, 1, 0.5)) == 2
    assert largest_scale((10.0, 10.0), (100, 100), (2, 1, 0.5)) == 0.5  # none fits: the smallest
    assert [scale_words(s) for s in (2.5, 1, 0.4, 0.02)] == ["2.5:1", "1:1", "1:2.5", "1:50"]


def test_labels_keep_apart_and_within_their_column() -> None:
    middles = spread([100, 99, 98, 3], [20, 20, 20, 20], 110, 0)
    assert all(a - b >= 20 for a, b in itertools.pairwise(middles))
    assert middles[0] <= 100
    assert middles[-1] >= 10
