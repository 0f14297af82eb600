"""Rajput, Internal Combustion Engines: worked examples, seen as data and printed answers."""

from __future__ import annotations

import pytest

from ccassist.boost.charge import compressor_outlet, ratio_from_pressures
from tests.references.constant_gas import AIR_1_4


def test_example_16_1_supercharger() -> None:
    """325 K, pressure ratio 1.6, efficiency 0.70: T₂ 391.73 K."""
    assert compressor_outlet(325.0, 1.6, 0.70, AIR_1_4) == pytest.approx(391.73, abs=0.01)


def test_example_17_26_ratio_from_two_pressures() -> None:
    """1.4 bar at a quarter, 3.6 bar at three quarters of the stroke, n 1.3: printed 5.58."""
    assert ratio_from_pressures(1.4e5, 3.6e5, 1.3, 0.25, 0.75) == pytest.approx(5.58, abs=0.005)
