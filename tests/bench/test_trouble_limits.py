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

from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.bench.pooled import Repeats
from ccassist.bench.repeats import RARE, UNKNOWN, Scatter, Source
from ccassist.bench.step import Way
from ccassist.bench.steps import STEPS
from ccassist.bench.trouble import _out_of_range, drift_of, first_fills, other_way, said_of_uneven, uneven
from ccassist.vocabulary import term
from tests.bench.test_trouble import CC, filled, found, in_words
from tests.each import each

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


@pytest.mark.parametrize("lines", [(5, 20), (20, 35), (5, 20, 35)])
def test_what_was_begun_before_or_ended_after_lies_in_between_too(lines: tuple[int, ...]) -> None:
    other = read([41.0] * len(lines), lines)
    assert drift_of(read((40, 50), (10, 30), usual=USUAL), [other], in_words) is not None
    assert drift_of(read((40, 50), (10, 30), usual=USUAL), [read((41.0, 41.0), (5, 35))], in_words) is None


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


def test_the_uneven_one_is_set_against_the_rest() -> None:
    """0.1 cc about the middle of two readings is √2 × 0.1 cc; the rest, half of that."""
    even = [read((40.0, 40.1), (10 * n, 10 * n + 1)) for n in (1, 2)]
    said = said_of_uneven([even[0], read((40.0, 40.2), (90, 91)), even[1]], 1, in_words).wrong
    assert "(0.14 cc against 0.07 cc" in said.replace("scatter more than the rest made this way, ", "(")


@each("key", ["chamber_volume", "crown_fill", "chamber_area"])
def test_the_ends_of_what_can_be_and_of_what_is_usual_belong_to_it(key: str) -> None:
    (least, most), (low, high) = term(key).possible, term(key).plausible
    for value, code in ((low, ""), (high, ""), (least, "unusual-result"), (most, "unusual-result")):
        said = _out_of_range(key, value, in_words)
        assert (said.code if said else "") in (code, "" if value in (low, high) else code)
    for value in (least - 1e-9, most * 1.001):
        said = _out_of_range(key, value, in_words)
        assert said is not None
        assert said.code == "impossible-result"


def test_what_cannot_be_is_said_at_the_last_fill() -> None:
    (finding,) = found([filled(1, (1e5, 1e5, 1e5))])
    assert (finding.code, finding.line, finding.place) == ("impossible-result", 102, "cylinder 1")


UP, DOWN = (40.0, 1.0), (-40.0, 45.0)  # what was filled, from where on the scale


@each(
    ("tool", "fills", "odd"),
    [
        ("burette 50 ml class B", (UP, UP), ()),
        ("burette 50 ml class B", (DOWN, UP), (1,)),
        ("burette 50 ml class B", (DOWN, DOWN, DOWN), (1, 2, 3)),  # nought is at the top
        ("syringe 60 ml", (UP, UP), ()),
        ("syringe 60 ml", (DOWN, DOWN), ()),  # a syringe is read either way
        ("syringe 60 ml", (UP, DOWN), (2,)),
        ("syringe 60 ml", (DOWN, UP), (2,)),
        ("syringe 60 ml", (UP, DOWN, DOWN, DOWN), (2,)),  # evenly many before: as it is read
        ("syringe 60 ml", (UP, DOWN, UP, UP), (2,)),
        ("shop tube", (UP, UP, DOWN), (3,)),
    ],
)
def test_a_fill_is_read_the_way_of_its_scale_or_of_most_before(
    tool: str, fills: Sequence[tuple[float, float]], odd: Sequence[int]
) -> None:
    cells = [
        replace(filled(n, (volume,), start=start), instrument=tool) for n, (volume, start) in enumerate(fills, start=1)
    ]
    asked = other_way(cells, Kit(instruments=INSTRUMENTS))
    assert [f.place for f in asked] == [f"cylinder {n}" for n in odd]
    assert [
        f"read {'up' if fills[n - 1] is UP else 'down'} the scale" in f.wrong for n, f in zip(odd, asked, strict=True)
    ] == [True for _ in odd]
    calibrated = Kit(instruments=INSTRUMENTS, calibrations={tool: None})  # type: ignore[dict-item]
    assert other_way(cells, calibrated) == []
