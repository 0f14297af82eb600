"""Cold-start budgets, as ratios measured in one run on one machine.

Run from the project's folder, in an environment with the package installed:

    python -m tests.benchmarks.budgets [RUNS]

Each command is timed as a whole process, the guide up to its first prompt,
against a bare import of the libraries that it cannot do without; both are run
turn and turn about, and the medians compared.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.eight_job import eight

ROOT = Path(__file__).resolve().parents[2]
TYPER = "import typer, rich.console"
NUMBERS = "import typer, rich.console, uncertainties, tomlkit"
SYMPY = "import typer, sympy, uncertainties, tomlkit"
ASKED = ("--for", "crown_volume", "--to", "static_ratio=9.4")
PAPER = "import reportlab.platypus"
READING = ("chamber", "start=0.10 ml", "end=53.0 ml", "--cylinder", "3", "--instrument", "burette 100 ml class B")
SET_UP = ("--fluid", "water", "--setting", "plug=fitted", "--setting", "hole=not filled")
PROMPT = b"> "


def seconds(command: list[str]) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    quiet = subprocess.DEVNULL
    subprocess.run(command, stdout=quiet, stderr=quiet, stdin=quiet, check=True, cwd=ROOT)
    return time.perf_counter() - start


def bare(statement: str) -> list[str]:
    """A process that only imports."""
    return [sys.executable, "-c", statement]


def tool(*words: str) -> list[str]:
    """A process that runs the program."""
    return [sys.executable, "-m", "ccassist", *words]


def until_asked(command: list[str]) -> float:
    """Wall time of a process until it asks; then it is ended."""
    start, said = time.perf_counter(), b""
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL, cwd=ROOT) as process:
        assert process.stdout is not None
        while not said.endswith(PROMPT):
            more = os.read(process.stdout.fileno(), 4096)
            assert more, said.decode()
            said += more
        took = time.perf_counter() - start
        process.kill()
    return took


def paired(
    command: list[str], base: list[str], runs: int, timed: Callable[[list[str]], float] = seconds
) -> tuple[float, float]:
    """Medians of a command and of its base, run alternately; ``timed`` : how the command is."""
    mine, theirs = [], []
    timed(command)  # compiles what is not compiled yet
    for _ in range(runs):
        mine.append(timed(command))
        theirs.append(seconds(base))
    return statistics.median(mine), statistics.median(theirs)


def eight_cylinders(folder: Path) -> Path:
    """An eight-cylinder job with 200 readings."""
    path = folder / "eight.toml"
    path.write_text(eight(25), encoding="utf-8")
    return path


def saving(path: Path, runs: int) -> tuple[float, float]:
    """Medians of saving one more reading, and of a bare write + fsync + rename + folder fsync of the same bytes."""
    from ccassist.job.disk import write_text

    text = path.read_text(encoding="utf-8")
    mine, theirs = [], []
    for _ in range(runs):
        start = time.perf_counter()
        write_text(path, text)
        mine.append(time.perf_counter() - start)
        start = time.perf_counter()
        _bare_save(path.with_suffix(".bare"), text.encode())
        theirs.append(time.perf_counter() - start)
    return statistics.median(mine), statistics.median(theirs)


def _bare_save(path: Path, data: bytes) -> None:
    part = path.with_suffix(".part")
    with open(part, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    os.replace(part, path)
    folder = os.open(path.parent, os.O_RDONLY)
    os.fsync(folder)
    os.close(folder)


def main(runs: int = 9) -> None:
    """Print the table."""
    folder = Path(tempfile.mkdtemp())
    job, pdf = str(eight_cylinders(folder)), str(folder / "out.pdf")
    show, base = paired(tool("show", job), bare(NUMBERS), runs)
    rows = [
        ("--help", *paired(tool("--help"), bare(TYPER), runs), 1.4),
        ("guide to its first prompt", *paired(tool("guide", job), bare(TYPER), runs, until_asked), 1.4),
        ("show, 8 cylinders, 200 readings", show, base, 1.5),
        ("check, 8 cylinders, 200 readings", *paired(tool("check", job), bare(NUMBERS), runs), 1.5),
        ("record, the same", *paired(tool("record", job, *READING, *SET_UP), bare(NUMBERS), runs), 1.5),
        ("solve, the same", *paired(tool("solve", job, *ASKED), bare(SYMPY), runs), 1.5),
    ]
    paper = statistics.median(seconds(bare(PAPER)) for _ in range(runs))
    sheet = statistics.median(seconds(tool("worksheet", job, "--out", pdf)) for _ in range(max(3, runs // 2)))
    rows.append(("worksheet, 8 cylinders (against 3 × its base + 1.5 × show's)", sheet, 3 * paper + 1.5 * base, 1.0))
    rows.append(("saving a reading, 200 readings", *saving(Path(job), 5 * runs), 5.0))
    for name, mine, theirs, budget in rows:
        verdict = "met" if mine <= budget * theirs else "OVER"
        print(f"{name:<62} {1000 * mine:7.1f} ms  ratio {mine / theirs:5.2f}  budget {budget:4.1f}  {verdict}")
    shutil.rmtree(folder)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
