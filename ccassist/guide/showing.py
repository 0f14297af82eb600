"""The question of a sitting: what is asked, in which unit, how it may be answered, and what an empty answer does."""

from __future__ import annotations

from dataclasses import replace

from ccassist.bench.step import Field
from ccassist.guide.answers import OFFERED, asked_now, known_words, usual_origin
from ccassist.guide.asks import Ask, as_stated, statements
from ccassist.guide.moving import offers
from ccassist.guide.older_copy import BACK
from ccassist.guide.readings import as_before, enough, next_timed, unit_of
from ccassist.guide.state import (
    AllDone,
    Confirm,
    Offer,
    Origin,
    PutBack,
    Reading,
    SetUp,
    State,
    Stating,
    Sure,
    Timed,
    Unsaved,
    Words,
    said_of,
    texts_of,
)
from ccassist.guide.view import Action, Blank, Question
from ccassist.values.asking import example, usual
from ccassist.values.findings import capital
from ccassist.values.grammar import ORIGINS
from ccassist.vocabulary import term

NOT_YET = "not known yet"


def question(state: State) -> Question:
    """What is asked now."""
    if state.finished:
        return Question(words="")
    match state.at:
        case Confirm():
            return Question(words="Set-up as before?", empty=("the same; ", Action.CHANGE, " changes it"))
        case SetUp():
            return _of_set_up(state, state.at)
        case Offer():
            words = f"{state.at.name} is not calibrated. Calibrate it first, by weighing what it delivers?"
            return Question(words=words, options=OFFERED, empty="not now, go on")
        case Reading():
            return _of_reading(state)
        case Timed():
            return _of_timed(state, state.at)
        case Stating():
            return _of_statement(state, state.at.ask)
        case Origin():
            words = "Where does that come from?"
            return Question(words=words, options=ORIGINS, empty=usual_origin(state, state.at.before.ask))
        case Words():
            return Question(words=state.at.words, empty="leave it", free=True)
        case Sure():
            anew = "no asks again" if state.at.words else "or type it again"
            return Question(words=f"Are you sure? yes keeps it; {anew}", empty="ask again")
        case PutBack():
            return Question(words="What is to be done about it?", options=BACK, empty=BACK[0])
        case Unsaved():
            return Question(words="The reading is NOT saved yet: write it down", empty="try to save it again")
        case AllDone():
            words = "Nothing more for today" if state.skipped or state.passed else "Everything asked for is there"
            empty = ("finish; ", Action.JUMP, " goes to a step all the same")
            return Question(words=words, options=offers(state.job), empty=empty)


def blank(state: State, field: Field) -> Blank:
    """A value of a reading: its unit, range, example and sign words, the value as before and what was typed."""
    sign, unit = term(field.term).sign, unit_of(state, field.term)
    signs = tuple(said.replace("{}", "").strip(" ,") for said in (sign.says_plus, sign.says_minus)) if sign else ()
    return Blank(
        name=field.name,
        label=field.name.replace("_", " "),
        words=field.words,
        unit=unit,
        usual=usual(field.term, state.job.system, unit),
        example=field.example or example(field.term, state.job.system),
        signs=signs,
        before=as_before(state, field),
        typed=texts_of(state.typed).get(field.name, ()),
        many=field.many,
        optional=field.optional,
    )


def _of_reading(state: State) -> Question:
    """The next value of a reading, with all of them."""
    field = next(f for f in state.fields if f.name not in state.typed)
    asked, task = blank(state, field), state.task
    noun = "step" if not state.step.part else "fill" if state.step.fills else "reading"
    empty = f"{asked.before}, as before" if asked.before else "none" if field.optional else ""
    if enough(state):
        empty = f"go on; or take one more{', - for none' if field.optional else ''}"
    return replace(
        _of_blank(asked, f"{capital(state.place.where)}, {noun} {len(task.rows) + 1}: {field.words}"),
        empty=empty,
        begun=said_of(texts_of(state.typed)),
        blanks=tuple(blank(state, f) for f in state.fields),
    )


def _of_timed(state: State, at: Timed) -> Question:
    field = next_timed(state, at)
    words = capital(field.words) + ("; with ; between them" if field.many else "")
    blanks = tuple(blank(state, f) for f in state.timed_fields)
    return replace(_of_blank(blank(state, field), words), empty="leave it", blanks=blanks)


def _of_blank(asked: Blank, words: str) -> Question:
    return Question(words=words, unit=asked.unit, usual=asked.usual, example=asked.example)


def _of_set_up(state: State, at: SetUp) -> Question:
    """The next question of the set-up."""
    one = asked_now(state)
    default = " ; ".join(state.hinted.get(one.key, ()))
    empty = default or (one.unsaid if one.optional else "")
    if one.term:
        many = "; several readings with ; between them" if one.many else ""
        asked = _of_term(state, one, one.words + many, unit_of(state, one.term))
        return replace(asked, default=default, empty=empty)
    options = at.offered or one.options or known_words(state, one)
    return Question(
        words=one.words,
        options=options,
        default=default,
        empty=empty,
        free=not one.options,
        listed=bool(one.catalogue),
    )


def _of_statement(state: State, one: Ask) -> Question:
    """A statement, numbered within its section, and what stands of it already."""
    places = [other.place for other in statements(state.job) if other.section == one.section]
    number = places.index(one.place) + 1 if one.place in places else len(places) + 1
    section = capital(one.section.rpartition(".")[2])
    words = f"{section}, {number} of {max(number, len(places))}: {one.words}"
    stands = as_stated(state.job, one)
    empty = f"stays {stands}" if stands else NOT_YET
    if not one.term:
        return Question(words=words, options=one.options, empty=empty, free=not one.options)
    return replace(_of_term(state, one, words, term(one.term).shown(state.job.system)), empty=empty)


def _of_term(state: State, one: Ask, words: str, unit: str) -> Question:
    system = state.job.system
    return Question(words=words, unit=unit, usual=usual(one.term, system, unit), example=example(one.term, system))
