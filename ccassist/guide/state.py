"""One sitting at the bench as a frozen record; a step of the guide makes the next one of it.

Nothing here knows a terminal, a file or a clock: the text of the job file is
part of the record, and whoever shows the record saves that text first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from functools import lru_cache

from ccassist.bench.step import Field, Method, Step
from ccassist.bench.steps import STEPS
from ccassist.guide import waiting
from ccassist.guide.asks import TYPED, WHERE, Said, method_of
from ccassist.guide.view import Action, Call, Effect, Line, Result
from ccassist.guide.waiting import Read, Turn
from ccassist.guide.walk import Target, Task, in_state, plan
from ccassist.job import amend
from ccassist.job.file import Loaded, parse_job
from ccassist.job.records import Job
from ccassist.vocabulary.record import record

EMPTY = Call(Action.SAY)  # as a sentence names the empty answer
MOST_TEXTS = 6  # values of a list that are said one by one
STAYS = ("turn", "warned", "shown", "earlier", "missing")  # what undo leaves as it is


@record
class Done:
    """One thing done, in words, and the sitting before it; what it did to a reading, if anything.

    ``half`` : one value of a reading that is not complete yet; ``answer`` : an answer, which "back" asks again.
    """

    words: str
    before: State
    effect: Effect | None = None
    half: bool = False
    answer: bool = False


@record
class State:
    """A sitting.

    file, text : the job file's name, and all that stands in it.
    at : what is waited for.
    target : what is measured; ``said`` its set-up, ``hinted`` what an empty answer takes there.
    typed : values of the reading under way; ``sure`` : one of them was doubted and is meant.
    noted : remarks for the reading that comes next.
    skipped, passed : readings and statements left for today.
    visited : where it was measured before, the latest last.
    recorded, stated : readings and statements saved in this sitting, the latest last.
    origin : the section of the statement last kept, and where that came from.
    units : what bare numbers are in, by kind, where that was changed for this sitting.
    tools : instruments whose calibration was begun here; ``back_to`` : where it was offered.
    changed : whether anything was saved.
    history : what was done and can be taken back, the latest last.
    turn : what was done last, and what is said of it.

    warned, shown : warnings said; the steps and ways of reading shown.
    earlier : readings recorded before the file was read again, which undo takes back no more.
    missing : what the file held, and what it held when something else had written into it.
    paper : what is printed once what it needs is said.
    finished : whether the sitting is over; ``opens`` : the job that is to be opened instead.
    """

    file: str
    text: str
    at: waiting.At = field(default_factory=waiting.AllDone)
    target: Target | None = None
    said: Said = field(default_factory=dict)
    hinted: Said = field(default_factory=dict)
    typed: Mapping[str, Read] = field(default_factory=dict)
    sure: bool = False
    noted: str = ""
    skipped: tuple[Target, ...] = ()
    passed: tuple[str, ...] = ()
    visited: tuple[Target, ...] = ()
    recorded: tuple[Target, ...] = ()
    stated: tuple[str, ...] = ()
    origin: tuple[str, str] = ("", "")
    units: Mapping[str, str] = field(default_factory=dict)
    tools: tuple[str, ...] = ()
    back_to: Target | None = None
    shown: tuple[str, ...] = ()
    changed: bool = False
    history: tuple[Done, ...] = ()
    turn: Turn = field(default_factory=Turn)
    warned: tuple[str, ...] = ()
    earlier: int = 0
    missing: tuple[tuple[str, str], ...] = ()
    paper: str = ""
    finished: bool = False
    opens: str = ""

    @property
    def loaded(self) -> Loaded:
        """The file's records, and what is wrong with its form."""
        return read(self.text, self.file)

    @property
    def job(self) -> Job:
        """The records of the file."""
        return self.loaded.job

    @property
    def plan(self) -> tuple[Task, ...]:
        """Everything to be measured, with the calibrations begun in this sitting."""
        return _plan(self.text, self.file, self.tools)

    @property
    def place(self) -> Target:
        """What is measured, where anything is."""
        assert self.target is not None
        return self.target

    @property
    def step(self) -> Step:
        """The bench step."""
        return STEPS[self.place.step]

    @property
    def method(self) -> Method:
        """The way in which the readings are taken."""
        return method_of(self.place, self.said)

    @property
    def planned(self) -> Task:
        """The target as the file has it."""
        return _task(self.text, self.file, self.place, None)

    @property
    def task(self) -> Task:
        """The target in the state that the set-up says, once readings are taken in it."""
        state = next(iter(self.said.get("state", ())), "")
        if isinstance(settled(self).at, waiting.ReadingAsked) and self.step.part and state != self.planned.state:
            return _task(self.text, self.file, self.place, state)
        return self.planned

    @property
    def fields(self) -> tuple[Field, ...]:
        """The fields asked for each reading; timed readings are asked for by themselves only."""
        return tuple(f for f in self.method.fields if not (f.optional and self.timed_fields))

    @property
    def timed_fields(self) -> tuple[Field, ...]:
        """The fields of timed readings, where the method has them."""
        more = tuple(f for f in self.method.fields if f.optional)
        return more if any(f.goes_with for f in more) else ()


@lru_cache(maxsize=8)
def read(text: str, file: str) -> Loaded:
    """The records of a text; read once, and the same object each time, so that it is worked out once too.

    Raises InputError: not TOML.
    """
    return parse_job(text, file)


@lru_cache(maxsize=8)
def _plan(text: str, file: str, tools: tuple[str, ...]) -> tuple[Task, ...]:
    return plan(read(text, file).job, tools)


@lru_cache(maxsize=8)
def _task(text: str, file: str, target: Target, state: str | None) -> Task:
    return in_state(read(text, file).job, target, state)


# -- changes to it ----------------------------------------------------------------------
def settled(state: State) -> State:
    """The sitting without what is only begun."""
    while isinstance(state.at, waiting.Passing):
        state = replace(state, at=state.at.before)
    return state


def say(state: State, *lines: Line) -> State:
    """With lines for the screen."""
    return replace(state, turn=replace(state.turn, lines=(*state.turn.lines, *lines)))


def tell(state: State, results: tuple[Result, ...]) -> State:
    """With what the readings say now, in place of what those before them on the same line said."""
    kept = tuple(line for line in state.turn.lines if not isinstance(line, Result))
    return replace(state, turn=replace(state.turn, lines=(*kept, *results)))


def warn(state: State, texts: list[str]) -> State:
    """With warnings and advice, each once a sitting."""
    new = tuple(text for text in dict.fromkeys(texts) if text not in state.warned)
    return replace(say(state, *new), warned=(*state.warned, *new))


def effect(state: State, what: str, row: Said) -> Effect:
    """What was done to a reading of the target."""
    return Effect(what=what, step=state.place.step, where=state.place.where, row=dict(row))


def did(
    state: State, words: str, before: State, done: Effect | None = None, *, half: bool = False, answer: bool = False
) -> State:
    """The sitting after a thing was done, with that noted, so that it can be taken back."""
    was = replace(settled(before), history=(), turn=Turn(), finished=False)
    return replace(
        state,
        history=(*before.history, Done(words=words, before=was, effect=done, half=half, answer=answer)),
        changed=state.changed or state.text != before.text,
        turn=replace(state.turn, effects=(*state.turn.effects, *([done] if done is not None else []))),
    )


def with_typed(state: State, began: State | None = None) -> State:
    """With what is typed of a reading beside the set-up, where that stands in the file: before the first reading.

    ``began`` : the sitting in which the reading was begun, whose place the file named.
    """
    name = state.place.series
    if name not in state.job.set_ups:
        return state
    typed = [f"{one} = {'; '.join(read.raw for read in values)}" for one, values in state.typed.items()]
    where = began.job.set_ups.get(name, {}).get(WHERE) if began is not None else None
    told = {WHERE: where or (state.place.where,), **state.said, **({TYPED: typed} if typed else {})}
    return replace(state, text=amend.set_up(state.text, name, told))


def as_one(state: State) -> State:
    """Without the reading under way: its values are one thing from now on, done or not."""
    history, apart, typed, began = list(state.history), [], state.typed, state
    while typed and history:
        done = history.pop()
        typed, began = done.before.typed, done.before
        if not done.half:
            apart.append(done)
    kept = [replace(one, before=with_typed(replace(one.before, typed={}, sure=False), began)) for one in apart]
    after = replace(state, typed={}, sure=False, history=(*history, *reversed(kept)))
    return with_typed(after, began) if state.typed else after


def doubted(
    state: State,
    doubts: list[str],
    *,
    text: str = "",
    named: str = "",
    words: bool = False,
    lists: Mapping[str, Read] | None = None,
) -> State:
    """The sitting with an answer in question, and nothing else changed.

    ``text`` : the answer, by default that of the turn; ``named`` : how it is said if it is dropped.
    """
    turn, sure = state.turn, (*state.turn.sure, *doubts)
    said = {"text": text or turn.text, "named": named or turn.line}
    at = waiting.Sure(**said, sure=sure, words=words, lists=lists or {}, before=state.at)
    return replace(say(state, *doubts), at=at)


def texts_of(typed: Mapping[str, Read]) -> dict[str, tuple[str, ...]]:
    """Values as they go into the file; those not said are left out."""
    return {name: tuple(one.raw for one in values) for name, values in typed.items() if values}


def said_of(typed: Said) -> str:
    """Values by name, such as "start 0.1 cc, end 50.2 cc"."""
    return ", ".join(f"{name} {'; '.join(texts)}" for name, texts in typed.items() if texts)


def in_brief(typed: Said) -> str:
    """The same where they are kept anyway: of a long list, such as the points of an outline, how many and its ends."""
    long = {name: f"{t[0]} … {t[-1]} ({len(t)} values)" for name, t in typed.items() if len(t) > MOST_TEXTS}
    return said_of({name: (long[name],) if name in long else texts for name, texts in typed.items()})
