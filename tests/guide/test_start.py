"""From the empty folder to the first volume after four answers, and what could wait asked once after it."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.cli.guide import jobs_in
from ccassist.guide.step import begin, step
from ccassist.guide.view import Action
from ccassist.guide.waiting import ReadingAsked, Starting
from ccassist.job.file import load, parse_job
from ccassist.job.vocabulary import PURPOSES
from ccassist.job.write import JobFile
from tests.guide.sitting import NOON, Sitting


class New(Sitting):
    """A sitting on a file that is not there."""

    def __init__(self, path: Path, *, now: datetime.datetime = NOON) -> None:
        self.path, self.now = path, now
        self.file = JobFile.open(path, new=True)
        self.open()


@pytest.fixture
def new(tmp_path: Path) -> Iterator[New]:
    """Nothing yet."""
    found = New(tmp_path / "bench.toml")
    yield found
    found.file.close()


def again(sitting: Sitting) -> Sitting:
    """The terminal closed without a word, and the guide called again."""
    sitting.file.close()
    return Sitting(sitting.path, None, now=sitting.now)


def test_four_answers_then_a_fill_and_its_volume(new: New) -> None:
    new.type("heads", "2", "burette", "burette 50 ml class B")
    assert isinstance(new.state.at, ReadingAsked)
    new.type("0.1", "46.2")
    assert "1 fill of cylinder 1: 46.10 cc" in new.said
    assert "Chamber volume: 46.10" in new.said
    assert new.shown.question.words.startswith("Which fluid")


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        *[("", "ratio"), ("1", "ratio"), ("compression ratio", "ratio"), ("h", "heads"), ("Head", "heads")],
        *[
            ("p", "pistons"),
            ("piston", "pistons"),
            ("T", "turbo"),
            ("r", "ratio"),
            ("pistons, turbo", "pistons, turbo"),
        ],
    ],
)
def test_what_it_is_for_by_word_singular_or_letter(new: New, said: str, meant: str) -> None:
    new.type(said, "3")
    job = load(new.path).job
    assert (job.about["for"], job.cylinders) == (meant, 3)


@pytest.mark.parametrize("purpose", list(PURPOSES))
def test_every_new_job_begins_with_a_chamber(new: New, purpose: str) -> None:
    new.type(purpose, "2")
    assert (new.state.place.step, new.state.place.cylinder) == ("chamber", 1)


@pytest.mark.parametrize("typed", ["0", "400", "four", "-2", "2.5"])
def test_no_number_of_cylinders(new: New, typed: str) -> None:
    asked = new.type("h").question
    assert new.type(typed).question == asked
    assert "whole number" in new.said


ANSWERS = ["heads", "2", "full syringes", "syringe 60 ml"]


@pytest.mark.parametrize("count", range(1, len(ANSWERS) + 1))
def test_what_was_answered_survives_a_closed_terminal(new: New, count: int) -> None:
    asked = new.type(*ANSWERS[:count]).question
    went_on = again(new)
    assert went_on.shown.question.words == asked.words
    went_on.type(*ANSWERS[count:], "0", "60", "46")
    assert len(went_on.rows) == 1
    (series,) = load(went_on.path).job.series
    assert series.instrument == "syringe 60 ml"
    went_on.file.close()


def test_what_could_wait_goes_to_the_fill_that_stands_and_is_asked_once(new: New) -> None:
    new.type("heads", "2", "1", "burette 50 ml class B", "0.1, 46.2, 0.1, 46.3")
    asked = []
    for answer in ("water", "20", "fitted", "1", "0.02", "50", "as received"):
        asked.append(new.shown.question.words)
        new.type(answer)
    assert isinstance(new.state.at, ReadingAsked)
    (series,) = load(new.path).job.series
    assert (series.fluid, series.state, len(series.rows)) == ("water", "as received", 2)
    assert series.settings == {"temperature": ("20 °C",), "film": ("0.02 mm",), "opening": ("50 cm²",)}
    assert series.choices == {"plug": "fitted", "hole": "not filled"}
    assert "set_up" not in tomllib.loads(new.text)
    new.type("0.1, 46.2", "", "0.1, 47")
    assert not {new.shown.question.words} & set(asked)
    assert [s.cylinders for s in load(new.path).job.series] == [(1,), (2,)]


def test_closed_amid_what_could_wait_it_is_gone_on_with(new: New) -> None:
    new.type("heads", "1", "1", "burette 50 ml class B", "0.1, 46.2", "water")
    went_on = again(new)
    assert went_on.shown.question.words.startswith("Temperature")
    went_on.type("20")
    (series,) = load(went_on.path).job.series
    assert (series.fluid, series.settings["temperature"]) == ("water", ("20 °C",))
    went_on.file.close()


def test_a_step_left_half_told_is_not_asked_from_the_start(new: New) -> None:
    new.type("heads", "2", "1", "s", "j chamber 1")
    assert new.shown.question.words.startswith("Which tool")


def test_back_reaches_every_answer(new: New) -> None:
    seen = [new.shown.question.words]
    for line in ("heads", "2", "1", "burette 50 ml class B"):
        seen.append(new.type(line).question.words)
    back = [new.shown.question.words, *(new.type("/b").question.words for _ in seen[1:])]
    assert back == seen[::-1]
    assert new.text == ""


def test_weighed_it_takes_water_until_it_is_said(new: New) -> None:
    new.type("heads", "1", "3", "scale 0.1 g")
    assert "Taken as water; c fluid says another." in new.said
    new.type("812.1", "766.0")
    assert "Chamber volume: 46" in new.said
    assert (new.shown.question.words[:11], new.shown.question.empty) == ("Which fluid", "water")
    new.type("light oil")
    assert "Chamber volume: 5" in new.said
    assert load(new.path).job.series[0].fluid == "light oil"


def test_weighed_another_fluid_is_said_at_once_and_asked_no_more(new: New) -> None:
    new.type("heads", "1", "3", "scale 0.1 g", "c fluid", "light oil")
    assert isinstance(new.state.at, ReadingAsked)
    new.type("812.1", "766.0")
    assert "Chamber volume: 5" in new.said
    assert new.shown.question.words.startswith("Temperature")


@pytest.mark.parametrize(
    ("said", "way", "tool"),
    [
        ("syringe", "burette", ""),
        ("syringe 60", "burette", "syringe 60 ml"),
        ("kitchen scale 0.1", "weighing", "scale 0.1 g"),
    ],
)
def test_a_tool_says_the_way_where_it_can(new: New, said: str, way: str, tool: str) -> None:
    """The usual of the ways that a word fits; the tool is not asked for again once it is said."""
    new.type("heads", "1", said)
    assert "Taken as: " in new.said
    assert (new.state.method.key, "".join(new.state.said.get("instrument", ()))) == (way, tool)


def test_a_word_that_fits_some_of_the_ways_asks_which_of_them(new: New) -> None:
    new.type("heads", "1", "before")
    assert '"before" fits 1, 3: which of them?' in new.said
    assert "method" not in new.state.said


def test_only_a_fluid_that_burns_is_warned_of(new: New) -> None:
    """Until it is known in one line that says if; of water nothing of it, on all of the card neither."""
    unknown = new.type("heads", "1", "burette", "burette 50 ml class B")
    assert [line for line in map(str, unknown.lines) if "burn" in line or "crylic" in line] == [
        "CAUTION: If the fluid burns: fresh air, no flame, heater, grinder or air line near."
    ]
    for fluid, burns in (("water", False), ("white spirit", True)):
        new.type("c fluid", fluid)
        card = new.type("h").card
        assert card is not None
        assert any("burn" in caution for caution in card.cautions) is burns


def test_the_temperature_of_another_day_is_asked_anew(new: New) -> None:
    new.type("heads", "1", "1", "burette 50 ml class B", "0.1, 46.2", "water", "20", "1", "1", "", "")
    assert isinstance(new.state.at, ReadingAsked)
    new.now = NOON + datetime.timedelta(days=1)
    next_day = again(new)
    next_day.type("0.1, 46.3")
    assert next_day.shown.question.words.startswith("Temperature")
    next_day.type("17")
    series = load(next_day.path).job.series
    assert [s.settings["temperature"] for s in series] == [("20 °C",), ("17 °C",)]
    assert next_day.state.task.counted == 2
    next_day.file.close()


class TestBeside:
    """Jobs that lie in the folder are offered."""

    def test_only_jobs_are(self, tmp_path: Path) -> None:
        (tmp_path / "job.toml").write_text("format = 1\n[engine]\ncylinders = 2\n", encoding="utf-8")
        (tmp_path / "other.toml").write_text("[tool]\nname = 1\n", encoding="utf-8")
        (tmp_path / "odd.toml").write_bytes(b"\xff\xfe")
        assert jobs_in(tmp_path) == ["job.toml"]

    def test_opened_or_a_new_one(self) -> None:
        state, shown = begin("", "new.toml", beside=["old.toml"])
        assert shown.question.options == ("start a new job", "open old.toml")
        _, opened = step(state, Action.SAY, "2", now=NOON)
        assert (opened.finished, opened.opens) == (True, "old.toml")
        after, shown = step(state, Action.SAY, "", now=NOON)
        assert isinstance(after.at, Starting)
        assert shown.question.words == "What is it for?"


class TestScope:
    """A change of the set-up need not part the readings."""

    FILLED = ("heads", "1", "1", "burette 50 ml class B", "0, 46, 0, 46.1", "water", "20", "1", "1", "", "")

    def test_what_was_so_before_goes_to_the_readings_before(self, new: New) -> None:
        new.type(*self.FILLED, "c fluid", "water with detergent", "2")
        (series,) = load(new.path).job.series
        assert series.fluid == "water with detergent"
        assert new.state.task.counted == 2

    def test_what_holds_from_now_on_parts_them(self, new: New) -> None:
        new.type(*self.FILLED, "c fluid", "water with detergent", "1", "0, 46")
        assert [s.fluid for s in load(new.path).job.series] == ["water", "water with detergent"]

    def test_a_temperature_parts_nothing_and_is_not_asked_about(self, new: New) -> None:
        new.type(*self.FILLED, "c temperature", "21")
        assert isinstance(new.state.at, ReadingAsked)
        assert new.state.task.counted == 2


def test_a_set_up_told_stands_where_no_reading_stands() -> None:
    found = parse_job('format = 1\n[engine]\ncylinders = 1\n[set_up.chamber]\nof = "cylinder 1"\nfluid = []\n')
    assert not [f for f in found.findings if f.place.startswith("set_up")]
    assert found.job.set_ups == {"chamber": {"of": ("cylinder 1",), "fluid": ()}}
    wrong = parse_job('format = 1\n[engine]\ncylinders = 1\n[set_up.chambr]\nof = "cylinder 1"\n')
    assert [f.code for f in wrong.findings if f.place.startswith("set_up")] == ["unknown-step"]


# -- what was typed stays, and every answer can be gone back to ---------------------------------
WEIGHED = ("", "1", "weighed", "scale 0.1 g", "812.3", "766.1", "water", "20", "1", "1", "", "seats cut")


@pytest.mark.parametrize("count", range(1, len(WEIGHED) + 1))
def test_a_terminal_closed_at_any_prompt_loses_nothing_typed(new: New, count: int) -> None:
    """The file alone tells the next sitting what was asked, and what of a reading was typed already."""
    shown = new.type(*WEIGHED[:count])
    _, later = begin(new.text, str(new.path))
    assert (later.question.words, later.question.begun) == (shown.question.words, shown.question.begun)


def test_what_was_begun_in_a_sitting_before_can_be_dropped_or_gone_on_with(new: New) -> None:
    new.type(*WEIGHED[:5])
    later = again(new)
    assert "Begun before: before 812.3 g; u drops it." in later.said
    later.type("u")
    assert later.asked_for == "before"
    assert "typed" not in load(later.path).job.set_ups["chamber"]
    later.type("812.3")
    last = again(later)
    last.type("766.1")
    assert [(row["before"], row["after"]) for row in last.rows] == [("812.3 g", "766.1 g")]
    last.file.close()


@pytest.mark.parametrize("way", [("/b",) * 9, ("/b", "", "/b", "/b", "-", "/b", "/b")])
def test_back_reaches_every_earlier_answer_of_readings_that_stand(new: New, way: tuple[str, ...]) -> None:
    """Nothing of the readings changes on the way, and each answer stands to be kept by Enter."""
    new.type(*WEIGHED[:12], "812", "766")
    text, asked = new.text, []
    for key in way:
        new.type(key)
        asked += [new.shown.question.words] if key == "/b" else []
    if set(way) == {"/b"}:
        assert len(set(asked)) == 8  # from the state of the head to how it is read, each once
        assert "This is the first question here" in new.said
    new.type("u")
    assert load(new.path).job.series == parse_job(text).job.series


def test_back_from_the_bench_reaches_the_first_questions_in_another_sitting(new: New) -> None:
    new.type("heads", "3", "burette", "burette 50 ml class B")
    later = again(new)
    later.type("b", "b", "/b")
    assert later.shown.question.words == "How many cylinders"
    later.type("b")
    assert later.shown.question.words == "What is it for?"
    later.type("ratio", "2")
    assert (load(later.path).job.about["for"], load(later.path).job.cylinders) == ("ratio", 2)
    later.file.close()


def test_a_cylinder_that_is_done_says_whose_fills_its_error_waits_for(new: New) -> None:
    new.type("heads", "2", "burette", "burette 50 ml class B", "0 46", "", "", "1", "1", "", "", "0 46.1", "0 46.2")
    assert "± with 2 more fills of other cylinders" in new.said
    new.type("l")
    assert "The ± of cylinder 1 comes with 2 more fills of the others" in new.said
