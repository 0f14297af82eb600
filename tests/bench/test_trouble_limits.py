"""Where drift, first fills and uneven scatter begin to be spoken of: at the quantiles that SciPy gives.

Student's t of a difference of means and of paired differences; chances as in the module, held by its false alarms in
test_trouble.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from statistics import fmean, stdev

import pytest
from scipy.stats import t as student

from ccassist.bench.pooled import Repeats
from ccassist.bench.repeats import RARE, UNKNOWN, Scatter, Source
from ccassist.bench.step import Way
from ccassist.bench.steps import STEPS
from ccassist.bench.trouble import drift_of, first_fills, uneven
from tests.bench.test_trouble import CC, in_words

WAY = Way("chamber", "burette", "mine")


def read(values: Sequence[float], lines: Sequence[int], *, grain: float = 0.001, usual: Scatter = UNKNOWN) -> Repeats:
    """Fills [cc] at these lines of the file."""
    return Repeats(
        way=WAY, name=f"{lines[0]}", key="chamber_volume", where="cylinder 1", line=lines[0],
        method=STEPS["chamber"].methods[0], values=tuple(v * CC for v in values),
        marks=tuple((n, line) for n, line in enumerate(lines, start=1)), grain=grain * CC,
        rounding=grain * CC / math.sqrt(6), usual=usual,
    )  # fmt: skip


BETWEEN = read((41.0, 41.0), (20, 21))
USUAL = Scatter(standard=0.1 * CC, dof=10.0, source=Source.POOLED)
LIMIT = float(student.ppf(1 - RARE / 2, 10)) * 0.1 * math.sqrt(1 / 2 + 1 / 3)


@pytest.mark.parametrize(("part", "way"), [(0.98, ""), (1.02, "more"), (-0.98, ""), (-1.02, "less")])
def test_drift_is_beyond_students_t_of_two_means(part: float, way: str) -> None:
    late = 40 + part * LIMIT
    found = drift_of(read((40, 40, late, late, late), (10, 11, 30, 31, 32), usual=USUAL), [BETWEEN], in_words)
    assert (found.wrong.split(" cc ")[1].split(":")[0] if found else "") == way
    assert found is None or (found.line, found.place) == (32, "cylinder 1")


@pytest.mark.parametrize(("steps", "drifts"), [(1.0, False), (1.1, True)])
def test_a_step_of_the_scale_is_no_drift(steps: float, drifts: bool) -> None:
    """However fine the usual scatter."""
    fine = replace(USUAL, standard=1e-6 * CC)
    again = read((40, 40 + steps * 0.05), (10, 30), grain=0.05, usual=fine)
    assert (drift_of(again, [BETWEEN], in_words) is not None) is drifts


@pytest.mark.parametrize(("apart", "drifts"), [(1.9, False), (2.1, True)])
def test_where_no_scatter_is_known_drift_is_what_practice_looks_at(apart: float, drifts: bool) -> None:
    """2 cc (common practice, no source)."""
    assert (drift_of(read((40, 40 + apart), (10, 30)), [BETWEEN], in_words) is not None) is drifts


@pytest.mark.parametrize("lines", [(10, 11), (30, 31), (20, 21)])
def test_readings_with_nothing_between_them_show_no_drift(lines: tuple[int, int]) -> None:
    assert drift_of(read((40, 50), lines, usual=USUAL), [BETWEEN], in_words) is None


def test_early_is_before_the_first_gap_and_late_after_the_last() -> None:
    """The middle readings count for neither."""
    other = read((41.0, 41.0), (20, 40))
    apart = drift_of(read((40, 55, 41), (10, 30, 50), usual=USUAL), [other], in_words)
    assert apart is not None
    assert "1.00 cc more" in apart.wrong


def firsts(higher: Sequence[float], rounding: float = 0.001) -> list[Repeats]:
    """Chambers of which the first fill reads so much higher [cc] than two that agree."""
    return [
        read((40 + one, 40, 40), (10 * n, 10 * n + 1, 10 * n + 2), grain=rounding) for n, one in enumerate(higher, 1)
    ]


@pytest.mark.parametrize(("shift", "said"), [(0.95, False), (1.05, True)])
def test_first_fills_are_high_beyond_a_paired_t(shift: float, said: bool) -> None:
    """One-sided: the mean of the differences against t s ÷ √n."""
    scatter = (0.3, -0.1, 0.1, -0.2, -0.1)
    limit = float(student.ppf(1 - RARE, 4)) * stdev(scatter) / math.sqrt(5)
    higher = [one - fmean(scatter) + shift * limit for one in scatter]
    found = first_fills(firsts(higher), in_words)
    assert (found is not None) is said
    assert found is None or (found.line, found.place) == (10, ", ".join(["cylinder 1"] * 3) + " …")
    assert first_fills(firsts([-one for one in higher]), in_words) is None


@pytest.mark.parametrize(("count", "said"), [(3, False), (4, True)])
def test_fewer_than_four_things_show_no_rule(count: int, said: bool) -> None:
    found = first_fills(firsts([1.0] * count), in_words)
    assert (found is not None) is said
    assert not found or not found.place.endswith("…") or count > 3


def test_first_fills_are_judged_by_no_finer_scatter_than_their_steps() -> None:
    """All 0.05 cc higher, a step of the scale: s is no less than the step ÷ √6, and t for three degrees 5.84."""
    limit = float(student.ppf(1 - RARE, 3)) * 0.05 / math.sqrt(6) / 2
    assert first_fills(firsts([0.95 * limit] * 4, rounding=0.05), in_words) is None
    assert first_fills(firsts([1.05 * limit] * 4, rounding=0.05), in_words) is not None


def test_one_series_of_several_is_uneven_but_not_within_its_steps() -> None:
    even = [read((40.0, 40.1, 40.0, 40.1), (10 * n, 10 * n + 1, 10 * n + 2, 10 * n + 3)) for n in range(1, 6)]
    wild = read((40.0, 41.5, 40.2, 41.4), (90, 91, 92, 93))
    assert uneven(even) is None
    assert uneven([*even[:2], wild, *even[2:]]) == 2
    assert uneven([*even[:2], replace(wild, grain=CC), *even[2:]]) is None
