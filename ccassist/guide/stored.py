"""A sitting as text, and back: what a front without a memory of its own keeps between two posts."""

from __future__ import annotations

import dataclasses
import datetime
import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from enum import Enum
from typing import Any

from ccassist.guide import state as sitting
from ccassist.guide.asks import Ask
from ccassist.guide.state import Done, State
from ccassist.guide.view import Action, Call, Card, Effect, Result
from ccassist.guide.walk import Target
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import Kind

_WAITING = (sitting.Confirm, sitting.SetUp, sitting.Offer, sitting.Reading, sitting.Stating, sitting.PutBack)
_BEGUN = (sitting.AllDone, sitting.Timed, sitting.Origin, sitting.Words, sitting.Sure, sitting.Unsaved)
_RECORDS = (State, Done, sitting.Turn, *_WAITING, *_BEGUN, Ask, Call, Card, Effect, Result, Target, Quantity)
_NAMED: Mapping[str, type[Any]] = {kind.__name__: kind for kind in (*_RECORDS, Action, Kind)}


def to_json(state: State) -> str:
    """All of a sitting; what it can take back holds the file's text only as far as it differs.

    >>> from_json(to_json(State(file="", text="format = 1"))) == State(file="", text="format = 1")
    True
    """
    texts = [done.before.text for done in state.history]
    bare = [replace(done, before=replace(done.before, text="")) for done in state.history]
    edits = [_edit(new, old) for old, new in zip(texts, [*texts[1:], state.text], strict=True)]
    return json.dumps({"state": _plain(replace(state, history=tuple(bare))), "edits": edits}, allow_nan=False)


def from_json(text: str) -> State:
    """The sitting that such a text holds."""
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
