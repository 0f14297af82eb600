"""The command that plans machining."""

from __future__ import annotations

import json

import pytest

from tests.sound_job import Shop, changed

OPENING = ("[counted]", 'chamber_area = "46 +/- 1 cm2, measured"\n\n[counted]')


@pytest.fixture
def job(shop: Shop) -> str:
    return str(shop.write(changed(OPENING)))


def test_before_and_after_stand_side_by_side(shop: Shop, job: str) -> None:
    assert (
        shop.run("machine", job, "--skim", "0.25 mm", "--deck", "0.05 mm", "--gasket-thickness", "1.0 mm", "--all") == 0
    )
    assert "before" in shop.out
    assert "after" in shop.out
    assert "less by 1.15 ± 0.14 cc" in shop.lines  # 46 cm2 x (0.25 +/- 0.03 mm), the usual cut, and walls not known
    assert "static compression ratio" in shop.lines
    assert "What else moves:" in shop.out
    assert "In this order:" in shop.out
    assert "Metal cannot be put back" in shop.lines


def test_imperial_units_on_request(shop: Shop, job: str) -> None:
    assert shop.run("machine", job, "--skim", "10 thou", "--units", "imperial", "--all") == 0
    assert "10.0 ± 1.1 thou" in shop.lines


def test_json_holds_every_cylinder(shop: Shop, job: str) -> None:
    assert shop.run("machine", job, "--skim", "0.25 mm", "--json") == 0
    data = json.loads(shop.out)
    first = data["cylinders"][0]
    assert [c["cylinder"] for c in data["cylinders"]] == [1, 2]
    assert first["values"]["chamber_volume"]["change"]["value"] == pytest.approx(-1.15e-6)
    assert first["cuts"]["flat"] == pytest.approx(0.25e-3)
    assert data["consequences"]
    assert data["order_of_work"]
    assert data["cautions"]


def test_a_target_names_what_each_would_ask_for(shop: Shop, job: str) -> None:
    assert shop.run("machine", job, "--skim-to", "chamber_volume=45.5 cc", "--all") == 0
    assert "each by itself would ask for: cylinder 1" in shop.lines
    assert "One face has one cut" in shop.lines


def test_what_cannot_be_ends_with_one(shop: Shop, job: str) -> None:
    assert shop.run("machine", job, "--deck", "1.6 mm") == 1
    assert "no squish gap is left" in shop.err


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), "nothing is to be machined"),
        (("--skim", "0.25"), ""),
        (("--skim", "0.25 cc"), "cc"),
        (("--skim-to", "static_ratio"), "no value is said"),
        (("--angle-skim", "1 mm"), "centroid of the chamber opening"),
    ],
)
def test_bad_input_ends_with_two(shop: Shop, job: str, options: tuple[str, ...], words: str) -> None:
    code = shop.run("machine", job, *options)
    assert code == (2 if words else 0)  # a bare number takes the unit of the job
    assert words in shop.err


def test_help_shows_an_example(shop: Shop) -> None:
    assert shop.run("machine", "--help") == 0
    assert "Example: ccassist machine" in shop.lines
