"""The guide: of a sitting, an action and a text the sitting after it, and what is shown of it.

``step`` knows no terminal, no file and no clock and waits for nothing.  The
text of the job file is ``state.text``; it has to be on the disk before what
is shown is shown: :func:`ccassist.guide.keeping.post` does both.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import replace

from ccassist.guide import actions, answers, older_copy, readings
from ccassist.guide.asks import left
from ccassist.guide.moving import KEYS_HERE, drop_typed, go, wind_up
from ccassist.guide.progress import in_short, said_in_short
from ccassist.guide.showing import question
from ccassist.guide.state import (
    EMPTY,
    AllDone,
    At,
    Confirm,
    Offer,
    Origin,
    Passing,
    PutBack,
    Reading,
    SetUp,
    State,
    Stating,
    Sure,
    Timed,
    Turn,
    Unsaved,
    Words,
    say,
    settled,
)
from ccassist.guide.view import Action, Shown, Text
from ccassist.guide.walk import following
from ccassist.values.findings import InputError

LONGEST = 500
ANYWHERE = (Action.SAY, Action.FINISH, Action.LIST, Action.JUMP, Action.KEYS, Action.UNDO, Action.AGAIN)
SHOWING = (Action.KEYS, Action.LIST, Action.HOW, Action.AGAIN)  # these leave what is asked as it is
STATED = (*ANYWHERE, Action.BACK, Action.SKIP, Action.LEAVE_OUT, Action.HOW)  # where a thing is stated, not measured


def begin(text: str, file: str, *, step: str = "", cylinder: int | None = None) -> tuple[State, Shown]:
    """A sitting with the text of a job file: at the first thing not done, or where it is told to go.

    Raises
    ------
    InputError : no such step or cylinder; the text is no job.
    """
    state = State(file=file, text=text)
    if step or cylinder is not None:
        state = go(state, actions.find(state, step, str(cylinder) if cylinder is not None else ""))
    else:
        first = following(state.plan, None, state.skipped)
        state = go(state, first.target) if first is not None else wind_up(state, opening=True)
    return state, show(state)


def step(state: State, action: Action, text: str = "", *, now: datetime.datetime) -> tuple[State, Shown]:
    """Do a thing, with what is said with it, at a time; what cannot be done is said, and changes nothing else.

    An answer that is doubted is asked about; nothing of it is kept before it is confirmed.
    """
    if state.finished or action is Action.AGAIN:
        return state, show(state)
    text = text.strip()
    state = replace(state, turn=Turn(action=action, text=text, line=text, now=now))
    after = taken(state) if len(text) <= LONGEST else say(state, f"Longer than {LONGEST} characters: not taken")
    return after, show(after)


def show(state: State) -> Shown:
    """What a sitting shows; it can be shown again and again."""
    turn = state.turn
    return Shown(
        card=turn.card,
        lines=turn.lines,
        question=question(state),
        actions=tuple(action for action in Action if not refusal(state, action)),
        effects=turn.effects,
        screens=turn.screens,
        finished=state.finished,
    )


def taken(state: State) -> State:
    """The sitting after its turn."""
    action = state.turn.action
    if action is not Action.SAY and (why := refusal(state, action)):
        return say(state, why)
    if isinstance(state.at, Passing) and action in (Action.BACK, Action.UNDO):
        return actions.drop_begun(state)
    if isinstance(state.at, Passing) and action not in (Action.SAY, *SHOWING) and not isinstance(state.at, Unsaved):
        state = settled(actions.drop_begun(state))  # unless it only shows something, what was begun comes to nothing
    try:
        return answered(state, state.turn.text) if action is Action.SAY else _ACTIONS[action](state, state.turn.text)
    except InputError as fault:
        return say(settled(state), "Not done:", *(f.text() for f in fault.findings))


# -- actions ----------------------------------------------------------------------------
def refusal(state: State, action: Action) -> Text:
    """Why an action cannot be done now; "" where it can."""
    if state.finished:
        return "" if action is Action.AGAIN else "This sitting is finished"
    if action in (Action.SAY, Action.AGAIN, Action.FINISH):
        return ""
    if isinstance(state.at, Unsaved):
        words = (Action.FINISH, " finishes without it")
        return ("First the reading that is not saved yet: ", EMPTY, " tries again, ", *words)
    if isinstance(state.at, PutBack) and action not in SHOWING:
        return "First what is missing: 1 puts it back, 2 leaves the file as it is now"
    if isinstance(state.at, Passing) and action in (Action.BACK, Action.UNDO):
        return ""
    at = settled(state).at
    if isinstance(at, Stating):
        return "" if action in STATED else ("That key is for readings. ", *KEYS_HERE)
    if action in ANYWHERE or (isinstance(at, AllDone) and at.last is not None and action is Action.BACK):
        return ""
    elsewhere: Text = (Action.JUMP, " goes to a step, ")
    if state.target is None:
        return ("Nothing is being measured: ", *elsewhere, Action.FINISH, " finishes")
    if isinstance(at, AllDone) and action is not Action.BACK:
        back = (Action.BACK, " to the place before, ", Action.FINISH, " finishes")
        return ("Nothing is being measured now: ", *elsewhere, *back)
    return actions.untimed(settled(state)) if action is Action.TIMED else ""


def _skip(state: State, text: str) -> State:
    return answers.answer_statement(state, "") if isinstance(state.at, Stating) else actions.skip(state, text)


def close(state: State, _: str = "") -> State:
    """End the sitting."""
    state = older_copy.put_back_at_end(drop_typed(settled(state)))
    counts = ((state.earlier + len(state.recorded), "reading"), (len(set(state.stated)), "statement"))
    done = [f"{count} {what}{'' if count == 1 else 's'}" for count, what in counts if count]
    nothing = "What was done in this sitting is saved." if state.changed else "Nothing recorded in this sitting."
    saved = f"{' and '.join(done)} saved in this sitting." if done else nothing
    open_ones, unsaid = [t for t in state.plan if t.open], left(state.job)
    words = [f"Left to do: {in_short(open_ones)}."] if open_ones else []
    words += [f"Left to say: {said_in_short([one.place for one in unsaid])}."] if unsaid else []
    return replace(say(state, saved, *(words or ["Everything asked for is there."])), finished=True)


_ACTIONS: Mapping[Action, Callable[[State, str], State]] = {
    Action.UNDO: lambda state, _: actions.undo(state),
    Action.ASIDE: actions.aside,
    Action.COUNT_IN: actions.count_in,
    Action.REMARK: actions.remark,
    Action.TIMED: actions.timed,
    Action.SKIP: _skip,
    Action.LEAVE_OUT: actions.leave_out,
    Action.BACK: actions.back,
    Action.JUMP: actions.jump,
    Action.CHANGE: actions.change,
    Action.HOW: actions.how,
    Action.LIST: actions.listed,
    Action.KEYS: actions.keys,
    Action.FINISH: close,
}


# -- answers ----------------------------------------------------------------------------
def answered(state: State, text: str) -> State:
    """The sitting after an answer to what is asked."""
    state = replace(state, turn=replace(state.turn, text=text))
    return _ANSWERS[type(state.at)](state, text)


def _sure(state: State, text: str) -> State:
    """Yes keeps what is doubted; anything else is the answer given anew, but where names or words are doubted."""
    at = state.at
    assert isinstance(at, Sure)
    if text.lower() in ("y", "yes"):
        return answered(replace(state, at=at.before, turn=replace(state.turn, line=at.named, sure=at.sure)), at.text)
    no = not text or text.lower() in ("n", "no")
    if at.words and not no:
        return say(state, f'"{text}" is neither yes nor no')
    state = replace(state, at=at.before) if isinstance(at.before, Timed) else settled(state)
    return state if no else answered(state, text)


def _again(state: State, text: str) -> State:
    """An empty answer does once more what could not be saved."""
    at = state.at
    assert isinstance(at, Unsaved)
    if text:
        again = (EMPTY, " tries to save it again; ", Action.FINISH, " finishes without it")
        return say(state, again)
    return taken(replace(state, at=at.before, turn=at.turn))


def _all_done(state: State, text: str) -> State:
    return answers.answer_all_done(state, text) if text else close(state)


_ANSWERS: Mapping[type[At], Callable[[State, str], State]] = {
    Confirm: answers.confirm,
    SetUp: answers.answer_set_up,
    Offer: answers.offer,
    Reading: readings.answer,
    Stating: answers.answer_statement,
    PutBack: older_copy.answer,
    AllDone: _all_done,
    Timed: readings.answer_timed,
    Origin: answers.answer_origin,
    Words: actions.answer_words,
    Sure: _sure,
    Unsaved: _again,
}
