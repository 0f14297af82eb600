"""``ccassist readings``: every reading of a job, on the screen or as a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

from ccassist.bench.steps import STEPS
from ccassist.cli.screen import say, wrapped
from ccassist.job.disk import write_text
from ccassist.job.file import load_sound
from ccassist.job.outputs import check_output
from ccassist.job.records import Job, Series
from ccassist.values.findings import clean


def run(file: Path, *, csv: Path | None, force: bool = False) -> int:
    """List the readings; or write them where asked."""
    job = load_sound(file).job
    if csv is None:
        _print(job)
        return 0
    from ccassist.job.tables import is_readings, readings_csv

    check_output(csv, "--csv", file, force=force, head=is_readings)

    write_text(csv, readings_csv(job))
    count = sum(len(series.rows) for series in job.series)
    say(f"Wrote {clean(str(csv), 300)}, {count} reading{'' if count == 1 else 's'}.")
    return 0


def _print(job: Job) -> None:
    if not any(series.rows for series in job.series):
        say("No readings yet.")
    for series in job.series:
        wrapped(clean(_heading(series), 300), rest="  ")
        for number, row in enumerate(series.rows, 1):
            said = ", ".join(f"{name} {'; '.join(texts)}" for name, texts in row.fields.items())
            more = [f"set aside: {row.set_aside}"] if row.set_aside else []
            more += [row.remark] if row.remark else []
            wrapped(clean(" · ".join([f"{number}  {said}", *more]), 500), first="  ", rest="     ")


def _heading(series: Series) -> str:
    """What was measured, in what state, with what, by whom and when."""
    where = f"cylinder {series.cylinders[0]}" if len(series.cylinders) == 1 else series.part
    said = (series.state, series.instrument, series.fluid, series.by, series.date)
    return ", ".join(part for part in (f"{STEPS[series.step].title}: {where}", *said) if part)
