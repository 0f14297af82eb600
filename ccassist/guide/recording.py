"""A reading that has all its values: looked at, questioned where it is odd, kept; or a figure stated in its stead."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.bench.step import Field
from ccassist.guide import waiting
from ccassist.guide.asks import Said, taken_fluid
from ccassist.guide.asks import header as header_of
from ccassist.guide.moving import advance, progress, with_said
from ccassist.guide.state import EMPTY, State, did, doubted, effect, read, said_of, say, tell, texts_of, warn
from ccassist.guide.typed import picture
from ccassist.guide.view import Action, Result
from ccassist.guide.waiting import Read, Turn
from ccassist.guide.walk import kind_of
from ccassist.job import amend
from ccassist.job.records import Job, Part
from ccassist.job.vocabulary import GIVEN_TERMS
from ccassist.job.write import LONG, Entry, append_reading, prove
from ccassist.values.findings import Finding, InputError
from ccassist.values.grammar import ORIGINS, without_origin
from ccassist.values.quantity import doubtful

NONE = "-"  # nothing to say, where an empty answer means something else


def _open(state: State, asked: Sequence[Finding]) -> list[str]:
    """Questions that were not answered by "yes"; about what is not in the file yet, so without a line of it."""
    return [text for f in asked if (text := _at_the_bench(f).text()) not in state.turn.sure]


def _at_the_bench(finding: Finding) -> Finding:
    """A finding without its place in the file, where what was read is not yet."""
    place = "" if finding.place.startswith("series ") else finding.place
    return replace(finding, file="", line=None, place=place)


def questions(state: State, text: str) -> list[str]:
    """What a text of the file would make doubtful, and was not answered by "yes"."""
    from ccassist.analysis.results import new_questions

    return _open(state, new_questions(state.job, read(text, state.file).job))


def complete(state: State, typed: Mapping[str, Read], *, sure: bool) -> State:
    """A reading with all its values: looked at as the file check would, questioned where it is odd, and kept."""
    from ccassist.analysis.results import new_questions
    from ccassist.analysis.which_counts import UNSAID
    from ccassist.guide.told import ASKED_ALREADY
    from ccassist.job.entry import SURE, try_reading

    row = texts_of(typed)
    remark = "; ".join(text for text in (state.noted, SURE if sure else "") if text)
    extra: dict[str, str] = {**({"remark": remark} if remark else {}), "time": state.turn.now.strftime("%H:%M")}
    said = _of_today(state)
    fluid = taken_fluid(state.place, said)
    header = header_of(state.job, state.place, {**said, **({"fluid": (fluid,)} if fluid else {})}, day_of(state))
    try:
        tried = try_reading(_with_part(state), header, {**row, "time": extra["time"]})
    except InputError as fault:
        return say(state, "Not recorded:", *(f.text() for f in fault.findings))
    state = warn(state, [f.text() for f in tried.others if f.code not in ASKED_ALREADY])
    whole = ", ".join("; ".join(row.get(name, ())) or NONE for name in typed)
    try:
        text = _appended(state, header, row, extra)
    except InputError as fault:
        return unsaved(state, replace(state.turn, action=Action.SAY, text=whole), fault)
    if {"x", "y"} == set(typed):
        state = say(state, *picture([(x.value, y.value) for x, y in zip(typed["x"], typed["y"], strict=True)]))
    asked = new_questions(state.job, read(text, state.file).job)
    doubts = _open(state, [f for f in asked if f.code != UNSAID])  # which is asked with the set-up
    if doubts:
        meant = [f.text() for found in typed.values() for one in found if (f := doubtful(one))]  # asked one by one
        lists = {f.name: typed[f.name] for f in state.fields if f.many} if state.method.points else {}
        turn = replace(state.turn, sure=(*state.turn.sure, *meant))
        return doubted(replace(state, turn=turn), doubts, text=whole, named=said_of(row), lists=lists)
    after = replace(state, text=text, noted="", at=waiting.ReadingAsked(), recorded=(*state.recorded, state.place))
    after = with_said(replace(after, said=said))
    return told_anew(did(after, said_of(row), state, effect(state, "recorded", row)), echoed=True)


def unsaved(state: State, turn: Turn, fault: InputError) -> State:
    """The sitting with what was done in a turn, and could not be saved, kept until it can."""
    kept = replace(turn, card=None, lines=(), effects=(), screens=())
    return replace(say(state, *(f.text() for f in fault.findings)), at=waiting.Unsaved(turn=kept, before=state.at))


def _appended(state: State, header: Mapping[str, Entry], said: Said, extra: Mapping[str, str]) -> str:
    """The file's text with the reading, which is read back from it, and the part that it is of.

    Raises InputError: it cannot be added to this file as it stands.
    """
    text, place = state.text, state.place
    if place.part and state.step.part and place.part not in state.job.parts:
        text = amend.add_part(text, place.part, kind_of(place))
    row: dict[str, Entry] = {**said, **extra}
    text = append_reading(text, header, row)
    if not state.recorded or len(text) > LONG:  # as after the first one, which was read back
        prove(text, row, state.file, ", ".join(f"{name} = {' and '.join(texts)}" for name, texts in said.items()))
    return text


def day_of(state: State) -> datetime.date:
    """Today; a calibration that is gone on with keeps the day on which it was begun, or it would be two halves."""
    task = state.task
    if not state.step.part and task.open and task.latest is not None:
        with contextlib.suppress(ValueError):
            return datetime.date.fromisoformat(task.latest.date)
    return state.turn.now.date()


def _of_today(state: State) -> Said:
    """The set-up without the temperature of another day, which is asked anew."""
    last = next((s for s in reversed(state.job.series) if s.step == state.place.step and s.rows), None)
    old = last is not None and last.date not in ("", day_of(state).isoformat())
    if not old or last is None or state.said.get("temperature", ()) != last.settings.get("temperature", ()):
        return state.said
    return {name: texts for name, texts in state.said.items() if name != "temperature"}


def _with_part(state: State) -> Job:
    """The job as it will be once the part measured has its own section."""
    job, name = state.job, state.place.part
    if not name or name in job.parts or not state.step.part:
        return job
    part = Part(name=name, kind=kind_of(state.place), cylinders=state.task.cylinders)
    return replace(job, parts={**job.parts, name: part})


def told_anew(state: State, *, echoed: bool = False) -> State:
    """With what the readings now say; ``echoed`` : first the one just kept, as it was taken."""
    from ccassist.guide import told

    if echoed:
        rows = [row for series in state.job.series for row in series.rows]
        state = say(state, *told.echo(state.job, rows[-1]))
    task = state.task
    said = [*told.told(state.job, task.rows)]
    if task.counted >= task.asked:
        said.append(Result(what="progress", text=(f"{progress(task)} ", EMPTY, " goes on.")))
    elif task.rows:
        said.append(Result(what="progress", text=f"{task.counted} of {task.asked} asked for here."))
    return tell(state, tuple(said))


# -- a figure that was not read, but is the maker's or assumed -------------------------------
def may_be_given(state: State, field: Field) -> str:
    """The term of the part here that such a figure may state, where it was not read yet; "" where there is none.

    Of a reading of one value that value; of a fill, or of two readings at a time, what the step is for.
    """
    if state.task.rows or state.typed:
        return ""
    alone = [f for f in state.method.fields if not f.optional] == [field]
    found = (field.term if alone else "", *state.step.gives, STATES_CROWN.get(state.place.step, ""))
    return next((key for key in found if key in GIVEN_TERMS), "")


# What is stated in place of the fill over a piston, which has no term of its own among what may be stated.
STATES_CROWN = {"crown": "crown_volume"}


def not_read(text: str) -> bool:
    """Whether a text says of itself that it is the maker's figure or assumed."""
    return without_origin(text)[1] in ORIGINS[1:]


def keep_given(state: State, key: str, text: str) -> State:
    """Put it into the file where it belongs, and go on: no repeats are asked of it."""
    place, file_text = state.place, state.text
    section = ["part", place.part] if place.part else ["cylinder", str(place.cylinder)]
    if place.part and place.part not in state.job.parts:
        file_text = amend.add_part(file_text, place.part, kind_of(place))
    after = replace(state, text=amend.state(file_text, section, key, text), sure=False)
    from ccassist.guide import told

    if doubts := questions(state, after.text):
        return doubted(state, doubts)
    heading = f'{section[0]}."{section[1]}"' if " " in section[1] else ".".join(section)
    after = say(after, f'Kept as a statement, not as a reading: [{heading}] {key} = "{text}"')
    after = replace(after, stated=(*state.stated, f"{'.'.join(section)} {key}"))
    after = advance(did(after, f"{key}, stated: {text}", state))
    return tell(after, told.stated(after.job, key, state.task.cylinders))
