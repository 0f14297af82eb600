"""Writing into job files: readings are appended as text, everything else stays byte for byte.

A new reading goes into the list at the very end of the file when that list belongs to the same series, else into a new
``[[series]]`` block.  The file is not parsed for it.  The few edits inside a file stand in :mod:`ccassist.job.amend`.
"""

from __future__ import annotations

import datetime
import os
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from pathlib import Path
from types import TracebackType
from typing import NamedTuple

from ccassist.job import amend
from ccassist.job.disk import read_text, sweep, write_text
from ccassist.job.file import Loaded, parse_job
from ccassist.job.lock import Lock
from ccassist.job.pieces import check_size, read_toml
from ccassist.job.records import Job
from ccassist.job.vocabulary import SERIES_KEYS
from ccassist.values.findings import InputError, error

Scalar = str | int | datetime.date
Entry = Scalar | Sequence[Scalar]
Table = Mapping[str, Entry]

_LIST_OPENS = re.compile(r"^readings[ \t]*=[ \t]*\[[ \t]*\r?\n", re.MULTILINE)
_REST = re.compile(rf"(?P<rows>(?:(?:{amend.ROW}|[ \t]*(?:#[^\n]*)?)\r?\n)*+)[ \t]*\][ \t]*\s*\Z")
LONG = 30_000  # characters; a longer file is looked at before each save, so that it never holds too much to be read
_LAST_KEYS = ("by", "date", "remark")


def append_reading(text: str, header: Mapping[str, Entry], row: Mapping[str, Entry]) -> str:
    """The text of a job file with one more reading at its end.

    text : the file as it is.
    header : keys of the series (step, cylinder or part, instrument, settings ...); empty values are left out.
    row : field -> what was read (several where it was refilled), with set_aside, remark, time.

    Raises InputError: nothing was read, or the text cannot be stored.
    """
    newline = amend.newline_of(text)
    head, fields = _said(header), _said(row)
    if not fields:
        raise InputError(error("missing-value", "a reading without a value"))
    line = "    { " + ", ".join(f"{amend.key_text(k)} = {amend.value_text(v)}" for k, v in fields.items()) + " },"
    tail = _tail(text)
    if tail is not None and _texts(tail.header) == _texts(head):
        return text[: tail.close] + line + newline + text[tail.close :]
    block = ["[[series]]", *_header_lines(head), "readings = [", line, "]", ""]
    return text + _gap(text, newline) + newline.join(block)


class _Tail(NamedTuple):
    """The list of readings that ends the file: where its closing bracket starts, and the keys of its series."""

    close: int
    header: Mapping[str, Entry]


def _tail(text: str) -> _Tail | None:
    """The open list at the end, or None where the file ends in anything else or in another layout.

    Every line of it is a whole row, a comment or blank, and no string runs on over lines: then, in a sound file, its
    last bracket is the one that closes it.
    """
    start = text.rfind("\n[[series]]") + 1  # at the head of a line: a reading may hold the same words
    if not text.startswith("[[series]]", start):
        return None
    opens = _LIST_OPENS.search(text, start)
    rest = _REST.match(text, opens.end()) if opens else None
    if opens is None or rest is None:
        return None
    try:
        found = tomllib.loads(text[start : opens.start()], parse_float=str)["series"][0]
    except tomllib.TOMLDecodeError:
        return None
    return _Tail(close=rest.end("rows"), header=found)


def _said(table: Mapping[str, Entry]) -> dict[str, Entry]:
    """What is not empty; a list of one is that one."""
    kept: dict[str, Entry] = {}
    for key, value in table.items():
        if isinstance(value, Sequence) and not isinstance(value, str):
            listed = [v for v in value if v != ""]
            if listed:
                kept[key] = listed[0] if len(listed) == 1 else listed
        elif value != "":
            kept[key] = value
    return kept


def _texts(table: Mapping[str, Entry]) -> dict[str, tuple[str, ...]]:
    listed = ((k, v if isinstance(v, Sequence) and not isinstance(v, str) else (v,)) for k, v in table.items())
    return {key: tuple(str(v) for v in values) for key, values in listed}


def _header_lines(header: Mapping[str, Entry]) -> list[str]:
    """Keys in the order of the vocabulary; settings and choices before who, when and remark."""
    first = [k for k in SERIES_KEYS if k in header and k not in _LAST_KEYS]
    settings = [k for k in header if k not in SERIES_KEYS]
    last = [k for k in _LAST_KEYS if k in header]
    return [f"{amend.key_text(k)} = {amend.value_text(header[k])}" for k in (*first, *settings, *last)]


def _gap(text: str, newline: str) -> str:
    if not text:
        return ""
    ends = text.endswith("\n")
    blank = text.endswith(("\n\n", "\n\r\n"))
    return "" if blank else newline if ends else newline * 2


class JobFile:
    """A job file held open for writing: every change is on the disk before the call returns.

    path : where it is.
    text : the whole file as last read or written.
    """

    def __init__(self, path: Path, *, take_over: bool = False, new: bool = False, by: str = "") -> None:
        self.path, self._new = path, new and not os.path.lexists(path)
        if not self._new:
            read_text(path)  # says in words why it cannot be read, before a lock is left beside it
        self._lock = Lock(path, take_over=take_over, by=by)
        sweep(path)
        try:
            self.reload()
        except BaseException:
            self._lock.release()
            raise

    @classmethod
    def open(cls, path: str | Path, *, take_over: bool = False, new: bool = False, by: str = "") -> JobFile:
        """Open for writing; ``take_over`` : also where another machine holds it, or died while it did.

        ``new`` : it need not be there; then its text is empty, and the first save makes it.  ``by`` : the command, as
        others are told while it is open.

        Raises InputError: unreadable, or someone else is writing into it.
        """
        return cls(Path(path), take_over=take_over, new=new, by=by)

    def reload(self) -> None:
        """Read it again from the disk, such as after it was changed by hand."""
        self.text = "" if self._new and not os.path.lexists(self.path) else read_text(self.path)
        self._mark = "\ufeff" if _bytes(self.path).startswith(b"\xef\xbb\xbf") else ""
        self._loaded: Loaded | None = None
        self._next: Loaded | None = None
        self._proved = False

    @property
    def changed(self) -> bool:
        """Whether something else has written into it since."""
        return _bytes(self.path) != (self._mark + self.text).encode("utf-8")

    def reread(self) -> None:
        """Read it again after something else wrote into it.

        Raises InputError: it cannot be read now; what was read of it last is kept.
        """
        kept = (self.text, self._mark, self._loaded)
        try:
            self.reload()
            self.job()
        except InputError:
            self.text, self._mark, self._loaded = kept
            raise

    def close(self) -> None:
        """Let others write."""
        self._lock.release()

    def __enter__(self) -> JobFile:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def loaded(self) -> Loaded:
        """The records and the findings of the present text; read again only when it has changed."""
        if self._loaded is None:
            self._loaded = parse_job(self.text, str(self.path))
        return self._loaded

    def job(self) -> Job:
        """The records of the present text."""
        return self.loaded().job

    def with_readings(self, readings: Iterable[tuple[Table, Table]]) -> Job:
        """The job as it would be with these readings, each its series' header and its row; nothing is saved.

        Where they cannot be added it is the job as it stands: saving them says why.
        """
        try:
            text = reduce(lambda text, one: append_reading(text, *one), readings, self.text)
            self._next = parse_job(text, str(self.path))  # may be saved next: then it is not read again
        except InputError:
            return self.job()
        return self._next.job

    def add_reading(self, header: Mapping[str, Entry], row: Mapping[str, Entry]) -> None:
        """Append one reading and save.

        Raises InputError: not saved; says why and repeats the reading, which stands nowhere else.
        """
        new = append_reading(self.text, header, row)
        words = ", ".join(f"{k} = {' and '.join(v)}" for k, v in _texts(_said(row)).items())
        if not self._proved or len(new) > LONG:
            prove(new, row, str(self.path), words)
        self._save(new, words)
        self._proved = True

    def save(self, text: str, was: str, unsaved: str = "") -> None:
        """Save a whole text that was made of another.

        Raises InputError: not saved; says why, and ``unsaved``, what stands nowhere else; "changed" where the file
        holds another text than ``was``.
        """
        if self.text != was:
            raise self._changed(unsaved)
        self._save(text, unsaved)
        self._proved = False

    def _changed(self, unsaved: str) -> InputError:
        wrong = "the file was changed by something else meanwhile" + (f"; not saved: {unsaved}" if unsaved else "")
        return InputError(error("changed", wrong, file=str(self.path), right="read it again first"))

    def _save(self, new: str, unsaved: str = "") -> None:
        lost = f"; not saved: {unsaved}" if unsaved else ""
        if not self._lock.held:
            wrong = f"another machine has taken over the lock of this file{lost}"
            raise InputError(
                error("in-use", wrong, file=str(self.path), right="finish there first, then open it again")
            )
        if self.changed:
            raise self._changed(unsaved)
        try:
            check_size(new, str(self.path))
            write_text(self.path, self._mark + new)
        except InputError as fault:
            # A disk of the network may say that a rename failed which was done: then it is not to be repeated.
            if _bytes(self.path) != (self._mark + new).encode("utf-8"):
                raise InputError([error(f.code, f"{f.wrong}{lost}", file=f.file) for f in fault.findings]) from None
        ready = self._next is not None and self._next.text == new
        self.text, self._loaded, self._next = new, self._next if ready else None, None


def _bytes(path: Path) -> bytes:
    """What is on the disk now; nothing where it has gone."""
    try:
        return Path(os.path.realpath(path)).read_bytes()
    except OSError:
        return b""


def prove(text: str, row: Mapping[str, Entry], file: str, words: str) -> None:
    """Make sure that a reading appended to this file is read back: it may be oddly written by hand, or full.

    Raises InputError: it is not; ``words`` says the reading, which stands nowhere else.
    """
    reason = ""
    try:
        series = read_toml(text)[0]["series"]
        if _texts(series[-1]["readings"][-1]) == _texts(_said(row)):
            return
    except InputError as fault:
        reason = f" ({fault.findings[0].wrong})"
    wrong = f"a reading cannot be added to this file as it stands{reason}; not saved: {words}"
    right = "write readings in [[series]] blocks; ccassist check FILE"
    raise InputError(error("not-appendable", wrong, file=file, right=right))
