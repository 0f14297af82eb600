"""Temperatures at the bench: kelvin inside, degrees Celsius where a formula was fitted in them."""

from __future__ import annotations

from typing import Any

ICE_POINT = 273.15  # K at 0 °C, by definition
REFERENCE = 293.15  # K: 20 °C, the temperature to which lengths and volumes are stated (ISO 1; ISO 4787, from memory)
BENCH = (0.0, 40.0)  # °C within which fluids are described


def celsius(temperature: Any) -> Any:
    """Temperature [K] in degrees Celsius; floats, uncertain numbers or arrays.

    >>> celsius(293.15)
    20.0
    """
    return temperature - ICE_POINT


def must_lie_within(temperature: Any, limits: tuple[float, float], what: str) -> None:
    """Raise ValueError, in words, where a temperature [K] is outside limits [°C] of what is said to hold."""
    low, high = limits
    degrees = celsius(getattr(temperature, "nominal_value", temperature))
    if not low - 1e-9 <= degrees <= high + 1e-9:
        raise ValueError(f"{what} holds from {low:g} to {high:g} °C, not at {degrees:g} °C")
