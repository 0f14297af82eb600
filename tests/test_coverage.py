"""Whether stated intervals hold the truth: the quick version of ``python -m tests.benchmarks.coverage``.

The simulator is not the package: it has its own physics (see its modules for
their sources).  48 jobs a method, always the same ones; what is asked is
what the full table promises, give or take three standard deviations of a
binomial count.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random
from statistics import pstdev

import pytest

from tests.benchmarks.coverage import tools
from tests.benchmarks.coverage.methods import METHODS
from tests.benchmarks.coverage.tally import Line, Outcome, line_of, tally

JOBS = 48
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
        assert not line.off, f"{told}; the ± is {line.width:.2f} of what its errors ask"


@pytest.mark.slow
def test_nothing_is_stated_under_four_degrees() -> None:
    """Two fills of two chambers say too little of the scatter: no ± unless one is declared."""
    found = tally(10, ["burette, 2 fills × 2", "declared scatter, 2 fills × 2"])
    assert {(line.method, line.stated) for line in found} == {
        ("burette, 2 fills × 2", 0),
        ("declared scatter, 2 fills × 2", 10),
    }


def line(
    held: int,
    *,
    expanded: float = 1.0,
    bias: float = 0.0,
    top: float = 0.1,
    rms: float = 0.5,
    jobs: int = 2000,
    method: str = "burette, 3 fills × 4",
) -> Line:
    """A line of the full table."""
    return Line(
        method=method,
        quantity="chamber",
        jobs=jobs,
        stated=jobs,
        held=held,
        expanded=expanded,
        bias=bias,
        top=top,
        dof=8.0,
        rms=rms,
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


def test_the_judge_sees_a_width_that_is_off() -> None:
    """Sisters whose ± is 1.7 times what their errors ask, as where rounding that averages was charged whole."""
    assert line(1900, expanded=1.7).off
    assert line(1900, expanded=0.85).off
    assert not line(1900, expanded=1.29).off
    assert not line(1900, expanded=0.91).off
    assert not line(1900, expanded=1.7, top=0.6).off
    assert not line(1900, expanded=1.7, method="burette with a refill").off
    assert line(57, expanded=1.8, jobs=60).off
    assert not line(57, expanded=1.6, jobs=60).off  # by chance


def test_a_line_says_its_errors() -> None:
    """Errors of 3 and 4: the root of the mean of their squares."""
    made = [
        Outcome(method="m", quantity="q", truth=0.0, value=v, expanded=7.0, top=0.1, dof=8.0, few=False)
        for v in (3.0, -4.0)
    ]
    assert line_of(made).rms == pytest.approx(math.sqrt(12.5))
    assert line_of(made).width == pytest.approx(7 / math.sqrt(50))


LIMITS = Random("limits")
DRAWN: dict[str, tuple[float, Callable[[], float]]] = {
    "burette": (0.1, lambda: delivery(tools.burette(LIMITS, 45.0), 45.0)),
    "syringe": (2.4, lambda: delivery(tools.syringe(LIMITS), 60.0)),
    "scale 0.1 g": (0.1, lambda: net(replace(tools.balance(LIMITS, 0.1, full=430, use=45), step=0))),
    "scale 1 g": (1.0, lambda: net(replace(tools.balance(LIMITS, 1.0, full=430, use=45), step=0))),
    "bore gauge": (0.010, lambda: length(tools.bore_gauge(LIMITS, 83.4), 83.4)),
    "caliper": (0.03, lambda: length(tools.caliper(LIMITS, 80.0), 80.0)),
    "micrometer": (0.004, lambda: length(tools.micrometer(LIMITS, 1.2, 0.001), 1.2)),
    "dial, at the deck": (0.008, lambda: length(tools.dial(LIMITS, 0.25), 0.25)),
    "dial, over a travel": (0.015, lambda: length(tools.dial(LIMITS, 4.4), 4.4)),
}


def delivery(scale: tools.Scale, use: float) -> float:
    """Error of a delivery from nought, ml."""
    return scale.delivered(0.0, use, 20.0) - use


def net(scale: tools.Balance) -> float:
    """Error of the usual net load, g."""
    return scale.read(scale.full) - scale.read(scale.full - scale.use) - scale.use


def length(gauge: tools.Gauge, at: float) -> float:
    """Error of a reading that is neither scattered nor rounded, mm."""
    return replace(gauge, step=0, repeats=0).read(at, LIMITS) - at


@pytest.mark.parametrize("tool", DRAWN)
def test_a_tool_is_drawn_over_the_whole_of_its_limit(tool: str) -> None:
    """At what it is used for: never beyond, and spread as a rectangle is (L/√3), with as much at its ends as elsewhere.

    The waviness in what is left to the limit adds a twentieth.
    """
    limit, draw = DRAWN[tool]
    errors = [draw() for _ in range(4000)]
    assert max(map(abs, errors)) <= limit * (1 + 1e-9)
    assert pstdev(errors) == pytest.approx(limit / math.sqrt(3), rel=0.08)
    assert sum(abs(e) > 0.8 * limit for e in errors) / len(errors) == pytest.approx(0.2, abs=0.05)
