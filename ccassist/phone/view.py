"""The screen of a sitting: what the guide shows, and what its readings come to, for :mod:`ccassist.phone.screen`."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.results import surveyed
from ccassist.bench.step import Field
from ccassist.bench.steps import STEPS
from ccassist.guide import waiting
from ccassist.guide.actions import idle, row_words
from ccassist.guide.answers import asked_now
from ccassist.guide.asks import SEEN
from ccassist.guide.moving import briefly_how, measured
from ccassist.guide.readings import enough, sign_before
from ccassist.guide.state import State, settled
from ccassist.guide.step import step
from ccassist.guide.told import told
from ccassist.guide.view import Action, Blank, Call, Line, Question, Result, Shown
from ccassist.guide.walk import Status
from ccassist.phone.pieces import Piece, links_of, pieces_of_job, pieces_of_screens, svg
from ccassist.phone.screen import ANSWER, Button, LargeFigure, OneTap, PageField, Screen, Toggle, Vessel
from ccassist.report.setup_pictures import picture
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, capital, clean
from ccassist.values.statistics import mean
from ccassist.vocabulary import Term, term
from ccassist.vocabulary.units import SYSTEMS

LINES = 3  # of how it is done, on one screen
BUTTONS = {
    Action.UNDO: "Undo",
    Action.ASIDE: "Set aside",
    Action.COUNT_IN: "Count in again",
    Action.REMARK: "Remark",
    Action.TIMED: "Level falls: timed readings",
    Action.SKIP: "Skip",
    Action.LEAVE_OUT: "Does not apply",
    Action.BACK: "Back",
    Action.JUMP: "Go elsewhere",
    Action.CHANGE: "Change the set-up",
    Action.FINISH: "Finish",
}
WORDS = {
    **BUTTONS,
    Action.SAY: "the empty answer",
    Action.HOW: "How",
    Action.AGAIN: "this again",
    Action.KEYS: "More",
    Action.LIST: "More",
}


def how_first(state: State) -> bool:
    """Whether how it is done is shown before the first field: as the terminal, where the step was never measured."""
    return isinstance(state.at, waiting.ReadingAsked) and not measured(state)


def view_of(state: State, shown: Shown, page: str = "", turn: int = 1) -> Screen:
    """The screen of a sitting at a page of it; who may write, stamp and notices of a post are put to it by the app."""
    asked, here = shown.question, isinstance(settled(state).at, waiting.ReadingAsked)
    if page == "more":
        return _more(state, shown)
    if (page == "how" or (not page and how_first(state))) and state.target is not None:
        return _how(state, turn)
    mode = "over" if state.finished else "read" if asked.blanks else "question"
    lines = [_said(line) for line in shown.lines if not isinstance(line, Result)]
    at_start = mode == "question" and shown.card is not None
    why = (shown.card.why,) if at_start and shown.card is not None and shown.card.why else ()
    return _placed(
        Screen(
            mode=mode,
            page=page,
            progress=shown.card.progress if shown.card is not None else "",
            words=_words(state, asked),
            entries=tuple(_entries(state, asked)),
            options=tuple(_options(state, asked)),
            others=tuple(_others(asked)),
            empty=_empty(state, asked),
            next=here and enough(state),
            actions=tuple(_buttons(state, shown, _BESIDE)),
            notices=(*why, *lines) if mode != "read" else tuple(_without_how(state, lines)),
            grave=isinstance(state.at, waiting.Sure | waiting.Unsaved | waiting.PutBack),
            pieces=pieces_of_screens(state, shown.screens),
            links=links_of(state) if isinstance(state.at, waiting.AllDone) or state.finished else (),
            **(_figures(state) if mode == "read" else {"saved": _saved(state)}),
        ),
        state,
    )


_BESIDE = (Action.UNDO, Action.ASIDE, Action.SKIP)
_MORE = (*(Action.BACK, Action.LEAVE_OUT, Action.COUNT_IN, Action.REMARK, Action.TIMED, Action.CHANGE, Action.FINISH),)


def place_of(state: State) -> str:
    """What is measured, as the guide goes to it; "" where nothing is."""
    return f"{state.target.step} {state.target.place}" if state.target is not None else ""


def _placed(view: Screen, state: State) -> Screen:
    """With the step and what is measured."""
    at = settled(state).at
    if state.target is None or isinstance(at, waiting.Starting | waiting.Stating | waiting.AllDone):
        return replace(view, title=clean(state.job.name, 60) or ("Job" if state.text.strip() else "New job"))
    target = state.target
    where = f"cylinder {target.cylinder} of {state.job.cylinders}" if target.cylinder is not None else target.where
    return replace(view, title=state.step.title, where=clean(where, 60), place=place_of(state))


def _how(state: State, turn: int) -> Screen:
    """The picture of the set-up, three lines, the one caution."""
    told, caution = briefly_how(state)
    turns = max(1, -(-len(told) // LINES))
    turn = min(max(turn, 1), turns)
    drawn = picture(state.place.step, state.method.key)
    return _placed(
        Screen(
            mode="how",
            page="how",
            told=told[LINES * (turn - 1) : LINES * turn],
            turn=turn,
            turns=turns,
            caution=" ".join(caution),
            picture=svg(drawn, f"{state.step.title}: how it is set up") if drawn is not None else "",
        ),
        state,
    )


def _more(state: State, shown: Shown) -> Screen:
    """Besides: what may be done, the figures to look at, the papers to take along."""
    begun = bool(state.text.strip()) and not isinstance(settled(state).at, waiting.Starting)
    return _placed(
        Screen(
            mode="more",
            page="more",
            more=tuple(_buttons(state, shown, _MORE)),
            places=tuple(_places(state)) if Action.JUMP in shown.actions else (),
            pieces=(*_listed(state), *pieces_of_job(state)) if begun else (),
            links=links_of(state) if begun else (),
            vessels=tuple(_vessels(state)),
        ),
        state,
    )


def _listed(state: State) -> Iterator[Piece]:
    """How far everything is, as the guide lists it; nothing is done for it."""
    yield Piece(kind="heading", words="What is done and left")
    for line in step(state, Action.LIST, now=datetime.datetime.min)[1].lines:
        yield Piece(kind="text", words=_said(line))


def _places(state: State) -> Iterator[Button]:
    """Where one may go: the cylinders of this step, then every step."""
    here = state.target.step if state.target is not None else ""
    for task in state.plan:
        if task.target.step == here:
            yield Button(do="jump", text=f"{here} {task.target.place}", label=task.target.where or task.target.place)
    for key in dict.fromkeys(task.target.step for task in state.plan if task.target.step != here):
        yield Button(do="jump", text=key, label=STEPS[key].title)


def _buttons(state: State, shown: Shown, wanted: Sequence[Action]) -> Iterator[Button]:
    """The actions that may be done, and that there is something for."""
    for action in wanted:
        if action in shown.actions and action not in idle(state):
            yield Button(do=action.value, label=BUTTONS[action])


def _words(state: State, asked: Question) -> str:
    """What is asked, without what only a terminal needs."""
    if isinstance(state.at, waiting.Sure):
        return "Are you sure?"
    words = clean(asked.words.replace(SEEN, ""))
    return words.partition(": ")[0] if len(asked.blanks) > 1 else words


# -- sentences ------------------------------------------------------------------------------------
def _said(line: Line) -> str:
    """A sentence with the words of the buttons that it names."""
    text = line.text if isinstance(line, Result) else line
    text = text if isinstance(text, str) else "".join(map(_part, text))
    return clean(text.replace("\t", ", "), 500)  # between the values of a reading


def _part(part: str | Action | Call) -> str:
    if isinstance(part, str):
        return part
    action, text = (part, "") if isinstance(part, Action) else (part.action, part.text)
    return f"“{WORDS[action]}{f': {text}' if text else ''}”"


def _without_how(state: State, lines: Sequence[str]) -> Iterator[str]:
    """Without the lines of how it is done, which have a screen of their own."""
    told, caution = briefly_how(state) if state.target is not None else ((), [])
    own = {*map(clean, told), *(clean(f"CAUTION: {text}", 500) for text in caution)}
    return (line for line in lines if line not in own and clean(line) not in own)


def _empty(state: State, asked: Question) -> str:
    """What an empty answer does; of a reading only that it goes on, as one value of it is never answered alone."""
    if isinstance(state.at, waiting.ReadingAsked):
        return "go on" if enough(state) else ""
    return _said(asked.empty)


# -- fields ---------------------------------------------------------------------------------------
def _entries(state: State, asked: Question) -> Iterator[PageField]:
    if asked.blanks:
        fields = state.timed_fields if isinstance(state.at, waiting.Timed) else state.fields
        yield from (_of_blank(state, one, field) for one, field in zip(asked.blanks, fields, strict=True))
    elif not asked.options or asked.free:
        key = asked_term(state)
        toggles = _toggles(state, key, asked.unit) if key else {}
        figures = bool(asked.unit or key or (isinstance(state.at, waiting.Starting) and not asked.options))
        yield PageField(
            name=ANSWER,
            words=_words(state, asked),
            unit=asked.unit,
            usual=asked.usual,
            example=asked.example,
            figures=figures,
            **toggles,
        )


def _of_blank(state: State, one: Blank, field: Field) -> PageField:
    return PageField(
        name=one.name,
        words=clean(one.words),
        value="; ".join(one.typed),
        unit=one.unit,
        usual=one.usual,
        example=one.example,
        before=one.before,
        many=one.many,
        **_toggles(state, field.term, one.unit),
    )


def asked_term(state: State) -> str:
    """The term of what is asked for, "" where it is no quantity."""
    match state.at:
        case waiting.Stating():
            return state.at.ask.term
        case waiting.SetUpAsked():
            return asked_now(state).term
    return ""


def _toggles(state: State, key: str, unit: str) -> dict[str, Any]:
    """The signs of a term, that of the value before being on; the units that shops would use for it."""
    wanted = term(key)
    units = list(dict.fromkeys(u for u in (unit, *(wanted.shown(system) for system in SYSTEMS)) if u))
    made = {"units": tuple(Toggle(value=u, label=u, on=u == unit) for u in units) if len(units) > 1 else ()}
    if wanted.sign is not None:
        made["signs"] = tuple(_signs(wanted, sign_before(state, key)))
    return made


def _signs(wanted: Term, before: str) -> Iterator[Toggle]:
    sign = wanted.sign
    assert sign is not None
    minus = any(word in before for word in sign.minus)
    plus = not minus and (sign.bare_is_plus or any(word in before for word in sign.plus))
    yield Toggle(value="plus", label=sign.plus[0], on=plus)
    yield Toggle(value="minus", label=sign.minus[0], on=minus)


def _options(state: State, asked: Question) -> Iterator[OneTap]:
    """Answers of one tap: those offered by number, yes where something is doubted."""
    if isinstance(state.at, waiting.Sure):
        yield OneTap(text="yes", label="Yes, keep it")
    for number, words in enumerate(asked.options, start=1):
        yield OneTap(text=str(number), label=clean(words))


def _others(asked: Question) -> Iterator[OneTap]:
    """The names known besides those offered; one of figures alone would be the number of another."""
    for name in asked.names:
        if name not in asked.options and not name.isdecimal():
            yield OneTap(text=name, label=clean(name))


# -- what the readings say ------------------------------------------------------------------------
def _figures(state: State) -> dict[str, Any]:
    """The readings here, what they come to, and the other cylinders."""
    task, fmt = state.task, formatter(state.job.system)
    results = told(state.job, task.rows) if task.rows else ()
    middle = next((one for one in results if one.what == "mean"), None)
    last = None
    if middle is not None and middle.large:
        label = f"{capital(state.step.noun)} {len(task.rows)} of {task.target.where}"
        last = LargeFigure(label=clean(label), number=middle.large.split()[0], unit=fmt.unit(middle.key))
    return {
        "vessels": tuple(_vessels(state)),
        "last": last,
        "mean": next((_said(one) for one in results if one.what in ("term", "calibration")), ""),
        "saved": _saved(state),
        "count": task.counted,
        "asked": task.asked,
    }


def _saved(state: State) -> str:
    """The last reading here as it stands on the disk."""
    rows = state.task.rows if state.target is not None else ()
    return f"Saved{f' {rows[-1].time}' if rows[-1].time else ''}: {clean(row_words(rows[-1]), 160)}" if rows else ""


def _vessels(state: State) -> Iterator[Vessel]:
    """Every cylinder of the step that is measured one by one."""
    if state.target is None or state.target.cylinder is None:
        return
    key, fmt, found = state.step.gives[0], formatter(state.job.system), {}
    with contextlib.suppress(InputError, ValueError, ArithmeticError):
        for one in surveyed(state.job).reduced:
            alike = one.cell.step is state.step and one.cell.state == state.task.state
            if alike and key in one.values and len(one.cell.cylinders) == 1:
                found[one.cell.cylinders[0]] = one.values[key].nominal
    middle = mean(list(found.values())) if len(found) > 1 else None
    largest = max(map(abs, found.values()), default=0.0)
    for task in state.plan:
        number = task.target.cylinder
        if task.target.step != state.target.step or number is None:
            continue
        value, away = found.get(number), None
        if value is not None and middle is not None:
            away = value - middle
        said = f"{fmt.amount(key, abs(away))} {fmt.unit(key)} {'over' if away > 0 else 'under'}" if away else ""
        yield Vessel(
            number=number,
            figure=fmt.show(key, value) if value is not None else "",
            apart=said,
            level=abs(value) / largest if value is not None and largest else 0.0,
            state=task.status.value if task.status is not Status.TO_DO or not task.rows else Status.STARTED.value,
            here=task.target == state.target,
        )
