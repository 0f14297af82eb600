"""The one place where the guide meets the disk: what a step changed is saved before anything is shown of it."""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from enum import Enum
from itertools import pairwise
from typing import Any

from ccassist.guide import waiting
from ccassist.guide.answers import NOT_BACK, offer_back, rebased
from ccassist.guide.asks import Ask
from ccassist.guide.recording import unsaved
from ccassist.guide.state import Done, State, said_of, say, settled
from ccassist.guide.step import show, turned
from ccassist.guide.view import Action, Call, Card, Effect, Result, Shown
from ccassist.guide.waiting import Turn
from ccassist.guide.walk import Target
from ccassist.job.disk import doubts
from ccassist.job.write import JobFile
from ccassist.values.findings import Finding, InputError, error
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import Kind

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
        begun, first = rebased(begun, file.text), True
        if not (_recorded(after) or after.finished or isinstance(after.at, waiting.Unsaved)):
            after = say(settled(begun), "Not done:", *_words(fault.findings), READ_AGAIN)
            return _shown(offer_back(after))
        after, fault = _tried(begun, file)
    if fault is not None:
        return _shown(_not_saved(begun, after, fault))
    if first and not after.finished:
        after = offer_back(after)
    lines = (READ_AGAIN, *after.turn.lines) if first else after.turn.lines
    return _shown(replace(after, turn=replace(after.turn, lines=lines)))


def noticed(state: State, file: JobFile) -> tuple[State, Shown]:
    """The sitting after something else wrote into the file, with nothing done; what waits for an answer still does.

    Raises InputError: the file cannot be read now.
    """
    file.reread()
    doubts = state.at.sure if isinstance(state.at, waiting.Sure) else ()
    return _shown(offer_back(say(replace(rebased(state, file.text), turn=Turn()), READ_AGAIN, *doubts)))


def _shown(state: State) -> tuple[State, Shown]:
    return state, show(state)


def _words(findings: Iterable[Finding]) -> list[str]:
    return [f.text() for f in findings]


def _tried(begun: State, file: JobFile) -> tuple[State, InputError | None]:
    """The sitting after what is done, and why it cannot be saved, if so."""
    after = turned(begun, begun.turn.action, begun.turn.line, now=begun.turn.now)
    try:
        if after.text != begun.text:
            file.save(after.text, begun.text, "; ".join(_recorded(after)))
            after = say(after, *_words(doubts()))
        elif (after.finished or isinstance(after.at, waiting.Unsaved)) and (file.changed or file.text != begun.text):
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
        return say(replace(after, text=begun.text), *([NOT_BACK] if lost else []), *_words(fault.findings))
    if not _recorded(after) and not isinstance(after.at, waiting.Unsaved):
        return say(settled(begun), "Not done:", *_words(fault.findings))
    if isinstance(begun.at, waiting.Unsaved):
        return say(begun, *_words(fault.findings))
    return unsaved(begun, begun.turn, fault)


# -- a sitting as text, and back: what a front without a memory of its own keeps between two posts --
_WAITING = [kind for kind in vars(waiting).values() if isinstance(kind, type) and dataclasses.is_dataclass(kind)]
_HELD = (State, Done, Ask, Call, Card, Effect, Result, Target, Quantity, Action, Kind)
_NAMED: Mapping[str, type[Any]] = {kind.__name__: kind for kind in (*_WAITING, *_HELD)}


def to_json(state: State) -> str:
    """All of a sitting; what it can take back holds the file's text only as far as it differs.

    >>> from_json(to_json(State(file="", text="format = 1"))) == State(file="", text="format = 1")
    True
    """
    import json

    texts = [*(done.before.text for done in state.history), state.text]
    bare = [replace(done, before=replace(done.before, text="")) for done in state.history]
    edits = [_edit(new, old) for old, new in pairwise(texts)]
    return json.dumps({"state": _plain(replace(state, history=tuple(bare))), "edits": edits}, allow_nan=False)


def from_json(text: str) -> State:
    """The sitting that such a text holds."""
    import json

    data = json.loads(text)
    state: State = _record(data["state"])
    history, now = [], state.text
    for done, (start, end, old) in zip(reversed(state.history), reversed(data["edits"]), strict=True):
        now = now[:start] + old + now[len(now) - end :]
        history.append(replace(done, before=replace(done.before, text=now)))
    return replace(state, history=tuple(reversed(history)))


def _edit(new: str, old: str) -> tuple[int, int, str]:
    """How a text is made of a newer one: characters kept at its start and at its end, and what stood between."""
    start = _alike(new, old)
    end = _alike(new[start:][::-1], old[start:][::-1])
    return start, end, old[start : len(old) - end]


def _alike(one: str, other: str) -> int:
    """How many characters two texts have in common at their start."""
    return next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def _plain(value: object) -> object:
    if isinstance(value, str):
        return str(value)  # of an enumeration of words the word
    if isinstance(value, Enum):
        return {"is": type(value).__name__, "of": value.name}
    if dataclasses.is_dataclass(value):
        return {"is": type(value).__name__, **{name: _plain(one) for name, one in _said(value)}}
    if isinstance(value, Mapping):
        return {"is": "map", "of": {name: _plain(one) for name, one in value.items()}}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, datetime.datetime):
        return {"is": "time", "of": value.isoformat()}
    return {"is": "float", "of": str(value)} if isinstance(value, float) and not math.isfinite(value) else value


def _said(value: Any) -> Iterator[tuple[str, object]]:
    """What of a record is not as it is where nothing is said."""
    for field in dataclasses.fields(value):
        one = getattr(value, field.name)
        made = field.default_factory() if field.default_factory is not dataclasses.MISSING else field.default
        if one != made:
            yield field.name, one


def _record(data: Any) -> Any:
    if isinstance(data, list):
        return tuple(_record(one) for one in data)
    if not isinstance(data, dict):
        return data
    kind, rest = data["is"], {name: value for name, value in data.items() if name != "is"}
    if kind == "map":
        return {name: _record(one) for name, one in rest["of"].items()}
    if kind == "time":
        return datetime.datetime.fromisoformat(rest["of"])
    if kind == "float":
        return float(rest["of"])
    made = _NAMED[kind]
    return made[rest["of"]] if issubclass(made, Enum) else made(**{name: _record(one) for name, one in rest.items()})
