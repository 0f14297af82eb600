"""An older copy saved over the file: what it drops is named, and put back where that is wanted."""

from __future__ import annotations

from dataclasses import replace

from ccassist.guide.answers import chosen
from ccassist.guide.state import PutBack, State, did, say
from ccassist.job.lost import Lost, lost, put_back
from ccassist.values.findings import InputError

BACK = ("put back what is missing", "leave the file as it is now")
MOST_NAMED = 12
NOT_BACK = "NOT put back, write it down:"


def rebased(state: State, text: str) -> State:
    """The sitting with what something else wrote into the file.

    Undo reaches back to it and no further: what was done before may not be there any more.
    """
    kept = []
    for done in reversed(state.history):
        if done.before.text != state.text:
            break
        kept.append(replace(done, before=replace(done.before, text=text)))
    missing = ((state.text, text),) if lost(state.text, text) else ()
    return replace(
        state,
        text=text,
        history=tuple(reversed(kept)),
        earlier=state.earlier + len(state.recorded),
        recorded=(),  # the last reading of the file may not be the last one typed any more
        missing=(*state.missing, *missing),
    )


def offer_back(state: State) -> State:
    """Name what is missing, and ask what to do about it."""
    if not state.missing:
        return state
    said = [words for gone in _gone(state) for words in gone.words]
    more = [f"  and {len(said) - MOST_NAMED} more"] if len(said) > MOST_NAMED else []
    state = say(state, "What was saved before is missing in it now, as in an older copy:")
    state = say(state, *(f"  {words}" for words in said[:MOST_NAMED]), *more)
    return replace(state, at=PutBack(before=state.at))


def _gone(state: State) -> list[Lost]:
    return [lost(was, now) for was, now in state.missing]


def answer(state: State, text: str) -> State:
    """An empty answer puts it back."""
    at = state.at
    assert isinstance(at, PutBack)
    said = chosen(BACK, text) if text else BACK[0]
    if said is None:
        return say(state, "1 puts it back, 2 leaves the file as it is now")
    if said == BACK[1]:
        return say(replace(state, at=at.before, missing=()), "Left as it is.")
    before = replace(state, at=at.before)
    after = did(replace(before, text=_whole(state), missing=()), "putting back of what was missing", before)
    return say(after, "Put back; it stands in the file again.")


def _whole(state: State) -> str:
    """The text with all that is missing put back; raises InputError where it cannot be edited."""
    text = state.text
    for gone in _gone(state):
        text = put_back(text, gone)
    return text


def put_back_at_end(state: State) -> State:
    """At the end of a sitting what is missing is put back, as nobody can be asked any more."""
    if not state.missing:
        return state
    said = [words for gone in _gone(state) for words in gone.words]
    state = say(state, "Missing in the file as it is now, and put back:", *(f"  {words}" for words in said))
    try:
        return replace(state, text=_whole(state), missing=(), changed=True)
    except InputError as fault:
        return say(state, NOT_BACK, *(f.text() for f in fault.findings))
