"""Volume from apparent mass, and volumes carried from one temperature to another.

Plain equations for floats, uncertain numbers and arrays, SI throughout.
Source: ISO 4787:2021 eq. (1), the same in EURAMET cg-19 eq. (1) and
ISO 8655-6:2022 (structure seen as transcribed; numbering from memory).
"""

from __future__ import annotations

from typing import Any

from ccassist.bench.temperatures import REFERENCE

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


def volume_from_mass(mass: Any, fluid_density: Any, air_density: Any, weight_density: Any = WEIGHT_DENSITY) -> Any:
    """Volume of fluid whose apparent mass was read, at the temperature of the fluid: mass × Z.

    mass [kg], as the scale showed it; densities [kg/m³] -> volume [m³].
    Source: ISO 8655-6:2022, V = m × Z.

    >>> round(volume_from_mass(0.050, 997.773, 1.184) * 1e6, 2)
    50.16
    """
    return mass * z_factor(fluid_density, air_density, weight_density)


def expansion_to(volume: Any, *, from_t: Any, to_t: Any = REFERENCE, coefficient: Any) -> Any:
    """Volume of the same vessel or fluid at another temperature: V (1 + γ (to − from)).

    volume [m³]; temperatures [K]; coefficient, cubic [1/K] -> volume [m³].
    Source: ISO 4787:2021 eq. (1), factor [1 − γ (t − 20 °C)].

    >>> round(expansion_to(50e-6, from_t=293.15, to_t=298.15, coefficient=207e-6) * 1e6, 3)
    50.052
    """
    return volume * (1 + coefficient * (to_t - from_t))
