"""The mathematics of the burn, in floats or in arrays, and heat capacities from a table.

The physics in :mod:`ccassist.boost.burn` and :mod:`ccassist.boost.knock` is
written once and takes one of these as the keyword ``m``.  The table spares
most of the time of the polynomials: linear between rows 10 K apart, within
two parts in 100,000 of them from 200 to 5000 K.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache
from itertools import pairwise
from typing import Any

from ccassist.boost.gas import STANDARD_TEMPERATURE, mixture
from ccassist.engine import mathematics
from ccassist.engine.mathematics import Mathematics

CHUNK = 2048  # cases worked on at once: what the processor keeps close by
COLDEST, STEP, ROWS = 200.0, 10.0, 480  # K, K, and how many


@dataclass(frozen=True)
class BurnMathematics(Mathematics):
    """What the burn needs besides: exponential, logarithm, nothing less than zero, row numbers of a table, and
    rows as a table."""

    exp: Any
    log: Any
    positive: Any
    row: Any
    table: Any


@dataclass(frozen=True, kw_only=True)
class Gases:
    """Fresh and burned gas of one fuel and strength, by the kilogram.

    Attributes
    ----------
    fresh, burned : heat capacity at constant pressure at each row of the table, J/(kg K).
    fresh_slope, burned_slope : from each row to the next, J/(kg K).
    fresh_constant, burned_constant : gas constants, J/(kg K).
    heat : what burning a kilogram of the fresh gas sets free at 25 °C, as far as its air allows, J/kg.
    """

    fresh: Any
    burned: Any
    fresh_slope: Any
    burned_slope: Any
    fresh_constant: float
    burned_constant: float
    heat: float

    def constant(self, burned: Any) -> Any:
        """Gas constant with this mass fraction burned, J/(kg K)."""
        return self.fresh_constant + burned * (self.burned_constant - self.fresh_constant)

    def heat_capacity(self, temperature: Any, burned: Any, *, m: BurnMathematics) -> Any:
        """Heat capacity at constant pressure with this mass fraction burned.  [K], fraction -> [J/(kg K)]."""
        place = (temperature - COLDEST) / STEP
        row = m.row(place)
        beyond = place - row
        fresh = self.fresh[row] + beyond * self.fresh_slope[row]
        return fresh + burned * (self.burned[row] + beyond * self.burned_slope[row] - fresh)


@cache
def gases(fuel: str, equivalence_ratio: float, m: BurnMathematics) -> Gases:
    """The tables of a charge, made once.  ValueError for a fuel or strength that the gas data do not know."""
    fresh, burned = mixture(fuel, equivalence_ratio, 0.0), mixture(fuel, equivalence_ratio, 1.0)
    temperatures = [COLDEST + STEP * row for row in range(ROWS + 1)]
    columns = [[gas.cp(t) for t in temperatures] for gas in (fresh, burned)]
    slopes = [[after - before for before, after in pairwise(column)] for column in columns]
    return Gases(
        fresh=m.table(columns[0]),
        burned=m.table(columns[1]),
        fresh_slope=m.table(slopes[0]),
        burned_slope=m.table(slopes[1]),
        fresh_constant=fresh.gas_constant,
        burned_constant=burned.gas_constant,
        heat=fresh.enthalpy(STANDARD_TEMPERATURE) - burned.enthalpy(STANDARD_TEMPERATURE),
    )


def parts(count: int) -> Iterator[slice]:
    """Slices that cover so many cases, so that memory does not grow with them."""
    return (slice(begin, min(begin + CHUNK, count)) for begin in range(0, count, CHUNK))


def _row(place: float) -> int:
    """Row of the table at or below a place; the first and the last reach on beyond its ends."""
    return min(max(int(place), 0), ROWS - 1)


def _positive(number: float) -> float:
    """The number, or nothing where it is less."""
    return max(number, 0.0)


@cache
def floats() -> BurnMathematics:
    """For one case in plain floats."""
    return _widened(mathematics.FLOATS, exp=math.exp, log=math.log, positive=_positive, row=_row, table=tuple)


@cache
def arrays() -> BurnMathematics:
    """For many cases at once."""
    import numpy as np

    def rows(place: Any) -> Any:
        return np.clip(place, 0, ROWS - 1).astype(np.intp)

    def positive(number: Any) -> Any:
        return np.maximum(number, 0.0)

    return _widened(mathematics.arrays(), exp=np.exp, log=np.log, positive=positive, row=rows, table=np.array)


def _widened(m: Mathematics, **more: Any) -> BurnMathematics:
    """The same mathematics with what the burn needs besides."""
    return BurnMathematics(**{f.name: getattr(m, f.name) for f in fields(m)}, **more)
