"""The charge on its way: compressor, cooler, manifold, and what is in the cylinder at intake closing.

Plain functions first, then the chain of them as one record.  Absolute
pressures, SI; floats, arrays or uncertain numbers.  Equations: all texts of
thermodynamics (Çengel & Boles, Moran & Shapiro); air with constant γ = 1.4 is
within 1 K of air with real heat capacities at any road boost.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ccassist.boost.compression import State
from ccassist.boost.conditions import COMPUTED, REFERENCE_PRESSURE, Conditions, value
from ccassist.boost.gas import Mixture, mixture
from ccassist.boost.numbers import chosen, is_grid, plain

if TYPE_CHECKING:
    from ccassist.values.measured import Value

AIR_GAMMA = 1.4


def pressure_ratio(manifold_pressure: Any) -> Any:
    """Absolute manifold pressure over the fixed 101.325 kPa, never over the local barometer.  [Pa] -> ratio."""
    return manifold_pressure / REFERENCE_PRESSURE


def compressor_ratio(manifold_pressure: Any, cooler_drop: Any, barometer: Any, inlet_drop: Any) -> Any:
    """What the compressor itself does: absolute pressures after over before.  All [Pa] -> ratio."""
    return (manifold_pressure + cooler_drop) / (barometer - inlet_drop)


def compressor_outlet(inlet_temperature: Any, ratio: Any, efficiency: Any, gamma: float = AIR_GAMMA) -> Any:
    """Temperature after the compressor: T₁ (1 + (PR^((γ−1)/γ) − 1) ÷ η).  [K], ratios -> [K].

    >>> round(compressor_outlet(298.15, 1 + 1 / 1.01325, 0.75), 2)
    384.31
    """
    return inlet_temperature * (1 + (ratio ** ((gamma - 1) / gamma) - 1) / efficiency)


def cooler_outlet(hot: Any, coolant: Any, effectiveness: Any) -> Any:
    """Temperature after the cooler: T₂ − ε (T₂ − coolant).  [K], [K], share -> [K]."""
    return hot - effectiveness * (hot - coolant)


def residual_fraction(static_ratio: Any, exhaust_ratio: Any, fresh_temperature: Any, residual_temperature: Any) -> Any:
    """Burned gas left: the clearance volume full of it at exhaust pressure, over a cylinder full of fresh charge.

    Ratios, [K], [K] -> share of the charge by mass.  A stated assumption, without overlap and without
    the difference of the gas constants (common practice).
    """
    return exhaust_ratio / static_ratio * fresh_temperature / residual_temperature


def mixed_temperature(fresh_temperature: Any, residual_temperature: Any, share: Any) -> Any:
    """Fresh charge and residual gas together, by mass, with equal heat capacities.  [K], [K], share -> [K]."""
    return (1 - share) * fresh_temperature + share * residual_temperature


@dataclass(frozen=True, kw_only=True)
class Charge:
    """The charge of one cylinder at intake closing, and how it got there.

    Attributes
    ----------
    conditions : all that was stated and assumed.
    compressor_ratio, compressor_temperature : ratio and K; None without a compressor, or where the charge
        temperature is stated.
    manifold_pressure, charge_temperature : Pa absolute, K.
    residual_fraction : by mass.
    closing : pressure and temperature in the cylinder at intake closing.
    mixture : the gas.
    """

    conditions: Conditions
    compressor_ratio: Any
    compressor_temperature: Any
    manifold_pressure: Any
    charge_temperature: Any
    residual_fraction: Any
    closing: State
    mixture: Mixture

    @property
    def pressure_ratio(self) -> Any:
        """Absolute manifold pressure over 101.325 kPa."""
        return pressure_ratio(self.manifold_pressure)

    @property
    def density(self) -> Any:
        """Of the charge at intake closing, kg/m³."""
        return self.closing.pressure / (self.mixture.gas_constant * self.closing.temperature)

    @property
    def computed(self) -> tuple[Value, ...]:
        """What followed from it, in working order."""
        rows = (
            ("compressor_ratio", self.compressor_ratio, "absolute pressures, losses included"),
            ("compressor_temperature", self.compressor_temperature, "by isentropic efficiency"),
            ("charge_temperature", self.charge_temperature, "after the cooler"),
            ("pressure_ratio", self.pressure_ratio, "over 101.325 kPa"),
            ("residual_fraction", self.residual_fraction, "clearance volume full of exhaust gas"),
            ("closing_pressure", self.closing.pressure, "manifold pressure × filling"),
            ("closing_temperature", self.closing.temperature, "charge heated and mixed with residual gas"),
        )
        stated = self.conditions.values.keys() - {"closing_pressure"}  # the state there is shown whole
        wanted = ((k, n, how) for k, n, how in rows if n is not None and k not in stated)
        return tuple(value(key, number, COMPUTED, how) for key, number, how in wanted)


def charge(conditions: Conditions, static_ratio: Any) -> Charge:
    """The charge at intake closing of an engine of that static ratio (the residual gas hangs on it)."""
    ratio, outlet, temperature = _supplied(conditions)
    fresh = temperature + conditions["charge_heating"]
    burned = conditions["residual_temperature"]
    if "residual_fraction" in conditions.values:
        share = conditions["residual_fraction"]
    else:
        share = residual_fraction(static_ratio, conditions["exhaust_ratio"], fresh, burned)
    pressure = conditions["manifold_pressure"]
    closing = State(
        pressure=pressure * conditions["filling"],
        temperature=mixed_temperature(fresh, burned, share),
    )
    return Charge(
        conditions=conditions,
        compressor_ratio=ratio,
        compressor_temperature=outlet,
        manifold_pressure=pressure,
        charge_temperature=temperature,
        residual_fraction=share,
        closing=closing,
        mixture=mixture(conditions.fuel, 1 / conditions["mixture_strength"], share),
    )


def _supplied(conditions: Conditions) -> tuple[Any, Any, Any]:
    """Compressor pressure ratio, compressor outlet K, charge temperature K; at no boost nothing is compressed."""
    if "charge_temperature" in conditions.values:
        return None, None, conditions["charge_temperature"]
    air = conditions["intake_air_temperature"]
    if not conditions.compressed:
        return None, None, air
    ratio = compressor_ratio(
        *(conditions[key] for key in ("manifold_pressure", "cooler_drop", "barometer", "inlet_drop"))
    )
    outlet = compressor_outlet(air, ratio, conditions["compressor_efficiency"])
    coolant = conditions["coolant_temperature"]
    cooled = cooler_outlet(outlet, coolant, conditions["cooler_effectiveness"])
    boosted = plain(conditions["manifold_pressure"]) > plain(conditions["barometer"])
    if is_grid(boosted):  # some of a whole map: nothing to cool there
        return ratio, chosen(boosted, outlet, coolant), chosen(boosted, cooled, air)
    return (ratio, outlet, cooled) if boosted else (None, None, air)
