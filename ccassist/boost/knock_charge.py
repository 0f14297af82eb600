"""From geometry and charge to the case whose burn is worked out; and the unboosted ratio that knocks alike."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field, replace

from ccassist.boost.burn_case import BurntCylinder, Case, Operating, arrays, parts
from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.charge import Charge, GasState, charge, isentropic
from ccassist.boost.conditions import Conditions, aspirated
from ccassist.boost.draws import COMMON, NOTHING_OWN, drawn
from ccassist.boost.gas import mixture
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_compare import drawn_integrals
from ccassist.engine import slider_crank
from ccassist.engine.mathematics import Array, Mathematics, Relation, mathematics_of, plain
from ccassist.engine.model import Choices
from ccassist.engine.slider_crank import Geometry
from ccassist.values.findings import Finding, InputError, NotPossible, error
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import newton, secant
from ccassist.values.statistics import middle_of
from ccassist.vocabulary.record import record

_STEPS = 2  # of the secant: two reach a ten-thousandth of a ratio
_NUDGE = 1.01
_LEAST = 1.5  # static ratio that no step goes below


@record
class Habit:
    """How an engine is run beyond its charge: what both engines of a comparison must share, and the burn.

    Attributes as in :class:`ccassist.boost.burn_case.Operating` (``speed`` rev/s, angles rad); ``bore`` m.
    The burn duration, the heat release and the heat loss are assumptions.
    """

    bore: float
    speed: float
    burn_centre: float
    burn_duration: float
    octane: float
    ethanol: float = 0.0
    methanol: float = 0.0
    direct_injection: bool = False
    heat_release: float = 0.93
    heat_loss: float = 1.0
    burn_centre_spread: float | None = None


@record
class NaturalRatio:
    """Static ratio of the unboosted engine that knocks alike, and the interval that holds 95 of 100 draws.

    ``draws`` : the ratio of each draw, an array; the same draw of two of them shares its unknowns.
    """

    ratio: float
    low: float
    high: float
    draws: Number = field(repr=False, compare=False)


def case_of(geometry: Geometry, air: Charge, habit: Habit) -> Case:
    """The case of an engine: crank and ratio, charge at intake closing, and habit.  Uncertain numbers become plain.

    SI.

    >>> from ccassist.boost.example_engine import GEOMETRY, AIR, HABIT
    >>> round(case_of(GEOMETRY, charge(AIR, 9.0), HABIT).operating.pressure)
    161325
    """
    stroke, rod, offset = (plain(n) for n in (geometry.stroke, geometry.rod_length, geometry.pin_offset))
    cylinder = BurntCylinder(bore=habit.bore, stroke=stroke, rod_length=rod, pin_offset=offset, clearance_volume=1.0)
    hot = air.compressor_temperature
    operating = Operating(
        speed=habit.speed,
        closing=plain(geometry.intake_closing),
        pressure=plain(air.closing.pressure),
        temperature=plain(air.closing.temperature),
        fuel=air.mixture.fuel,
        equivalence_ratio=plain(air.mixture.equivalence_ratio),
        residual=plain(air.residual_fraction),
        residual_temperature=plain(air.conditions["residual_temperature"]),
        cooler_span=0.0 if hot is None else plain(hot) - plain(air.conditions["coolant_temperature"]),
        burn_centre=habit.burn_centre,
        burn_duration=habit.burn_duration,
        burn_centre_spread=habit.burn_centre_spread,
        heat_release=habit.heat_release,
        heat_loss=habit.heat_loss,
        octane=habit.octane,
        ethanol=habit.ethanol,
        methanol=habit.methanol,
        direct_injection=habit.direct_injection,
    )
    m = mathematics_of(stroke, rod, offset)
    return Case(cylinder=cylinder.with_ratio(plain(geometry.static_ratio), m=m), operating=operating)


def builder(geometry: Geometry, air: Conditions, habit: Habit) -> Callable[[Number], Case]:
    """From a static ratio (or an array of them) to the case with it, the residual gas following.

    SI.  Source: :func:`ccassist.boost.charge.charge` for the charge, all else as stated.

    >>> from ccassist.boost.example_engine import GEOMETRY, AIR, HABIT
    >>> build = builder(GEOMETRY, AIR, HABIT)
    >>> build(8.0).cylinder.clearance_volume > build(9.0).cylinder.clearance_volume
    True
    """
    sure = air.plain()

    def build(ratio: Number) -> Case:
        return case_of(geometry.with_static_ratio(ratio), charge(sure, ratio), habit)

    return build


def map_builder(geometry: Geometry, air: Conditions, habit: Habit) -> Callable[[Number, Number], Case]:
    """From gauge boosts [Pa] and static ratios to the cases of :func:`ccassist.boost.knock_charge.boost_map`.

    Source: :func:`ccassist.boost.charge.charge` for the charge, all else as stated.

    >>> from ccassist.boost.example_engine import GEOMETRY, AIR, HABIT
    >>> round(map_builder(GEOMETRY, AIR, HABIT)(80e3, 9.0).operating.pressure)
    181325
    """
    sure = air.plain()

    def build(boost: Number, ratio: Number) -> Case:
        return case_of(geometry.with_static_ratio(ratio), charge(sure.but(boost_gauge=boost), ratio), habit)

    return build


def natural_ratio(
    geometry: Geometry,
    air: Conditions,
    habit: Habit,
    *,
    natural_centre: float | None = None,
) -> tuple[NaturalRatio | None, tuple[Finding, ...]]:
    """The naturally aspirated static ratio with the knock integral of a boosted engine.

    Same crank, closing, fuel, speed and air, no compressor, 101.325 kPa; burn phasing the same too, or
    ``natural_centre`` [rad after top dead centre], because a retarded boosted engine is mostly set against an
    unboosted one that is not.  What the two share is drawn by chance.  Returns None with the reason where
    the comparison is refused or no ratio from 3 to 40 does it.

    Source: definition; JCGM 101:2008, 7 for the interval.
    """
    import numpy as np

    target = builder(geometry, air, habit)(plain(geometry.static_ratio))
    centre = habit.burn_centre if natural_centre is None else natural_centre
    natural = builder(geometry, aspirated(air), replace(habit, burn_centre=centre))
    try:
        ratio = equal_knock(target, natural, nominal(geometry.static_ratio))[0]
    except InputError as refused:
        return None, refused.findings
    except NotPossible as none:
        return None, (error("knock-out-of-reach", str(none)),)
    draws = drawn(COMMON, NOTHING_OWN)
    wanted = np.log(drawn_integrals(target, COMMON))

    def lacking(ratios: Array) -> Array:
        return np.log(draws.integrals(draws.shared(natural(ratios)))) - wanted

    start = np.full_like(wanted, ratio)
    ratios = newton(secant(lacking, start), start * _NUDGE, keep=lambda at: np.maximum(at, _LEAST), steps=_STEPS)
    low, high = middle_of(ratios)
    return NaturalRatio(ratio=ratio, low=low, high=high, draws=ratios), ()


def equal_knock(
    baseline: Case | None, build: Callable[[float], Case], now: float, *, unknown: str = "static_ratio"
) -> tuple[float, ...]:
    """Every value of one term (SI) at which a build has the knock integral of the baseline, the likeliest first.

    baseline : known to run clean.
    build : from a value of the term to the candidate; where it makes no engine it is passed over.
    now : the value that the candidate has.
    unknown : the term.

    Raises InputError: the comparison is refused; NotPossible: no possible value does it; the message says how near it
    comes.

    Source: definition: the same :func:`ccassist.boost.knock.knock_integral`.

    >>> from ccassist.boost.example_engine import GEOMETRY, AIR, HABIT, CASE
    >>> round(equal_knock(CASE, builder(GEOMETRY, AIR, HABIT), 8.0)[0], 6)
    9.0
    """
    from ccassist.solve.solver import solve

    refused = refusals(baseline, build(now))
    if refused or baseline is None:
        raise InputError(refused)
    fuel, known = baseline.operating.octane, knock_integral(baseline)

    def over(value: float, *, m: Mathematics) -> float:
        case = build(value)
        wrong = unsound(case)
        if wrong:
            raise NotPossible(wrong)
        return nominal(octane_over(fuel, knock_integral(case) / known))

    node = Relation(name="octane over the baseline", gives="octane_difference", needs=(unknown,), function=over)
    answer = solve(
        {unknown: now},
        Choices(),
        unknowns=(unknown,),
        targets={node.gives: 0.0},
        figures={node.gives: node},
        algebra=False,
    )
    return tuple(root.nominal for root in answer.roots)


# Boost by static ratio: end pressure, end temperature and octane difference from the baseline over a whole grid.
#
# Each point is a full compression, burn and knock integral.  All points are
# worked on as arrays, a few thousand at once, so that memory does not grow with
# the grid.

MapBuild = Callable[[Number, Number], Case]


@record
class BoostMap:
    """A grid of boost by static ratio.

    boosts, ratios : the axes, as they were given.
    end_pressure, end_temperature : of the charge at top dead centre without a burn and without heat loss, Pa and K;
        arrays of shape (boosts, ratios).
    octane_difference : from the baseline, of the same shape, positive harder on the fuel; None where it is refused.
    """

    boosts: tuple[float, ...]
    ratios: tuple[float, ...]
    end_pressure: Array
    end_temperature: Array
    octane_difference: Array


def boost_map(
    baseline: Case | None, build: MapBuild, boosts: Sequence[float], ratios: Sequence[float]
) -> tuple[BoostMap, tuple[Finding, ...]]:
    """The map of a build.

    baseline : known to run clean; None gives end pressure and temperature only.
    build : from boosts and static ratios, two arrays of one dimension and equal length (or two floats), to the
        builds, all run alike but for the charge.
    boosts, ratios : the axes, in the units that ``build`` takes.

    Returns the map, and the findings that say why it has no octane difference.

    Pa, K and octane numbers.  Source: as :func:`ccassist.boost.knock.knock_integral`.

    >>> from ccassist.boost.example_engine import GEOMETRY, AIR, HABIT, CASE
    >>> found, _ = boost_map(CASE, map_builder(GEOMETRY, AIR, HABIT), (60e3, 80e3), (8.5, 9.0))
    >>> found.octane_difference.shape, round(abs(float(found.octane_difference[0, 1])), 6)
    ((2, 2), 0.0)
    """
    import numpy as np

    shape = len(boosts), len(ratios)
    boost, ratio = (axis.ravel() for axis in np.meshgrid(boosts, ratios, indexing="ij"))
    refused = _refused(baseline, build, boosts, ratios)
    pressure, temperature = np.empty(boost.size), np.empty(boost.size)
    difference = None if refused else np.empty(boost.size)
    for part in parts(boost.size):
        case = build(boost[part], ratio[part])
        end = end_of_compression(case)
        here: tuple[Array, Array] = end.pressure, end.temperature
        pressure[part], temperature[part] = here
        if difference is not None and baseline is not None:
            relative = knock_integrals(case) / knock_integral(baseline)
            over: Array = octane_over(baseline.operating.octane, relative)
            difference[part] = over
    found = BoostMap(
        boosts=tuple(boosts),
        ratios=tuple(ratios),
        end_pressure=pressure.reshape(shape),
        end_temperature=temperature.reshape(shape),
        octane_difference=None if difference is None else difference.reshape(shape),
    )
    return found, refused


def end_of_compression(case: Case) -> GasState:
    """The charge at top dead centre along its isentrope, from arrays.

    Pa and K.  Source: :func:`ccassist.boost.charge.isentropic`.

    >>> import numpy as np
    >>> from ccassist.boost.example_engine import CASE
    >>> round(float(end_of_compression(CASE.but(temperature=np.array([380.0]))).temperature[0]))
    717
    """
    one, run, m = case.cylinder, case.operating, arrays()
    closing = slider_crank.cylinder_volume(
        case.closing_angle(m=m), one.bore, one.clearance_volume, one.stroke, one.rod_length, one.pin_offset, m=m
    )
    start = GasState(pressure=run.pressure, temperature=run.temperature)
    gas = mixture(run.fuel, run.equivalence_ratio, run.residual)
    return isentropic(gas, start, closing / one.clearance_volume)


def _refused(
    baseline: Case | None, build: MapBuild, boosts: Sequence[float], ratios: Sequence[float]
) -> tuple[Finding, ...]:
    """Why a map has no octane difference, looked for in its four corners."""
    for boost in (boosts[0], boosts[-1]):
        for ratio in (ratios[0], ratios[-1]):
            refused = refusals(baseline, build(float(boost), float(ratio)))
            if refused:
                return refused
    return ()
