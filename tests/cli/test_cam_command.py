"""``ccassist cam``: what it prints, its exit codes, and its JSON."""

from __future__ import annotations

import json
import shutil
from math import degrees
from pathlib import Path

import pytest

from tests.cam_job import CAM, ENGINE, EXHAUST, INTAKE, PHASING, valve
from tests.sound_job import Shop

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_example_prints_card_gaps_and_table(shop: Shop) -> None:
    shutil.copy(EXAMPLES / "turbo-four.toml", shop.folder / "job.toml")
    assert shop.run("cam", "job.toml", "--all") == 0
    said = " ".join(shop.out.split())
    assert "every figure at 1.00 mm lift of the valve" in said
    assert "Intake closing by phasing: 26.0 ± 1.5 deg after BDC (earliest)" in said
    assert "Asked at least 1.80 mm: held." in said
    assert "worst" in said
    assert "stop at any resistance" in said
    assert max(len(line) for line in shop.out.splitlines()) <= 79


def test_an_asked_gap_not_held_fails_and_says_the_pocket(shop: Shop) -> None:
    asked = valve("intake", more='wanted_valve_gap = "8 mm"\nwanted_radial_gap = "1.3 mm"')
    shop.write(ENGINE + CAM + PHASING + asked + INTAKE[len(valve("intake")) :])
    assert shop.run("cam", "job.toml", "--all") == 1
    said = " ".join(shop.out.split())
    assert "NOT HELD" in said
    assert "Pocket needed for the gap asked" in said
    assert "say valve_offset" in said


def test_without_asked_gaps_only_gaps_are_given(shop: Shop) -> None:
    shop.write(ENGINE + CAM + INTAKE + EXHAUST)
    assert shop.run("cam", "job.toml") == 0
    assert shop.out.count("No least gap is asked") == 2
    assert "held" not in shop.out


def test_json_carries_the_lift_basis_with_every_event(shop: Shop) -> None:
    shop.write(ENGINE + CAM + PHASING + INTAKE)
    assert shop.run("cam", "job.toml", "--json", "--around", "10 deg", "--every", "2 deg") == 0
    data = json.loads(shop.out)
    assert data["lift_basis"] == "at 1.00 mm lift of the valve"
    assert degrees(data["phasing"]["intake_closing"]["latest"]["value"]) == pytest.approx(53)
    intake = data["valves"]["intake"]
    assert intake["lift_curve"] == "read"
    assert intake["verdict"] is None
    assert [round(degrees(row["crank"])) for row in intake["table"]] == list(range(-10, 11, 2))


def test_imperial_units(shop: Shop) -> None:
    shop.write(ENGINE + CAM + INTAKE)
    assert shop.run("cam", "job.toml", "--units", "imperial") == 0
    assert "thou" in shop.out
    assert " mm" not in shop.out


def test_a_contradiction_fails(shop: Shop) -> None:
    shop.write(ENGINE + CAM.replace("lift_read_at", 'intake_duration = "260 +/- 1 deg, measured"\nlift_read_at'))
    assert shop.run("cam", "job.toml") == 1
    assert "make it 240" in " ".join(shop.out.split())


def test_check_finds_it_too(shop: Shop) -> None:
    shop.write(ENGINE + CAM.replace("lift_read_at", 'intake_duration = "260 +/- 1 deg, measured"\nlift_read_at'))
    assert shop.run("check", "job.toml") == 2
    assert "make it 240" in " ".join(shop.out.split())


def test_an_assumed_curve_says_so(shop: Shop) -> None:
    more = 'valve_lift = "9.8 +/- 0.05 mm, measured"\nwanted_valve_gap = "0.1 mm"'
    shop.write(ENGINE + CAM + valve("intake", more=more))
    assert shop.run("cam", "job.toml") == 0
    said = " ".join(shop.out.split())
    assert "ASSUMED" in said
    assert "CANNOT BE TOLD" in said


def test_what_is_not_given_is_named(shop: Shop) -> None:
    shop.write(ENGINE + CAM + '[valve.intake]\nvalve_angle = "12 deg, measured"\n')
    assert shop.run("cam", "job.toml") == 0
    said = " ".join(shop.out.split())
    assert "not given valve head diameter, valve drop, valve lift" in said


def test_hydraulic_tappets_have_their_caution(shop: Shop) -> None:
    shop.write(ENGINE + CAM.replace('"solid"', '"hydraulic"'))
    assert shop.run("cam", "job.toml", "--all") == 0
    assert "bleeds down" in shop.out


def test_without_a_cam_it_is_not_possible(shop: Shop) -> None:
    shop.write(ENGINE)
    assert shop.run("cam", "job.toml") == 1
    assert "add a [cam] section" in shop.err


@pytest.mark.parametrize("options", [("--every", "0 deg"), ("--around", "400 deg"), ("--every", "2 mm")])
def test_a_table_that_cannot_be_is_refused(shop: Shop, options: tuple[str, str]) -> None:
    shop.write(ENGINE + CAM)
    assert shop.run("cam", "job.toml", *options) == 2
    assert options[0] in shop.err or "unit" in shop.err
