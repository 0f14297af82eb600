"""The straight line against certified data, two guides' worked examples, and general libraries.

Sources:
NIST Statistical Reference Datasets, linear least squares, "Norris" (lower
level; public domain): data and certified values.
JCGM 100:2008, H.3, calibration of a thermometer: Table H.6 and results
H.3.3 to H.3.4.
ISO/TS 28037:2010, clause 6, example with equal weights, p. 13 (seen as
transcribed in a general library's tests).
SciPy's ``linregress`` and NumPy's ``polyfit``.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from ccassist.bench.calibrated import StraightLine, bend, fit
from tests.references.sources import cites, promise

pytestmark = cites("scipy")

NORRIS_X = (
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
    0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
    0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
)  # fmt: skip
NORRIS_Y = (
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
    0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
    0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
)  # fmt: skip
H3_T = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
H3_B = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)


def doubt_at(line: StraightLine, x: float) -> float:
    """Standard uncertainty of the line's y at x: height and slope are independent about the middle."""
    return sqrt(line.height_uncertainty**2 + (line.slope_uncertainty * (x - line.middle)) ** 2)


@cites("norris")
def test_norris_data_copied_whole() -> None:
    """Sums of the data file, so that a slip in copying shows."""
    assert len(NORRIS_X) == len(NORRIS_Y) == 36
    assert sum(NORRIS_X) == pytest.approx(15090.4, abs=1e-9)
    assert sum(NORRIS_Y) == pytest.approx(15112.9, abs=1e-9)


@cites("norris")
def test_norris_certified_values() -> None:
    """NIST StRD Norris, certified; eleven digits asked."""
    line = fit(NORRIS_X, NORRIS_Y)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert line.at(0.0) == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope_uncertainty == pytest.approx(0.429796848199937e-3, rel=1e-11)
    assert doubt_at(line, 0.0) == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.scatter == pytest.approx(0.884796396144373, rel=1e-11)
    assert line.dof == 34


@cites("gum")
def test_thermometer_of_the_guide() -> None:
    """JCGM 100:2008, H.3: y1 −0.1712(29) at 20 °C, y2 0.00218(67), s 0.0035, b(30 °C) −0.1494(41), ν 9."""
    line = fit(H3_T, H3_B)
    assert line.at(20.0) == pytest.approx(-0.17120379, abs=5e-9)
    assert doubt_at(line, 20.0) == pytest.approx(0.00287760, abs=5e-9)
    assert line.slope == pytest.approx(0.00218269774, abs=5e-12)
    assert line.slope_uncertainty == pytest.approx(0.00066793877, abs=5e-12)
    assert line.scatter == pytest.approx(0.00349756, abs=5e-9)
    assert line.at(30.0) == pytest.approx(-0.149377, abs=5e-7)
    assert doubt_at(line, 30.0) == pytest.approx(0.00413860, abs=5e-9)
    assert line.dof == 9


@cites("gum")
def test_correlation_of_the_guide_vanishes_about_the_middle() -> None:
    """JCGM 100:2008, H.3.3: r(y1, y2) = −0.930 at 20 °C; it is what moving away from the middle puts in."""
    line = fit(H3_T, H3_B)
    covariance = line.slope_uncertainty**2 * (20.0 - line.middle)
    assert covariance / (line.slope_uncertainty * doubt_at(line, 20.0)) == pytest.approx(-0.930430, abs=5e-7)


@cites("iso28037")
def test_equal_weights_example() -> None:
    """ISO/TS 28037:2010, clause 6, p. 13: each y with u = 0.5, known beforehand."""
    x, y, u = [1, 2, 3, 4, 5, 6], [3.3, 5.6, 7.1, 9.3, 10.7, 12.1], 0.5
    line = fit(x, y)
    assert line.at(0.0) == pytest.approx(1.8666667, abs=5e-8)
    assert line.slope == pytest.approx(1.7571429, abs=5e-8)
    assert u / sqrt(line.spread) == pytest.approx(0.1195229, abs=5e-8)
    assert u * sqrt(1 / 6 + line.middle**2 / line.spread) == pytest.approx(0.4654747, abs=5e-8)
    assert -line.middle * u**2 / line.spread == pytest.approx(-0.050, abs=5e-4)
    assert line.dof * (line.scatter / u) ** 2 == pytest.approx(1.6648, abs=5e-5)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_against_linregress(seed: int) -> None:
    """SciPy's linregress; its intercept after moving x is the line's y at that x, with its u."""
    draw = np.random.default_rng(seed)
    x = draw.uniform(2.0, 60.0, 12)
    y = 0.04 + 0.991 * x + draw.normal(0.0, 0.08, 12)
    line, other = fit(list(x), list(y)), stats.linregress(x, y)
    assert line.slope == pytest.approx(other.slope, rel=1e-12)
    assert line.slope_uncertainty == pytest.approx(other.stderr, rel=1e-10)
    for at in (0.0, 5.0, 47.5):
        moved = stats.linregress(x - at, y)
        assert line.at(at) == pytest.approx(moved.intercept, rel=1e-10)
        assert doubt_at(line, at) == pytest.approx(moved.intercept_stderr, rel=1e-9)


@cites("own")
def test_weights_give_the_slope_from_any_heights() -> None:
    """The slope is linear in y: what uncertain heights need."""
    line = fit(NORRIS_X, NORRIS_Y)
    assert sum(w * y for w, y in zip(line.weights, NORRIS_Y, strict=True)) == pytest.approx(line.slope, rel=1e-12)
    assert sum(line.weights) == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(("curve", "shown"), [(0.0, False), (0.004, True), (-0.004, True)])
def test_bend_against_polyfit(curve: float, shown: bool) -> None:
    """NumPy's quadratic and its covariance: the same t, the same bow, the t limit of SciPy."""
    x = np.array([2.0, 5, 10, 20, 30, 40, 50, 60, 5, 30, 60])
    scatter = np.array([0.01, -0.06, 0.10, -0.08, 0.04, -0.04, 0.08, -0.11, 0.04, -0.06, 0.10])
    y = 0.99 * x + curve * (x - 30) ** 2 + scatter
    coefficients, covariance = np.polyfit(x, y, 2, cov=True)
    found = bend(list(x), list(y))
    assert found is not None
    assert found.t == pytest.approx(coefficients[0] / sqrt(covariance[0, 0]), rel=1e-6)
    assert found.sag == pytest.approx(coefficients[0] * 29.0**2, rel=1e-6)
    assert found.limit == pytest.approx(stats.t.ppf(0.975, len(x) - 3), rel=1e-9)
    assert found.shown is shown


@promise()
def test_bend_of_a_perfect_line_is_not_shown() -> None:
    """Arithmetic residue is no scatter."""
    found = bend([10.0, 20.0, 30.0, 40.0, 50.0], [9.9, 19.8, 29.7, 39.6, 49.5])
    assert found is not None
    assert not found.shown


@promise()
@pytest.mark.parametrize(("x", "y"), [([1, 2, 3], [1, 2, 4]), ([1, 1, 2, 2], [1, 1, 2, 2])])
def test_bend_cannot_be_told(x: list[float], y: list[float]) -> None:
    assert bend(x, y) is None


@promise()
def test_no_line_through_one_place() -> None:
    with pytest.raises(ValueError, match="two places"):
        fit([5.0, 5.0, 5.0], [1.0, 2.0, 3.0])
