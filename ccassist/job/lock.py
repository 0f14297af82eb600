"""One writer at a time: a lock beside the job file that a crash cannot leave behind.

The operating system holds the lock for the process and lets go of it when the
process ends, however it ends.  What stands in the lock file only says who it is.
"""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from ccassist.findings import InputError, error

try:
    import fcntl
except ImportError:  # no such locks on this system: the check of the file's text before each save still guards it
    fcntl = None  # type: ignore[assignment]


class Lock:
    """Held from construction until :meth:`release`.

    Raises
    ------
    InputError : another process (or another part of this one) holds it; says who.
    """

    def __init__(self, target: Path) -> None:
        real = Path(os.path.realpath(target))
        self.path = real.with_name(f".{real.name}.lock")
        self._handle: int | None = None
        if fcntl is None:
            return
        try:
            self._handle = self._take(str(target))
        except OSError as fault:
            reason = fault.strerror or str(fault)
            raise InputError(error("disk", f"cannot be opened for writing: {reason}", file=str(target))) from None

    def _take(self, name: str) -> int | None:
        while True:
            handle = os.open(self.path, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o666)
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                holder = os.read(handle, 200).decode("utf-8", "replace").strip() or "another program"
                os.close(handle)
                raise InputError(
                    error(
                        "in-use",
                        f"{holder} has this file open for writing",
                        file=name,
                        right="finish there first; nothing was changed",
                    )
                ) from None
            except OSError:  # a disk without locks
                os.close(handle)
                return None
            if self._still_there(handle):
                os.ftruncate(handle, 0)
                os.write(handle, _me().encode("utf-8", "replace"))
                return handle
            os.close(handle)  # its last holder removed it meanwhile: take the new one

    def _still_there(self, handle: int) -> bool:
        try:
            there, mine = os.stat(self.path), os.fstat(handle)
        except FileNotFoundError:
            return False
        return (there.st_dev, there.st_ino) == (mine.st_dev, mine.st_ino)

    def release(self) -> None:
        """Let go of it; harmless when it is not held."""
        if self._handle is None:
            return
        with contextlib.suppress(OSError):
            os.unlink(self.path)  # while it is still held, so that no one holds a removed one unawares
        os.close(self._handle)
        self._handle = None


def _me() -> str:
    """User, machine and process, in words."""
    user = os.environ.get("USER") or os.environ.get("LOGNAME") or "someone"
    return f"{user} on {os.uname().nodename or 'this machine'} (process {os.getpid()})"
