"""Where a sitting goes: to a place with its set-up, on to the next thing not done, at last to the answers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from ccassist.bench.cautions import cautions
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.guide import waiting
from ccassist.guide.asks import (
    LEFT_TO,
    Ask,
    asked_once,
    fixed,
    for_another,
    hints,
    in_words,
    is_left_out,
    is_stated,
    kinds_read,
    left,
    next_ask,
    next_left,
    remembered,
    statements,
)
from ccassist.guide.state import EMPTY, State, as_one, said_of, say, texts_of, warn
from ccassist.guide.view import ACTIONS, Action, Call, Card, Text
from ccassist.guide.walk import Status, Target, Task, following, improvised, plan
from ccassist.job.purposes import TABLE, purposes_of, rows_of
from ccassist.job.records import Job
from ccassist.job.sections import STATED, Section
from ccassist.values.findings import capital
from ccassist.vocabulary import Kind, term

# In the order in which they are said; what is left out and what is merely offered is not part of the job.
_DONE = (Status.DONE, Status.GIVEN, Status.OTHERWISE)
_OPEN = (Status.TO_DO, Status.STARTED)
ANSWER = "show the answers"
# What may be printed, in words -> the command that prints it.
PAPERS: Mapping[str, str] = {
    "print the worksheet": "worksheet",
    "print the piston order sheet": "order sheet",
    "print the boost pages": "boost pages",
}
IN_SHORT: Text = (
    *("Keys: ", Action.UNDO, " undo"),
    *(part for action in list(ACTIONS)[1:] for part in (", ", action, f" {action.value}")),
)
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
    state = show_card(state, full=state.carded != target.step)
    if target.series in state.begun:
        begun = {series: said for series, said in state.begun.items() if series != target.series}
        return set_up(replace(state, said=state.begun[target.series], begun=begun, at=waiting.SetUp()))
    return _with_set_up(state, task)


def _with_set_up(state: State, task: Task) -> State:
    """With the set-up that is remembered for a target, to be confirmed once a sitting; else with its questions."""
    job, known = state.job, state.setups.get(task.target.series)
    said = for_another(known, task) if known and task.latest is None else remembered(job, task)
    new, said = not said, {**said, **fixed(task.target)}
    if new:
        said |= asked_once(job, task)
        return replace(state, said=said, hinted=hints(job, task), at=waiting.SetUp())
    state = say(replace(state, said=said), f"Set-up: {in_words(said) or 'nothing said'}")
    return replace(state, at=waiting.Confirm()) if known is None else set_up(state)


def set_up(state: State) -> State:
    """Ask what is not said yet of the set-up; then the readings."""
    if next_ask(state.place, state.said) is not None:
        return state if isinstance(state.at, waiting.SetUp) else replace(state, at=waiting.SetUp())
    series, before = state.place.series, state.planned.state
    state = replace(state, setups={**state.setups, series: dict(state.said)}, at=waiting.Reading())
    task = state.task
    if before and task.state != before and not task.rows:
        state = say(
            state, f"Readings start anew for another state; those {before} stay in the file, for before and after."
        )
    return say(state, progress(task)) if task.counted else state


def progress(task: Task) -> str:
    """How many readings there are of how many asked for."""
    return f"Readings of {task.target.where} that count: {task.counted}, asked for: {task.asked}."


def drop_typed(state: State) -> State:
    """Without a reading that is not complete, and that said."""
    said = said_of(texts_of(state.typed))
    return as_one(say(state, f"Not recorded, as it was not complete: {said}") if said else state)


def may_calibrate(state: State, name: str) -> bool:
    """Whether an instrument just chosen for a fill is to be offered its calibration: once a sitting."""
    if not (state.step.fills and state.step.part) or name in state.offered or not improvised(name, state.job):
        return False
    mine = Target(step=CALIBRATE.key, part=name)
    done = next((t.status for t in plan(state.job, [name]) if t.target == mine), Status.LEFT_OUT)
    return Kind.VOLUME in kinds_read(state.method) and done in (Status.OFFERED, Status.STARTED)


def calibrate(state: State, name: str) -> State:
    """To the calibration of an instrument; back here afterwards, with the set-up as far as it was said."""
    begun = {**state.begun, state.place.series: dict(state.said)}
    state = replace(state, begun=begun, tools=(*state.tools, name), back_to=state.target)
    return go(state, Target(step=CALIBRATE.key, part=name))


def show_card(state: State, *, full: bool = True) -> State:
    """With the step's card on the screen; ``full`` : with why and how."""
    step, target = state.step, state.place
    where = f"{target.where} of {state.job.cylinders}" if target.cylinder is not None else target.where
    if target.method:
        where = f"{state.method.title}, {where}"
    card = Card(title=step.title, place=where, progress=how_far(state.plan), keys="" if full else IN_SHORT)
    if full:
        system, way = state.job.system, (state.method.key,) if target.method else ()
        card = replace(
            card,
            why=step.why,
            tools=step.lay_out(*way, system=system),
            procedure=step.to_do(*way, system=system),
            cautions=tuple(cautions(step.warned())),
        )
    return replace(state, turn=replace(state.turn, card=card), carded=step.key)


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
        state = say(state, f"Not said yet: {unsaid(job)}.")
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


def grouped(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    """What belongs to the same, together, in the order met."""
    found: dict[str, list[str]] = {}
    for name, one in pairs:
        found.setdefault(name, []).append(one)
    return found


def in_short(pairs: Iterable[tuple[str, str]]) -> str:
    """Places by step, or statements by section: "chamber 2, 3; gasket thickness"."""
    return "; ".join(f"{name} {', '.join(found)}" for name, found in grouped(pairs).items())


def _where(task: Task) -> tuple[str, str]:
    return task.target.step, task.target.place


def still_open(state: State) -> str:
    """What is left to be done on the bench."""
    return in_short(_where(task) for task in state.plan if task.open)


def unsaid(job: Job) -> str:
    """What is left to be stated."""
    return in_short((one.section, one.key) for one in left(job))


def bench_list(tasks: Sequence[Task], skipped: Collection[Target]) -> list[str]:
    """Every step with its places and how far each is, a line a step; in one line the steps left out everywhere."""
    lines, nowhere = [], []
    for step in dict.fromkeys(task.target.step for task in tasks):
        found = [task for task in tasks if task.target.step == step]
        if all(task.status is Status.LEFT_OUT for task in found):
            nowhere.append(step)
        else:
            lines.append(f"{step}: {_by_state((_how_far(task, skipped), _counted(task)) for task in found)}")
    return [*([f"left out: {', '.join(nowhere)}"] if nowhere else []), *lines]


def _how_far(task: Task, skipped: Collection[Target]) -> str:
    return "skipped for today" if task.target in skipped and task.open else task.status.value


def _counted(task: Task) -> str:
    """Its place, and how many of its readings there are where some are missing."""
    return task.target.place + (f" ({task.counted} of {task.asked})" if task.rows and task.open else "")


def _by_state(pairs: Iterable[tuple[str, str]]) -> str:
    return "; ".join(f"{', '.join(found)} {state}" for state, found in grouped(pairs).items())


def stated_list(job: Job, passed: Collection[str]) -> list[str]:
    """What is stated and what is still to be, a line a section."""

    def how(one: Ask) -> str:
        waits = "passed over for today" if one.place in passed else "to be stated"
        return "stated" if is_stated(job, one) else "left out" if is_left_out(job, one) else waits

    asked = statements(job)
    sections = dict.fromkeys(one.section for one in asked)
    return [f"{name}: {_by_state((how(one), one.key) for one in asked if one.section == name)}" for name in sections]
