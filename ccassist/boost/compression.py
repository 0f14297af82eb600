"""Compression of the charge from intake closing to top dead centre, motored, nothing lost or leaked.

The isentrope takes the heat capacity of the real charge at every temperature;
the polytropic beside it takes one stated exponent.  Constant properties of air
are 90 to 155 K too hot for a fuelled charge and have no place here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ccassist.boost.gas import Mixture
from ccassist.boost.numbers import is_array, is_uncertain, log, plain, within

_STEEPEST = 2 / 3  # γ − 1 of a gas of single atoms: no gas heats more
_STEPS = 12  # Newton's steps: five reach the last digit from anywhere in an engine
_CLOSE = 1e-15  # of the temperature


@dataclass(frozen=True, kw_only=True)
class State:
    """Absolute pressure, Pa, and temperature, K."""

    pressure: Any
    temperature: Any


def isentropic(gas: Mixture, start: State, volume_ratio: Any) -> State:
    """State after compression without heat loss, by the exact isentrope of an ideal gas.

    The end temperature T₂ solves s°(T₂) − s°(T₁) = R ln(p₂/p₁) with p₂/p₁ = r T₂/T₁ (Çengel & Boles,
    Thermodynamics, sec. 7-9; Moran & Shapiro sec. 6.11, from memory).  Any of the numbers may be an
    array or uncertain; an uncertain one stays linked to its inputs.

    >>> from ccassist.boost.gas import mixture
    >>> end = isentropic(mixture("none", 0.0, 0.0), State(pressure=1e5, temperature=290.0), 8.0)
    >>> round(end.temperature, 1), round(end.pressure / 1e3)
    (652.1, 1799)
    """
    temperature = _isentropic_temperature(gas, start.temperature, volume_ratio)
    return State(pressure=start.pressure * volume_ratio * temperature / start.temperature, temperature=temperature)


def polytropic(start: State, volume_ratio: Any, exponent: Any) -> State:
    """State after compression by p Vⁿ = constant with a stated exponent.

    Pa absolute and K, volume before over volume after -> Pa, K.  Source: all texts of thermodynamics.

    >>> round(polytropic(State(pressure=1e5, temperature=333.0), 6.0, 1.32).temperature)
    591
    """
    rise = volume_ratio ** (exponent - 1)
    return State(pressure=start.pressure * volume_ratio * rise, temperature=start.temperature * rise)


def effective_exponent(start: State, end: State, volume_ratio: Any) -> Any:
    """The constant exponent that joins two states: ln(p₂/p₁) ÷ ln r; the ratio must not be 1.

    Pa, ratio -> a number without unit.  Source: :func:`polytropic` turned round.
    """
    return log(end.pressure / start.pressure) / log(volume_ratio)


def ratio_from_pressures(first: Any, second: Any, exponent: Any, first_share: Any, second_share: Any) -> Any:
    """Static ratio from two pressures of one polytropic compression stroke.

    Pressures [Pa] absolute, each with the share of the compression stroke that is done (0 at bottom);
    ratio = 1 + 1 ÷ clearance, where V₁/V₂ = (p₂/p₁)^(1/n).  Source: Gupta, Rajput, Mathur & Sharma,
    textbook exercises.
    """
    volumes = (second / first) ** (1 / exponent)
    clearance = ((1 - first_share) - volumes * (1 - second_share)) / (volumes - 1)
    return 1 + 1 / clearance


def _isentropic_temperature(gas: Mixture, start: Any, ratio: Any) -> Any:
    """Root on plain numbers; where something is uncertain, one more step that carries it."""
    plain_gas = gas.plain()
    found = _newton(plain_gas, plain(start), plain(ratio))
    lacking = _lacking(gas, start, ratio, found)
    if not is_uncertain(lacking):
        return found
    return found - (lacking - lacking.nominal_value) * found / (plain_gas.cp(found) - plain_gas.gas_constant)


def _lacking(gas: Mixture, start: Any, ratio: Any, end: Any) -> Any:
    """Entropy at the end less that at the start, J/(kg K): nothing on the isentrope."""
    rise = gas.entropy_function(end) - gas.entropy_function(start)
    return rise - gas.gas_constant * (log(ratio) + log(end / start))


def _newton(gas: Mixture, start: Any, ratio: Any) -> Any:
    """Newton's steps kept between no heating and that of a gas of single atoms.

    Entropy rises with temperature and its slope falls, so that the steps close in from any start.
    """
    hottest = start * ratio**_STEEPEST
    low, high = (start, hottest) if is_array(hottest) else sorted((start, hottest))
    end = start * ratio ** (_STEEPEST / 2)
    for _ in range(_STEPS):
        before = end
        slope = (gas.cp(end) - gas.gas_constant) / end
        end = within(end - _lacking(gas, start, ratio, end) / slope, low, high)
        if not is_array(end) and abs(end - before) <= _CLOSE * end:
            break
    return end
