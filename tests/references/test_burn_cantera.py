"""The burn again on the detailed gas of a general reference library, by energy and volume.

Cantera 3 with its own file of NASA polynomials (nasa_gas.yaml) and SciPy's
solve_ivp: the unknown is the internal energy of the cylinder; at each angle
the library finds the state from energy, volume and the molecules that are
there, and the end gas from its entropy and the pressure.  Neither heat of
burning, heat capacities nor gas constants are written down here.
"""

from __future__ import annotations

import warnings
from math import cos, exp, log, pi, radians, sin, sqrt
from typing import Any

import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from ccassist.boost.burn import trace
from ccassist.boost.burn_case import Case
from ccassist.boost.knock import end_gas
from tests.knock_builds import build
from tests.references.sources import cites

pytestmark = cites("cantera")

AIR = {"O2": 0.2095, "N2": 0.7812, "Ar": 0.0093}
FUELS = {"iso-octane": ("C8H18,isooctane", 8, 18, 0), "ethanol": ("C2H5OH", 2, 6, 1), "toluene": ("C7H8", 7, 8, 0)}
WATER_GAS = 3.5  # Heywood (1988) sec. 4.6 (from memory)


@pytest.fixture(scope="module")
def gas() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import cantera

        named = {one.name: one for one in cantera.Species.list_from_file("nasa_gas.yaml")}
    names = [*AIR, "CO2", "H2O", "CO", "H2", *(name for name, *_ in FUELS.values())]
    return cantera.Solution(thermo="ideal-gas", species=[named[name] for name in names])


def molecules(fuel: str, strength: float) -> tuple[dict[str, float], dict[str, float]]:
    """Of one mole of air with its fuel: before burning and after."""
    name, carbon, hydrogen, oxygen = FUELS[fuel]
    fuel_moles = strength * AIR["O2"] / (carbon + hydrogen / 4 - oxygen / 2)
    c, h2, o = fuel_moles * carbon, fuel_moles * hydrogen / 2, 2 * AIR["O2"] + fuel_moles * oxygen
    rest = {"N2": AIR["N2"], "Ar": AIR["Ar"]}
    spare = o - 2 * c - h2
    if spare >= 0:
        return {**AIR, name: fuel_moles}, {**rest, "CO2": c, "H2O": h2, "O2": spare / 2}

    def shift(monoxide: float) -> float:
        water = o - 2 * c + monoxide
        return water * monoxide - WATER_GAS * (c - monoxide) * (h2 - water)

    monoxide = brentq(shift, max(0.0, 2 * c - o), min(c, -spare), xtol=1e-15)
    water = o - 2 * c + monoxide
    return {**AIR, name: fuel_moles}, {**rest, "CO2": c - monoxide, "CO": monoxide, "H2O": water, "H2": h2 - water}


def burn(case: Case, gas: Any) -> tuple[float, float, float]:
    """Pressure and mean temperature at the end of the burn, and the end gas's temperature there."""
    one, run = case.cylinder, case.operating
    shares = []
    for made in molecules(run.fuel, run.equivalence_ratio):
        gas.TPX = 300.0, 1e5, made
        shares.append(gas.Y.copy())
    fresh, burned = shares
    charge = (1 - run.residual) * fresh + run.residual * burned
    area, throw = pi / 4 * one.bore**2, one.stroke / 2

    def volume(angle: float) -> float:
        drop = throw + one.rod_length - throw * cos(angle) - sqrt(one.rod_length**2 - (throw * sin(angle)) ** 2)
        return float(one.clearance_volume + area * drop)

    begin = run.burn_centre - (log(2) / 5) ** (1 / 3) * run.burn_duration
    end = begin + (-log(1 - run.burned_at_end) / 5) ** (1 / 3) * run.burn_duration

    def settle(angle: float, energy: float) -> None:
        left = exp(-5 * max(0.0, (angle - begin) / run.burn_duration) ** 3)
        gas.UVY = energy / mass, volume(angle) / mass, left * charge + (1 - left) * burned

    def loses(angle: float, state: Any) -> tuple[float]:
        settle(angle, state[0])
        step = 1e-6
        return (-gas.P * (volume(angle + step) - volume(angle - step)) / (2 * step),)

    gas.TPY = run.temperature, run.pressure, charge
    closing = run.closing - pi
    mass, entropy = gas.density * volume(closing), gas.s
    last = solve_ivp(loses, (closing, begin), [gas.u * mass], rtol=1e-8, atol=1e-6, max_step=0.1).y[0, -1]
    last = solve_ivp(loses, (begin, end), [last], rtol=1e-8, atol=1e-6, max_step=0.05).y[0, -1]
    settle(end, last)
    pressure, temperature = gas.P, gas.T
    gas.TPY = 800.0, pressure, charge
    gas.SP = entropy, pressure
    return pressure, temperature, gas.T


@pytest.mark.parametrize(
    ("ratio", "boost", "fuel", "strength"),
    [(9.5, 0.0, "iso-octane", 1 / 0.88), (8.5, 1.2, "iso-octane", 1.0), (10.5, 0.8, "ethanol", 1 / 0.82)],
)
def test_pressure_and_both_temperatures(gas: Any, ratio: float, boost: float, fuel: str, strength: float) -> None:
    whole = {"heat_loss": 0.0, "heat_release": 1.0, "burn_centre": radians(9)}
    case = build(ratio, boost, fuel=fuel, equivalence_ratio=strength, **whole)
    pressure, temperature, unburned = burn(case, gas)
    last = list(trace(case))[-1]
    assert last.pressure == pytest.approx(pressure, rel=2e-4)
    assert last.temperature == pytest.approx(temperature, rel=2e-4)
    assert list(end_gas(case))[-1].temperature == pytest.approx(unburned, rel=1e-4)
