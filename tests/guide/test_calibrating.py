"""A calibration in the walk: offered before the first fill, optional, and gone on with another day."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.guide.walk import improvised
from ccassist.job.file import load, parse_job
from tests.guide.sitting import Sitting

HEADS = """\
format = 1
[job]
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 2
[instrument."oil squirt"]
like = "unmarked bottle"
[instrument."old micrometer"]
like = "micrometer"
"""
DAY = datetime.datetime(2026, 11, 3, 12, 0)


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    """Two chambers to be filled by a syringe that is not calibrated."""
    path = tmp_path / "heads.toml"
    path.write_text(HEADS, encoding="utf-8")
    found = Sitting(path, None)
    yield found
    found.file.close()


# method (weighed), scale; after the first step fluid (water by Enter), temperature, when again
SET_UP, REST = ["1", "scale 0.1 g"], ["", "20", "4"]


def steps(*pairs: tuple[str, str]) -> list[str]:
    """Scale at the start not said, scale at the end, a tared cup, and the mass delivered."""
    return [line for to, after in pairs for line in ("", to, "0 g", after)]


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        ("syringe 60 ml", True),
        ("unmarked bottle", True),
        ("oil squirt", True),
        ("burette 50 ml class B", False),
        ("pipette 50 ml class B", False),
        ("old micrometer", False),
        ("scale 0.1 g", False),
        ("no such thing", False),
    ],
)
def test_only_what_is_improvised_is_offered_a_calibration(name: str, offered: bool) -> None:
    assert improvised(name, parse_job(HEADS).job) is offered


def test_it_is_spoken_of_once_after_the_first_fill(sitting: Sitting) -> None:
    sitting.type("1", "syringe 60 ml", "0", "46")
    assert "syringe 60 ml is not calibrated: /j calibrate" in sitting.said
    assert sitting.shown.question.words.startswith("Which fluid")
    sitting.type("water", "20", "1", "1", "", "", "0", "46")
    assert "not calibrated" not in sitting.said


def test_a_burette_is_not_offered_any(sitting: Sitting) -> None:
    sitting.type("1", "burette 50 ml class B", "0", "46")
    assert "not calibrated" not in sitting.said


def test_calibrated_first_and_back_to_the_fill(sitting: Sitting) -> None:
    """A syringe that gives 0.98 of what it reads, in water of 0.9982 g/ml, weighed in air (by hand 0.9972 g a ml)."""
    shown = sitting.type("1", "syringe 60 ml", "j calibrate")
    assert shown.card is not None
    assert (shown.card.title, shown.card.place) == ("Calibration of a burette or syringe", "syringe 60 ml")
    sitting.type(*SET_UP)
    assert sitting.shown.question.words == "Syringe 60 ml, step 1: scale at the start, if it was not nought"
    sitting.type(*steps(("10", "9.8")), *REST)
    sitting.type(*steps(("20", "19.5"), ("30", "29.3"), ("40", "39.1"), ("50", "48.9"), ("55", "53.7")))
    assert "6 steps of syringe 60 ml: true volume = 0.9" in sitting.said
    assert "that count: 6, asked for: 6. Enter goes on." in sitting.said
    assert sitting.shown.question.empty == "go on; or take one more, - for none"
    shown = sitting.type("")
    assert shown.card is not None
    assert shown.card.place == "cylinder 1 of 2"
    assert shown.question.words.startswith("Cylinder 1, fill 1")
    (series,) = load(sitting.path).job.series
    assert (series.step, series.instrument, series.fluid) == ("calibrate", "syringe 60 ml", "water")
    assert series.choices == {"scale": "scale 0.1 g", "valid_for": "1 year"}
    sitting.type("0", "46")
    assert load(sitting.path).job.series[-1].step == "chamber"


def test_broken_off_it_is_gone_on_with_another_day(sitting: Sitting) -> None:
    sitting.type("1", "syringe 60 ml", "j calibrate", *SET_UP, *steps(("10", "9.8")), *REST)
    sitting.type(*steps(("20", "19.5")), "f")
    assert "Left to do: calibrate syringe 60 ml; chamber 1, 2." in sitting.said
    sitting.file.close()
    again = Sitting(sitting.path, None, now=DAY + datetime.timedelta(days=1))
    assert again.shown.question.words.startswith("Syringe 60 ml, step 3")
    again.type(*steps(("30", "29.3")))
    (series,) = load(sitting.path).job.series
    assert (series.date, len(series.rows)) == ("2026-11-03", 3)
    again.file.close()


def test_left_out_goes_back_to_the_fill(sitting: Sitting) -> None:
    shown = sitting.type("1", "syringe 60 ml", "j calibrate", "x")
    assert load(sitting.path).job.about["leave_out"].endswith(", calibrate syringe 60 ml")
    assert shown.question.words.startswith("Cylinder 1, fill 1")


def test_there_by_jumping(sitting: Sitting) -> None:
    assert "no burette or syringe to be calibrated is named yet" in "\n".join(sitting.type("j calibrate").lines)
    shown = sitting.type("j calibrate syringe 20 ml")
    assert shown.card is not None
    assert shown.card.place == "syringe 20 ml"


def test_the_rod_or_bore_has_a_material_and_weighed_water_has_none(sitting: Sitting) -> None:
    sitting.type("1", "syringe 60 ml", "j calibrate", "2", "micrometer", "", "10", "20", "30", "", "20", "")
    assert sitting.shown.question.words == "What is the rod or bore made of?"


def test_it_is_not_measured_against_another_burette(sitting: Sitting) -> None:
    sitting.type("1", "syringe 60 ml", "j calibrate", "1", "")
    sitting.type("syringe")
    assert "No such instrument" in sitting.said
    assert all("scale" in option for option in sitting.type("scale").question.options)


def test_a_row_is_taken_where_only_its_first_value_was_left_out(sitting: Sitting) -> None:
    """Enter at what need not be said begins nothing that stands in the way of a whole row."""
    sitting.type("1", "syringe 60 ml", "j calibrate", *SET_UP, *steps(("10", "9.8")), *REST, "", "0 20 0 19.6")
    assert (sitting.rows[-1]["to"], sitting.rows[-1]["after"]) == ("20 cc", "19.6 g")
