"""Readings that are lists: points of an outline, of which a wrong one is put right by itself; timed levels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.bench.step import Field
from ccassist.guide import waiting
from ccassist.guide.asks import header as header_of
from ccassist.guide.readings import answer as answer_values
from ccassist.guide.readings import begun_rest, put, quantities, refused, take, uneven, unit_of, unusual, which_lacks
from ccassist.guide.recording import day_of, not_read, told_anew
from ccassist.guide.state import State, did, doubted, effect, said_of, say, texts_of
from ccassist.guide.typed import MISSING, as_lists, named, readings_of, values_of
from ccassist.guide.view import Question
from ccassist.guide.waiting import Read
from ccassist.job import amend
from ccassist.values.findings import InputError

NOUNS = {"x": "point", "depth": "stage", "settle": "reading"}  # of what is read with the first list; else a delivery


def answer(state: State, text: str) -> State:
    """Take lists of points, in whatever way they were pasted; any other reading by its values."""
    lists = state.method.points and text and "=" not in text and not not_read(text)
    after = _lists(state, text) if lists else None
    return answer_values(state, text) if after is None else begun_rest(state, after)


def _lists(state: State, text: str) -> State | None:
    """The lists of one text, what cannot be read of them left out and asked by itself; None where nothing can."""
    wanted = [f for f in state.fields if f.name not in state.typed]
    lists = as_lists(readings_of(text, lists=True), len(wanted))
    typed: dict[str, Read] = {}
    gaps: list[tuple[str, int]] = []
    said: list[str] = []
    for field, texts in zip(wanted, lists, strict=False):
        found: list[Read] = []
        for number, one in enumerate(texts, start=1):
            value, why = _value(state, field.term, one)
            if why:
                gaps.append((field.name, number))
                said += [why] if one not in MISSING else []
            else:
                found.append(value)
        typed[field.name] = tuple(one for value in found for one in value)
    if len(lists) > len(wanted) or not all(typed.values()):
        return None
    if gaps:
        return say(replace(state, at=waiting.Points(typed=typed, gaps=tuple(gaps), before=state.at)), *said)
    if doubts := [text for found in typed.values() for text in unusual(state, found)]:
        return doubted(state, doubts, text=", ".join(map("; ".join, lists)), lists=typed)
    return put(state, typed)


def _value(state: State, key: str, text: str) -> tuple[Read, str]:
    """One value as it is read, or why it is not."""
    if text in MISSING:
        return (), "nothing was read"
    try:
        found = quantities(state, text, key, many=False)
    except InputError as fault:
        return (), fault.findings[0].text()
    return found, refused(state, found)


# -- one point put right ------------------------------------------------------------------
def asked(state: State, at: waiting.Points) -> Question:
    """Which point, and its values: only those that are missing."""
    noun, short, terms = _noun(at), _short(at.typed), _terms(state)
    if at.gaps:
        name, number = at.gaps[0]
        return Question(words=f"{_called([name])} of {noun} {number}", unit=unit_of(state, terms[name]))
    names = short or list(at.typed)
    number = _swapped(at.typed) or min(map(len, at.typed.values()))
    values = " ".join(_bare(read[min(number, len(read)) - 1].raw) for read in (at.typed[name] for name in names))
    anew = f"Its number and its {_called(names)}, such as: {number} {values}"
    if short:
        return Question(words=f"Which {noun} lacks its {_called(short)}? {anew}")
    empty = f"{noun} {number} changed over" if _swapped(at.typed) else "all as they are"
    return Question(words=f"Which {noun} is wrong? {anew}", empty=empty)


def answer_points(state: State, text: str) -> State:
    """Put a missing value in, or a point right; then the reading is as it would have been."""
    at = state.at
    assert isinstance(at, waiting.Points)
    parts, short, names = values_of(text), _short(at.typed), list(at.typed)
    if at.gaps:
        name, number = at.gaps[0]
        parts = parts if len(parts) == 1 else parts[1:] if parts[:1] == [str(number)] else []
        return _put_in(state, at, [name], number, parts, missing=True)
    if not text and not short:
        swapped = _swapped(at.typed)
        return _on(state, at, _changed_over(at.typed, swapped) if swapped else at.typed)
    most = max(map(len, at.typed.values()))
    whole = [part for one in text.split(";") for part in values_of(one)]
    if len(short) == 1 and len(whole) == most and (most > len(short) + 1 or ";" in text):
        return _whole(state, at, short[0], whole)
    number = int(parts[0]) if parts and parts[0].isascii() and parts[0].isdecimal() else 0
    if not 1 <= number <= most:
        return say(state, f"Begin with the number of the {_noun(at)}, 1 to {most}")
    return _put_in(state, at, short or names, number, parts[1:], missing=bool(short))


def _put_in(
    state: State, at: waiting.Points, names: Sequence[str], number: int, parts: Sequence[str], *, missing: bool
) -> State:
    """Values of a point: those ``missing`` between their neighbours, others in place of what was read."""
    if len(parts) != len(names):
        return say(state, f"One value of each is wanted: {', '.join(names)}")
    typed, terms = dict(at.typed), _terms(state)
    for name, part in zip(names, parts, strict=True):
        found, why = _value(state, terms[name], part)
        if why:
            return say(state, why)
        if doubts := unusual(state, found):
            return doubted(state, doubts)
        before = typed[name]
        typed[name] = (*before[: number - 1], *found, *before[number - 1 if missing else number :])
    return _on(state, replace(at, gaps=at.gaps[1:]), typed)


def _whole(state: State, at: waiting.Points, name: str, parts: Sequence[str]) -> State:
    """The list that is short, all of it anew."""
    found = [_value(state, _terms(state)[name], part) for part in parts]
    if why := next((why for _, why in found if why), ""):
        return say(state, why)
    return _on(state, at, {**at.typed, name: tuple(one for read, _ in found for one in read)})


def _on(state: State, at: waiting.Points, typed: Mapping[str, Read]) -> State:
    """On to what is still missing; where nothing is, to the reading with its lists."""
    if at.gaps or (_short(typed) and isinstance(at.before, waiting.Timed)):
        return replace(state, at=replace(at, typed=typed))
    if isinstance(at.before, waiting.Timed):
        return put_timed(replace(state, at=at.before.before), at.before.place, texts_of({**at.before.typed, **typed}))
    return begun_rest(replace(state, at=at.before), put(replace(state, at=at.before), typed))


def _noun(at: waiting.Points) -> str:
    return NOUNS.get(next(iter(at.typed)), "delivery")


def _called(names: Sequence[str]) -> str:
    return " and ".join(names).replace("_", " ")


def _terms(state: State) -> Mapping[str, str]:
    return {f.name: f.term for f in state.method.fields}


def _short(typed: Mapping[str, Read]) -> list[str]:
    """The lists that have fewer values than another."""
    return [name for name, read in typed.items() if len(read) < max(map(len, typed.values()))]


def _bare(raw: str) -> str:
    """A value without its unit, as it may be typed."""
    return raw.split(" ")[0]


def _swapped(typed: Mapping[str, Read]) -> int:
    """The point of an outline whose two numbers seem to be changed over, from 1; 0 where none is."""
    from ccassist.bench.rows import swapped_pair

    if set(typed) != {"x", "y"} or _short(typed):
        return 0
    found = swapped_pair([(x.value, y.value) for x, y in zip(typed["x"], typed["y"], strict=True)])
    return 0 if found is None else found + 1


def _changed_over(typed: Mapping[str, Read], number: int) -> Mapping[str, Read]:
    """With the two numbers of a point changed over."""
    x, y = (list(typed[name]) for name in ("x", "y"))
    at = number - 1
    x[at], y[at] = (replace(one, key=other.key) for one, other in ((y[at], x[at]), (x[at], y[at])))
    return {"x": tuple(x), "y": tuple(y)}


# -- readings taken while the level falls after a fill, put to the fill that is kept --------
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
