"""A whole job walked by a hand that answers whatever is asked: every step, and the sitting ended at every point.

All values are invented; what is checked is the tool's own promise, so no outside source is named.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from ccassist.analysis.results import survey
from ccassist.bench.steps import STEPS
from ccassist.guide import told
from ccassist.guide.state import State
from ccassist.guide.waiting import AllDone, ReadingAsked, Sure
from ccassist.job.file import load
from ccassist.values.findings import errors
from tests.guide.sitting import Sitting

JOB = """\
format = 1
[job]
by = "Ida"
[engine]
cylinders = 2
"""
# What is read, where the example of its term would not do.
READ = {
    "start": "0.1 cc",
    "end": "46.3 cc",
    "x": "0; 80; 80; 0 mm",
    "y": "0; 0; 60; 60 mm",
    "depth": "4 mm; 2 mm; 0 mm",
    "front": "0.20 mm below deck",
    "rear": "0.24 mm below deck",
}
STAGED = {"start": "0; 0; 0 cc", "end": "40; 8; 7 cc"}
TOOLS = {
    "chamber": "burette 50 ml class B",
    "crown": "burette 50 ml class B",
    "crown-bench": "burette 50 ml class B",
    "stages": "burette 50 ml class B",
    "assembly": "burette 100 ml class B",
}
ASKED_FOR_ONLY = (
    "opening",
    "stages",
    "crown-bench",
    "assembly",
    "intake-lifts",
)  # left to who wants them


class Hand:
    """Answers what is asked, and can be called away at any point."""

    def __init__(self, path: Path) -> None:
        self.sitting = Sitting(path, JOB)
        self.path = path

    @property
    def state(self) -> State:
        return self.sitting.state

    @property
    def point(self) -> tuple[str, ...]:
        """What is asked, and of which step: a point at which the sitting may end."""
        step = self.state.place.step if self.state.target is not None else ""
        what = self.sitting.asked_for if isinstance(self.state.at, ReadingAsked) else ""
        words = self.sitting.shown.question.words if not what else ""
        return step, type(self.state.at).__name__, what, words

    def answer(self) -> str:
        """A line for what is asked."""
        question, mode = self.sitting.shown.question, self.state.at
        if isinstance(mode, Sure):
            return "yes"
        if isinstance(mode, ReadingAsked):
            if self.state.task.counted >= self.state.task.asked and not self.state.typed:
                return ""
            name = self.sitting.asked_for
            staged = STAGED if self.state.place.step == "stages" else {}
            return staged.get(name) or READ.get(name) or question.example
        if question.words.startswith("Which tool"):
            return TOOLS.get(self.state.place.step, "")
        if question.words.startswith("Which fluid"):
            return "water"
        return "1" if question.options and not question.empty else "" if question.empty else question.example

    def go_on(self) -> None:
        self.sitting.type(self.answer())

    def called_away(self) -> None:
        """The sitting ends as by Ctrl-C, and another begins."""
        self.sitting.finish()
        self.sitting.file.close()
        self.sitting = Sitting(self.path, None)

    def readings(self) -> Counter[tuple[object, ...]]:
        """What stands on the disk."""
        job = load(self.path).job
        return Counter(
            (series.step, series.cylinders, series.part, tuple(sorted(row.fields.items())))
            for series in job.series
            for row in series.rows
        )


@pytest.fixture
def hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Hand:
    """At the first thing to be done of a whole engine; what the readings come to is not looked at after each."""
    monkeypatch.setattr(told, "told", lambda *_: ())
    return Hand(tmp_path / "engine.toml")


def still_wanted(hand: Hand) -> str:
    """A step that nobody is asked for by itself and that has not all its readings yet; "" where there is none."""
    tasks = {task.target.step: task for task in hand.state.plan if task.target.place in ("1", "lifts")}
    return next((step for step in ASKED_FOR_ONLY if tasks[step].counted < tasks[step].asked), "")


def walk(hand: Hand, *, called_away: bool) -> set[tuple[str, ...]]:
    """To the end of the job, and of each step that is not asked for by itself; every point that was met.

    Called away at each point once: what was saved is there afterwards, and the next sitting opens at what is open.
    """
    met: set[tuple[str, ...]] = set()
    for _ in range(3000):
        if isinstance(hand.state.at, AllDone):
            if not still_wanted(hand):
                return met
            hand.sitting.type(f"j {still_wanted(hand)}")
        point, before = hand.point, hand.readings()
        if called_away and point not in met:
            hand.called_away()
            assert hand.readings() == before
            assert not errors(load(hand.path).findings)
            assert isinstance(hand.state.at, AllDone) or hand.state.task.open
        else:
            hand.go_on()
        met.add(point)
    raise AssertionError(f"never done; at {hand.point}: {hand.sitting.shown.question}")


def test_every_step_is_walked_to_readings_that_can_be_used(hand: Hand) -> None:
    walk(hand, called_away=False)
    job = load(hand.path).job
    hand.sitting.file.close()
    measured = {step.key for step in STEPS.values() if step.part} - {"exhaust-lifts"}  # declared as the other valve's
    assert {series.step for series in job.series} == measured
    found = survey(job)
    assert not errors(found.findings)
    assert all("static_ratio" in one.values for one in found.cylinders)


def test_called_away_at_every_point_nothing_is_lost(hand: Hand, tmp_path: Path) -> None:
    points = walk(hand, called_away=True)
    hand.sitting.file.close()
    in_one_go = Hand(tmp_path / "again.toml")
    walk(in_one_go, called_away=False)
    in_one_go.sitting.file.close()
    assert len(points) > 60
    assert hand.readings() == in_one_go.readings()
