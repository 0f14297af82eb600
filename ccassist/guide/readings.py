"""The values of one reading: read, doubted where they are odd, and put into the file's text when all are there."""

from __future__ import annotations

import contextlib
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ccassist.bench.instruments import Instrument, find
from ccassist.bench.step import Field
from ccassist.guide import waiting
from ccassist.guide.asks import next_ask
from ccassist.guide.moving import advance
from ccassist.guide.recording import NONE, complete, keep_given, may_be_given, not_read
from ccassist.guide.state import State, as_one, did, doubted, said_of, say, texts_of, with_typed
from ccassist.guide.typed import named, readings_of, signed, values_of
from ccassist.guide.view import ON_ONE_LINE, Action, Call
from ccassist.guide.waiting import Read
from ccassist.guide.walk import calibrations_of, improvised
from ccassist.values.asking import quantity_with_unit
from ccassist.values.findings import InputError, error
from ccassist.values.grammar import ORIGINS
from ccassist.values.quantity import doubtful
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import in_unit

ONLY_READ = "Readings are taken here; a figure of the maker's, or assumed, is stated in the file or before any reading"
SCALE = "burette_reading"  # of a delivering tool's own scale
SEVERAL = re.compile(r"\d[\s,]+\d")  # what looks like several values where one was expected


def unit_of(state: State, key: str) -> str:
    """The unit that bare numbers of a term take here."""
    return state.units.get(term(key).kind.name, "") or term(key).shown(state.job.system)


def take(
    state: State,
    text: str,
    key: str,
    keep: Callable[[State, Read], State],
    *,
    many: bool = False,
    refused: Callable[[Read], str] = lambda _: "",
) -> State:
    """Read a quantity, several where there may be; keep it, ask "are you sure?", or say what is wrong."""
    try:
        found = quantities(state, text, key, many=many)
    except InputError as fault:
        return say(state, *(f.text() for f in fault.findings), *([ON_ONE_LINE] if SEVERAL.search(text) else []))
    if why := refused(found):
        return say(state, why)
    if doubts := unusual(state, found):
        return doubted(state, doubts)
    return keep(state, found)


def quantities(state: State, text: str, key: str, *, many: bool) -> Read:
    """What a text says of a term; raises InputError where that cannot be read."""
    parts = [one for part in text.split(";") for one in values_of(part)] if many else [text]
    if not parts:
        raise InputError(error("missing-value", "nothing was read", read=text, right="type what you read"))
    before, sight = sign_before(state, key), unit_of(state, key)
    return tuple(quantity_with_unit(signed(part, key, before), key, sight=sight) for part in parts)


def sign_before(state: State, key: str) -> str:
    """The last value of a term read in this sitting, whose sign word a bare number takes."""
    if state.target is None or term(key).sign is None:
        return ""
    typed = [one.raw for values in state.typed.values() for one in values if one.key == key]
    step = state.place.step
    rows = [row for s in state.job.series if s.step == step for row in s.rows] if state.target in state.recorded else []
    read = [texts[-1] for row in rows[-1:] for name, texts in row.fields.items() if state.step.fields[name].term == key]
    return [*read, *typed][-1] if read or typed else ""


def unusual(state: State, found: Read) -> list[str]:
    """The first thing unusual about quantities, unless that was meant."""
    first = next((f.text() for one in found if (f := doubtful(one))), "")
    return [first] if first and first not in state.turn.sure else []


# -- answers ----------------------------------------------------------------------------
def answer(state: State, text: str) -> State:
    """Take one value, or whole readings from one text."""
    return begun_rest(state, _taken(state, text))


def begun_rest(state: State, after: State) -> State:
    """After the first reading of a set-up: what could wait is asked."""
    waits = isinstance(after.at, waiting.ReadingAsked) and not after.typed and len(after.recorded) > len(state.recorded)
    rest = next_ask(after.place, after.said, rest=True) if waits else None
    if rest is None or after.target != state.target:
        return after
    after = _uncalibrated(after)
    return replace(say(after, "For the \u00b1 of what was read, once:"), at=waiting.SetUpAsked(rest=True))


def _uncalibrated(state: State) -> State:
    """Once a sitting that a tool with a rough scale may be calibrated, which corrects the fills made with it, too."""
    name = next(iter(state.said.get("instrument", ())), "")
    if not (state.step.part and state.method.reads is Kind.VOLUME and improvised(name, state.job)):
        return state
    known, way = calibrations_of(name, state.job), f"calibrate {name}"
    if known or way in state.shown:
        return state
    state = replace(state, shown=(*state.shown, way))
    return say(state, (f"{name} is not calibrated: ", Call(Action.JUMP, "calibrate"), " does it, now or later"))


def _taken(state: State, text: str) -> State:
    """Take one value, or whole readings from one text: each is taken whole or not at all."""
    if (said := named(text)) is not None:
        return _by_name(state, said, text)
    lists = any(f.many for f in state.fields)
    groups = readings_of(text, lists=lists)
    if len(groups) <= 1 and len(groups[0] if groups else ()) <= 1:
        return _one_value(state, " ".join(text.split()))
    for number, values in enumerate(groups):
        before = state
        state = _several(state, values, text if len(groups) == 1 else ", ".join(values))
        left = [", ".join(row) for row in groups[number + 1 :]]
        if left and (state.text == before.text or not isinstance(state.at, waiting.ReadingAsked)):
            return say(state, f"Not taken, as what stands before it was not: {'; '.join(left)}")
    return state


def _by_name(state: State, said: Mapping[str, str], text: str) -> State:
    """One reading, its values by their names: what hardly ever changes may be left out, and no value makes two."""
    names = [f.name for f in state.fields]
    if odd := [name for name in said if name not in names]:
        return say(state, f'Not taken: a reading here has no "{odd[0]}"; it has: {", ".join(names)}')
    values = {name: value for name, value in said.items() if value}
    if len(values) == 1 and not_read(alone := next(iter(values.values()))):
        return _one_value(state, alone)
    left = [f for f in state.fields if f.name in values or f.name not in state.typed]
    parts = [values.get(f.name) or as_before(state, f) or (NONE if f.optional else "") for f in left]
    if missing := [f.name for f, part in zip(left, parts, strict=True) if not part]:
        return say(state, f"Not taken: {' and '.join(missing)} missing; the values of a reading go together")
    after = _all_of(state, left, parts, text)
    return after if isinstance(after, State) else say(state, *after, f"Not taken: {text}")


def _several(state: State, values: list[str], text: str) -> State:
    """Whole readings from the values of one line; where only "nothing to say" is typed of one, it is said anew."""
    if not texts_of(state.typed):
        state = as_one(state)
    wanted, begun = _wanted(state, len(values), values), said_of(texts_of(state.typed))
    if state.typed and len(values) > len(wanted):
        still = "one value of it is missing" if len(wanted) == 1 else f"{len(wanted)} values of it are missing"
        words = f"Not taken: {text}. A reading is begun ({begun}) and {still}: type that alone, or "
        return say(state, (words, Action.UNDO, " drops what is begun"))
    taken, needed = False, [f for f in state.fields if not f.optional]
    if state.fields[0].optional and not state.typed and len(values) == len(needed):
        values = [NONE if f.optional else values[needed.index(f)] for f in state.fields]  # its first need not be said
    while values and isinstance(state.at, waiting.ReadingAsked):
        wanted = _wanted(state, len(values), values)
        after = _all_of(state, wanted, values[: len(wanted)])
        if isinstance(after, list):
            state = say(state, *after)
            break
        state, taken, values = after, True, values[len(wanted) :]
    if not values:
        return state
    what = "The rest of the line was not taken" if taken else "Not taken, all of it is asked again"
    return say(state, f"{what}: {', '.join(values)}")


def _wanted(state: State, count: int = 1, values: Sequence[str] = ()) -> list[Field]:
    """The values that are still asked for: not one that hardly ever changes, unless all of them are typed."""
    left = [f for f in state.fields if f.name not in state.typed]
    asked = [f for f in left if not (f.steady and known_before(state, f))]
    if len(asked) == len(left) or state.typed or count < len(left):
        return asked
    at = next(i for i, f in enumerate(left) if f not in asked)
    same = values[at : at + 1] and _same_as_before(state, left[at], values[at])
    return left if same or (count == len(left) and count % len(asked)) else asked


def next_field(state: State) -> Field:
    """The value that is asked for now."""
    return _wanted(state)[0]


def _same_as_before(state: State, field: Field, text: str) -> bool:
    before = known_before(state, field)
    with contextlib.suppress(InputError):
        unit = unit_of(state, field.term)
        one, other = (quantity_with_unit(said, field.term, sight=unit) for said in (text, before))
        return one.value == other.value
    return False


def _all_of(state: State, fields: Sequence[Field], parts: Sequence[str], text: str = "") -> State | list[str]:
    """The values of one reading from one text: all of them; or, where none are taken, what is wrong with them.

    What is left for the next question may only be what need not be said.  ``text`` : how it was said, where the parts
    do not say it.
    """
    if any(not f.optional for f in fields[len(parts) :]):
        return []
    typed: dict[str, Read] = {}
    try:
        for field, part in zip(fields, parts, strict=False):
            if part == NONE and field.optional:
                typed[field.name] = ()
                continue
            typed[field.name] = quantities(state, part, field.term, many=field.many)
            if why := refused(state, typed[field.name]):
                return [why]
    except InputError as fault:
        return [f.text() for f in fault.findings]
    doubts = [doubt for found in typed.values() for doubt in unusual(state, found)]
    if text and (lists := uneven(state.fields, {**state.typed, **typed})):
        return [_how_uneven(lists)]
    if not doubts:
        return put(state, typed)
    return say(doubted(state, doubts, text=text or ", ".join(parts)), f"Read: {said_of(texts_of(typed))}")


def _one_value(state: State, text: str) -> State:
    """Take a value; the last one completes the reading."""
    field = _wanted(state)[0]
    before, given = as_before(state, field), may_be_given(state, field)

    def wrong(found: Read) -> str:
        why = "" if given and _not_read(found) else refused(state, found)
        return f"Not taken: {text}. {why}" if why == ONLY_READ else why

    def keep(state: State, found: Read) -> State:
        return keep_given(state, given, found[0].raw) if _not_read(found) else put(state, {field.name: found})

    if given and given != field.term and not_read(text):
        return take(state, text, given, keep)
    if text and not (text == NONE and field.optional):
        return take(state, text, field.term, keep, many=field.many, refused=wrong)
    if not text and enough(state):
        return advance(state)
    if field.optional:
        return put(state, {field.name: ()})
    if not text and before:
        return put(state, {field.name: (quantity_with_unit(before, field.term, system=state.job.system),)})
    words = (Action.SKIP, " skips this for today, ", Action.LIST, " lists what is left, ", Action.FINISH, " finishes")
    return say(state, ("Type what you read; ", *words))


def _not_read(found: Read) -> bool:
    """Whether a value says of itself that it is the maker's or assumed."""
    return any(one.origin in ORIGINS[1:] for one in found)


def as_before(state: State, field: Field) -> str:
    """What an empty answer takes where a value hardly ever changes: that read before, else what the tool holds."""
    return known_before(state, field) or (_holds(state) if field.steady else "")


def known_before(state: State, field: Field) -> str:
    """A value that hardly ever changes, as it was read last with the same tool."""
    if not field.steady:
        return ""
    tool = next(iter(state.said.get("instrument", ())), "")
    rows = [row for s in state.job.series if s.instrument == tool and s.step == state.place.step for row in s.rows]
    found = next((row.fields[field.name] for row in reversed(rows) if field.name in row.fields), ())
    return found[0] if len(found) == 1 else ""


def _holds(state: State) -> str:
    """The capacity of the tool, as its scale says it; "" where it delivers nothing or has no end."""
    tool = tool_of(state)
    if tool is None or not tool.fills or not math.isfinite(tool.capacity):
        return ""
    unit = unit_of(state, SCALE)
    return f"{in_unit(tool.capacity, unit):.4g} {unit}"


def tool_of(state: State) -> Instrument | None:
    """The tool read with, as it is known or the job describes it; None where none is said, or it is not known."""
    from ccassist.job.equipment import kit_of

    name = next(iter(state.said.get("instrument", ())), "")
    return kit_of(state.job)[0].instruments.get(name) if name in state.job.instruments else find(name)


def on_its_scale(state: State, key: str) -> str:
    """What a reading of the tool's own scale can be, such as "0 to 60 cc"; "" of anything else."""
    held = _holds(state) if key == SCALE else ""
    return f"0 to {held}" if held else ""


def refused(state: State, found: Read) -> str:
    """What cannot be a reading here: the maker's figure or an assumed one, or one beyond the tool's scale."""
    if _not_read(found):
        return ONLY_READ
    from ccassist.bench.requirements import off_scale

    tool = tool_of(state)
    off = [fault for one in found if tool is not None and (fault := off_scale(tool, one)) is not None]
    return off[0].text() if off else ""


def enough(state: State) -> bool:
    """Whether another reading would be one more than asked for, and none is begun."""
    return not state.typed and state.task.counted >= state.task.asked


# -- a reading --------------------------------------------------------------------------
def put(state: State, values: Mapping[str, Read]) -> State:
    """Keep values of a reading; the last one makes it complete."""
    typed, sure = {**state.typed, **values}, state.sure or bool(state.turn.sure)
    for one in [] if _wanted(replace(state, typed=typed)) else [f for f in state.fields if f.name not in typed]:
        typed[one.name] = (quantity_with_unit(known_before(state, one), one.term, system=state.job.system),)
    typed = {f.name: typed[f.name] for f in state.fields if f.name in typed}
    if all(f.name in typed for f in state.fields) and (lists := uneven(state.fields, typed)):
        others = {name: one for name, one in typed.items() if name not in lists or name in state.typed}
        return which_lacks(replace(state, typed=others), lists, waiting.ReadingAsked())
    if all(f.name in typed for f in state.fields):
        return complete(as_one(state), typed, sure=sure)
    words = said_of(texts_of(values)) or f"{' and '.join(values)} none"
    after = with_typed(replace(state, typed=typed, sure=sure, at=waiting.ReadingAsked()))
    return did(after, words, state, half=True)


def uneven(fields: Sequence[Field], typed: Mapping[str, Read]) -> dict[str, Read]:
    """The lists that belong together, where one of them is shorter than another; else none."""
    lists = {f.name: typed[f.name] for f in fields if f.many and typed.get(f.name)}
    return lists if len(set(map(len, lists.values()))) > 1 else {}


def which_lacks(state: State, lists: Mapping[str, Read], before: waiting.At) -> State:
    """Uneven lists are kept, and only what is missing is asked; those of the shortest are shown with their numbers."""
    short = min(lists, key=lambda name: len(lists[name]))
    listed = ", ".join(f"{number}: {one.raw}" for number, one in enumerate(lists[short], start=1))
    state = say(state, f"{_how_uneven(lists)}. All are kept. Those of {short}, {listed}")
    return replace(state, at=waiting.Points(typed=lists, before=before))


def _how_uneven(lists: Mapping[str, Read]) -> str:
    sizes = " and ".join(f"{name} {len(read)}" for name, read in lists.items())
    return f"Each value needs its other: there are of {sizes}"
