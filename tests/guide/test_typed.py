"""What is typed turns into nothing else, and needs few keys: pairs, states, names, letters, whole lines."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.bench.step import Method
from ccassist.bench.steps import STEPS
from ccassist.cli.guide import KEYS as ACTIONS
from ccassist.cli.guide import SIGN, typed
from ccassist.guide.view import Question
from ccassist.job.file import load
from tests.guide.sitting import HEADS, Sitting
from tests.guide.test_session import SET_UP, SYRINGE

# What each several-field method is set up with, up to its readings; a whole reading, and one with a slip at the end.
DECK = ["/j deck 1", "front", "dial indicator"]
BOTH = ["/j deck 1", "both", "dial indicator"]
WEIGHED = ["c", "3", "scale 0.1 g", *SET_UP[3:]]
PAIRS = [
    (SET_UP, "0.1, 46.2", "0.1, 4O.2", "0.2, 46.4"),
    (WEIGHED, "812.1, 766.0", "812.1, 7.6.6", "811.9, 765.9"),
    (DECK, "0.20 below, 0.24 below", "0.20 below, 0.24 belaw", "0.21 below, 0.23 below"),
    (BOTH, "0.20 below, 0.24 below", "0.20 below, 0.24 belwo", "0.21 below, 0.23 below"),
]


@pytest.fixture
def sitting(tmp_path: Path) -> Iterator[Sitting]:
    """Two chambers, nothing measured yet."""
    found = Sitting(tmp_path / "heads.toml")
    yield found
    found.file.close()


def values(sitting: Sitting) -> list[list[object]]:
    """What was read in each row."""
    return [[v for k, v in row.items() if k not in ("time", "remark")] for row in sitting.rows]


class TestPairs:
    """A pair is taken whole or not at all."""

    @pytest.mark.parametrize(("set_up", "good", "slip", "next_one"), PAIRS)
    def test_a_slip_takes_the_whole_line_with_it(
        self, sitting: Sitting, set_up: list[str], good: str, slip: str, next_one: str
    ) -> None:
        asked = sitting.type(*set_up).question
        assert sitting.type(slip).question == asked
        assert "all of it is asked again" in sitting.said
        assert not sitting.state.typed
        sitting.type(f"{next_one}, {good}")
        assert len(sitting.rows) == 2
        assert all(len(row) == 2 for row in values(sitting))

    @pytest.mark.parametrize(("set_up", "good", "slip", "next_one"), PAIRS)
    def test_typed_one_by_one_the_refused_one_is_asked_again_beside_what_stands(
        self, sitting: Sitting, set_up: list[str], good: str, slip: str, next_one: str
    ) -> None:
        sitting.type(*set_up)
        first, wrong = slip.split(", ")
        sitting.type(first)
        asked = sitting.shown.question
        assert first.split(" ")[0] in asked.begun
        assert sitting.type(wrong).question == asked
        sitting.type(next_one)  # a whole pair, typed where only its second value is missing
        assert sitting.rows == []
        assert "A reading is begun" in sitting.said
        sitting.type("u", next_one)
        assert len(sitting.rows) == 1

    def test_three_values_leave_no_half(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "0.1, 46.2, 0.2")
        assert len(sitting.rows) == 1
        assert not sitting.state.typed
        assert "not taken: 0.2" in sitting.said

    def test_after_a_pair_that_cannot_be_both_are_asked(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "46", "46")
        assert "Not recorded:" in sitting.said
        assert sitting.shown.question.begun == ""

    def test_the_echo_says_start_end_and_what_they_come_to(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "0.1, 46.2")
        assert "start 0.1 cc, end 46.2 cc: 46.10 cc" in sitting.said
        sitting.type(*DECK, "0.20 below, 0.24 below")
        assert "front 0.20 mm below, rear 0.24 mm below: 0.22" in sitting.said

    def test_the_other_way_is_asked_about_and_asked_again_whole(self, sitting: Sitting) -> None:
        asked = sitting.type(*SET_UP).question
        sitting.type("0.1, 46.2", "46.3, 0.1")
        assert "the other way" in sitting.said
        assert sitting.type("no").question.words == asked.words.replace("fill 1", "fill 2")
        assert len(sitting.rows) == 1
        sitting.type("0.1, 46.3")
        assert len(sitting.rows) == 2

    def test_every_method_of_several_values_is_a_pair(self) -> None:
        """The rule is that of the mode, whatever the step: no method may be left to pair values by itself."""
        several: list[Method] = [m for step in STEPS.values() for m in step.methods if len(m.fields) > 1]
        assert len(several) > 8


@pytest.mark.parametrize("typed", ["1.31 mm, maker's figure", "1.31, assumed", "1.30, 1.31 mm, maker's figure"])
def test_what_was_not_read_is_no_reading(sitting: Sitting, typed: str) -> None:
    sitting.type("j gasket thickness", "micrometer", "1.30", "")
    before = len(sitting.rows)
    sitting.type(typed)
    assert "Readings are taken here" in sitting.said
    assert not any("figure" in str(row) or "assumed" in str(row) for row in sitting.rows[before:])


class TestStates:
    """By number or in words; a new one says what it hides."""

    FILLS = "0.1, 46.2, 0.1, 46.3, 0.1, 46.1"

    @pytest.mark.parametrize(
        "typed", ["5", "0", "46.2", "0.1, 46.2", "4O.2", "46 cc", "0.2 below", "20 degC", "?!", "yes", "No"]
    )
    @pytest.mark.parametrize("at", ["state", "by"])
    def test_a_number_or_a_reading_is_no_word(self, sitting: Sitting, typed: str, at: str) -> None:
        sitting.type(*SET_UP[: -2 if at == "state" else -1])
        asked = sitting.shown.question
        assert asked.words.startswith("State of the" if at == "state" else "Who reads")
        assert sitting.type(typed).question == asked
        assert sitting.said
        assert at not in sitting.state.said

    def test_it_is_chosen_by_number(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP[:-2], "1", "1", "0.1, 46.2")
        (series,) = load(sitting.path).job.series
        assert (series.state, series.by) == ("as received", "Ida")

    def test_a_new_one_says_what_it_hides(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, self.FILLS, "", self.FILLS, "j chamber 1", "c state")
        assert sitting.shown.question.options[:1] == ("as received",)
        sitting.type("seats cut")
        assert (
            'once every cylinder is read in it it hides the 6 readings "as received" of cylinders 1, 2' in sitting.said
        )
        assert sitting.type("no").question.words.startswith("State of the head")
        sitting.type("seats cut", "yes")
        assert sitting.state.said["state"] == ("seats cut",)
        assert sitting.type("c state", "As Received").question.words.startswith("Cylinder 1")

    def test_undo_at_the_doubt_drops_the_state_alone(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "0.1, 46.2", "c state", "seats cut", "u")
        assert sitting.shown.question.words.startswith("State of the head")
        assert len(sitting.rows) == 1

    def test_a_slip_of_a_known_one_is_named(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, self.FILLS, "c state", "as recieved")
        assert 'did you mean "as received"?' in sitting.said

    def test_none_at_all_after_one_is_asked_about_once(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, self.FILLS, "c state", "-")
        assert "no state is said" in sitting.said
        sitting.type("yes", "0.1, 46.2")
        assert len(sitting.rows) == 4

    def test_a_state_unheard_of_is_asked_about_though_it_hides_nothing(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP[:-2], "skimmed")
        assert "hides nothing" in sitting.said
        assert sitting.type("yes").question.words == "Who reads"
        assert sitting.state.said["state"] == ("skimmed",)

    def test_somebody_else_amid_a_series_is_asked_about(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP, "0.1, 46.2", "c by", "Ned")
        assert "not averaged with those by Ida" in sitting.said
        sitting.type("Sue")
        assert '"Sue" is neither yes nor no' in sitting.said
        sitting.type("no", "Ida", "0.1, 46.3")
        assert len(load(sitting.path).job.series) == 1


class TestLetters:
    """A letter alone is the key everywhere; a capital may be a name of one's own, but is no word."""

    @pytest.mark.parametrize("letter", [*ACTIONS])
    def test_a_key_is_no_name_no_state_no_remark_and_no_reason(self, sitting: Sitting, letter: str) -> None:
        for at in (SET_UP[:-1], ["", "0.1, 46.2", "r"], ["", "a"]):
            sitting.type(*at)
            sitting.type(letter, letter.upper())
            sitting.shown.finished or sitting.type("/f")
            sitting.open()
        assert f'"{letter}"' not in sitting.text
        assert f'"{letter.upper()}"' not in sitting.text

    @pytest.mark.parametrize("name", ["B", "X"])
    def test_an_instrument(self, tmp_path: Path, name: str) -> None:
        own = f'[instrument."{name}"]\nlike = "burette 50 ml class B"\n'
        sitting = Sitting(tmp_path / "own.toml", HEADS + own)
        sitting.type("1", name)
        assert sitting.state.said["instrument"] == (name,)
        assert "leave_out" not in sitting.path.read_text(encoding="utf-8").replace('leave_out = "bore', "")
        sitting.file.close()

    @pytest.mark.parametrize("key", [*ACTIONS])
    def test_with_its_sign_a_key_works_anywhere(self, sitting: Sitting, key: str) -> None:
        for asked in (
            Question(words="", free=True),
            Question(words=""),
            Question(words="", options=(f"{key}ay", "nay")),
        ):
            assert typed(f"{SIGN}{key}", asked).action is ACTIONS[key]

    def test_a_letter_that_may_be_either_is_asked_back(self, sitting: Sitting) -> None:
        sitting.type(*SET_UP[:5])
        asked = sitting.shown.question
        assert "fitted" in asked.options
        assert sitting.type("f").question == asked
        assert not sitting.shown.finished
        assert '"f" may be a key or "fitted"' in sitting.said
        assert sitting.type("/f").finished

    @pytest.mark.parametrize("typed", ["j deck 2", "x all"])
    def test_a_whole_command_is_not_kept_as_words(self, sitting: Sitting, typed: str) -> None:
        sitting.type(*SET_UP[:-1])
        asked = sitting.shown.question
        assert sitting.type(typed).question == asked
        assert f"{SIGN}{typed}" in sitting.said

    @pytest.mark.parametrize("typed", ["46.2", "0.1, 46.3", "12"])
    def test_a_number_is_no_reason_and_no_remark(self, sitting: Sitting, typed: str) -> None:
        sitting.type(*SET_UP, "0.1, 46.2", "a", typed, "/u", "r", typed, "/u", f"r {typed}")
        assert sitting.rows == [{"start": "0.1 cc", "end": "46.2 cc", "time": "12:00"}]


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
        assert shown.question.begun == "full 1"

    def test_repeats_of_a_length(self, tmp_path: Path) -> None:
        sitting = Sitting(tmp_path / "bores.toml", BORES)
        sitting.type("1", "bore gauge", "", "", "83.41, 83.42 mm, 3.2843 in")
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


def test_a_full_syringe_is_asked_once_and_never_again(syringe: Sitting) -> None:
    shown = syringe.type("1")
    assert shown.question.empty == "60 cc"
    shown = syringe.type("", "2.5", "1")
    assert shown.question.words.endswith("last, part-filled delivery")
    syringe.type("2.6", "1, 50, 2.7", "yes")
    rows = [(row["each"], row["rest"]) for row in syringe.rows]
    assert rows == [("60 cc", "2.5 cc"), ("60 cc", "2.6 cc"), ("50 cc", "2.7 cc")]


def test_a_sign_word_holds_within_a_sitting_and_may_be_a_letter(sitting: Sitting) -> None:
    sitting.type("j deck 1", "3", "dial indicator", "0.20")
    assert sitting.rows == []
    sitting.type("0.20 b", "", "0.22", "0.21 p", "no", "j deck 2", "0.3")
    assert [row["crown"] for row in sitting.rows] == ["0.20 mm below deck", "0.22 mm below deck"]


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
        assert "syringe 60 ml" in sitting.shown.question.options
        sitting.type("?")
        assert "measuring cylinder …" in sitting.said
        assert "syringe …" in sitting.said
        assert "class A" not in sitting.said
        sitting.type("/b", "3")
        assert "kitchen scale 1 g" in sitting.shown.question.options
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
    listed = {key for key in ACTIONS for line in lines if line.startswith(f"{key} ")}
    assert listed == {*ACTIONS} - {"a", "i", "t"}  # there is no reading yet
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
