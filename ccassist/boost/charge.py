"""The charge on its way: compressor, cooler, manifold, and what is in the cylinder at intake closing.

Plain functions first, then the chain of them as one record.  Absolute
pressures, SI; floats, arrays or uncertain numbers.  Equations: all texts of
thermodynamics (Çengel & Boles, Moran & Shapiro), every gas with its heat
capacity at each temperature.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from ccassist.boost.conditions import REFERENCE_PRESSURE, Conditions, value
from ccassist.boost.gas import DRY, Mixture, mixture
from ccassist.engine.mathematics import Array, chosen, is_grid, log, plain, within
from ccassist.values.number import Number, is_array, is_uncertain, nominal
from ccassist.values.numerics import newton, uncertain_root
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

if TYPE_CHECKING:
    from ccassist.values.measured import Value


# Compression of the charge from intake closing to top dead centre, motored, nothing lost or leaked.
#
# The isentrope takes the heat capacity of the real charge at every temperature;
# the polytropic beside it takes one stated exponent.  Constant properties of air
# are 90 to 155 K too hot for a fuelled charge and have no place here.

_STEEPEST = 2 / 3  # γ − 1 of a gas of single atoms: no gas heats more
_STEPS = 12  # Newton's steps: five reach the last digit from anywhere in an engine
_CLOSE = 1e-15  # of the temperature


@record
class GasState:
    """Absolute pressure, Pa, and temperature, K."""

    pressure: Number
    temperature: Number


def isentropic(gas: Mixture, start: GasState, volume_ratio: Number) -> GasState:
    """State after compression without heat loss, by the exact isentrope of an ideal gas.

    The end temperature T₂ solves s°(T₂) − s°(T₁) = R ln(p₂/p₁) with p₂/p₁ = r T₂/T₁.  Source: Çengel &
    Boles, Thermodynamics, sec. 7-9; Moran & Shapiro sec. 6.11 (from memory).  Any of the numbers may be an
    array or uncertain; an uncertain one stays linked to its inputs.

    Pa absolute and K, volume before over volume after -> Pa, K.

    >>> from ccassist.boost.gas import mixture
    >>> end = isentropic(mixture("none", 0.0, 0.0), GasState(pressure=1e5, temperature=290.0), 8.0)
    >>> round(end.temperature, 1), round(end.pressure / 1e3)
    (652.1, 1799)
    """
    temperature = _isentropic_temperature(gas, start.temperature, volume_ratio)
    return GasState(pressure=start.pressure * volume_ratio * temperature / start.temperature, temperature=temperature)


def polytropic(start: GasState, volume_ratio: Number, exponent: Number) -> GasState:
    """State after compression by p Vⁿ = constant with a stated exponent.

    Pa absolute and K, volume before over volume after -> Pa, K.  Source: all texts of thermodynamics.

    >>> round(polytropic(GasState(pressure=1e5, temperature=333.0), 6.0, 1.32).temperature)
    591
    """
    rise = volume_ratio ** (exponent - 1)
    return GasState(pressure=start.pressure * volume_ratio * rise, temperature=start.temperature * rise)


def effective_exponent(start: GasState, end: GasState, volume_ratio: Number) -> Number:
    """The constant exponent that joins two states: ln(p₂/p₁) ÷ ln r; the ratio must not be 1.

    Pa, ratio -> a number without unit.  Source: :func:`polytropic` turned round.

    >>> start, end = GasState(pressure=1e5, temperature=333.0), GasState(pressure=1.06e6, temperature=590.0)
    >>> round(effective_exponent(start, end, 6.0), 3)
    1.318
    """
    return log(end.pressure / start.pressure) / log(volume_ratio)


def _isentropic_temperature(gas: Mixture, start: Number, ratio: Number) -> Number:
    """Newton's steps kept between no heating and that of a gas of single atoms, K.

    Entropy rises with temperature and its slope falls, so that the steps close in from any start.
    """
    hottest = plain(start) * plain(ratio) ** _STEEPEST
    low, high = (plain(start), hottest) if is_array(hottest) else sorted((plain(start), hottest))

    def lacking(at: Mixture, end: Number, start: Number, ratio: Number) -> Number:
        rise = at.entropy_function(end) - at.entropy_function(start)
        return rise - at.gas_constant * (log(ratio) + log(end / start))

    def steepness(at: Mixture, end: Number) -> Number:
        return (at.cp(end) - at.gas_constant) / end

    first = plain(start) * plain(ratio) ** (_STEEPEST / 2)
    return _temperature(gas, lacking, steepness, first, start, ratio, keep=lambda end: within(end, low, high))


def _temperature(
    gas: Mixture,
    lacking: Callable[..., Number],
    steepness: Callable[[Mixture, Number], Number],
    first: Number,
    *given: Number,
    keep: Callable[[Array], Array] = lambda end: end,
) -> Number:
    """The temperature [K] at which a gas lacks nothing, on plain numbers; an uncertain one keeps its inputs.

    lacking : of a gas, a temperature and what is given: nothing at the one looked for.
    steepness : its change per kelvin.
    """
    sure, known = gas.plain(), [plain(number) for number in given]

    def step(end: Array) -> Array:
        return lacking(sure, end, *known) / steepness(sure, end)

    found: Number = newton(step, plain(first), keep=keep, steps=_STEPS, close=_CLOSE)
    left = lacking(gas, found, *given)
    return uncertain_root(nominal(found), left, nominal(steepness(sure, found))) if is_uncertain(left) else found


def at_enthalpy(gas: Mixture, enthalpy: Number, first: Number) -> Number:
    """The temperature at which a gas has an enthalpy; ``first`` [K] is where to begin.  [J/kg] -> [K].

    Source: definition; enthalpy rises with temperature, and its slope is the heat capacity.

    >>> air = mixture("none", 0.0, 0.0)
    >>> round(at_enthalpy(air, air.enthalpy(400.0), 300.0), 6)
    400.0
    """
    return _temperature(gas, lambda at, end, wanted: at.enthalpy(end) - wanted, Mixture.cp, first, enthalpy)


def pressure_ratio(manifold_pressure: Number) -> Number:
    """Absolute manifold pressure over the fixed 101.325 kPa, never over the local barometer.  [Pa] -> ratio.

    Source: definition.

    >>> round(pressure_ratio(180e3), 3)
    1.776
    """
    return manifold_pressure / REFERENCE_PRESSURE


def compressor_ratio(manifold_pressure: Number, cooler_drop: Number, barometer: Number, inlet_drop: Number) -> Number:
    """What the compressor itself does: absolute pressures after over before.  All [Pa] -> ratio.

    Source: definition.

    >>> round(compressor_ratio(180e3, 10e3, 101e3, 1e3), 3)
    1.9
    """
    return (manifold_pressure + cooler_drop) / (barometer - inlet_drop)


def compressor_outlet(
    inlet_temperature: Number, ratio: Number, efficiency: Number, air: Mixture | None = None
) -> Number:
    """Temperature after the compressor: the work of the isentrope over the efficiency raises the enthalpy.

    [K], ratios -> [K].  ``air`` : the gas; dry air where none is given.  Source: Çengel & Boles, Thermodynamics,
    sec. 7-9 and 7-12 (from memory).

    >>> round(compressor_outlet(298.15, 1 + 1 / 1.01325, 0.75), 2)
    384.02
    """
    gas = air or mixture(DRY, 0.0, 0.0)
    ideal = _isobar_to_isobar(gas, inlet_temperature, ratio)
    inlet = gas.enthalpy(inlet_temperature)
    return at_enthalpy(gas, inlet + (gas.enthalpy(ideal) - inlet) / efficiency, ideal)


def _isobar_to_isobar(gas: Mixture, start: Number, ratio: Number) -> Number:
    """Temperature on the isentrope at so many times the pressure, K."""

    def lacking(at: Mixture, end: Number, start: Number, ratio: Number) -> Number:
        return at.entropy_function(end) - at.entropy_function(start) - at.gas_constant * log(ratio)

    first = plain(start) * plain(ratio) ** (nominal(gas.gas_constant) / gas.plain().cp(plain(start)))
    return _temperature(gas, lacking, lambda at, end: at.cp(end) / end, first, start, ratio)


def cooler_outlet(hot: Number, coolant: Number, effectiveness: Number) -> Number:
    """Temperature after the cooler: T₂ − ε (T₂ − coolant).  [K], [K], share -> [K].

    Source: definition of the effectiveness.

    >>> cooler_outlet(380.0, 300.0, 0.75)
    320.0
    """
    return hot - effectiveness * (hot - coolant)


def residual_fraction(
    static_ratio: Number, exhaust_ratio: Number, fresh: tuple[Number, Number], residual: tuple[Number, Number]
) -> Number:
    """Burned gas left: the clearance volume full of it at exhaust pressure, over a cylinder full of fresh charge.

    static_ratio, exhaust_ratio : ratios.
    fresh, residual : gas constant [J/(kg K)] and temperature [K] of each.

    -> share of the charge by mass.  A stated assumption, without overlap.  Source: common practice, no source;
    ideal gases.

    >>> round(residual_fraction(9.0, 1.05, (274.0, 340.0), (296.0, 1100.0)), 4)
    0.0334
    """
    (constant, temperature), (left_constant, left_temperature) = fresh, residual
    return exhaust_ratio / static_ratio * constant * temperature / (left_constant * left_temperature)


def mixed_temperature(fresh: Mixture, fresh_temperature: Number, residual_temperature: Number, share: Number) -> Number:
    """Fresh charge and residual gas of the same strength together: their enthalpies add up.

    [K], [K], share by mass of the residual -> [K].

    Source: energy kept at constant pressure; NASA TM-4513.

    >>> round(mixed_temperature(mixture("iso-octane", 1.0, 0.0), 340.0, 1100.0, 0.05), 1)
    382.2
    """
    left, both = (mixture(fresh.fuel, fresh.equivalence_ratio, part) for part in (1.0, share))
    enthalpy = (1 - share) * fresh.enthalpy(fresh_temperature) + share * left.enthalpy(residual_temperature)
    return at_enthalpy(both, enthalpy, (1 - share) * fresh_temperature + share * residual_temperature)


def unmixed_temperature(fresh: Mixture, temperature: Number, residual_temperature: Number, share: Number) -> Number:
    """The fresh charge's temperature before it mixed: :func:`mixed_temperature` turned round.

    [K], [K], share by mass of the residual -> [K].  Source: that of :func:`mixed_temperature`.

    >>> fresh = mixture("iso-octane", 1.0, 0.0)
    >>> round(unmixed_temperature(fresh, mixed_temperature(fresh, 340.0, 1100.0, 0.05), 1100.0, 0.05), 6)
    340.0
    """
    left, both = (mixture(fresh.fuel, fresh.equivalence_ratio, part) for part in (1.0, share))
    enthalpy = (both.enthalpy(temperature) - share * left.enthalpy(residual_temperature)) / (1 - share)
    return at_enthalpy(fresh, enthalpy, temperature)


@record
class Charge:
    """The charge of one cylinder at intake closing, and how it got there.

    compressor_ratio, compressor_temperature : ratio and K; None without a compressor, or where the charge
        temperature is stated.
    manifold_pressure, charge_temperature : Pa absolute, K.
    """

    conditions: Conditions  # all that was stated and assumed
    compressor_ratio: Number | None
    compressor_temperature: Number | None
    manifold_pressure: Number
    charge_temperature: Number
    residual_fraction: Number  # by mass
    closing: GasState  # pressure and temperature in the cylinder at intake closing
    mixture: Mixture  # the gas

    @property
    def pressure_ratio(self) -> Number:
        """Absolute manifold pressure over 101.325 kPa.

        Source: definition.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.compressed.charge.pressure_ratio, 3)
        1.592
        """
        return pressure_ratio(self.manifold_pressure)

    @property
    def density(self) -> Number:
        """Of the charge at intake closing, kg/m³.

        Source: ideal gas.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.compressed.charge.density, 3)
        1.632
        """
        return self.closing.pressure / (self.mixture.gas_constant * self.closing.temperature)

    @property
    def computed(self) -> tuple[Value, ...]:
        """What followed from it, in working order, SI.

        >>> from ccassist.boost.example_engine import STAND
        >>> [one.key for one in STAND.compressed.charge.computed][:2]
        ['compressor_ratio', 'compressor_temperature']
        """
        rows = (
            ("compressor_ratio", self.compressor_ratio, "absolute pressures, losses included"),
            ("compressor_temperature", self.compressor_temperature, "by isentropic efficiency"),
            ("charge_temperature", self.charge_temperature, "after the cooler"),
            ("pressure_ratio", self.pressure_ratio, "over the standard atmosphere"),
            ("residual_fraction", self.residual_fraction, "clearance volume full of exhaust gas"),
            ("closing_pressure", self.closing.pressure, "manifold pressure × filling"),
            ("closing_temperature", self.closing.temperature, "charge heated and mixed with residual gas"),
        )
        stated = self.conditions.values.keys() - {"closing_pressure"}  # the state there is shown whole
        wanted = ((k, n, how) for k, n, how in rows if n is not None and k not in stated)
        return tuple(value(key, number, Origin.COMPUTED, how) for key, number, how in wanted)


def charge(conditions: Conditions, static_ratio: Number) -> Charge:
    """The charge at intake closing of an engine of that static ratio (the residual gas hangs on it).

    SI.  Source: the equations of this module, one after the other.

    >>> from ccassist.boost.example_engine import AIR
    >>> there = charge(AIR, 9.0)
    >>> round(there.closing.pressure), round(there.closing.temperature, 1)
    (161325, 362.1)
    """
    ratio, outlet, temperature = _supplied(conditions)
    fuel, strength = conditions.fuel, 1 / conditions["mixture_strength"]
    fresh, burned = (mixture(fuel, strength, part) for part in (0.0, 1.0))
    warmed, hot = temperature + conditions["charge_heating"], conditions["residual_temperature"]
    if "residual_fraction" in conditions.values:
        share = conditions["residual_fraction"]
    else:
        constants = (fresh.gas_constant, warmed), (burned.gas_constant, hot)
        share = residual_fraction(static_ratio, conditions["exhaust_ratio"], *constants)
    pressure = conditions["manifold_pressure"]
    closing = GasState(
        pressure=pressure * conditions["filling"],
        temperature=mixed_temperature(fresh, warmed, hot, share),
    )
    return Charge(
        conditions=conditions,
        compressor_ratio=ratio,
        compressor_temperature=outlet,
        manifold_pressure=pressure,
        charge_temperature=temperature,
        residual_fraction=share,
        closing=closing,
        mixture=mixture(fuel, strength, share),
    )


def _supplied(conditions: Conditions) -> tuple[Number | None, Number | None, Number]:
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
