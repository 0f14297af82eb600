"""Statements in the guide: what stands is shown and kept, going back, unusual values, what is left to the maker."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.analysis.results import survey
from ccassist.guide.asks import find_statement, left, statements
from ccassist.guide.step import NOT_YET
from ccassist.job.file import load, parse_job
from ccassist.values.findings import errors
from ccassist.values.quantity import parse
from tests.guide.sitting import Sitting
from tests.guide.test_paths import BORE, asked, job


@pytest.fixture
def turbo(tmp_path: Path) -> Iterator[Sitting]:
    """At the first statement of a turbo job."""
    found = Sitting(tmp_path / "turbo.toml", job("turbo"))
    yield found
    found.file.close()


@pytest.fixture
def pistons(tmp_path: Path) -> Iterator[Sitting]:
    """At the first statement of a job for pistons."""
    found = Sitting(tmp_path / "pistons.toml", job("pistons"))
    yield found
    found.file.close()


def test_what_stands_is_shown_and_an_empty_line_keeps_it(turbo: Sitting) -> None:
    turbo.type("9.0", "b")
    assert turbo.shown.question.empty == "stays 9.0"
    turbo.type("")
    assert load(turbo.path).job.wanted["static_ratio"].texts == ("9.0",)
    assert not turbo.state.passed


def test_what_is_said_anew_says_what_it_was(turbo: Sitting) -> None:
    turbo.type("9.0", "b", "10")
    assert 'Kept: [wanted] static_ratio = "10", was: 9.0' in turbo.said
    turbo.type("b", "b", "10")
    assert "was:" not in turbo.said


def test_back_goes_to_the_one_asked_before_wherever_it_stands(turbo: Sitting) -> None:
    turbo.type("", "", "j baseline runs", "1", "/j cam intake_closing")
    turbo.type("b")
    assert asked(turbo) == "What that engine is called"
    assert turbo.shown.card is not None
    assert turbo.shown.card.title == "An engine that you know to run clean"
    turbo.type("/b")
    assert asked(turbo) == "How that engine runs"


def test_an_unusual_value_is_kept_only_where_it_is_meant(turbo: Sitting) -> None:
    turbo.type("j cam intake_closing", "120 deg")
    assert turbo.shown.question.words.startswith("Are you sure?")
    assert "intake_closing" not in load(turbo.path).job.stated.get("cam", {})
    turbo.type("b")
    assert asked(turbo).startswith("Intake closing")
    turbo.type("120 deg", "64 deg, measured")
    assert load(turbo.path).job.stated["cam"]["intake_closing"].texts == ("64 deg, measured",)
    turbo.type("j charge burn_phasing", "40", "yes")
    assert load(turbo.path).job.stated["charge"]["burn_phasing"].texts == ("40 deg",)


@pytest.mark.parametrize("typed", ["64", "120 deg"])
def test_what_is_meant_is_told_where_its_origin_or_a_doubt_is_asked(turbo: Sitting, typed: str) -> None:
    question = turbo.type("j cam intake_closing", typed).question
    assert turbo.type("h").question == question
    assert "Usual: 0 to 100 deg; such as 50 deg after BDC." in turbo.said


def test_a_bare_minus_of_an_event_is_refused_with_both_ways_to_say_it(turbo: Sitting) -> None:
    turbo.type("j cam exhaust_closing", "-5")
    assert 'write "5 deg after TDC" or "5 deg before TDC"' in turbo.said
    turbo.type("5 before TDC, measured")
    (text,) = load(turbo.path).job.stated["cam"]["exhaust_closing"].texts
    assert parse(text, "exhaust_closing").value < 0


def test_an_absolute_pressure_typed_for_the_gauge_goes_where_it_belongs(turbo: Sitting) -> None:
    turbo.type("j charge boost_gauge")
    assert "gauge, not absolute" in turbo.said
    turbo.type("1.8 bar absolute")
    kept = load(turbo.path).job.stated["charge"]
    assert kept["manifold_pressure"].texts == ("1.8 bar absolute",)
    assert "boost_gauge" not in kept
    assert "Kept: [charge] manifold_pressure" in turbo.said
    assert asked(turbo).startswith("Altitude")


def test_the_way_back_from_the_end_is_the_last_statement(turbo: Sitting) -> None:
    turbo.type("j baseline called", "Old one")
    while not turbo.shown.question.words.startswith("Nothing more"):
        last = asked(turbo)
        turbo.type("")
    assert turbo.type("b").question.words.endswith(last)


def test_a_statement_is_found_by_the_beginning_of_its_key() -> None:
    found = find_statement(parse_job(job("turbo")).job, "charge burn")
    assert found is not None
    assert found.place == "charge burn_phasing"
    assert find_statement(parse_job(job("turbo")).job, "charge nothing") is None


def test_a_revision_may_be_a_capital_that_is_also_a_key(pistons: Sitting) -> None:
    pistons.type("j order revision", "A")
    assert load(pistons.path).job.said["order"]["revision"] == "A"
    pistons.type("/j order use", "/j order signed_by", "/b")
    assert "use" not in load(pistons.path).job.said["order"]
    assert load(pistons.path).job.said["order"].get("signed_by") is None


def test_what_is_left_to_the_maker_is_written_so_and_not_asked_again(pistons: Sitting) -> None:
    pistons.type("j order pin_retention", "the maker", "/j order wall_clearance", "maker")
    kept = load(pistons.path).job.said["order.to_decide"]
    assert (kept["pin_retention"], kept["wall_clearance"]) == ("the maker", "the maker")
    pistons.type("/j order pin_retention")
    assert pistons.shown.question.empty == "stays left to the maker"
    pistons.type("l")
    assert "stated: order pin_retention, wall_clearance\n" in pistons.said


def test_what_is_said_after_all_is_no_longer_left_to_the_maker(pistons: Sitting) -> None:
    pistons.type("j order pin_length", "the maker", "j order pin_length", "60", "j order pin_diameter", "the maker")
    kept = load(pistons.path).job
    assert kept.stated["order"]["pin_length"].texts == ("60 mm",)
    assert set(kept.said["order.to_decide"]) == {"pin_diameter"}
    assert "was: left to the maker" not in pistons.said
    pistons.type("j order pin_diameter", "20", "b")
    assert load(pistons.path).job.said.get("order.to_decide", {}) == {}
    assert pistons.shown.question.empty == "stays 20 mm"


def test_a_whole_section_can_be_left_out_at_a_question_of_words(pistons: Sitting) -> None:
    pistons.type("j order use", "x all", "/x all")
    assert "order" in load(pistons.path).job.about["leave_out"].split(", ")
    assert "use" not in load(pistons.path).job.said.get("order", {})


def test_what_the_charge_says_is_not_asked_for_the_order_too() -> None:
    both = [one.place for one in statements(parse_job(job("pistons, turbo")).job)]
    assert "charge fuel" in both
    assert not {"order fuel", "order boost"} & set(both)
    alone = [one.place for one in statements(parse_job(job("pistons")).job)]
    assert {"order fuel", "order boost"} <= set(alone)


def test_the_sitting_counts_what_was_stated(turbo: Sitting) -> None:
    turbo.type("9.0", "b", "9.2", "f")
    assert "1 statement saved in this sitting." in turbo.said


def test_answers_are_shown_where_only_statements_were_made(tmp_path: Path) -> None:
    engine = 'bore = "86 mm, measured"\n'
    sitting = Sitting(tmp_path / "job.toml", job("turbo", engine))
    sitting.type("9.0")
    while not sitting.shown.screens:
        assert sitting.shown.question.empty == NOT_YET
        sitting.type("")
    assert sitting.shown.screens == ("show", "boost")
    sitting.file.close()


def test_the_papers_of_both_jobs_are_offered_where_both_are_done(tmp_path: Path) -> None:
    sitting = Sitting(tmp_path / "job.toml", job("pistons, turbo", BORE))
    while "print the worksheet" not in sitting.shown.question.options:
        sitting.type("")
    assert sitting.shown.screens == ("show", "order", "boost")
    sitting.type("3", "Odd twin")
    while not sitting.shown.screens:
        sitting.type("")
    assert sitting.shown.screens == ("order sheet",)
    assert load(sitting.path).job.name == "Odd twin"
    assert sitting.type("4").screens == ("boost pages",)
    sitting.file.close()


def test_new_pistons_are_not_asked_for_the_height_of_the_old_ones() -> None:
    from ccassist.guide.walk import Status, plan
    from ccassist.job.template import Start, new_file

    job_of = parse_job(new_file(Start(cylinders=2, job_for="pistons", system="metric"))).job
    heights = [task.status for task in plan(job_of, []) if task.target.place == "pin_height"]
    assert heights == [Status.LEFT_OUT]


def test_for_pistons_a_range_is_said_to_give_the_tolerance(pistons: Sitting, turbo: Sitting) -> None:
    assert "maker's tolerance" in pistons.shown.question.words
    assert "tolerance" not in turbo.shown.question.words


JOB = 'format = 1\n[job]\nunits = "metric"\nfor = "{}"\n[engine]\ncylinders = 2\n'
WORDS = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_characters="\n\r"), max_size=20),
    st.sampled_from(["\x1b[2J", "\x9b31m", "x" * 5000, "9" * 400, "1e400", "nan", "-0", "0", "1", "2", "99", "2.5"]),
    st.sampled_from(['"', '"""', "\\", "'''", "a = 1", "# no", "[cam]", "{", "1 bar", "60 deg after BDC, measured"]),
    st.sampled_from(["b", "?", "y", "", "-", "j cam", "j order", "j charge", "j wanted", "j cam intake_closing"]),
)


@settings(max_examples=20, deadline=None)
@given(purpose=st.sampled_from(["turbo", "pistons", "heads"]), lines=st.lists(WORDS, min_size=3, max_size=20))
def test_any_lines_while_stating_leave_a_sound_file(purpose: str, lines: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        sitting = Sitting(path, JOB.format(purpose))
        for line in ["j wanted", *lines]:
            if sitting.type(line).finished:
                break
        sitting.file.close()
        found = load(path)
        assert not errors(found.findings)
        assert not errors(survey(found.job).findings)


def test_what_was_read_on_the_bench_is_not_asked_for_the_order(pistons: Sitting) -> None:
    assert {"land_diameter", "land_height"} <= {one.key for one in left(pistons.state.job)}
    pistons.type("j land height", "-", "6.40", "6.42", "")
    assert pistons.rows
    asked = {one.key for one in left(pistons.state.job)}
    assert "land_height" not in asked
    assert "land_diameter" in asked


def test_the_tool_of_one_reading_is_offered_for_the_next_of_its_step(pistons: Sitting) -> None:
    pistons.type("j land height", "vernier caliper 0.05 mm", "6.40", "", "j land diameter")
    assert pistons.shown.question.empty == "vernier caliper 0.05 mm"
