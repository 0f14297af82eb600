"""``ccassist record FILE --from FORM.pdf``: the readings of a filled form, page by page."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import complain, list_findings, say, wrapped
from ccassist.findings import CcassistError, InputError, error
from ccassist.job.from_form import FromForm, read_form
from ccassist.job.write import JobFile


def run(file: Path, source: Path, *, sure: bool, alone: bool) -> int:
    """Record what a form holds and the job does not; 2, and the file untouched, where a box cannot be used."""
    try:
        if not alone:
            wrong = "a form says itself what was measured, and with what"
            raise InputError(error("half-a-question", wrong, read="--from", right="give only FILE, --from and --sure"))
        with JobFile.open(file) as job_file:
            found = read_form(source, job_file.job())
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


def _say(found: FromForm) -> None:
    """What was recorded, what was there already, what was only begun."""
    for reading in found.new:
        words = ", ".join(
            f"{name} {' and '.join([texts] if isinstance(texts, str) else texts)}"
            for name, texts in reading.row.items()
            if name not in ("box", "remark")
        )
        wrapped(f"{reading.where}: {words}", rest="  ")
    list_findings(found.left)
    one, many = "reading", "readings"
    parts = [f"{len(found.new)} {one if len(found.new) == 1 else many} recorded"]
    parts += [f"{found.known} there already"] if found.known else []
    parts += [f"{len(found.left)} only begun and left out"] if found.left else []
    say(", ".join(parts) + ".")
