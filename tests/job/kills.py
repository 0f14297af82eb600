"""A run of the program killed at one operation on the disk, again and again, each time in a process of its own.

The process that is started loads the program once and makes a child for each run (POSIX fork); it has no other thread.
"""

from __future__ import annotations

import io
import json
import os
import sys
import tomllib
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout, suppress
from pathlib import Path
from typing import Any

from ccassist.cli import app
from ccassist.job import disk, lock
from ccassist.job.write import JobFile

CALLS = ("open", "write", "fsync", "close", "chmod", "chown", "setxattr", "removexattr")
CALLS += ("replace", "rename", "link", "unlink", "ftruncate")
MOMENTS = ("before", "halfway", "after")  # of an operation at which the process dies; a write is done by half
DEAD = 9
SAID = "../said.txt"  # what the last child said, from its folder
CONFIRMED = ("Recorded", "readings of cylinder", "Started", "Kept as", "Wrote")


class Dying:
    """The calls of :mod:`os`, at one of which the process ends as if it had been killed; those before are counted."""

    def __init__(self, number: int, moment: str) -> None:
        self.number, self.moment, self.names = number, moment, list[str]()

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        if name not in CALLS:
            return real

        def call(*given: Any, **more: Any) -> Any:
            self.names.append(name)
            if len(self.names) != self.number:
                return real(*given, **more)
            if self.moment == "halfway" and name == "write":
                real(given[0], bytes(given[1])[: len(given[1]) // 2])
            if self.moment == "after":
                real(*given, **more)
            os._exit(DEAD)

        return call


def strays(event: str, given: tuple[Any, ...], found: list[str]) -> None:
    """Note a file opened for writing by anything but the two modules through which all is to go (audit hook)."""
    if event != "open" or not isinstance(given[2], int) or not given[2] & (os.O_WRONLY | os.O_RDWR):
        return
    frame, names = sys._getframe(1), []
    while frame is not None:
        names.append(frame.f_code.co_filename)
        frame = frame.f_back  # type: ignore[assignment]
    if not any(name.endswith(("job/disk.py", "job/lock.py")) for name in names):
        found.append(str(given[0]))


def killed(work: Callable[[], object], number: int, moment: str) -> dict[str, Any]:
    """What a child did: how it ended, the operations it came to, and the files that others wrote; 0 lets it live."""
    reads, writes = os.pipe()
    child = os.fork()
    if not child:
        os.close(reads)
        _in_the_child(work, Dying(number, moment), writes)
    os.close(writes)
    with os.fdopen(reads) as said:
        text = said.read()
    _, status = os.waitpid(child, 0)
    return {"code": os.waitstatus_to_exitcode(status), **(json.loads(text) if text else {})}


def _in_the_child(work: Callable[[], object], dying: Dying, writes: int) -> None:
    found: list[str] = []
    sys.addaudithook(lambda event, given: strays(event, given, found))
    said = os.open(SAID, os.O_RDWR | os.O_CREAT | os.O_TRUNC)
    os.dup2(said, 1)
    os.dup2(said, 2)
    sys.stdout.reconfigure(line_buffering=True)  # type: ignore[union-attr]
    found.clear()
    disk.os = lock.os = dying  # type: ignore[assignment]
    code = 0
    try:
        work()
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1
    except BaseException:
        code = 70
    os.write(writes, json.dumps({"operations": dying.names, "strays": found}).encode())
    os._exit(code)


def command(words: Sequence[str], typed: str) -> Callable[[], object]:
    """A command line, with what is typed at it."""

    def work() -> None:
        reads, writes = os.pipe()
        os.write(writes, typed.encode())
        os.close(writes)
        os.dup2(reads, 0)
        sys.stdin = os.fdopen(0, encoding="utf-8", closefd=False)
        sys.argv = ["ccassist", *words]
        app.main()

    return work


def faults(path: Path, words: Sequence[str], typed: str, moments: Sequence[str]) -> list[str]:
    """What goes wrong where a command is killed at each of its operations, or otherwise writes: nothing, it is hoped.

    The job file must be the old or the new one, whole; and the same command, run again, must find it as it was or
    done, and leave nothing else beside it.
    """
    old = path.read_bytes() if path.exists() else None
    work = command(words, typed)
    _warmed(work)
    _as_before(path, old)
    alive = killed(work, 0, "before")
    if alive["code"] or alive["strays"]:
        return [f"{' '.join(words)}: {alive}"]
    new = {one.name: one.read_bytes() for one in path.parent.iterdir()}
    found = []
    for number, name in enumerate(alive["operations"], 1):
        for moment in moments if name == "write" else [one for one in moments if one != "halfway"]:
            _as_before(path, old)
            where = f"{' '.join(words)}: killed {moment} operation {number}, {name}"
            if killed(work, number, moment)["code"] != DEAD:
                found.append(f"{where}: did not die")
            there = path.read_bytes() if path.exists() else None
            if not _whole(there, old, new.get(path.name)):
                found.append(f"{where}: the job file is neither the old nor the new one")
            said = Path(SAID).read_text(encoding="utf-8")
            if there != new.get(path.name) and any(word in said for word in CONFIRMED):
                found.append(f"{where}: said to be done, and is not: {said}")
            others = [one for one in path.parent.iterdir() if one != path and not one.name.startswith(".")]
            found += [f"{where}: {one.name} is not whole" for one in others if one.read_bytes() != new.get(one.name)]
            again = killed(work, 0, "before")
            killed(lambda: path.exists() and JobFile.open(path).close(), 0, "before")
            left = {one.name for one in path.parent.iterdir() if not _aged(one, path)}
            if again["code"] not in (0, 2) or left != set(new):
                found.append(f"{where}: the next run ends with {again['code']} and leaves {sorted(left)}")
    return found


def _warmed(work: Callable[[], object]) -> None:
    """Everything that a command loads loaded, so that its children need not."""
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()), suppress(SystemExit):
        work()
    disk._saved.clear()


def _as_before(path: Path, old: bytes | None) -> None:
    """The folder with nothing but the job file as it was."""
    for one in path.parent.iterdir():
        one.unlink()
    if old is not None:
        path.write_bytes(old)


def _aged(one: Path, job: Path) -> bool:
    """Whether it is the begin of another paper or table than the job, which goes when it has lain for an hour."""
    return one.name.endswith(".part") and not one.name.startswith(f".{job.name}.")


def _whole(there: bytes | None, old: bytes | None, new: bytes | None) -> bool:
    """Whether a job file is the old or the new one; of several saves in a row one on the way, which can be read."""
    if there in (old, new):
        return True
    if there is None or old is None or not there.startswith(old[:40]):
        return False
    try:
        tomllib.loads(there.decode())
    except ValueError:
        return False
    return True


def main() -> None:
    """Reads what to do from its standard input: folder, commands, moments; writes the faults."""
    asked = json.loads(sys.stdin.read())
    found = []
    for text, words, typed in asked["runs"]:
        folder = Path(asked["folder"])
        os.chdir(folder)
        path = folder / "job.toml"
        _as_before(path, text.encode() if text else None)
        found += faults(path, words, typed, asked["moments"])
    print(json.dumps(found))


if __name__ == "__main__":
    main()
