"""Where a sitting goes: to a place with its set-up, on to the next thing not done, at last to the answers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from ccassist.bench.cautions import NOT_KNOWN, cautions
from ccassist.bench.step import BURNS, SAFE
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.guide import waiting
from ccassist.guide.asks import (
    LEFT_TO,
    NOT_IN_FILE,
    TYPED,
    WANTED,
    WHERE,
    Ask,
    begun,
    fixed,
    for_sheet,
    hints,
    is_left_out,
    is_stated,
    known_before,
    left,
    next_ask,
    next_left,
    remembered,
    said_in,
    statements,
    taken_fluid,
)
from ccassist.guide.state import EMPTY, State, as_one, said_of, say, texts_of, warn
from ccassist.guide.typed import named
from ccassist.guide.view import Action, Call, Card, Text
from ccassist.guide.waiting import Read
from ccassist.guide.walk import Status, Target, Task, following, in_state, ways
from ccassist.guide.words import fluid_cautions, in_words
from ccassist.job import amend
from ccassist.job.records import Job, Row
from ccassist.job.sections import STATED, Section
from ccassist.job.vocabulary import TABLE, purposes_of, rows_of
from ccassist.values.asking import quantity_with_unit
from ccassist.values.findings import InputError, capital, runs
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together

# In the order in which they are said; what is left out and what is merely offered is not part of the job.
_DONE = (Status.DONE, Status.GIVEN, Status.OTHERWISE)
_OPEN = (Status.TO_DO, Status.STARTED)
MOST_SAID = 4  # statements named in a line; of more how many
ANSWER = "show the answers"
# What may be printed, in words -> the command that prints it.
PAPERS: Mapping[str, str] = {
    "print the worksheet": "worksheet",
    "print the piston order sheet": "order sheet",
    "print the boost pages": "boost pages",
}
KEYS_HERE: Text = (
    *("Keys: ", EMPTY, " or ", Action.SKIP, " leaves it as it is, ", Action.LEAVE_OUT, " not asked again ("),
    *(Call(Action.LEAVE_OUT, "all"), ": nothing of this section), ", Action.BACK, " back, ", Action.UNDO, " undo, "),
    *(Action.HOW, " what it is, ", Action.JUMP, " jump, ", Action.LIST, " list, ", Action.KEYS, " keys, "),
    *(Action.FINISH, " finish"),
)


# -- to a place on the bench --------------------------------------------------------------
def go(state: State, target: Target, *, back: bool = False) -> State:
    """To a target, with its set-up if that is known."""
    task = next((t for t in state.plan if t.target == target), None)
    if task is None:
        return say(state, f"{target.step} {target.where} is not in the file any more")
    visited = state.visited
    if state.target is not None and not back and state.target != target:
        visited = (*visited, state.target)
    state = replace(state, target=target, visited=visited, typed={}, sure=False, hinted={})
    return _with_typed(_with_set_up(show_card(state, full=False), task))


def _with_typed(state: State) -> State:
    """With the values of a reading that was begun here when its sitting broke off."""
    there = state.job.set_ups.get(state.place.series, {})
    if there.get(WHERE) != (state.place.where,) or not isinstance(state.at, waiting.ReadingAsked):
        return state
    terms = {f.name: f.term for f in state.fields}
    read = {name: text for one in there.get(TYPED, ()) for name, text in (named(one) or {}).items() if name in terms}
    typed: dict[str, Read] = {}
    try:
        for name, text in read.items():
            typed[name] = tuple(quantity_with_unit(one, terms[name]) for one in text.split("; ") if one)
    except InputError:  # edited by hand: it is asked anew
        return state
    if not typed or len(typed) == len(terms):
        return state
    state = replace(state, typed=typed)
    return say(state, (f"Begun before: {said_of(texts_of(typed))}; ", Action.UNDO, " drops it."))


def _with_set_up(state: State, task: Task) -> State:
    """With the set-up that was begun or is remembered for a target; else with its questions."""
    job = state.job
    said = begun(job, task)
    if said is not None:
        return set_up(replace(state, said=said, hinted=hints(job, task), at=waiting.SetUpAsked(rest=bool(task.rows))))
    known = remembered(job, task)
    if not known:
        return set_up(replace(state, said=known_before(job, task), hinted=hints(job, task), at=waiting.SetUpAsked()))
    state = replace(state, said={**known, **fixed(task.target)}, at=waiting.SetUpAsked())
    if next_ask(state.place, state.said) is None:
        change = ("Set-up as before: ", f"{in_words(state.said) or 'nothing said'}. ", Action.CHANGE, " changes it.")
        state = say(state, change)
    return set_up(state)


def set_up(state: State) -> State:
    """Ask what is not said yet of the set-up; then the readings."""
    at = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked()
    if next_ask(state.place, state.said, rest=at.rest, one=at.one) is not None:
        return replace(state, at=at)
    state = show_how(replace(state, at=waiting.ReadingAsked()))
    task = state.task
    return say(state, progress(task)) if task.counted and not at.rest else state


def with_said(state: State) -> State:
    """With the set-up in the file's text as long as no readings stand in it that say all of it."""
    name = state.place.series
    if next_ask(state.place, state.said, rest=True) is None and _stands(state):
        return replace(state, text=amend.set_up(state.text, name, None)) if name in state.job.set_ups else state
    return replace(state, text=amend.set_up(state.text, name, {WHERE: (state.place.where,), **state.said}))


def here(state: State) -> Task:
    """The target in the state that the set-up says."""
    state_said = next(iter(state.said.get("state", ())), "")
    return in_state(state.job, state.place, state_said) if state.step.part else state.planned


def _stands(state: State) -> bool:
    """Whether the readings there are say the set-up as it is."""
    latest = here(state).latest
    there = said_in(latest, state.step) if latest is not None else None
    return there is not None and all(
        texts == there.get(name, ()) for name, texts in state.said.items() if name not in NOT_IN_FILE
    )


def series_of(rows: Iterable[Row]) -> list[int]:
    """The series, from 0, in which readings stand."""
    return sorted({int(row.place.split(",")[0].removeprefix("series ")) - 1 for row in rows})


def progress(task: Task) -> str:
    """How many readings there are of how many asked for."""
    return f"Readings of {task.target.where} that count: {task.counted}, asked for: {task.asked}."


def drop_typed(state: State) -> State:
    """Without a reading that is not complete, and that said."""
    if not state.typed:
        return state
    said = said_of(texts_of(state.typed))
    return as_one(say(state, f"Not recorded, as it was not complete: {said}") if said else state)


def calibrate(state: State, name: str) -> State:
    """To the calibration of an instrument, and back here afterwards."""
    back_to = state.target if state.target is not None and state.step.part else state.back_to
    tools = tuple(dict.fromkeys((*state.tools, name)))
    return go(replace(state, tools=tools, back_to=back_to), Target(step=CALIBRATE.key, part=name))


def show_card(state: State, *, full: bool = True) -> State:
    """With the step's card on the screen: all of it; or what it is and why, in a line where it was measured before."""
    step, target = state.step, state.place
    where = f"{target.where} of {state.job.cylinders}" if target.cylinder is not None else target.where
    if target.method:
        where = f"{state.method.title}, {where}"
    card = Card(title=step.title, place=where, progress=how_far(state.plan))
    if full:
        system, way = state.job.system, (state.method.key,) if target.method or not _asks_how(state) else ()
        its = _cautions_of_fluid(state)
        card = replace(
            card,
            why=step.why,
            tools=step.lay_out(*way, system=system),
            procedure=step.to_do(*way, fluid=_sort_of_fluid(state), system=system),
            cautions=tuple(cautions(step.warned(NOT_KNOWN if its is None else its))),
        )
    elif not measured(state) and step.key not in state.shown:
        card = replace(card, why=step.why)
    return replace(state, turn=replace(state.turn, card=card), shown=tuple(dict.fromkeys((*state.shown, step.key))))


def _asks_how(state: State) -> bool:
    """Whether it is still to be said how it is read."""
    return len(ways(state.place)) > 1 and "method" not in state.said


def _cautions_of_fluid(state: State) -> tuple[str, ...] | None:
    """The cautions of the fluid that is filled with; None where it is not known."""
    name = next(iter(state.said.get("fluid", ())), "") or state.step.fluid or taken_fluid(state.place, state.said)
    return fluid_cautions(name, state.job) if name else None


def _sort_of_fluid(state: State) -> str:
    """Whether the fluid burns; "" where it is not known."""
    its = _cautions_of_fluid(state)
    return "" if its is None else BURNS if "flammable" in its else SAFE


def measured(state: State) -> bool:
    """Whether the step was measured before, so that nobody needs to be told how."""
    return any(s.step == state.place.step and s.rows for s in state.job.series)


def show_how(state: State) -> State:
    """In the few lines that this way needs how it is done, and the one caution that cannot wait; once a sitting."""
    way = f"{state.place.series}, {state.method.key}"
    if way in state.shown or measured(state):
        return state
    told, caution = briefly_how(state)
    state = say(replace(state, shown=(*state.shown, way)), *told, *(f"CAUTION: {text}" for text in caution))
    fluid = taken_fluid(state.place, state.said)
    return say(state, (f"Taken as {fluid}; ", Call(Action.CHANGE, "fluid"), " says another.")) if fluid else state


def briefly_how(state: State) -> tuple[tuple[str, ...], list[str]]:
    """In the few lines that a way of reading needs how it is done, and the one caution that cannot wait."""
    told = state.step.to_do(state.method.key, fluid=_sort_of_fluid(state), brief=True, system=state.job.system)
    own = state.step.cautions
    its = _cautions_of_fluid(state) if state.step.fills else ()  # nothing burns where nothing is filled
    its = NOT_KNOWN if its is None else its
    first = [*its, *own] if state.step.part == "head" else [*own, *its]
    return told, cautions(tuple(first[:1]))


# -- to a statement -----------------------------------------------------------------------
def ask(state: State, one: Ask) -> State:
    """To a statement, after the one that is asked now."""
    at = state.at
    return turn_to(
        state, waiting.Stating(ask=one, earlier=(*at.earlier, at.ask) if isinstance(at, waiting.Stating) else ())
    )


def turn_to(state: State, at: waiting.Stating) -> State:
    """To a statement; where that opens another section, with what it is about."""
    was, one = state.at.ask if isinstance(state.at, waiting.Stating) else None, at.ask
    if was is None or was.section != one.section:
        state = replace(state, turn=replace(state.turn, card=_section_card(state.job, one.section)))
    if one.term and term(one.term).caution:
        state = warn(state, [f"Mind: {term(one.term).caution}."])
    return replace(state, at=at)


def _section_card(job: Job, section: str) -> Card:
    """What a section of statements is about, how many it asks for, and what may be done."""
    asked = [one for one in statements(job) if one.section == section]
    if section == "job":
        return Card(title="For the sheet", place="what it says besides", keys=KEYS_HERE)
    stated, done = STATED.get(section), sum(is_stated(job, one) for one in asked)
    meaning = stated.meaning if stated is not None else "What is wanted"
    return Card(
        title=capital(re.split("[:;,]", meaning, maxsplit=1)[0]),
        place=f"{len(asked)} question{'' if len(asked) == 1 else 's'}" + (f", {done} answered" if done else ""),
        why=" ".join(about(stated)) if stated is not None else "What the engine is to come to.",
        keys=KEYS_HERE,
    )


def about(section: Section) -> list[str]:
    """What a section is, and how something in it is left to somebody."""
    leave = [f'Answer "{LEFT_TO}" to leave a thing to them.'] if section.left_in else []
    return [f"{capital(section.meaning)}.", *leave]


# -- on, and to the end -------------------------------------------------------------------
def advance(state: State) -> State:
    """On to the next thing not done; after a calibration, to where it was offered."""
    back, state = state.back_to, replace(state, back_to=None)
    if back is not None and state.place.step == CALIBRATE.key:
        return go(state, back)
    task = following(state.plan, state.target, state.skipped)
    if task is not None and not isinstance(state.at, waiting.Stating):
        return go(state, task.target)
    return wind_up(state)


def wind_up(state: State, *, opening: bool = False) -> State:
    """Ask for what is to be stated; then the answers, unless all was done before: the prompt comes at once."""
    job, at = state.job, state.at if isinstance(state.at, waiting.Stating) else None
    if state.paper:
        missing = for_sheet(job, state.passed)
        if missing:
            return ask(state, missing[0])
        return show_screens(replace(state, paper="", at=waiting.AllDone(last=at)), state.paper)
    following_one = next_left(job, state.passed, at.ask if at is not None else None)
    if following_one is not None:
        if at is None:
            state = say(state, ("What follows is stated, not measured; ", EMPTY, " passes over what is not known."))
        return ask(state, following_one)
    state = replace(state, at=waiting.AllDone(last=at))
    if state.skipped:
        skipped = in_short(_where(task) for task in state.plan if task.target in state.skipped and task.open)
        state = say(state, f"Skipped for today: {skipped}.")
    if state.passed:
        state = say(state, *to_say(job))
    if not opening and (state.stated or any(series.rows for series in job.series)):
        state = show_screens(state, *answers(job))
    return say(state, *_afterwards(job))


def show_screens(state: State, *names: str) -> State:
    """With answers shown or papers printed, by their commands' names."""
    return replace(state, turn=replace(state.turn, screens=(*state.turn.screens, *names)))


def answers(job: Job) -> tuple[str, ...]:
    """The screens at the end, each once; only the table where the job does not say what it is for."""
    found = dict.fromkeys(name for purpose in rows_of(job.about) for name in purpose.answers)
    return tuple(found) or (TABLE,)


def offers(job: Job) -> tuple[str, ...]:
    """What may be shown and printed at the end, in words."""
    papers = ("worksheet", *(purpose.paper for purpose in rows_of(job.about)))
    return (ANSWER, *(words for words, name in PAPERS.items() if name in papers))


def _afterwards(job: Job) -> list[Text]:
    """What to do next where the work on the parts is still to come: the same again in another state."""
    if "heads" not in purposes_of(job.about) or not any(series.rows for series in job.series):
        return []
    again = (Call(Action.JUMP, "chamber 1"), ", then ", Call(Action.CHANGE, "state"))
    return [("After the work on the head, measure again: ", *again, ", and say what was done (seats cut).")]


# -- how far a job has come, in words --------------------------------------------------------
def how_far(tasks: Sequence[Task]) -> str:
    """Such as "Bench: 3 of 14 done or stated, 1 begun, 10 to do"."""
    count = Counter(task.status for task in tasks)
    done, wanted = sum(count[s] for s in _DONE), sum(count[s] for s in (*_DONE, *_OPEN))
    if not wanted:
        return "Bench: nothing asked for"
    words = [f"Bench: {done} of {wanted} done or stated"]
    more = ((Status.STARTED, "begun"), (Status.TO_DO, "to do"))
    return ", ".join(words + [f"{count[status]} {word}" for status, word in more if count[status]])


def in_short(pairs: Iterable[tuple[str, str]]) -> str:
    """Places by step, or statements by section: "chamber 2, 3; bore 1 to 8; gasket thickness"."""
    return "; ".join(f"{name} {_places(found)}" for name, found in together(pairs).items())


def _places(found: Sequence[str]) -> str:
    """Cylinders with runs of them drawn together; anything else as it is."""
    return runs([int(one) for one in found]) if all(one.isdecimal() for one in found) else ", ".join(found)


def _where(task: Task) -> tuple[str, str]:
    return task.target.step, task.target.place


def still_open(state: State) -> str:
    """What is left to be done on the bench."""
    return in_short(_where(task) for task in state.plan if task.open)


def to_say(job: Job) -> list[str]:
    """What each thing that a job is for still needs said, a line each; what two of them need once."""
    unsaid, told = {one.place: one for one in left(job)}, []
    for purpose in rows_of(job.about):
        places = [*(f"{WANTED} {key}" for key in purpose.wanted), *purpose.sections]
        its = [one for one in unsaid.values() if {one.place, one.section} & set(places)]
        unsaid = {place: one for place, one in unsaid.items() if one not in its}
        if its:
            told.append(f"{capital(purpose.called)}, still to say: {_briefly(its)}.")
    return told


def _briefly(asked: Sequence[Ask]) -> str:
    """Statements by section; only how many, where a line does not hold them all."""
    by_section = together((one.section, one.key) for one in asked)
    if len(asked) <= MOST_SAID:
        return in_short((one.section, one.key) for one in asked)
    return "; ".join(f"{name} {keys[0] if len(keys) == 1 else f'({len(keys)})'}" for name, keys in by_section.items())


# Of how far a thing has come, in the order in which it is listed: what is left stands last, next to the prompt.
_QUIET = (Status.LEFT_OUT, Status.OFFERED, Status.OTHERWISE)
_LISTED = (*_QUIET, Status.GIVEN, Status.DONE, Status.STARTED)
SKIPPED = "skipped for today"


def bench_list(tasks: Sequence[Task], skipped: Collection[Target]) -> list[str]:
    """How far everything is, a line for each way it can be: "to do: bore 1 to 8; gasket thickness"."""
    alike: dict[str, set[str]] = {}
    for task in tasks:
        alike.setdefault(task.target.step, set()).add(_how_far(task, skipped))
    lines = []
    for said in (*(status.value for status in _LISTED), SKIPPED, Status.TO_DO.value):
        found = [task for task in tasks if _how_far(task, skipped) == said]
        whole = [step for step in dict.fromkeys(task.target.step for task in found) if len(alike[step]) == 1]
        names = whole if said in _QUIET_WORDS else []
        rest = in_short((task.target.step, _counted(task)) for task in found if task.target.step not in names)
        if found:
            lines.append(f"{said}: {'; '.join(part for part in (', '.join(names), rest) if part)}")
    return lines


_QUIET_WORDS = tuple(status.value for status in _QUIET)


def _how_far(task: Task, skipped: Collection[Target]) -> str:
    return SKIPPED if task.target in skipped and task.open else task.status.value


def _counted(task: Task) -> str:
    """Its place, and how many of its readings there are where some are missing."""
    return task.target.place + (f" ({task.counted} of {task.asked})" if task.rows and task.open else "")


def stated_list(job: Job, passed: Collection[str]) -> list[str]:
    """What is still to be stated, passed over, left out and stated, a line each."""
    found: dict[str, list[Ask]] = {}
    for one in statements(job):
        waits = "passed over for today" if one.place in passed else "to be stated"
        how = "stated" if is_stated(job, one) else "not asked again" if is_left_out(job, one) else waits
        found.setdefault(how, []).append(one)
    order = ("not asked again", "stated", "passed over for today", "to be stated")
    return [f"{how}: {_briefly(found[how])}" for how in order if how in found]
