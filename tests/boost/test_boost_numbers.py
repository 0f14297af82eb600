"""Root finding and doubt by differences."""

from __future__ import annotations

from math import cos, nan, sin

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.boost.numbers import log, mathematics_of, propagate, within
from ccassist.engine import mathematics


def test_doubt_by_differences_keeps_correlations() -> None:
    """Against the first-order rule itself (JCGM 100:2008, eq. 10) with one input used twice."""
    x, y = ufloat(0.5, 0.01), ufloat(2.0, 0.03)
    found = propagate(lambda a, b: b * sin(a), x, y)
    by_rule = ((2 * cos(0.5) * 0.01) ** 2 + (sin(0.5) * 0.03) ** 2) ** 0.5
    assert found.nominal_value == pytest.approx(2 * sin(0.5))
    assert found.std_dev == pytest.approx(by_rule, rel=1e-4)
    assert (found - propagate(lambda a, b: b * sin(a), x, y)).std_dev == 0


def test_doubt_not_known_yet_stays_not_known() -> None:
    found = propagate(lambda a: 2 * a, ufloat(1.0, nan))
    assert found.nominal_value == 2.0
    assert np.isnan(found.std_dev)


def test_kinds_of_mathematics() -> None:
    assert mathematics_of(1.0, 2.0) is mathematics.FLOATS
    assert mathematics_of(1.0, np.array([2.0])) is mathematics.arrays()
    assert mathematics_of(1.0, ufloat(1, 1)) is mathematics.uncertain()


def test_log_and_limits_of_every_kind() -> None:
    assert log(np.array([1.0, np.e])) == pytest.approx([0.0, 1.0])
    assert log(ufloat(2.0, 0.2)).std_dev == pytest.approx(0.1)
    assert within(5.0, 0.0, 3.0) == 3.0
    assert list(within(np.array([-1.0, 1.0]), 0.0, 3.0)) == [0.0, 1.0]
