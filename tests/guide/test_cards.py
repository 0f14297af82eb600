"""The first screens of every step: what, how and the one caution within 14 lines of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.cli.guide import Front, Look, keyed, typed
from ccassist.guide.step import begin, step
from ccassist.guide.view import Shown
from ccassist.guide.waiting import ReadingAsked
from tests.each import each
from tests.guide.sitting import NOON

JOB = 'format = 1\n[job]\nfor = "ratio"\n[engine]\ncylinders = 1\n'
LINES = 14
WAYS = [(key, at) for key, one in STEPS.items() if key != CALIBRATE.key for at in range(len(one.methods))]


class Lines(Front):
    """A front that counts what it shows."""

    def __init__(self) -> None:
        super().__init__(Look())
        self.bold, self.shown = True, list[str]()

    def put(self, lines: list[str]) -> None:
        self.shown += lines or [""]


def height(shown: Shown) -> int:
    """Lines of a screen with its question, the prompt's own line among them, but for the empty one before it."""
    front = Lines()
    front.show(shown)
    options = [line for one in shown.question.options for line in front._wrapped(f"  1  {one}", 5)]
    asked = front._wrapped(f"{shown.question.words} [{shown.question.unit}] (usual {shown.question.usual})", 4)
    return len([line for line in front.shown if line]) + len(options) + len(asked) + 1


def screens(key: str, at: int) -> Iterator[Shown]:
    """Those of a step up to its first reading, by one of its ways, each answer the first that is offered."""
    state, shown = begin(JOB, "job.toml", step=key)
    yield shown
    for _ in range(9):
        if isinstance(state.at, ReadingAsked):
            return
        question = shown.question
        answer = str(at + 1) if question.words == "How is it read?" else "1" if question.options else question.example
        line = typed(answer if not question.empty else "", question)
        state, shown = step(state, line.action, line.text, now=NOON)
        yield shown


@each(("key", "at"), WAYS)
def test_what_is_asked_first_is_short(key: str, at: int) -> None:
    for shown in screens(key, at):
        assert height(keyed(shown, typed("1", shown.question))) <= LINES
