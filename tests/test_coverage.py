"""Whether stated intervals hold the truth: the quick version of ``python -m tests.benchmarks.coverage``.

The simulator is not the package: it has its own physics (see its modules for
their sources).  60 jobs a method, always the same ones; what is asked is
what the full table promises, give or take three standard deviations of a
binomial count.
"""

from __future__ import annotations

import ast
import math
from pathlib import Path

import pytest

from tests.benchmarks.coverage.methods import METHODS
from tests.benchmarks.coverage.tally import Line, tally

JOBS = 60
SIMULATOR = ("tools.py", "fluids.py", "written.py", "fills.py", "engines.py", "methods.py")
FOLDER = Path(__file__).parent / "benchmarks" / "coverage"


@pytest.mark.parametrize("name", SIMULATOR)
def test_the_simulator_is_independent(name: str) -> None:
    """Its truths and instruments take no declaration and no formula from what they judge."""
    tree = ast.parse((FOLDER / name).read_text(encoding="utf-8"))
    plain = [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    from_where = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    assert [module for module in plain + from_where if "ccassist" in module] == []


@pytest.mark.slow
@pytest.mark.parametrize("method", [name for name in METHODS if "hand ×" not in name or name.endswith("× 1.5")])
def test_intervals_keep_their_promise(method: str) -> None:
    """Never under 93 %, over 97.5 % only for a reason that is told, and no bias."""
    for line in tally(JOBS, [method]):
        told = f"{line.method}, {line.quantity}: {line.held} of {line.stated} hold"
        assert not line.low, told
        assert not line.high, told
        assert not line.biased, f"{told}; mean error {line.bias:.3g} for ± {line.expanded:.3g}"


@pytest.mark.slow
def test_nothing_is_stated_under_four_degrees() -> None:
    """Two fills of two chambers say too little of the scatter: no ± unless one is declared."""
    found = tally(10, ["burette, 2 fills × 2", "declared scatter, 2 fills × 2"])
    assert {(line.method, line.stated) for line in found} == {
        ("burette, 2 fills × 2", 0),
        ("declared scatter, 2 fills × 2", 10),
    }


def line(held: int, *, expanded: float = 1.0, bias: float = 0.0, top: float = 0.1, jobs: int = 2000) -> Line:
    """A line of the full table."""
    return Line(
        method="burette, 3 fills × 4",
        quantity="chamber",
        jobs=jobs,
        stated=jobs,
        held=held,
        expanded=expanded,
        bias=bias,
        top=top,
        dof=8.0,
    )


def test_the_judge_sees_faults() -> None:
    """Too few, too many and a bias are each found; a rectangle explains too many, nothing explains too few."""
    assert line(1859).low
    assert not line(1860).low
    assert line(1951).high
    assert not line(1950).high
    assert not line(2000, top=0.6).high
    assert line(1859, top=0.6).low
    assert line(1900, bias=0.101).biased
    assert not line(1900, bias=-0.099).biased
    assert math.isnan(line(0, jobs=0).coverage)
