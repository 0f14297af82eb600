"""What a change would make doubtful is asked before it is taken: at the prompt, by record, and as a LOOK of check."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest

from ccassist.analysis.results import new_questions, survey, surveyed
from ccassist.job.file import parse_job
from ccassist.job.records import Job
from ccassist.values.findings import Finding, Level, question
from tests.sound_job import Shop

HEAD = """format = 1
[job]
name = "invented"
units = "metric"
[engine]
cylinders = {count}
"""
STEP = 'hole = "not filled"\nplug = "fitted"\ninstrument = "burette 100 ml class B"\n'


def block(cylinder: int, *ends: str, step: str = "chamber", more: str = "") -> str:
    """A series of fills from nothing."""
    rows = "".join(f'  {{ start = "0 ml", end = "{end} ml" }},\n' for end in ends)
    return f'[[series]]\nstep = "{step}"\ncylinder = {cylinder}\n{STEP}{more}readings = [\n{rows}]\n'


def job_of(*blocks: str, count: int = 4) -> Job:
    return parse_job(HEAD.format(count=count) + "".join(blocks)).job


def chambers(*ends: str) -> Job:
    return job_of(*(block(n, end) for n, end in enumerate(ends, 1) if end), count=len(ends))


def asked(job: Job) -> list[Finding]:
    return [f for f in survey(job).findings if f.asks]


class TestNewQuestions:
    """Only what the change brings is asked."""

    def test_what_was_there_is_not_asked_again(self) -> None:
        job = chambers("42.0", "42.1", "24.0", "")
        assert [f.place for f in asked(job)] == ["cylinder 3"]
        assert new_questions(job, job) == []
        assert new_questions(job, chambers("42.0", "42.1", "24.0", "41.7")) == []  # the middle moved a little

    def test_the_second_odd_one_is_asked(self) -> None:
        before, after = chambers("42.0", "42.1", "41.9", "24.0", ""), chambers("42.0", "42.1", "41.9", "24.0", "37.0")
        assert [f.place for f in new_questions(before, after)] == ["cylinder 5"]

    def test_a_good_reading_that_shows_up_another_is_taken(self) -> None:
        before, after = chambers("24.0", "", ""), chambers("24.0", "42.0", "")
        assert [f.place for f in new_questions(before, after)] == ["cylinders 1, 2"]
        assert new_questions(after, chambers("24.0", "42.0", "42.1")) == []
        one, two = job_of(block(1, "64.1", "46.1")), job_of(block(1, "64.1", "46.1", "46.2"))
        assert asked(two)
        assert new_questions(one, two) == []
        assert [f.place for f in asked(chambers("24.0", "42.0", "42.1"))] == ["cylinder 1"]

    def test_a_job_is_surveyed_once(self, monkeypatch: pytest.MonkeyPatch) -> None:
        count: list[Job] = []

        def counted(job: Job) -> object:
            count.append(job)
            return survey(job)

        monkeypatch.setattr("ccassist.analysis.results.survey", counted)
        jobs = [chambers(*["42.0"] * n, "", "") for n in range(1, 5)]
        for before, after in pairwise(jobs):
            new_questions(before, after)
            surveyed(after)
        assert len(count) == len(jobs) - 1  # nothing was odd: the first was never needed

    def test_a_job_that_cannot_be_worked_out_has_none(self, monkeypatch: pytest.MonkeyPatch) -> None:
        def fails(job: Job) -> object:
            raise ValueError("no such air")

        monkeypatch.setattr("ccassist.analysis.results.survey", fails)
        assert new_questions(chambers("42.0", ""), chambers("42.0", "24.0")) == []


class TestRecord:
    """Nothing is recorded, exit 2, and --sure takes it."""

    @pytest.fixture
    def fourth(self, shop: Shop) -> Callable[..., int]:
        """Records a fill of the fourth chamber."""
        shop.write(HEAD.format(count=4) + "".join(block(n, e) for n, e in enumerate(("42.0", "42.1", "41.9"), 1)))

        def record(end: str, *more: str) -> int:
            words = ("record", "job.toml", "chamber", "start=0", f"end={end}", "--cylinder", "4")
            setting = ("--setting", "hole=not filled", "--setting", "plug=fitted")
            return shop.run(*words, "--instrument", "burette 100 ml class B", *setting, *more)

        return record

    def test_refused_with_the_way_out(self, shop: Shop, fourth: Callable[..., int]) -> None:
        before = (shop.folder / "job.toml").read_bytes()
        assert fourth("24.0") == 2
        assert "cylinder 4" in shop.err
        assert "24.0 cc for 42.0 cc" in shop.err
        assert "if it is so, add --sure" in shop.err
        assert (shop.folder / "job.toml").read_bytes() == before

    def test_sure_takes_it_and_says_so(self, shop: Shop, fourth: Callable[..., int]) -> None:
        assert fourth("24.0", "--sure") == 0
        assert 'remark = "said to be sure"' in (shop.folder / "job.toml").read_text(encoding="utf-8")
        assert shop.run("check", "job.toml") == 0
        assert re.search(r"LOOK\s+job\.toml, line \d+, cylinder 4: its chamber volume is 24\.00 cc", shop.out)

    def test_what_fits_needs_no_sure(self, shop: Shop, fourth: Callable[..., int]) -> None:
        assert fourth("42.2", "--sure") == 0
        assert "said to be sure" not in (shop.folder / "job.toml").read_text(encoding="utf-8")

    def test_what_is_set_aside_is_not_asked_about(self, fourth: Callable[..., int]) -> None:
        assert fourth("24.0", "--set-aside", "misread") == 0


def test_unless_sure_keeps_what_was_found() -> None:
    from ccassist.job.entry import unless_sure

    made = unless_sure(question("odd", "it is odd", place="cylinder 4", right="look", line=9))
    assert made.level is Level.ERROR
    assert made.text() == "cylinder 4: it is odd; look; if it is so, add --sure"
