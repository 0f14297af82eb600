"""Readings taken while the level falls after a fill, put to the fill that is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ccassist.bench.step import Field
from ccassist.guide import waiting
from ccassist.guide.asks import header as header_of
from ccassist.guide.readings import quantities, take, uneven, unusual, which_lacks
from ccassist.guide.recording import day_of, told_anew
from ccassist.guide.state import State, did, doubted, effect, said_of, say, texts_of
from ccassist.guide.typed import named
from ccassist.guide.waiting import Read
from ccassist.job import amend


def next_timed(state: State, at: waiting.Timed) -> Field:
    """The timed reading asked for now."""
    return next(f for f in state.timed_fields if f.name not in at.typed)


def answer_timed(state: State, text: str) -> State:
    """Take it; the last one keeps all."""
    at = state.at
    assert isinstance(at, waiting.Timed)
    if not text:
        return say(replace(state, at=at.before), "No timed readings put to it")
    if (said := named(text)) is not None:
        return _by_name(state, at, said, text)
    field = next_timed(state, at)

    def keep(state: State, found: Read) -> State:
        typed = {**at.typed, field.name: found}
        if len(typed) < len(state.timed_fields):
            return replace(state, at=replace(at, typed=typed))
        if lists := uneven(state.timed_fields, typed):
            return which_lacks(state, lists, replace(at, typed=typed))
        return put_timed(replace(state, at=at.before), at.place, texts_of(typed))

    return take(state, text, field.term, keep, many=field.many)


def _by_name(state: State, at: waiting.Timed, said: Mapping[str, str], text: str) -> State:
    """All of them from one text, by their names."""
    names = [f.name for f in state.timed_fields]
    if sorted(said) != sorted(names) or not all(said.values()):
        return say(state, f"Not taken: {', '.join(names)} go together")
    typed = {f.name: quantities(state, said[f.name], f.term, many=f.many) for f in state.timed_fields}
    if doubts := [doubt for found in typed.values() for doubt in unusual(state, found)]:
        return doubted(state, doubts, text=text)
    return put_timed(replace(state, at=at.before), at.place, texts_of(typed))


def put_timed(state: State, place: str, typed: Mapping[str, tuple[str, ...]]) -> State:
    """Put timed readings to a reading; raises InputError where they cannot be used."""
    from ccassist.job.entry import try_reading

    row = next(row.fields for series in state.job.series for row in series.rows if row.place == place)
    header = header_of(state.job, state.place, state.said, day_of(state))
    try_reading(state.job, header, {**row, **typed})
    more = {name: texts[0] if len(texts) == 1 else texts for name, texts in typed.items()}
    after = replace(state, text=amend.annotate(state.text, place, more))
    done = effect(state, "timed", {**row, **typed})
    return told_anew(did(after, f"timed readings, {said_of(typed)}", state, done))
