"""What is at the bottom of everything loads nothing heavy until a number needs it."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("uncertainties", "numpy", "sympy", "mpmath", "scipy", "pint")


def test_values_and_engine_load_no_library_of_numbers() -> None:
    code = (
        "import sys\n"
        "import ccassist.values.measured, ccassist.values.statement, ccassist.values.verdict, ccassist.engine.model\n"
        "from ccassist.values.display import METRIC\n"
        "METRIC.show('bore', 0.080), METRIC.number('bore', 0.080)\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
