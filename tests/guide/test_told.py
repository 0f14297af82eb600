"""What is said of a reading just made."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from ccassist.guide import told as module
from ccassist.guide.told import told
from ccassist.job.file import load, parse_job
from ccassist.job.write import append_reading

TURBO = load(Path(__file__).parents[2] / "examples" / "turbo-four.toml").job
BARE = "format = 1\n[engine]\ncylinders = 2\n"
WAY = {"instrument": "burette 50 ml class B", "hole": "not filled", "plug": "fitted"}


def fills(*ends: str, **more: str) -> list[str]:
    """What is said after fills of the first chamber."""
    text = BARE
    for end in ends:
        text = append_reading(text, {"step": "chamber", "cylinder": 1, **WAY}, {"start": "0 ml", "end": end, **more})
    return told(parse_job(text).job)


def test_nothing_measured_nothing_said() -> None:
    assert told(parse_job(BARE).job) == []


def test_one_fill_has_no_spread() -> None:
    assert fills("46.1 ml")[0] == "1 fill of cylinder 1: 46.10 cc"


def test_mean_and_spread_by_hand() -> None:
    """46.0, 46.1, 46.3: mean 46.1333, largest less smallest 0.3 (by hand)."""
    assert fills("46.0 ml", "46.1 ml", "46.3 ml")[0] == "3 fills of cylinder 1: mean 46.13 cc, spread 0.30 cc"


def test_repeats_still_needed_before_a_scatter_is_stated() -> None:
    """Four degrees of freedom are asked for: five fills of one chamber have them."""
    assert "needs 4 more repeats" in fills("46.0 ml")[1]
    assert "needs 1 more repeat made" in fills("46.0 ml", "46.1 ml", "46.2 ml", "46.1 ml")[1]
    assert "±" in fills("46.0 ml", "46.1 ml", "46.2 ml", "46.1 ml", "46.0 ml")[1].split(";")[0]


def test_where_every_fill_is_set_aside() -> None:
    assert fills("46.0 ml", set_aside="leak") == ["No fill of cylinder 1 counts yet (1 set aside)"]


def test_sisters_and_ratio_stand_beside_it() -> None:
    job = replace(TURBO, series=TURBO.series[:6])
    lines = told(job)
    assert lines[-1] == "Beside it: cylinder 1 46.13 cc"
    assert any(line.startswith("Static ratio of cylinder 2: ") for line in lines)


def test_of_which_readings_it_is_said() -> None:
    first = TURBO.series[0]
    assert told(TURBO, first.rows)[0].startswith("2 readings of cylinder 1: mean 86.505 mm, spread 0.010 mm")


def test_a_dome_is_said_in_words_and_never_by_a_sign() -> None:
    """50 less π/4 × 9² × 1 = 50 − 63.617 cc (by hand)."""
    text = append_reading(
        BARE,
        {"step": "crown-bench", "cylinder": 1, "ring_bore": "90 mm", "ring_height": "10 mm", "hole": "not filled"},
        {"start": "0 ml", "end": "50 ml"},
    )
    assert any("dome, takes 13.62 cc" in line for line in told(parse_job(text).job))


def test_results_that_cannot_be_worked_out_do_not_end_the_sitting(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(_: object) -> None:
        raise ValueError("no such air")

    monkeypatch.setattr(module, "survey", fails)
    assert told(TURBO) == ["It stands in the file, but the results cannot be worked out: no such air"]
