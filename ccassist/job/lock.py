"""One writer at a time: a lock beside the job file.

Where the disk has locks, the operating system holds one for the process and lets go of it when the process ends,
however it ends; what stands in the lock file then only says who it is.  Where it has none, such as on some network
disks, the file itself is the lock: made exclusively, with the machine, the process and when that process started.  One
left behind by a process of this machine that is dead is taken over; of another machine nothing can be known, so that
one is only taken over when told to.
"""

from __future__ import annotations

import contextlib
import os
import platform
import re
import sys
import time
from pathlib import Path

from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record

try:
    import fcntl
except ImportError:  # no such locks on this system: the lock file itself is the lock
    fcntl = None  # type: ignore[assignment]

_HOLDER = r"(?P<user>.*) on (?P<host>\S+) \(process (?P<process>\d{1,10})(?:, started (?P<started>[^)]*))?\)"
WAIT = 2.0  # s: so long another's save may take; a sitting takes longer, and is not waited for
_PAUSE = 0.02  # s
_WHILE_WRITTEN = 0.2  # s; a lock file is empty for a moment before it says who made it
_OPEN = os.O_RDWR | getattr(os, "O_CLOEXEC", 0)


class InUse(InputError):
    """Somebody has the file open for writing: ``mine``, this very process."""

    def __init__(self, holder: str, name: str, *, known: bool = True, waited: bool = False) -> None:
        self.mine, self._again = _holder(holder).mine, (holder, name, known)
        who = re.sub(r", started [^)]*\)$", ")", holder)  # when it started is for this program to know
        wrong = f"{who} has this file open for writing{f', still after {WAIT:g} s' if waited else ''}"
        right = "finish there first" if known else "finish there first; if that is over, add --take-over"
        super().__init__(error("in-use", wrong, file=name, right=f"{right}; nothing was changed"))

    def waited(self) -> InUse:
        """The same, after a while."""
        holder, name, known = self._again
        return InUse(holder, name, known=known, waited=True)


class Lock:
    """Held from construction until :meth:`release`.

    ``take_over`` : also a lock that a process of another machine left, or may still hold.  ``by`` : the command that
    holds it, where whoever is refused should be told.

    Raises InputError: another process holds it, and did not let go within a moment, or another part of this one.
    """

    def __init__(self, target: Path, *, take_over: bool = False, by: str = "") -> None:
        real = Path(os.path.realpath(target))
        self.path = real.with_name(f".{real.name}.lock")
        self._handle: int | None = None
        self._text, self._me = "", _me(by)
        until = time.monotonic() + WAIT
        try:
            while not self._taken_or_busy(str(target), take_over, until):
                pass
        except OSError as fault:
            reason = fault.strerror or str(fault)
            raise InputError(error("disk", f"cannot be opened for writing: {reason}", file=str(target))) from None

    def _taken_or_busy(self, name: str, take_over: bool, until: float) -> bool:
        """As :meth:`_taken`; False too after a pause where somebody else holds it and the time is not up."""
        try:
            return self._taken(name, take_over)
        except InUse as busy:
            if busy.mine:
                raise
            if time.monotonic() >= until:
                raise busy.waited() from None
        time.sleep(_PAUSE)
        return False

    def _taken(self, name: str, take_over: bool) -> bool:
        """Whether the lock was had; else whoever held it has just let go, or has just been moved out of the way."""
        opened = self._opened()
        if opened is None:
            return False
        handle, made = opened
        try:
            by_system = _locked(handle)
        except BlockingIOError:
            holder = os.read(handle, 400).decode("utf-8", "replace").strip() or "another program"
            os.close(handle)
            raise InUse(holder, name) from None
        if by_system and not self._still_there(handle):  # its last holder removed it meanwhile: take the new one
            os.close(handle)
            return False
        if by_system or made:
            mine = self._me
            os.ftruncate(handle, 0)
            os.write(handle, mine.encode("utf-8", "replace"))
        if by_system:
            self._handle = handle
            return True
        os.close(handle)
        if made:
            self._text = mine
            return True
        self._clear(name, take_over)
        return False

    def _opened(self) -> tuple[int, bool] | None:
        """The lock file, and whether it was made by this very call; None where it has gone meanwhile."""
        try:
            return os.open(self.path, _OPEN | os.O_CREAT | os.O_EXCL, 0o666), True
        except FileExistsError:
            with contextlib.suppress(FileNotFoundError):
                return os.open(self.path, _OPEN), False
        return None

    def _still_there(self, handle: int) -> bool:
        try:
            there, mine = os.stat(self.path), os.fstat(handle)
        except FileNotFoundError:
            return False
        return (there.st_dev, there.st_ino) == (mine.st_dev, mine.st_ino)

    def _clear(self, name: str, take_over: bool) -> None:
        """Move a lock file out of the way that its maker left behind; refuse where that is not certain."""
        said = _said_in(self.path)
        if said is None:  # it was let go meanwhile
            return
        holder = _holder(said)
        if not holder.gone and (holder.here or not take_over):
            raise InUse(said or "another program", name, known=holder.here)
        self._move_away(said)

    def _move_away(self, stale: str) -> None:
        """Take a lock file away under a name of its own, so that of two who do it only one finds it.

        Where someone was faster it is theirs by now, and is put back.
        """
        aside = self.path.with_name(f"{self.path.name}.{os.urandom(6).hex()}")
        with contextlib.suppress(FileNotFoundError):
            os.rename(self.path, aside)
            if _said_in(aside) != stale:
                with contextlib.suppress(OSError):
                    os.link(aside, self.path)
            os.unlink(aside)

    @property
    def held(self) -> bool:
        """Whether it is still this one's: one that is a file may have been taken over from another machine."""
        if self._handle is not None:
            return True
        return bool(self._text) and _said_in(self.path) == self._text

    def release(self) -> None:
        """Let go of it; harmless when it is not held."""
        if not self.held:
            return
        with contextlib.suppress(OSError):
            os.unlink(self.path)  # while it is still held, so that no one holds a removed one unawares
        if self._handle is not None:
            os.close(self._handle)
        self._handle, self._text = None, ""


def _locked(handle: int) -> bool:
    """Whether the operating system locks it for this process; not where the disk has no locks.

    Raises BlockingIOError: another process has it locked.
    """
    if fcntl is None:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError:
        return False
    return True


@record
class _Holder:
    """Who made a lock file: ``here``, on this machine or not; ``gone``, certainly dead; ``mine``, this process."""

    here: bool
    gone: bool
    mine: bool = False


def _holder(said: str) -> _Holder:
    """Whoever a lock file names; one that names nobody may be anybody's."""
    found = re.fullmatch(_HOLDER, said)
    if found is None or found["host"] != _host():
        return _Holder(here=False, gone=False)
    process = int(found["process"])
    if process == os.getpid():  # another part of this program, unless a process before it had the same number
        gone = bool(found["started"]) and found["started"] != _started(process)
        return _Holder(here=True, gone=gone, mine=not gone)
    now = _started(process)
    return _Holder(here=True, gone=not _alive(process) or bool(found["started"] and now and found["started"] != now))


def _said_in(path: Path) -> str | None:
    """What a lock file says, None where there is none; one just made says nothing for a moment."""
    until = time.monotonic() + _WHILE_WRITTEN
    while True:
        try:
            said = path.read_bytes()[:400].decode("utf-8", "replace").strip()
        except FileNotFoundError:
            return None
        if said or time.monotonic() > until:
            return said
        time.sleep(0.01)


def _me(by: str) -> str:
    """User, what it is held by, machine, process and when it started, in words."""
    user = os.environ.get("USER") or os.environ.get("LOGNAME") or "someone"
    started = _started(os.getpid())
    who = f"{user}, by {by}," if by else user
    return f"{who} on {_host()} (process {os.getpid()}{f', started {started}' if started else ''})"


def _host() -> str:
    return "-".join(platform.node().split()) or "this-machine"


def _alive(process: int) -> bool:
    """Whether a process of this machine runs; where that cannot be asked it is taken to."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _started(process: int) -> str:
    """When a process of this machine started, as the system says it; "" where it does not."""
    try:
        if sys.platform == "linux":
            return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[19]
        if os.name == "posix":
            import subprocess

            asked = ["ps", "-o", "lstart=", "-p", str(process)]
            return " ".join(subprocess.run(asked, capture_output=True, text=True, check=False).stdout.split())
    except (OSError, IndexError):
        return ""
    return ""
