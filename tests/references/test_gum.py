"""Uncertainty against the GUM and its first supplement.

Sources: JCGM 100:2008 (GUM) G.2, G.4, H.1, H.2 and JCGM 101:2008 clause 9
(clause and equation numbers from memory; H.1, H.2 data as in the examples of
public GUM libraries); Table G.2 is also NIST TN 1297 Table B.1.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats
from uncertainties import correlated_values, umath

from ccassist.values.number import nominal, standard
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, budget, degrees, doubt, expand, half_width
from tests.each import each
from tests.references.sources import cites

pytestmark = cites("gum")

# -- H.1, end gauge -----------------------------------------------------------------------------------


def end_gauge() -> Any:
    """Length at 20 °C in nm: l = l_S + d − l_S (δα θ + α_S δθ), GUM eq. H.3 with Table H.1."""
    standard_length = 50_000_623 + doubt(25.0, Cause(name="standard", dof=18))
    d = 215 + doubt(9.7, Cause(name="comparison", dof=25.6))
    expansion_difference = half_width(1e-6, Cause(name="expansion difference", dof=50, shape="rectangular"))
    theta = -0.1 + doubt(0.41, Cause(name="temperature"))
    expansion = 11.5e-6 + half_width(2e-6, Cause(name="expansion", shape="rectangular"))
    apart = doubt(0.029, Cause(name="temperature difference", dof=2))
    return standard_length + d - standard_length * (expansion_difference * theta + expansion * apart)


def test_h1_estimate_and_standard_uncertainty() -> None:
    """50 000 838 nm, u 32 printed, 31.71 unrounded."""
    assert nominal(end_gauge()) == 50_000_838
    assert standard(end_gauge()) == pytest.approx(31.71, abs=0.006)


@pytest.mark.parametrize(
    ("name", "printed"),
    [("standard", 25.0), ("comparison", 9.7), ("expansion difference", 2.9), ("temperature difference", 16.7)],
)
def test_h1_contributions(name: str, printed: float) -> None:
    """Table H.1, nm; the last is printed 16.6, from an unrounded 0.0289 °C."""
    shares = {row.cause.name: row.standard for row in budget(end_gauge())}
    assert shares[name] == pytest.approx(printed, abs=0.051)


def test_h1_terms_without_first_order_effect_are_absent() -> None:
    names = [row.cause.name for row in budget(end_gauge())]
    assert names == ["standard", "temperature difference", "comparison", "expansion difference"]


def test_h1_degrees_of_freedom() -> None:
    """H.1.6 prints 16.7, unrounded 16.66, cut to 16; it needs the unrounded u: with 32 nm the formula says 17."""
    rows = budget(end_gauge())
    assert degrees(rows) == pytest.approx(16.66, abs=0.01)
    rounded = 32**4 / sum(r.standard**4 / r.cause.dof for r in rows)
    assert rounded > 17


def test_h1_expanded() -> None:
    """U99 = 2.92 × 31.71 = 92.62, printed 93 nm; at 95 % t of 16 degrees is 2.12."""
    length = end_gauge()
    factor = student(degrees(budget(length)), 0.99)
    assert factor == pytest.approx(2.92, abs=0.005)
    assert factor * standard(length) == pytest.approx(92.62, abs=0.01)
    stated = expand(length)
    assert stated.factor == pytest.approx(2.12, abs=0.005)
    assert stated.expanded == pytest.approx(2.12 * stated.standard, rel=1e-3)


def test_h1_comparison_is_itself_three_causes() -> None:
    """Table H.1: u(d) 9.7 nm with 25.6 degrees from 5.8 (24), 3.9 (5) and 6.7 (8)."""
    parts = [
        doubt(5.8, Cause(name="repeats", dof=24)),
        doubt(3.9, Cause(name="random", dof=5)),
        doubt(6.7, Cause(name="systematic", dof=8)),
    ]
    difference = 215 + sum(parts)
    assert standard(difference) == pytest.approx(9.7, abs=0.05)
    assert degrees(budget(difference)) == pytest.approx(25.6, abs=0.2)


# -- H.2, resistance and reactance measured together ----------------------------------------------

VOLTS = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
AMPERES = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
PHASE = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
SETS = np.vstack([VOLTS, AMPERES, PHASE])


def impedance(volts: Any, amperes: Any, phase: Any) -> dict[str, Any]:
    size = volts / amperes
    return {"R": size * umath.cos(phase), "X": size * umath.sin(phase), "Z": size}


def h2(*, correlated: bool = True) -> dict[str, Any]:
    covariance = np.cov(SETS) / 5
    if not correlated:
        covariance = np.diag(np.diag(covariance))
    return impedance(*correlated_values(SETS.mean(axis=1), covariance))


@pytest.mark.parametrize(
    ("key", "value", "u"), [("R", 127.73217, 0.07107), ("X", 219.84651, 0.29558), ("Z", 254.25970, 0.23634)]
)
def test_h2_correlated_readings(key: str, value: float, u: float) -> None:
    """Tables H.3 and H.4, first approach, unrounded; printed 127.732 (0.071), 219.847 (0.295), 254.260 (0.236) Ω."""
    number = h2()[key]
    assert nominal(number) == pytest.approx(value, abs=6e-6)
    assert standard(number) == pytest.approx(u, abs=6e-6)


@pytest.mark.parametrize(("key", "printed"), [("R", 0.195), ("X", 0.201), ("Z", 0.204)])
def test_h2_correlation_ignored_is_wrong(key: str, printed: float) -> None:
    """What the same readings would give taken as independent."""
    assert standard(h2(correlated=False)[key]) == pytest.approx(printed, abs=6e-4)
    assert standard(h2()[key]) != pytest.approx(printed, abs=0.02)


@pytest.mark.parametrize(
    ("key", "value", "u"), [("R", 127.73163, 0.07127), ("X", 219.84689, 0.29549), ("Z", 254.26005, 0.23625)]
)
def test_h2_second_approach(key: str, value: float, u: float) -> None:
    """Table H.5: each set reduced by itself, then the mean of five; it agrees with the first approach to 0.3 %."""
    five = np.array([impedance(*column)[key] for column in SETS.T])
    assert five.mean() == pytest.approx(value, abs=6e-6)
    assert five.std(ddof=1) / math.sqrt(5) == pytest.approx(u, abs=6e-6)
    assert standard(h2()[key]) == pytest.approx(u, rel=3e-3)


# -- G.2, Student's t -------------------------------------------------------------------------------

COVERAGES = (math.erf(1 / math.sqrt(2)), 0.90, 0.95, math.erf(2 / math.sqrt(2)), 0.99, math.erf(3 / math.sqrt(2)))
TABLE_G2 = """
1    1.84  6.31  12.71 13.97 63.66 235.80
2    1.32  2.92  4.30  4.53  9.92  19.21
3    1.20  2.35  3.18  3.31  5.84  9.22
4    1.14  2.13  2.78  2.87  4.60  6.62
5    1.11  2.02  2.57  2.65  4.03  5.51
6    1.09  1.94  2.45  2.52  3.71  4.90
7    1.08  1.89  2.36  2.43  3.50  4.53
8    1.07  1.86  2.31  2.37  3.36  4.28
9    1.06  1.83  2.26  2.32  3.25  4.09
10   1.05  1.81  2.23  2.28  3.17  3.96
11   1.05  1.80  2.20  2.25  3.11  3.85
12   1.04  1.78  2.18  2.23  3.05  3.76
13   1.04  1.77  2.16  2.21  3.01  3.69
14   1.04  1.76  2.14  2.20  2.98  3.64
15   1.03  1.75  2.13  2.18  2.95  3.59
16   1.03  1.75  2.12  2.17  2.92  3.54
17   1.03  1.74  2.11  2.16  2.90  3.51
18   1.03  1.73  2.10  2.15  2.88  3.48
19   1.03  1.73  2.09  2.14  2.86  3.45
20   1.03  1.72  2.09  2.13  2.85  3.42
25   1.02  1.71  2.06  2.11  2.79  3.33
30   1.02  1.70  2.04  2.09  2.75  3.27
35   1.01  1.70  2.03  2.07  2.72  3.23
40   1.01  1.68  2.02  2.06  2.70  3.20
45   1.01  1.68  2.01  2.06  2.69  3.18
50   1.01  1.68  2.01  2.05  2.68  3.16
100  1.005 1.660 1.984 2.025 2.626 3.077
inf  1.000 1.645 1.960 2.000 2.576 3.000
"""
T_CELLS = [
    (float(row[0]), coverage, cell)
    for row in (line.split() for line in TABLE_G2.strip().splitlines())
    for coverage, cell in zip(COVERAGES, row[1:], strict=True)
]
MISPRINT = (35.0, 0.90, "1.70")


@cites("tn1297")
@each(("dof", "coverage", "printed"), [cell for cell in T_CELLS if cell != MISPRINT])
def test_table_g2(dof: float, coverage: float, printed: str) -> None:
    """GUM Table G.2, 162 cells and the last row for a normal."""
    decimals = len(printed.partition(".")[2])
    assert student(dof, coverage) == pytest.approx(float(printed), abs=0.501 * 10.0**-decimals)


@cites("tn1297")
def test_table_g2_its_one_cell_that_is_off() -> None:
    """35 degrees at 90 %: printed 1.70, exact 1.6896."""
    assert MISPRINT in T_CELLS
    assert student(35, 0.90) == pytest.approx(1.6896, abs=6e-5)
    assert round(student(35, 0.90), 2) == 1.69


@cites("scipy")
@each("dof", [1, 2, 3, 16, 57, 199, 200, 201, 350, 1000, 10_001, 100_000, 900_000, math.inf])
@each("coverage", [0.5, 0.90, 0.95, 0.99, 0.9973])
def test_student_against_scipy(dof: float, coverage: float) -> None:
    exact = stats.norm.ppf(0.5 + coverage / 2) if math.isinf(dof) else stats.t.ppf(0.5 + coverage / 2, dof)
    assert student(dof, coverage) == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize(("dof", "whole"), [(16.7, 16), (16.999, 16), (1.4, 1), (0.3, 1), (17.0 - 1e-12, 17)])
def test_degrees_are_cut_to_the_next_lower_whole_number(dof: float, whole: int) -> None:
    """GUM G.4.1; never below one."""
    assert student(dof) == student(whole)


# -- G.4, effective degrees of freedom ----------------------------------------------------------------


def test_welch_satterthwaite_example() -> None:
    """GUM G.4.1 example, from memory: 0.25, 0.57, 0.82 % of 10, 5, 15 readings give u 1.03 %, 19.0 degrees, U 2.2 %."""
    number = 100 + sum(doubt(u, Cause(name=f"x{n}", dof=n - 1)) for u, n in ((0.25, 10), (0.57, 5), (0.82, 15)))
    stated = expand(number)
    assert stated.standard == pytest.approx(1.03, abs=0.005)
    assert stated.dof == pytest.approx(19.0, abs=0.05)
    assert stated.expanded == pytest.approx(2.2, abs=0.05)


def test_one_pooled_scatter_keeps_its_own_degrees() -> None:
    """Means of three fills each of two chambers, scatter pooled with 16 degrees: their sum still has 16."""
    pooled = [doubt(0.1, Cause(name=f"chamber {i}", dof=16, pool="fills")) for i in (1, 2)]
    apart = [doubt(0.1, Cause(name=f"chamber {i}", dof=16)) for i in (1, 2)]
    assert degrees(budget(sum(pooled))) == pytest.approx(16)
    assert degrees(budget(sum(apart))) == pytest.approx(32)


# -- JCGM 101 clause 9, and Monte Carlo ---------------------------------------------------------------


@cites("jcgm101")
def test_9_2_2_four_normals() -> None:
    """Table 2: u 2.0, 95 % ±3.92."""
    stated = expand(sum(doubt(1.0, Cause(name=f"x{i}")) for i in range(4)))
    assert (stated.standard, stated.expanded) == (pytest.approx(2.0), pytest.approx(3.92, abs=0.005))


@cites("jcgm101")
def test_9_2_3_four_rectangles() -> None:
    """Table 3: exact ±3.879 by the shape of the sum, Annex E; ±3.92 is what the GUM framework says."""
    stated = expand(sum(half_width(math.sqrt(3), Cause(name=f"x{i}", shape="rectangular")) for i in range(4)))
    exact = 2 * math.sqrt(3) * (2 - 0.6**0.25)
    assert (stated.standard, stated.expanded) == (pytest.approx(2.0), pytest.approx(exact, rel=1e-5))


@cites("jcgm101")
def test_9_2_4_one_rectangle_rules() -> None:
    """Table 4: three of sd 1 and one of sd 10: exact ±17.0158, printed ±17.0; a normal would say ±19.89."""
    small = sum(half_width(math.sqrt(3), Cause(name=f"x{i}", shape="rectangular")) for i in range(3))
    stated = expand(small + half_width(10 * math.sqrt(3), Cause(name="large", shape="rectangular")))
    assert stated.standard == pytest.approx(10.1489, abs=6e-5)
    assert stated.expanded == pytest.approx(17.0158, abs=0.03)  # the three small ones are taken as one normal


def rectangle(half: float, name: str) -> Any:
    return half_width(half, Cause(name=name, shape="rectangular"))


@cites("own")
@pytest.mark.parametrize("beta", [0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0])
def test_a_trapezoid_rules(beta: float) -> None:
    """Two limits make a trapezoid of top over bottom β (4.3.9): its 95 % interval in closed form."""
    wide, narrow = (1 + beta) / 2, (1 - beta) / 2
    reach = 1 - math.sqrt(0.05 * (1 - beta**2)) if beta <= 0.95 / 1.05 else 0.95 * (1 + beta) / 2
    stated = expand(rectangle(wide, "wide") + (rectangle(narrow, "narrow") if narrow else 0.0))
    assert stated.standard == pytest.approx(math.sqrt((1 + beta**2) / 6), rel=1e-12)
    assert stated.expanded == pytest.approx(reach, rel=2e-3)  # a part under a hundredth is taken as normal


@cites("scipy")
@pytest.mark.parametrize("times", [0.3, 0.5, 1.0, 2.0, 5.0, 10.0])
def test_a_rectangle_beside_a_normal(times: float) -> None:
    """By SciPy, times the normal's standard uncertainty: the normal integrated over the rectangle, and inverted."""
    half = times * math.sqrt(3)

    def below(z: float) -> float:  # integral of the normal's distribution
        return float(z * stats.norm.cdf(z) + stats.norm.pdf(z))

    def inside(x: float) -> float:
        return (below(x + half) - below(x - half) - below(half - x) + below(-half - x)) / 2 / half

    exact = optimize.brentq(lambda x: inside(x) - 0.95, 0.1, 3 * (half + 1))
    assert expand(rectangle(half, "limit") + doubt(1.0, Cause(name="rest"))).expanded == pytest.approx(exact, rel=1e-3)


@cites("scipy", "gum")
@pytest.mark.parametrize("count", [1, 2, 3, 4, 6])
@pytest.mark.parametrize("coverage", [0.95, 0.99])
def test_equal_rectangles(count: int, coverage: float) -> None:
    """The sum of n rectangles is SciPy's stats.irwinhall; G.2.2 prints 1.937 and 2.379 for three.

    Beyond four the rest is joined as a normal: a hundredth too wide at most.
    """
    total = sum(rectangle(math.sqrt(3), str(i)) for i in range(count))
    reach = 2 * math.sqrt(3) * (stats.irwinhall.ppf(0.5 + coverage / 2, count) - count / 2)
    found = expand(total, coverage).expanded
    assert reach * (1 - 1e-3) < found < reach * (1.012 if count > 5 else 1.001)
    if count == 3:
        assert found / math.sqrt(3) == pytest.approx(1.937 if coverage == 0.95 else 2.379, abs=6e-4)


@cites("routes")
@pytest.mark.parametrize(
    "spread",
    [
        pytest.param([("rectangular", 1.0), ("rectangular", 0.6), ("normal", 0.5)], id="two of them and some more"),
        pytest.param([("rectangular", 1.0)] * 3 + [("normal", 0.3)], id="three alike"),
    ],
)
def test_coverage_by_monte_carlo(spread: list[tuple[str, float]]) -> None:
    """JCGM 101: 95 % of 400,000 trials lie within the stated ±, to 0.3 %."""
    random, total, number = np.random.default_rng(20081), np.zeros(400_000), 0.0
    for i, (shape, u) in enumerate(spread):
        edge = u * math.sqrt(3)
        limit = shape == "rectangular"
        total += random.uniform(-edge, edge, total.size) if limit else random.normal(0, u, total.size)
        number = number + (rectangle(edge, str(i)) if limit else doubt(u, Cause(name=str(i))))
    inside = np.abs(total) <= expand(number).expanded
    assert inside.mean() == pytest.approx(0.95, abs=0.003)


@cites("own")
def test_two_rectangles_of_one_cause_are_not_one_rectangle() -> None:
    """Two independent effects that bear one cause make a triangle: the interval is that of the triangle."""
    cause = Cause(name="two weighings", shape="rectangular")
    stated = expand(half_width(math.sqrt(3), cause) + half_width(math.sqrt(3), cause)).expanded
    assert stated == pytest.approx(2 * math.sqrt(3) * (1 - math.sqrt(0.05)), rel=1e-5)


@cites("jcgm101")
def test_9_3_mass_calibration_to_first_order() -> None:
    """JCGM 101, 9.3: first order gives 1.234 mg, u 0.0539, [1.1285, 1.3395]; the true u is 0.0755.

    The air-density term has no first-order effect: such a model would be beyond this tool's propagation.
    """
    reference = 100_000 + doubt(0.050, Cause(name="weight"))
    added = 1.234 + doubt(0.020, Cause(name="added"))
    air = 1.20 + half_width(0.10, Cause(name="air", shape="rectangular"))
    weight = 8000 + half_width(1000, Cause(name="density of the weight", shape="rectangular"))
    standard_weight = 8000 + half_width(50, Cause(name="density of the standard", shape="rectangular"))
    mass = (reference + added) * (1 + (air - 1.2) * (1 / weight - 1 / standard_weight)) - 100_000
    stated = expand(mass)
    assert (stated.value, stated.standard) == (pytest.approx(1.234), pytest.approx(0.05385, abs=6e-6))
    assert stated.value - stated.expanded == pytest.approx(1.1285, abs=6e-5)
    assert stated.value + stated.expanded == pytest.approx(1.3395, abs=6e-5)
    assert stated.standard < 0.0755 * 0.75


# -- 4.3, limits to standard uncertainties ------------------------------------------------------------


@pytest.mark.parametrize(
    ("shape", "divisor"), [("rectangular", math.sqrt(3)), ("triangular", math.sqrt(6)), ("normal", 1.96)]
)
def test_divisors(shape: str, divisor: float) -> None:
    """GUM 4.3.4 (95 % of a normal), 4.3.7 and 4.3.9."""
    assert standard(half_width(1.0, Cause(name="limit", shape=shape))) == pytest.approx(1 / divisor, rel=1e-4)
