"""Back to any earlier answer: the question before, the place before, at last the questions of a new job."""

from __future__ import annotations

from dataclasses import replace

from ccassist.guide import waiting
from ccassist.guide.actions import change_one, undo
from ccassist.guide.asks import fixed, next_ask, set_up_asks, statements
from ccassist.guide.moving import go, turn_to
from ccassist.guide.starting import earlier_start
from ccassist.guide.state import State, say
from ccassist.guide.view import Action


def back(state: State, _: str) -> State:
    """To the question, or the place, before."""
    if isinstance(state.at, waiting.Stating):
        return _back_to_statement(state, state.at)
    if isinstance(state.at, waiting.AllDone) and state.at.last is not None:
        return turn_to(state, state.at.last)
    again = isinstance(state.at, waiting.SetUpAsked) and state.at.anew and state.at.one == _asked_now(state)
    latest = state.history[-1] if state.history else None
    if not again and (state.typed or (latest is not None and (latest.half or latest.answer))):
        return undo(state)
    earlier = _asked_before(state)
    if earlier and (again or state.task.rows or not state.visited):
        return _asked_anew(replace(undo(state), turn=state.turn) if again else state, earlier)
    if state.visited:
        return go(replace(state, visited=state.visited[:-1]), state.visited[-1], back=True)
    start = earlier_start(state)
    if start is not None:
        return start
    first = ("This is the first question here; ", Action.UNDO, " takes back what was done, one thing after another, ")
    return say(state, (*first, Action.JUMP, " goes elsewhere"))


def _back_to_statement(state: State, at: waiting.Stating) -> State:
    """To the one asked before, else to the one that stands before it; what was said stays until it is said anew."""
    asked = statements(state.job)
    place = next((i for i, one in enumerate(asked) if one.place == at.ask.place), 0)
    if at.earlier:
        return turn_to(state, waiting.Stating(ask=at.earlier[-1], earlier=at.earlier[:-1]))
    if place > 0:
        return turn_to(state, waiting.Stating(ask=asked[place - 1]))
    return say(state, ("This is the first of these; ", Action.JUMP, " goes to a bench step"))


# -- within a set-up ------------------------------------------------------------------------
def _asked_now(state: State) -> str:
    """The question of the set-up that is asked now; "" where none is."""
    at = state.at
    asked = next_ask(state.place, state.said, rest=at.rest, one=at.one) if isinstance(at, waiting.SetUpAsked) else None
    return asked.key if asked is not None else ""


def _asked_before(state: State) -> str:
    """The question of the set-up that was answered before what is asked now; "" where there is none."""
    at = state.at
    if not isinstance(at, waiting.SetUpAsked | waiting.ReadingAsked):
        return ""
    said = {**at.was, **state.said} if isinstance(at, waiting.SetUpAsked) else state.said
    order = [one.key for one in set_up_asks(state.place, said) if one.key not in (*fixed(state.place), "finer", "by")]
    now = _asked_now(state)
    before = order[: order.index(now)] if now in order else order
    return next((key for key in reversed(before) if key in said), "")


def _asked_anew(state: State, key: str) -> State:
    """An answer of the set-up asked once more; what it changes for readings that stand is asked as ever."""
    if isinstance(state.at, waiting.ReadingAsked) and state.task.rows:
        return change_one(state, key)
    said = {name: texts for name, texts in state.said.items() if name != key}
    late = any(one.key == key and one.later for one in set_up_asks(state.place, state.said))
    at = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked(rest=late)
    return replace(state, said=said, hinted={**state.hinted, key: state.said[key]}, at=at)
