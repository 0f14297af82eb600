"""What a reading or a statement would make doubtful is asked before it is saved."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.guide.sitting import Sitting
from tests.guide.test_session import SET_UP

FOUR = """\
format = 1
[job]
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 4
"""


@pytest.fixture
def fourth(tmp_path: Path) -> Iterator[Sitting]:
    """Three chambers filled three times each, and the fourth to come."""
    found = Sitting(tmp_path / "heads.toml", FOUR)
    found.type(*SET_UP)
    for middle in ("42.0", "42.1", "41.9"):
        found.type(f"0, {middle}", f"0, {middle}", f"0, {middle}", "")
    assert found.shown.question.words.startswith("Cylinder 4, fill 1")
    yield found
    found.file.close()


def test_it_is_not_saved_before_it_is_confirmed(fourth: Sitting) -> None:
    fourth.type("0, 24.0")
    assert len(fourth.rows) == 9
    assert "two digits may have changed places" in fourth.said
    assert fourth.shown.question.words.startswith("Are you sure?")
    fourth.type("yes")
    assert len(fourth.rows) == 10
    assert fourth.rows[-1]["remark"] == "said to be sure"
    fourth.type("0, 24.1")  # asked once
    assert len(fourth.rows) == 11
    assert "remark" not in fourth.rows[-1]


@pytest.mark.parametrize("no", ["no", "", "n"])
def test_after_no_the_whole_reading_is_asked_again(fourth: Sitting, no: str) -> None:
    fourth.type("0, 24.0", no)
    assert fourth.shown.question.words.startswith("Cylinder 4, fill 1: burette at the start")
    fourth.type("0, 42.0")
    assert fourth.rows[-1]["end"] == "42.0 cc"
    assert "remark" not in fourth.rows[-1]


def test_the_reading_typed_anew_is_an_answer_too(fourth: Sitting) -> None:
    fourth.type("0, 24.0", "0, 42.0")
    assert [row["end"] for row in fourth.rows][9:] == ["42.0 cc"]


def test_left_without_an_answer_it_says_what_was_not_recorded(fourth: Sitting) -> None:
    fourth.type("0, 24.0", "f")
    assert len(fourth.rows) == 9
    assert "Not recorded" in fourth.said
    assert "24.0 cc" in fourth.said


def test_a_fill_of_one_chamber(fourth: Sitting) -> None:
    fourth.type("0, 42.1", "0, 21.4")
    assert fourth.shown.question.words.startswith("Are you sure?")
    assert "21.4 cc for 41.2 cc" in fourth.said


def test_a_figure_said_to_be_the_makers(tmp_path: Path) -> None:
    text = "".join(f'[cylinder.{n}]\nbore = "{v} mm, measured"\n' for n, v in ((1, "71.30"), (2, "71.31")))
    sitting = Sitting(tmp_path / "given.toml", FOUR.replace('"bore, ', '"') + text)
    sitting.type("j bore 3", "bore gauge", "", "", "73.10 mm, maker's figure")
    assert "its bore is 73.10" in sitting.said
    assert "3" not in tomllib.loads(sitting.path.read_text(encoding="utf-8"))["cylinder"]
    sitting.type("yes")
    assert tomllib.loads(sitting.path.read_text(encoding="utf-8"))["cylinder"]["3"]["bore"].startswith("73.10 mm")
    sitting.file.close()
