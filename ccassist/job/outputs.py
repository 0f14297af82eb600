"""Where results may be written: never over a job file, and only over what this tool made itself."""

from __future__ import annotations

import contextlib
import csv
import os
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from ccassist.values.findings import InputError, error

JOB_ENDING = ".toml"
_CREATOR = re.compile(rb"/Creator\s*\(ccassist\)")
_MOST = 64 * 1024 * 1024  # bytes; no page of this tool comes near
Head = Callable[[Sequence[str]], bool]  # whether the first line of a table is one that a command writes


def check_output(path: Path, place: str, job: Path | None, *, force: bool = False, head: Head | None = None) -> None:
    """Refuse an output that would replace a job file, or something that this tool did not make.

    ``place`` is the option that names it; ``head`` : of a table, whether its first line is one that this command
    writes; else it is a PDF.  ``force`` : whatever it is, unless it is a job file.

    Raises InputError: it would.
    """
    own = job is not None and same_place(path, job)
    if own or JOB_ENDING in (path.suffix.lower(), Path(os.path.realpath(path)).suffix.lower()):
        wrong = f"this would replace {'the' if own else 'a'} job file"
        raise InputError(error("same-file", wrong, read=str(path), right="give another name", place=place))
    wrong = "" if force else _in_the_way(path, head)
    if wrong:
        right = "give another name, or add --force to replace it"
        raise InputError(error("not-ours", wrong, read=str(path), right=right, place=place))


def _in_the_way(path: Path, head: Head | None) -> str:
    """Why a file that is there must not be replaced; "" where it may."""
    data = b""
    with contextlib.suppress(OSError, ValueError):  # what cannot be looked at cannot be written either, and says why
        if path.is_file():
            with path.open("rb") as stream:
                data = stream.read(_MOST)
    if not data:
        return ""
    if head is not None:
        return "" if head(_first_line(data)) else "a file is there that is not a table of this command"
    if not (data.startswith(b"%PDF-") and _CREATOR.search(data)):
        return "a file is there that is not a PDF of this tool"
    return "a form is there in which something was filled in" if b"/AcroForm" in data and _filled(path) else ""


def _first_line(data: bytes) -> list[str]:
    """The cells of a table's first line; none where it is no text."""
    try:
        text = data[:20_000].decode("utf-8-sig", "ignore").split("\n", 1)[0].rstrip("\r")
        return next(csv.reader([text], strict=True), [])
    except csv.Error:
        return []


def _filled(path: Path) -> bool:
    """Whether a form holds anything that was written into it; one that cannot be read may."""
    from ccassist.bench.forms import PRINTED_JOB, box_named
    from ccassist.job.filled_form import boxes_of

    try:
        return any(text and not ((box := box_named(name)) and box.what == PRINTED_JOB) for name, text in boxes_of(path))
    except InputError:
        return True


def same_place(one: Path, other: Path) -> bool:
    """Whether two names are one file, by a link too."""
    with contextlib.suppress(OSError):
        return os.path.realpath(one) == os.path.realpath(other) or one.samefile(other)
    return False
