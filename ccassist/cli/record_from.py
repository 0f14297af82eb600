"""``ccassist record FILE --from FORM.pdf``, or a table: the readings of a filled form or of a CSV file."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import complain, list_findings, say, wrapped
from ccassist.findings import CcassistError, InputError, clean, error
from ccassist.job.records import Job
from ccassist.job.taken import Taken
from ccassist.job.write import JobFile


def run(file: Path, source: Path, *, sure: bool, alone: bool) -> int:
    """Record what a form holds and the job does not; 2, and the file untouched, where a box cannot be used."""
    try:
        if not alone:
            wrong = "a form or table says itself what was measured, and with what"
            raise InputError(error("half-a-question", wrong, read="--from", right="give only FILE, --from and --sure"))
        with JobFile.open(file) as job_file:
            found = _taken(source, job_file.job())
            if found.unusual and not sure:
                raise InputError(
                    [
                        error(f.code, f.wrong, read=f.read, right="if it is so, add --sure", place=f.place, file=f.file)
                        for f in found.unusual
                    ]
                )
            for reading in found.new:
                job_file.add_reading(reading.header, reading.row)
            _say(found)
    except CcassistError as fault:
        return complain(fault)
    return 0


def _taken(source: Path, job: Job) -> Taken:
    """The readings of a table, by its name, or else of a form."""
    if source.suffix.lower() in (".csv", ".tsv", ".txt"):
        from ccassist.job.from_csv import read_csv

        return read_csv(source, job)
    from ccassist.job.from_form import read_form

    return read_form(source, job)


def _say(found: Taken) -> None:
    """What was recorded, what was there already, what was only begun."""
    for reading in found.new:
        words = ", ".join(
            f"{name} {' and '.join([texts] if isinstance(texts, str) else texts)}"
            for name, texts in reading.row.items()
            if name not in ("box", "remark")
        )
        wrapped(clean(f"{reading.where}: {words}", 500), rest="  ")
    list_findings(found.left)
    one, many = "reading", "readings"
    parts = [f"{len(found.new)} {one if len(found.new) == 1 else many} recorded"]
    parts += [f"{found.known} there already"] if found.known else []
    parts += [f"{len(found.left)} only begun and left out"] if found.left else []
    say(", ".join(parts) + ".")
