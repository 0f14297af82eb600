"""``ccassist record``: one reading without prompts, with the checks of the guide."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.questions import new_questions
from ccassist.cli.screen import complain, list_findings, wrapped
from ccassist.job.recording import Reading, Recorded, record_reading
from ccassist.job.records import Job
from ccassist.values.findings import CcassistError, clean


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
    take_over: bool = False,
) -> int:
    """Record one reading; 2, and the file untouched, where it cannot be used."""
    reading = Reading(
        step=step,
        fields=readings,
        cylinder=cylinder,
        part=part,
        position=position,
        state=state,
        instrument=instrument,
        fluid=fluid,
        by=by,
        remark=remark,
        set_aside=set_aside,
        settings=settings,
        sure=sure,
        date=date,
    )
    try:
        made = record_reading(file, reading, new_questions, take_over=take_over)
        list_findings(made.findings)
        _advise(made.before, instrument, fluid)
        _say_back(made)
    except CcassistError as fault:
        return complain(fault)
    return 0


def _advise(job: Job, instrument: str, fluid: str) -> None:
    """What to mind with an instrument or a fluid that the file has not named before."""
    from ccassist.guide.catalogue import advice

    known = {"instrument": {s.instrument for s in job.series}, "fluid": {s.fluid for s in job.series}}
    for catalogue, name in (("instrument", instrument), ("fluid", fluid)):
        if name and name not in known[catalogue]:
            for line in advice(name, catalogue, job):
                wrapped(clean(line, 1000), rest="  ")


def _say_back(made: Recorded) -> None:
    """What was recorded, in words, and what the series now says."""
    from ccassist.guide.told import told

    for line in (f"Recorded: {made.text}.", *told(made.job, [made.row])):
        wrapped(clean(line, 1000), rest="  ")
