"""A million combinations against the bare NumPy cost of the ratio formula on the same arrays.

Run from the project's folder, in an environment with the package installed:

    python tests/benchmarks/combine.py [RUNS]

Both are timed turn and turn about and the medians compared (budget: 10 times);
the memory that the combinations need at most is stated beside the bare arrays'.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable

import numpy as np

from ccassist.analysis.results import sound_survey
from ccassist.job.file import parse_job
from ccassist.plan.combine.candidates import Candidates, aims_of, candidates
from ccassist.plan.combine.search import combine

BUDGET = 10.0
HOW_MANY = {"crank": 10, "rods": 10, "pistons": 10, "head": 10, "gasket": 10, "skim": 10}


def offered(counted: str) -> Candidates:
    """Ten of each of six kinds of part."""
    text = f"""format = 1
[engine]
cylinders = 4
bore = "83.40 mm, measured"
stroke = "91.70 mm, measured"
rod_length = "148.90 mm, measured"
compression_height = "31.35 mm, measured"
deck_clearance = "0.20 mm below deck, measured"
engine_speed = "6800 rpm"
chamber_area = "52.0 cm2, measured"
gasket_bore = "84.9 mm, measured"
land_diameter = "82.70 mm, measured"
land_height = "7.0 mm, measured"
[counted]
crevice = "{counted}"
"""
    for i in range(10):
        text += f'[choice.crank.{i}]\nstroke = "{86 + i / 10:.2f} mm, measured"\n'
        text += f'[choice.rods.{i}]\nrod_length = "{149.5 + i / 10:.2f} mm, measured"\n'
        text += f'[choice.pistons.{i}]\ncompression_height = "{30.5 + i / 10:.2f} mm, measured"\n'
        text += f'crown_volume = "dish {8 + i} cc, measured"\n'
        text += f'[choice.head.{i}]\nchamber_volume = "{42 + i} cc, measured"\n'
        text += f'[choice.gasket.{i}]\ngasket_thickness = "{0.7 + i / 10:.2f} mm, measured"\n'
        text += f'[choice.skim.{i}]\nface_cut = "{(i + 1) / 10:.2f} mm"\n'
    return candidates(sound_survey(parse_job(text.replace("cm2", "cm²")).job))


def bare(count: int) -> Callable[[], np.ndarray]:
    """The ratio formula on whole arrays of bore, stroke and the five volumes."""
    one = np.random.default_rng(1)
    bore, stroke = one.uniform(0.08, 0.09, count), one.uniform(0.08, 0.09, count)
    clearance, thickness, gasket_bore = (
        one.uniform(low, high, count) for low, high in ((0, 1e-3), (5e-4, 2e-3), (0.087, 0.09))
    )
    chamber, crown = one.uniform(4e-5, 5e-5, count), one.uniform(-1e-5, 1e-5, count)

    def formula() -> np.ndarray:
        area = math.pi / 4 * bore**2
        volume = chamber + math.pi / 4 * gasket_bore**2 * thickness + area * clearance + crown
        return (area * stroke + volume) / volume

    return formula


def seconds(work: Callable[[], object]) -> float:
    """Wall time of one go."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main(runs: int = 9) -> None:
    """Print the table."""
    count = math.prod(HOW_MANY.values())
    formula = bare(count)
    aims = aims_of({}, ["static_ratio=10.5"], ["squish=0.9 to 1.1 mm"])
    for counted in ("counted", "not counted"):
        parts = offered(counted)
        mine, theirs = [], []
        for _ in range(runs):
            mine.append(seconds(lambda parts=parts: combine(parts, aims, top=20)))
            theirs.append(seconds(formula))
        tracemalloc.start()
        combine(parts, aims, top=20)
        peak = tracemalloc.get_traced_memory()[1] / 2**20
        tracemalloc.stop()
        ratio = statistics.median(mine) / statistics.median(theirs)
        verdict = "met" if ratio <= BUDGET else "OVER"
        print(
            f"{count} combinations, crevice {counted:<12} {1000 * statistics.median(mine):7.1f} ms  bare "
            f"{1000 * statistics.median(theirs):6.1f} ms  ratio {ratio:5.2f}  budget {BUDGET:4.1f}  {verdict}  "
            f"at most {peak:.1f} MB (bare arrays {7 * 8 * count / 2**20:.0f} MB)"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
