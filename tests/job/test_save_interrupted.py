"""The program killed, or refused by the disk, at every file operation of a save.

What must hold (POSIX rename is atomic: The Open Group Base Specifications, rename()): the job file is
the old or the new one, whole, and every reading that was confirmed to the user is in it.
"""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from ccassist.job import disk
from ccassist.job.write import JobFile
from ccassist.values.findings import InputError

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="a kill that leaves no time for anything, on POSIX only")
START = "format = 1\n[engine]\ncylinders = 1\n"
HEADER = {"step": "chamber", "cylinder": 1, "instrument": "burette 50 ml class B"}
CALLS = ("open", "write", "fsync", "close", "chmod", "replace")
FAULTS = (errno.ENOSPC, errno.EIO, errno.EACCES)
# Says on its output what was confirmed, and dies at the operation of the given number: before it is done,
# halfway through it (a write takes half), or right after it.
SAVER = """
import os, sys
from pathlib import Path
from ccassist.job import disk
from ccassist.job.write import JobFile

path, number, moment = Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
counted = 0

class Dying:
    def __getattr__(self, name):
        real = getattr(os, name)
        if name not in ("open", "write", "fsync", "close", "chmod", "replace"):
            return real
        def call(*given, **more):
            global counted
            counted += 1
            if counted != number:
                return real(*given, **more)
            if moment == "halfway" and name == "write":
                real(given[0], given[1][: len(given[1]) // 2])
            if moment == "after":
                real(*given, **more)
            os._exit(9)
        return call

with JobFile.open(path) as file:
    disk.os = Dying()
    for end in range(1, 4):
        file.add_reading({"step": "chamber", "cylinder": 1}, {"start": "0 ml", "end": f"4{end}.0 ml"})
        os.write(1, f"4{end}.0 ml\\n".encode())
    print(counted, file=sys.stderr)
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job without readings."""
    path = tmp_path / "head.toml"
    path.write_text(START, encoding="utf-8")
    return path


def ends(path: Path) -> list[str]:
    """The readings that stand in the file, which must be a whole one."""
    series = tomllib.loads(path.read_text(encoding="utf-8")).get("series", [])
    return [row["end"] for block in series for row in block["readings"]]


def saver(path: Path, number: int, moment: str) -> subprocess.CompletedProcess[str]:
    """Save three readings in a process of its own, which dies at one operation; number 0 lets it live."""
    given = [sys.executable, "-c", SAVER, str(path), str(number), moment]
    return subprocess.run(given, capture_output=True, text=True, timeout=60, check=False)


@POSIX
def test_killed_at_every_operation_nothing_confirmed_is_lost(path: Path) -> None:
    alive = saver(path, 0, "before")
    operations = int(alive.stderr)
    assert operations >= 3 * len(CALLS)
    of_one_save = operations // 3
    for number in range(of_one_save + 1, 2 * of_one_save + 1):  # the second of the three saves
        for moment in ("before", "halfway", "after"):
            path.write_text(START, encoding="utf-8")
            died = saver(path, number, moment)
            confirmed = died.stdout.split("\n")[:-1]
            assert died.returncode == 9
            assert confirmed == ["41.0 ml"]
            assert ends(path) in (["41.0 ml"], ["41.0 ml", "42.0 ml"])
            with JobFile.open(path) as file:  # the next one finds no lock, no litter, and goes on
                file.add_reading(HEADER, {"start": "0 ml", "end": "45.0 ml"})
            assert ends(path)[-1] == "45.0 ml"
            assert [p.name for p in path.parent.iterdir()] == [path.name]


class Failing:
    """The calls of the disk, of which the one of the given number is refused."""

    def __init__(self, number: int, fault: int) -> None:
        self.number, self.fault, self.counted = number, fault, 0

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        if name not in CALLS:
            return real

        def call(*given: Any, **more: Any) -> Any:
            self.counted += 1
            if self.counted == self.number:
                if name == "close":
                    real(*given, **more)  # a failed close lets go of the handle all the same (Linux close(2))
                raise OSError(self.fault, os.strerror(self.fault))
            return real(*given, **more)

        return call


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("number", range(1, 13))  # a save takes at most a dozen operations
def test_refused_at_every_operation_the_old_or_the_new_file_stands(
    path: Path, monkeypatch: pytest.MonkeyPatch, number: int, fault: int
) -> None:
    with JobFile.open(path) as file:
        file.add_reading(HEADER, {"start": "0 ml", "end": "41.0 ml"})
        refused = ""
        with monkeypatch.context() as patch:
            patch.setattr(disk, "os", Failing(number, fault))
            try:
                file.add_reading(HEADER, {"start": "0 ml", "end": "42.0 ml"})
            except InputError as said:
                refused = str(said)
        assert ends(path) == (["41.0 ml"] if refused else ["41.0 ml", "42.0 ml"])
        if refused:  # what was not saved is repeated in the one line that says why
            assert os.strerror(fault) in refused
            assert "not saved: start = 0 ml, end = 42.0 ml" in refused
        file.add_reading(HEADER, {"start": "0 ml", "end": "43.0 ml"})
    assert ends(path)[-1] == "43.0 ml"
    assert [p.name for p in path.parent.iterdir()] == [path.name]
