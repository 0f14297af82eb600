"""``ccassist record``: one reading without prompts, with the checks of the guide."""

from __future__ import annotations

import datetime
from pathlib import Path

from ccassist.bench.dates import read_date
from ccassist.bench.step import Step
from ccassist.cli.screen import complain, list_findings, wrapped
from ccassist.findings import CcassistError, InputError, clean, error
from ccassist.job.entry import (
    SURE,
    settings_of,
    split_lists,
    split_pairs,
    step_named,
    try_reading,
    with_units,
)
from ccassist.job.records import Job
from ccassist.job.write import Entry, JobFile

Texts = tuple[str, ...]


def run(
    file: Path,
    step: str,
    readings: list[str],
    *,
    cylinder: int | None,
    part: str | None,
    position: int | None,
    state: str,
    instrument: str,
    fluid: str,
    by: str,
    remark: str,
    set_aside: str,
    settings: list[str],
    sure: bool,
    date: str = "",
) -> int:
    """Record one reading; 2, and the file untouched, where it cannot be used."""
    try:
        with JobFile.open(file) as job_file:
            if not step:
                right = "ccassist record FILE chamber start=… end=…, or --from FORM.pdf"
                raise InputError(error("missing-value", "the bench step is not said", right=right))
            job, what = job_file.job(), step_named(step)
            plain = {"state": state, "instrument": instrument, "fluid": fluid, "by": by}
            header: dict[str, Entry] = {"step": what.key, **_place(what, cylinder, part, position), **plain}
            header.update(_set_up(settings, what, job))
            if date or not what.part:  # the day from which a calibration is good must be said
                header["date"] = _day(date)
            typed = split_pairs(readings, what.fields, f"field of {what.key}")
            row: dict[str, str | Texts] = dict(with_units(split_lists(typed, what.fields), what.fields, job.system))
            tried = try_reading(job, header, row)
            if tried.unusual and not sure:
                raise InputError(
                    [error(f.code, f.wrong, read=f.read, right="if it is so, add --sure") for f in tried.unusual]
                )
            said = [text for text in (remark, SURE if tried.unusual else "") if text]
            job_file.add_reading(header, {**row, "set_aside": set_aside, "remark": "; ".join(said)})
            list_findings(tried.others)
            _advise(job, instrument, fluid)
            _say_back(job_file.job())
    except CcassistError as fault:
        return complain(fault)
    return 0


def _day(text: str) -> datetime.date:
    """The day read; today where none is said."""
    if not text:
        return datetime.date.today()
    day = read_date(text) if len(text) == len("2026-10-12") else None
    if day is None:
        raise InputError(error("bad-date", "not a day", read=text, place="--date", right="--date 2026-10-12"))
    return day


def _place(step: Step, cylinder: int | None, part: str | None, position: int | None) -> dict[str, str | int]:
    """Whose reading it is."""
    if step.part and cylinder is None and not part:
        raise InputError(
            error("missing-value", "it is not said what was measured", right="--cylinder 1, or --part NAME")
        )
    if position is not None and (cylinder is not None or not part):
        raise InputError(
            error(
                "not-understood",
                "a position is one on a part, instead of the cylinder",
                right="--part NAME --position 1",
            )
        )
    given = {"cylinder": cylinder, "part": part, "position": position}
    return {key: value for key, value in given.items() if value is not None}


def _set_up(pairs: list[str], step: Step, job: Job) -> dict[str, str | Texts]:
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


def _advise(job: Job, instrument: str, fluid: str) -> None:
    """What to mind with an instrument or a fluid that the file has not named before."""
    from ccassist.guide.catalogue import advice

    known = {"instrument": {s.instrument for s in job.series}, "fluid": {s.fluid for s in job.series}}
    for catalogue, name in (("instrument", instrument), ("fluid", fluid)):
        if name and name not in known[catalogue]:
            for line in advice(name, catalogue, job):
                wrapped(clean(line, 1000), rest="  ")


def _say_back(job: Job) -> None:
    """What was recorded, in words, and what the series now says."""
    from ccassist.bench.steps import STEPS
    from ccassist.guide.told import told

    series = job.series[-1]
    row = series.rows[-1]
    fields = STEPS[series.step].fields
    words = ", ".join(f"{fields[name].words} {' and '.join(texts)}" for name, texts in row.fields.items())
    where = f"cylinder {series.cylinders[0]}" if len(series.cylinders) == 1 else series.part or series.instrument
    more = "".join(f"; {key}: {text}" for key, text in (("set aside", row.set_aside), ("remark", row.remark)) if text)
    said = f"Recorded: {STEPS[series.step].title.lower()}, {where}: {words}{more}."
    for line in (said, *told(job, [row])):
        wrapped(clean(line, 1000), rest="  ")
