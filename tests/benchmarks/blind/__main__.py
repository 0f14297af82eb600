"""``python -m tests.benchmarks.blind``: print the table of coverage."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor

from tests.benchmarks.blind.jobs import WAYS
from tests.benchmarks.blind.population import POPULATIONS
from tests.benchmarks.blind.tally import LINES, Line, Tally, run

_BLOCK = 50
_HEAD = (
    f"{'crowd':5} {'method':18} {'line':12} {'jobs':>5} {'none':>4} {'held %':>6} {'mean U':>8} {'mean |e|':>8} "
    f"{'bias/U':>7} {'rms e/U':>7} {'rect %':>6}  remark"
)


def main() -> None:
    """Run and print."""
    asked = argparse.ArgumentParser(prog="python -m tests.benchmarks.blind", description=__doc__)
    asked.add_argument("--jobs", type=int, default=2000, help="jobs a method")
    asked.add_argument("--method", choices=WAYS, action="append", help="only this one; may be given again")
    asked.add_argument("--crowd", choices=POPULATIONS, action="append", help="only this crowd of instruments")
    asked.add_argument("--said", action="store_true", help="also what the tool remarked, and in how many jobs")
    told = asked.parse_args()
    print(_HEAD, flush=True)
    with ProcessPoolExecutor(2) as pool:  # says so if one of the two is ended from outside
        for crowd in told.crowd or POPULATIONS:
            for method in told.method or WAYS:
                blocks = range(0, told.jobs, _BLOCK)
                works = [(method, crowd, range(n, min(n + _BLOCK, told.jobs))) for n in blocks]
                total = Tally()
                for part in pool.map(run, works):
                    total.join(part)
                for row in _rows(crowd, method, total, said=told.said):
                    print(row, flush=True)


def _rows(crowd: str, method: str, total: Tally, *, said: bool) -> Iterator[str]:
    for name in LINES:
        for line in (name, f"{name} 1-2"):
            if line in total.lines:
                yield f"{crowd:5} {method:18} {line:12} {_figures(total.lines[line], judged=method != 'few degrees')}"
    if said:
        yield "      " + ", ".join(f"{what} {count}" for what, count in total.said.most_common())


def _figures(line: Line, *, judged: bool) -> str:
    if not line.jobs:
        return f"{0:5} {line.unstated:4}"
    n = line.jobs
    held, doubt, bias, share = line.held / n, line.doubt / n, line.error / line.doubt, line.rectangle / n
    rms = (line.squares / n) ** 0.5 / doubt
    figures = f"{100 * held:6.1f} {doubt:8.4f} {line.size / n:8.4f} {bias:+7.3f} {rms:7.3f} {100 * share:6.0f}"
    return f"{n:5} {line.unstated:4} {figures}  {_remark(held, bias, share) if judged else 'printed only'}"


def _remark(held: float, bias: float, share: float) -> str:
    found = []
    if held < 0.93:
        found.append("UNDER")
    if held > 0.975:
        found.append("wide: one rectangle over half" if share > 0.5 else "OVER")
    if abs(bias) > 0.1:
        found.append("BIAS")
    return ", ".join(found)


if __name__ == "__main__":
    main()
