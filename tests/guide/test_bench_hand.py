"""A bench hand: slips, numbers that mean the same everywhere, what is asked first, figures that are given."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.guide.walk import Status, plan
from ccassist.job.file import load
from tests.guide.sitting import HEADS, Sitting
from tests.guide.test_session import SET_UP

BURETTE = ["c", "1", "burette 50 ml class B", "water", "20", "fitted", "1", "", "", "as received", "Ida"]
GOOD = "1, 60, 2.5, 1, 60, 2.7, 1, 60, 2.6"


class TestNumbers:
    """A reading has one number: the guide's, that of a (aside), and that of what is said against it."""

    def test_what_is_set_aside_keeps_its_number(self, syringe: Sitting) -> None:
        syringe.type("1, 60, 2.5, 1, 60, 60", "yes", "a 2", "counted a refill twice", "1, 60, 2.6, 1, 60, 9.5")
        assert "fill 4 is " in syringe.said
        syringe.type("yes")
        syringe.type("a 4", "misread")
        assert [row.get("set_aside") for row in syringe.rows] == [None, "counted a refill twice", None, "misread"]

    @pytest.mark.parametrize("typed", ["a ?", "a 9"])
    def test_the_readings_are_listed_by_number(self, syringe: Sitting, typed: str) -> None:
        syringe.type("1, 60, 2.5, 1, 60, 60", "yes", "a 2", "counted twice", typed)
        assert "  1  full 1, each 60 cc, rest 2.5 cc" in syringe.said
        assert "  2  full 1, each 60 cc, rest 60 cc (set aside: counted twice)" in syringe.said

    def test_a_remark_says_on_which_reading(self, syringe: Sitting) -> None:
        syringe.type("1, 60, 2.5, 1, 60, 2.6", "r plate slipped")
        assert "Remark on reading 2: plate slipped" in syringe.said


class TestUnit:
    """Bare numbers in another unit than the one shown."""

    def test_it_holds_until_it_is_changed_again(self, syringe: Sitting) -> None:
        shown = syringe.type("1", "c unit in3")
        assert shown.question.unit == "in3"
        syringe.type("3.66", "0.15", "1, 60 ml, 0.15", "c units ml", "1, 60, 2.5")
        rests = [(row["each"], row["rest"]) for row in syringe.rows]
        assert rests == [("3.66 in3", "0.15 in3"), ("60 ml", "0.15 in3"), ("60 ml", "2.5 ml")]

    def test_the_usual_range_is_in_it(self, syringe: Sitting) -> None:
        syringe.type("1", "c unit in3")
        assert syringe.shown.question.usual.endswith(" in3")

    def test_a_reading_beyond_the_scale_is_refused_at_once(self, tmp_path: Path) -> None:
        sitting = Sitting(tmp_path / "heads.toml")
        sitting.type(*SET_UP)
        assert sitting.shown.question.usual == "0 to 50 cc"
        for typed in ("51.5", "0.2 51.5"):
            sitting.type(typed)
            assert 'the scale of the instrument "burette 50 ml class B" ends at 50 cc' in sitting.said
            assert (sitting.rows, sitting.shown.question.begun) == ([], "")
        sitting.file.close()

    def test_it_is_asked_for_and_a_wrong_one_is_named(self, syringe: Sitting) -> None:
        assert "cc, ml, l, mm3, in3" in syringe.type("c unit").question.words
        syringe.type("furlong")
        assert 'No reading here is in "furlong"; units: ' in syringe.said
        syringe.type("1, 60, 2.5")
        assert syringe.rows[-1]["rest"] == "2.5 cc"


def test_what_a_full_syringe_holds_is_shown_as_such(syringe: Sitting) -> None:
    assert syringe.type("1").question.example == "60 cc"
    assert syringe.type("60").question.example == "2.5 cc"


class TestOneLine:
    """Several values typed at once."""

    def test_a_missing_space_is_told(self, syringe: Sitting) -> None:
        syringe.type("1,60,2.5")
        assert syringe.rows == []
        assert "a comma and a space, or a tab between" in syringe.said

    @pytest.mark.parametrize("typed", ["1 60 2.5", "1\t60\t2.5", "1;60;2.5", "1, 60, 2.5", "1 60 2,5"])
    def test_what_may_stand_between(self, syringe: Sitting, typed: str) -> None:
        syringe.type(typed)
        (row,) = syringe.rows
        assert [str(row[name]).replace(",", ".") for name in ("full", "each", "rest")] == ["1", "60 cc", "2.5 cc"]

    def test_a_pasted_table_and_a_pasted_column(self, syringe: Sitting) -> None:
        syringe.type("1\t60\t2.5\n1\t60\t2.6")
        assert [row["rest"] for row in syringe.rows] == ["2.5 cc", "2.6 cc"]
        syringe.type("1\n2.7\n1\n2.8")
        assert [row["rest"] for row in syringe.rows[2:]] == ["2.7 cc", "2.8 cc"]

    def test_what_follows_a_row_that_is_refused_is_said(self, syringe: Sitting) -> None:
        syringe.type("1\t60\t2.5\n1\t6o\t2.6\n1\t60\t2.7")
        assert len(syringe.rows) == 1
        assert "what stands before it was not: 1, 60, 2.7" in syringe.said

    def test_what_they_say_is_said_once_after_the_last(self, syringe: Sitting) -> None:
        lines = syringe.type(GOOD).lines
        assert [line.partition(":")[0] for line in lines if " of cylinder 1: " in line] == ["3 fills of cylinder 1"]
        assert "1 of 3 asked for here." not in lines

    def test_a_slip_on_the_line_still_leaves_what_was_recorded_told(self, syringe: Sitting) -> None:
        syringe.type("1, 60, 2.5, 1, 60 lb, 2.6")
        assert "1 fill of cylinder 1: 62.50 cc" in syringe.said
        assert syringe.shown.lines[-1] == "The rest of the line was not taken: 1, 60 lb, 2.6"


class TestTold:
    """What is said beside a reading."""

    def test_sisters_are_those_in_the_same_state(self, syringe: Sitting) -> None:
        syringe.type(GOOD, "", "1, 60, 3.0, 1, 60, 3.1, 1, 60, 3.2", "j chamber 1", "c state", "2", "yes")
        syringe.type("1, 60, 4.0, 1, 60, 4.2, 1, 60, 4.1")
        assert "Beside it" not in syringe.said
        assert "Before (as received): 62.60 cc" in syringe.said
        syringe.type("", "1, 60, 4.5")
        assert "Beside it: cylinder 1 64.10 cc" in syringe.said
        assert "Before (as received): 63.10 cc" in syringe.said

    def test_the_next_repeat_is_judged_whatever_the_doubt_is_made_of(self, syringe: Sitting) -> None:
        syringe.type(GOOD, "", GOOD)
        assert "± 3" in syringe.said
        assert "not worth it" in syringe.said

    def test_a_wild_first_fill_is_said_to_be_one(self, syringe: Sitting) -> None:
        syringe.type("c method", "bottle or syringe weighed", "kitchen scale 1 g", "812, 150")
        assert "an unusual chamber volume, 663.89 cc; most are 0.00 cc to 600.00 cc" in syringe.said

    def test_what_is_left_after_undo_is_told_again(self, syringe: Sitting) -> None:
        syringe.type(GOOD, "u")
        assert "Taken back: full 1, each 60 cc, rest 2.6 cc" in syringe.said
        assert "2 fills of cylinder 1: mean 62.60 cc, spread 0.20 cc" in syringe.said


class TestSetUp:
    """What was said before is offered only where it fits, and a reading typed too early is not lost unsaid."""

    def test_a_syringe_is_not_offered_to_weigh_with(self, syringe: Sitting) -> None:
        shown = syringe.type("c method", "bottle or syringe weighed")
        assert shown.question.empty == "not said"
        shown = syringe.type("kitchen scale 1 g", "1, 60", "c method")
        assert shown.question.empty == "bottle or syringe weighed before and after"
        assert syringe.type("").question.empty == "kitchen scale 1 g"


def test_undo_among_timed_readings_leaves_the_fill(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "heads.toml")
    sitting.type(*BURETTE, "0, 46", "t", "30 s", "46.1; 46.2")
    assert sitting.type("u").question.words.startswith("Cylinder 1, fill 2")
    assert [row["end"] for row in sitting.rows] == ["46 cc"]
    sitting.type("u")
    assert sitting.rows == []
    sitting.file.close()


@pytest.mark.parametrize("key", ["j chamber 2", "l", "k", "f"])
def test_the_keys_that_work_anywhere_work_at_the_end(tmp_path: Path, key: str) -> None:
    sitting = Sitting(tmp_path / "heads.toml", HEADS.replace('"bore,', '"chamber, bore,'))
    assert sitting.shown.question.words == "Everything asked for is there"
    sitting.type(key)
    assert "Nothing is being measured" not in sitting.said
    assert sitting.said or sitting.shown.card
    sitting.file.close()


def test_a_file_edited_under_the_guide_is_read_again_and_keeps_its_comments(syringe: Sitting) -> None:
    syringe.type("1, 60, 2.5")
    edited = syringe.path.read_text(encoding="utf-8").replace("[engine]", "# the customer waits\n[engine]  # mine")
    syringe.path.write_text(edited, encoding="utf-8")
    shown = syringe.type("1, 60, 2.6")
    assert "was read again" in syringe.said
    assert [effect.what for effect in shown.effects] == ["recorded"]
    assert [row["rest"] for row in syringe.rows] == ["2.5 cc", "2.6 cc"]
    kept = syringe.path.read_text(encoding="utf-8")
    assert "# the customer waits\n[engine]  # mine\n" in kept
    syringe.type("u")
    assert [row["rest"] for row in syringe.rows] == ["2.5 cc"]
    syringe.type("1, 60, 2.7", "f")
    assert "2 readings saved in this sitting." in syringe.said


def test_a_bench_with_nothing_asked_for_says_so(syringe: Sitting) -> None:
    card = syringe.type("x all", "j deck 1").card
    assert card is not None
    assert card.progress == "Bench: nothing asked for"


def test_steps_left_out_are_listed_in_one_line(syringe: Sitting) -> None:
    lines = syringe.type("l").lines
    assert lines[0] == "left out: bore, stack, deck, crown, crown-bench, gasket, land"
    assert [line for line in lines if line.startswith("deck")] == []
    assert "to do: chamber 1, 2" in lines


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


def test_what_was_said_to_be_sure_value_by_value_is_not_asked_again_with_the_whole(fourth: Sitting) -> None:
    fourth.type("j deck 1", "2", "dial indicator", "0.20 below, 0.24 below", "", "0.20 below, 0.24 below")
    fourth.type("3.5 below")
    assert "an unusual" in fourth.said
    fourth.type("yes", "0.24 below")
    assert fourth.shown.question.words.startswith("Are you sure?")  # of a reading so far from the two before
    before = len(fourth.rows)
    fourth.type("yes")
    assert len(fourth.rows) == before + 1
    assert fourth.rows[-1]["remark"] == "said to be sure"


def test_a_fill_of_one_chamber(fourth: Sitting) -> None:
    fourth.type("0, 42.1", "0, 21.4")
    assert fourth.shown.question.words.startswith("Are you sure?")
    assert "21.4 cc for 41.2 cc" in fourth.said


def test_a_figure_said_to_be_the_makers(tmp_path: Path) -> None:
    text = "".join(f'[cylinder.{n}]\nbore = "{v} mm, measured"\n' for n, v in ((1, "71.30"), (2, "71.31")))
    sitting = Sitting(tmp_path / "given.toml", FOUR.replace('"bore, ', '"') + text)
    sitting.type("j bore 3", "1", "bore gauge", "73.10 mm, maker's figure")
    assert "its bore is 73.10" in sitting.said
    assert "3" not in tomllib.loads(sitting.path.read_text(encoding="utf-8"))["cylinder"]
    sitting.type("yes")
    assert tomllib.loads(sitting.path.read_text(encoding="utf-8"))["cylinder"]["3"]["bore"].startswith("73.10 mm")
    sitting.file.close()


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
