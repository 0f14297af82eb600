"""What a piece of work loads, each in an interpreter of its own: nothing heavy before it is needed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.sound_job import SOUND
from tests.trade_c1 import C1_TEXT, si

NUMBERS = ("uncertainties", "numpy", "sympy", "mpmath", "scipy", "pint")
PAPER = ("reportlab", "pypdf")
SCREEN = ("typer", "rich")
ROOT = Path(__file__).parents[1]
COMMANDS = tuple(f"ccassist.cli.{name}" for name in ("app_bench", "app_engine", "phone", "app_plan"))


def running(*words: str) -> str:
    """The command, with the job file where FILE stands."""
    said = ", ".join("FILE" if word == "FILE" else repr(word) for word in words)
    return (
        f"from ccassist.cli.app import main\nsys.argv = ['ccassist', {said}]\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
    )


CASES = {
    "the package": ("import ccassist", (*NUMBERS, *PAPER, *SCREEN, "tomlkit")),
    "values and engine": (
        "import ccassist.values.measured, ccassist.values.statement, ccassist.values.verdict, ccassist.engine.model\n"
        "from ccassist.values.display import METRIC\n"
        "METRIC.show('bore', 0.080), METRIC.number('bore', 0.080)",
        NUMBERS,
    ),
    "the plan of the bench": (
        "from ccassist.job.file import load\nfrom ccassist.guide.walk import plan\nplan(load(FILE).job)",
        (*NUMBERS, *PAPER),
    ),
    "a number found by trial": (  # a plan over many parts never pays for algebra
        "from ccassist.solve.solver import solve\nfrom ccassist.engine.model import Choices\n"
        f"solve({si(C1_TEXT)!r}, Choices(), unknowns=['crown_volume'], targets={{'static_ratio': 8.9}}, algebra=False)",
        ("sympy",),
    ),
    "one burn and its knock integral": (
        f"sys.path.insert(0, {str(ROOT)!r})\nfrom tests.knock_builds import build\n"
        "from ccassist.boost import knock, knock_charge, knock_compare\nknock.knock_integral(build(9.5, 0.6))",
        (*NUMBERS, *SCREEN),
    ),
    "the list of commands": (running("--help"), (*NUMBERS, *PAPER, *COMMANDS, "rich", "ccassist.boost")),
    "the help of one": (running("boost", "--help"), (*NUMBERS, *PAPER, *COMMANDS[:-1], "rich")),
    "show": (running("show", "FILE"), ("pint", "sympy", *PAPER)),
    "check": (running("check", "FILE"), ("pint", "sympy", *PAPER)),
    "record": (
        running("record", "FILE", "chamber", "--cylinder", "1", "--state", "seats cut", "start=0", "end=46.3"),
        ("pint", "sympy", *PAPER),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_it_loads_none_of_these(case: str, tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(SOUND, encoding="utf-8")
    code, names = CASES[case]
    code = f"import sys\nFILE = {str(file)!r}\n{code}\nassert not [m for m in {names!r} if m in sys.modules]"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
