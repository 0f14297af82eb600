"""The interval of a sum of rectangles and a normal, against closed forms and against SciPy's quadrature."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from ccassist.values.statistics import interval

R = math.sqrt(3)  # half-width of a rectangle of standard deviation 1


@pytest.mark.parametrize(
    ("edges", "exact"),
    [
        ([1.0], 0.95),  # a rectangle: 1.645 standard deviations
        ([0.5, 0.5], 1 - math.sqrt(0.05)),  # a triangle: 1.902
        ([R] * 4, 2 * R * (2 - 0.6**0.25)),  # JCGM 101:2008, 9.2.3 and Annex E: ± 3.879
        ([R, R, R, 10 * R], 17.0158),  # JCGM 101:2008, 9.2.4, by exact convolution; printed ± 17.0
    ],
)
def test_known_sums_of_rectangles(edges: list[float], exact: float) -> None:
    assert interval(edges, 0.0, 0.95) == pytest.approx(exact, rel=2e-6)


@pytest.mark.parametrize(("long", "short"), [(2.0, 1.0), (1.0, 0.1)], ids=["half as wide", "a tenth as wide"])
def test_a_trapezoid(long: float, short: float) -> None:
    """Two unequal rectangles: its sloping end holds 2.5 % beyond (long + short) − √(0.2 long short)."""
    edge = long + short - math.sqrt(0.05 * 2 * long * 2 * short)
    within_the_slope = edge >= long - short
    exact = edge if within_the_slope else 0.95 * long
    assert interval([long, short], 0.0, 0.95) == pytest.approx(exact, rel=2e-6)


@pytest.mark.parametrize("sigma", [0.05, 0.5, 1.0, 5.0])
@pytest.mark.parametrize("coverage", [0.5, 0.95, 0.99])
def test_two_rectangles_and_a_normal_against_quadrature(sigma: float, coverage: float) -> None:
    """SciPy: the normal's distribution function averaged over the trapezoid that two rectangles make."""
    x = interval([2.0, 1.0], sigma, coverage)
    over_one = lambda a: integrate.quad(lambda b: stats.norm.cdf((x - a - b) / sigma), -1, 1, points=[x - a])[0]  # noqa: E731
    under = integrate.quad(over_one, -2, 2, points=[x - 1, x + 1], limit=200)[0] / 8
    assert 2 * under - 1 == pytest.approx(coverage, abs=1e-7)


@given(st.lists(st.floats(0.18, 3), min_size=1, max_size=4), st.floats(0, 2))
def test_it_lies_between_what_a_rectangle_and_a_normal_would_say(edges: list[float], sigma: float) -> None:
    """Hardly under the 1.645 of a rectangle, never over the normal's 1.96 by more than a hair."""
    u = math.sqrt(sigma**2 + sum(edge**2 for edge in edges) / 3)
    assert 1.64 <= interval(edges, sigma, 0.95) / u <= 1.9601
