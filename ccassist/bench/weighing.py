"""Volume from apparent mass.

A plain equation for floats, uncertain numbers and arrays, SI throughout.
Source: ISO 4787:2021 eq. (1), the same in EURAMET cg-19 eq. (1) and
ISO 8655-6:2022 (structure seen as transcribed; numbering from memory).
"""

from __future__ import annotations

from typing import Any

# Scales show the mass of a weight of this density that would balance the load
# (conventional mass, OIML D 28 / R 33, from memory).
WEIGHT_DENSITY = 8000.0  # kg/m³


def z_factor(fluid_density: Any, air_density: Any, weight_density: Any = WEIGHT_DENSITY) -> Any:
    """Volume held by one unit of apparent mass: (1 − ρair/ρweight) / (ρfluid − ρair).

    All [kg/m³] -> [m³/kg]; times 1000 it is the printed Z in mL/g.  Source:
    ISO 8655-6:2022; ISO 4787:2021 eq. (1).

    >>> round(z_factor(998.2067, 1.1993) * 1e3, 5)
    1.00285
    """
    return (1 - air_density / weight_density) / (fluid_density - air_density)
