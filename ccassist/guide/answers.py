"""Answers to the questions of a set-up and to statements: read, questioned where they are odd, and kept."""

from __future__ import annotations

from dataclasses import replace

from ccassist.bench.cautions import cautions
from ccassist.bench.step import Method, Step
from ccassist.guide import waiting
from ccassist.guide.asks import (
    LEFT,
    LEFT_TO,
    NOT_IN_FILE,
    Ask,
    Said,
    as_stated,
    finer_named,
    instead_of,
    is_stated,
    kinds_read,
    left_in,
    next_ask,
    taken_fluid,
)
from ccassist.guide.moving import (
    ANSWER,
    PAPERS,
    advance,
    answers,
    here,
    offers,
    series_of,
    set_up,
    show_screens,
    wind_up,
    with_said,
)
from ccassist.guide.readings import take
from ccassist.guide.recording import NONE, keep_given, may_be_given, not_read, questions, told_anew
from ccassist.guide.state import EMPTY, State, did, doubted, say, settled, warn
from ccassist.guide.view import Action, Call, Text
from ccassist.guide.walk import ways
from ccassist.guide.words import (
    MOST,
    advice,
    chosen,
    common_names,
    doubt_of_name,
    doubt_of_state,
    exact,
    holding,
    instrument_names,
    known_names,
    known_states,
    names_known,
    nearest_name,
    no_words,
    overview,
)
from ccassist.job import amend
from ccassist.job.lost import Lost, lost, put_back
from ccassist.values.findings import InputError, runs
from ccassist.values.grammar import ORIGINS
from ccassist.vocabulary import term


# -- set-up -----------------------------------------------------------------------------
def answer_scope(state: State, text: str) -> State:
    """Whether a change of the set-up holds for the readings before it, too; an empty answer: from now on."""
    at = state.at
    assert isinstance(at, waiting.Scope)
    said = chosen(SCOPES, text) if text else SCOPES[0]
    if said is None:
        return say(state, "1 from now on, 2 for the readings before too")
    state = replace(state, at=waiting.SetUpAsked(rest=True))
    if said == SCOPES[0]:
        return set_up(state)
    rows = here(replace(state, said=at.was)).rows
    text = state.text
    for key in _parted(state.step, at.was, state.said):
        for number in series_of(rows):
            text = amend.in_series(text, number, key, state.said.get(key, ()))
    after = did(with_said(replace(state, text=text)), "change for the readings before", state, answer=True)
    return told_anew(set_up(after))


SCOPES = ("from now on", "it was so for the readings before too")


def asked_now(state: State) -> Ask:
    """The question of the set-up that is not answered yet."""
    at = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked()
    one = next_ask(state.place, state.said, rest=at.rest, one=at.one)
    assert one is not None
    return one


def by_enter(state: State, one: Ask) -> tuple[str, ...]:
    """What an empty answer takes: what it was before, or is taken until it is said."""
    taken = taken_fluid(state.place, state.said) if one.key == "fluid" else ""
    return state.hinted.get(one.key, ()) or ((taken,) if taken else ())


def known_words(state: State, one: Ask) -> tuple[str, ...]:
    """The states or names that may be said by number."""
    if not one.wordy:
        return ()
    return known_states(state, one.examples) if one.key == "state" else known_names(state)


def answer_set_up(state: State, text: str) -> State:
    """Take the answer to a question of the set-up, or say why not."""
    one = asked_now(state)
    given = may_be_given(state, state.fields[0]) if not_read(text) else ""
    if given and not (isinstance(state.at, waiting.SetUpAsked) and state.at.rest):
        return take(state, text, given, lambda now, found: keep_given(now, given, found[0].raw))
    if text in ("", NONE):
        value = by_enter(state, one) if not text else ()
        if one.wordy:
            return _word(state, one, next(iter(value), ""))
        return _keep(state, one.key, value) if value or one.optional else say(state, "This one is needed")
    if one.options:
        return _one_of(state, one, text)
    if one.catalogue:
        return _look_up(state, one, text)
    if one.term:
        return take(
            state, text, one.term, lambda now, found: _keep(now, one.key, tuple(q.raw for q in found)), many=one.many
        )
    return _in_words(state, one, text)


def _in_words(state: State, one: Ask, text: str) -> State:
    """A state or a name: by its number, or in words that are no number and no reading."""
    known = known_words(state, one)
    if text.isdecimal():
        said = chosen(known, text) or ""
        wrong = f"No number {text} here: say it in words" + (", or by one of the numbers" if known else "")
    else:
        said = next((word for word in known if word.casefold() == text.casefold()), text)
        wrong = no_words(state.job, text)
        said = "" if wrong else said
    return _word(state, one, said) if said else say(state, wrong)


def _word(state: State, one: Ask, said: str) -> State:
    """Keep a state or a name; one that hides earlier readings is asked about first."""
    known = known_words(state, one)
    asked = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked()
    late = asked.rest and not asked.anew  # it goes to those there are
    doubt = None if late else doubt_of_state(state, said, known) if one.key == "state" else doubt_of_name(state, said)
    if doubt is not None and doubt.text() not in state.turn.sure:
        return doubted(state, [doubt.text()], words=True)
    return _keep(state, one.key, (said,) if said else ())


def _one_of(state: State, one: Ask, text: str) -> State:
    found = chosen(one.options, text)
    if found is None and (fits := holding(text, one.options)):
        if len(fits) < len(one.options):
            numbers = [number for number, option in enumerate(one.options, start=1) if option in fits]
            return say(state, f'"{text}" fits {runs(numbers)}: which of them?')
        if one.key == "method":  # it says nothing against the first, which is the usual one
            found = fits[0]
            state = say(state, _taken_as(found))
    if found is None and one.key == "method" and (way := _way_of_tool(state, text)) is not None:
        return answer_set_up(_keep(say(state, _taken_as(way.title)), one.key, (way.title,)), text)
    if found is None:
        return say(state, f"Answer with a number from 1 to {len(one.options)}, or with the words")
    if one.key == "finer":
        return _keep(state, "picked", (*state.said.get("picked", ()), finer_named(state.step, found)))
    return _keep(state, one.key, (found,))


def _taken_as(way: str) -> Text:
    return (f"Taken as: {way}; ", Call(Action.CHANGE, "method"), " says another.")


def _way_of_tool(state: State, text: str) -> Method | None:
    """The first way of reading that uses a tool of that name, where one was typed."""
    whole = exact(text, "instrument", state.job)
    known = ((way, instrument_names(state.job, kinds_read(way))) for way in ways(state.place))
    named = (way for way, names in known if whole in names or holding(text, names))
    return next(named, None) if any(c.isalpha() for c in text) else None


def _look_up(state: State, one: Ask, text: str) -> State:
    """A whole name, a number of the list offered, or part of a name."""
    known, offered = names_known(state, one), state.at.offered if isinstance(state.at, waiting.SetUpAsked) else ()
    offered = offered or common_names(state, one)
    section = f"{'an' if one.catalogue[0] in 'aeiou' else 'a'} [{one.catalogue}]"
    own = f"your own goes into {section} section of the file"
    if text == "?":
        return say(state, f"Known: {overview(known)}. Type a name or part of it; {own}.")
    whole = (chosen(offered, text) if text.isdecimal() else None) or exact(text, one.catalogue, state.job)
    if whole:
        return _keep(state, one.key, (whole,))
    found = holding(text, known)
    if len(found) == 1 and any(c.isalpha() for c in text):  # a number alone may be a reading typed too early
        return _keep(say(state, f"Taken as: {found[0]}"), one.key, (found[0],))
    if found:
        more = f" (of {len(found)}; type more of the name)" if len(found) > MOST else ""
        state = say(state, f"Which one? Its number{more}")
        at = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked()
        return replace(state, at=replace(at, offered=tuple(found[:MOST])))
    near = nearest_name(text, known)
    hint = f'; perhaps "{near}"' if near else ""
    return say(state, (f"No such {one.catalogue}{hint}. ? lists those known; {own}; ", EMPTY, " leaves it unsaid"))


def _keep(state: State, key: str, value: tuple[str, ...]) -> State:
    """Keep an answer of the set-up, with what is to be minded with it, and go on."""
    was = state.at if isinstance(state.at, waiting.SetUpAsked) else waiting.SetUpAsked()
    after = replace(state, said={**state.said, key: value}, at=replace(was, offered=()))
    if was.rest and not was.anew and key not in NOT_IN_FILE and value:
        series = series_of(here(state).rows)
        for number in series[-1:] if key == "temperature" else series:  # which is read anew each day
            after = replace(after, text=amend.in_series(after.text, number, key, value))
    after = did(with_said(after), f"{key.replace('_', ' ')} {' and '.join(value) or 'not said'}", state, answer=True)
    if key == "method":  # the instrument used before is offered again only where it reads what the method asks for
        fit = instrument_names(after.job, kinds_read(after.method))
        if any(name not in fit for name in after.hinted.get("instrument", ())):
            after = replace(after, hinted={name: v for name, v in after.hinted.items() if name != "instrument"})
    if key == "fluid" and value:
        other = after.step.other_fluid and value[0] != after.step.fluid
        mind = [f"CAUTION: {text}" for text in cautions((after.step.other_fluid,))] if other else []
        after = warn(after, [*advice(value[0], key, after.job), *mind])
        if was.rest and here(state).rows and taken_fluid(state.place, state.said) not in ("", *value):
            after = told_anew(after)  # what was weighed is another volume now
    return _all_said(after, was) if next_ask(after.place, after.said, rest=was.rest, one=was.one) is None else after


def _all_said(state: State, was: waiting.SetUpAsked) -> State:
    """On to the readings; what was changed may hold for those before, and what was told late changes what they say."""
    if was.anew and _parted(state.step, was.was, state.said) and here(replace(state, said=was.was)).rows:
        return replace(state, at=waiting.Scope(was=was.was))
    old, new = (next(iter(said.get("state", ())), "") for said in (was.was, state.said))
    if was.anew and old != new and here(replace(state, said=was.was)).rows and not here(state).rows:
        anew = f"Readings start anew for another state; those {old} stay in the file, for before and after."
        state = say(state, anew)
    state = set_up(state)
    return told_anew(state) if was.rest and not was.anew and state.task.rows else state


def _parted(step: Step, was: Said, said: Said) -> list[str]:
    """What was changed that would part the readings from those before, though they may have been made so.

    What else is set up otherwise only corrects each reading by its own; a state and who reads are asked about by
    themselves; and what was read another way stays so.
    """
    if was.get("method", ()) != said.get("method", ()):
        return []
    apart = [*(f.name for f in step.settings if f.apart), *(c.name for c in step.choices if c.apart)]
    return [key for key in ("instrument", "fluid", *apart) if was.get(key, ()) != said.get(key, ())]


# -- statements -------------------------------------------------------------------------
def answer_statement(state: State, text: str) -> State:
    """Put a statement into the file's text, or say what is wrong with it; an empty answer passes it over for today."""
    assert isinstance(state.at, waiting.Stating)
    one = state.at.ask
    if text in ("", NONE):
        if not is_stated(state.job, one) and one.place not in state.passed:
            after = replace(state, passed=(*state.passed, one.place))
            state = did(after, f"{one.place} passed over for today", state)
        return advance(state)
    if text.casefold() in (LEFT_TO, LEFT_TO.removeprefix("the ")) and left_in(one):
        return _state(state, one, LEFT_TO, section=left_in(one))
    if one.options:
        said = chosen(one.options, text)
        if said is None:
            return say(state, f"Say one of the numbers, or {' or '.join(one.options)}")
        return _state(state, one, said)
    if one.term:
        return _quantity(state, one, text)
    return _state(state, one, text)


def _quantity(state: State, one: Ask, text: str) -> State:
    """A quantity, or a range of it: kept, or asked where it comes from."""
    from ccassist.values.asking import band_with_unit, quantity_with_unit
    from ccassist.values.quantity import doubtful

    sight = term(one.term).shown(state.job.system)  # the prompt prints it
    try:
        if one.band:
            return _state(state, one, band_with_unit(text, one.term, sight=sight))
        found = quantity_with_unit(text, one.term, sight=sight)
    except InputError as fault:
        if instead_of(one) and fault.findings[0].code == "wrong-basis":
            return _state(state, one, text, key=instead_of(one))
        return say(state, *(f.text() for f in fault.findings))
    unusual = doubtful(found)
    if unusual is not None and unusual.text() not in state.turn.sure:
        return doubted(state, [unusual.text()])
    if one.decided or found.origin:
        return _state(state, one, found.raw)
    assert isinstance(state.at, waiting.Stating)
    return replace(state, at=waiting.OriginAsked(typed=found.raw, before=state.at))


def usual_origin(state: State, one: Ask) -> str:
    """Where the last one of this section came from; "" where nothing was said: nobody's word is taken for theirs."""
    section, said = state.origin
    return said if section == one.section else ""


def answer_origin(state: State, text: str) -> State:
    """Where a stated quantity comes from; then it is kept."""
    at = state.at
    assert isinstance(at, waiting.OriginAsked)
    one = at.before.ask
    said = chosen(ORIGINS, text) if text else usual_origin(state, one)
    if not said:
        return say(state, f"Say one of the numbers, or {' or '.join(ORIGINS)}")
    return _state(state, one, f"{at.typed}, {said}", origin=said)


def _state(state: State, one: Ask, text: str, *, section: str = "", key: str = "", origin: str = "") -> State:
    """Keep a statement, say what it was before, and go on to the next."""
    section, key, was = section or one.section, key or one.key, as_stated(state.job, one)
    path = section.split(".")
    file_text = amend.state(state.text, path, key, text)
    if doubts := questions(state, file_text):
        return doubted(state, doubts)
    if was.startswith(LEFT) and text != LEFT_TO:
        file_text = amend.take_out(file_text, (*left_in(one).split("."), one.key))
    changed = f", was: {was}" if was not in ("", text) else ""
    after = replace(settled(state), text=file_text, stated=(*state.stated, one.place))
    after = replace(after, origin=(one.section, origin)) if origin else after
    after = say(after, f'Kept: [{section}] {key} = "{text}"{changed}', *_guess(state, one, text, key))
    return advance(did(after, f'[{section}] {key} = "{text}"{changed}', state))


def _guess(state: State, one: Ask, text: str, key: str) -> list[str]:
    """What is taken for the ± of a quantity stated without one, which is a guess."""
    if not one.term or one.decided or text == LEFT_TO:
        return []
    from ccassist.values.quantity import parse
    from ccassist.values.statement import taken_words

    said = taken_words(parse(text, key, system=state.job.system))
    return [said] if said else []


# -- the end ----------------------------------------------------------------------------
def answer_all_done(state: State, text: str) -> State:
    """An answer shown or a paper printed, by its number."""
    assert isinstance(state.at, waiting.AllDone)
    said = chosen(offers(state.job), text)
    if said == ANSWER:
        return show_screens(state, *answers(state.job))
    if said is not None:
        return wind_up(replace(state, paper=PAPERS[said]))
    place = Call(Action.JUMP, "deck 3")
    return say(state, ("A number shows or prints, ", place, " goes to a place, ", Action.FINISH, " finishes"))


# -- an older copy saved over the file: what it drops is named, and put back where that is wanted --
BACK = ("put back what is missing", "leave the file as it is now")
MOST_NAMED = 12
NOT_BACK = "NOT put back, write it down:"


def rebased(state: State, text: str) -> State:
    """The sitting with what something else wrote into the file.

    Undo reaches back to it and no further: what was done before may not be there any more.
    """
    kept = []
    for done in reversed(state.history):
        if done.before.text != state.text:
            break
        kept.append(replace(done, before=replace(done.before, text=text)))
    missing = ((state.text, text),) if lost(state.text, text) else ()
    return replace(
        state,
        text=text,
        history=tuple(reversed(kept)),
        earlier=state.earlier + len(state.recorded),
        recorded=(),  # the last reading of the file may not be the last one typed any more
        missing=(*state.missing, *missing),
    )


def offer_back(state: State) -> State:
    """Name what is missing, and ask what to do about it."""
    if not state.missing:
        return state
    said = [words for gone in _gone(state) for words in gone.words]
    more = [f"  and {len(said) - MOST_NAMED} more"] if len(said) > MOST_NAMED else []
    state = say(state, "What was saved before is missing in it now, as in an older copy:")
    state = say(state, *(f"  {words}" for words in said[:MOST_NAMED]), *more)
    return replace(state, at=waiting.PutBack(before=state.at))


def _gone(state: State) -> list[Lost]:
    return [lost(was, now) for was, now in state.missing]


def answer_put_back(state: State, text: str) -> State:
    """An empty answer puts it back."""
    at = state.at
    assert isinstance(at, waiting.PutBack)
    said = chosen(BACK, text) if text else BACK[0]
    if said is None:
        return say(state, "1 puts it back, 2 leaves the file as it is now")
    if said == BACK[1]:
        return say(replace(state, at=at.before, missing=()), "Left as it is.")
    before = replace(state, at=at.before)
    after = did(replace(before, text=_whole(state), missing=()), "putting back of what was missing", before)
    return say(after, "Put back; it stands in the file again.")


def _whole(state: State) -> str:
    """The text with all that is missing put back; raises InputError where it cannot be edited."""
    text = state.text
    for gone in _gone(state):
        text = put_back(text, gone)
    return text


def put_back_at_end(state: State) -> State:
    """At the end of a sitting what is missing is put back, as nobody can be asked any more."""
    if not state.missing:
        return state
    said = [words for gone in _gone(state) for words in gone.words]
    state = say(state, "Missing in the file as it is now, and put back:", *(f"  {words}" for words in said))
    try:
        return replace(state, text=_whole(state), missing=(), changed=True)
    except InputError as fault:
        return say(state, NOT_BACK, *(f.text() for f in fault.findings))
