"""Every command that writes, killed before, halfway through and after each of its operations on the disk.

Run from the project's folder, in an environment with the package installed, on a POSIX system:

    python -m tests.benchmarks.kills
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.job.kills import MOMENTS
from tests.job.test_save_interrupted import RUNS, faults_of


def main() -> None:
    """Print what goes wrong, command by command."""
    for name in RUNS:
        with tempfile.TemporaryDirectory() as above:
            folder = Path(above) / "bench"
            folder.mkdir()
            found = faults_of([name], folder, MOMENTS)
        print(f"{name:<22} {'held' if not found else f'{len(found)} faults'}")
        for fault in found:
            print(f"    {fault}")


if __name__ == "__main__":
    main()
