"""The keys that a screen shows do what it says of them, whatever is asked; and so do the buttons of the bench page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from ccassist.bench.steps import STEPS
from ccassist.cli.guide import keyed, typed
from ccassist.guide.state import State
from ccassist.guide.step import begin, step
from ccassist.guide.view import Action, Shown
from ccassist.phone.view import view_of
from tests.guide.sitting import NOON

JOB = 'format = 1\n[job]\nfor = "{}"\n[engine]\ncylinders = 2\n'
LISTED = re.compile(r"(?P<key>/?\w)(?P<text> .*?)? \((?P<name>[\w ]+)\): ")
WALKS = {
    "a new job": ("", ""),
    "heads": (JOB.format("heads"), ""),
    "statements": (JOB.format("turbo"), "boost"),
    **{name: (JOB.format("ratio"), name) for name in STEPS if name != "calibrate"},
}


def walk(text: str, place: str) -> Iterator[tuple[State, Shown]]:
    """Screens as they come where each question gets an example, with a remark and a doubt between them."""
    state, shown = begin(text, "job.toml")
    if place:
        state, shown = step(state, Action.JUMP, place, now=NOON)
    for number in range(14):
        yield state, shown
        if number == 4:
            yield step(state, Action.REMARK, now=NOON)
        asked = shown.question
        if asked.blanks:
            yield step(state, Action.SAY, "9999", now=NOON)
        answer = "1" if asked.options else asked.example or ("" if asked.empty else "2")
        state, shown = step(state, Action.SAY, answer, now=NOON)
        if shown.finished:
            return


@pytest.mark.parametrize("name", WALKS)
def test_each_key_that_is_shown_does_what_is_said_of_it(name: str) -> None:
    seen = 0
    for state, shown in walk(*WALKS[name]):
        asked = shown.question
        listing = step(state, Action.KEYS, now=NOON)[1]
        listed = [LISTED.match(str(line)) for line in keyed(listing, typed("/k", asked)).lines]
        found = {Action(one["name"]): one for one in listed if one}
        assert found.keys() <= {*shown.actions}
        assert {Action.KEYS, Action.FINISH} <= found.keys()
        for action, one in found.items():
            words = one["text"] or ""
            assert typed(one["key"], asked).action is typed(one["key"] + words, asked).action is action
            bare = one["key"].removeprefix("/")
            does = [typed(line, asked).action is action for line in (bare, bare + words)]
            assert all(does) is (bare == one["key"])
        seen += len(found)
        for page in ("", "more"):
            screen = view_of(state, replace(shown, question=asked), page=page)
            buttons = [Action(one.do) for one in (*screen.actions, *screen.more)]
            assert {*buttons} <= {*shown.actions}
            for action in {*buttons} - {Action.FINISH}:
                assert step(state, action, now=NOON)[0] != state
    assert seen
