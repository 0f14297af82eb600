"""The guide: of a sitting, an action and a text the sitting after it, and what is shown of it.

``step`` knows no terminal, no file and no clock and waits for nothing.  The
text of the job file is ``state.text``; it has to be on the disk before what
is shown is shown: :func:`ccassist.guide.keeping.post` does both.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from ccassist.bench.step import Field
from ccassist.guide import actions, answers, backward, lists, starting, waiting
from ccassist.guide.answers import BACK, answer_put_back, asked_now, known_words, put_back_at_end, usual_origin
from ccassist.guide.asks import Ask, as_stated, statements
from ccassist.guide.lists import next_timed
from ccassist.guide.moving import KEYS_HERE, drop_typed, go, offers, still_open, to_say, wind_up
from ccassist.guide.readings import as_before, enough, next_field, on_its_scale, unit_of
from ccassist.guide.state import EMPTY, State, in_brief, say, settled, texts_of
from ccassist.guide.view import Action, Blank, Question, Shown, Text
from ccassist.guide.waiting import Turn
from ccassist.guide.walk import following
from ccassist.guide.words import common_names, names_known
from ccassist.job.vocabulary import PURPOSES, USUAL
from ccassist.values.asking import example, usual
from ccassist.values.findings import InputError, capital
from ccassist.values.grammar import ORIGINS
from ccassist.vocabulary import term

LONGEST = 500
NOT_YET = "not known yet"
ANYWHERE = (Action.SAY, Action.FINISH, Action.LIST, Action.JUMP, Action.KEYS, Action.UNDO, Action.AGAIN)
SHOWING = (Action.KEYS, Action.LIST, Action.HOW, Action.AGAIN)  # these leave what is asked as it is
STATED = (*ANYWHERE, Action.BACK, Action.SKIP, Action.LEAVE_OUT, Action.HOW)  # where a thing is stated, not measured


def begin(
    text: str,
    file: str,
    *,
    step: str = "",
    cylinder: int | None = None,
    beside: Sequence[str] = (),
    system: str = "metric",
) -> tuple[State, Shown]:
    """A sitting with the text of a job file: at the first thing not done, or where it is told to go.

    Where there is no text yet, at the questions of a new job; ``beside`` : the jobs that lie beside it, ``system`` :
    the units of a new one.

    Raises InputError: no such step or cylinder; the text is no job.
    """
    state = State(file=file, text=text)
    new = not text.strip()
    if new or (state.loaded and starting.unstarted(text)):
        ask = starting.first_question(beside) if new else starting.CYLINDERS
        state = replace(state, at=waiting.Starting(ask=ask, system=system))
    elif step or cylinder is not None:
        state = go(state, actions.find(state, step, str(cylinder) if cylinder is not None else ""))
    else:
        first = following(state.plan, None, state.skipped)
        state = go(state, first.target) if first is not None else wind_up(state, opening=True)
    return state, show(state)


def step(state: State, action: Action, text: str = "", *, now: datetime.datetime) -> tuple[State, Shown]:
    """Do a thing, with what is said with it, at a time; what cannot be done is said, and changes nothing else.

    An answer that is doubted is asked about; nothing of it is kept before it is confirmed.
    """
    after = turned(state, action, text, now=now)
    return after, show(after)


def turned(state: State, action: Action, text: str = "", *, now: datetime.datetime) -> State:
    """The sitting alone of :func:`step`."""
    if state.finished or action is Action.AGAIN:
        return state
    text = text.strip()
    state = replace(state, turn=Turn(action=action, text=text, line=text, now=now))
    return taken(state) if len(text) <= LONGEST else say(state, f"Longer than {LONGEST} characters: not taken")


def show(state: State) -> Shown:
    """What a sitting shows; it can be shown again and again."""
    turn = state.turn
    return Shown(
        card=turn.card,
        lines=turn.lines,
        question=question(state),
        actions=allowed(state),
        effects=turn.effects,
        screens=turn.screens,
        finished=state.finished,
        opens=state.opens,
    )


def taken(state: State) -> State:
    """The sitting after its turn."""
    action = state.turn.action
    if action is not Action.SAY and (why := refusal(state, action)):
        return say(state, why)
    if isinstance(state.at, waiting.Passing) and action in (Action.BACK, Action.UNDO):
        return actions.drop_begun(state)
    if (
        isinstance(state.at, waiting.Passing)
        and action not in (Action.SAY, *SHOWING)
        and not isinstance(state.at, waiting.Unsaved)
    ):
        state = settled(actions.drop_begun(state))  # unless it only shows something, what was begun comes to nothing
    try:
        return answered(state, state.turn.text) if action is Action.SAY else _ACTIONS[action](state, state.turn.text)
    except InputError as fault:
        return say(settled(state), "Not done:", *(f.text() for f in fault.findings))


# -- actions ----------------------------------------------------------------------------
def allowed(state: State) -> tuple[Action, ...]:
    """What may be done now."""
    return tuple(action for action in Action if not refusal(state, action))


def refusal(state: State, action: Action) -> Text:
    """Why an action cannot be done now; "" where it can."""
    if state.finished:
        return "" if action is Action.AGAIN else "This sitting is finished"
    if action in (Action.SAY, Action.AGAIN, Action.FINISH):
        return ""
    if isinstance(state.at, waiting.Unsaved):
        words = (Action.FINISH, " finishes without it")
        return ("First the reading that is not saved yet: ", EMPTY, " tries again, ", *words)
    if isinstance(state.at, waiting.PutBack) and action not in SHOWING:
        return "First what is missing: 1 puts it back, 2 leaves the file as it is now"
    if isinstance(state.at, waiting.Passing) and action in (Action.BACK, Action.UNDO):
        return ""
    at = settled(state).at
    if isinstance(at, waiting.Starting):
        return "" if action in (Action.UNDO, Action.BACK, Action.KEYS) else ("First this; ", Action.FINISH, " finishes")
    if isinstance(at, waiting.Stating):
        return "" if action in STATED else ("That key is for readings. ", *KEYS_HERE)
    if action in ANYWHERE or (isinstance(at, waiting.AllDone) and at.last is not None and action is Action.BACK):
        return ""
    elsewhere: Text = (Action.JUMP, " goes to a step, ")
    if state.target is None:
        return ("Nothing is being measured: ", *elsewhere, Action.FINISH, " finishes")
    if isinstance(at, waiting.AllDone) and action is not Action.BACK:
        back = (Action.BACK, " to the place before, ", Action.FINISH, " finishes")
        return ("Nothing is being measured now: ", *elsewhere, *back)
    return actions.untimed(settled(state)) if action is Action.TIMED else ""


def _skip(state: State, text: str) -> State:
    return answers.answer_statement(state, "") if isinstance(state.at, waiting.Stating) else actions.skip(state, text)


def close(state: State, _: str = "") -> State:
    """End the sitting."""
    state = settled(state)
    if isinstance(state.at, waiting.Starting):
        return replace(say(state, "Nothing recorded in this sitting."), finished=True)
    state = put_back_at_end(drop_typed(state))
    counts = ((state.earlier + len(state.recorded), "reading"), (len(set(state.stated)), "statement"))
    done = [f"{count} {what}{'' if count == 1 else 's'}" for count, what in counts if count]
    nothing = "What was done in this sitting is saved." if state.changed else "Nothing recorded in this sitting."
    saved = f"{' and '.join(done)} saved in this sitting." if done else nothing
    undone, unsaid = still_open(state), to_say(state.job)
    words = [*([f"Left to do: {undone}."] if undone else []), *unsaid]
    if state.recorded and not isinstance(state.at, waiting.AllDone):
        from shlex import quote

        words.append(f"What there is, on paper: ccassist worksheet {quote(state.file)}")
    return replace(
        say(state, saved, *([] if undone or unsaid else ["Everything asked for is there."]), *words), finished=True
    )


_ACTIONS: Mapping[Action, Callable[[State, str], State]] = {
    Action.UNDO: lambda state, _: actions.undo(state),
    Action.ASIDE: actions.aside,
    Action.COUNT_IN: actions.count_in,
    Action.REMARK: actions.remark,
    Action.TIMED: actions.timed,
    Action.SKIP: _skip,
    Action.LEAVE_OUT: actions.leave_out,
    Action.BACK: backward.back,
    Action.JUMP: actions.jump,
    Action.CHANGE: actions.change,
    Action.HOW: actions.how,
    Action.LIST: actions.listed,
    Action.KEYS: lambda state, _: actions.keys(state, allowed(state)),
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
    assert isinstance(at, waiting.Sure)
    if text.lower() in ("y", "yes"):
        return answered(replace(state, at=at.before, turn=replace(state.turn, line=at.named, sure=at.sure)), at.text)
    no = not text or text.lower() in ("n", "no")
    if at.words and not no:
        return say(state, f'"{text}" is neither yes nor no')
    if at.lists:
        state = replace(state, at=waiting.Points(typed=at.lists, before=at.before))
    else:
        kept = isinstance(at.before, waiting.Timed | waiting.Points)
        state = replace(state, at=at.before) if kept else settled(state)
    return state if no else answered(state, text)


def _again(state: State, text: str) -> State:
    """An empty answer does once more what could not be saved."""
    at = state.at
    assert isinstance(at, waiting.Unsaved)
    if text:
        again = (EMPTY, " tries to save it again; ", Action.FINISH, " finishes without it")
        return say(state, again)
    return taken(replace(state, at=at.before, turn=at.turn))


def _all_done(state: State, text: str) -> State:
    return answers.answer_all_done(state, text) if text else close(state)


_ANSWERS: Mapping[type[waiting.At], Callable[[State, str], State]] = {
    waiting.Starting: starting.answer_start,
    waiting.SetUpAsked: answers.answer_set_up,
    waiting.Scope: answers.answer_scope,
    waiting.ReadingAsked: lists.answer,
    waiting.Stating: answers.answer_statement,
    waiting.PutBack: answer_put_back,
    waiting.AllDone: _all_done,
    waiting.Timed: lists.answer_timed,
    waiting.Points: lists.answer_points,
    waiting.OriginAsked: answers.answer_origin,
    waiting.Words: actions.answer_words,
    waiting.Sure: _sure,
    waiting.Unsaved: _again,
}


# -- the question: what is asked, in which unit, how it may be answered, and what an empty answer does --
def question(state: State) -> Question:
    """What is asked now."""
    if state.finished:
        return Question(words="")
    match state.at:
        case waiting.Starting():
            one = state.at.ask
            usual_one = {"beside": starting.NEW, "for": PURPOSES[USUAL].called}.get(one.key, "")
            return Question(words=one.words, options=one.options, empty=usual_one, letters=bool(one.options))
        case waiting.SetUpAsked():
            return _of_set_up(state, state.at)
        case waiting.Scope():
            words = "Does the change hold from now on, or was it so before?"
            return Question(words=words, options=answers.SCOPES, empty=answers.SCOPES[0])
        case waiting.ReadingAsked():
            return _of_reading(state)
        case waiting.Timed():
            return _of_timed(state, state.at)
        case waiting.Points():
            return lists.asked(state, state.at)
        case waiting.Stating():
            return _of_statement(state, state.at.ask)
        case waiting.OriginAsked():
            words = "Where does that come from?"
            return Question(words=words, options=ORIGINS, empty=usual_origin(state, state.at.before.ask))
        case waiting.Words():
            return Question(words=state.at.words, empty="leave it", free=True)
        case waiting.Sure():
            anew = "no asks again" if state.at.words else "or type it again"
            anew = "no asks which one is wrong" if state.at.lists else anew
            return Question(words=f"Are you sure? yes keeps it; {anew}", empty="ask again")
        case waiting.PutBack():
            return Question(words="What is to be done about it?", options=BACK, empty=BACK[0])
        case waiting.Unsaved():
            return Question(words="The reading is NOT saved yet: write it down", empty="try to save it again")
        case waiting.AllDone():
            words = "Nothing more for today" if state.skipped or state.passed else "Everything asked for is there"
            empty = ("finish; ", Action.JUMP, " goes to a step all the same")
            return Question(words=words, options=offers(state.job), empty=empty)


def blank(state: State, field: Field) -> Blank:
    """A value of a reading: its unit, range, example and sign words, the value as before and what was typed."""
    sign, unit = term(field.term).sign, unit_of(state, field.term)
    said = ((sign.says_plus, sign.plus), (sign.says_minus, sign.minus)) if sign else ()
    signs = tuple(shown.replace("{}", "").strip(" ,") or words[0] for shown, words in said)
    return Blank(
        name=field.name,
        label=field.name.replace("_", " "),
        words=_by_tool(state, field),
        unit=unit,
        usual=on_its_scale(state, field.term) or usual(field.term, state.job.system, unit),
        example=field.example or example(field.term, state.job.system),
        signs=signs,
        before=as_before(state, field),
        typed=texts_of(state.typed).get(field.name, ()),
        many=field.many,
        optional=field.optional,
    )


def _of_reading(state: State) -> Question:
    """The next value of a reading, with all of them."""
    field = next_field(state)
    asked, task = blank(state, field), state.task
    noun = state.step.noun
    empty = asked.before if asked.before else "none" if field.optional else ""
    if enough(state):
        empty = f"go on; or take one more{', - for none' if field.optional else ''}"
    return replace(
        _of_blank(asked, f"{capital(state.place.where)}, {noun} {len(task.rows) + 1}: {asked.words}"),
        empty=empty,
        begun=in_brief(texts_of(state.typed)),
        blanks=tuple(blank(state, f) for f in state.fields),
    )


def _by_tool(state: State, field: Field) -> str:
    """What to read, by what the tool has: a syringe a plunger mark, anything else that pours a meniscus."""
    name = next(iter(state.said.get("instrument", ())), "")
    like = f"{name} {state.job.instruments.get(name, {}).get('like', '')}"
    if name and "burette" not in like:
        return field.words.replace("burette", "plunger mark" if "syringe" in like else "meniscus")
    return field.words


def _of_timed(state: State, at: waiting.Timed) -> Question:
    field = next_timed(state, at)
    words = capital(field.words) + ("; with ; between them" if field.many else "")
    blanks = tuple(blank(state, f) for f in state.timed_fields)
    return replace(_of_blank(blank(state, field), words), empty="leave it", blanks=blanks)


def _of_blank(asked: Blank, words: str) -> Question:
    return Question(words=words, unit=asked.unit, usual=asked.usual, example=asked.example)


def _of_set_up(state: State, at: waiting.SetUpAsked) -> Question:
    """The next question of the set-up."""
    one = asked_now(state)
    default = " ; ".join(answers.by_enter(state, one))
    empty = default or (one.unsaid if one.optional else "")
    if one.term:
        many = "; several readings with ; between them" if one.many else ""
        asked = _of_term(state, one, one.words + many, unit_of(state, one.term))
        return replace(asked, default=default, empty=empty)
    options = at.offered or one.options or known_words(state, one) or common_names(state, one)
    return Question(
        words=one.words,
        options=options,
        default=default,
        empty=empty,
        free=not one.options,
        names=tuple(names_known(state, one)) if one.catalogue else (),
    )


def _of_statement(state: State, one: Ask) -> Question:
    """A statement, numbered within its section, and what stands of it already."""
    places = [other.place for other in statements(state.job) if other.section == one.section]
    number = places.index(one.place) + 1 if one.place in places else len(places) + 1
    section = capital(one.section.rpartition(".")[2])
    words = f"{section}, {number} of {max(number, len(places))}: {one.words}"
    words = one.words if one.section == "job" else words
    stands = as_stated(state.job, one)
    empty = f"stays {stands}" if stands else NOT_YET
    if not one.term:
        return Question(words=words, options=one.options, empty=empty, free=not one.options)
    return replace(_of_term(state, one, words, term(one.term).shown(state.job.system)), empty=empty)


def _of_term(state: State, one: Ask, words: str, unit: str) -> Question:
    system = state.job.system
    return Question(words=words, unit=unit, usual=usual(one.term, system, unit), example=example(one.term, system))
