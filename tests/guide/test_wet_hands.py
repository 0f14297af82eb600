"""Few keys, little typing: several values on one line, one thing of a set-up changed, names listed."""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.cli.guide_keys import KEYS as ACTIONS
from tests.guide.sitting import HEADS, Sitting
from tests.guide.test_session import SYRINGE

BORES = """\
format = 1
[job]
leave_out = "stack, chamber, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 1
"""


class TestOneLine:
    """Values and readings on one line, each saved as if typed by itself."""

    def test_the_values_of_one_reading_then_of_the_next(self, syringe: Sitting) -> None:
        shown = syringe.type("1, 60, 2.5, 1, 60, 2.7, 1")
        assert [row["rest"] for row in syringe.rows] == ["2.5 cc", "2.7 cc"]
        assert [effect.what for effect in shown.effects] == ["recorded", "recorded"]
        assert "The rest of the line was not taken: 1" in syringe.said
        assert shown.question.words == "Cylinder 1, fill 3: number of full syringes"

    def test_repeats_of_a_length(self, tmp_path: Path) -> None:
        sitting = Sitting(tmp_path / "bores.toml", BORES)
        sitting.type("bore gauge", "", "", "83.41, 83.42 mm, 3.2843 in")
        assert [row["bore"] for row in sitting.rows] == ["83.41 mm", "83.42 mm", "3.2843 in"]
        sitting.file.close()

    def test_what_stands_behind_a_slip_is_not_taken(self, syringe: Sitting) -> None:
        syringe.type("1, 60 lb, 2.5")
        assert syringe.rows == []
        assert "Not taken, all of it is asked again: 1, 60 lb, 2.5" in syringe.said

    def test_an_unusual_value_is_asked_about_first(self, syringe: Sitting) -> None:
        syringe.type("1, 60, 2.5, 36, 60, 2.5")
        assert "are you sure" in syringe.shown.question.words.lower()
        assert "Read: full 36, each 60 cc, rest 2.5 cc" in syringe.said
        assert len(syringe.rows) == 1
        syringe.type("yes", "yes")  # it does not fit the first fill either
        assert syringe.rows[1]["full"] == "36"

    def test_a_comma_within_a_number_or_before_a_word_is_left_alone(self, syringe: Sitting) -> None:
        syringe.type("1", "60, measured")
        assert "not taken" not in syringe.said


def test_a_full_syringe_is_the_one_before(syringe: Sitting) -> None:
    syringe.type("1, 60, 2.5", "1")
    assert syringe.shown.question.empty == "60 cc, as before"
    syringe.type("", "2.6")
    assert syringe.rows[-1] | {"time": ""} == {"full": "1", "each": "60 cc", "rest": "2.6 cc", "time": ""}


class TestBeforeAndAfter:
    """The same chambers in another state."""

    def test_one_thing_of_the_set_up_is_said_anew(self, syringe: Sitting) -> None:
        assert syringe.type("c state").question.words.startswith("State of the head")
        shown = syringe.type("seats cut")
        assert shown.question.words.startswith("Cylinder 1, fill 1")
        assert "syringe 60 ml" in " ".join(syringe.type("h").lines)

    def test_readings_of_another_state_are_counted_anew(self, syringe: Sitting) -> None:
        syringe.type("1, 60, 2.5, 1, 60, 2.7, 1, 60, 2.6")
        shown = syringe.type("c state", "seats cut", "yes")
        assert "start anew" in syringe.said
        assert "as received" in syringe.said
        assert shown.question.words.startswith("Cylinder 1, fill 1")
        assert "go on" not in shown.question.empty
        syringe.type("1, 60, 4.1")
        assert "1 of 3 asked for here." in syringe.said
        syringe.type("u")
        assert len(syringe.rows) == 3
        assert syringe.shown.question.words.startswith("Cylinder 1, fill 1")

    def test_the_next_chamber_is_asked_for_in_the_new_state(self, syringe: Sitting) -> None:
        fills = "1, 60, 2.5, 1, 60, 2.7, 1, 60, 2.6"
        syringe.type(fills, "", fills, "j chamber 1", "c state", "seats cut", "yes", fills, "")
        assert syringe.shown.question.words.startswith("Cylinder 2, fill 1")
        syringe.type(fills)
        assert [row["rest"] for row in syringe.rows].count("2.6 cc") == 4

    def test_a_word_that_is_no_part_of_the_set_up(self, syringe: Sitting) -> None:
        syringe.type("c colour")
        assert "there is: method, instrument" in syringe.said
        assert syringe.shown.question.words.startswith("Cylinder 1, fill 1")

    def test_the_end_says_what_comes_after_the_work(self, tmp_path: Path) -> None:
        text = HEADS.replace("leave_out", 'for = "heads"\nleave_out')
        sitting = Sitting(tmp_path / "heads.toml", text)
        sitting.type(*SYRINGE, "1, 60, 2.5", "s", "s", "")
        assert "After the work on the head, measure again: j chamber 1, then c state" in sitting.said
        sitting.file.close()


class TestNames:
    """Instruments and fluids that nobody knows by heart."""

    def test_a_question_mark_lists_what_is_known(self, tmp_path: Path) -> None:
        sitting = Sitting(tmp_path / "heads.toml")
        sitting.type("1")
        assert "such as: syringe 60 ml" in sitting.shown.question.words
        sitting.type("?")
        assert "measuring cylinder …" in sitting.said
        assert "syringe …" in sitting.said
        assert "class A" not in sitting.said
        sitting.type("/b", "3")
        assert "such as: kitchen scale 1 g" in sitting.shown.question.words
        sitting.type("?")
        assert "kitchen scale 5 g, kitchen scale 1 g" in sitting.said
        sitting.file.close()

    def test_a_calibration_put_off_can_be_jumped_to(self, syringe: Sitting) -> None:
        card = syringe.type("j calibrate").card
        assert card is not None
        assert card.title.startswith("Calibration")
        assert syringe.rows == []


@pytest.mark.parametrize("word", ["k", "?", "help", "HELP"])
def test_the_keys_are_listed_anywhere(syringe: Sitting, word: str) -> None:
    asked = syringe.shown.question
    lines = syringe.type(word).lines
    assert len([line for key in ACTIONS for line in lines if line.startswith(f"{key} ")]) >= len(ACTIONS)
    assert syringe.shown.question == asked


def test_nothing_is_skipped_where_nothing_is_asked(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "heads.toml")
    sitting.type(*["s"] * 30, "x")
    assert "Nothing is being measured now" in sitting.said
    assert "leave_out" not in sitting.said
    sitting.file.close()


def test_every_card_says_how_far_the_job_has_come(syringe: Sitting) -> None:
    syringe.type("1, 60, 2.5, 1, 60, 2.7, 1, 60, 2.6")
    card = syringe.type("").card
    assert card is not None
    assert card.progress.startswith("Bench: 1 of 2 done or stated, 1 to do")
