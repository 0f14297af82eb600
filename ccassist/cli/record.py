"""``ccassist record``: one reading without prompts, with the checks of the guide."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ccassist.analysis.results import new_questions
from ccassist.cli.app import not_together
from ccassist.cli.screen import complain, list_findings, wrapped
from ccassist.job.amend import state
from ccassist.job.entry import ASKED, unless_sure
from ccassist.job.recording import Recorded, Taken, TypedReading, record_reading
from ccassist.job.records import Job
from ccassist.job.write import JobFile
from ccassist.values.findings import CcassistError, Finding, InputError, capital, clean, error, errors
from ccassist.values.quantity import doubtful, parse
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.job.from_drawing import FromDrawing, Wanted


def asked(
    file: Path,
    typed: TypedReading,
    agreed: Agreed,
    *,
    source: Path | None = None,
    drawing: Mapping[str, str | None] | None = None,
    take_over: bool = False,
) -> int:
    """Record a reading that is typed, those of a form or table, or what a drawing says, as the options ask."""
    if source is not None and source.suffix.lower() in (".dxf", ".svg"):
        return _from_drawing(file, source, typed, agreed, drawing or {}, take_over=take_over)
    not_together("anything but a drawing", **(drawing or {}))
    if source is not None:
        alone = replace(typed, sure=False) == TypedReading(step="", fields=[], settings=[])
        return record_from(file, source, agreed, alone=alone, take_over=take_over)
    not_together("a reading that is typed", again=agreed.again, **{"other-job": agreed.other_job})
    return run(file, typed, take_over=take_over)


def _from_drawing(
    file: Path, source: Path, typed: TypedReading, agreed: Agreed, drawing: Mapping[str, str | None], *, take_over: bool
) -> int:
    from ccassist.job.from_drawing import wanted_of

    idle = ("set_aside", "by", "date", "remark", "cylinder", "position", "state", "instrument", "fluid")
    others = {name.replace("_", "-"): getattr(typed, name) for name in idle}
    refused = {"readings": typed.fields, "again": agreed.again, "other-job": agreed.other_job, **others}
    not_together("a drawing", **refused)
    name, unit, widest = (drawing.get(key) for key in ("outline", "unit", "widest"))
    wanted = wanted_of(typed.step, typed.settings, part=typed.part, name=name, unit=unit, widest=widest)
    return record_drawing(file, source, wanted, sure=agreed.sure, take_over=take_over)


def run(file: Path, reading: TypedReading, *, take_over: bool = False) -> int:
    """Record one reading; 2, and the file untouched, where it cannot be used."""
    try:
        made = record_reading(file, reading, new_questions, take_over=take_over)
        list_findings(made.findings)
        _advise(made.before, reading.instrument, reading.fluid)
        _say_back(made)
    except CcassistError as fault:
        return complain(fault)
    return 0


def _advise(job: Job, instrument: str, fluid: str) -> None:
    """What to mind with an instrument or a fluid that the file has not named before."""
    from ccassist.guide.words import advice

    known = {"instrument": {s.instrument for s in job.series}, "fluid": {s.fluid for s in job.series}}
    for catalogue, name in (("instrument", instrument), ("fluid", fluid)):
        if name and name not in known[catalogue]:
            for line in advice(name, catalogue, job):
                wrapped(clean(line, 1000), rest="  ")


def _say_back(made: Recorded) -> None:
    """What was recorded, in words, and what the series now says."""
    from ccassist.guide.told import told

    for line in (f"Recorded: {made.text}.", *(str(one.text) for one in told(made.job, [made.row]))):
        wrapped(clean(line, 1000), rest="  ")


# ``ccassist record FILE --from FORM.pdf``, or a table: the readings of a filled form or of a CSV file.


@record
class Agreed:
    """What was confirmed beforehand."""

    sure: bool = False  # values that are out of the usual
    again: bool = False  # readings that stand in the job from another file
    other_job: bool = False  # a form that names another job


def record_from(file: Path, source: Path, agreed: Agreed, *, alone: bool, take_over: bool = False) -> int:
    """Record what a form holds and the job does not; 2, and the file untouched, where a box cannot be used."""
    try:
        if not alone:
            wrong = "a form or table says itself what was measured, and with what"
            raise InputError(error("half-a-question", wrong, read="--from", right="give only FILE and --from"))
        with JobFile.open(file, take_over=take_over) as job_file:
            job = job_file.job()
            found = _taken(source, job, agreed)
            asked = [*found.unusual, *_questions(found, job, job_file, source)]
            if asked and not agreed.sure:
                raise InputError([unless_sure(f) for f in asked])
            for reading in found.new:
                job_file.add_reading(reading.header, reading.row)
            for section, key, text in found.stated:
                job_file.save(state(job_file.text, section.split("."), key, text), job_file.text, text)
            _say(found, job)
    except CcassistError as fault:
        return complain(fault)
    return 0


def _questions(found: Taken, job: Job, job_file: JobFile, source: Path) -> list[Finding]:
    """What the readings together would make doubtful, each at its place in the source; those of them are marked."""
    after = job_file.with_readings((reading.header, reading.row) for reading in found.new)
    asked = [f for f in new_questions(job, after) if f.code not in ASKED]  # those were asked reading by reading
    if not asked:
        return []
    old = {row.place for series in job.series for row in series.rows}
    rows = [row for series in after.series for row in series.rows if row.place not in old]
    at = {row.line: n for n, row in enumerate(rows[: len(found.new)])}
    for number in {at[f.line] for f in asked if f.line in at}:
        found.mark(number)
    places = [found.new[at[f.line]].where if f.line in at else f.place for f in asked]
    return [replace(f, file=str(source), place=place) for f, place in zip(asked, places, strict=True)]


def _taken(source: Path, job: Job, agreed: Agreed) -> Taken:
    """The readings of a table, by its name, or else of a form."""
    if source.suffix.lower() in (".csv", ".tsv", ".txt"):
        from ccassist.job.tables import read_csv

        return read_csv(source, job, again=agreed.again)
    from ccassist.job.from_form import read_form

    return read_form(source, job, other_job=agreed.other_job)


def _say(found: Taken, job: Job) -> None:
    """What was recorded and in which job, what was there already, what was only begun."""
    for reading in found.new:
        words = ", ".join(
            f"{name} {' and '.join([texts] if isinstance(texts, str) else texts)}"
            for name, texts in reading.row.items()
            if name not in ("box", "remark")
        )
        wrapped(clean(f"{reading.where}: {words}", 500), rest="  ")
    for section, key, text in found.stated:
        wrapped(clean(f"{section}: {key.replace('_', ' ')} {text}", 500), rest="  ")
    list_findings(found.left)
    one, many = "reading", "readings"
    parts = (
        [f"{len(found.new)} {one if len(found.new) == 1 else many} recorded"] if found.new or not found.stated else []
    )
    parts += [f"{len(found.stated)} stated"] if found.stated else []
    parts += [f"{found.known} there already"] if found.known else []
    parts += [f"{len(found.left)} only begun and left out"] if found.left else []
    wrapped(f"{clean(job.name or job.file, 200)}: {', '.join(parts)}.", rest="  ")


# ``ccassist record FILE STEP --from DRAWING.dxf``, or an SVG drawing: the area of an opening, and its centroid.


def record_drawing(file: Path, source: Path, wanted: Wanted, *, sure: bool = False, take_over: bool = False) -> int:
    """State in the job what a drawing says of an opening; 2, and the file untouched, where it cannot be used."""
    from ccassist.job.file import parse_job
    from ccassist.job.from_drawing import read_drawing

    try:
        with JobFile.open(file, take_over=take_over) as job_file:
            job, before = job_file.job(), job_file.text
            found = read_drawing(source, job, wanted)
            text = found.text(before)
            after = parse_job(text, str(file))
            wrong = [f for f in errors(after.findings) if f not in job_file.loaded().findings]
            if wrong:
                raise InputError(wrong)
            asked = [*found.unusual, *new_questions(job, after.job), *_doubtful(found)]
            if asked and not sure:
                raise InputError([unless_sure(f) for f in asked])
            if text != before:
                job_file.save(text, before, "; ".join(f"{key} = {said}" for key, said in found.said))
            where = " ".join(found.section)
            for key, said in found.said:
                wrapped(clean(f"Recorded: {where}: {key} = {said}.", 500), rest="  ")
            if not found.said:
                wrapped(clean(f"{where}: there already, nothing recorded.", 500))
            for line in found.told:
                wrapped(f"  {capital(line)}.", rest="  ")
    except CcassistError as fault:
        return complain(fault)
    return 0


def _doubtful(found: FromDrawing) -> list[Finding]:
    return [asked for key, said in found.said if (asked := doubtful(parse(said, key))) is not None]
