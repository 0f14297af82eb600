"""Putting what was typed into the file, and saying what it now says."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.guide import setup
from ccassist.guide.modes import Reading, Retry, Sure, in_question, said_of
from ccassist.guide.older_copy import note_missing, offer_back, put_back
from ccassist.guide.undoing import rebased
from ccassist.guide.view import Effect
from ccassist.guide.walk import Target, kind_of
from ccassist.job.records import Job, Part
from ccassist.values.findings import Finding, InputError

if TYPE_CHECKING:
    from ccassist.guide.session import Session
    from ccassist.job.write import Entry

Row = Mapping[str, tuple[str, ...]]
CHANGED = "changed"  # as job/write.py names a file that was changed by something else


def complete(session: Session) -> None:
    """A reading with all its values: looked at as the file check would, questioned where it is odd, and saved."""
    from ccassist.job.entry import try_reading

    typed, sure = dict(session.typed), session.sure
    row: dict[str, tuple[str, ...]] = {name: texts for name, texts in typed.items() if texts}
    time = {"time": session.now().strftime("%H:%M")}
    header = setup.header(session.job, session.target, session.said, _day(session))
    session.typed, session.sure = {}, False
    try:
        tried = try_reading(_with_part(session), header, {**row, **time})
    except InputError as fault:
        session.say("Not recorded:", *(f.text() for f in fault.findings))
        return
    session.warn([f.text() for f in tried.others])

    def keep(sure: bool) -> None:
        session.typed, session.sure = {}, False
        save(session, header, row, {**_remark(session, sure), **time})

    asked = _questions(session, header, {**row, **_remark(session, sure), **time})
    if not asked:
        keep(sure)
        return
    session.typed = typed  # so that it is said where the question is left without an answer
    session.say(*in_question(asked))
    session.mode = Sure(asked[0], lambda: keep(True), Reading())


def _remark(session: Session, sure: bool) -> dict[str, str]:
    from ccassist.job.entry import SURE

    said = [text for text in (session.noted, SURE if sure else "") if text]
    return {"remark": "; ".join(said)} if said else {}


def _questions(session: Session, header: Mapping[str, Entry], row: Mapping[str, Entry]) -> list[Finding]:
    """What the reading would make doubtful."""
    from ccassist.analysis.questions import new_questions
    from ccassist.analysis.which_counts import UNSAID

    target = session.target
    part = target.part if session.step.part and target.part not in session.job.parts else ""
    after = session.file.with_readings([(header, row)], part=(part, kind_of(target)) if part else None)
    return [f for f in new_questions(session.job, after) if f.code != UNSAID]  # asked with the set-up


def _day(session: Session) -> datetime.date:
    """Today; a calibration that is gone on with keeps the day on which it was begun, or it would be two halves."""
    if not session.step.part and session.task.open and session.task.latest is not None:
        with contextlib.suppress(ValueError):
            return datetime.date.fromisoformat(session.task.latest.date)
    return session.now().date()


def _with_part(session: Session) -> Job:
    """The job as it will be once the part measured has its own section."""
    job, name = session.job, session.target.part
    if not name or name in job.parts or not session.step.part:
        return job
    part = Part(name=name, kind=kind_of(session.target), cylinders=session.task.cylinders)
    return replace(job, parts={**job.parts, name: part})


def save(session: Session, header: Mapping[str, Entry], row: Row, extra: Mapping[str, str]) -> None:
    """Put a reading into the file; where that fails it is kept and tried again."""
    target = session.target
    try:
        if target.part and session.step.part and target.part not in session.job.parts:
            session.file.add_part(target.part, kind_of(target))
        session.file.add_reading(header, {**row, **extra})
    except InputError as fault:
        if _changed(fault) and reread(session):
            save(session, header, row, extra)
            return
        session.say(*(f.text() for f in fault.findings))
        session.mode = Retry(lambda: _again(session, header, row, extra))
        return
    session.noted, session.mode = "", Reading()
    session.recorded.append(target)
    session.did(said_of(row), effect_on(target, "recorded", row))
    session.say(*echoed(session))
    after_change(session)
    offer_back(session)


def _again(session: Session, header: Mapping[str, Entry], row: Row, extra: Mapping[str, str]) -> None:
    """Read the file again, as it was changed meanwhile, and save into that."""
    if reread(session):
        save(session, header, row, extra)


def reread(session: Session) -> bool:
    """Read the file again after it was changed by something else; False where it cannot be read."""
    was = session.file.text
    try:
        session.file.reread()
    except InputError as fault:
        session.say(*(f.text() for f in fault.findings))
        return False
    session.deeds = rebased(session.deeds, was, session.file.text)
    session.before = replace(session.before, text=session.file.text)
    session.earlier += len(session.recorded)
    session.recorded.clear()  # the last reading of the file may not be the last one typed any more
    session.refresh()
    session.say("The file was changed by something else meanwhile and was read again.")
    note_missing(session, was)
    return True


def look_again(session: Session) -> None:
    """At the end: what something else dropped meanwhile is put back, as nobody can be asked any more."""
    if session.file.changed and not reread(session):
        return
    if not session.missing:
        return
    said = [line for gone in session.missing for line in gone.words]
    session.say("Missing in the file as it is now, and put back:", *(f"  {line}" for line in said))
    try:
        put_back(session)
    except InputError as fault:
        session.say("NOT put back, write it down:", *(f.text() for f in fault.findings))


def _changed(fault: InputError) -> bool:
    """Whether the file is not what was read of it last."""
    return any(f.code == CHANGED for f in fault.findings)


def echoed(session: Session) -> list[str]:
    """The reading just saved, as it was taken."""
    from ccassist.guide.told import echo

    rows = [row for series in session.job.series for row in series.rows]
    return echo(session.job, rows[-1]) if rows else []


def after_change(session: Session) -> None:
    """Say what the readings now say."""
    from ccassist.guide.told import told

    session.refresh()
    lines = told(session.job, session.task.rows)
    if session.task.counted >= session.task.asked:
        lines.append(f"{session.progress()} Enter goes on.")
    elif session.task.rows:
        lines.append(f"{session.task.counted} of {session.task.asked} asked for here.")
    session.tell(lines)


def effect_on(target: Target, what: str, row: Row) -> Effect:
    """What was done to a reading."""
    return Effect(what=what, step=target.step, where=target.where, row=dict(row))


def put_timed(session: Session, place: str, row: Row, typed: Row) -> None:
    """Put timed readings to a reading that is saved.

    Raises
    ------
    InputError : they cannot be used, or cannot be saved.
    """
    from ccassist.job.entry import try_reading

    header = setup.header(session.job, session.target, session.said, _day(session))
    try_reading(session.job, header, {**row, **typed})
    session.file.annotate(place, {name: texts[0] if len(texts) == 1 else texts for name, texts in typed.items()})
    session.did(f"timed readings, {said_of(typed)}", effect_on(session.target, "timed", {**row, **typed}))
    after_change(session)


def guard(session: Session, fault: InputError) -> None:
    """Say a fault; where the file was changed by something else, read it again."""
    session.say("Not done:", *(f.text() for f in fault.findings))
    if _changed(fault) and reread(session):
        offer_back(session)
