"""Where results may be written: never over a job file, by whatever name or link."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from ccassist.findings import InputError, error

JOB_ENDING = ".toml"


def check_output(path: Path, place: str, job: Path | None) -> None:
    """Refuse an output that would replace the job file it is about, or any other.

    ``place`` is the option that names it.

    Raises
    ------
    InputError : it would.
    """
    own = job is not None and same_place(path, job)
    if own or JOB_ENDING in (path.suffix.lower(), Path(os.path.realpath(path)).suffix.lower()):
        wrong = f"this would replace {'the' if own else 'a'} job file"
        raise InputError(error("same-file", wrong, read=str(path), right="give another name", place=place))


def same_place(one: Path, other: Path) -> bool:
    """Whether two names are one file, by a link too."""
    with contextlib.suppress(OSError):
        return os.path.realpath(one) == os.path.realpath(other) or one.samefile(other)
    return False
