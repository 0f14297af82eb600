"""Outlying readings and uneven scatter: Grubbs' and Cochran's tests against printed tables and SciPy."""

import math

import pytest
from scipy.stats import f as fisher
from scipy.stats import t as student_reference

from ccassist.bench.repeats import grubbs, grubbs_limit, most_scattered
from ccassist.values.statistics import fisher as fisher_quantile
from ccassist.values.statistics import variance_chance
from tests.each import each
from tests.references.sources import cites, promise

# NIST/SEMATECH e-Handbook, 1.3.5.17.1 (data from memory): mass spectrometer readings of a uranium isotope.
URANIUM = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)

# Two-sided 5 % and 1 % critical values, ISO 5725-2:1994, Table 5 (attribution from memory).  For n = 7 a public copy
# of the table prints 2.202 at 5 %, and for n = 15 it prints 2.755 at 1 %: two digits are swapped in the first, and
# both contradict the formula.  2.020 and 2.806 are right.
PRINTED = (
    (3, 1.155, 1.155), (4, 1.481, 1.496), (5, 1.715, 1.764), (6, 1.887, 1.973), (7, 2.020, 2.139),
    (8, 2.126, 2.274), (9, 2.215, 2.387), (10, 2.290, 2.482), (15, 2.548, 2.806),
)  # fmt: skip

# Cochran's C, ISO 5725-2:1994, Table 4 (from memory): (series, readings each, 1 %, 5 %).
COCHRAN = (
    (5, 3, 0.788, 0.684), (8, 2, 0.794, 0.680), (8, 3, 0.615, 0.516), (8, 4, 0.521, 0.438), (10, 3, 0.536, 0.445),
)  # fmt: skip


@cites("grubbs")
@pytest.mark.parametrize(("count", "five", "one"), PRINTED)
def test_critical_values_as_printed(count: int, five: float, one: float) -> None:
    assert grubbs_limit(count, 0.05) == pytest.approx(five, abs=0.001)
    assert grubbs_limit(count, 0.01) == pytest.approx(one, abs=0.001)


@cites("grubbs")
def test_the_swapped_digits_of_a_public_table_are_not_reproduced() -> None:
    assert abs(grubbs_limit(7, 0.05) - 2.202) > 0.1
    assert abs(grubbs_limit(15, 0.01) - 2.755) > 0.04


@cites("scipy")
@pytest.mark.parametrize("count", [3, 6, 8, 20])
def test_critical_values_by_the_formula(count: int) -> None:
    """Grubbs 1969: (n−1)/√n √(t²/(n−2+t²)), t at α/(2n).  Source of t: scipy.stats.t."""
    t = float(student_reference.ppf(1 - 0.005 / (2 * count), count - 2))
    expected = (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))
    assert grubbs_limit(count) == pytest.approx(expected, rel=1e-9)


@cites("grubbs")
def test_worked_example_of_the_handbook() -> None:
    """G = 2.4687, one-sided 5 % critical value 2.032: 245.57 stands apart."""
    far, distance = grubbs(URANIUM)
    assert URANIUM[far] == 245.57
    assert distance == pytest.approx(2.468765, abs=1e-6)
    assert grubbs_limit(8, 2 * 0.05) == pytest.approx(2.031652, abs=1e-6)  # one-sided at α is two-sided at 2α


@cites("own")
def test_three_readings_can_hardly_ever_stand_apart() -> None:
    """The distance cannot pass (n−1)/√n; at three readings the limit lies next to it."""
    assert grubbs_limit(3) < 2 / math.sqrt(3)
    assert 2 / math.sqrt(3) - grubbs_limit(3) < 1e-5


@promise()
def test_alike_readings_have_no_outlier() -> None:
    assert grubbs([5.0, 5.0, 5.0])[1] == 0.0


@cites("scipy")
@pytest.mark.parametrize("upper", [1, 2, 5, 40])
@pytest.mark.parametrize("lower", [1, 3, 14, 200])
def test_ratio_of_variances_agrees_with_scipy(upper: int, lower: int) -> None:
    """Source: scipy.stats.f, upper tail."""
    for ratio in (0.3, 1.0, 3.0, 20.0):
        assert variance_chance(ratio, upper, lower) == pytest.approx(float(fisher.sf(ratio, upper, lower)), abs=1e-10)


@cites("scipy")
@each("upper", [1, 2, 3, 4, 7, 16])
@each("lower", [1, 4, 8, 30])
@each("below", [0.95, 0.99])
def test_quantiles_of_the_ratio_agree_with_scipy(upper: int, lower: int, below: float) -> None:
    """Source: scipy.stats.f, quantile."""
    assert fisher_quantile(upper, lower, below) == pytest.approx(float(fisher.ppf(below, upper, lower)), rel=1e-7)


@cites("grubbs")
@pytest.mark.parametrize(("upper", "printed"), [(1, 11.259), (2, 8.649), (3, 7.591), (4, 7.006), (6, 6.371)])
def test_quantiles_of_the_ratio_as_printed(upper: int, printed: float) -> None:
    """Upper 1 % critical values for 8 degrees: NIST/SEMATECH e-Handbook, 1.3.6.7.3 (from memory)."""
    assert fisher_quantile(upper, 8, 0.99) == pytest.approx(printed, abs=0.0006)


@cites("grubbs")
@pytest.mark.parametrize(("series", "count", "one", "five"), COCHRAN)
def test_cochran_as_printed(series: int, count: int, one: float, five: float) -> None:
    """C = largest variance over their sum; against the others together it is F = (p−1) C/(1−C)."""
    for printed, chance in ((one, 0.01), (five, 0.05)):
        ratio = (series - 1) * printed / (1 - printed)
        assert series * variance_chance(ratio, count - 1, (series - 1) * (count - 1)) == pytest.approx(chance, rel=0.02)


@cites("scipy")
def test_the_series_that_scatters_most_is_named() -> None:
    groups = [[1.0, 1.1, 0.9], [5.0, 5.1, 4.9], [3.0, 3.9, 2.1], [7.0, 7.1, 6.9], [2.0]]
    place, chance = most_scattered(groups)
    assert place == 2
    ratio = 0.81 / 0.01
    assert chance == pytest.approx(4 * float(fisher.sf(ratio, 2, 6)), rel=1e-6)


@promise()
def test_readings_all_rounded_alike_do_not_make_one_step_an_outlier() -> None:
    groups = [[1.0, 1.0], [2.0, 2.0], [3.0, 3.1], [4.0, 4.0]]
    assert most_scattered(groups, least=0.05)[1] > 0.05
    assert most_scattered(groups)[1] == 0.0


@promise()
def test_one_series_alone_is_never_uneven() -> None:
    assert most_scattered([[1.0, 2.0, 9.0]]) == (-1, 1.0)
