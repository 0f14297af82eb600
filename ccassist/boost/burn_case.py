"""What a burn is worked out from: one engine cylinder, how it is run, and the two together.

SI throughout.  Any number may be a NumPy array, one entry a case, as long as
all arrays of one record have the same one-dimensional shape; floats are shared
by all cases.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, replace
from functools import cache
from itertools import pairwise

from ccassist.boost.gas import mixture
from ccassist.engine import mathematics, relations, slider_crank
from ccassist.engine.mathematics import FLOATS, Array, Function, Mathematics
from ccassist.values.number import Number, is_array, nominal
from ccassist.vocabulary.record import record


@record
class BurntCylinder:
    """One cylinder.

    bore, stroke, rod_length : m; the stroke is twice the crank throw.
    """

    bore: Number
    stroke: Number
    rod_length: Number
    clearance_volume: Number  # m³, above the piston at top dead centre
    pin_offset: Number = 0.0  # m, positive away from the thrust side, as in :mod:`ccassist.engine.slider_crank`

    def swept_volume(self, *, m: Mathematics = FLOATS) -> Number:
        """Swept volume of one cylinder, m³.

        Source: :func:`ccassist.engine.relations.swept_volume`.

        >>> from ccassist.boost.example_engine import CASE
        >>> round(CASE.cylinder.swept_volume() * 1e6, 2)
        427.26
        """
        return relations.swept_volume(
            self.bore, relations.piston_travel_offset(self.stroke, self.rod_length, self.pin_offset, m=m), m=m
        )

    def with_ratio(self, static_ratio: Number, *, m: Mathematics = FLOATS) -> BurntCylinder:
        """The same cylinder with the clearance volume of another static ratio (above 1).

        Ratio -> clearance volume, m³.  Source: definition of the static ratio.

        >>> from ccassist.boost.example_engine import CASE
        >>> round(CASE.cylinder.with_ratio(9.0).clearance_volume * 1e6, 3)
        53.407
        """
        return replace(self, clearance_volume=self.swept_volume(m=m) / (static_ratio - 1))


@record
class Operating:
    """How it is run.

    pressure, temperature : of the charge at intake closing, Pa absolute and K, residual gas mixed in.
    fuel, equivalence_ratio : as :func:`ccassist.boost.gas.mixture` takes them; one for all cases.
    cooler_span : K, how much hotter than its coolant the charge comes to the cooler; 0 without one.
        Only used where the cooler is in doubt.
    burn_centre_spread : standard deviation of a burn centre that was measured, rad; None where it was not.
    burned_at_end : share burned to which the knock integral runs; beyond it what is left is too little to matter.
    ethanol, methanol : parts of the fuel by volume, 0 to 1.

    The last five decide whether a comparison of knock may be made at all; no exponent of compression stands
    here, because one stated by the user would move the octane by tens.
    """

    speed: Number  # rev/s
    closing: Number  # intake closing, rad of crank after true bottom dead centre
    pressure: Number
    temperature: Number
    fuel: str = "iso-octane"
    equivalence_ratio: float = 1.0
    residual: Number = 0.0  # mass fraction of burned gas left from the cycle before
    residual_temperature: Number = 1100.0  # K; only used where the residual or the heating of the charge is varied
    cooler_span: Number = 0.0
    burn_centre: Number  # rad after true top dead centre at which half has burned, negative before
    burn_duration: Number  # rad, whole length of the Wiebe curve; the part from 10 to 90 % is half of it
    burn_centre_spread: float | None = None
    heat_release: Number = 0.93  # part of the heat of the fuel that the burn sets free.  0.93 is an assumption.
    heat_loss: Number = 1.0  # times Woschni's heat loss: 1 as published, 0 for none
    wall_temperature: Number = 450.0  # K, of the surfaces.  450 K is an assumption.
    burned_at_end: Number = 0.90
    octane: float = 95.0  # rating of the fuel on whichever scale it is bought
    ethanol: float = 0.0
    methanol: float = 0.0
    direct_injection: bool = False  # whether the fuel goes straight into the cylinder


@record
class Case:
    """One cylinder, run one way; or as many as its arrays are long."""

    cylinder: BurntCylinder
    operating: Operating

    def but(self, **changes: Array) -> Case:
        """The same case with fields of its cylinder or its operating record replaced.

        SI, as the fields are.

        >>> from ccassist.boost.example_engine import CASE
        >>> CASE.but(pressure=2e5).operating.pressure
        200000.0
        """
        mechanical = {f.name for f in fields(BurntCylinder)}
        return Case(
            cylinder=replace(self.cylinder, **{k: v for k, v in changes.items() if k in mechanical}),
            operating=replace(self.operating, **{k: v for k, v in changes.items() if k not in mechanical}),
        )

    def closing_angle(self, *, m: Mathematics = FLOATS) -> Number:
        """Crank at intake closing, rad from true top dead centre of firing: negative, before it.

        Source: slider-crank geometry.

        >>> from math import degrees
        >>> from ccassist.boost.example_engine import CASE
        >>> round(degrees(CASE.closing_angle()), 1)
        -125.0
        """
        one = self.cylinder
        down = slider_crank.downstroke_angle(one.stroke, one.rod_length, one.pin_offset, m=m)
        return self.operating.closing + down - 2 * m.pi

    @property
    def count(self) -> int:
        """How many cases: the length of its arrays, 1 without any.

        >>> from ccassist.boost.example_engine import CASE
        >>> CASE.count
        1
        """
        arrays = [number for number in self.numbers().values() if is_array(number) and number.ndim]
        return max((len(number) for number in arrays), default=1)

    def numbers(self) -> dict[str, Array]:
        """Every field of both records by name; no name stands in both, SI.

        >>> from ccassist.boost.example_engine import CASE
        >>> round(CASE.numbers()['octane'])
        95
        """
        return {f.name: getattr(record, f.name) for record in (self.cylinder, self.operating) for f in fields(record)}

    def part(self, which: slice) -> Case:
        """Some of the cases: arrays cut, shared numbers as they are.

        >>> import numpy as np
        >>> from ccassist.boost.example_engine import CASE
        >>> CASE.but(pressure=np.array([1e5, 2e5, 3e5])).part(slice(0, 2)).count
        2
        """
        cut = {k: v[which] for k, v in self.numbers().items() if is_array(v) and v.ndim}
        return self.but(**cut)


# The mathematics of the burn, in floats or in arrays, and heat capacities from a table.
#
# The physics in :mod:`ccassist.boost.burn` and :mod:`ccassist.boost.knock` is
# written once and takes one of these as the keyword ``m``.  The table spares
# most of the time of the polynomials: linear between rows 10 K apart, within
# two parts in 100,000 of them from 200 to 5000 K.

CHUNK = 4096  # cases worked on at once: what the processor keeps close by
COLDEST, STEP, ROWS = 200.0, 10.0, 480  # K, K, and how many


@record(kw_only=False)
class BurnMathematics(Mathematics):
    """What the burn needs besides: exponential, logarithm, nothing less than zero, row numbers of a table, and
    rows as a table."""

    exp: Function
    log: Function
    positive: Function
    row: Callable[[Number], Array]
    table: Callable[[list[float]], Array]


Row = tuple[Array, Number]


@record
class Gases:
    """Fresh and burned gas of one fuel and strength, by the kilogram.

    fresh, burned : heat capacity at constant pressure at each row of the table, J/(kg K).
    fresh_slope, burned_slope : from each row to the next, J/(kg K).
    fresh_constant, burned_constant : gas constants, J/(kg K).
    heat, heat_slope : what burning a kilogram of the fresh gas at that temperature and volume sets free, as far
        as its air allows, J/kg: its internal energy less that of what it becomes; and from each row to the next.
    """

    fresh: Array
    burned: Array
    fresh_slope: Array
    burned_slope: Array
    fresh_constant: float
    burned_constant: float
    heat: Array
    heat_slope: Array

    def constant(self, burned: Number) -> Number:
        """Gas constant with this mass fraction burned, J/(kg K).

        Source: gases mixed by mass.

        >>> round(gases('iso-octane', 1.0, floats()).constant(0.0), 1)
        273.8
        """
        return self.fresh_constant + burned * (self.burned_constant - self.fresh_constant)

    def heat_capacity(self, at: Row, burned: Number) -> Number:
        """Heat capacity at constant pressure with this mass fraction burned.  :func:`row_at`, fraction -> [J/(kg K)].

        Source: the polynomials of :mod:`ccassist.boost.gas`, NASA TM-4513.

        >>> round(gases('iso-octane', 1.0, floats()).heat_capacity(row_at(700.0, m=floats()), 0.0))
        1210
        """
        row, beyond = at
        fresh: Number = self.fresh[row] + beyond * self.fresh_slope[row]
        products: Number = self.burned[row] + beyond * self.burned_slope[row]
        return fresh + burned * (products - fresh)

    def heat_of_burning(self, at: Row) -> Number:
        """Internal energy that a kilogram of the fresh gas loses by burning there.  :func:`row_at` -> [J/kg].

        Source: the polynomials of :mod:`ccassist.boost.gas`, NASA TM-4513.

        >>> round(gases('iso-octane', 1.0, floats()).heat_of_burning(row_at(298.15, m=floats())) / 1e6, 2)
        2.77
        """
        row, beyond = at
        heat: Number = self.heat[row] + beyond * self.heat_slope[row]
        return heat


@cache
def gases(fuel: str, equivalence_ratio: float, m: BurnMathematics) -> Gases:
    """The tables of a charge, made once.  ValueError for a fuel or strength that the gas data do not know.

    J/(kg K) and J/kg.  Source: the polynomials of :mod:`ccassist.boost.gas`, NASA TM-4513.

    >>> len(gases('iso-octane', 1.0, floats()).heat) == ROWS + 1
    True
    """
    fresh, burned = mixture(fuel, equivalence_ratio, 0.0), mixture(fuel, equivalence_ratio, 1.0)
    temperatures = [COLDEST + STEP * row for row in range(ROWS + 1)]
    columns = [[nominal(gas.cp(t)) for t in temperatures] for gas in (fresh, burned)]
    columns.append([nominal(fresh.internal_energy(t) - burned.internal_energy(t)) for t in temperatures])
    slopes = [[after - before for before, after in pairwise(column)] for column in columns]
    return Gases(
        fresh=m.table(columns[0]),
        burned=m.table(columns[1]),
        fresh_slope=m.table(slopes[0]),
        burned_slope=m.table(slopes[1]),
        fresh_constant=nominal(fresh.gas_constant),
        burned_constant=nominal(burned.gas_constant),
        heat=m.table(columns[2]),
        heat_slope=m.table(slopes[2]),
    )


def row_at(temperature: Number, *, m: BurnMathematics) -> Row:
    """Row of the table below a temperature [K], and how much of the step to the next one lies beyond it.

    Source: the table of :class:`Gases`.

    >>> row_at(702.5, m=floats())
    (50, 0.25)
    """
    place = (temperature - COLDEST) / STEP
    row = m.row(place)
    return row, place - row


def stacked(cases: Sequence[Case], each: int = 1) -> Case:
    """Several cases of one fuel and strength as one of arrays, each as often as said, one after the other; SI.

    >>> from ccassist.boost.example_engine import CASE
    >>> stacked([CASE, CASE.but(pressure=1e5)], 3).count
    6
    """
    import numpy as np

    first, *others = (case.numbers() for case in cases)
    own = [key for key in first if key == "pressure" or any(one[key] != first[key] for one in others)]
    return cases[0].but(**{key: np.repeat([float(one[key]) for one in (first, *others)], each) for key in own})


def parts(count: int) -> Iterator[slice]:
    """Slices that cover so many cases, so that memory does not grow with them.

    >>> [(part.start, part.stop) for part in parts(6000)]
    [(0, 4096), (4096, 6000)]
    """
    return (slice(begin, min(begin + CHUNK, count)) for begin in range(0, count, CHUNK))


def _row(place: float) -> int:
    """Row of the table at or below a place; the first and the last reach on beyond its ends."""
    return min(max(int(place), 0), ROWS - 1)


def _positive(number: float) -> float:
    """The number, or nothing where it is less."""
    return max(number, 0.0)


@cache
def floats() -> BurnMathematics:
    """For one case in plain floats.

    >>> round(floats().exp(1.0), 4)
    2.7183
    """
    return _widened(mathematics.FLOATS, exp=math.exp, log=math.log, positive=_positive, row=_row, table=tuple)


@cache
def arrays() -> BurnMathematics:
    """For many cases at once.

    >>> arrays().positive(-1.0).item()
    0.0
    """
    import numpy as np

    def rows(place: Array) -> Array:
        return np.minimum(np.maximum(place.astype(np.intp), 0), ROWS - 1)

    def positive(number: Array) -> Array:
        return np.maximum(number, 0.0)

    return _widened(mathematics.arrays(), exp=np.exp, log=np.log, positive=positive, row=rows, table=np.array)


def _widened(m: Mathematics, **more: Array) -> BurnMathematics:
    """The same mathematics with what the burn needs besides."""
    return BurnMathematics(**{f.name: getattr(m, f.name) for f in fields(m)}, **more)
