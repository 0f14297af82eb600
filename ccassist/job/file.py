"""Reading a job file into records, and writing readings into it.

A reading is appended as text at the end of the file: comments, order and
everything written by hand stay as they are, and the file need not be parsed
again for each reading.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from ccassist.findings import Finding, InputError, error, errors
from ccassist.job.disk import read_text
from ccassist.job.lines import line_index
from ccassist.job.records import Job
from ccassist.job.schema import JobReader


@dataclass(frozen=True, kw_only=True)
class Loaded:
    """A job, what was found wrong with its form, and the text it was read from."""

    job: Job
    findings: tuple[Finding, ...]
    text: str


def load(path: str | Path) -> Loaded:
    """Read a job file; faults of form are findings, an unusable file is raised.

    Raises
    ------
    InputError : no such file, unreadable, not UTF-8, not TOML.
    """
    return parse_job(read_text(Path(path)), str(path))


def parse_job(text: str, file: str = "") -> Loaded:
    """Read a job from its text."""
    try:
        data = tomllib.loads(text, parse_float=str)
    except tomllib.TOMLDecodeError as fault:
        raise InputError(_not_toml(fault, text, file)) from None
    except (RecursionError, ValueError) as fault:
        reason = "nested too deep" if isinstance(fault, RecursionError) else str(fault)
        raise InputError(error("not-toml", f"not a job file: {reason}", file=file)) from None
    reader = JobReader(file, line_index(text))
    job = reader.job(data)
    return Loaded(job=job, findings=tuple(reader.findings), text=text)


def load_sound(path: str | Path) -> Loaded:
    """As :func:`load`, but every fault of form is raised, all together.

    Raises
    ------
    InputError : with all findings that are errors.
    """
    loaded = load(path)
    faults = errors(loaded.findings)
    if faults:
        raise InputError(faults)
    return loaded


def _not_toml(fault: tomllib.TOMLDecodeError, text: str, file: str) -> Finding:
    """The reader's complaint with the line it means."""
    import re

    message = str(fault)
    found = re.search(r"\(at line (\d+), column (\d+)\)", message)
    line = int(found[1]) if found else None
    reason = message.split(" (at ")[0]
    rows = text.splitlines()
    read = rows[line - 1].strip() if line and line <= len(rows) else ""
    return error(
        "not-toml",
        f"not readable as a job file: {reason[:1].lower()}{reason[1:]}",
        read=read,
        file=file,
        line=line,
        right='text stands in quotes: key = "86.50 mm"',
    )
