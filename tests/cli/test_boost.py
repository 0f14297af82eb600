"""``ccassist boost``: the screen and the JSON, the words that must never be there, refusals, exit codes."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from ccassist.boost.cautions import BESIDE, CAUTIONS
from tests.boost_job import BASELINE, CAM, CHARGE, ENGINE, JOB, replaced
from tests.sound_job import Shop

EXAMPLE = Path(__file__).parents[2] / "examples" / "turbo-four.toml"
NO_BASELINE = ENGINE + CAM + CHARGE
HIGH = (("1.0 bar", "2.0 bar"), ("45.0 +/- 0.3", "36.0 +/- 0.3"))


def shown(shop: Shop, text: str, *options: str, code: int = 0) -> str:
    """What the command prints of a job, unwrapped."""
    shop.write(text)
    assert shop.run("boost", "job.toml", *options) == code, shop.err
    return shop.lines


def data(shop: Shop, text: str, *options: str) -> dict[str, Any]:
    """The JSON of a job."""
    shop.write(text)
    assert shop.run("boost", "job.toml", "--json", *options) == 0, shop.err
    found: dict[str, Any] = json.loads(shop.out)
    return found


# -- the whole screen -----------------------------------------------------------------------------------


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_example_shows_everything_in_80_columns(shop: Shop, units: str) -> None:
    shop.write(EXAMPLE.read_text(encoding="utf-8"))
    assert shop.run("boost", "job.toml", "--curve", "--units", units) == 0
    assert shop.err == ""
    assert max(map(len, shop.out.splitlines())) < 80
    said = shop.lines
    for words in (
        "planning figures",
        "static ratio: volume at bottom dead centre",
        "trapped ratio: volume at intake closing",
        "Trapped ratio of cylinder 1 against intake closing",
        "lift of the valve",
        "Assumed, because nothing is stated:",
        "Barometer used:",
        "counts from 101.325 kPa",
        "end-of-compression",
        "Cylinder 1 beside the baseline:",
        "octane more of the fuel than the baseline",
    ):
        assert words in said, words


@pytest.mark.parametrize("text", [JOB, NO_BASELINE, ENGINE + CAM, ENGINE, replaced(JOB, *HIGH)])
def test_words_that_promise_too_much_are_never_said(shop: Shop, text: str) -> None:
    """Neither on the screen nor in the JSON: no "safe", no bare "effective"."""
    screen = shown(shop, text, "--curve")
    raw = json.dumps(data(shop, text))
    for said in (screen, raw):
        assert not re.search(r"\b(un)?safe", said, re.IGNORECASE)
        assert not re.search(r"\beffective\b", said, re.IGNORECASE)
        assert not re.search(r"threshold|required octane", said, re.IGNORECASE)


def test_each_caution_stands_beside_its_figures(shop: Shop) -> None:
    said = shown(shop, JOB)
    order = [said.index(CAUTIONS[key][:60]) for figures in BESIDE for key in BESIDE[figures]]
    assert order == sorted(order)
    assert sorted(CAUTIONS) == sorted(key for keys in BESIDE.values() for key in keys)
    assert said.index(CAUTIONS["closing-basis"][:40]) < said.index("The charge as stated")
    assert said.index("Static ratio that an unboosted") < said.index(CAUTIONS["equivalents"][:40])


def test_above_fourteen_no_ratio_is_shown_only_how_much_harder(shop: Shop) -> None:
    said = shown(shop, replaced(JOB, *HIGH))
    pressure = re.search(r"same end-of-compression pressure: ([^;]*); baseline ([^;]*); (.*?) in ratio", said)
    assert pressure is not None
    assert pressure[1] == "above 14"
    assert pressure[3].startswith("harder than the baseline by")
    alone = shown(shop, replaced(NO_BASELINE, *HIGH))
    assert "same end-of-compression pressure: above 14 means:" in alone
    assert "there is no baseline beside it" in alone


# -- limits ---------------------------------------------------------------------------------------------


def test_without_charge_the_static_and_trapped_story(shop: Shop) -> None:
    said = shown(shop, ENGINE + CAM)
    assert "No [charge] is given, so this is the story without boost" in said
    assert "trapped ratio" in said
    assert "Knock" not in said
    assert "end pressure" not in said


def test_without_cam_the_closing_is_asked(shop: Shop) -> None:
    said = shown(shop, ENGINE + CHARGE)
    assert "not given: intake closing" in said
    assert "not compared: the trapped ratio is not known" in said
    assert "static ratio" in said


def test_phasing_shows_both_ends(shop: Shop) -> None:
    phased = CAM + 'intake_phase_advance = "20 +/- 1 deg, maker\'s figure"\n'
    assert re.search(
        r"cylinder 2 over the phasing: trapped ratio \S+ ± \S+ fully advanced", shown(shop, ENGINE + phased)
    )


# -- refusals and slips ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (NO_BASELINE, "none is named; add a [baseline]"),
        (replaced(JOB, ('"clean, no knock heard or seen"', '"not known"')), "nobody vouches that it runs clean"),
        (replaced(JOB, ('octane_number = "95"', 'octane_number = "95"\nethanol_share = "30 %"')), "of ethanol"),
        (replaced(JOB, ('spark = "best', 'injection = "direct"\nspark = "best')), "no knock comparison for direct"),
        (replaced(JOB, ("[baseline]\n", '[baseline]\nengine_speed = "5000 rpm"\n')), "between different speeds"),
        (replaced(JOB, ('engine_speed = "2500 rpm"\n', "")), "without the engine speed"),
    ],
)
def test_knock_is_refused_in_words_and_the_rest_is_shown(shop: Shop, text: str, words: str) -> None:
    said = shown(shop, text)
    assert words in said
    assert "not compared: " in said
    assert "octane more of the fuel" not in said
    assert "knock integral:" not in said
    assert "same end-of-compression pressure" in said
    assert data(shop, text)["knock"]["octane_difference"] is None


def test_methanol_leaves_static_and_trapped_ratio_only(shop: Shop) -> None:
    said = shown(shop, replaced(JOB, ('spark = "best', 'fuel = "methanol"\nspark = "best')))
    assert "nothing is known here of a methanol charge" in said
    assert "end pressure" not in said


def test_far_from_the_baseline_it_is_said(shop: Shop) -> None:
    """More than 110 octane lies outside what the delay formula is stated for."""
    said = shown(shop, replaced(JOB, ('"1.0 bar"', '"2.0 bar"'), ('octane_number = "95"', 'octane_number = "100"')))
    assert "lies outside the 80 to 110" in said
    assert "not as a fuel to buy" in said


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('"read on site"', '"reduced to sea level"'), "a barometer reduced to sea level is not the pressure"),
        (('boost_gauge = "1.0 bar"', 'boost_gauge = "1.0 bar"\nmanifold_pressure = "2 bar"'), "both as gauge and as"),
    ],
)
def test_what_cannot_be_used_ends_with_two_and_its_line(shop: Shop, change: tuple[str, str], words: str) -> None:
    shop.write(replaced(JOB, change))
    assert shop.run("boost", "job.toml") == 2
    assert shop.out == ""
    assert words in shop.err
    assert re.match(r"job\.toml, line \d+, charge\.", shop.err)


def test_a_contradicted_cam_is_shown_and_ends_with_one(shop: Shop) -> None:
    cam = CAM + 'intake_opening = "20 deg before TDC"\nintake_duration = "300 +/- 1 deg, measured"\n'
    said = shown(shop, ENGINE + cam, code=1)
    assert "make it" in said
    assert "trapped ratio" in said


def test_gauge_for_absolute_is_asked(shop: Shop) -> None:
    assert "a gauge figure?" in shown(shop, replaced(JOB, ('boost_gauge = "1.0 bar"', 'manifold_pressure = "0.8 bar"')))


def test_texts_of_the_file_are_only_text(shop: Shop) -> None:
    said = shown(shop, replaced(JOB, ("the same engine as it was", "\\u001b[31m%s {x} [bold]")))
    assert "<U+001B>[31m%s {x} [bold]" in said
    assert "\x1b" not in said


# -- JSON -----------------------------------------------------------------------------------------------


def test_the_numbers_of_the_json_are_those_of_the_screen(shop: Shop) -> None:
    said, found = shown(shop, JOB), data(shop, JOB)
    worst = next(one for one in found["cylinders"] if one["cylinder"] == found["highest_ratio"])
    for key, value in worst["values"].items():
        assert value["text"] in said, key
    for key in ("end_pressure", "end_temperature"):
        assert worst["polytropic"][key]["text"] in said
    for line in worst["equivalents"]:
        assert line["name"] in said
        assert (line["value"] is None and line["above_14"]) or line["value"]["text"] in said
        assert f"by {line['harder_than_baseline_by']['text']}" in said
    knock = found["knock"]
    assert f"asks {knock['octane_difference']:.1f} octane more" in said
    assert f"{knock['low']:.1f} more to {knock['high']:.1f} more" in said
    for key in ("shared", "unshared", "measured"):
        assert f"± {knock[key]:.1f}" in said
    for value in (*found["assumed"].values(), *found["pressures"].values()):
        assert not isinstance(value, dict) or value["text"] in said
    assert found["pressures"]["reference"] == 101325.0
    assert found["planning_figures"] is True


def test_the_curve_on_screen_is_the_curve_of_the_json(shop: Shop) -> None:
    said, found = shown(shop, JOB, "--curve"), data(shop, JOB)
    assert len(found["curve"]) == 21
    assert all(point["trapped_ratio"]["text"] in said for point in found["curve"])


def test_pages_are_written_beside_the_screen_or_the_json(shop: Shop, tmp_path: Path) -> None:
    shop.write(JOB)
    for options in ((), ("--json",)):
        assert shop.run("boost", "job.toml", "--out", "pages.pdf", "--page", "Letter", *options) == 0
        said = shop.err if options else shop.out
        assert re.search(r"Wrote pages\.pdf, \d+ pages Letter\.", said)
        assert (tmp_path / "pages.pdf").read_bytes().startswith(b"%PDF")
        (tmp_path / "pages.pdf").unlink()
    assert shop.run("boost", "job.toml", "--out", "job.toml") == 2
    assert "would replace the job file" in shop.err


def test_check_says_what_is_asked_of_the_charge(shop: Shop) -> None:
    shop.write(replaced(JOB, ('barometer_is = "read on site"\n', ""), ('boost_gauge = "0.6 bar"\n', "")))
    assert shop.run("check", "job.toml") == 0
    assert "is this barometer read on site?" in shop.lines
    assert "its boost is not given" in shop.lines
    shop.write(replaced(JOB, ('"read on site"', '"reduced to sea level"')))
    assert shop.run("check", "job.toml") == 2
    assert "WRONG job.toml, line" in shop.lines


# -- at the start ---------------------------------------------------------------------------------------


def test_help_loads_nothing_of_it() -> None:
    code = (
        "import sys\nfrom ccassist.cli.app import main\nsys.argv = ['ccassist', '--help']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print([m for m in sys.modules if m.startswith('ccassist.boost') or m in ('numpy', 'uncertainties', 'pint')])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert ran.stdout.splitlines()[-1] == "[]"
    assert "boost" in ran.stdout


def test_a_new_turbo_job_mentions_cam_charge_and_baseline(shop: Shop) -> None:
    assert shop.run("new", "t.toml", "--cylinders", "4", "--for", "turbo", "--name", "x") == 0
    assert "After the bench it asks for cam, charge and baseline: ccassist boost t.toml" in shop.lines
    text = Path("t.toml").read_text(encoding="utf-8")
    assert all(f"# [{name}]" in text for name in ("cam", "charge", "baseline"))


def test_a_baseline_alone_changes_nothing(shop: Shop) -> None:
    assert "No [charge] is given" in shown(shop, ENGINE + CAM + BASELINE)
