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

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
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


def test_every_cylinder_first_then_the_spread(shop: Shop) -> None:
    said = shown(shop, SOUND)
    lines = shop.out.splitlines()
    assert lines[0] == "Bench job"
    assert "2 cylinders, bore 83.40 mm, stroke 91.70 mm, undersquare (0.91), displacement 1001.89 ± 0.32 cc." in said
    assert "Volumes in cc; a minus takes space." in lines
    head = next(line for line in lines if "chamber" in line and "ratio" in line)
    assert head.split() == ["cyl", "chamber", "gasket", "deck", "crown", "sum", "clearance", "ratio"]
    assert said.index("Spread of the chamber volume") > said.index("ratio")
    # burette: (46.05 + 46.10 + 46.25) / 3 and (46.45 + 46.60 + 46.55) / 3, by hand
    assert re.search(r"^ *1 +46\.133 +7\.360 +1\.093 +8\.700 ", shop.out, re.MULTILINE)
    assert re.search(r"^ *2 +46\.533 +7\.360 +1\.093 +8\.700 ", shop.out, re.MULTILINE)
    assert "0.200 ± 0.020 mm below deck" in said
    assert said.endswith("see the cautions on the worksheet.")


def test_heads_without_a_bore_say_what_is_not_given(shop: Shop) -> None:
    said = shown(shop, heads_only())
    assert "cyl chamber 1 46.13 ± " in said
    assert "Spread of the chamber volume: 0.40 ± " in said
    assert re.search(r"Not worked out: swept volume, .*static compression ratio.* Not given: .*bore", said)
    assert "nan" not in said.lower()


def test_a_job_for_heads_alone_is_not_told_that_it_has_no_ratio(shop: Shop) -> None:
    said = shown(shop, heads_only().replace("[job]", '[job]\nfor = "heads"', 1))
    assert "cyl chamber 1 46.13 ± " in said
    assert "Not worked out" not in said


def test_a_job_for_heads_that_wants_a_ratio_is_told_what_it_lacks(shop: Shop) -> None:
    wanted = '\n[wanted]\nstatic_ratio = "9.5"\n'
    said = shown(shop, heads_only(wanted).replace("[job]", '[job]\nfor = "heads"', 1))
    assert re.search(r"Not worked out: .*static compression ratio.* Not given: .*bore", said)


def test_what_one_cylinder_lacks_is_said_for_it_alone(shop: Shop) -> None:
    text = SOUND[: SOUND.rindex("[[series]]")]
    said = shown(shop, text)
    assert re.search(r"^ *2 +not given ", shop.out, re.MULTILINE)
    lacks = "mean piston speed and rod ratio. Not given: engine speed and rod length."
    assert f"Not worked out for cylinder 1: {lacks}" in said
    assert "Not worked out for cylinder 2: clearance volume, static compression ratio, mean piston speed" in said
    assert "Not given: chamber volume, engine speed and rod length." in said


def test_a_proud_piston_is_said_in_words_and_takes_space(shop: Shop) -> None:
    said = shown(shop, changed(("0.20 +/- 0.02 mm below deck", "0.20 +/- 0.02 mm proud")))
    assert "0.200 ± 0.020 mm proud of the deck" in said
    assert re.search(r"^ *1 +46\.133 +7\.360 +−1\.093 ", shop.out, re.MULTILINE)


def test_a_dome_takes_space(shop: Shop) -> None:
    shown(shop, changed(("dish 8.7", "dome 8.7")))
    assert re.search(r"^ *1 .* −8\.700 ", shop.out, re.MULTILINE)


def test_inside_outside_and_cannot_tell(shop: Shop) -> None:
    """By the whole interval: see tests of the decision rule; here only that each word reaches the screen."""
    for band, said in (
        ("at least 40 cc", "Wanted chamber volume at least 40 cc: cylinders inside: 1, 2."),
        ("at most 40 cc", "Wanted chamber volume at most 40 cc: cylinders outside: 1, 2."),
        ("at least 46.13 cc", "cannot tell at this ±: 1"),
    ):
        assert said in shown(shop, SOUND + f'\n[wanted]\nchamber_volume = "{band}"\n')


def test_two_fills_need_repeats_and_then_a_repeatability_gives_the_plus_or_minus(shop: Shop) -> None:
    block = (
        'readings = [\n    { start = "0.10 ml", end = "46.15 ml" },\n    { start = "0.15 ml", end = "46.25 ml" },\n]\n'
    )
    text = SOUND[: SOUND.index("readings = [")] + block
    said = shown(shop, text)
    assert "± ?" in said
    assert (
        "note job.toml, cylinder 1: Head chamber by fluid: the scatter is not known yet, so no ± is stated; repeat each"
        " reading (three fills of each chamber do), or declare a repeatability for the instrument" in said
    )
    own = '\n[instrument."my burette"]\nlike = "burette 50 ml class B"\nrepeatability = "0.05 ml"\n'
    said = shown(shop, text.replace(BURETTE, 'instrument = "my burette"') + own)
    assert "± ?" not in said
    assert re.search(r"^ *1 +46\.075 .* 63\.23 ± 0\.\d\d ", shop.out, re.MULTILINE)
    assert "scatter" not in said


def test_counted_and_not_counted(shop: Shop) -> None:
    land = 'land_diameter = "82.70 +/- 0.02 mm, measured"\nland_height = "7.0 +/- 0.1 mm, measured"\n'
    with_land = changed(("[counted]", land + "\n[counted]"))
    assert "crevice" not in shown(shop, with_land)
    assert "crevice" in shown(shop, with_land.replace('"not counted"', '"counted"'))
    said = shown(shop, with_land.replace('[counted]\ncrevice = "not counted"\n', ""))
    assert "LOOK job.toml, counted: it is not said whether the crevice is counted: taken as counted" in said


def test_metric_and_imperial(shop: Shop) -> None:
    said = shown(shop, SOUND, "--units", "imperial")
    assert "bore 3.2835 in, stroke 3.6102 in" in said
    assert "displacement 61.139" in said
    assert "7.87 ± 0.79 thou below deck" in said
    assert re.search(r"^ *1 +46\.133 +7\.360 ", shop.out, re.MULTILINE)  # chambers are in cc everywhere
    ratio = re.search(r"^ *1 .* (\d\.\d+ ± \d\.\d+)$", shop.out, re.MULTILINE)
    shown(shop, SOUND)
    same = re.search(r"^ *1 .* (\d\.\d+ ± \d\.\d+)$", shop.out, re.MULTILINE)
    assert ratio
    assert same
    assert ratio[1] == same[1]


def test_unknown_units_are_refused(shop: Shop) -> None:
    shop.write(SOUND)
    assert shop.run("show", "job.toml", "--units", "\x1b[31mfurlongs") == 2
    assert (shop.out, shop.err) == (
        "",
        '--units: read "<U+001B>[31mfurlongs": unknown units; say metric or imperial\n',
    )


def test_the_budget_adds_to_the_whole(shop: Shop) -> None:
    said = shown(shop, SOUND, "--budget")
    assert "Cylinder 1: what makes the ± of 8.916 ± 0.059" in said
    part = shop.out[shop.out.index("Cylinder 1:") : shop.out.index("Cylinder 2:")]
    shares = [int(found) for found in re.findall(r"^ +(\d+) %", part, re.MULTILINE)]
    assert 97 <= sum(shares) <= 103  # rounded to whole per cent
    assert shares == sorted(shares, reverse=True)


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
    said = shown(shop, text + own, "--budget")
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
    assert "± holds the true value" in ran.stdout.decode()


def test_a_terminal_without_plus_or_minus_sees_question_marks(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(SOUND, encoding="utf-8")
    command = [sys.executable, "-m", "ccassist", "show", "job.toml"]
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    ran = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, check=True)
    assert b"0.200 ? 0.020 mm below deck" in ran.stdout


# -- JSON -----------------------------------------------------------------------------------------------


def test_json_holds_the_numbers_of_the_survey(shop: Shop) -> None:
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


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.name)
def test_examples_are_shown_in_both_systems(path: Path, shop: Shop) -> None:
    assert EXAMPLES
    for system in ("metric", "imperial"):
        shop.write(path.read_bytes())
        assert shop.run("show", "job.toml", "--units", system) == 0
        assert "ratio" in shop.out
        assert "nan" not in shop.out
        assert data(shop, path.read_text(encoding="utf-8"), "--units", system)["cylinders"]


def test_nothing_is_written(shop: Shop) -> None:
    path = shop.write(SOUND)
    before = (path.read_bytes(), path.stat().st_mtime_ns, sorted(shop.folder.iterdir()))
    shop.run("show", "job.toml", "--budget")
    shop.run("check", "job.toml")
    assert (path.read_bytes(), path.stat().st_mtime_ns, sorted(shop.folder.iterdir())) == before


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_line_is_wider_than_a_terminal(path: Path, units: str, shop: Shop) -> None:
    assert shop.run("show", str(path), "--units", units) == 0
    assert max(map(len, shop.out.splitlines())) <= 80
