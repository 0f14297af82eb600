"""One reading put into a job file, with every check that the guide makes."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ccassist.bench.dates import read_date
from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.job.entry import (
    ASKED,
    SURE,
    settings_of,
    split_lists,
    split_pairs,
    step_named,
    try_reading,
    unless_sure,
    with_units,
)
from ccassist.job.reasons import EXAMPLE, no_reason
from ccassist.job.records import Job, Row, Series
from ccassist.job.write import Entry, JobFile
from ccassist.values.findings import Finding, InputError, error

Texts = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A reading as typed.

    Attributes
    ----------
    step : bench step.
    fields : "NAME=VALUE" texts, one a field of the step; bare numbers are in the job's units.
    cylinder, part, position : whose it is; a position counts along its part, instead of the cylinder.
    state, instrument, fluid, by : of the series.
    settings : "NAME=VALUE" texts that hold for the series, such as the plate's hole.
    date : day it was read, "" for none; a calibration's is today where not said.
    remark, set_aside : of the reading; what is set aside is kept and shown, with its reason.
    sure : take a value that is out of the usual.
    """

    step: str
    fields: Sequence[str]
    cylinder: int | None = None
    part: str | None = None
    position: int | None = None
    state: str = ""
    instrument: str = ""
    fluid: str = ""
    by: str = ""
    settings: Sequence[str] = ()
    date: str = ""
    remark: str = ""
    set_aside: str = ""
    sure: bool = False


@dataclass(frozen=True, kw_only=True)
class Recorded:
    """A reading that is on the disk: the job without it and with it, and what to mind."""

    before: Job
    job: Job
    findings: tuple[Finding, ...] = ()

    @property
    def series(self) -> Series:
        """The series it went into."""
        return self.job.series[-1]

    @property
    def row(self) -> Row:
        """The reading itself."""
        return self.series.rows[-1]

    @property
    def text(self) -> str:
        """What was recorded, in words."""
        series, row, step = self.series, self.row, STEPS[self.series.step]
        words = ", ".join(f"{step.fields[name].words} {' and '.join(texts)}" for name, texts in row.fields.items())
        where = f"cylinder {series.cylinders[0]}" if len(series.cylinders) == 1 else series.part or series.instrument
        more = (("set aside", row.set_aside), ("remark", row.remark))
        return f"{step.title.lower()}, {where}: {words}" + "".join(f"; {key}: {said}" for key, said in more if said)

    def to_dict(self) -> dict[str, Any]:
        """Plain data; what was read stands as it was written."""
        return {
            "step": self.series.step,
            "cylinders": list(self.series.cylinders),
            "part": self.series.part,
            "fields": {name: list(texts) for name, texts in self.row.fields.items()},
            "remark": self.row.remark,
            "set_aside": self.row.set_aside,
            "text": self.text,
            "findings": [f.to_dict() for f in self.findings],
        }


def record_reading(
    file: str | Path,
    reading: Reading,
    questions: Callable[[Job, Job], Sequence[Finding]],
    *,
    take_over: bool = False,
) -> Recorded:
    """Put one reading into a job file; it is on the disk when this returns.

    ``questions`` : what is to be asked of the job as it stands and as it would be (:mod:`ccassist.analysis.questions`).
    ``take_over`` : also where another machine left the file locked.

    Raises
    ------
    InputError : it cannot be used, or the file cannot be written; the file is then as it was.
    """
    with JobFile.open(file, take_over=take_over) as job_file:
        if reading.set_aside:
            _check_reason(reading.set_aside)
        if not reading.step:
            right = "ccassist record FILE chamber start=… end=…, or --from FORM.pdf"
            raise InputError(error("missing-value", "the bench step is not said", right=right))
        job, step = job_file.job(), step_named(reading.step)
        header = _header(reading, step, job)
        typed = split_pairs(reading.fields, step.fields, f"field of {step.key}")
        row: dict[str, str | Texts] = dict(with_units(split_lists(typed, step.fields), step.fields, job.system))
        tried = try_reading(job, header, row)
        row["set_aside"] = reading.set_aside
        more = questions(job, job_file.with_readings([(header, row)]))
        asked = [*tried.unusual, *(f for f in more if f.code not in ASKED)]
        if asked and not reading.sure:
            raise InputError([unless_sure(f) for f in asked])
        said = [text for text in (reading.remark, SURE if asked else "") if text]
        job_file.add_reading(header, {**row, "remark": "; ".join(said)})
        return Recorded(before=job, job=job_file.job(), findings=tried.others)


def _check_reason(said: str) -> None:
    lacks = no_reason(said)
    if lacks is not None:
        raise InputError(replace(lacks, right=f"--set-aside '{EXAMPLE}'").at(place="--set-aside"))


def _header(reading: Reading, step: Step, job: Job) -> dict[str, Entry]:
    """What the series says."""
    plain = {key: getattr(reading, key) for key in ("state", "instrument", "fluid", "by")}
    header: dict[str, Entry] = {"step": step.key, **_place(reading, step), **plain}
    header.update(_set_up(reading.settings, step, job))
    if reading.date or not step.part:  # the day from which a calibration is good must be said
        header["date"] = _day(reading.date)
    return header


def _day(text: str) -> datetime.date:
    """The day read; today where none is said."""
    if not text:
        return datetime.date.today()
    day = read_date(text) if len(text) == len("2026-10-12") else None
    if day is None:
        raise InputError(error("bad-date", "not a day", read=text, place="--date", right="--date 2026-10-12"))
    return day


def _place(reading: Reading, step: Step) -> dict[str, str | int]:
    """Whose reading it is."""
    cylinder, part, position = reading.cylinder, reading.part, reading.position
    if step.part and cylinder is None and not part:
        right = "--cylinder 1, or --part NAME"
        raise InputError(error("missing-value", "it is not said what was measured", right=right))
    if position is not None and (cylinder is not None or not part):
        wrong = "a position is one on a part, instead of the cylinder"
        raise InputError(error("not-understood", wrong, right="--part NAME --position 1"))
    given = {"cylinder": cylinder, "part": part, "position": position}
    return {key: value for key, value in given.items() if value is not None}


def _set_up(pairs: Sequence[str], step: Step, job: Job) -> dict[str, str | Texts]:
    """Settings with their units, several where a setting was given several times, and choices in words."""
    fields = settings_of(step)
    choices = {c.name for c in step.choices}
    repeated: dict[str, list[str]] = {}
    known = {**fields, **dict.fromkeys(choices, fields["temperature"])}
    for pair in pairs:
        for name, text in split_pairs([pair], known, f"setting of {step.key}").items():
            repeated.setdefault(name, []).extend(part.strip() for part in text.split(";"))
    said: dict[str, str | Texts] = {name: texts[-1] for name, texts in repeated.items() if name in choices}
    quantities = {name: texts for name, texts in repeated.items() if name not in choices}
    return {**with_units(quantities, fields, job.system), **said}
