"""Prints the table, and ends with 1 where an interval does not keep its promise; see the package's own words."""

from __future__ import annotations

import math
import sys

from .methods import METHODS
from .tally import ENOUGH, FULL, Line, tally


def unit_of(line: Line) -> tuple[str, float]:
    """The unit a line is printed in, and how many of it are one of SI."""
    if line.method.startswith("ratio"):
        return "", 1.0
    if line.method.startswith(("deck", "stroke", "drop")) or line.quantity in ("gasket bore", "gasket thickness"):
        return "mm", 1e3
    return "cc", 1e6


def remark(line: Line) -> str:
    """What is to be said of a line."""
    faults = {"too few hold": line.low, "too many hold": line.high, "biased": line.biased, "width": line.off}
    said = [f"FAILS: {word}" for word, wrong in faults.items() if wrong]
    if line.generous:
        said.append(f"generous: {line.generous}")
    if line.few:
        said.append("under four degrees, with what is declared")
    if line.stated < line.jobs:
        said.append(f"{100 * (1 - line.stated / line.jobs):.1f} % refuted")
    return "; ".join(said)


def row(line: Line) -> str:
    """One line as text."""
    name = f"{line.method:<31}{line.quantity:<17}{line.jobs:>6}"
    if not line.stated:
        return f"{name}  no ± is stated: fewer than {ENOUGH} degrees of freedom, none declared"
    unit, size = unit_of(line)
    dof = f"{line.dof:.0f}" if math.isfinite(line.dof) else "∞"
    return (
        f"{name}{100 * line.coverage:>8.1f}{line.expanded * size:>9.4f} {unit:<3}{line.width:>6.2f}"
        f"{line.bias / line.expanded:>+7.3f}{100 * line.top:>7.0f}{dof:>6}  {remark(line)}"
    ).rstrip()


def main(jobs: int = FULL, workers: int = 2, *methods: str) -> int:
    """Print every line; 1 where one fails."""
    print(
        f"{'method':<31}{'quantity':<17}{'jobs':>6}{'held %':>8}{'mean U':>9}    {'width':>6}"
        f"{'bias/U':>7}{'rect %':>7}{'dof':>6}"
    )
    failed = False
    for line in tally(jobs, methods or METHODS, workers):
        print(row(line), flush=True)
        failed |= "FAILS" in remark(line)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in sys.argv[1:3]), *sys.argv[3:]))
