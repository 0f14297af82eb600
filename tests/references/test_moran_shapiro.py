"""Moran & Shapiro, Fundamentals of Engineering Thermodynamics, examples 9.1 and 9.2: compression of air.

Seen as data and printed answers (SI edition).  9.1 (Otto): ratio 8, 300 K,
1 bar: T₂ 673 K, p₂ 17.947 bar.  9.2 (Diesel): ratio 18, 300 K, 0.1 MPa:
T₂ 898.3 K, p₂ 5.39 MPa.  Air table interpolated: 0.5 K.  9.1 in US units,
from memory: 540 °R, 1 atm -> 1212 °R, 17.96 atm.
"""

from __future__ import annotations

import pytest

from ccassist.boost.charge import GasState, isentropic
from ccassist.boost.gas import mixture
from tests.references.sources import cites

pytestmark = cites("moran")

AIR = mixture("none", 0.0, 0.0)


@pytest.mark.parametrize(
    ("ratio", "kelvin", "bar", "rounding"), [(8.0, 673.0, 17.947, 0.013), (18.0, 898.3, 53.9, 0.05)]
)
def test_end_of_compression(ratio: float, kelvin: float, bar: float, rounding: float) -> None:
    end = isentropic(AIR, GasState(pressure=1e5, temperature=300.0), ratio)
    assert end.temperature == pytest.approx(kelvin, abs=0.5)
    assert end.pressure / 1e5 == pytest.approx(bar, abs=rounding)


def test_in_us_units() -> None:
    """From memory; 1 °R is 5/9 K, and the table rounds to 1 °R."""
    end = isentropic(AIR, GasState(pressure=101325.0, temperature=540 * 5 / 9), 8.0)
    assert end.temperature * 9 / 5 == pytest.approx(1212, abs=1.1)
    assert end.pressure / 101325 == pytest.approx(17.96, abs=0.03)
