"""``ccassist boost``: the answer in a window, all of it, the JSON, the words that must never be there, exit codes."""

from __future__ import annotations

import json
import math
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from ccassist.boost.cautions import BESIDE, CAUTIONS
from ccassist.cli.layout import report_lines
from ccassist.plan.boost.story import BoostStory
from ccassist.report.blocks import Report, Text
from ccassist.report.boost import boost_report
from ccassist.report.boost_told import Boost, boost_of
from ccassist.values.display import formatter
from tests.boost_job import BASELINE, CAM, CHARGE, ENGINE, JOB, replaced, told
from tests.sound_job import Shop

NO_BASELINE = ENGINE + CAM + CHARGE
HIGH = (("1.0 bar", "2.0 bar"), ("45.0 +/- 0.3", "36.0 +/- 0.3"))
JOBS = {
    "compared": JOB,
    "alone": NO_BASELINE,
    "no charge": ENGINE + CAM,
    "no closing": ENGINE + CHARGE,
    "high": replaced(JOB, *HIGH),
    "little stated": replaced(
        JOB,
        ('engine_speed = "2500 rpm"\nburn_phasing = "14 deg after TDC"', 'spark_advance = "17 deg before TDC"'),
        ('burn_phasing = "14 deg after TDC"', 'spark_advance = "21 deg before TDC"'),
        ("[cam]\n", '[cam]\nintake_phase_advance = "22 +/- 1 deg, maker\'s figure"\n'),
    ),
    "contradicted": ENGINE
    + CAM
    + 'intake_opening = "20 deg before TDC"\nintake_duration = "300 +/- 1 deg, measured"\n',
}


@cache
def story(name: str) -> BoostStory:
    return told(JOBS[name], knock=True)


@cache
def facts(name: str) -> Boost:
    return boost_of(story(name), formatter("metric"))


@cache
def report(name: str, system: str = "metric") -> Report:
    return boost_report(story(name), facts(name), formatter(system))


def lines(name: str, *, everything: bool = True, width: int = 80, system: str = "metric") -> list[str]:
    return [str(line) for line in report_lines(report(name, system), everything=everything, width=width)]


def said(name: str, *, everything: bool = True) -> str:
    """What is printed of a job, unwrapped."""
    return " ".join(" ".join(lines(name, everything=everything)).split())


@cache
def data(name: str) -> dict[str, Any]:
    """Its plain data."""
    found: dict[str, Any] = json.loads(json.dumps(facts(name).to_dict(), allow_nan=False))
    return found


def shown(shop: Shop, text: str, *options: str, code: int = 0) -> str:
    """What the command prints of a job, unwrapped."""
    shop.write(text)
    assert shop.run("boost", "job.toml", *options) == code, shop.err
    return shop.lines


# -- the answer first -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "system"), [*((name, "metric") for name in JOBS), ("compared", "imperial"), ("little stated", "imperial")]
)
def test_the_answer_fits_a_window_and_nothing_breaks_in_a_narrow_one(name: str, system: str) -> None:
    assert len(lines(name, everything=False, system=system)) < 24
    for width in (80, 60):
        assert max(map(len, lines(name, width=width, system=system))) < width


@pytest.mark.parametrize("name", ["compared", "high", "little stated"])
def test_every_way_stands_in_the_window(name: str) -> None:
    """Crown, boost, closing and charge, each at even odds and for 95 of 100: none is left for --all."""
    first = said(name, everything=False)
    assert all(f"by {way} " in first for way in ("crown", "boost", "closing", "charge"))
    assert "more row" not in first


def test_it_holds_ratios_verdict_ways_unknowns_and_lines_of_the_file() -> None:
    first = said("compared", everything=False)
    found = data("compared")
    for words in (
        f"Cylinder {found['highest_ratio']} asks",
        f"octane of the fuel than the baseline: {found['knock']['verdict']} (",
        "static ratio",
        "dynamic (trapped) ratio",
        "effective ratio (unboosted, same end pressure)",
        "now at even odds no harder in 95 of 100",
        "by crown 11.0 cc dish",
        "by boost 1.00 bar",
        "Dynamic from closing 55.0 ± 2.0 deg after BDC, at 1.00 mm lift of the valve.",
        "For even odds: [part.pistons] crown_volume = ",
        "Least known: burn phasing between them, ±",
        CAUTIONS["proof"],
    ):
        assert words in first, words
    assert "95 %" not in first  # what is only assumed makes the interval


@pytest.mark.parametrize("name", JOBS)
def test_words_that_promise_too_much_are_never_said(name: str) -> None:
    """No "safe"; "effective" and "dynamic" never without their meaning."""
    for text in (said(name), json.dumps(data(name))):
        assert not re.search(r"\b(un)?safe", text, re.IGNORECASE)
        assert not re.search(r"threshold|required octane", text, re.IGNORECASE)
    for found in re.finditer(r"\beffective ratio\b(.{0,40})", said(name), re.IGNORECASE):
        assert re.match(r" \(unboosted, same|: what an unboosted", found[1]), found[0]
    for found in re.finditer(r"\bdynamic\b(.{0,45})", said(name), re.IGNORECASE):
        assert re.match(
            r" \(trapped\)| from closing| ratio is what the trade calls the trapped|\) ratio of cyl", found[1]
        )


def test_each_caution_stands_beside_its_figures() -> None:
    text = said("compared")
    order = [text.index(CAUTIONS[key][:60]) for figures in ("trapped", "knock", "equivalents", "charge", "compression")
             for key in BESIDE[figures]]  # fmt: skip
    assert order == sorted(order)
    assert sorted(CAUTIONS) == sorted(key for keys in BESIDE.values() for key in keys)
    assert all(text.count(CAUTIONS[key]) == 1 for key in CAUTIONS)


def test_above_fourteen_no_ratio_is_shown_only_how_much_harder() -> None:
    text = said("high")
    assert re.search(r"end-of-compression pressure above 14 [\d.]+ ± [\d.]+ harder by [\d.]+ ± [\d.]+", text)
    for one in data("high")["cylinders"]:
        for line in one["equivalents"]:
            assert (line["figure"] is None) == line["beyond"]
            assert line["figure"] is None or line["figure"]["value"] <= 14


# -- limits ---------------------------------------------------------------------------------------------


def test_without_charge_the_static_and_dynamic_ratio_of_every_cylinder() -> None:
    text = said("no charge")
    assert "No [charge] is given" in text
    assert "dynamic (trapped)" in text
    assert all(one["values"]["trapped_ratio"]["text"] in text for one in data("no charge")["cylinders"])
    assert "Knock" not in text
    assert "end pressure" not in text


def test_without_cam_the_closing_is_asked() -> None:
    text = said("no closing")
    assert "Not given: intake closing; degree it, or take it from the cam card" in text
    assert "Not compared: the trapped ratio is not known." in text
    assert "not known" in text


PHASED = CAM + 'intake_phase_advance = "20 +/- 1 deg, maker\'s figure"\n'


@pytest.mark.parametrize(("said_of_load", "first"), [("", 0), ('intake_phase_at_load = "5 deg advanced"\n', 5)])
def test_every_boosted_figure_stands_at_both_ends_of_the_phasing(said_of_load: str, first: float) -> None:
    """The headline is the position stated for full load, else the hardest; each is an engine of its own."""
    text = replaced(JOB, (CAM, PHASED + said_of_load))
    found = boost_of(told(text), formatter("metric"))
    places = {one.position: one for one in found.positions}
    assert set(places) == {"fully advanced", "fully retarded", *(["as stated for full load"] if first else [])}
    for one, closing in ((places["fully advanced"], 35), (places["fully retarded"], 55)):
        alone = boost_of(told(replaced(JOB, ("55 +/- 2", f"{closing} +/- 2"))), formatter("metric"))
        worst = next(each for each in alone.cylinders if each.cylinder == alone.highest_ratio)
        for key, value in one.values.items():
            assert value.nominal == pytest.approx(worst.values[key].nominal, rel=1e-9)
    assert found.intake_closing is not None
    if first:
        assert found.cam_position == "intake cam as stated for full load"
        assert found.intake_closing.nominal == pytest.approx(math.radians(50))
    else:
        assert found.cam_position == f"intake cam {found.positions[0].position}, the hardest of its range"
        octanes = [round(one.octane_difference or 0.0, 1) for one in found.positions]
        assert octanes[0] == max(octanes)
    worst = next(each for each in found.cylinders if each.cylinder == found.highest_ratio)
    for key, value in found.positions[0].values.items():
        assert worst.values[key].nominal == pytest.approx(value.nominal, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (NO_BASELINE, "none is named; add a [baseline]"),
        (replaced(JOB, ('"clean, no knock heard or seen"', '"not known"')), "nobody vouches that it runs clean"),
        (replaced(JOB, ('octane_number = "95"', 'octane_number = "95"\nethanol_share = "30 %"')), "of ethanol"),
        (replaced(JOB, ('spark = "best', 'injection = "direct"\nspark = "best')), "no knock comparison for direct"),
        (replaced(JOB, ("[baseline]\n", '[baseline]\nengine_speed = "5000 rpm"\n')), "between different speeds"),
    ],
)
def test_knock_is_refused_in_words_and_the_rest_is_shown(shop: Shop, text: str, words: str) -> None:
    found = shown(shop, text, "--all")
    assert words in found
    assert "Not compared" in found
    assert "of the fuel than the baseline" not in found
    assert "end-of-compression pressure" in found
    assert "no harder in 95 of 100" not in found


def test_far_from_the_baseline_it_is_said(shop: Shop) -> None:
    """More than 110 octane lies outside what the delay formula is stated for."""
    changes = (('"1.0 bar"', '"2.0 bar"'), ('octane_number = "95"', 'octane_number = "100"'))
    found = shown(shop, replaced(JOB, *changes), "--all")
    assert "lies outside the 80 to 110" in found
    assert "not as a fuel to buy" in found


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


def test_a_contradicted_cam_is_wrong_first_and_ends_with_one(shop: Shop) -> None:
    found = shown(shop, JOBS["contradicted"], code=1)
    assert found.startswith("Boosted two WRONG job.toml, line")
    assert "make it" in found
    assert "trapped" in found


@pytest.mark.parametrize(("known", "stands"), [("", True), (", measured", False)])
def test_a_closing_that_is_contradicted_by_its_like_is_no_headline(known: str, stands: bool) -> None:
    """Measured against unlabelled it stands; against another measured one nobody knows which is wrong."""
    others = f'intake_opening = "12 deg before TDC, measured"\nintake_duration = "271 deg{known}"\n'
    found = told(replaced(JOB, ("\n[charge]", f"{others}\n[charge]")), knock=True)
    made = boost_report(found, boost_of(found, formatter("metric")), formatter("metric"), everything=False)
    (headline,) = [one for one in made.answer if isinstance(one, Text) and one.strong]
    assert headline.words.startswith("Cylinder 2 asks" if stands else "First put the cam card right")
    assert len(report_lines(made)) < 24


def test_texts_of_the_file_are_only_text(shop: Shop) -> None:
    found = shown(shop, replaced(JOB, ("the same engine as it was", "\\u001b[31m%s {x} [bold]")), "--all")
    assert "<U+001B>[31m%s {x} [bold]" in found
    assert "\x1b" not in found


# -- JSON -----------------------------------------------------------------------------------------------


def test_the_numbers_of_the_plain_data_are_those_of_the_screen() -> None:
    text, found = said("compared"), data("compared")
    worst = next(one for one in found["cylinders"] if one["cylinder"] == found["highest_ratio"])
    for value in (*worst["values"].values(), *worst["polytropic"].values(), *found["assumed"].values()):
        amount = value["text"] if value["expanded_uncertainty"] or "octane" not in value["name"] else ""
        assert amount in text, value["name"]
    for line in worst["equivalents"]:
        assert (line["figure"] is None and line["beyond"]) or line["figure"]["text"] in text
        assert f"harder by {line['harder']['text']}" in text
    knock = found["knock"]
    assert f"asks {knock['octane_difference']:.1f} more octane" in text
    assert f"{knock['low']:.1f} to {knock['high']:.1f} more in 95 of 100, by what is assumed" in text
    for key in ("shared", "unshared", "measured"):
        assert f"± {knock[key]:.1f}" in text
    assert found["pressures"]["reference"] == 101325.0
    assert found["planning_figures"] is True
    assert all(point["trapped_ratio"]["text"] in text for point in found["curve"])
    assert found["format"] == 2


def test_the_unknowns_make_the_interval_and_stand_largest_first() -> None:
    """Each moved by itself: together nearly what the draws say, for the difference is nearly straight in them."""
    knock = data("compared")["knock"]
    halves = [one["half"] for one in knock["unknowns"]]
    assert halves == sorted(halves, reverse=True)
    whole = sum(half**2 for half in halves) ** 0.5
    assert whole == pytest.approx((knock["high"] - knock["low"]) / 2, rel=0.05)


def test_every_figure_under_boost_has_its_budget() -> None:
    """End pressure by its filling, end temperature by the exhaust left behind; shares of one whole."""
    for key, first in (("end_pressure", "filling at closing"), ("end_temperature", "exhaust over manifold pressure")):
        parts = facts("compared").budgets[key]
        assert parts[0].name == first
        assert 0.97 < sum(part.share for part in parts) <= 1 + 1e-9


def test_the_curve_alone_goes_below_the_answer(shop: Shop) -> None:
    found = shown(shop, JOB, "--curve")
    assert "against intake closing" in found
    assert "The charge, and what is assumed" not in found


def test_pages_are_written_beside_the_screen_or_the_json(shop: Shop, tmp_path: Path) -> None:
    shop.write(NO_BASELINE)
    for options in ((), ("--json",)):
        assert shop.run("boost", "job.toml", "--out", "pages.pdf", "--page", "Letter", *options) == 0
        found = shop.err if options else shop.out
        assert re.search(r"Wrote pages\.pdf, \d+ pages Letter\.", found)
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


def test_a_new_turbo_job_mentions_cam_charge_and_baseline(shop: Shop) -> None:
    assert shop.run("new", "t.toml", "--cylinders", "4", "--for", "turbo", "--name", "x") == 0
    assert "After the bench it asks for cam, charge and baseline: ccassist boost t.toml" in shop.lines
    text = Path("t.toml").read_text(encoding="utf-8")
    assert all(f"# [{name}]" in text for name in ("cam", "charge", "baseline"))


def test_a_baseline_alone_changes_nothing(shop: Shop) -> None:
    assert "No [charge] is given" in shown(shop, ENGINE + CAM + BASELINE)
