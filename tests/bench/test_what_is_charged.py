"""How often an instrument's error, its unevenness and its rounding are charged to a mean.

What is checked is the law of propagation with correlated inputs (JCGM 100:2008,
5.2.2); the limits are of ISO 385:2005, Table 1 (burette 50 ml, class B: 0.1 ml
between any two points) and OIML R 76-1:2006, Table 6 and 3.5.3.3 (class III,
e = 0.1 g: 0.5 e for a net load up to 500 e, whatever stands on the pan; doubled
as not verified).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from random import Random
from statistics import fmean, pstdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.analysis.results import survey
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import PLACE, UNEVEN, Kit
from ccassist.bench.repeats import Scatter, Source, points_apart
from ccassist.job.file import parse_job
from ccassist.values.number import Number, standard
from ccassist.values.uncertainty import Cause, budget, doubt

CC, G = 1e-6, 1e-3
BURETTE = "burette 50 ml class B"
LIMIT = 0.1 * CC / math.sqrt(3)


def kit() -> Kit:
    """A kit with a burette."""
    return Kit(instruments={BURETTE: INSTRUMENTS[BURETTE]})


def error(of: Kit, amount: float) -> Number:
    """The burette's error for one delivery [ml]."""
    return of.scale_error(BURETTE, "fill_volume", [amount * CC])


# -- a scale's error --------------------------------------------------------------------------------


@given(st.floats(0, 50))
def test_a_limit_is_charged_in_full_wherever_the_scale_is_used(amount: float) -> None:
    assert standard(error(kit(), amount)) == pytest.approx(LIMIT)


def test_one_place_errs_one_way() -> None:
    """Sisters of one size share the error altogether; a fill and another like it bear it twice over."""
    shared = kit()
    first, second = error(shared, 42.0), error(shared, 42.0)
    assert standard(first - second) == pytest.approx(0, abs=1e-15)
    assert standard(first + second) == pytest.approx(2 * LIMIT)


def test_far_places_keep_the_unevenness() -> None:
    """u² of their difference is twice the uneven part; of their sum, what is common counts fourfold."""
    shared = kit()
    first, second = error(shared, 20.0), error(shared, 45.0)
    assert standard(first - second) == pytest.approx(math.sqrt(2 * UNEVEN) * LIMIT)
    assert standard(first + second) == pytest.approx(math.sqrt(4 * (1 - UNEVEN) + 2 * UNEVEN) * LIMIT)


def test_near_places_share_the_more_the_nearer() -> None:
    shared, step = kit(), INSTRUMENTS[BURETTE].resolution / CC
    apart = [standard(error(shared, 42.0) - error(shared, 42.0 + n * step)) for n in (1, 4, 8, PLACE, 3 * PLACE)]
    assert apart == sorted(apart)
    assert apart[0] < 0.1 * apart[-1]


def test_places_on_both_sides_of_a_whole_one_are_near() -> None:
    """A twentieth of such a place below and above it, against two that lie far apart."""
    size = PLACE * INSTRUMENTS[BURETTE].resolution / CC
    shared = kit()
    far = standard(error(shared, 20.0) - error(shared, 45.0))
    for whole in (20 * size, 33 * size):
        assert standard(error(shared, whole - size / 20) - error(shared, whole + size / 20)) < 0.2 * far


def test_a_scale_without_steps_is_charged_its_limit() -> None:
    plain = Kit(instruments={BURETTE: replace(INSTRUMENTS[BURETTE], resolution=0.0)})
    assert standard(error(plain, 42.0)) == pytest.approx(LIMIT)


def test_it_is_one_line_of_the_budget() -> None:
    (row,) = budget(error(kit(), 42.3))
    assert row.cause.name == f"{BURETTE}: permissible error of its scale"


# -- rounding -----------------------------------------------------------------------------------------

ROUNDING = 0.1 / math.sqrt(12)


def mean_of(scatter: float, repeats: int, source: Source = Source.POOLED) -> Number:
    """The doubt of a mean of repeats read to steps of 0.1."""
    found = Scatter(standard=scatter, dof=8.0, source=source)
    rounding = doubt(ROUNDING, Cause(name="reading", shape="rectangular"))
    return Kit().repeat_effect(found, "way", repeats, "fill_volume", "scatter", rounding)


@pytest.mark.parametrize("repeats", [1, 3, 12])
def test_repeats_all_alike_keep_their_rounding(repeats: int) -> None:
    """JCGM 100:2008, F.2.2.1: once, never divided by √n."""
    assert standard(mean_of(0.0, repeats)) == pytest.approx(ROUNDING)


@given(st.floats(0, 1), st.integers(1, 12))
def test_of_rounding_and_scatter_the_larger_counts(scatter: float, repeats: int) -> None:
    """ISO 14253-2:2011 and ISO 22514-7:2021 (from memory): not both, and never less than the rounding."""
    larger = max(scatter / math.sqrt(repeats), ROUNDING)
    assert standard(mean_of(scatter, repeats)) == pytest.approx(larger)


def test_a_declared_repeatability_has_rounding_beside_it() -> None:
    """It was not seen in these readings."""
    assert standard(mean_of(0.2, 1, Source.DECLARED)) == pytest.approx(math.hypot(0.2, ROUNDING))


# -- from a job ---------------------------------------------------------------------------------------


def charged(readings: str, tool: str, words: str) -> float:
    """What causes of those words put into a chamber, standard, m³."""
    text = f"""format = 1
[job]
name = "Bench"
[engine]
cylinders = 1
[[series]]
step = "chamber"
cylinder = 1
instrument = "{tool}"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [{readings}]
"""
    number = survey(parse_job(text).job).cylinders[0].values["chamber_volume"].number
    return math.sqrt(sum(row.standard**2 for row in budget(number) if words in row.cause.name))


def test_a_weighed_fill_is_one_net_load() -> None:
    """45 g out of a bottle of 430 g: 0.1 g either way for the 45 g, not 0.3 g at each load."""
    rows = ", ".join('{ before = "430.0 g", after = "385.0 g" }' for _ in range(5))
    found = charged(rows, "scale 0.1 g", "permissible error")
    assert found == pytest.approx(0.1 * CC / math.sqrt(3), rel=0.005)  # 1 g is 1.003 cc


@pytest.mark.parametrize(
    ("starts", "readings"),
    [
        ((0.0, 0.0, 0.0), 1),  # set to nought, so only the end is read
        ((0.0, 0.05, 0.05), 2),  # a step apart: it may be one point of the scale, rounded one way
        ((0.0, 0.1, 0.1), 2 / 2),
        ((0.0, 0.1, 0.2), 2 / 3),
        ((0.0, 1.0, 2.0), 2 / 3),
    ],
)
def test_rounding_averages_between_points_two_steps_apart(starts: Sequence[float], readings: float) -> None:
    """Start and end are each rounded anew at each of those points only (JCGM 100:2008, F.2.2.1)."""
    rows = ", ".join(f'{{ start = "{s:.2f} ml", end = "{s + 42:.2f} ml" }}' for s in (*starts, *starts))
    found = charged(rows, BURETTE, "reading burette")
    assert found == pytest.approx(0.05 * CC * math.sqrt(readings / 12), rel=1e-3)


@pytest.mark.parametrize(("loads", "points"), [((430, 430, 431), 1), ((430, 430, 432), 2), ((424, 430, 436), 3)])
def test_weighings_of_other_loads_are_rounded_by_themselves(loads: Sequence[float], points: int) -> None:
    """Two readings of a scale of 1 g a fill, 45 g each time: 1.003 cc a gram."""
    rows = ", ".join(f'{{ before = "{load} g", after = "{load - 45} g" }}' for load in loads * 2)
    found = charged(rows, "kitchen scale 1 g", "reading kitchen")
    assert found == pytest.approx(CC * math.sqrt(2 / points / 12), rel=0.005)


@given(st.lists(st.integers(-9, 9), min_size=1, max_size=6))
def test_points_apart_are_the_different_readings_that_span_two_steps(steps: list[int]) -> None:
    """In whatever order; nearer together they may be of one point."""
    near = all(abs(a - b) < 2 for a, b in combinations(steps, 2))
    assert points_apart([0.05 * n for n in steps], 0.05) == (1 if near else len(set(steps)))


def test_rounding_of_points_apart_averages_as_simulated() -> None:
    """Three loads anywhere in twelve steps, 20,000 times: the mean of their rounding is out by a step ÷ √(12 × 3)."""
    chance = Random(1)
    loads = [[chance.uniform(0, 12) for _ in range(3)] for _ in range(20000)]
    errors = [fmean([round(x) - x for x in three]) for three in loads if points_apart(map(round, three), 1) == 3]
    assert pstdev(errors) == pytest.approx(1 / math.sqrt(36), rel=0.02)


def test_full_syringes_are_set_and_only_the_rest_is_read() -> None:
    rows = ", ".join('{ full = 1, each = "60 ml", rest = "6.5 ml" }' for _ in range(5))
    assert charged(rows, "syringe 60 ml", "reading syringe") == pytest.approx(0.5 * CC / math.sqrt(12), rel=1e-3)
