"""Putting what was typed into the file, and saying what it now says."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ccassist.findings import InputError
from ccassist.guide import setup
from ccassist.guide.modes import Reading, Retry
from ccassist.guide.walk import kind_of
from ccassist.job.records import Job, Part

if TYPE_CHECKING:
    from ccassist.guide.session import Session
    from ccassist.job.write import Entry

Row = Mapping[str, tuple[str, ...]]
CHANGED = "changed"  # as job/write.py names a file that was changed by something else


def complete(session: Session) -> None:
    """A reading with all its values: looked at as the file check would, and saved."""
    from ccassist.job.entry import SURE, try_reading

    now = session.now()
    row: dict[str, tuple[str, ...]] = {name: texts for name, texts in session.typed.items() if texts}
    remarks = [text for text in (session.noted, SURE if session.sure else "") if text]
    extra = {"remark": "; ".join(remarks), "time": now.strftime("%H:%M")}
    header = setup.header(session.job, session.target, session.said, _day(session))
    session.typed, session.sure = {}, False
    try:
        tried = try_reading(_with_part(session), header, {**row, **extra})
    except InputError as fault:
        session.say("Not recorded:", *(f.text() for f in fault.findings))
        return
    session.warn([f.text() for f in tried.others])
    save(session, header, row, extra)


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
    session.done("recorded", target, row)
    after_change(session)


def _again(session: Session, header: Mapping[str, Entry], row: Row, extra: Mapping[str, str]) -> None:
    """Read the file again, as it was changed meanwhile, and save into that."""
    if reread(session):
        save(session, header, row, extra)


def reread(session: Session) -> bool:
    """Read the file again after it was changed by something else; False where it cannot be read."""
    try:
        session.file.reload()
        session.file.job()
    except InputError as fault:
        session.say(*(f.text() for f in fault.findings))
        return False
    session.earlier += len(session.recorded)
    session.recorded.clear()  # the last reading of the file may not be the last one typed any more
    session.refresh()
    session.say("The file was changed by hand meanwhile and was read again.")
    return True


def _changed(fault: InputError) -> bool:
    """Whether the file is not what was read of it last."""
    return any(f.code == CHANGED for f in fault.findings)


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
    session.done("timed", session.target, {**row, **typed})
    after_change(session)


def guard(session: Session, fault: InputError) -> None:
    """Say a fault; where the file was changed by something else, read it again."""
    session.say("Not done:", *(f.text() for f in fault.findings))
    if _changed(fault):
        reread(session)
