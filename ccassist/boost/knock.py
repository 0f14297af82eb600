"""The knock integral of the end gas: Livengood-Wu over the Douaud-Eyzat delay.

The integral itself is for inside use: it sets two builds against each other
(:mod:`ccassist.boost.knock_compare`) and is never a result of its own.  Absolute
levels are worth about 8 octane, and levels at different speeds are not comparable.

The end gas is unburned charge: up to the start of the burn it is all the gas
there is, from there on it follows the isentrope of its own mixture under the
pressure in the cylinder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from itertools import pairwise
from typing import NamedTuple

from ccassist.boost.burn import STEPS, Node, trace
from ccassist.boost.burn_case import BurnMathematics, Case, Gases, arrays, floats, gases, parts, row_at
from ccassist.engine.mathematics import Array
from ccassist.values.number import Number, is_array
from ccassist.vocabulary.record import record

OCTANE_EXPONENT = 3.402
_ATMOSPHERE = 101325.0  # Pa; the delay is stated in atm


@record
class Delay:
    """τ = c (ON/100)^n_ON p^−n_p exp(E/T), p in atm: time to autoignition of end gas held at p and T.

    Source: A. M. Douaud and P. Eyzat, SAE 780080 (1978).  The constants, and "p in atm", were seen in
    public source files and a public algorithm note and agree with Heywood (1988) sec. 9.6 (from memory); the
    paper itself was not seen, and its own unit may be kg/cm², which would move an octane by 1.6 at most.

    octane_exponent, pressure_exponent : powers.
    """

    constant: Number = 17.68e-3  # s
    octane_exponent: float = OCTANE_EXPONENT
    pressure_exponent: Number = 1.7
    activation: Number = 3800.0  # K

    def time(
        self, pressure: Number, temperature: Number, octane: Number, *, m: BurnMathematics | None = None
    ) -> Number:
        """Delay.  [Pa], [K], octane number -> [s].

        Source: :class:`Delay`.

        >>> round(Delay().time(40e5, 800.0, 95.0) * 1e3, 3)
        3.318
        """
        m = m or floats()
        rating = (octane / 100) ** self.octane_exponent
        exponent = self.activation / temperature - self.pressure_exponent * m.log(pressure / _ATMOSPHERE)
        return self.constant * rating * m.exp(exponent)

    def part(self, which: slice) -> Delay:
        """The delay of some of the cases: arrays cut, shared numbers as they are.

        >>> Delay().part(slice(0, 1)) == Delay()
        True
        """
        own = {f.name: getattr(self, f.name) for f in fields(self)}
        return Delay(**{name: number[which] if is_array(number) else number for name, number in own.items()})


class EndGas(NamedTuple):
    """The unburned charge at a node: its temperature, K, and d ln T/dθ, per rad."""

    node: Node
    temperature: Number
    warming: Number


def knock_integral(
    case: Case,
    *,
    delay: Delay | None = None,
    m: BurnMathematics | None = None,
    steps: tuple[int, int] = STEPS,
) -> Number:
    """∫dt/τ of the end gas from intake closing to the stated burned share; a number without unit.

    Floats with the plain mathematics, one dimension of cases with arrays.  Source: J. C. Livengood and
    P. C. Wu, Fifth Symposium (International) on Combustion (1955), p. 347.  Trapezoids with the end correction
    of Euler and Maclaurin, step by step; the two ends of the start of the burn add nothing.  ``steps`` : of
    :func:`ccassist.boost.burn.trace`.

    >>> from ccassist.boost.example_engine import CASE
    >>> round(knock_integral(CASE) / knock_integral(CASE.but(octane=100.0)), 4)
    1.1907
    """
    m, delay = m or floats(), delay or Delay()
    total: Number = 0.0
    for before, after in pairwise(_hurries(case, delay, m, steps)):
        (angle, hurry, change), (next_angle, next_hurry, next_change) = before, after
        width = next_angle - angle
        total = total + width * (hurry + next_hurry) / 2 + width**2 * (change - next_change) / 12
    return total / (2 * m.pi * case.operating.speed)


def octane_over(octane: float, ratio: Number) -> Number:
    """What octane more makes up for a knock integral this many times as great: ON (ratio^(1/3.402) − 1).

    Octane of the fuel, ratio -> octane number, negative below 1.  Exact for :class:`Delay`; its constant and its
    unit of pressure cancel in the ratio.

    Source: :class:`Delay` turned round.

    >>> round(octane_over(95.0, 2.0), 1)
    21.5
    """
    return octane * (ratio ** (1 / OCTANE_EXPONENT) - 1)


def knock_integrals(case: Case, *, delay: Delay | None = None, steps: tuple[int, int] = STEPS) -> Array:
    """The knock integral of many cases, as an array of their count; worked through in parts to bound memory.

    Numbers without unit.

    >>> import numpy as np
    >>> from ccassist.boost.example_engine import CASE
    >>> found = knock_integrals(CASE.but(pressure=np.array([1.5e5, 1.8e5])))
    >>> bool(found[1] > found[0])
    True
    """
    import numpy as np

    delay, m = delay or Delay(), arrays()
    found = np.empty(case.count)
    for part in parts(case.count):
        here: Array = knock_integral(case.part(part), delay=delay.part(part), m=m, steps=steps)
        found[part] = here
    return found


def end_gas(case: Case, *, m: BurnMathematics | None = None, steps: tuple[int, int] = STEPS) -> Iterator[EndGas]:
    """The end gas at each node of :func:`ccassist.boost.burn.trace`.

    Over a step of the burn ln T rises by κ = (γ − 1)/γ, as it is half way, times the rise of ln p.

    K and rad.  Source: isentrope of an ideal gas.

    >>> from ccassist.boost.example_engine import CASE
    >>> round(max(gas.temperature for gas in end_gas(CASE)))
    868
    """
    m, run = m or floats(), case.operating
    charge = gases(run.fuel, run.equivalence_ratio, m)
    temperature, kappa, pressure = run.temperature, None, run.pressure
    for node in trace(case, m=m, steps=steps):
        if not node.burning:
            temperature, pressure = node.temperature, node.pressure
            yield EndGas(node, temperature, node.warming)
            continue
        kappa = _kappa(charge, temperature, run.residual, m) if kappa is None else kappa
        rise = m.log(node.pressure / pressure)
        half_way = _kappa(charge, temperature * (1 + kappa * rise / 2), run.residual, m)
        temperature, pressure = temperature * m.exp(half_way * rise), node.pressure
        kappa = _kappa(charge, temperature, run.residual, m)
        yield EndGas(node, temperature, kappa * node.steepness)


def _kappa(charge: Gases, temperature: Number, residual: Number, m: BurnMathematics) -> Number:
    """(γ − 1)/γ of the unburned charge."""
    return charge.constant(residual) / charge.heat_capacity(row_at(temperature, m=m), residual)


def _hurries(
    case: Case, delay: Delay, m: BurnMathematics, steps: tuple[int, int]
) -> Iterator[tuple[Number, Number, Number]]:
    """At each node: angle, 1/τ [1/s], and its change per rad."""
    for node, temperature, warming in end_gas(case, m=m, steps=steps):
        hurry = 1 / delay.time(node.pressure, temperature, case.operating.octane, m=m)
        slope = delay.pressure_exponent * node.steepness + delay.activation / temperature * warming
        yield node.angle, hurry, hurry * slope
