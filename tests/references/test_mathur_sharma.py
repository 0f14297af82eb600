"""Mathur & Sharma, A Course in Internal Combustion Engines: worked examples, seen as data and printed answers."""

from __future__ import annotations

import pytest

from ccassist.boost.charge import GasState, compressor_outlet, effective_exponent, polytropic, ratio_from_pressures
from tests.references.constant_gas import AIR_1_4


def test_example_2_10_ratio_from_two_pressures() -> None:
    """1.33 bar at 30 %, 2.66 bar at 70 % of the compression stroke, n 1.33: printed 4.51."""
    assert ratio_from_pressures(1.33e5, 2.66e5, 1.33, 0.3, 0.7) == pytest.approx(4.51, abs=0.005)


def test_example_3_2_polytropic_compression() -> None:
    """Ratio 6, 333 K, n 1.32: printed 10.65 bar and 590 K from 1 bar (the book rounds the power)."""
    start = GasState(pressure=1e5, temperature=333.0)
    end = polytropic(start, 6.0, 1.32)
    assert end.pressure / 1e5 == pytest.approx(10.65, abs=0.01)
    assert end.temperature == pytest.approx(590, abs=1.0)
    assert effective_exponent(start, end, 6.0) == pytest.approx(1.32, rel=1e-12)


def test_example_17_1_supercharger() -> None:
    """300 K, ratio 1.7, efficiency 0.75: exact 349.11 and 365.48 K; the book rounds 350 up first and gets 366.67."""
    ideal = compressor_outlet(300.0, 1.7, 1.0, AIR_1_4)
    assert ideal == pytest.approx(349.11, abs=0.006)
    assert compressor_outlet(300.0, 1.7, 0.75, AIR_1_4) == pytest.approx(365.48, abs=0.006)
