"""A gasket of several layers: volumes and thicknesses add, and nothing is used twice.

Volumes added by hand; the ± by JCGM 100:2008, 5.1.2 for independent layers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.values.findings import Finding
from ccassist.values.number import standard
from ccassist.values.uncertainty import budget

MM, CC = 1e-3, 1e-6
ENGINE = """format = 1
[engine]
cylinders = 2
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
chamber_volume = "46.3 +/- 0.2 cc, measured"
crown_volume = "dish 8.75 +/- 0.3 cc, measured"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
[counted]
crevice = "not counted"
"""
GASKET = """[part.gasket]
kind = "gasket"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.20 +/- 0.03 mm, measured"
"""
SHIM = """[part."copper shim"]
kind = "gasket"
gasket_bore = "86.9 +/- 0.2 mm, measured"
gasket_thickness = "0.50 +/- 0.02 mm, maker's figure"
"""


def surveyed(*blocks: str) -> Survey:
    loaded = parse_job(ENGINE + "".join(blocks))
    assert not loaded.findings
    return survey(loaded.job)


def disc(bore: float, thick: float) -> float:
    """Volume of a layer [cc] by hand, from mm."""
    return math.pi / 4 * bore**2 * thick / 1000


def volume(cylinder: Cylinder) -> float:
    return cylinder.values["gasket_volume"].nominal / CC


def found(survey: Survey, code: str) -> list[Finding]:
    return [f for f in survey.findings if f.code == code]


def causes(keys: Iterable[str], cylinder: Cylinder, key: str) -> dict[str, float]:
    """Standard contributions [cc or mm] of the causes that name one of these."""
    unit = CC if key.endswith("volume") else MM
    rows = budget(cylinder.values[key].number)
    return {k: row.standard / unit for k in keys for row in rows if k in row.cause.name}


def test_one_part_is_no_layer() -> None:
    one = surveyed(GASKET).cylinders[0]
    assert one.gasket == ()
    assert volume(one) == pytest.approx(disc(84.9, 1.2))
    assert one.values["gasket_area"].origin == "computed"


def test_volumes_and_thicknesses_add() -> None:
    for cylinder in surveyed(GASKET, SHIM).cylinders:
        assert volume(cylinder) == pytest.approx(disc(84.9, 1.2) + disc(86.9, 0.5))
        assert cylinder.values["gasket_thickness"].nominal == pytest.approx(1.70 * MM)
        assert cylinder.values["squish"].nominal == pytest.approx(1.90 * MM)
        assert [layer.part for layer in cylinder.gasket] == ["gasket", "copper shim"]


def test_the_clearance_volume_holds_each_layer_once() -> None:
    alone, both = (
        surveyed(*blocks).cylinders[0].values["clearance_volume"].nominal for blocks in ((GASKET,), (GASKET, SHIM))
    )
    assert (both - alone) / CC == pytest.approx(disc(86.9, 0.5))


def test_each_layer_brings_its_own_doubt_to_the_sum() -> None:
    """u² of the sum is that of each disc by itself: 2 V u(B)/B and V u(h)/h, √3 for a maker's figure."""
    cylinder = surveyed(GASKET, SHIM).cylinders[0]
    got = causes(
        ["gasket.gasket_bore", "gasket.gasket_thickness", "shim.gasket_bore", "shim.gasket_thickness"],
        cylinder,
        "gasket_volume",
    )
    normal, rectangular = 1.959963984540054, math.sqrt(3)
    expected = [
        2 * disc(84.9, 1.2) * 0.1 / 84.9 / normal,
        disc(84.9, 1.2) * 0.03 / 1.2 / normal,
        2 * disc(86.9, 0.5) * 0.2 / 86.9 / normal,
        disc(86.9, 0.5) * 0.02 / 0.5 / rectangular,
    ]
    assert list(got.values()) == pytest.approx(expected)
    assert standard(cylinder.values["gasket_volume"].number) / CC == pytest.approx(math.hypot(*expected))
    assert cylinder.values["gasket_thickness"].origin == "maker's figure"  # as its weakest layer


def test_a_layer_may_be_measured_and_a_layer_stated() -> None:
    read = """[[series]]
step = "gasket"
part = "copper shim"
readings = [{ long = "88.9 mm", short = "84.9 mm" }, { long = "88.9 mm", short = "84.9 mm" }]
"""
    shim = SHIM.replace('gasket_bore = "86.9 +/- 0.2 mm, measured"\n', "")
    result = surveyed(GASKET, shim, read)
    assert volume(result.cylinders[1]) == pytest.approx(disc(84.9, 1.2) + math.pi / 4 * 88.9 * 84.9 * 0.5 / 1000)
    assert all(c.uses(one) for c in result.cylinders for one in result.reduced)


def test_readings_of_two_layers_do_not_compete() -> None:
    read = """[[series]]
step = "gasket"
part = "{}"
readings = [{{ opening = "84.9 mm" }}, {{ opening = "85.1 mm" }}]
"""
    result = surveyed(GASKET, SHIM, read.format("gasket"), read.format("copper shim"))
    assert not found(result, "two-measurements")
    assert [f.read for f in found(result, "measured-wins")] == [
        "84.9 +/- 0.1 mm, measured",
        "86.9 +/- 0.2 mm, measured",
    ]


def test_a_layer_on_one_cylinder_only() -> None:
    result = surveyed(GASKET, SHIM + "cylinders = [2]\n")
    assert [volume(c) for c in result.cylinders] == pytest.approx([disc(84.9, 1.2), disc(84.9, 1.2) + disc(86.9, 0.5)])
    assert [f.place for f in found(result, "gasket-layers")] == ["cylinder 2"]


def test_an_incomplete_layer_leaves_no_half_gasket() -> None:
    shim = SHIM.replace('gasket_bore = "86.9 +/- 0.2 mm, measured"\n', "")
    result = surveyed(GASKET, shim)
    assert "gasket_volume" not in result.cylinders[0].values
    assert result.cylinders[0].values["squish"].nominal == pytest.approx(1.90 * MM)
    (finding,) = found(result, "layer-incomplete")
    assert finding.wrong == 'the layer "copper shim" has no volume: gasket bore not given'


def test_a_volume_stated_for_one_layer() -> None:
    shim = '[part."copper shim"]\nkind = "gasket"\ngasket_volume = "3.1 +/- 0.1 cc, assumed"\n'
    cylinder = surveyed(GASKET, shim).cylinders[0]
    assert volume(cylinder) == pytest.approx(disc(84.9, 1.2) + 3.1)
    assert "squish" not in cylinder.values


def test_what_stands_beside_the_layers_is_not_used() -> None:
    result = survey(
        parse_job(ENGINE.replace("[counted]", 'gasket_thickness = "5 mm, assumed"\n[counted]') + GASKET + SHIM).job
    )
    assert volume(result.cylinders[0]) == pytest.approx(disc(84.9, 1.2) + disc(86.9, 0.5))
    (finding,) = found(result, "beside-layers")
    assert (finding.read, finding.place) == ("5 mm, assumed", "cylinders 1, 2")


def test_a_fire_ring_over_the_bore_names_its_layer() -> None:
    result = surveyed(GASKET, SHIM.replace("86.9", "82.9"))
    (finding,) = found(result, "ring-over-bore")
    assert 'of "copper shim" (82.90 mm)' in finding.wrong


def test_a_reading_says_which_layer_it_is_of() -> None:
    read = '[[series]]\nstep = "gasket"\ncylinder = 1\nreadings = [{ opening = "84.9 mm" }]\n'
    loaded = parse_job(ENGINE + GASKET + SHIM + read)
    assert [f.right for f in loaded.findings] == ['say part = "gasket" or "copper shim"']


@pytest.mark.parametrize("kind", ["head", "block", "pistons"])
def test_other_parts_have_no_layers(kind: str) -> None:
    text = f'[part.first]\nkind = "{kind}"\n[part.second]\nkind = "{kind}"\n'
    assert [f.code for f in parse_job(ENGINE + text).findings] == ["two-parts"]
