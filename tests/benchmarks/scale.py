"""How long a very large job takes: processor seconds, and whether they grow in step with the readings.

Run from the project's folder, in an environment with the package installed:

    python -m tests.benchmarks.scale [MOST]

Sixteen cylinders, half of the readings chambers by syringe, half decks by dial.
"""

from __future__ import annotations

import datetime
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from ccassist.guide.keeping import post
from ccassist.guide.step import begin
from ccassist.guide.view import Action
from ccassist.job.write import JobFile

ROOT = Path(__file__).resolve().parents[2]
CYLINDERS, SEED = 16, 3
SIZES = (1200, 2400, 4800, 9600)
HEAD = f"""format = 1

[job]
name = "Sixteen of one kind"

[engine]
cylinders = {CYLINDERS}
bore = "93.7 +/- 0.01 mm, measured"
stroke = "88.3 +/- 0.02 mm, measured"
rod_length = "147.3 mm, maker's figure"
crown_volume = "reliefs 4.3 +/- 0.3 cc, maker's figure"

[wanted]
static_ratio = "8.4 to 8.9"

[part.head]
kind = "head"
cylinders = {list(range(1, CYLINDERS + 1))}

[part.gasket]
kind = "gasket"
gasket_bore = "95.1 +/- 0.1 mm, measured"
gasket_thickness = "1.13 +/- 0.02 mm, measured"

[instrument."shop syringe"]
like = "syringe 60 ml"
resolution = "0.5 ml"
permissible_error = "0.6 ml"
"""
CHAMBER = """
[[series]]
step = "chamber"
cylinder = {0}
instrument = "shop syringe"
fluid = "white spirit"
temperature = "20 degC"
plug = "fitted"
hole = "filled"
hole_diameter = "6.4 mm"
plate_thickness = "6.4 mm"
readings = [
"""
DECK = """
[[series]]
step = "deck"
cylinder = {0}
instrument = "dial indicator"
readings = [
"""


def job(readings: int) -> str:
    """A job file with so many readings."""
    chance, each = random.Random(SEED), readings // CYLINDERS // 2
    text = [HEAD]
    for cylinder in range(1, CYLINDERS + 1):
        rest = 6 + chance.uniform(-1, 1)
        fills = [
            f'{{ full = 1, each = "60 ml", rest = "{_step(rest, 0.15, 0.5, chance)[:-1]} ml" }}' for _ in range(each)
        ]
        decks = [
            f'{{ front = "{_step(0.23, 0.01, 0.01, chance)} mm below deck",'
            f' rear = "{_step(0.22, 0.01, 0.01, chance)} mm below deck" }}'
            for _ in range(each)
        ]
        for head, rows in ((CHAMBER, fills), (DECK, decks)):
            text += [head.format(cylinder), *(f"    {row},\n" for row in rows), "]\n"]
    return "".join(text)


def _step(middle: float, scatter: float, step: float, chance: random.Random) -> str:
    """A reading to the nearest line."""
    return f"{step * round(chance.gauss(middle, scatter) / step):.2f}"


def taken(*words: str) -> float:
    """Processor seconds of one command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    quiet = subprocess.DEVNULL
    subprocess.run([sys.executable, "-m", "ccassist", *words], cwd=ROOT, stdout=quiet, stdin=quiet, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def in_the_guide(path: Path) -> float:
    """Processor seconds of a reading in a sitting that has begun, until it is saved and told."""
    now = datetime.datetime(2026, 11, 3, 10)
    with JobFile.open(path) as file:
        state, _ = begin(file.text, str(path), step="deck", cylinder=3)
        for reading in range(3):
            before = time.process_time()
            for depth in ("0.22 mm below deck", f"0.2{reading + 2} mm below deck"):
                state, _ = post(state, Action.SAY, depth, file, now=now)
    return time.process_time() - before


def main(most: int) -> None:
    print(f"{'readings':>8}  {'show':>6}  {'record':>6}  {'guide':>6}  {'worksheet --all':>15}   [s of processor time]")
    with tempfile.TemporaryDirectory() as folder:
        for size in (one for one in SIZES if one <= most):
            path = Path(folder) / f"{size}.toml"
            path.write_text(job(size), encoding="utf-8")
            show = taken("show", str(path))
            deck = ("deck", "front=0.22 mm below deck", "rear=0.23 mm below deck", "--cylinder", "3")
            record = taken("record", str(path), *deck, "--instrument", "dial indicator")
            sheet = taken("worksheet", str(path), "--all", "--force", "--out", str(path.with_suffix(".pdf")))
            print(f"{size:>8}  {show:6.2f}  {record:6.2f}  {in_the_guide(path):6.2f}  {sheet:15.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else SIZES[-1])
