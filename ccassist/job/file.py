"""Reading a job file into records, and writing readings into it.

A reading is appended as text at the end of the file: comments, order and
everything written by hand stay as they are, and the file need not be parsed
again for each reading.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from ccassist.job.disk import read_text
from ccassist.job.lines import line_index, read_toml
from ccassist.job.records import Job
from ccassist.job.schema import JobReader
from ccassist.values.findings import Finding, InputError, errors
from ccassist.vocabulary.record import record


@record
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


@lru_cache(maxsize=8)
def parse_job(text: str, file: str = "") -> Loaded:
    """Read a job from its text; the same text gives the same records, not read again.

    Raises
    ------
    InputError : not TOML.
    """
    data = read_toml(text, file)
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
