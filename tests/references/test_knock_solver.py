"""Burn and knock integral coded a second time for SciPy's solve_ivp (general reference library).

Its own geometry, its own order of the equations (mean temperature, end gas and
integral as one system), the polynomials instead of the table, and step control
instead of fixed steps.
"""

from __future__ import annotations

from math import asin, cos, exp, log, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from ccassist.boost.gas import mixture
from ccassist.boost.knock import end_gas, knock_integral, knock_integrals
from tests.knock_builds import build
from tests.references.sources import cites

pytestmark = cites("knock-solver")


class Reference:
    """One case as a system dT/dθ, dT of the end gas/dθ, dKI/dθ."""

    def __init__(self, case):
        self.one, self.run = case.cylinder, case.operating
        o, r = self.one, self.run
        self.throw, self.area = o.stroke / 2, pi / 4 * o.bore**2
        self.top = asin(o.pin_offset / (o.rod_length + self.throw))
        bottom = pi + asin(o.pin_offset / (o.rod_length - self.throw))
        self.highest = sqrt((o.rod_length + self.throw) ** 2 - o.pin_offset**2)
        self.travel = self.highest - sqrt((o.rod_length - self.throw) ** 2 - o.pin_offset**2)
        self.closing = bottom - self.top + r.closing - 2 * pi
        self.closing_volume = self.volume(self.closing)[0]
        self.fresh, self.burned = (mixture(r.fuel, r.equivalence_ratio, share) for share in (0.0, 1.0))
        self.charge = mixture(r.fuel, r.equivalence_ratio, r.residual)
        self.mass = r.pressure * self.closing_volume / (self.charge.gas_constant * r.temperature)
        self.start = r.burn_centre - (log(2) / 5) ** (1 / 3) * r.burn_duration
        self.end = self.start + (-log(1 - r.burned_at_end) / 5) ** (1 / 3) * r.burn_duration
        self.spark = None

    def volume(self, angle):
        """Volume and its derivative by the angle, from the pin-offset geometry written out."""
        o, t = self.one, angle + self.top
        side = self.throw * sin(t) - o.pin_offset
        upright = sqrt(o.rod_length**2 - side**2)
        drop = self.highest - self.throw * cos(t) - upright
        rate = self.throw * sin(t) + self.throw * cos(t) * side / upright
        return o.clearance_volume + self.area * drop, self.area * rate

    def loss(self, pressure, temperature, volume):
        """Woschni's heat loss, J/rad."""
        r, o = self.run, self.one
        speed = 2.28 * 2 * self.travel * r.speed
        if self.spark is not None:
            p, v, gamma = self.spark
            rest = r.temperature / (r.pressure * self.closing_volume)
            speed += 3.24e-3 * self.area * self.travel * rest * (pressure - p * (v / volume) ** gamma)
        h = 3.26 * o.bore**-0.2 * (pressure / 1000) ** 0.8 * temperature**-0.55 * speed**0.8
        surface = 2 * self.area + 4 * volume / o.bore
        return r.heat_loss * h * surface * (temperature - r.wall_temperature) / (2 * pi * r.speed)

    def slopes(self, angle, state):
        """dT/dθ of all gas and of the end gas, d(integral)/dθ."""
        temperature, end_gas_temperature, _ = state
        r = self.run
        volume, volume_rate = self.volume(angle)
        progress = max(0.0, (angle - self.start) / r.burn_duration) if self.spark else 0.0
        left = exp(-5 * progress**3)
        share = r.residual + (1 - r.residual) * (1 - left)
        burning = (1 - r.residual) * 15 * progress**2 * left / r.burn_duration
        constant = (1 - share) * self.fresh.gas_constant + share * self.burned.gas_constant
        pressure = self.mass * constant * temperature / volume
        heat_capacity = (1 - share) * self.fresh.cp(temperature) + share * self.burned.cp(temperature) - constant
        freed = self.fresh.enthalpy(temperature) - self.burned.enthalpy(temperature)
        freed -= (self.fresh.gas_constant - self.burned.gas_constant) * temperature
        gained = r.heat_release * self.mass * freed * burning - self.loss(pressure, temperature, volume)
        warming = (gained - pressure * volume_rate) / (self.mass * heat_capacity)
        if self.spark is None:
            end_gas_temperature, end_warming = temperature, warming
        else:
            molecules = (self.burned.gas_constant - self.fresh.gas_constant) * burning / constant
            rise = warming / temperature + molecules - volume_rate / volume
            g = self.charge.gamma(end_gas_temperature)
            end_warming = (g - 1) / g * end_gas_temperature * rise
        delay = 17.68e-3 * (r.octane / 100) ** 3.402 * (pressure / 101325) ** -1.7 * exp(3800 / end_gas_temperature)
        return warming, end_warming, 1 / (delay * 2 * pi * r.speed)

    def solve(self, method="DOP853", rtol=1e-10):
        """Pressure, end-gas temperature and integral at the end."""
        state = [self.run.temperature, self.run.temperature, 0.0]
        tolerances = {"method": method, "rtol": rtol, "atol": [1e3 * rtol, 1e3 * rtol, rtol]}
        state = solve_ivp(self.slopes, (self.closing, self.start), state, **tolerances).y[:, -1]
        volume = self.volume(self.start)[0]
        pressure = self.mass * self.charge.gas_constant * state[0] / volume
        self.spark = pressure, volume, self.charge.gamma(state[0])
        state = solve_ivp(self.slopes, (self.start, self.end), state, **tolerances).y[:, -1]
        share = self.run.residual + (1 - self.run.residual) * self.run.burned_at_end
        constant = (1 - share) * self.fresh.gas_constant + share * self.burned.gas_constant
        return self.mass * constant * state[0] / self.volume(self.end)[0], state[1], state[2]


CASES = [
    build(9.5),
    build(8.5, 1.0),
    build(8.5, 1.8, 6500.0, burn_centre=radians(24)),
    build(10.5, 0.4, 1200.0, heat_loss=2.0, burn_duration=radians(65)),
    build(12.0, 0.0, 3000.0, heat_loss=0.0, pin_offset=0.010, burned_at_end=0.95),
    build(7.5, 1.4, fuel="toluene", equivalence_ratio=0.9, closing=radians(75), burn_duration=radians(35)),
]


@pytest.mark.parametrize("case", CASES)
def test_solve_ivp(case):
    """SciPy DOP853 at 1e-10."""
    pressure, temperature, integral = Reference(case).solve()
    assert knock_integral(case) == pytest.approx(integral, rel=1e-4)
    last = list(end_gas(case))[-1]
    assert last.node.pressure == pytest.approx(pressure, rel=3e-5)
    assert last.temperature == pytest.approx(temperature, rel=2e-5)


@pytest.mark.parametrize("method", ["LSODA", "RK45"])
def test_other_solvers_agree(method):
    """Two more codings of the solver."""
    assert Reference(CASES[1]).solve(method, 1e-9)[2] == pytest.approx(knock_integral(CASES[1]), rel=5e-5)


def test_arrays_by_chance():
    """Vectorised against plain, on builds drawn by chance."""
    chance = np.random.default_rng(5)
    count = 24
    drawn = {
        "burn_centre": np.radians(chance.uniform(0, 30, count)),
        "burn_duration": np.radians(chance.uniform(30, 70, count)),
        "closing": np.radians(chance.uniform(25, 85, count)),
        "heat_loss": chance.uniform(0, 2, count),
        "heat_release": chance.uniform(0.8, 1, count),
        "burned_at_end": chance.uniform(0.8, 0.95, count),
        "speed": chance.uniform(10, 130, count),
    }
    ratios, boosts = chance.uniform(7, 13, count), chance.uniform(0, 2, count)
    many = knock_integrals(build(ratios, boosts, **drawn))
    for i in range(count):
        alone = {name: float(values[i]) for name, values in drawn.items()}
        assert many[i] == pytest.approx(knock_integral(build(float(ratios[i]), float(boosts[i]), **alone)), rel=1e-10)
