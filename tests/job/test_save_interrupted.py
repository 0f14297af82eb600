"""The program killed, or refused by the disk, at every file operation of a save.

What must hold (POSIX rename is atomic: The Open Group Base Specifications, rename()): the job file is
the old or the new one, whole, and every reading that was confirmed to the user is in it.
"""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from ccassist.job import disk
from ccassist.job.write import JobFile
from ccassist.values.findings import InputError
from tests.sound_job import SOUND, changed

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="a kill that leaves no time for anything, on POSIX only")
ROOT = Path(__file__).resolve().parents[2]
START = "format = 1\n[engine]\ncylinders = 1\n"
HEADER = {"step": "chamber", "cylinder": 1, "instrument": "burette 50 ml class B"}
CALLS = ("open", "write", "fsync", "close", "chmod", "replace")
FAULTS = (errno.ENOSPC, errno.EIO, errno.EACCES)
TABLE = "step,cylinder,instrument,start,end\nchamber,2,burette 50 ml class B,0.10 ml,46.6 ml\n"
FILL = (
    "chamber",
    "start=0.10 ml",
    "end=46.40 ml",
    "--cylinder",
    "1",
    "--instrument",
    "burette 50 ml class B",
    "--sure",
)
CHOICE = '[choice.gasket."{0}"]\ngasket_bore = "84.9 mm, measured"\ngasket_thickness = "{1} mm, measured"\n'
CHOICES = changed(("[part.gasket]", CHOICE.format("thin", "1.05") + CHOICE.format("thick", "1.55") + "[part.gasket]"))
DRAWN = START + '[part.ring]\nkind = "gasket"\n'
RING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    '<circle cx="100" cy="100" r="42.5"/></svg>'
)
# A command that writes: the job before it, its words, what is typed at it.
RUNS: dict[str, tuple[str, list[str], str]] = {
    "record": (SOUND, ["record", "job.toml", *FILL], ""),
    "record from a table": (SOUND, ["record", "job.toml", "--from", "../table.csv", "--sure"], ""),
    "new": ("", ["new", "job.toml", "--cylinders", "2", "--bore", "83.7 mm"], ""),
    "ratio": (
        "",
        [
            "ratio",
            "bore=83.7",
            "stroke=91.2",
            "chamber=47",
            "gasket=1.3",
            "below=0.2",
            "crown=flat",
            "--save",
            "job.toml",
        ],
        "",
    ),
    "guide": (SOUND, ["guide", "job.toml", "--step", "chamber", "--cylinder", "1"], "0.10 ml\n46.30 ml\nf\n"),
    "readings": (SOUND, ["readings", "job.toml", "--csv", "readings.csv"], ""),
    "combine": (CHOICES, ["combine", "job.toml", "--to", "static_ratio=9", "--keep", "1"], ""),
    "record from a drawing": (DRAWN, ["record", "job.toml", "gasket", "--from", "../ring.svg", "--sure"], ""),
    "combine to a table": (CHOICES, ["combine", "job.toml", "--to", "static_ratio=9", "--csv", "found.csv"], ""),
    "a report on paper": (CHOICES, ["combine", "job.toml", "--to", "static_ratio=9", "--pdf", "found.pdf"], ""),
    "worksheet": (SOUND, ["worksheet", "job.toml", "--force"], ""),
    "blank forms": ("", ["worksheet", "--blank", "--step", "chamber", "--out", "forms.pdf", "--force"], ""),
}
QUICK = ("record", "new", "guide", "combine")


@pytest.fixture
def path(tmp_path: Path) -> Iterator[Path]:
    """A job without readings; what the disk did not confirm of it is no word of the tests that follow."""
    path = tmp_path / "head.toml"
    path.write_text(START, encoding="utf-8")
    yield path
    disk.doubts()


def ends(path: Path) -> list[str]:
    """The readings that stand in the file, which must be a whole one."""
    series = tomllib.loads(path.read_text(encoding="utf-8")).get("series", [])
    return [row["end"] for block in series for row in block["readings"]]


def faults_of(runs: Iterable[str], folder: Path, moments: Sequence[str]) -> list[str]:
    """What goes wrong where commands are killed, looked for by a process that forks."""
    (folder.parent / "table.csv").write_text(TABLE, encoding="utf-8")
    (folder.parent / "ring.svg").write_text(RING, encoding="utf-8")
    asked = json.dumps({"folder": str(folder), "runs": [RUNS[one] for one in runs], "moments": moments})
    given = [sys.executable, "-m", "tests.job.kills"]
    done = subprocess.run(given, input=asked, capture_output=True, text=True, timeout=600, check=True, cwd=ROOT)
    found: list[str] = json.loads(done.stdout)
    return found


@POSIX
def test_killed_before_every_operation_the_file_is_the_old_or_the_new_one(tmp_path: Path) -> None:
    """Every moment of every operation of every command that writes: ``python -m tests.benchmarks.kills``."""
    folder = tmp_path / "bench"
    folder.mkdir()
    assert faults_of(QUICK, folder, ("before",)) == []


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
