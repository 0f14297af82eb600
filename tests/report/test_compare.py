"""What is told of a comparison: on screen within one window, as plain data in SI."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from ccassist.analysis.results import survey
from ccassist.cli.app import app
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import parse_job
from ccassist.report.compare import compared, comparison_report
from ccassist.values.display import formatter
from ccassist.values.findings import InputError
from tests.test_compare import job_text


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize(
    "asked", [{}, {"every": True}, {"parts": ("right head", "left head")}, {"states": ("as received", "seats cut")}]
)
def test_it_fits_a_window_and_nothing_breaks(asked: dict[str, Any], width: int, system: str) -> None:
    engine, fmt = survey(parse_job(job_text()).job), formatter(system)
    lines = report_lines(comparison_report(compared(engine, **asked), engine, fmt), everything=True, width=width)
    assert len(lines) < HEIGHT
    assert max(map(len, lines)) < width
    assert not any(line.endswith("±") for line in lines)


def run(tmp_path: Path, capsys: pytest.CaptureFixture[str], *options: str, units: str = "metric") -> str:
    """What the command prints; its exit code must be 0."""
    file = tmp_path / "heads.toml"
    file.write_text(job_text(units), encoding="utf-8")
    with pytest.raises(SystemExit, match=r"^0$"):
        app(["compare", str(file), *options])
    return capsys.readouterr().out


def test_the_command_picks_the_largest_by_itself(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = run(tmp_path, capsys)
    assert "Chamber volume" in out
    assert "cylinder 4 less cylinder" in out
    assert "studentized range" in out


def test_the_command_compares_two_heads(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = run(tmp_path, capsys, "--parts", "right head,left head")
    assert "right head less left head" in out
    assert "Student's t" in out


def test_the_command_prints_a_table_of_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = run(tmp_path, capsys, "--all")
    assert out.count("cylinder 4") == 3
    assert "not shown" in out


def test_the_command_shows_what_work_did(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = run(tmp_path, capsys, "--states", "as received,seats cut", "--part", "left head")
    assert re.search("cylinder 3, seats cut +as received", out)
    assert "3 rows looked at together" in " ".join(out.split())


def test_the_command_gives_json_in_si(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(run(tmp_path, capsys, "--cylinders", "4,1", "--json", "--of", "chamber volume", units="imperial"))
    assert (data["term"], data["unit"], data["picked_from"]) == ("chamber_volume", "meter ** 3", None)
    one = data["comparisons"][0]
    assert one["difference"] == pytest.approx(0.50e-6)
    assert one["verdict"] == "differs"
    assert one["expanded_uncertainty"] > one["standard_uncertainty"] > 0


@pytest.mark.parametrize(
    ("options", "complaint"),
    [
        (("--all", "--largest"), "two comparisons at once"),
        (("--part", "left head"), "--part goes with --states"),
        (("--cylinders", "1"), "two names with a comma"),
        (("--cylinders", "1,b"), "a whole number"),
        (("--of", "chambre volume"), 'did you mean "chamber_volume"'),
        (("--states", "as received,seats cut", "--cylinders", "1", "--part", "left head"), "not both"),
    ],
)
def test_slips_of_the_command_line_are_said(tmp_path: Path, options: tuple[str, ...], complaint: str) -> None:
    file = tmp_path / "heads.toml"
    file.write_text(job_text(), encoding="utf-8")
    with pytest.raises(InputError, match=complaint):
        app(["compare", str(file), *options])
