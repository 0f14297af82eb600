"""Constructed examples of the trade with clean numbers, and what its usual mistakes come to.

Common practice, no source; no real engine.
"""

from __future__ import annotations

from typing import Any

import pytest
from uncertainties import ufloat

from ccassist.analysis.results import survey
from ccassist.engine import relations as r
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, build
from ccassist.job.file import parse_job
from ccassist.vocabulary.units import in_unit
from tests.references.sources import cites

pytestmark = cites("practice")

MM, CC, IN = 1e-3, 1e-6, 25.4e-3


def near(printed: str) -> Any:
    """Within half of the last printed digit (and a hair for a five rounded either way)."""
    decimals = len(printed.partition(".")[2])
    return pytest.approx(float(printed), abs=0.501 * 10.0**-decimals)


def result(key: str, choices: Choices | None = None, **known: float) -> float:
    return build(known, choices or Choices()).evaluate(known)[key]


# -- constructed: C1, a piston order ----------------------------------------------------------------

C1: dict[str, float] = {
    "bore": 79.30 * MM,
    "stroke": 81.70 * MM,
    "rod_length": 138.60 * MM,
    "block_deck_height": 211.30 * MM,
    "compression_height": 31.65 * MM,
    "gasket_bore": 80.9 * MM,
    "gasket_thickness": 1.25 * MM,
    "land_diameter": 78.62 * MM,
    "land_height": 6.8 * MM,
    "chamber_volume": 38.60 * CC,
    "crown_volume": 4.491 * CC,
}


def c1(key: str = "static_ratio", **changed: float) -> float:
    return result(key, **{**C1, **changed})


@pytest.mark.parametrize(
    ("key", "unit", "printed"),
    [
        ("deck_clearance", "mm", "0.20"),
        ("swept_volume", "cc", "403.514"),
        ("gasket_volume", "cc", "6.425"),
        ("deck_volume", "cc", "0.988"),
        ("crevice_volume", "cc", "0.574"),
        ("clearance_volume", "cc", "51.078"),
        ("static_ratio", "", "8.900"),
        ("squish", "mm", "1.45"),
    ],
)
def test_c1_parts(key: str, unit: str, printed: str) -> None:
    assert in_unit(c1(key), unit) == near(printed)


def ordered(**believed: float) -> float:
    """The crown ordered for 8.90 by a sum that believes other figures than the true ones."""
    clearance = c1("clearance_volume", **believed) - C1["crown_volume"]
    return c1("swept_volume", **believed) / (8.90 - 1) - clearance


MISTAKES = [  # what really stands in the engine -> the ratio it then has
    pytest.param({"crown_volume": -C1["crown_volume"]}, "10.59", id="dish cut as dome"),
    pytest.param({"crown_volume": ordered(gasket_volume=0.0)}, "8.02", id="gasket left out of the sum"),
    pytest.param({"crown_volume": ordered(gasket_thickness=1.55 * MM)}, "9.15", id="free thickness for compressed"),
    pytest.param({"crown_volume": ordered(gasket_bore=79.3 * MM)}, "8.86", id="cylinder bore used for gasket bore"),
    pytest.param({"crown_volume": ordered(deck_volume=0.0)}, "8.75", id="deck volume left out"),
    pytest.param({"crown_volume": ordered(crevice_volume=0.0)}, "8.81", id="crevice left out"),
    pytest.param({"rod_length": 136.6 * MM}, "7.62", id="rods 2 mm short"),
    pytest.param({"rod_length": 139.6 * MM}, "9.75", id="rods 1 mm long"),
    pytest.param({"block_deck_height": 211.15 * MM}, "9.02", id="block skimmed 0.15 after ordering"),
    pytest.param({"chamber_volume": 38.6 * CC - r.gasket_volume(44e-4, 0.25 * MM)}, "9.07", id="head skimmed 0.25"),
    pytest.param({"chamber_volume": 38.9 * CC}, "8.85", id="largest chamber"),
    pytest.param({"chamber_volume": 38.4 * CC}, "8.93", id="smallest chamber"),
]


@pytest.mark.parametrize(("real", "printed"), MISTAKES)
def test_c1_what_a_mistake_does(real: dict[str, float], printed: str) -> None:
    assert c1(**real) == near(printed)


def test_c1_gasket_left_out_orders_too_large_a_dish() -> None:
    assert ordered(gasket_volume=0.0) / CC == near("10.9")


@pytest.mark.parametrize(
    ("real", "key", "mm"),
    [
        pytest.param({"rod_length": 136.6 * MM}, "deck_clearance", "2.20", id="rods 2 mm short"),
        pytest.param({"rod_length": 139.6 * MM}, "deck_clearance", "-0.80", id="rods 1 mm long: proud"),
        pytest.param({"rod_length": 139.6 * MM}, "squish", "0.45", id="rods 1 mm long: near contact"),
        pytest.param({"block_deck_height": 211.15 * MM}, "squish", "1.30", id="block skimmed"),
    ],
)
def test_c1_where_the_piston_then_stops(real: dict[str, float], key: str, mm: str) -> None:
    assert c1(key, **real) / MM == near(mm)


@pytest.mark.parametrize(
    ("key", "change", "effect"),
    [
        ("compression_height", 0.05 * MM, "0.038"),
        ("crown_volume", -0.5 * CC, "0.078"),
        ("crown_volume", -1.0 * CC, "0.158"),
    ],
)
def test_c1_sensitivity(key: str, change: float, effect: str) -> None:
    """Toward the higher ratio, where the change is a little larger than toward the lower."""
    assert c1(**{key: C1[key] + change}) - c1() == near(effect)


def uncertain_c1(**doubts: float) -> dict[str, Any]:
    known: dict[str, Any] = {**C1, "crevice_volume": c1("crevice_volume")}
    doubted = {key: ufloat(known[key], u) for key, u in doubts.items()}
    return build(known, Choices()).evaluate({**known, **doubted}, uncertain())


def test_c1_combined_uncertainty() -> None:
    """Chamber 0.3, gasket 0.05 mm, deck 0.03 mm, crown 0.5, crevice 0.15 cc: u 0.67 cc and 0.104 of a ratio."""
    got = uncertain_c1(
        chamber_volume=0.3 * CC,
        gasket_thickness=0.05 * MM,
        compression_height=0.03 * MM,
        crown_volume=0.5 * CC,
        crevice_volume=0.15 * CC,
    )
    assert got["clearance_volume"].std_dev / CC == near("0.67")
    assert got["static_ratio"].std_dev == near("0.104")


# -- constructed: C2, C8, C9 ------------------------------------------------------------------------

C2 = {
    "bore": 97.15 * MM,
    "deck_clearance": -0.13 * MM,
    "crown_drop": 25.00 * MM,
    "crown_fill": 173.6 * CC,
    "crevice_volume": 0.5 * CC,
}


def test_c2_down_the_bore() -> None:
    """Bore area 74.1268 cm², cylinder to the deck 184.353, dome −10.753; deck and crown together −11.717 cc."""
    sealed = Choices(seal="grease")
    assert result("bore_area", sealed, **C2) * 1e4 == near("74.1268")
    assert r.swept_volume(C2["bore"], C2["crown_drop"] + C2["deck_clearance"]) / CC == near("184.353")
    assert result("crown_volume", sealed, **C2) / CC == near("-10.753")
    assert result("crown_and_deck_volume", sealed, **C2) / CC == near("-11.717")


def test_c2_forgetting_the_deck_clearance_is_not_the_net_crown() -> None:
    """The commonest slip: −11.717 is right for crown and deck together, wrong for the crown alone by 0.96 cc."""
    assert result("crown_volume", Choices(seal="grease"), **C2) / CC != pytest.approx(-11.717, abs=0.9)
    assert r.deck_volume(C2["bore"], C2["deck_clearance"]) / CC == near("-0.96")


def test_c8_imperial() -> None:
    """Bore 3.937, stroke 3.291; gasket 4.020 × 0.043; 0.012 in below; reliefs +4.7; head 58.6 cc."""
    known = {
        "bore": 3.937 * IN,
        "stroke": 3.291 * IN,
        "gasket_bore": 4.020 * IN,
        "gasket_thickness": 0.043 * IN,
        "deck_clearance": 0.012 * IN,
        "crown_volume": 4.7 * CC,
        "chamber_volume": 58.6 * CC,
    }
    got = build(known, Choices(crevice=False)).evaluate(known)
    cc = {key: got[key] / CC for key in ("swept_volume", "gasket_volume", "deck_volume", "clearance_volume")}
    assert cc == {
        "swept_volume": near("656.52"),
        "gasket_volume": near("8.944"),
        "deck_volume": near("2.394"),
        "clearance_volume": near("74.637"),
    }
    assert got["static_ratio"] == near("9.796")


@pytest.mark.parametrize(
    ("bore", "opening", "thickness", "lost"),
    [
        pytest.param(79.3 * MM, 80.9 * MM, 1.25 * MM, "0.25", id="metric"),
        pytest.param(3.937 * IN, 4.020 * IN, 0.043 * IN, "0.37", id="imperial"),
    ],
)
def test_cylinder_bore_taken_for_the_gasket_bore(bore: float, opening: float, thickness: float, lost: str) -> None:
    right, wrong = (r.gasket_volume(r.gasket_area_round(d), thickness) for d in (opening, bore))
    assert (right - wrong) / CC == near(lost)


def test_c7_cut_out_against_a_square() -> None:
    """Reference 100 cm² weighs 0.812 g, cut-out 0.498 g: 61.33 cm², × 1.20 mm 7.36 cc."""
    row = '{ reference = "100 cm2", reference_mass = "0.812 g", cutout_mass = "0.498 g" }'
    engine = "format = 1\n[engine]\ncylinders = 1\n"
    text = f'{engine}[[series]]\nstep = "gasket"\ncylinder = 1\nreadings = [{row}]'
    area = survey(parse_job(text).job).cylinders[0].values["gasket_area"].nominal
    assert area * 1e4 == near("61.33")
    assert r.gasket_volume(area, 1.20 * MM) / CC == near("7.36")
