"""Two writers on a disk without locks: the lock file itself keeps them apart, and one left behind blocks no one.

Common practice, no source: a file made with O_EXCL is made by one only (POSIX open(): The Open Group Base
Specifications).
"""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from ccassist.job import lock
from ccassist.job.lock import Lock
from ccassist.job.write import JobFile
from ccassist.values.findings import InputError

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="processes are asked after on POSIX only")
START = "format = 1\n[engine]\ncylinders = 1\n"
# Opens the file again and again until it may, adds its readings one a time, and says what was confirmed.
WRITER = """
import errno, fcntl, sys, time
def none(*given): raise OSError(errno.ENOLCK, "no locks available")
fcntl.flock = none
from ccassist.values.findings import InputError
from ccassist.job.write import JobFile
path, who, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
done = 0
until = time.monotonic() + 60
while done < count and time.monotonic() < until:
    try:
        with JobFile.open(path) as file:
            file.add_reading({"step": "chamber", "cylinder": 1}, {"start": "0 ml", "end": f"4{who}.{done} ml"})
    except InputError as fault:
        assert {f.code for f in fault.findings} <= {"in-use"}, fault
        time.sleep(0.003)
        continue
    print(f"4{who}.{done} ml", flush=True)
    done += 1
"""


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Refused at once, where no test is about the wait."""
    monkeypatch.setattr(lock, "WAIT", 0.0)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "head.toml"
    made.write_text(START, encoding="utf-8")
    return made


@pytest.fixture
def no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*given: object) -> None:
        raise OSError(errno.ENOLCK, "no locks available")

    monkeypatch.setattr(lock.fcntl, "flock", refuse)


def left(path: Path, text: str) -> Path:
    """A lock file that somebody left beside a job file."""
    beside = path.with_name(f".{path.name}.lock")
    beside.write_text(text, encoding="utf-8")
    return beside


def dead_process() -> int:
    """The number of a process of this machine that has ended."""
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        pass
    return process.pid


@pytest.mark.usefixtures("no_locks")
class TestWithoutLocks:
    def test_the_second_is_refused_and_told_who(self, path: Path) -> None:
        with (
            JobFile.open(path),
            pytest.raises(InputError, match=rf"process {os.getpid()}\) has this file open"),
        ):
            JobFile.open(path)
        JobFile.open(path).close()
        assert [p.name for p in path.parent.iterdir()] == ["head.toml"]

    def test_one_left_by_a_dead_process_of_this_machine_is_taken_over(self, path: Path) -> None:
        left(path, f"Ida on {lock._host()} (process {dead_process()}, started 12)")
        JobFile.open(path).close()
        assert [p.name for p in path.parent.iterdir()] == ["head.toml"]

    def test_a_process_of_the_same_number_that_started_later_is_another(self, path: Path) -> None:
        left(path, f"Ida on {lock._host()} (process {os.getppid()}, started 1)")
        JobFile.open(path).close()

    def test_one_that_runs_is_never_taken_over(self, path: Path) -> None:
        said = f"Ida on {lock._host()} (process {os.getppid()}, started {lock._started(os.getppid())})"
        beside = left(path, said)
        for told in (False, True):
            with pytest.raises(InputError, match=r"Ida on .* has this file open for writing") as caught:
                JobFile.open(path, take_over=told)
            assert "--take-over" not in str(caught.value)
        assert beside.read_text(encoding="utf-8") == said

    @pytest.mark.parametrize("said", ["Ida on another-bench (process 1, started 5)", "scribble", ""])
    def test_of_another_machine_only_when_told_to(self, path: Path, said: str) -> None:
        beside = left(path, said)
        with pytest.raises(InputError, match="if that is over, add --take-over"):
            JobFile.open(path)
        assert beside.read_text(encoding="utf-8") == said
        with JobFile.open(path, take_over=True) as file:
            file.add_reading({"step": "chamber", "cylinder": 1}, {"start": "0 ml", "end": "41.0 ml"})
        assert [p.name for p in path.parent.iterdir()] == ["head.toml"]

    def test_who_lost_it_saves_no_more_and_says_what_was_not_saved(self, path: Path) -> None:
        file = JobFile.open(path)
        left(path, "Ida on another-bench (process 1, started 5)")  # taken over from there
        with pytest.raises(
            InputError, match=r"another machine has taken over .*not saved: start = 0 ml, end = 41.0 ml"
        ):
            file.add_reading({"step": "chamber", "cylinder": 1}, {"start": "0 ml", "end": "41.0 ml"})
        file.close()
        assert path.with_name(".head.toml.lock").exists()  # the other's
        assert path.read_text(encoding="utf-8") == START


def test_every_confirmation_of_several_writers_is_in_the_file(path: Path) -> None:
    """Three processes at once, each reading confirmed to its writer: none is lost, none is there twice."""
    started = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(path), str(who), "6"], stdout=subprocess.PIPE, text=True)
        for who in (1, 2, 3)
    ]
    confirmed = [line for process in started for line in process.communicate(timeout=120)[0].split("\n") if line]
    blocks = tomllib.loads(path.read_text(encoding="utf-8"))["series"]
    assert len(confirmed) == 18
    assert sorted(row["end"] for block in blocks for row in block["readings"]) == sorted(confirmed)


def test_a_lock_file_says_user_machine_process_and_start(path: Path) -> None:
    held = Lock(path)
    found = re.fullmatch(lock._HOLDER, held.path.read_text(encoding="utf-8"))
    assert found is not None
    assert (found["host"], int(found["process"])) == (lock._host(), os.getpid())
    assert found["started"] == lock._started(os.getpid())
    held.release()
    assert not held.path.exists()


# Holds the file for a while, then lets go, or never.
HOLDER = """
import sys, time
from ccassist.job.write import JobFile
with JobFile.open(sys.argv[1]):
    print("held", flush=True)
    time.sleep(float(sys.argv[2]))
"""


@pytest.mark.parametrize(("held", "had"), [(0.3, True), (60.0, False)])
def test_a_save_under_way_is_waited_for_and_a_sitting_is_not(
    path: Path, monkeypatch: pytest.MonkeyPatch, held: float, had: bool
) -> None:
    monkeypatch.setattr(lock, "WAIT", 30.0 if had else 0.1)
    with subprocess.Popen([sys.executable, "-c", HOLDER, str(path), str(held)], stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        if had:
            JobFile.open(path).close()
        else:
            with pytest.raises(InputError, match=rf"process {holder.pid}\) has this file open .*, still after 0.1 s"):
                JobFile.open(path)
        holder.kill()
