"""The boost map against its budgets: a grid of full knock integrals, and a point of it against SciPy.

Run from the project's folder, in an environment with the package and its test extra installed:

    python -m tests.benchmarks.boost_map [RUNS]

SciPy's solve_ivp gets the same equations as one system, coded separately in
``tests/references/test_knock_solver.py``, with heat capacities from the same
table as the map, and the loosest tolerance of LSODA and RK45 that is not less
accurate in the knock integral than the map is (largest error over a few builds,
against DOP853 at 1e-12); the faster of the two counts.
"""

from __future__ import annotations

import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable

import numpy as np

from ccassist.boost.burn_case import Case, floats, gases, row_at
from ccassist.boost.knock import knock_integral
from ccassist.boost.knock_charge import boost_map
from tests.knock_builds import build
from tests.references.test_knock_solver import Reference

SIDE, SECONDS, TIMES = 100, 3.0, 50.0
METHODS = ("LSODA", "RK45")
TOLERANCES = [10.0**-power for power in np.arange(2, 11.01, 0.5)]
BASELINE = build(9.0, 0.6)
SAMPLE = [build(ratio, boost) for ratio in (7.5, 9.5, 11.5) for boost in (0.0, 1.0, 1.8)]


class Row:
    """Heat capacities of one mixture from the table."""

    def __init__(self, residual: float) -> None:
        self.charge, self.residual, self.m = gases("iso-octane", 1 / 0.88, floats()), residual, floats()
        self.gas_constant = self.charge.constant(residual)

    def cp(self, temperature: float) -> float:
        """[K] -> [J/(kg K)]."""
        return float(self.charge.heat_capacity(row_at(temperature, m=self.m), self.residual))

    def enthalpy(self, temperature: float) -> float:
        """[K] -> [J/kg], counted from the internal energy of the burned gas there."""
        heat = float(self.charge.heat_of_burning(row_at(temperature, m=self.m)))
        return (1 - self.residual) * heat + self.gas_constant * temperature

    def gamma(self, temperature: float) -> float:
        """[K] -> ratio."""
        heat = self.cp(temperature)
        return heat / (heat - self.gas_constant)


def quick(case: Case) -> Reference:
    """The reference with tables."""
    system = Reference(case)
    system.fresh, system.burned, system.charge = Row(0.0), Row(1.0), Row(case.operating.residual)
    return system


def the_map() -> object:
    """The whole grid."""
    return boost_map(
        BASELINE, lambda boost, ratio: build(ratio, boost), np.linspace(0, 2, SIDE), np.linspace(7, 13, SIDE)
    )


def seconds(work: Callable[[], object]) -> float:
    """Wall time of one go."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def error(found: list[float], exact: list[float]) -> float:
    """Largest relative error of a list of integrals."""
    return max(abs(one / other - 1) for one, other in zip(found, exact, strict=True))


def as_accurate(method: str, exact: list[float], limit: float) -> tuple[float, float]:
    """Loosest tolerance at which a method is within the limit, and its error there."""
    for tolerance in TOLERANCES:
        got = error([quick(case).solve(method, tolerance)[2] for case in SAMPLE], exact)
        if got <= limit:
            return tolerance, got
    raise SystemExit(f"{method} is nowhere as accurate as the map")


def main(runs: int = 5) -> None:
    """Print the table."""
    exact = [float(quick(case).solve("DOP853", 1e-12)[2]) for case in SAMPLE]
    own = error([knock_integral(case) for case in SAMPLE], exact)
    chosen = {method: as_accurate(method, exact, own) for method in METHODS}
    the_map()
    maps, plain = [], []
    theirs: dict[str, list[float]] = {method: [] for method in METHODS}
    for _ in range(runs):
        maps.append(seconds(the_map))
        plain.append(seconds(lambda: [knock_integral(case) for case in SAMPLE]) / len(SAMPLE))
        for method, (tolerance, _) in chosen.items():
            work = [lambda c=case, m=method, t=tolerance: quick(c).solve(m, t) for case in SAMPLE]
            theirs[method].append(sum(map(seconds, work)) / len(SAMPLE))
    tracemalloc.start()
    the_map()
    peak = tracemalloc.get_traced_memory()[1] / 2**20
    tracemalloc.stop()
    whole, point = statistics.median(maps), statistics.median(maps) / SIDE**2
    print(f"map {SIDE} x {SIDE}: {whole:.3f} s  budget {SECONDS} s  {'met' if whole <= SECONDS else 'OVER'}")
    print(
        f"at most {peak:.1f} MB; error of the integral {own:.1e}; plain floats {1e3 * statistics.median(plain):.2f} ms"
    )
    for method, (tolerance, got) in chosen.items():
        took = statistics.median(theirs[method])
        print(f"  {method} at {tolerance:.0e}: {1e3 * took:.2f} ms a point, error {got:.1e}, {took / point:.0f} times")
    times = min(map(statistics.median, theirs.values())) / point
    print(f"a point of the map {1e6 * point:.1f} us, {times:.0f} times as fast, budget {TIMES:.0f}  ", end="")
    print("met" if times >= TIMES else "OVER")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
