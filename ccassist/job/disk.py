"""The one small layer through which job files reach the disk.

A save is atomic and durable: temporary file beside the target, fsync, rename, fsync of the folder.  Links are followed;
permissions and owner are kept, and access lists and other attributes where Python sees them (on Linux); what cannot be
kept, and what the disk does not confirm, is told by :func:`doubts`.  Every operation of a save is a plain call of
:mod:`os` in this module, so that a test can stop the program at each of them.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from ccassist.values.findings import Finding, InputError, error, warning

try:
    import fcntl
except ImportError:  # not on this system
    fcntl = None  # type: ignore[assignment]

_UNFINISHED = ".part"
_NEW_FILE = getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
LARGEST = 4 * 1024 * 1024  # bytes of a job file; ten thousand readings, each in a block of its own, are less
MOST_BESIDE = 1024 * 1024  # bytes of another text that is read
_NOT_THERE = (errno.EINVAL, errno.ENOTSUP, errno.ENOSYS)  # said by disks whose folders cannot be synced
LEFT_BEHIND = 3600.0  # s: no save takes so long, so that what it left is nobody's
_saved: dict[str, None] = {}
_doubts: list[Finding] = []


def read_text(path: Path, what: str = "") -> str:
    """The text of a job file, or of ``what`` it should be, in words.

    Raises InputError: missing, a folder, unreadable, too large, or not UTF-8.
    """
    name, most, what = str(path), MOST_BESIDE if what else LARGEST, what or "job file"
    try:
        if path.is_dir():
            raise InputError(error("is-directory", f"this is a folder, not a {what}", file=name))
        if path.exists() and not path.is_file():
            raise InputError(error("not-a-file", "this is not an ordinary file", file=name))
        with path.open("rb") as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            raise InputError(error("too-large", f"larger than {most // 2**20} MB: not a {what}", file=name))
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        wrong = f"not UTF-8 text (byte {fault.start + 1} of the file)"
        raise InputError(error("not-utf8", wrong, file=name, line=line, right="save it as UTF-8")) from None
    except FileNotFoundError:
        right = "start one with: ccassist new FILE" if what == "job file" else ""
        raise InputError(error("no-file", "no such file", file=name, right=right)) from None
    except (OSError, ValueError) as fault:
        raise InputError(_refusal("cannot be read", fault, name)) from None


def write_text(path: Path, text: str) -> None:
    """Replace a file's text, atomically and durably; the old file stays intact on any fault.

    Raises InputError: with the reason in one line.
    """
    try:
        data = text.encode("utf-8")
    except ValueError as fault:
        raise InputError(_refusal("not saved", fault, str(path))) from None
    write_bytes(path, data)


def write_bytes(path: Path, data: bytes) -> None:
    """As :func:`write_text`, for a file that is not text. Raises InputError: with the reason in one line."""
    try:
        target = Path(os.path.realpath(path))
        _sweep(target, LEFT_BEHIND)
        _replace(target, data)
    except (OSError, ValueError) as fault:
        raise InputError(_refusal("not saved", fault, str(path))) from None
    _saved[str(path)] = None


def doubts() -> list[Finding]:
    """What is to be said of the saves since this was asked last, though the new text stands in the file."""
    found, _doubts[:] = list(_doubts), []
    return found


def _doubt(target: Path, wrong: str, right: str = "") -> None:
    _doubts.append(warning("disk", wrong, file=str(target), right=right))


def saved() -> list[str]:
    """The files that this program has written since it was started, the first one first."""
    return list(_saved)


def _replace(target: Path, data: bytes) -> None:
    if target.exists() and not target.is_file():  # a rename would put a file in the place of a pipe or device
        raise OSError("this is a folder" if target.is_dir() else "this is not an ordinary file")
    before = target.stat() if target.exists() else None
    if before is not None and not os.access(target, os.W_OK):
        raise PermissionError(13, "the file is read-only")
    name = target.with_name(f".{target.name}.{os.urandom(6).hex()}{_UNFINISHED}")
    try:
        _write(name, data)
        owned = before is None or _owned_as(name, before)
        lost = _unlike(name, target) if before is not None else []
        os.chmod(name, before.st_mode & 0o7777 if before is not None else 0o666 & ~_umask())
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    if not owned:
        _doubt(target, "saved, but it is yours now: its owner and group could not be kept")
    if lost:
        right = "look at who may read and write it"
        _doubt(target, f"saved, but not all that was set for the file could be kept: {', '.join(lost)}", right)
    if before is not None and before.st_nlink > 1:
        wrong = "saved, but it had another name too (a hard link), and what stands there is still as it was"
        _doubt(target, wrong, "keep one name, or make the other a symbolic link")
    try:
        _sync_folder(target.parent)
    except OSError as fault:
        if fault.errno not in _NOT_THERE:
            wrong = f"saved, but the disk did not confirm it: {fault.strerror or fault}"
            _doubt(target, wrong, "look at the disk; until then a power cut may bring back the file as it was")


def _owned_as(name: Path, before: os.stat_result) -> bool:
    """Whether a new file has the owner and group that the old one had."""
    made = os.stat(name)
    if os.name != "posix" or (made.st_uid, made.st_gid) == (before.st_uid, before.st_gid):
        return True
    with contextlib.suppress(OSError):
        os.chown(name, before.st_uid, before.st_gid)
        return True
    return False


def _unlike(name: Path, target: Path) -> list[str]:
    """Give a new file the access list and other attributes of the old one; those that it could not be given."""
    old, new = _attributes(target), _attributes(name)
    lost = []
    for key in sorted(old.keys() | new.keys()):
        if old.get(key) != new.get(key):  # the folder may have given it some; so has the system, the right ones
            try:
                os.setxattr(name, key, old[key]) if key in old else os.removexattr(name, key)
            except OSError:
                lost.append(key)
    return lost


def _attributes(path: Path) -> dict[str, bytes]:
    """The extended attributes of a file; none where the disk, or Python on this system, knows none."""
    found = dict[str, bytes]()
    with contextlib.suppress(OSError, AttributeError):
        for key in os.listxattr(path):
            found[key] = os.getxattr(path, key)
    return found


def _write(name: Path, data: bytes) -> None:
    """A new file with this in it, on the disk when the call returns."""
    handle = os.open(name, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _NEW_FILE, 0o600)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]  # a write may take less than it is given
        _sync(handle)
    finally:
        os.close(handle)


def _sync(handle: int) -> None:
    """Onto the disk itself; where fsync stops at the drive's own memory, the call that does not (macOS, fsync(2))."""
    fully = getattr(fcntl, "F_FULLFSYNC", None)
    if fully is not None:
        with contextlib.suppress(OSError):  # some disks do not know it
            fcntl.fcntl(handle, fully)
            return
    os.fsync(handle)


def sweep(path: Path) -> None:
    """Remove what a program that was killed in the middle of a save left beside a file.

    Only for the one who holds the file's lock: another's save may be under way otherwise.
    """
    _sweep(Path(os.path.realpath(path)), 0.0)


def _sweep(target: Path, age: float) -> None:
    """Remove what was left beside a file at least so long ago [s]."""
    with contextlib.suppress(OSError):
        for name in os.listdir(target.parent):
            if name.startswith(f".{target.name}.") and name.endswith(_UNFINISHED):
                with contextlib.suppress(OSError):
                    left = target.with_name(name)
                    if os.stat(left).st_mtime <= time.time() - age:
                        os.unlink(left)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return  # folders cannot be synced elsewhere; the rename itself is still atomic
    handle = os.open(folder, os.O_RDONLY)
    try:
        _sync(handle)
    finally:
        os.close(handle)


def _refusal(what: str, fault: Exception, name: str) -> Finding:
    reason = getattr(fault, "strerror", None) or str(fault)
    return error("disk", f"{what}: {reason}", file=name)


# Where results may be written: never over a job file, and only over what this tool made itself.

JOB_ENDING = ".toml"
_CREATOR = rb"/Creator\s*\(ccassist\)"
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
    if not (data.startswith(b"%PDF-") and re.search(_CREATOR, data)):
        return "a file is there that is not a PDF of this tool"
    return "a form is there in which something was filled in" if b"/AcroForm" in data and _filled(path) else ""


def _first_line(data: bytes) -> list[str]:
    """The cells of a table's first line; none where it is no text."""
    import csv

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
