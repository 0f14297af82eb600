"""What a job is for decides what is stated after the bench, and how the walk ends."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ccassist.guide.asks import statements
from ccassist.guide.step import NOT_YET
from ccassist.job.file import load, parse_job
from ccassist.job.sections import SHAPES, STATED
from ccassist.job.vocabulary import PURPOSES
from ccassist.plan.piston.crown import needed
from ccassist.values.findings import errors
from ccassist.vocabulary import term
from tests.guide.sitting import Sitting

LEFT_OUT = 'leave_out = "bore, stack, chamber, deck, crown, crown-bench, gasket, land, stages"\n'


BORE = '[[series]]\nstep = "bore"\ncylinder = 1\nreadings = [\n    { bore = "83.4 mm" },\n]\n'


def job(purpose: str, more: str = "") -> str:
    """A job of which nothing is left on the bench."""
    return f'format = 1\n[job]\nfor = "{purpose}"\n{LEFT_OUT}[engine]\ncylinders = 2\n{more}'


def asked(sitting: Sitting) -> str:
    """The question, without the section and number before it."""
    return sitting.shown.question.words.partition(": ")[2]


@pytest.fixture
def turbo(tmp_path: Path) -> Iterator[Sitting]:
    """At the first statement of a turbo job."""
    found = Sitting(tmp_path / "turbo.toml", job("turbo"))
    yield found
    found.file.close()


def test_every_purpose_has_its_path_and_every_path_its_sections() -> None:
    for purpose in PURPOSES:
        asked = statements(parse_job(job(purpose)).job)
        assert bool(asked) == (purpose != "ratio")
        assert all(one.section in (*STATED, "wanted") for one in asked)
        assert len({one.place for one in asked}) == len(asked)


def test_two_purposes_are_asked_one_after_the_other_and_nothing_twice() -> None:
    one = {s.place for s in statements(parse_job(job("pistons")).job)}
    other = {s.place for s in statements(parse_job(job("turbo")).job)}
    both = [s.place for s in statements(parse_job(job("pistons, turbo")).job)]
    assert len(both) == len(set(both))
    assert set(both) == (one | other) - {"order fuel", "order boost"}  # the charge says them


def test_a_purpose_nobody_knows_is_said_at_its_line() -> None:
    found = errors(parse_job(job("drag race")).findings)
    assert [(f.code, f.line) for f in found] == [("unknown-word", 3)]


def test_targets_come_first_then_the_cam_with_its_unit_and_example(turbo: Sitting) -> None:
    assert (
        turbo.shown.question.words
        == "Wanted, 1 of 2: Static compression ratio: one value, a range, at least … or at most …"
    )
    assert turbo.shown.question.empty == NOT_YET
    turbo.type("8.4 to 8.6", "1.0 to 1.4 mm")
    assert asked(turbo).startswith("Intake opening")
    assert turbo.shown.question.unit == "deg"
    kept = load(turbo.path).job
    assert kept.wanted["static_ratio"].texts == ("8.4 to 8.6",)


def test_a_measured_thing_is_asked_where_it_comes_from_a_decided_one_is_not(turbo: Sitting) -> None:
    turbo.type("", "", "", "64 +/- 1")
    assert turbo.shown.question.words == "Where does that come from?"
    turbo.type("2")
    stated = load(turbo.path).job.stated["cam"]["intake_closing"]
    assert stated.texts == ("64 deg +/- 1, maker's figure",)
    turbo.type("j charge boost_gauge", "1.0 bar")
    assert load(turbo.path).job.stated["charge"]["boost_gauge"].texts == ("1.0 bar",)


def test_what_is_said_with_its_origin_is_not_asked_again(turbo: Sitting) -> None:
    turbo.type("j cam intake_closing", "64 deg +/- 1 deg after BDC, measured")
    assert load(turbo.path).job.stated["cam"]["intake_closing"].texts == ("64 deg +/- 1 deg after BDC, measured",)


def test_sections_stand_before_the_readings_and_nothing_else_changes(tmp_path: Path) -> None:
    rest = f'# my own note\n[part.head]\nkind = "head"\n\n{BORE}'
    sitting = Sitting(tmp_path / "job.toml", job("turbo", rest))
    sitting.type("j cam intake_closing", "64 deg, measured")
    text = sitting.path.read_text(encoding="utf-8")
    assert text.index("# my own note") < text.index("[cam]") < text.index("[[series]]")
    assert text.replace('[cam]\nintake_closing = "64 deg, measured"\n\n', "") == job("turbo", rest)
    sitting.file.close()


@pytest.mark.parametrize("typed", ["sixty", "64 mm", "8000 deg", "\x1b[31m"])
def test_what_cannot_be_used_is_said_and_asked_again(turbo: Sitting, typed: str) -> None:
    before = turbo.path.read_text(encoding="utf-8")
    turbo.type("j cam intake_closing", typed)
    assert asked(turbo).startswith("Intake closing")
    assert turbo.said
    assert turbo.path.read_text(encoding="utf-8") == before


def test_keys_work_while_stating(turbo: Sitting) -> None:
    turbo.type("8.5", "b")
    assert asked(turbo).startswith("Static compression ratio")
    turbo.type("8.6")
    assert load(turbo.path).job.wanted["static_ratio"].texts == ("8.6",)
    turbo.type("s")
    assert asked(turbo).startswith("Intake opening")
    turbo.type("h")
    assert "the cam as installed" in turbo.said.lower()
    turbo.type("a")
    assert "for readings" in turbo.said
    turbo.type("u")
    assert asked(turbo).startswith("Squish gap")
    turbo.type("u")
    assert asked(turbo).startswith("Static compression ratio")
    assert load(turbo.path).job.wanted["static_ratio"].texts == ("8.5",)
    turbo.type("", "", "l")
    assert "passed over for today: wanted squish\n" in turbo.said
    turbo.type("f")
    assert "Turbo target, still to say: wanted squish; cam (8); charge (12); baseline (6)." in turbo.said


def test_each_section_says_once_what_it_is_about_and_counts_its_questions(turbo: Sitting) -> None:
    assert turbo.shown.card is not None
    assert turbo.shown.card.title == "What is wanted"
    assert turbo.type("").card is None
    card = turbo.type("").card
    assert card is not None
    assert (card.title, card.place) == ("The cam as installed", "8 questions")
    assert "x not asked again" in card.keys
    turbo.type("j baseline static_ratio")
    assert turbo.shown.card is not None
    assert turbo.shown.card.title == "An engine that you know to run clean"
    assert turbo.shown.question.words.startswith("Baseline, 1 of 6: Static compression ratio")


def test_where_it_comes_from_is_as_the_last_one_in_that_section(turbo: Sitting) -> None:
    turbo.type("j cam intake_closing", "64", "1")
    assert turbo.type("j cam exhaust_closing", "20").question.empty == "measured"
    turbo.type("")
    assert load(turbo.path).job.stated["cam"]["exhaust_closing"].texts == ("20 deg, measured",)
    asked = turbo.type("j charge charge_temperature", "40").question
    assert asked.empty == ""  # nobody has said it of this section
    assert turbo.type("").question == asked


def test_what_does_not_apply_is_not_asked_again(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("turbo"))
    sitting.type("j cam wheel_doubt", "x", "j baseline", "x all", "l")
    assert "not asked again: cam wheel_doubt; baseline (6)" in sitting.said
    sitting.file.close()
    left_out = load(sitting.path).job.about["leave_out"]
    assert left_out.endswith("stages, cam wheel_doubt, baseline")
    again = Sitting(sitting.path, None)
    seen = set()
    while "1" not in again.shown.question.options and not again.shown.finished:
        seen.add(again.shown.question.words.partition(",")[0])
        again.type("")
    assert seen >= {"Wanted", "Cam", "Charge"}
    assert "Baseline" not in seen
    again.file.close()


def test_the_crown_is_asked_for_what_its_shape_needs(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("pistons"))
    keys = {one.key for one in statements(sitting.state.job) if one.section == "order.crown"}
    assert keys == {"shape"}
    sitting.type("j order.crown shape", "dome with")
    assert asked(sitting).startswith("Dome diameter")
    for shape in SHAPES:
        asks = {key for key, (_, words) in STATED["order.crown"].only_with.items() if shape in words}
        assert set(needed(shape)) <= asks | {"shape"}
    sitting.file.close()


def test_what_is_wanted_keeps_its_unit(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("heads"))
    sitting.type("60 to 62")
    assert load(sitting.path).job.wanted["chamber_volume"].texts == ("60 to 62 cc",)
    sitting.file.close()


def test_how_says_again_what_is_usual(turbo: Sitting) -> None:
    turbo.type("j cam intake_closing", "h")
    assert "Usual: 0 to 100 deg; such as 50 deg after BDC." in turbo.said


def test_choices_are_given_by_number_or_word(turbo: Sitting) -> None:
    turbo.type("j cam lift_read_at")
    assert turbo.shown.question.options == ("the valve", "the tappet")
    turbo.type("the lobe")
    assert "Say one of the numbers" in turbo.said
    turbo.type("2")
    assert load(turbo.path).job.said["cam"]["lift_read_at"] == "the tappet"


def test_resuming_lands_on_what_was_not_said(tmp_path: Path) -> None:
    path = tmp_path / "turbo.toml"
    first = Sitting(path, job("turbo"))
    first.type("8.5", "f")
    first.file.close()
    again = Sitting(path, None)
    assert asked(again).lower().startswith(term("squish").name)
    again.file.close()


@pytest.mark.parametrize(
    ("purpose", "screens", "papers"),
    [
        ("heads", ("show", "balance"), ("show the answers", "print the worksheet")),
        ("pistons", ("show", "order"), ("show the answers", "print the worksheet", "print the piston order sheet")),
        ("turbo", ("show", "boost"), ("show the answers", "print the worksheet", "print the boost pages")),
        (
            "heads, turbo",
            ("show", "balance", "boost"),
            ("show the answers", "print the worksheet", "print the boost pages"),
        ),
    ],
)
def test_each_path_ends_in_its_answers_and_the_offer_to_print(
    tmp_path: Path, purpose: str, screens: tuple[str, ...], papers: tuple[str, ...]
) -> None:
    sitting = Sitting(tmp_path / "job.toml", job(purpose, BORE))
    for _ in range(80):
        if sitting.shown.question.options == papers:
            break
        sitting.type("")
    assert sitting.shown.screens == screens
    assert "still to say: wanted" in sitting.said
    assert sitting.type("2").question.words == "Name of the engine or job"  # asked once, when a sheet needs it
    while not sitting.shown.screens:
        sitting.type("")
    assert sitting.shown.screens == ("worksheet",)
    assert sitting.type("1").screens == screens
    assert not sitting.shown.finished
    assert sitting.type("").finished
    sitting.file.close()


def test_a_job_that_was_done_before_shows_its_answers_when_asked(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("heads", f'[wanted]\nchamber_volume = "at least 58 cc"\n\n{BORE}'))
    assert sitting.shown.screens == ()
    assert sitting.type("1").screens == ("show", "balance")
    sitting.file.close()


def test_nothing_is_shown_where_nothing_was_measured(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("heads"))
    assert sitting.type("").screens == ()
    sitting.file.close()
