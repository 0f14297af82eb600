"""Knock differences against published slopes, and against an earlier separate calculation.

All of this is plausibility: bands, not exact values.

R. Russ, SAE 960497 (1996), abstract seen: octane requirement rises 5 per unit
of compression ratio, 3 to 4 per 10 kPa of intake pressure, 1 per 7 K of intake
air and 1 per degree of spark.  Single-cylinder engine.

The separate calculation took the same assumptions (charge, Wiebe 50° about
8°, 93 % heat release, Woschni); it is recomputed work, no published source.
"""

from __future__ import annotations

from math import radians

import pytest

from ccassist.boost.knock import end_gas, knock_integral
from ccassist.boost.knock_charge import equal_knock
from ccassist.boost.knock_compare import compare, octane_difference
from tests.knock_builds import build

SPEEDS = (1500.0, 2500.0)
BARS = 0.10  # 10 kPa
BOOSTED = [
    (0.0, 8.5),
    (0.0, 9.5),
    (0.0, 10.5),
    (1.0, 8.5),
    (1.0, 9.5),
    (1.0, 10.5),
    (1.8, 8.5),
    (1.8, 9.5),
    (1.8, 10.5),
]


@pytest.mark.parametrize("rpm", SPEEDS)
@pytest.mark.parametrize("ratio", [9.5, 10.0])
def test_russ_compression_ratio(ratio, rpm):
    """SAE 960497: 5 ON per unit; 4 to 8 passes."""
    assert 4 < octane_difference(build(ratio, 0.0, rpm), build(ratio + 1, 0.0, rpm)) < 8


@pytest.mark.parametrize("rpm", SPEEDS)
@pytest.mark.parametrize("ratio", [9.5, 10.5])
def test_russ_intake_pressure(ratio, rpm):
    """SAE 960497: 3 to 4 ON per 10 kPa; 3 to 5.5 passes."""
    assert 3 < octane_difference(build(ratio, 0.0, rpm), build(ratio, BARS, rpm)) < 5.5


@pytest.mark.parametrize("rpm", SPEEDS)
def test_russ_intake_air(rpm):
    """SAE 960497: 1 ON per 7 K; 0.7 to 1.5 passes."""
    case = build(10.0, 0.0, rpm)
    run = case.operating
    warmer = case.but(temperature=run.temperature + 7 * (1 - run.residual))
    assert 0.7 < octane_difference(case, warmer) < 1.5


@pytest.mark.parametrize("rpm", SPEEDS)
def test_russ_spark(rpm):
    """SAE 960497: 1 ON per degree; 0.8 to 1.5 passes."""
    case = build(10.0, 0.0, rpm)
    assert 0.8 < octane_difference(case, case.but(burn_centre=radians(7))) < 1.5


@pytest.mark.parametrize(
    ("boost", "ratio", "integrals", "peak", "hottest"),
    [
        (*BOOSTED[0], (0.40, 0.20, 0.13), 41, 819),
        (*BOOSTED[1], (0.51, 0.26, 0.17), 45, 829),
        (*BOOSTED[2], (0.64, 0.33, 0.21), 49, 838),
        (*BOOSTED[3], (1.41, 0.72, 0.45), 78, 847),
        (*BOOSTED[4], (1.81, 0.93, 0.59), 86, 857),
        (*BOOSTED[5], (2.26, 1.16, 0.73), 94, 866),
        (*BOOSTED[6], (2.63, 1.34, 0.85), 107, 862),
        (*BOOSTED[7], (3.37, 1.72, 1.09), 118, 872),
        (*BOOSTED[8], (4.20, 2.16, 1.36), 128, 882),
    ],
)
def test_levels_of_the_separate_calculation(boost, ratio, integrals, peak, hottest):
    """Separate calculation, same assumptions: within 5 % (integrals printed to two decimals), pressure bar, K."""
    for rpm, integral in zip((2500.0, 5000.0, 8000.0), integrals, strict=True):
        assert knock_integral(build(ratio, boost, rpm)) == pytest.approx(integral, rel=0.05, abs=0.006)
    gas = list(end_gas(build(ratio, boost)))
    assert max(g.node.pressure for g in gas) / 1e5 == pytest.approx(peak, rel=0.05)
    assert max(g.temperature for g in gas) == pytest.approx(hottest, rel=0.01)


@pytest.mark.parametrize(("boost", "expected"), [(0.4, (11.06, 11.20)), (1.0, (14.72, 15.18)), (1.8, (19.41, 20.48))])
def test_natural_ratio_of_the_separate_calculation(boost, expected):
    """Separate calculation: 8.5:1 at a boost as an unboosted ratio, without and with heat loss, within 5 %."""
    for loss, ratio in zip((0.0, 1.0), expected, strict=True):
        found = equal_knock(build(8.5, boost, heat_loss=loss), lambda r, loss=loss: build(r, heat_loss=loss), 8.5)
        assert found[0] == pytest.approx(ratio, rel=0.05)


@pytest.mark.parametrize(
    ("boost", "ratios"),
    [
        (0.4, (11.2, 10.3, 9.4, 8.6, 7.8)),
        (1.0, (15.2, 14.0, 12.8, 11.6, 10.5)),
        (1.8, (20.5, 18.8, 17.2, 15.6, 14.1)),
    ],
)
def test_spark_decides(boost, ratios):
    """Separate calculation: 8.5:1 burning about 8 to 24 degrees, unboosted engine about 8; within 5 %."""
    for degrees, ratio in zip((8, 12, 16, 20, 24), ratios, strict=True):
        found = equal_knock(build(8.5, boost, burn_centre=radians(degrees)), build, 8.5)
        assert found[0] == pytest.approx(ratio, rel=0.05)


@pytest.mark.parametrize(("boost", "ratio"), [(0.8, 8.17), (1.0, 7.50)])
def test_trade_off_of_the_separate_calculation(boost, ratio):
    """Separate calculation: from 9.0:1 at 0.6 bar, the ratio that more boost leaves."""
    found = equal_knock(build(9.0, 0.6), lambda r: build(r, boost), 9.0)
    assert found[0] == pytest.approx(ratio, rel=0.02)


@pytest.mark.parametrize(
    ("first", "second", "octane", "common"),
    [
        ((9.0, 0.6), (8.5, 1.0), 8.2, 0.6),
        ((9.0, 0.6), (9.5, 1.0), 16.0, 1.0),
        ((9.5, 0.0), (10.5, 0.0), 6.3, 0.5),
        ((9.5, 0.0), (8.5, 1.0), 33.0, 2.4),
    ],
)
def test_interval_of_the_separate_calculation(first, second, octane, common):
    """Separate calculation, 4,000 draws with sizes of its own: the difference, and what stays of what is shared."""
    found, _ = compare(build(*first), build(*second))
    assert found is not None
    assert found.octane == pytest.approx(octane, rel=0.08)
    assert found.common == pytest.approx(common, rel=0.25)


def test_what_is_not_shared_decides():
    """Separate calculation: +8.1 ± 3.7 ON, 5 to 95 % from 2.3 to 14.2, sign right in 98.5 %."""
    found, _ = compare(build(9.0, 0.6), build(8.5, 1.0))
    assert found is not None
    assert found.overall == pytest.approx(3.7, rel=0.1)
    assert found.harder == pytest.approx(0.985, abs=0.01)
    # 95 % from its standard deviation
    assert found.low == pytest.approx(8.1 - 1.96 * 3.7, abs=0.8)
    assert found.high == pytest.approx(8.1 + 1.96 * 3.7, abs=0.8)
