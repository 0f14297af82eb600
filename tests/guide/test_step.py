"""A step of the guide by itself: frozen, the same each time, undone exactly, kept as text, without a key or a file."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ccassist.cli.guide import KEYS
from ccassist.guide import told
from ccassist.guide.keeping import from_json, to_json
from ccassist.guide.state import State, as_one, settled
from ccassist.guide.step import begin, refusal, show, step
from ccassist.guide.view import ACTIONS, Action, Result, Shown, Text
from ccassist.guide.waiting import AllDone, Passing, SetUpAsked, Sure, Turn
from ccassist.job.file import parse_job

NOON = datetime.datetime(2026, 11, 3, 12, 0)
TWIN = """\
format = 1
[job]
for = "turbo"
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, land, gasket opening"
[engine]
cylinders = 2
[part.gasket]
kind = "gasket"
"""
ALL = [(Action.CHANGE, "")]  # of the set-up at once, before the first reading
SET_UP = ("1", "burette 50 ml class B", "water", "20", "fitted", "1", "", "", "as received", "Ida")
Done = tuple[Action, str]


def said(*texts: str) -> list[Done]:
    """Answers."""
    return [(Action.SAY, text) for text in texts]


def walked(*done: Done, text: str = TWIN) -> State:
    """A sitting after these things."""
    state, _ = begin(text, "twin.toml")
    for action, words in done:
        state, _ = step(state, action, words, now=NOON)
    return state


def sentences(shown: Shown) -> list[Text]:
    """Everything said, asked and noted on a screen."""
    lines = [line.text if isinstance(line, Result) else line for line in shown.lines]
    return [*lines, shown.question.empty, *([shown.card.keys] if shown.card else [])]


MOVES: list[Done] = [
    *said(
        "0.1, 46.2",
        "0",
        "46.3",
        "0, 46, 0.1, 46.4",
        "300",
        "yes",
        "no",
        "0; 1",
        "bubble",
        "wet plug",
        "8.5",
        "64",
        "0.2 +/- 0.1 cc, measured",
    ),
    *said("", "", "1", "2", "-", "60", "46.2; 46.3", "90; 120", "1.30 mm, maker's figure", "1.30, 1.31", "64 deg"),
    *said("seats cut", "in3", "deck 2", "syringe 60 ml", "nonsense"),
    *((action, "") for action in Action if action is not Action.FINISH),
    (Action.ASIDE, "1"),
    (Action.ASIDE, "?"),
    (Action.COUNT_IN, "1"),
    (Action.REMARK, "dry"),
    (Action.LEAVE_OUT, "all"),
    (Action.JUMP, "chamber 1"),
    (Action.JUMP, "chamber 2"),
    (Action.JUMP, "gasket thickness"),
    (Action.JUMP, "cam intake_closing"),
    (Action.JUMP, "wanted squish"),
    (Action.CHANGE, "state"),
    (Action.CHANGE, "unit"),
    (Action.CHANGE, "unit in3"),
    (Action.CHANGE, "colour"),
]
WALKS = st.lists(st.sampled_from(MOVES), min_size=5, max_size=25)


def bare(state: State) -> State:
    """A sitting without what was already said and offered in it, which undo leaves as it is."""
    return replace(state, turn=Turn(), warned=(), shown=(), earlier=0, missing=())


def undone(state: State, count: int) -> State:
    """So many things taken back; what is only begun is dropped first."""
    if isinstance(state.at, Passing) and count:
        state, _ = step(settled(state), Action.AGAIN, now=NOON)
    for _ in range(count):
        state, _ = step(state, Action.UNDO, now=NOON)
    return state


def untimed(row: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """A reading without what may be put to it later."""
    return {name: texts for name, texts in row.items() if not name.startswith(("settle", "fill"))}


@pytest.fixture(scope="class")
def quick() -> Iterator[None]:
    """What the readings come to is not worked out after each."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(told, "told", lambda *_: ())
        yield


@pytest.mark.usefixtures("quick")
class TestAnyWalk:
    """What holds after whatever is done."""

    @settings(max_examples=35, deadline=None)
    @given(walk=WALKS)
    def test_undo_is_the_sitting_before(self, walk: list[Done]) -> None:
        """Undo gives the very sitting in which a thing was done: its text, its place, all that was said.

        Only the values of a reading become one thing once it is complete.
        """
        state = walked(*ALL, *said(*SET_UP))
        for action, text in walk:
            after, shown = step(state, action, text, now=NOON)
            recorded = any(effect.what == "recorded" for effect in shown.effects)
            before = as_one(state) if recorded else state
            new = len(after.history) - len(before.history)
            if new > 0:
                assert bare(undone(after, new)) == bare(settled(before))
            state = after

    @settings(max_examples=35, deadline=None)
    @given(walk=WALKS)
    def test_all_undone_is_the_first_text(self, walk: list[Done]) -> None:
        state = walked(*ALL, *said(*SET_UP), *walk)
        state = undone(state, len(state.history))
        assert (state.text, state.history, state.typed, state.changed) == (TWIN, (), {}, False)

    @settings(max_examples=20, deadline=None)
    @given(walk=WALKS)
    def test_nothing_is_lost_and_nothing_doubled(self, walk: list[Done]) -> None:
        """The readings in the text are those recorded and not taken back, in their order."""
        state, readings = walked(*ALL, *said(*SET_UP)), []
        for action, text in walk:
            state, shown = step(state, action, text, now=NOON)
            for effect in shown.effects if action is not Action.AGAIN else ():
                if effect.what == "recorded":
                    readings.append((effect.step, untimed(effect.row)))
                elif effect.what == "taken back":
                    assert readings.pop() == (effect.step, untimed(effect.row))
            there = [(series.step, row) for series in parse_job(state.text).job.series for row in series.rows]
            assert readings == [(key, untimed(row.fields)) for key, row in there]

    @settings(max_examples=20, deadline=None)
    @given(walk=WALKS)
    def test_a_sitting_is_kept_as_text_and_gone_on_with(self, walk: list[Done]) -> None:
        """A front that remembers nothing: each post is made on the sitting read back from its text."""
        state = other = walked(*ALL, *said(*SET_UP))
        for action, text in walk:
            other = from_json(to_json(other))
            assert other == state
            (state, shown), (other, again) = (step(one, action, text, now=NOON) for one in (state, other))
            assert again == shown

    @settings(max_examples=20, deadline=None)
    @given(walk=WALKS)
    def test_showing_again_changes_nothing(self, walk: list[Done]) -> None:
        state = walked(*ALL, *said(*SET_UP))
        for action, text in walk:
            state, shown = step(state, action, text, now=NOON)
            assert show(state) == shown
            assert step(state, Action.AGAIN, now=NOON) == (state, shown)

    @settings(max_examples=20, deadline=None)
    @given(walk=WALKS)
    def test_what_may_be_done_is_what_is_shown(self, walk: list[Done]) -> None:
        """An action that is not offered says why, and changes nothing."""
        state = walked(*ALL, *said(*SET_UP))
        for action, text in walk:
            before, offered = state, show(state).actions
            state, shown = step(state, action, text, now=NOON)
            if action not in offered:
                assert shown.lines == (refusal(before, action),)
                assert replace(state, turn=Turn()) == replace(before, turn=Turn())

    @settings(max_examples=20, deadline=None)
    @given(walk=WALKS)
    def test_no_sentence_names_a_key(self, walk: list[Done]) -> None:
        """Keys are the terminal's: no "Enter", and no single letter that is one, stands in a sentence."""
        state, named = (
            walked(*ALL, *said(*SET_UP)),
            re.compile(rf"(?:^|[.;,:] |\b(?:or|then|by) )[{''.join(KEYS).replace('a', '')}] "),
        )
        for action, text in walk:
            state, shown = step(state, action, text, now=NOON)
            for sentence in sentences(shown):
                for part in [sentence] if isinstance(sentence, str) else sentence:
                    assert not isinstance(part, str) or not re.search(r"\bEnter\b", part)
                    assert not isinstance(part, str) or not named.search(part)


def test_every_action_may_be_done_somewhere() -> None:
    assert set(ACTIONS) == set(Action) - {Action.SAY, Action.AGAIN}
    assert set(KEYS.values()) == set(ACTIONS)


class TestBlanks:
    """All values of a reading, as a form shows them."""

    def test_label_unit_and_what_was_typed(self) -> None:
        blanks = show(walked(*ALL, *said(*SET_UP, "0.1"))).question.blanks
        assert [(one.label, one.unit, one.typed) for one in blanks] == [("start", "cc", ("0.1 cc",)), ("end", "cc", ())]

    def test_sign_words(self) -> None:
        done = [(Action.JUMP, "deck 1"), *said("3", "dial indicator", "", "", "")]
        (one,) = show(walked(*done)).question.blanks
        assert one.signs == ("below deck", "proud of the deck")

    def test_the_value_as_before(self) -> None:
        done = ALL + said("full syringes", "syringe 60 ml", "water", "20", "fitted", "1", "", "", "", "Ida")
        blanks = show(walked(*done, *said("1, 60, 2.5"))).question.blanks
        assert [(one.name, one.before, one.optional) for one in blanks] == [
            ("full", "", False),
            ("each", "60 cc", False),
            ("rest", "", True),
        ]

    def test_an_empty_answer_is_said_apart(self) -> None:
        state = walked(*ALL, *said(*SET_UP, "0, 46, 0, 46, 0, 46"))
        assert show(state).question.empty == "go on; or take one more"
        after, _ = step(state, Action.SAY, "", now=NOON)
        assert after.place.cylinder == 2


def test_results_are_records() -> None:
    """46.0 and 46.2: mean 46.1 (by hand); the ± of two fills is not known yet."""
    _, shown = step(walked(*ALL, *said(*SET_UP)), Action.SAY, "0, 46.0, 0, 46.2", now=NOON)
    mean, volume = shown.results[:2]
    assert (mean.what, mean.key, mean.where) == ("mean", "fill_volume", "cylinder 1")
    assert mean.value == pytest.approx(46.1e-6)
    assert (volume.what, volume.key) == ("term", "chamber_volume")
    assert volume.expanded is not None
    assert math.isnan(volume.expanded)
    assert shown.results[-1].what == "progress"


def test_an_answer_in_doubt_changes_nothing_else() -> None:
    state = walked(*ALL, *said(*SET_UP), (Action.CHANGE, "instrument"), *said("-"))  # no tool that ends before it
    asked, _ = step(state, Action.SAY, "300", now=NOON)
    assert isinstance(asked.at, Sure)
    assert replace(asked, at=state.at, turn=Turn()) == replace(state, turn=Turn())


def test_a_reading_typed_value_by_value_is_one_thing() -> None:
    state = walked(*ALL, *said(*SET_UP))
    done = walked(*ALL, *said(*SET_UP, "0.1"), (Action.REMARK, "wet"), *said("46.2"))
    assert len(done.history) == len(state.history) + 2
    back, _ = step(done, Action.UNDO, now=NOON)
    assert (back.typed, back.noted) == ({}, "wet")
    assert bare(undone(back, 1)) == bare(state)


def test_undo_after_leaving_out_takes_back_that_and_no_reading() -> None:
    state = walked(*ALL, *said(*SET_UP, "0, 46.1"), (Action.LEAVE_OUT, ""))
    back, shown = step(state, Action.UNDO, now=NOON)
    assert [effect.what for effect in shown.effects] == ["not left out"]
    assert "chamber 1" not in back.job.about["leave_out"]
    assert len(back.job.series[0].rows) == 1


def test_a_value_given_up_by_skipping_is_there_again_after_undo() -> None:
    state = walked(*ALL, *said(*SET_UP, "0.1"))
    back, _ = step(step(state, Action.SKIP, now=NOON)[0], Action.UNDO, now=NOON)
    assert bare(back) == bare(state)


def test_it_begins_at_what_is_open_and_needs_no_file() -> None:
    state, shown = begin(TWIN, "there is no such file.toml")
    assert isinstance(state.at, SetUpAsked)
    assert shown.card is not None
    done, _ = begin(TWIN.replace('"bore,', '"chamber, gasket, wanted, cam, charge, baseline, bore,'), "none.toml")
    assert isinstance(done.at, AllDone)
