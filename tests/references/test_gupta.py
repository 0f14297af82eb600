"""Gupta, Fundamentals of Internal Combustion Engines: worked examples, seen as data and printed answers."""

from __future__ import annotations

from math import pi

import pytest

from ccassist.boost.charge import GasState, compressor_outlet, cooler_outlet, polytropic, ratio_from_pressures
from ccassist.engine import relations
from tests.references.constant_gas import AIR_1_4


def test_example_2_1_otto_inputs() -> None:
    """200 × 250 mm, clearance 1570 cm³, 1 bar, 300 K, γ 1.4: T₂ 341.3 °C, p₂ 12.29 bar (ratio 6.0025)."""
    ratio = relations.static_ratio(pi / 4 * 0.2**2 * 0.25, 1570e-6)
    assert ratio == pytest.approx(6.0025, abs=5.1e-5)
    end = polytropic(GasState(pressure=1e5, temperature=300.0), 6.0, 1.4)
    assert end.temperature - 273 == pytest.approx(341.3, abs=0.2)
    assert end.pressure / 1e5 == pytest.approx(12.29, abs=0.006)


def test_example_2_2_ratio_from_two_pressures() -> None:
    """1.2 bar at 5 %, 4.8 bar at 75 % of the compression stroke, n 1.3: printed 9.5."""
    assert ratio_from_pressures(1.2e5, 4.8e5, 1.3, 0.05, 0.75) == pytest.approx(9.5, abs=0.05)


def test_example_15_1_supercharger() -> None:
    """288 K, pressure ratio 1.6, efficiency 0.74: T₂ 343.93 K; filling 134 % of free air (recomputed 1.3398)."""
    assert compressor_outlet(288.0, 1.6, 1.0, AIR_1_4) == pytest.approx(329.39, abs=0.006)
    hot = compressor_outlet(288.0, 1.6, 0.74, AIR_1_4)
    assert hot == pytest.approx(343.93, abs=0.006)
    assert 1.6 * 288.0 / hot == pytest.approx(1.34, abs=0.005)


def test_example_15_5_heat_taken_by_the_cooler() -> None:
    """290 K, ratio 1.8, efficiency 0.90, cooled to 330 K; 4.5 l at 4000 rpm, filling 1.5: T₂ 348.92 K, 5.14 kW.

    The heat is recomputed with 2000 fills a minute of air at 1 bar and 290 K, cp 1.005 and R 0.287 kJ/(kg K).
    """
    hot = compressor_outlet(290.0, 1.8, 0.90, AIR_1_4)
    assert hot == pytest.approx(348.92, abs=0.006)
    flow = 1.5 * 4.5e-3 * 2000 / 60 * 1e5 / (287 * 290)
    effectiveness = (hot - 330.0) / (hot - 290.0)
    taken = flow * 1.005 * (hot - cooler_outlet(hot, 290.0, effectiveness))
    assert taken == pytest.approx(5.14, abs=0.006)
