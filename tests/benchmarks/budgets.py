"""Cold-start budgets, as ratios measured in one run on one machine.

Run from the project's folder, in an environment with the package installed:

    python tests/benchmarks/budgets.py [RUNS]

Each command is timed as a whole process against a bare import of the
libraries that it cannot do without; both are run turn and turn about, and
the medians compared.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TYPER = "import typer, rich.console"
PINT = "import typer, rich.table, uncertainties, tomlkit, pint; pint.UnitRegistry()('1 mm')"
SYMPY = "import typer, sympy, pint; pint.UnitRegistry()('1 mm')"
ASKED = ("--for", "crown_volume", "--to", "static_ratio=8.5")
PAPER = "import reportlab.platypus"


def seconds(command: list[str], **more: object) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    quiet = subprocess.DEVNULL
    subprocess.run(command, stdout=quiet, stderr=quiet, stdin=quiet, check=False, **more)
    return time.perf_counter() - start


def bare(statement: str) -> list[str]:
    """A process that only imports."""
    return [sys.executable, "-c", statement]


def tool(*words: str) -> list[str]:
    """A process that runs the program."""
    return [sys.executable, "-m", "ccassist", *words]


def paired(command: list[str], base: list[str], runs: int) -> tuple[float, float]:
    """Medians of a command and of its base, run alternately."""
    mine, theirs = [], []
    for _ in range(runs):
        mine.append(seconds(command, cwd=ROOT))
        theirs.append(seconds(base, cwd=ROOT))
    return statistics.median(mine), statistics.median(theirs)


def eight_cylinders(folder: Path) -> Path:
    """An eight-cylinder job with 200 readings."""
    text = (ROOT / "examples" / "v8-heads.toml").read_text(encoding="utf-8")
    rows = [f'    {{ full = 1, each = "60 ml", rest = "{3 + (i % 5) / 10:.1f} ml" }},' for i in range(21)]
    for cylinder in range(1, 9):
        text += (
            f'\n[[series]]\nstep = "chamber"\ncylinder = {cylinder}\nstate = "opened"\ninstrument = "shop syringe"\n'
            f'fluid = "white spirit"\nhole = "not filled"\nreadings = [\n' + "\n".join(rows) + "\n]\n"
        )
    path = folder / "eight.toml"
    path.write_text(text, encoding="utf-8")
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
    job, pdf = eight_cylinders(folder), str(folder / "out.pdf")
    four = str(ROOT / "examples" / "turbo-four.toml")
    show, pint = paired(tool("show", str(job)), bare(PINT), runs)
    rows = [
        ("--help", *paired(tool("--help"), bare(TYPER), runs), 2.0),
        ("guide to its first prompt", *paired(tool("guide", str(job)), bare(TYPER), runs), 2.0),
        ("show, 8 cylinders, 200 readings", show, pint, 1.5),
        ("check, 8 cylinders, 200 readings", *paired(tool("check", str(job)), bare(PINT), runs), 1.5),
        ("solve", *paired(tool("solve", four, *ASKED), bare(SYMPY), runs), 1.5),
    ]
    paper = statistics.median(seconds(bare(PAPER)) for _ in range(runs))
    sheet = statistics.median(seconds(tool("worksheet", str(job), "--out", pdf)) for _ in range(max(3, runs // 2)))
    rows.append(("worksheet, 8 cylinders (against 3 × its base + 1.5 × show's)", sheet, 3 * paper + 1.5 * pint, 1.0))
    rows.append(("saving a reading, 200 readings", *saving(job, 5 * runs), 5.0))
    for name, mine, base, budget in rows:
        verdict = "met" if mine <= budget * base else "OVER"
        print(f"{name:<62} {1000 * mine:7.1f} ms  ratio {mine / base:5.2f}  budget {budget:4.1f}  {verdict}")
    shutil.rmtree(folder)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
