"""``ccassist show``: tables, words and JSON, on the terminal and off it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import load
from tests.sound_job import SOUND, Shop, changed

BURETTE = 'instrument = "burette 50 ml class B"'


def shown(shop: Shop, text: str, *options: str) -> str:
    """What ``show`` prints of a job, unwrapped."""
    shop.write(text)
    assert shop.run("show", "job.toml", *options) == 0
    assert shop.err == ""
    return shop.lines


def data(shop: Shop, text: str, *options: str) -> dict[str, Any]:
    """The JSON of a job."""
    shop.write(text)
    assert shop.run("show", "job.toml", "--json", *options) == 0

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    found: dict[str, Any] = json.loads(shop.out, parse_constant=refuse)
    return found


def heads_only(*blocks: str) -> str:
    """A job without bore, with the readings of the sound job."""
    start = SOUND.index("bore =")
    return SOUND[:start] + SOUND[SOUND.index("[part.head]") :] + "".join(blocks)


# -- what is printed ------------------------------------------------------------------------------------


def test_every_cylinder_first_then_what_follows(shop: Shop) -> None:
    said = shown(shop, SOUND)
    lines = shop.out.splitlines()
    assert lines[:2] == ["Bench job", "2 cylinders, bore 83.40 mm × stroke 91.70 mm, displacement 1001.89 ± 0.32 cc."]
    assert lines[3].split() == ["cyl", "chamber,", "cc", "ratio"]
    # burette: (46.05 + 46.10 + 46.25) / 3 and (46.45 + 46.60 + 46.55) / 3, by hand
    assert re.search(r"^1 +46\.13 ± .* 8\.916 ± ", shop.out, re.MULTILINE)
    assert re.search(r"^2 +46\.53 ± ", shop.out, re.MULTILINE)
    assert "Alike in all: deck 0.200 ± 0.020 mm below deck; squish 1.500 ± 0.054 mm; crown dish, adds 8.70" in said
    assert said.index("Largest less smallest ratio: ") > said.index("Alike in all")
    assert "Next: print it: ccassist worksheet job.toml" in said


def test_heads_without_a_bore_are_about_chambers(shop: Shop) -> None:
    for text in (heads_only(), heads_only().replace("[job]", '[job]\nfor = "heads"', 1)):
        said = shown(shop, text)
        assert "chamber, cc smaller by first 1 46.13 ± 0.18 0.40 ± 0.21 cc 0.10 cc 2 46.53 ± 0.18 – leave" in said
        assert "Largest less smallest chamber: 0.40 ± " in said
        assert "nan" not in said.lower()
        assert "not worked out" not in said.lower()
        assert "nothing" not in said.lower()


def test_a_job_for_heads_that_wants_a_ratio_is_told_what_it_lacks(shop: Shop) -> None:
    wanted = '\n[wanted]\nstatic_ratio = "9.5"\n'
    said = shown(shop, heads_only(wanted).replace("[job]", '[job]\nfor = "heads"', 1))
    assert "Wanted, and not worked out: ratio 9.50." in said
    assert re.search(r"Next: measure or state the bore, .*: ccassist guide job.toml", said)


def test_what_one_cylinder_lacks_is_said_for_it_alone(shop: Shop) -> None:
    said = shown(shop, SOUND[: SOUND.rindex("[[series]]")])
    assert re.search(r"^2 +– ", shop.out, re.MULTILINE)
    assert "Next: measure or state the chamber volume of cylinder 2: ccassist guide job.toml" in said


def test_signs_are_in_words_and_in_the_sum(shop: Shop) -> None:
    said = shown(shop, changed(("0.20 +/- 0.02 mm below deck", "0.20 +/- 0.02 mm proud"), ("dish 8.7", "dome 8.7")))
    assert "deck 0.200 ± 0.020 mm proud of the deck; " in said
    assert "crown dome, takes 8.70 ± 0.30 cc of space" in said
    shop.run("show", "job.toml", "--all")
    assert re.search(r"^deck volume +−1\.093 +−1\.093$", shop.out, re.MULTILINE)
    assert re.search(r"^net crown volume +−8\.700 +−8\.700$", shop.out, re.MULTILINE)


def test_inside_outside_and_cannot_tell(shop: Shop) -> None:
    """By the whole interval: see tests of the decision rule; here only that each word reaches the screen."""
    for band, said in (
        ("at least 40 cc", "Wanted chamber at least 40.00 cc: all inside."),
        ("at most 40 cc", "Wanted chamber at most 40.00 cc: all outside."),
        ("at least 46.13 cc", "cannot tell at this ±: 1"),
    ):
        assert said in shown(shop, SOUND + f'\n[wanted]\nchamber_volume = "{band}"\n')


def test_two_fills_need_repeats_and_then_a_repeatability_gives_the_plus_or_minus(shop: Shop) -> None:
    block = (
        'readings = [\n    { start = "0.10 ml", end = "46.15 ml" },\n    { start = "0.15 ml", end = "46.25 ml" },\n]\n'
    )
    text = SOUND[: SOUND.index("readings = [")] + block
    said = shown(shop, text.replace("cylinders = 2", "cylinders = 1"))
    assert "± ?" in said
    assert "Next: 3 more fills are needed of cylinder 1, head chamber by fluid, before" in said
    assert "ccassist guide job.toml --step chamber --cylinder 1" in said
    own = '\n[instrument."my burette"]\nlike = "burette 50 ml class B"\nrepeatability = "0.05 ml"\n'
    said = shown(shop, text.replace(BURETTE, 'instrument = "my burette"') + own)
    assert "± ?" not in said
    assert "scatter" not in said


def test_counted_and_not_counted(shop: Shop) -> None:
    land = 'land_diameter = "82.70 +/- 0.02 mm, measured"\nland_height = "7.0 +/- 0.1 mm, measured"\n'
    with_land = changed(("[counted]", land + "\n[counted]"))
    assert "the crevice is not counted" in shown(shop, with_land, "--all")
    assert "the crevice is counted" in shown(shop, with_land.replace('"not counted"', '"counted"'), "--all")
    said = shown(shop, with_land.replace('[counted]\ncrevice = "not counted"\n', ""))
    assert "LOOK counted: it is not said whether the crevice is counted: taken as counted" in said


def test_metric_and_imperial(shop: Shop) -> None:
    said = shown(shop, SOUND, "--units", "imperial")
    assert "bore 3.2835 in × stroke 3.6102 in" in said
    assert "displacement 61.139" in said
    assert "7.87 ± 0.79 thou below deck" in said
    assert re.search(r"^1 +46\.13 ± .* 8\.916 ± ", shop.out, re.MULTILINE)  # chambers are in cc everywhere


def test_unknown_units_are_refused(shop: Shop) -> None:
    shop.write(SOUND)
    assert shop.run("show", "job.toml", "--units", "\x1b[31mfurlongs") == 2
    assert (shop.out, shop.err) == (
        "",
        '--units: read "<U+001B>[31mfurlongs": unknown units; say metric or imperial\n',
    )


def test_the_budget_adds_to_the_whole(shop: Shop) -> None:
    said = shown(shop, SOUND, "--all")
    assert "Static compression ratio of cylinder 1: 8.916 ± 0.059." in said
    part = shop.out[shop.out.index("What makes the ± of cylinder") : shop.out.index("Cautions")]
    shares = [float(found) for found in re.findall(r"([\d.]+) %  █", part, re.MULTILINE)]
    assert sum(shares) == pytest.approx(100, abs=0.2)
    assert shares[:-1] == sorted(shares[:-1], reverse=True)


# -- text from files is data ----------------------------------------------------------------------------

HARM = "\\u001b[31mred\\u001b[0m \\u202e [bold]x[/] <b>y</b> {0} %s \\u0007"


def test_text_from_the_file_is_never_interpreted(shop: Shop) -> None:
    text = changed(
        ("Bench job", HARM),
        ("burette 50 ml class B", HARM),
        ('"water"', f'"{HARM}"'),
        ("[part.head]", f'[part."{HARM}"]'),
        ('"seats cut"]', f'"{HARM}"]'),
    ).replace(BURETTE, f'instrument = "{HARM}"')
    own = f'\n[instrument."{HARM}"]\nlike = "burette 50 ml"\nnote = "{HARM}"\n'
    own += f'[fluid."{HARM}"]\ndensity = "0.8 +/- 0.01 g/cc"\n'
    said = shown(shop, text + own, "--all")
    assert said.startswith("<U+001B>[31mred<U+001B>[0m <U+202E> [bold]x[/] <b>y</b> {0} %s <U+0007>")
    assert all(line.isprintable() for line in shop.out.splitlines())
    found = data(shop, text + own)
    assert found["job"]["name"] == json.loads(f'"{HARM}"')  # JSON escapes it, and it comes back whole
    assert all(line.isprintable() for line in shop.out.splitlines())
    assert shop.run("check", "job.toml", "--json") == 0
    assert all(line.isprintable() for line in shop.out.splitlines())


def test_long_names_are_cut(shop: Shop) -> None:
    shown(shop, changed(("Bench job", "very long " * 300)))
    assert shop.out.splitlines()[0].endswith("…")
    assert max(map(len, shop.out.splitlines())) <= 100


@pytest.mark.parametrize("environment", [{}, {"NO_COLOR": "1"}, {"FORCE_COLOR": "1"}, {"TERM": "dumb"}])
def test_off_the_terminal_it_is_plain(environment: dict[str, str], tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(SOUND, encoding="utf-8")
    command = [sys.executable, "-m", "ccassist", "show", "job.toml"]
    ran = subprocess.run(command, cwd=tmp_path, env={**os.environ, **environment}, capture_output=True, check=True)
    assert b"\x1b" not in ran.stdout
    assert "Most of the ± of the ratio" in ran.stdout.decode()


def test_a_terminal_without_plus_or_minus_sees_question_marks(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(SOUND, encoding="utf-8")
    command = [sys.executable, "-m", "ccassist", "show", "job.toml"]
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    ran = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, check=True)
    assert b"0.200 ? 0.020 mm below deck" in ran.stdout


# -- JSON -----------------------------------------------------------------------------------------------


def test_json_holds_the_numbers_of_the_survey(shop: Shop) -> None:
    """What the tool itself promises: nothing is lost on the way; the numbers are checked where they are made."""
    found = data(shop, SOUND)
    worked_out = survey(load(shop.folder / "job.toml").job)
    for written, cylinder in zip(found["cylinders"], worked_out.cylinders, strict=True):
        assert written["cylinder"] == cylinder.number
        assert set(written["values"]) == set(cylinder.values)
        for key, value in cylinder.values.items():
            assert written["values"][key]["value"] == value.nominal
            assert written["values"][key]["expanded_uncertainty"] == pytest.approx(value.expanded, rel=1e-12)
    assert found["cylinders"][0]["values"]["bore"] | {"text": "", "line": 0} == {
        "name": "bore",
        "value": pytest.approx(0.0834, rel=1e-12),
        "unit": "meter",
        "standard_uncertainty": pytest.approx(0.01e-3 / 1.959964, rel=1e-6),
        "expanded_uncertainty": pytest.approx(0.01e-3, rel=1e-6),
        "coverage_factor": pytest.approx(1.959964, rel=1e-6),
        "degrees_of_freedom": None,
        "origin": "measured",
        "how": "stated, measured",
        "line": 0,
        "text": "",
        "confidence": 0.95,
        "without_ground": 0.0,
        "guesses": 0,
    }
    assert found["spread"]["chamber_volume"]["value"] == pytest.approx(0.4e-6, rel=1e-9)


def test_json_says_null_where_nothing_is_known(shop: Shop) -> None:
    text = heads_only()
    found = data(shop, text[: text.index("{ start")] + '{ start = "0.10 ml", end = "46.15 ml" },\n]\n')
    chamber = found["cylinders"][0]["values"]["chamber_volume"]
    assert chamber["value"] == pytest.approx(46.05e-6, rel=1e-9)
    unknown = ("standard_uncertainty", "expanded_uncertainty", "coverage_factor")
    assert [chamber[key] for key in unknown] == [None, None, None]
    assert "static_ratio" in found["cylinders"][0]["not_given"]
    assert found["cylinders"][1]["values"].get("chamber_volume") is None
    assert [f["code"] for f in found["findings"]] == ["one-fill", "needs-repeats"]


def test_nothing_is_written(shop: Shop) -> None:
    path = shop.write(SOUND)
    before = (path.read_bytes(), path.stat().st_mtime_ns, sorted(shop.folder.iterdir()))
    shop.run("show", "job.toml", "--all")
    shop.run("check", "job.toml")
    assert (path.read_bytes(), path.stat().st_mtime_ns, sorted(shop.folder.iterdir())) == before
