"""``ccassist readings``: every reading of a job, on the screen or as a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import say, say_json, show_report
from ccassist.job.disk import check_output, write_text
from ccassist.job.file import load_sound
from ccassist.report.data import to_json
from ccassist.report.readings import Readings, readings_report
from ccassist.values.display import formatter
from ccassist.values.findings import clean


def run(file: Path, *, csv: Path | None, force: bool = False, as_json: bool = False, everything: bool = False) -> int:
    """List the readings; or write them where asked."""
    job = load_sound(file).job
    fmt = formatter(job.system)
    if csv is None:
        if as_json:
            say_json(to_json(Readings(series=job.series), fmt))
        else:
            show_report(readings_report(job, fmt, everything=everything), everything=everything)
        return 0
    from ccassist.job.tables import is_readings, readings_csv

    check_output(csv, "--csv", file, force=force, head=is_readings)

    write_text(csv, readings_csv(job))
    count = sum(len(series.rows) for series in job.series)
    say(f"Wrote {clean(str(csv), 300)}, {count} reading{'' if count == 1 else 's'}.")
    return 0
