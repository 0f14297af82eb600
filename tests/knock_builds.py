"""Builds for the tests of burn and knock: an invented four-cylinder, boosted through a cooler.

The assumptions are written out here and not taken from the charge of the tool,
so that a change there does not move these tests.
"""

from __future__ import annotations

from math import radians
from typing import Any

from ccassist.boost.burn_case import BurntCylinder, Case, Operating

ATMOSPHERE, AMBIENT = 101325.0, 298.15  # Pa, K
EFFICIENCY, EFFECTIVENESS, HEATING, RESIDUAL = 0.75, 0.8, 20.0, 1100.0  # compressor, cooler, K, K
CYLINDER = BurntCylinder(bore=0.0853, stroke=0.084, rod_length=0.145, clearance_volume=6e-5)


def build(ratio: Any, boost: Any = 0.0, rpm: float = 2500.0, **changes: Any) -> Case:
    """A static ratio at a boost in bar above the standard atmosphere, full throttle; floats or arrays."""
    pressure = ATMOSPHERE + boost * 1e5
    span = AMBIENT * ((pressure / ATMOSPHERE) ** (0.4 / 1.4) - 1) / EFFICIENCY
    fresh = AMBIENT + (1 - EFFECTIVENESS) * span + HEATING
    residual = 1.05 / ratio * fresh / RESIDUAL
    operating = Operating(
        speed=rpm / 60,
        closing=radians(55),
        pressure=pressure,
        temperature=(1 - residual) * fresh + residual * RESIDUAL,
        equivalence_ratio=1 / 0.88,
        residual=residual,
        cooler_span=span,
        burn_centre=radians(8),
        burn_duration=radians(50),
    )
    return Case(cylinder=CYLINDER.with_ratio(ratio), operating=operating).but(**changes)
