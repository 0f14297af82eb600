"""A maker's figure typed at the bench is stated with its part; no repeats are asked of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.guide.walk import Status, plan
from ccassist.job.file import load
from tests.guide.sitting import Sitting

TEXT = (
    'format = 1\n[job]\nfor = "pistons"\nleave_out = "bore, chamber, deck, crown, crown-bench, land"\n'
    '[engine]\ncylinders = 2\n[part."copper gasket"]\nkind = "gasket"\n'
)


@pytest.fixture
def gasket(tmp_path: Path) -> Iterator[Sitting]:
    """At the thickness of the gasket, its set-up said."""
    sitting = Sitting(tmp_path / "job.toml", TEXT)
    sitting.type("/j gasket thickness", "", "", "")
    yield sitting
    sitting.file.close()


def test_it_stands_with_its_part_and_is_done(gasket: Sitting) -> None:
    assert "compressed thickness" in gasket.shown.question.words
    gasket.type("1.20 +/- 0.03, maker's figure")
    job = load(gasket.path).job
    given = job.parts["copper gasket"].given["gasket_thickness"]
    assert given.texts == ("1.20 mm +/- 0.03, maker's figure",)
    assert not job.series
    assert '[part."copper gasket"] gasket_thickness' in gasket.said
    assert "compressed thickness" not in gasket.shown.question.words
    (status,) = [t.status for t in plan(job, []) if t.target.step == "gasket" and t.target.place == "thickness"]
    assert status is Status.GIVEN


def test_what_was_read_stays_a_reading(gasket: Sitting) -> None:
    gasket.type("1.20, measured")
    job = load(gasket.path).job
    assert len(job.series) == 1
    assert "gasket_thickness" not in job.parts["copper gasket"].given
    gasket.type("1.20 mm, maker's figure")  # beside readings there is nothing to be stated
    assert "gasket_thickness" not in load(gasket.path).job.parts["copper gasket"].given


def test_an_unusual_one_is_asked_for_again(gasket: Sitting) -> None:
    gasket.type("8 mm, maker's figure")
    assert gasket.shown.question.words.startswith("Are you sure?")
    gasket.type("yes")
    assert "gasket_thickness" in load(gasket.path).job.parts["copper gasket"].given


def test_one_that_cannot_be_is_refused_and_nothing_is_written(gasket: Sitting) -> None:
    before = gasket.path.read_text(encoding="utf-8")
    gasket.type("1.2 cc, maker's figure")
    assert "unit of volume" in gasket.said
    assert gasket.path.read_text(encoding="utf-8") == before


def test_it_is_taken_back_like_anything_else(gasket: Sitting) -> None:
    before = gasket.path.read_text(encoding="utf-8")
    gasket.type("1.20 mm, maker's figure", "/j wanted squish", "u")
    assert "Taken back: gasket_thickness, stated" in gasket.said
    assert "compressed thickness" in gasket.shown.question.words
    assert gasket.path.read_text(encoding="utf-8") == before
    gasket.type("j wanted squish", "1.0 mm", "/u")
    assert "Squish gap" in gasket.shown.question.words
    assert gasket.path.read_text(encoding="utf-8") == before
