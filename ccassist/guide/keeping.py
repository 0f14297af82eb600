"""The one place where the guide meets the disk: what a step changed is saved before anything is shown of it."""

from __future__ import annotations

import datetime
from dataclasses import replace

from ccassist.guide import older_copy
from ccassist.guide.readings import unsaved
from ccassist.guide.state import State, Turn, Unsaved, said_of, say, settled
from ccassist.guide.step import show, step
from ccassist.guide.view import Action, Shown
from ccassist.job.write import JobFile
from ccassist.values.findings import Finding, InputError, error

READ_AGAIN = "The file was changed by something else meanwhile and was read again."
CHANGED = "changed"  # as job/write.py names a file that was changed by something else
TRIES = 3  # as often as something else writes into it at the same moment


def post(state: State, action: Action, text: str, file: JobFile, *, now: datetime.datetime) -> tuple[State, Shown]:
    """Do a thing and save what it changed; the file is held open, and locked, by whoever posts.

    What cannot be saved is not done; a reading is kept and can be tried again.  Where something else has written
    into the file it is read again first: a reading is then taken all the same, anything else is not done blindly.
    """
    if action is Action.AGAIN or state.finished:
        return _shown(state)
    said = text.strip()
    begun, first = replace(state, turn=Turn(action=action, text=said, line=said, now=now)), False
    after, fault = _tried(begun, file)
    for _ in range(TRIES):
        if fault is None or fault.findings[0].code != CHANGED:
            break
        try:
            file.reread()
        except InputError as broken:
            fault = broken
            break
        begun, first = older_copy.rebased(begun, file.text), True
        if not (_recorded(after) or after.finished or isinstance(after.at, Unsaved)):
            after = say(settled(begun), "Not done:", *_words(fault.findings), READ_AGAIN)
            return _shown(older_copy.offer_back(after))
        after, fault = _tried(begun, file)
    if fault is not None:
        return _shown(_not_saved(begun, after, fault))
    if first and not after.finished:
        after = older_copy.offer_back(after)
    lines = (READ_AGAIN, *after.turn.lines) if first else after.turn.lines
    return _shown(replace(after, turn=replace(after.turn, lines=lines)))


def _shown(state: State) -> tuple[State, Shown]:
    return state, show(state)


def _words(findings: tuple[Finding, ...]) -> list[str]:
    return [f.text() for f in findings]


def _tried(begun: State, file: JobFile) -> tuple[State, InputError | None]:
    """The sitting after what is done, and why it cannot be saved, if so."""
    after, _ = step(begun, begun.turn.action, begun.turn.line, now=begun.turn.now)
    try:
        if after.text != begun.text:
            file.put_back(after.text)
        elif (after.finished or isinstance(after.at, Unsaved)) and file.changed:
            return after, InputError(error(CHANGED, READ_AGAIN))
    except InputError as fault:
        return after, fault
    return after, None


def _recorded(after: State) -> list[str]:
    """The readings that a step would record, in words."""
    rows = [effect.row for effect in after.turn.effects if effect.what == "recorded"]
    return [said_of({f"{name} =": texts for name, texts in row.items()}) for row in rows]


def _not_saved(begun: State, after: State, fault: InputError) -> State:
    """The sitting as it was, with a reading kept until it can be saved; over, with what is lost, where it was ended."""
    if after.finished:
        lost = after.text != begun.text
        return say(replace(after, text=begun.text), *([older_copy.NOT_BACK] if lost else []), *_words(fault.findings))
    rows = _recorded(after)
    if not rows and not isinstance(after.at, Unsaved):
        return say(settled(begun), "Not done:", *_words(fault.findings))
    unread = f"; not saved: {'; '.join(rows)}" if rows else ""
    fault = InputError([replace(f, wrong=f"{f.wrong}{unread}") for f in fault.findings])
    if isinstance(begun.at, Unsaved):
        return say(begun, *_words(fault.findings))
    return unsaved(begun, begun.turn, fault)
