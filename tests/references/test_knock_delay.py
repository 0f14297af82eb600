"""Douaud-Eyzat delay, Livengood-Wu integral, Wiebe curve and Woschni's heat loss: exact consequences.

The constants are as seen in public source files and a public algorithm note, in agreement with Heywood (1988) sec. 9.6
(from memory); the paper itself was not seen, and prints no worked value that could be met.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from ccassist.boost.burn import burn_progress, wiebe, woschni
from ccassist.boost.knock import Delay, knock_integral, octane_over
from tests.knock_builds import build
from tests.references.sources import cites

ADIABATIC = {"heat_loss": 0.0}


@cites("douaud")
def test_integral_falls_with_speed():
    """Exact without heat loss: time is angle over speed."""
    at = [knock_integral(build(9.5, 0.6, rpm, **ADIABATIC)) for rpm in (1000.0, 2500.0, 7000.0)]
    assert at[0] / at[1] == pytest.approx(2.5, rel=1e-12)
    assert at[0] / at[2] == pytest.approx(7.0, rel=1e-12)


@cites("douaud")
def test_integral_rises_with_pressure():
    """Exact without heat loss: every pressure of the cycle scales, no temperature moves, KI ∝ p^1.7."""
    case = build(9.5, 0.0, **ADIABATIC)
    more = case.but(pressure=case.operating.pressure * 1.37)
    assert knock_integral(more) / knock_integral(case) == pytest.approx(1.37**1.7, rel=1e-12)


@cites("douaud")
def test_integral_falls_with_octane():
    """Exact: KI(ON) = KI(95) (95/ON)^3.402; so the octane that restores an integral is ON · ratio^(1/3.402)."""
    case = build(9.5, 0.6)
    ratio = knock_integral(case.but(octane=88.0)) / knock_integral(case)
    assert ratio == pytest.approx((95 / 88) ** 3.402, rel=1e-12)
    assert octane_over(88.0, ratio) == pytest.approx(95 - 88, rel=1e-12)


@cites("douaud")
def test_unit_of_pressure_cancels():
    """The same constants with p in kg/cm² move every level alike: no ratio changes (constant of the formula)."""
    one, other = build(9.0, 0.6), build(8.5, 1.0)
    moved = replace(Delay(), constant=Delay().constant * (98066.5 / 101325) ** 1.7)
    ratios = [knock_integral(other, delay=d) / knock_integral(one, delay=d) for d in (Delay(), moved)]
    assert ratios[0] == pytest.approx(ratios[1], rel=1e-12)


@cites("heywood")
@pytest.mark.parametrize(("share", "progress"), [(0.1, 0.2762), (0.5, 0.5175), (0.9, 0.7722)])
def test_wiebe_fractions(share, progress):
    """Wiebe with a 5, m 2 (Heywood 1988 ch. 9, from memory)."""
    assert burn_progress(share) == pytest.approx(progress, abs=5e-5)
    assert wiebe(progress) == pytest.approx(share, abs=2e-4)


@cites("heywood")
def test_half_the_duration_from_ten_to_ninety():
    """Wiebe with a 5, m 2: 0.496 of the duration."""
    assert burn_progress(0.9) - burn_progress(0.1) == pytest.approx(0.496, abs=5e-4)


@cites("woschni")
def test_woschni():
    """h ∝ B^−0.2 p^0.8 T^−0.55 w^0.8, and of the usual order late in compression (common practice, no source)."""
    base = woschni(2e6, 700.0, 16.0, 0.0853)
    assert woschni(4e6, 700.0, 16.0, 0.0853) / base == pytest.approx(2**0.8, rel=1e-12)
    assert woschni(2e6, 1400.0, 16.0, 0.0853) / base == pytest.approx(2**-0.55, rel=1e-12)
    assert woschni(2e6, 700.0, 32.0, 0.0853) / base == pytest.approx(2**0.8, rel=1e-12)
    assert woschni(2e6, 700.0, 16.0, 0.1706) / base == pytest.approx(2**-0.2, rel=1e-12)
    assert 500 < base < 1500  # W/(m² K)


@cites("practice")
def test_later_burn_is_easier():
    """Sign, common practice: retard takes knock away."""
    found = [knock_integral(build(9.5, 0.6, burn_centre=radians(a))) for a in (4, 8, 14, 22)]
    assert found == sorted(found, reverse=True)
