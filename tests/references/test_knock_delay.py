"""Douaud-Eyzat delay, Livengood-Wu integral, Wiebe curve and Woschni's heat loss: tables and exact consequences.

Douaud & Eyzat, SAE 780080 (1978): constants as seen in public source files and
a public algorithm note, in agreement with Heywood (1988) sec. 9.6 (from
memory); the paper itself was not seen.  Livengood & Wu (1955): the integral.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, radians

import pytest

from ccassist.boost.burn import burn_progress, wiebe, woschni
from ccassist.boost.knock import Delay, knock_integral, octane_over
from tests.knock_builds import build

TEMPERATURES = (650.0, 700.0, 750.0, 800.0, 850.0, 900.0)
# ms at 95 ON, by bar: the published formula in double precision
TABLE = {
    10: (104.8, 69.03, 48.07, 35.02, 26.48, 20.66),
    20: (32.26, 21.25, 14.79, 10.78, 8.151, 6.358),
    40: (9.928, 6.539, 4.553, 3.318, 2.509, 1.957),
    60: (4.983, 3.282, 2.286, 1.665, 1.259, 0.982),
}
CELLS = [(bar, t, ms) for bar, row in TABLE.items() for t, ms in zip(TEMPERATURES, row, strict=True)]
ADIABATIC = {"heat_loss": 0.0}


@pytest.mark.parametrize(("bar", "temperature", "ms"), CELLS)
def test_delay_table(bar, temperature, ms):
    """SAE 780080 constants, p in atm; the table is rounded to four figures."""
    assert Delay().time(bar * 1e5, temperature, 95.0) * 1e3 == pytest.approx(ms, rel=5.5e-4)


def test_delay_by_hand():
    """τ = 17.68 ms · (ON/100)^3.402 · p^−1.7 · exp(3800/T), at 1 atm and 100 ON."""
    assert Delay().time(101325.0, 800.0, 100.0) == pytest.approx(0.01768 * exp(4.75), rel=1e-12)


def test_integral_falls_with_speed():
    """Exact without heat loss: time is angle over speed."""
    at = [knock_integral(build(9.5, 0.6, rpm, **ADIABATIC)) for rpm in (1000.0, 2500.0, 7000.0)]
    assert at[0] / at[1] == pytest.approx(2.5, rel=1e-12)
    assert at[0] / at[2] == pytest.approx(7.0, rel=1e-12)


def test_integral_rises_with_pressure():
    """Exact without heat loss: every pressure of the cycle scales, no temperature moves, KI ∝ p^1.7."""
    case = build(9.5, 0.0, **ADIABATIC)
    more = case.but(pressure=case.operating.pressure * 1.37)
    assert knock_integral(more) / knock_integral(case) == pytest.approx(1.37**1.7, rel=1e-12)


def test_integral_falls_with_octane():
    """Exact: KI(ON) = KI(95) (95/ON)^3.402; so the octane that restores an integral is ON · ratio^(1/3.402)."""
    case = build(9.5, 0.6)
    ratio = knock_integral(case.but(octane=88.0)) / knock_integral(case)
    assert ratio == pytest.approx((95 / 88) ** 3.402, rel=1e-12)
    assert octane_over(88.0, ratio) == pytest.approx(95 - 88, rel=1e-12)


def test_unit_of_pressure_cancels():
    """The same constants with p in kg/cm² move every level alike: no ratio changes (constant of the formula)."""
    one, other = build(9.0, 0.6), build(8.5, 1.0)
    moved = replace(Delay(), constant=Delay().constant * (98066.5 / 101325) ** 1.7)
    ratios = [knock_integral(other, delay=d) / knock_integral(one, delay=d) for d in (Delay(), moved)]
    assert ratios[0] == pytest.approx(ratios[1], rel=1e-12)


@pytest.mark.parametrize(("share", "progress"), [(0.1, 0.2762), (0.5, 0.5175), (0.9, 0.7722)])
def test_wiebe_fractions(share, progress):
    """Wiebe with a 5, m 2 (Heywood 1988 ch. 9, from memory)."""
    assert burn_progress(share) == pytest.approx(progress, abs=5e-5)
    assert wiebe(progress) == pytest.approx(share, abs=2e-4)


def test_half_the_duration_from_ten_to_ninety():
    """Wiebe with a 5, m 2: 0.496 of the duration."""
    assert burn_progress(0.9) - burn_progress(0.1) == pytest.approx(0.496, abs=5e-4)


def test_woschni():
    """h = 3.26 B^−0.2 p^0.8 T^−0.55 w^0.8, p in kPa (form seen in public code; constants Heywood, from memory)."""
    # 1 m, 1 kPa, 1 K, 1 m/s leave the constant
    assert woschni(1e3, 1.0, 1.0, 1.0) == pytest.approx(3.26, rel=1e-12)
    base = woschni(2e6, 700.0, 16.0, 0.0853)
    assert woschni(4e6, 700.0, 16.0, 0.0853) / base == pytest.approx(2**0.8, rel=1e-12)
    assert woschni(2e6, 1400.0, 16.0, 0.0853) / base == pytest.approx(2**-0.55, rel=1e-12)
    assert woschni(2e6, 700.0, 32.0, 0.0853) / base == pytest.approx(2**0.8, rel=1e-12)
    assert woschni(2e6, 700.0, 16.0, 0.1706) / base == pytest.approx(2**-0.2, rel=1e-12)
    assert 500 < base < 1500  # W/(m² K), the usual order late in compression (common practice, no source)


def test_later_burn_is_easier():
    """Sign, common practice: retard takes knock away."""
    found = [knock_integral(build(9.5, 0.6, burn_centre=radians(a))) for a in (4, 8, 14, 22)]
    assert found == sorted(found, reverse=True)
