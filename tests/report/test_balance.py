"""What is told of a balance: what to open within one window, what supports it when asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest

import ccassist.plan.balance as plan
from ccassist.analysis.results import Survey
from ccassist.analysis.results import survey as survey_job
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.cli.plans import balance as command
from ccassist.cli.screen import Showing
from ccassist.job.file import parse_job
from ccassist.report.balance import balance_report
from ccassist.report.blocks import DotPlot, Report
from ccassist.values.display import Formatter, formatter
from tests.plan.test_assign_parts import DECKS, swap, text_of

CHAMBERS = """format = 1
[engine]
cylinders = {count}
[wanted]
chamber_volume = "44 cc"
"""


def chambers(count: int, step: float, origin: str) -> str:
    """So many chambers, each pair of them larger than the one before."""
    rows = (
        f'[cylinder.{n}]\nchamber_volume = "{46 + step * (n // 2):.2f} +/- 0.2 cc, {origin}"\n'
        for n in range(1, count + 1)
    )
    return CHAMBERS.format(count=count) + "".join(rows)


JOBS = {
    "three with parts": text_of(),
    "sixteen": chambers(16, 0.6, "measured"),
    "sixteen alike": chambers(16, 0.0, "measured"),
    "assumed": chambers(8, 0.6, "assumed"),
}


def report_of(engine: Survey, fmt: Formatter) -> Report:
    """What is told of making an engine's cylinders alike."""
    return balance_report(plan.balance(engine), engine, fmt)


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("name", JOBS)
def test_the_answer_fits_a_window_and_nothing_breaks_in_a_narrow_one(name: str, system: str) -> None:
    report = report_of(survey_job(parse_job(JOBS[name]).job), formatter(system))
    lines = report_lines(report)
    assert len(lines) < HEIGHT
    assert "largest" in lines[0]
    for width in (60, 80):
        for said in (report_lines(report, width=width), report_lines(report, everything=True, width=width)):
            assert max(map(len, said)) < width
            assert not any(line.endswith("±") for line in said)


def test_cylinders_of_which_the_same_is_said_share_a_row() -> None:
    """Of sixteen chambers all alike one is left alone and fifteen share a row."""
    report = report_of(survey_job(parse_job(JOBS["sixteen alike"]).job), formatter("metric"))
    (row,) = report.answer[1].rows  # type: ignore[union-attr]
    assert row[0] == "2 to 16"
    assert row[2] == "leave: none shown"
    (plot,) = (block for block in report.support if isinstance(block, DotPlot))
    assert [one.name for one in plot.dots] == ["cylinders 1 to 16"]


def test_the_moves_in_words(tmp_path, capsys) -> None:
    path = tmp_path / "job.toml"
    path.write_text(text_of(), encoding="utf-8")
    assert command(path, Showing(everything=True)) == 0
    out = " ".join(capsys.readouterr().out.split())
    found = swap()
    for move in found.moves:
        said = f"piston {move.piston} with rod {move.rod} to hole {move.hole}"
        assert (said in out) is not move.stays
    assert "Proved best: every other way of placing them was excluded." in out
    assert "Largest less smallest clearance volume: " in out
    assert "picked after looking at 3, so judged by the studentized range" in out


def test_a_search_given_up_says_so_in_words(tmp_path, capsys, monkeypatch) -> None:
    given_up = replace(swap(), proved=False, floor=0.0123)
    monkeypatch.setattr(plan, "best_swap", lambda cylinders: given_up)
    path = tmp_path / "job.toml"
    path.write_text(text_of(), encoding="utf-8")
    command(path, Showing(everything=True))
    out = " ".join(capsys.readouterr().out.split())
    assert "The best found; no way of placing them can bring it under 0.01." in out
    assert "Proved best" not in out


def test_what_is_best_already_is_said(tmp_path, capsys) -> None:
    """Chambers and crowns that add up to the same everywhere."""
    text = text_of(crown_volume=(9.0, 8.2, 8.7), compression_height=None, rod_length=None)
    for deck in DECKS:
        text = text.replace(f'"{deck} +/- 0.01 mm below', '"0.20 +/- 0.01 mm below')
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    command(path, Showing(everything=True))
    out = " ".join(capsys.readouterr().out.split())
    assert "Swapping pistons does not bring the cylinders closer (static compression ratio:" in out
    assert "each hole keeps its rod" in out
