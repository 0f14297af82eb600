"""One reading put into a job file, with every check that the guide makes."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from ccassist.bench.calibration import read_date
from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.job.disk import doubts
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
from ccassist.job.readings import EXAMPLE, no_reason
from ccassist.job.records import Job, Row, Series
from ccassist.job.write import Entry, JobFile
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary.record import record

Texts = tuple[str, ...]


@record
class TypedReading:
    """A reading as typed.

    cylinder, part, position : whose it is; a position counts along its part, instead of the cylinder.
    state, instrument, fluid, by : of the series.
    remark, set_aside : of the reading; what is set aside is kept and shown, with its reason.
    """

    step: str  # bench step
    fields: Sequence[str]  # "NAME=VALUE" texts, one a field of the step; bare numbers are in the job's units
    cylinder: int | None = None
    part: str | None = None
    position: int | None = None
    state: str = ""
    instrument: str = ""
    fluid: str = ""
    by: str = ""
    settings: Sequence[str] = ()  # "NAME=VALUE" texts that hold for the series, such as the plate's hole
    date: str = ""  # day it was read, "" for none; a calibration's is today where not said
    remark: str = ""
    set_aside: str = ""
    sure: bool = False  # take a value that is out of the usual


@record
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
    reading: TypedReading,
    questions: Callable[[Job, Job], Sequence[Finding]],
    *,
    take_over: bool = False,
) -> Recorded:
    """Put one reading into a job file; it is on the disk when this returns.

    ``questions`` : what is to be asked of the job as it stands and as it would be (:mod:`ccassist.analysis.results`).
    ``take_over`` : also where another machine left the file locked.

    Raises InputError: it cannot be used, or the file cannot be written; the file is then as it was.
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
        return Recorded(before=job, job=job_file.job(), findings=(*tried.others, *doubts()))


def _check_reason(said: str) -> None:
    lacks = no_reason(said)
    if lacks is not None:
        raise InputError(replace(lacks, right=f"--set-aside '{EXAMPLE}'").at(place="--set-aside"))


def _header(reading: TypedReading, step: Step, job: Job) -> dict[str, Entry]:
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


def _place(reading: TypedReading, step: Step) -> dict[str, str | int]:
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


# Readings taken from elsewhere, a filled form or a table: looked at whole before anything is kept.
#
# Each remembers the box or line that it came from, so that a source read twice, or filled further and read again, does
# not count anything twice.

Header = Mapping[str, str | int | Texts]


@record
class TakenReading:
    """One reading: header and row as they go into the file, and where it stood."""

    header: Header
    row: Mapping[str, str | Texts]
    where: str


@dataclass(kw_only=True)
class Taken:
    """What a source holds.

    ``new`` is to be added, ``stated`` to be put under headings, ``known`` counts what is there already, ``left`` says
    what was only begun, ``unusual`` what is to be asked about.
    """

    new: list[TakenReading] = field(default_factory=list)
    stated: list[tuple[str, str, str]] = field(default_factory=list)  # section, key, text
    known: int = 0
    left: list[Finding] = field(default_factory=list)
    unusual: list[Finding] = field(default_factory=list)
    _boxes: dict[tuple[str, str], Mapping[str, Texts]] = field(default_factory=dict)

    def take(self, job: Job, header: Header, row: Mapping[str, Texts], *, box: str, where: str, **more: str) -> None:
        """Look at one reading as the file check would; keep it where the job does not hold it yet.

        Raises InputError: it cannot be used, or the job holds another reading of the same box.
        """
        if is_known(job, header, row, box) or self._has(header, row, box):
            self.known += 1
            return
        tried = try_reading(job, header, row)
        self.unusual += [f.at(place=where) for f in tried.unusual]
        said = [text for text in (more.pop("remark", ""), SURE if tried.unusual else "") if text]
        kept: dict[str, str | Texts] = {**row, **{key: text for key, text in more.items() if text}}
        kept |= {"remark": "; ".join(said)} if said else {}
        self.new.append(TakenReading(header=header, row={**kept, "box": box}, where=where))
        self._boxes[(box, repr(sorted(header.items())))] = dict(row)

    def state(self, job: Job, section: str, key: str, text: str) -> list[Finding]:
        """Keep a statement that the job does not make yet; a finding where it says otherwise."""
        given = job.stated.get(section, {}).get(key)
        there = given.texts[0] if given is not None else job.said.get(section, {}).get(key, "")
        if there == text:
            self.known += 1
        elif there:
            wrong, right = f'the file says "{there}"', "change the file where that is wrong, or empty the box"
            return [error("contradiction", wrong, read=text, right=right, place=f"{section}.{key}")]
        else:
            self.stated.append((section, key, text))
        return []

    def mark(self, number: int) -> None:
        """Note of a reading (from 0) that it is doubtful and was confirmed."""
        reading = self.new[number]
        said = str(reading.row.get("remark", ""))
        if SURE not in said:
            row = {**reading.row, "remark": "; ".join(text for text in (said, SURE) if text)}
            self.new[number] = replace(reading, row=row)

    def _has(self, header: Header, row: Mapping[str, Texts], box: str) -> bool:
        """Whether the source itself said this reading already; raises InputError where it said another of that box."""
        before = self._boxes.get((box, repr(sorted(header.items()))))
        if before is not None and before != dict(row):
            raise InputError(error("twice", "two readings of one box", read=box, right="give each a box of its own"))
        return before is not None


def placed(fault: Finding, path: Path, where: str) -> Finding:
    """A finding with its file and its place in it."""
    place = where if not fault.place or fault.place in where else f"{where}, {fault.place}"
    return replace(fault, file=str(path), line=None, place=place)


def is_known(job: Job, header: Header, row: Mapping[str, Texts], box: str) -> bool:
    """Whether the job holds the reading of this box already; one typed in has its place in the file for a box.

    Raises InputError: it holds another one of the same box.
    """
    sheets = (series for series in job.series if _same_sheet(series, header))
    there = [kept.fields for series in sheets for kept in series.rows if (kept.box or kept.place) == box]
    if any({name: tuple(texts) for name, texts in fields.items()} == dict(row) for fields in there):
        return True
    if there:
        now, before = (", ".join(f"{k} {' and '.join(v)}" for k, v in said.items()) for said in (row, there[0]))
        right = "set the old reading aside or correct it in the file; another sheet needs its own date"
        raise InputError(error("changed", f"it was read before as {before}", read=now, right=right))
    return False


def line_box(path: Path, line: int) -> str:
    """The box of a reading that a table gives no other: its file and line."""
    return f"{path.name} line {line}"


def told_elsewhere(job: Job, readings: Sequence[TakenReading], path: Path) -> str:
    """The other file from which a job has the readings of this one, all in their order; "" where there is none.

    So it is with a table that was copied under another name, whole or in part; and with one that was copied and went on
    growing, which starts with all that came from the other.
    """
    sources: dict[str, list[tuple[Series, Row]]] = {}
    for series in job.series:
        for row in series.rows:
            source, line, _ = row.box.rpartition(" line ")
            if line and source != path.name:
                sources.setdefault(source, []).append((series, row))
    for source, there in sources.items():
        grown = 2 <= len(there) < len(readings) and _in_order(readings[: len(there)], there)
        if grown or _in_order(readings, there):
            return source
    return ""


def _in_order(readings: Sequence[TakenReading], there: Sequence[tuple[Series, Row]]) -> bool:
    """Whether readings are all among others, in the same order; none at all are not."""
    rest = iter(there)
    return bool(readings) and all(any(_same_reading(one, *other) for other in rest) for one in readings)


def _same_reading(one: TakenReading, series: Series, row: Row) -> bool:
    """Whether a reading says the same of the same thing as one that the job holds."""
    if series.step != one.header["step"]:
        return False
    if "cylinder" in one.header and series.cylinders != (one.header["cylinder"],):
        return False
    if "part" in one.header and series.part != one.header["part"]:
        return False
    texts = {name: (said,) if isinstance(said, str) else tuple(said) for name, said in one.row.items()}
    return all(texts.get(name) == tuple(said) for name, said in row.fields.items())


def _same_sheet(series: Series, header: Header) -> bool:
    """Whether a block of readings came from the same sheet: same step, place, state, day and instrument."""
    if series.step != header["step"] or series.date != header.get("date", ""):
        return False
    if series.state != header.get("state", "") or series.instrument != header.get("instrument", ""):
        return False
    if "cylinder" in header:
        return series.cylinders == (header["cylinder"],)
    return series.part == header.get("part", "")
