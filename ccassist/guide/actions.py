"""What may be done besides answering: undo, setting aside, remarks, skipping, going elsewhere, changing the set-up."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.guide import waiting
from ccassist.guide.asks import find_statement, fixed, next_ask, set_up_asks
from ccassist.guide.moving import (
    about,
    advance,
    ask,
    bench_list,
    calibrate,
    drop_typed,
    go,
    show_card,
    stated_list,
    turn_to,
)
from ccassist.guide.recording import told_anew
from ccassist.guide.state import EMPTY, STAYS, State, did, effect, said_of, say, settled, texts_of
from ccassist.guide.view import ACTIONS, Action, Call, Text
from ccassist.guide.walk import Target, left_out
from ccassist.guide.words import advice, in_words, instrument_names, no_words
from ccassist.job import amend
from ccassist.job.records import Row
from ccassist.job.sections import STATED
from ccassist.values.asking import example, usual
from ccassist.values.findings import InputError, error
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.units import units_of


# -- undo ------------------------------------------------------------------------
def undo(state: State) -> State:
    """The sitting before the last thing done; what is doubted or only begun is dropped, and nothing else."""
    if isinstance(state.at, waiting.Passing):
        return drop_begun(state)
    if not state.history and state.typed:  # begun when another sitting broke off
        return drop_typed(state)
    if not state.history:
        nothing = "Nothing of this sitting to take back; "
        return say(state, (nothing, Action.ASIDE, " sets an older reading aside, with its reason"))
    done = state.history[-1]
    kept: dict[str, Any] = {name: getattr(state, name) for name in STAYS}
    back = replace(done.before, history=state.history[:-1], **kept)
    if isinstance(back.at, waiting.Stating):
        back = turn_to(replace(back, at=state.at), back.at)
    elif back.target is not None and back.target != state.target:
        back = show_card(back, full=False)
    back = say(back, f"Taken back: {done.words}")
    if done.effect is None:
        return back
    what = "taken back" if done.effect.what == "recorded" else f"not {done.effect.what}"
    effects = (*back.turn.effects, replace(done.effect, what=what))
    back = replace(back, turn=replace(back.turn, effects=effects))
    return told_anew(back) if back.target is not None and back.task.rows else back


def drop_begun(state: State) -> State:
    """Without what is doubted or only begun, which comes to nothing; of timed readings only without the doubt."""
    at = state.at
    if not isinstance(at, waiting.Sure):
        return say(settled(state), _dropped(state))
    state = say(replace(state, at=at.before), _dropped(state))
    return state if isinstance(at.before, waiting.Timed) else settled(state)


def _dropped(state: State) -> Text:
    """What was typed, or begun, and comes to nothing."""
    match state.at:
        case waiting.Sure():
            reading = isinstance(state.at.before, waiting.ReadingAsked)
            return f"{'Not recorded' if reading else 'Dropped'}: {state.at.named}"
        case waiting.Words():
            return ("Dropped: ", Call(state.at.action, state.at.text))
        case waiting.OriginAsked():
            return f"Dropped: {state.at.typed}"
        case waiting.Points():
            return f"Dropped: {said_of(texts_of(state.at.typed))}"
        case _:
            return ("Dropped: ", Action.TIMED)


# -- readings that are kept -----------------------------------------------------------------
def row_words(row: Row) -> str:
    """A reading in words, as it stands in the file."""
    said = said_of(row.fields)
    return f"{said} (set aside: {row.set_aside})" if row.set_aside else said


def _chosen(state: State, text: str) -> tuple[int, Row] | State:
    """The reading meant by its number, by default the last; with a list of them, where there is none such."""
    rows = state.task.rows
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 5 else len(rows) if not text else 0
    if 1 <= number <= len(rows):
        return number, rows[number - 1]
    here = [f"  {n}  {row_words(row)}" for n, row in enumerate(rows, start=1)]
    words = "The readings here:" if text == "?" else "There is no such reading; those here are:"
    return say(state, words if rows else "There is no reading here yet", *here)


def aside(state: State, text: str) -> State:
    """Set a reading aside: why is asked next."""
    meant = _chosen(state, text)
    if isinstance(meant, State):
        return meant
    number, row = meant
    if row.set_aside:
        words = f"Reading {number} is set aside already: {row.set_aside}. "
        return say(state, (words, Call(Action.COUNT_IN, str(number)), " counts it in again"))
    state = say(state, f"Reading {number}: {row_words(row)}")
    return _asked(state, Action.ASIDE, str(number), "Why does it not count?")


def _set_aside(state: State, number: str, reason: str) -> State:
    row = state.task.rows[int(number) - 1]
    after = replace(state, text=amend.set_aside(state.text, row.place, reason))
    done = effect(state, "set aside", row.fields)
    after = did(after, f'the setting aside of reading {number} ("{reason}")', state, done)
    after = say(after, f"Set aside: reading {number}, {row_words(row)}. It stays in the file with its reason.")
    return told_anew(after)


def count_in(state: State, text: str) -> State:
    """Bring back a reading that was set aside: the only one, the last of them, or the one numbered."""
    set_aside = [n for n, row in enumerate(state.task.rows, start=1) if row.set_aside]
    meant = _chosen(state, text or (str(set_aside[-1]) if set_aside else ""))
    if isinstance(meant, State):
        return meant
    number, row = meant
    if not row.set_aside:
        return say(state, f"Reading {number} counts: {row_words(row)}")
    after = replace(state, text=amend.count_in(state.text, row.place))
    after = did(after, f"counting in of reading {number}", state, effect(state, "counted in", row.fields))
    return told_anew(say(after, f"Reading {number} counts again: {row_words(replace(row, set_aside=''))}"))


def remark(state: State, text: str) -> State:
    """A remark on the reading just recorded, or on the one that comes next."""
    if not text:
        return _asked(state, Action.REMARK, "", "Remark")
    wrong = no_words(state.job, text)
    return say(state, wrong) if wrong else _remark(state, text)


def _remark(state: State, words: str) -> State:
    rows = state.task.rows
    if not rows or state.target not in state.recorded or state.typed:
        after = replace(state, noted="; ".join(t for t in (state.noted, words) if t))
        after = did(after, f"remark for the reading that comes next: {words}", state)
        return say(after, "Kept for the reading that comes next")
    row = rows[-1]
    remarks = "; ".join(t for t in (row.remark, words) if t)
    after = replace(state, text=amend.annotate(state.text, row.place, {"remark": remarks}))
    said = f"remark on reading {len(rows)}: {words}"
    return say(did(after, said, state, effect(state, "remarked", row.fields)), said[:1].upper() + said[1:])


def timed(state: State, _: str) -> State:
    """Ask for the timed readings of the last fill."""
    if (why := untimed(state)) != "":
        return say(state, why)
    row = state.task.rows[-1]
    state = say(state, "Time counts from when fluid first stood over the leak", f"For: {row_words(row)}")
    return replace(state, at=waiting.Timed(place=row.place, typed={}, before=state.at))


def untimed(state: State) -> str:
    """Why no timed readings can be put to the last reading; "" where they can."""
    fields = state.timed_fields if isinstance(state.at, waiting.ReadingAsked) and not state.typed else ()
    if not fields or not (rows := state.task.rows):
        return "Timed readings go with a fill by burette that has just been recorded"
    return "The last fill has its timed readings already" if any(f.name in rows[-1].fields for f in fields) else ""


# -- what is still asked for ----------------------------------------------------------------
def skip(state: State, _: str) -> State:
    """Leave a thing for today."""
    here = f"{state.place.step} {state.place.where}"
    after = drop_typed(state)
    if state.target not in state.skipped:
        after = did(replace(after, skipped=(*after.skipped, state.place)), f"skipped for today: {here}", state)
    return advance(say(after, f"Skipped for today: {here}"))


def leave_out(state: State, text: str) -> State:
    """It does not apply, and is not asked for again: here, or everywhere."""
    at = state.at.ask if isinstance(state.at, waiting.Stating) else None
    if text not in ("", "all"):
        this, everything = Call(Action.LEAVE_OUT), Call(Action.LEAVE_OUT, "all")
        if at is not None:
            return say(state, (this, ": this one is not asked again; ", everything, ": nothing of this section is"))
        return say(state, (this, " leaves this one out, ", everything, " leaves the step out everywhere"))
    if at is not None:
        entry, said = at.section if text else at.place, "not asked again"
        words = f"Not asked again: {entry}. It stands under leave_out in [job]: remove it there to be asked."
    else:
        entry, said = state.place.step if text else f"{state.place.step} {state.place.place}", "left out"
        words = f"Left out: {entry}. It stands under leave_out in [job]: remove it there to be asked again."
    listed = ", ".join([*left_out(state.job), entry])
    after = state if at is not None else drop_typed(state)
    after = replace(after, text=amend.set_value(after.text, ("job", "leave_out"), listed))
    after = did(after, f"{said}: {entry}", state, None if at is not None else effect(state, "left out", {}))
    return advance(say(after, words))


def jump(state: State, text: str) -> State:
    """Go elsewhere: to a bench step and its place, or to a statement."""
    if not text:
        state = say(state, "Steps: " + ", ".join(step.key for step in STEPS.values() if step.part))
        return _asked(state, Action.JUMP, "", "Which step and which cylinder, such as: deck 3")
    said = find_statement(state.job, text)
    if said is not None:
        return ask(drop_typed(state) if state.target is not None else state, said)
    step, _, place = text.partition(" ")
    if step.isascii() and step.isdecimal() and state.target is not None:
        step, place = state.target.step, step
    if place.strip().startswith(NEW_LAYER) and step in STEPS:
        return _new_layer(state, step, place.strip().removeprefix(NEW_LAYER).strip())
    if step == CALIBRATE.key and (name := place.strip() or _to_calibrate(state)):
        return calibrate(drop_typed(state) if state.target is not None else state, name)
    target = find(state, step, place.strip())
    after = drop_typed(state) if state.target is not None else state
    if target in after.skipped:
        kept = tuple(one for one in after.skipped if one != target)
        after = did(replace(after, skipped=kept), f"no longer skipped: {target.step} {target.where}", state)
    return go(after, target)


NEW_LAYER = "new "  # before the name of a layer that is measured besides, such as a shim


def _new_layer(state: State, step: str, name: str) -> State:
    """Name another layer of a step's part, such as a shim beside the gasket, and go to it."""
    if not STEPS[step].layer:
        layered = ", ".join(one.key for one in STEPS.values() if one.layer)
        return say(state, f"A layer is added to: {layered}")
    wrong = f'There is "{name}" already' if name in state.job.parts else no_words(state.job, name)
    if wrong:
        return say(state, wrong)
    before = drop_typed(state) if state.target is not None else state
    after = replace(before, text=amend.add_part(before.text, name, STEPS[step].part))
    after = did(say(after, f"Added: {name}, a layer of its own"), f"layer {name}", state)
    return go(after, find(after, step, name))


def _to_calibrate(state: State) -> str:
    """The instrument whose calibration is asked for without a name: that of the set-up, where it reads volumes."""
    name = next(iter(state.said.get("instrument", ())), "")
    return name if name and state.target is not None and name in instrument_names(state.job, [Kind.VOLUME]) else ""


def find(state: State, step: str, place: str) -> Target:
    """A target by its step and its cylinder, part or reading; the first open one where only one of them is said.

    Raises InputError: there is none.
    """
    from ccassist.job.entry import step_named

    tasks = state.plan
    if step:
        key = step_named(step).key
        tasks = tuple(t for t in tasks if t.target.step == key)
        if not tasks:
            wrong = "no burette or syringe to be calibrated is named yet"
            raise InputError(error("not-in-walk", wrong, read=key, right="name it as the instrument of a fill first"))
    near = [t for t in tasks if not place or place in (t.target.place, t.target.part)]
    if not near:
        wrong = "not a place of this step" if step else "no such cylinder"
        places = ", ".join(dict.fromkeys(t.target.place for t in tasks))
        raise InputError(error("no-such-place", wrong, read=place, right=f"say one of: {places}"))
    return next((t for t in near if t.open and t.target not in state.skipped), near[0]).target


# -- the set-up said anew, and the unit of bare numbers --------------------------------------
def change(state: State, text: str) -> State:
    """All of the set-up anew, or one thing of it; or the unit of bare numbers."""
    word, _, unit = text.partition(" ")
    if word in ("unit", "units"):
        return _change_unit(state, unit.strip())
    asked = (ask.key for ask in set_up_asks(state.place, state.said))
    there = [n for n in dict.fromkeys([*state.said, *asked]) if n not in (*fixed(state.place), "finer", "picked")]
    found = [name for name in there if text and name.startswith(text.casefold().replace(" ", "_"))]
    one = found[0] if len(found) == 1 else ""
    if text and not one:
        return say(state, f'No "{text}" in this set-up; there is: {", ".join(there)}')
    return change_one(state, one)


def change_one(state: State, one: str) -> State:
    """One thing of the set-up anew; "" : all of it."""
    if one:
        anew = (one, "instrument") if one == "method" else (one,)
        said = {name: texts for name, texts in state.said.items() if name not in anew}
    else:
        picked = state.said.get("picked", ())
        said = {**fixed(state.place), **({"picked": picked} if picked else {})}
    rest = not one or bool(state.task.rows) or next_ask(state.place, state.said, rest=True) is None
    at = waiting.SetUpAsked(rest=rest, one=one, anew=True, was=dict(state.said))
    after = replace(drop_typed(state), hinted=dict(state.said), said=said, at=at)
    after = did(after, f"change of the set-up{f', {one}' if one else ''}", state, answer=True)
    return say(after, (EMPTY, " keeps what it was, - says nothing of it"))


def _change_unit(state: State, said: str) -> State:
    """The unit of bare numbers, for this sitting; in the file every value has its own."""
    kinds = [kind for kind in dict.fromkeys(term(f.term).kind for f in state.fields) if units_of(kind)]
    some = ", ".join(unit.spellings[0] for kind in kinds for unit in kind.units)
    if not said:
        return _asked(state, Action.CHANGE, "unit", f"Unit of a bare number, such as: {some}")
    kind = next((kind for kind in kinds if said in units_of(kind)), None)
    if kind is None:
        return say(state, f'No reading here is in "{said}"; units: {some}')
    after = replace(state, units={**state.units, kind.name: said})
    after = did(after, f"bare numbers read as {said}", state)
    return say(after, f"Bare numbers are read as {said} now; any other unit may stand behind its number")


# -- what an action still wants to be told -----------------------------------------------------
def _asked(state: State, action: Action, text: str, words: str) -> State:
    return replace(state, at=waiting.Words(action=action, text=text, words=words, before=state.at))


def answer_words(state: State, text: str) -> State:
    """Enough said: the action is done; an empty answer leaves everything as it was."""
    at = state.at
    assert isinstance(at, waiting.Words)
    state = replace(state, at=at.before)
    if not text:
        return state
    if at.action is Action.JUMP:
        return jump(state, text)
    if at.action is Action.CHANGE:
        return _change_unit(state, text)
    wrong = no_words(state.job, text)
    if wrong:
        return say(replace(state, at=at), wrong)
    return _set_aside(state, at.text, text) if at.action is Action.ASIDE else _remark(state, text)


# -- shown again ----------------------------------------------------------------------------
def how(state: State, _: str) -> State:
    """How it is done, or what is meant, once more."""
    at, stating = state.at, settled(state).at
    if isinstance(stating, waiting.Stating):
        section, one = STATED.get(stating.ask.section), stating.ask
        state = say(state, *(about(section) if section else []), one.words)
        if not one.term:
            return state
        return say(state, f"Usual: {usual(one.term, state.job.system)}; such as {example(one.term, state.job.system)}.")
    shown = show_card(state)
    if state.step.layer:
        layer = Call(Action.JUMP, f"{state.step.key} {NEW_LAYER}shim")
        shown = say(shown, (f"Besides, such as {state.step.layer}: ", layer))
    tool = next(iter(state.said.get("instrument", ())), "")
    shown = say(shown, *(advice(tool, "instrument", state.job) if tool else ()))
    if state.said and not isinstance(at, waiting.SetUpAsked):
        shown = say(shown, f"Set-up: {in_words(state.said) or 'nothing said'}")
    return shown


def listed(state: State, _: str) -> State:
    """Every cylinder as it stands, then what is done and what is left."""
    from ccassist.guide.told import each_cylinder

    done = [*bench_list(state.plan, state.skipped), *stated_list(state.job, state.passed)]
    return say(state, *each_cylinder(state.job), *done)


def idle(state: State) -> frozenset[Action]:
    """What may be done, but that there is nothing for."""
    rows = state.task.rows if state.target is not None else ()
    without = {
        Action.UNDO: not (state.history or state.typed or isinstance(state.at, waiting.Passing)),
        Action.ASIDE: not any(row.counts for row in rows),
        Action.COUNT_IN: all(row.counts for row in rows),
        Action.CHANGE: not state.said,
    }
    return frozenset(action for action, nothing in without.items() if nothing)


def keys(state: State, may: Collection[Action]) -> State:
    """Everything that may be done now, and that there is something for."""
    for action, (text, does) in ACTIONS.items():
        if action in may and action not in idle(state):
            said = f" ({action.value}): "
            state = say(state, (Call(action, text), said, *((does,) if isinstance(does, str) else does)))
    return state
