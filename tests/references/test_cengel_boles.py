"""Çengel & Boles, Thermodynamics, example 9-2: the air-standard Otto cycle with real heat capacities.

Seen as data and printed answers: ratio 8, 290 K, 100 kPa, 800 kJ/kg added:
T₂ 652.4 K, T₃ 1575.1 K, p₃ 4.345 MPa, T₄ 795.6 K, net work 418.17 kJ/kg,
efficiency 0.523, mean pressure 574 kPa; p₂ 1799.7 kPa from memory.  The book
interpolates its air table: 0.5 K for compression, 1.5 K after heat is added.
"""

from __future__ import annotations

import pytest

from ccassist.boost.charge import GasState, compressor_outlet, isentropic
from ccassist.boost.gas import mixture
from ccassist.values.numerics import root
from tests.references.sources import cites

pytestmark = cites("cengel")

AIR = mixture("none", 0.0, 0.0)
ADDED = 800e3  # J/kg


def energy(temperature: float) -> float:
    """Internal energy, J/kg."""
    return float(AIR.enthalpy(temperature) - AIR.gas_constant * temperature)


def test_compression() -> None:
    end = isentropic(AIR, GasState(pressure=1e5, temperature=290.0), 8.0)
    assert end.temperature == pytest.approx(652.4, abs=0.5)
    assert end.pressure / 1e3 == pytest.approx(1799.7, abs=1.5)


def test_whole_cycle() -> None:
    start = GasState(pressure=1e5, temperature=290.0)
    compressed = isentropic(AIR, start, 8.0)
    hot = root(lambda t: energy(t) - energy(compressed.temperature) - ADDED, compressed.temperature, 4000.0)
    assert hot == pytest.approx(1575.1, abs=2.0)
    assert hot is not None
    peak = compressed.pressure * hot / compressed.temperature
    assert peak / 1e6 == pytest.approx(4.345, abs=0.005)
    expanded = isentropic(AIR, GasState(pressure=peak, temperature=hot), 1 / 8.0)
    assert expanded.temperature == pytest.approx(795.6, abs=1.0)
    work = ADDED - (energy(expanded.temperature) - energy(290.0))
    assert work / 1e3 == pytest.approx(418.17, abs=0.6)
    assert work / ADDED == pytest.approx(0.523, abs=5.1e-4)
    swept = AIR.gas_constant * 290.0 / 1e5 * (1 - 1 / 8.0)
    assert work / swept / 1e3 == pytest.approx(574, abs=1.0)


def test_compressor() -> None:
    """Example 7-14 (from memory): air from 285 K to 8 times the pressure, efficiency 0.80: 569.5 K.

    Its air table gives 517.05 kJ/kg for the isentrope, which is 513.6 K.
    """
    assert compressor_outlet(285.0, 8.0, 1.0) == pytest.approx(513.6, abs=0.5)
    assert compressor_outlet(285.0, 8.0, 0.80) == pytest.approx(569.5, abs=0.5)
