"""The one-key actions of the guide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.bench.steps import STEPS
from ccassist.guide.changing import change
from ccassist.guide.ending import AllDone
from ccassist.guide.modes import Reading, Retry, Timed, Words
from ccassist.guide.older_copy import PutBack
from ccassist.guide.progress import bench_list, stated_list
from ccassist.guide.saving import after_change, effect_on, guard
from ccassist.guide.set_up_mode import Confirm, SetUp
from ccassist.guide.setup import in_words
from ccassist.guide.statements import find_statement
from ccassist.guide.stating import KEYS_HERE, Stating, ask, turn_to
from ccassist.guide.undoing import moment, restore, say_dropped, undo
from ccassist.guide.view import keys_in_words
from ccassist.guide.walk import Target, left_out
from ccassist.guide.wordy import no_words
from ccassist.job.records import Row
from ccassist.values.findings import InputError, error

if TYPE_CHECKING:
    from ccassist.guide.session import Session

ANYWHERE = ("f", "l", "j", "k", "u")  # these need nothing to be under way
SHOWING = ("k", "l", "h")  # these leave what is asked as it is


def act(session: Session, key: str, rest: str) -> None:
    """Do what a key asks for; what cannot be done is said."""
    if isinstance(session.mode, Retry) and key != "f":
        session.say("First the reading that is not saved yet: Enter tries again, f finishes without it")
        return
    if isinstance(session.mode, PutBack) and key not in ("f", *SHOWING):
        session.say("First what is missing: 1 puts it back, 2 leaves the file as it is now")
        return
    if session.mode.passing and key in ("b", "u"):
        undo(session)
        return
    if session.mode.passing and key not in SHOWING and not isinstance(session.mode, Retry):
        say_dropped(session)
        restore(session, session.before)
        session.before = moment(session)
    if isinstance(session.mode, Stating) and key not in ANYWHERE:
        _while_stating(session, session.mode, key, rest)
        return
    if isinstance(session.mode, AllDone) and session.mode.last is not None and key == "b":
        turn_to(session, session.mode.last)
        return
    if key not in ANYWHERE and not session.started:
        session.say("Nothing is being measured: j goes to a step, f finishes")
        return
    if isinstance(session.mode, AllDone) and key not in (*ANYWHERE, "b"):
        session.say("Nothing is being measured now: j goes to a step, b to the place before, f finishes")
        return
    _guarded(session, lambda words: _ACTIONS[key](session, words))(rest)


def _while_stating(session: Session, mode: Stating, key: str, rest: str) -> None:
    """The keys that mean something where a thing is stated and not measured."""
    if key == "b":
        mode.back(session)
    elif key == "s":
        mode.typed = ""
        mode.answer(session, "")
    elif key == "x":
        _guarded(session, lambda words: mode.leave_out(session, words))(rest)
    elif key == "h":
        mode.how(session)
    else:
        session.say(f"That key is for readings. {KEYS_HERE}")


def find(session: Session, step: str, place: str) -> Target:
    """A target by its step and its cylinder, part or reading; the first open one where only one of them is said.

    Raises
    ------
    InputError : there is none.
    """
    from ccassist.job.entry import step_named

    tasks = session.plan()
    if step:
        key = step_named(step).key
        tasks = tuple(t for t in tasks if t.target.step == key)
        if not tasks:
            wrong = "no burette or syringe to be calibrated is named yet"
            raise InputError(error("not-in-walk", wrong, read=key, right="name it as the instrument of a fill first"))
    if place:
        near = [t for t in tasks if place in (t.target.place, t.target.part)]
        if not near:
            places = ", ".join(dict.fromkeys(t.target.place for t in tasks))
            raise InputError(
                error(
                    "no-such-place",
                    "not a place of this step" if step else "no such cylinder",
                    read=place,
                    right=f"say one of: {places}",
                )
            )
        tasks = tuple(near)
    return next((t for t in tasks if t.open and t.target not in session.skipped), tasks[0]).target


def _undo(session: Session, rest: str) -> None:
    undo(session)


def row_words(row: Row) -> str:
    """A reading in words, as it stands in the file."""
    said = ", ".join(f"{name} {'; '.join(texts)}" for name, texts in row.fields.items())
    return f"{said} (set aside: {row.set_aside})" if row.set_aside else said


def _chosen(session: Session, rest: str) -> tuple[int, Row] | None:
    """The reading meant by its number, by default the last; None, with a list of them, where there is none such."""
    rows = session.task.rows
    number = int(rest) if rest.isascii() and rest.isdecimal() and len(rest) < 5 else len(rows) if not rest else 0
    if 1 <= number <= len(rows):
        return number, rows[number - 1]
    here = [f"  {n}  {row_words(row)}" for n, row in enumerate(rows, start=1)]
    words = "The readings here:" if rest == "?" else "There is no such reading; those here are:"
    session.say(words if rows else "There is no reading here yet", *here)
    return None


def _aside(session: Session, rest: str) -> None:
    meant = _chosen(session, rest)
    if meant is None:
        return
    number, row = meant
    if row.set_aside:
        session.say(f"Reading {number} is set aside already: {row.set_aside}. i {number} counts it in again")
        return

    def done(reason: str) -> None:
        session.file.set_aside(row.place, reason)
        session.did(
            f'the setting aside of reading {number} ("{reason}")', effect_on(session.target, "set aside", row.fields)
        )
        session.say(f"Set aside: reading {number}, {row_words(row)}. It stays in the file with its reason.")
        after_change(session)

    session.say(f"Reading {number}: {row_words(row)}")
    session.mode = Words("Why does it not count?", _guarded(session, done), session.mode, wordy=True)


def _count_in(session: Session, rest: str) -> None:
    """Bring back a reading that was set aside: the only one, the last of them, or the one numbered."""
    aside = [n for n, row in enumerate(session.task.rows, start=1) if row.set_aside]
    meant = _chosen(session, rest or (str(aside[-1]) if aside else ""))
    if meant is None:
        return
    number, row = meant
    if not row.set_aside:
        session.say(f"Reading {number} counts: {row_words(row)}")
        return
    session.file.count_in(row.place)
    session.did(f"counting in of reading {number}", effect_on(session.target, "counted in", row.fields))
    session.say(f"Reading {number} counts again: {row_words(replace(row, set_aside=''))}")
    after_change(session)


def _remark(session: Session, rest: str) -> None:
    def done(words: str) -> None:
        session.refresh()
        rows = session.task.rows
        if not rows or session.target not in session.recorded or session.typed:
            session.noted = "; ".join(t for t in (session.noted, words) if t)
            session.did(f"remark for the reading that comes next: {words}")
            session.say("Kept for the reading that comes next")
            return
        row = rows[-1]
        session.file.annotate(row.place, {"remark": "; ".join(t for t in (row.remark, words) if t)})
        session.did(f"remark on reading {len(rows)}: {words}", effect_on(session.target, "remarked", row.fields))
        session.refresh()
        session.say(f"Remark on reading {len(rows)}: {words}")

    if rest:
        wrong = no_words(session, rest)
        session.say(wrong) if wrong else done(rest)
    else:
        session.mode = Words("Remark", _guarded(session, done), session.mode, wordy=True)


def _timed(session: Session, rest: str) -> None:
    fields = session.timed_fields() if isinstance(session.mode, Reading) else ()
    rows = session.task.rows
    if not fields or not rows or session.typed:
        session.say("Timed readings go with a fill by burette that has just been recorded")
    elif any(f.name in rows[-1].fields for f in fields):
        session.say("The last fill has its timed readings already")
    else:
        row = rows[-1]
        session.say("Time counts from when fluid first stood over the leak", f"For: {row_words(row)}")
        session.mode = Timed(row.place, fields, dict(row.fields))


def _skip(session: Session, rest: str) -> None:
    session.drop_typed()
    if session.target not in session.skipped:
        session.skipped.add(session.target)
        session.did(f"skipped for today: {session.target.step} {session.target.where}")
    session.say(f"Skipped for today: {session.target.step} {session.target.where}")
    session.advance()


def _leave_out(session: Session, rest: str) -> None:
    if rest not in ("", "all"):
        session.say("x leaves this one out, x all leaves the step out everywhere")
        return
    session.drop_typed()
    target = session.target
    entry = target.step if rest else f"{target.step} {target.place}"
    session.file.set_value(("job", "leave_out"), ", ".join([*left_out(session.job), entry]))
    session.did(f"left out: {entry}", effect_on(target, "left out", {}))
    session.say(f"Left out: {entry}. It stands under leave_out in [job]: remove it there to be asked again.")
    session.advance()


def _back(session: Session, rest: str) -> None:
    last = session.deeds[-1] if session.deeds else None
    if last and (
        (isinstance(session.mode, Reading) and last.half) or (isinstance(session.mode, SetUp) and session.mode.answered)
    ):
        undo(session)
    elif session.visited:
        session.go(session.visited.pop(), back=True)
    else:
        session.say("This is where the sitting began; j goes elsewhere")


def _jump(session: Session, rest: str) -> None:
    def done(words: str) -> None:
        said = find_statement(session.job, words)
        if said is not None:
            if session.started:
                session.drop_typed()
            ask(session, said)
            return
        step, _, place = words.partition(" ")
        if step.isascii() and step.isdecimal() and session.started:
            step, place = session.target.step, step
        target = find(session, step, place.strip())
        if session.started:
            session.drop_typed()
        if target in session.skipped:
            session.skipped.discard(target)
            session.did(f"no longer skipped: {target.step} {target.where}")
        session.go(target)

    if rest:
        done(rest)
    else:
        session.say("Steps: " + ", ".join(step.key for step in STEPS.values() if step.part))
        session.mode = Words("Which step and which cylinder, such as: deck 3", _guarded(session, done), session.mode)


def _keys(session: Session, rest: str) -> None:
    session.say(*keys_in_words())


def _how(session: Session, rest: str) -> None:
    session.show_card()
    if isinstance(session.mode, (Reading, Timed)):
        session.say(*session.method.how)
    if session.said and not isinstance(session.mode, (Confirm, SetUp)):
        session.say(f"Set-up: {in_words(session.said) or 'nothing said'}")


def _list(session: Session, rest: str) -> None:
    session.say(*bench_list(session.plan(), session.skipped), *stated_list(session.job, session.passed))


def _finish(session: Session, rest: str) -> None:
    session.close()


def _guarded(session: Session, done: Callable[[str], None]) -> Callable[[str], None]:
    """The same, with faults said instead of raised."""

    def guarded(words: str) -> None:
        try:
            done(words)
        except InputError as fault:
            guard(session, fault)

    return guarded


_ACTIONS: dict[str, Callable[[Session, str], None]] = {
    "u": _undo,
    "a": _aside,
    "i": _count_in,
    "r": _remark,
    "t": _timed,
    "s": _skip,
    "x": _leave_out,
    "b": _back,
    "j": _jump,
    "c": change,
    "h": _how,
    "l": _list,
    "k": _keys,
    "f": _finish,
}
