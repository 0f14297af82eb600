"""What is told of combinations: the answer within one window, what supports it, the same figures as plain data."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from ccassist.analysis.results import sound_survey
from ccassist.cli import plans as command
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.cli.screen import Showing
from ccassist.job.file import parse_job
from ccassist.plan.combine.candidates import aims_of, candidates
from ccassist.plan.combine.search import combine
from ccassist.report.blocks import Report
from ccassist.report.combine import combinations_of, combine_report
from ccassist.values.display import formatter
from tests.plan.test_combine import FAMILY, FAMILY_MORE, text_of, written
from tests.plan.test_combine_more import CAM, LIGHT

NAMES = ("a", "thin as they come, of the second batch, left over from spring", "x" * 60)
JOBS = {
    "864": (text_of(FAMILY, CAM + FAMILY_MORE), (), ()),
    "none left": (text_of(FAMILY, CAM), ("static_ratio=9.5",), ("squish=2.9 to 3 mm",)),
    "one": (text_of({"gasket": {"own": {}}}), (), ()),
    "long names": (
        text_of({k: {n + s: {} for n in NAMES for s in "pq"} for k in ("crank", "rods", "pistons")}, CAM),
        ("displacement=501 cc", "deck_clearance=0.2 mm below"),
        ("squish=1 to 2 mm", "rod_ratio=1.5 to 1.7"),
    ),
}


TWO_DISHES = """format = 1
[job]
name = "Larkrigg twin"
[engine]
cylinders = 2
bore = "83.7 +/- 0.01 mm, measured"
stroke = "79.3 +/- 0.02 mm, measured"
chamber_volume = "43.1 +/- 0.2 cc, measured"
gasket_bore = "85.1 +/- 0.1 mm, measured"
gasket_thickness = "1.1 +/- 0.02 mm, measured"
deck_clearance = "0.2 +/- 0.02 mm below deck, measured"
[wanted]
static_ratio = "8.0 to 8.2"
[choice.pistons.shallow]
crown_volume = "dish 2.0 +/- 0.2 cc, measured"
[choice.pistons.deep]
crown_volume = "dish 12.0 +/- 0.2 cc, measured"
"""


def report_of(name: str, system: str, top: int = 20) -> Report:
    text, to, within = JOBS[name]
    engine, fmt = sound_survey(parse_job(text).job), formatter(system)
    aims = aims_of(engine.wanted, to, within)
    return combine_report(combinations_of(combine(candidates(engine), aims, top=top), fmt), aims, engine, fmt)


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("name", JOBS)
def test_the_answer_fits_a_window_and_nothing_breaks_in_a_narrow_one(name: str, system: str) -> None:
    report = report_of(name, system)
    lines = report_lines(report)
    assert len(lines) < HEIGHT
    assert max(map(len, lines)) < 80
    for width in (60, 80):
        everything = report_lines(report, everything=True, width=width)
        assert max(map(len, everything)) < width
        assert all(not line.rstrip().endswith("±") for line in everything)


def test_the_answer_counts_ranks_and_says_what_to_do() -> None:
    lines = report_lines(report_of("864", "metric"))
    assert lines[0].startswith("864 combinations, ")
    assert [line.split()[0] for line in lines if line.count(" ± ") == 3] == ["1", "2", "3", "4", "5"]
    said = " ".join(lines)
    for words in ("more rows: --all.", "95 % cannot be said", "Cold gaps close", "before parts are bought", "--all"):
        assert words in said, words


def test_rows_outside_what_the_job_wants_are_named_where_another_value_is_asked_for() -> None:
    engine, fmt = sound_survey(parse_job(TWO_DISHES).job), formatter("metric")
    for to, said in ((("static_ratio=9.2",), True), ((), False)):
        aims = aims_of(engine.wanted, to)
        told = combinations_of(combine(candidates(engine), aims), fmt)
        lines = " ".join(report_lines(combine_report(told, aims, engine, fmt)))
        assert ("not as the job wants it, 8.00 to 8.20: row" in lines) is said, lines


def test_all_rows_are_shown_when_asked_for() -> None:
    report = report_of("864", "metric", top=40)
    said = "\n".join(report_lines(report, everything=True))
    assert "more rows" not in said
    assert "\n40 S" in said
    assert "Not looked at here" in said


def test_the_command_prints_tables_and_counts(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = written(tmp_path, None, '[wanted]\nsquish = "1.0 to 1.2 mm"\n')
    asked = command.CombineAsked(to=["static_ratio=9.5"], csv=tmp_path / "out.csv")
    assert command.combine(path, asked, Showing(everything=True)) == 0
    out = capsys.readouterr().out
    assert "2 combinations, 1 refused, 1 left." in out
    assert "squish gap outside what is wanted: 1.00 to 1.20 mm" in out
    assert "0.200 ± 0.020" in out
    assert "below deck" in out
    rows = list(csv.reader(io.StringIO((tmp_path / "out.csv").read_text(encoding="utf-8"))))
    assert rows[1][:2] == ["1", "'=thin"]
    assert "deck clearance, mm (− is above deck)" in rows[0]


def test_weights_in_words_and_columns(tmp_path, capsys) -> None:
    choices = {
        "pistons": {"own": {}, "light": LIGHT},
        "crank": {
            "own": {"crank_weight": "14.000 +/- 0.005 kg, measured"},
            "b": {"stroke": "91.70 mm", "crank_weight": "15.000 +/- 0.005 kg, measured"},
        },
    }
    path = written(tmp_path, choices, piston_weight="452 +/- 1 g, measured")
    asked = command.CombineAsked(csv=tmp_path / "out.csv")
    assert command.combine(path, asked, Showing(everything=True)) == 0
    out = capsys.readouterr().out
    for words in ("weight of a", "piston, each"):
        assert words in out
    assert "42.0 ± 2.2 g lighter" in out
    assert "1000.0 ± 7.1 g heavier" in out  # 5 g of each, in squares (JCGM 100:2008, 5.1.2)
    assert "the same weight" in out
    rows = list(csv.reader(io.StringIO((tmp_path / "out.csv").read_text(encoding="utf-8"))))
    place = rows[0].index("weight of a piston, each: change of weight, g (− is lighter)")
    assert {row[place] for row in rows[1:]} == {"0", "-42"}


def test_a_gap_that_may_be_nothing_at_its_doubt_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0.05 mm with ± 0.06 mm: judged at the smallest gap."""
    choices = {"gasket": {"a": {"gasket_thickness": "1.30 +/- 0.05 mm, measured"}}}
    path = written(tmp_path, choices, deck_clearance="1.25 +/- 0.04 mm proud, measured")
    command.combine(path, command.CombineAsked(), Showing())
    assert "piston and head may touch at this ±" in capsys.readouterr().out


def test_none_left_says_what_removed_most_and_the_nearest(tmp_path, capsys) -> None:
    """0.90 mm of gasket over 0.20 below the deck is 1.10; the engine's own 1.30 makes 1.50."""
    asked = command.CombineAsked(within=["squish=1.2 to 1.4 mm"])
    assert command.combine(written(tmp_path), asked, Showing()) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "What removed most: squish gap outside what is wanted: 1.20 to 1.40 mm (2 of 2)." in out
    assert out.count("squish gap outside what is wanted: 1.20 to 1.40 mm, by 0.10 mm.") == 2
    assert command.combine(written(tmp_path), asked, Showing(as_json=True)) == 1
    data = json.loads(capsys.readouterr().out)
    assert data["rows"] == []
    assert [miss["breaks"][0]["by"] for miss in data["nearest_misses"]] == pytest.approx([1e-4, 1e-4])
    assert {miss["breaks"][0]["reason"] for miss in data["nearest_misses"]} == {"squish"}
