"""The curve through lift readings, and the assumed one.

Judges: SciPy's monotone cubic; the assumed curve is held to its own events, which is consistency, no physics.
"""

from __future__ import annotations

from itertools import pairwise
from math import pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from ccassist.engine.cam import assumed_half, assumed_lift, through
from ccassist.engine.mathematics import uncertain

LIFTS = st.lists(st.integers(0, 1500).map(lambda hundredths: hundredths * 1e-5), min_size=2, max_size=20)


@given(LIFTS, st.floats(0.01, 0.2))
def test_it_is_the_library_s_monotone_cubic(lifts: list[float], step: float) -> None:
    """SciPy's PchipInterpolator (Fritsch & Butland 1984) as an independent route."""
    angles = [step * (i + 0.2 * (i % 3)) for i in range(len(lifts))]
    curve, theirs = through(angles, lifts), PchipInterpolator(angles, lifts)
    for angle in np.linspace(angles[0], angles[-1], 37):
        assert curve.value(angle) == pytest.approx(float(theirs(angle)), abs=1e-12)
        assert curve.slope(angle) == pytest.approx(float(theirs(angle, 1)), abs=1e-8)


@given(st.lists(st.floats(0.0, 3e-3), min_size=3, max_size=15))
def test_it_never_overshoots(rises: list[float]) -> None:
    """Between two readings it stays between them."""
    lifts = [float(v) for v in np.cumsum(rises)]
    curve = through([float(i) for i in range(len(lifts))], lifts)
    for i, (first, last) in enumerate(pairwise(lifts)):
        for part in (0.1, 0.35, 0.5, 0.8):
            assert first - 1e-12 <= curve.value(i + part) <= last + 1e-12


def test_between_readings_every_4_degrees_a_smooth_lift_is_met_to_a_hundredth() -> None:
    """A cosine lift of 10 mm over 280 degrees (invented), read every 4 degrees: no more than 0.01 mm off."""
    true = lambda a: 5e-3 * (1 + np.cos(pi * (a - radians(108)) / radians(140)))  # noqa: E731
    angles = np.radians(np.arange(-30, 61, 4))
    curve = through(angles, true(angles))
    fine = np.radians(np.arange(-30, 58, 0.5))
    assert max(abs(curve.value(a) - true(a)) for a in fine) < 1e-5


@pytest.mark.parametrize("angles", [[0.0], [0.0, 0.0], [0.0, 2.0, 1.0], []])
def test_angles_must_rise(angles: list[float]) -> None:
    with pytest.raises(ValueError, match="angles that rise"):
        through(angles, [0.0] * len(angles))


@pytest.mark.parametrize("event_lift", [0.0, 0.5e-3, 1.27e-3])
def test_the_assumed_curve_goes_through_its_events(event_lift: float) -> None:
    half = assumed_half(radians(114), event_lift, 10e-3)
    assert assumed_lift(radians(108 - 114), radians(108), half, 10e-3) == pytest.approx(event_lift, abs=1e-12)
    assert assumed_lift(radians(108), radians(108), half, 10e-3) == pytest.approx(10e-3)


def test_the_assumed_curve_is_as_full_as_common_cams() -> None:
    """228 degrees at 0.050 in, 9 mm lift: 18 to 30 degrees a side longer at the seat (common practice, no source)."""
    half = assumed_half(radians(114), 1.27e-3, 9e-3)
    assert 18 <= np.degrees(half) - 114 <= 30


def test_it_serves_uncertain_numbers() -> None:
    from uncertainties import ufloat

    half = assumed_half(ufloat(2.0, 0.02), ufloat(1e-3, 1e-5), ufloat(10e-3, 1e-5), m=uncertain())
    assert half.std_dev == pytest.approx(0.02 / (1 - 0.1 ** (2 / 3)) ** 0.5, rel=0.02)
