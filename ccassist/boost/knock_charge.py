"""From geometry and charge to the case whose burn is worked out; and the unboosted ratio that knocks alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from ccassist.boost.burn_case import Case, Cylinder, Operating, arrays, parts
from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.charge import Charge, Geometry, State, charge, isentropic
from ccassist.boost.conditions import Conditions, aspirated
from ccassist.boost.gas import mixture
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_compare import COMMON, NOTHING_OWN, Common, drawn
from ccassist.boost.numbers import plain, roots
from ccassist.engine import slider_crank
from ccassist.values.findings import Finding, error
from ccassist.values.statistics import middle_of

# What makes a build as hard on the fuel as the baseline: the root in one variable.
#
# The caller says how the variable makes the build (a closing, a clearance volume,
# a boost with all that it does to the charge); for the common ones :data:`LEVERS`
# says it.

_SAMPLES = 12
_SHOWN = 1e-5  # octane: a root is kept only where the difference really vanishes

Build = Callable[[float], Case]

LEVERS: Mapping[str, Callable[[Case, float], Case]] = MappingProxyType(
    {
        "clearance_volume": lambda case, value: case.but(clearance_volume=value),
        "static_ratio": lambda case, value: replace(case, cylinder=case.cylinder.with_ratio(value)),
        "closing": lambda case, value: case.but(closing=value),
        "pressure": lambda case, value: case.but(pressure=value),
        "temperature": lambda case, value: case.but(temperature=value),
        "burn_centre": lambda case, value: case.but(burn_centre=value),
    }
)
"""From a case and a value of the lever (SI) to the case with it, all else as stated: pressure and temperature at
closing as they are, and the same residual."""


@dataclass(frozen=True, kw_only=True)
class Equal:
    """Where a build knocks as the baseline does.

    Attributes
    ----------
    values : of the variable, SI, rising; mostly one.
    least, most : octane difference from the baseline that the variable can reach in its range.
    """

    values: tuple[float, ...]
    least: float
    most: float


def equal_knock(
    baseline: Case | None,
    build: Build,
    low: float,
    high: float,
    *,
    what: str,
    show: Callable[[float], str] = "{:.4g}".format,
) -> tuple[Equal | None, tuple[Finding, ...]]:
    """Values of one variable at which a build has the knock integral of the baseline.

    Parameters
    ----------
    baseline : known to run clean.
    build : from a value of the variable (SI) to the candidate.
    low, high : range to look in, SI.
    what, show : the variable's name and how to write a value of it, for the words.

    Returns what was found, or None with the reasons where the comparison is refused; where nothing in the
    range does it there are no values, and a finding says how near it comes.  Values that make no engine are
    passed over.
    """
    points = [low + (high - low) * part / _SAMPLES for part in range(_SAMPLES + 1)]
    sound = [value for value in points if not unsound(build(value))]
    refused = refusals(baseline, build(sound[0] if sound else low))
    if refused or baseline is None:
        return None, refused
    fuel, known = baseline.operating.octane, knock_integral(baseline)

    def over(value: float) -> float:
        return float(octane_over(fuel, knock_integral(build(value)) / known))

    seen = [(value, over(value)) for value in sound]
    values = tuple(root for root in roots(over, seen) if abs(over(root)) < _SHOWN)
    reach = Equal(values=values, least=min(d for _, d in seen), most=max(d for _, d in seen))
    if values:
        return reach, ()
    return reach, (_never(reach, what, f"{show(low)} to {show(high)}"),)


def equal_knock_ratio(
    target: Case, natural: Build, *, low: float = 5.0, high: float = 40.0
) -> tuple[float | None, tuple[Finding, ...]]:
    """Static ratio at which a naturally aspirated engine has the knock integral of a boosted one.

    ``natural`` makes the unboosted engine of a ratio: same cylinder, speed, fuel and spark habit, charge as
    without boost.  Above about 14 the ratio only says that no unboosted engine does this.
    """
    found, findings = equal_knock(target, natural, low, high, what="static ratio", show="{:.1f}".format)
    return (found.values[0] if found and found.values else None), findings


def _never(reach: Equal, what: str, span: str) -> Finding:
    """Nothing in the range does it, and how near it comes."""
    harder = reach.least > 0
    nearest = reach.least if harder else reach.most
    side = "harder" if harder else "easier"
    return error(
        "knock-out-of-reach",
        f"{what} alone cannot bring this build to the baseline's knock: from {span} it stays at least "
        f"{abs(nearest):.1f} octane {side} on the fuel",
        right="change something else as well: " + ("less boost, later burn, cooler charge" if harder else "more boost"),
    )


_STEPS = 5  # of the secant: three reach a thousandth of a ratio
_NUDGE = 1.01
_LEAST = 1.5  # static ratio that no step goes below


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class NaturalRatio:
    """Static ratio of the unboosted engine that knocks alike, and the interval that holds 95 of 100 draws.

    ``draws`` : the ratio of each draw, an array; the same draw of two of them shares its unknowns.
    """

    ratio: float
    low: float
    high: float
    draws: Any = field(repr=False, compare=False)


def case_of(geometry: Geometry, air: Charge, habit: Habit) -> Case:
    """The case of an engine: crank and ratio, charge at intake closing, and habit.  Uncertain numbers become plain."""
    stroke, rod, offset = (plain(n) for n in (geometry.stroke, geometry.rod_length, geometry.pin_offset))
    cylinder = Cylinder(bore=habit.bore, stroke=stroke, rod_length=rod, pin_offset=offset, clearance_volume=1.0)
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
        heat_release=habit.heat_release,
        heat_loss=habit.heat_loss,
        octane=habit.octane,
        ethanol=habit.ethanol,
        methanol=habit.methanol,
        direct_injection=habit.direct_injection,
    )
    return Case(cylinder=cylinder.with_ratio(plain(geometry.static_ratio)), operating=operating)


def builder(geometry: Geometry, air: Conditions, habit: Habit) -> Callable[[Any], Case]:
    """From a static ratio (or an array of them) to the case with it, the residual gas following."""
    sure = air.plain()

    def build(ratio: Any) -> Case:
        return case_of(geometry.with_static_ratio(ratio), charge(sure, ratio), habit)

    return build


def map_builder(geometry: Geometry, air: Conditions, habit: Habit) -> Callable[[Any, Any], Case]:
    """From gauge boosts [Pa] and static ratios to the cases of :func:`ccassist.boost.knock_charge.boost_map`."""
    sure = air.plain()

    def build(boost: Any, ratio: Any) -> Case:
        return case_of(geometry.with_static_ratio(ratio), charge(sure.but(boost_gauge=boost), ratio), habit)

    return build


def natural_ratio(
    geometry: Geometry,
    air: Conditions,
    habit: Habit,
    *,
    natural_centre: float | None = None,
    common: Common = COMMON,
) -> tuple[NaturalRatio | None, tuple[Finding, ...]]:
    """The naturally aspirated static ratio with the knock integral of a boosted engine.

    Same crank, closing, fuel, speed and air, no compressor, 101.325 kPa; burn phasing the same too, or
    ``natural_centre`` [rad after top dead centre], because a retarded boosted engine is mostly set against an
    unboosted one that is not.  What the two share is drawn by chance.  Returns None with the reason where
    the comparison is refused or no ratio from 5 to 40 does it.
    """
    import numpy as np

    target = builder(geometry, air, habit)(plain(geometry.static_ratio))
    centre = habit.burn_centre if natural_centre is None else natural_centre
    natural = builder(geometry, aspirated(air), replace(habit, burn_centre=centre))
    ratio, findings = equal_knock_ratio(target, natural)
    if ratio is None:
        return None, findings
    draws = drawn(common, NOTHING_OWN)
    wanted = np.log(knock_integrals(draws.shared(target), delay=draws.delay))

    def lacking(ratios: Any) -> Any:
        return np.log(knock_integrals(draws.shared(natural(ratios)), delay=draws.delay)) - wanted

    ratios = _secant(lacking, np.full_like(wanted, ratio))
    low, high = middle_of(ratios)
    return NaturalRatio(ratio=ratio, low=low, high=high, draws=ratios), findings


def _secant(lacking: Callable[[Any], Any], start: Any) -> Any:
    """Roots near a start, all at once."""
    import numpy as np

    before, at_before = start, lacking(start)
    here = start * _NUDGE
    for _ in range(_STEPS):
        at_here = lacking(here)
        change = at_here - at_before
        slope = np.where(change == 0, 1.0, change)
        step = np.where(change == 0, 0.0, at_here * (here - before) / slope)
        before, at_before, here = here, at_here, np.maximum(here - step, _LEAST)
    return here


# Boost by static ratio: end pressure, end temperature and octane difference from the baseline over a whole grid.
#
# Each point is a full compression, burn and knock integral.  All points are
# worked on as arrays, a few thousand at once, so that memory does not grow with
# the grid.

MapBuild = Callable[[Any, Any], Case]


@dataclass(frozen=True, kw_only=True)
class BoostMap:
    """A grid of boost by static ratio.

    Attributes
    ----------
    boosts, ratios : the axes, as they were given.
    end_pressure, end_temperature : of the charge at top dead centre without a burn and without heat loss, Pa and K;
        arrays of shape (boosts, ratios).
    octane_difference : from the baseline, of the same shape, positive harder on the fuel; None where it is refused.
    """

    boosts: tuple[float, ...]
    ratios: tuple[float, ...]
    end_pressure: Any
    end_temperature: Any
    octane_difference: Any


def boost_map(
    baseline: Case | None, build: MapBuild, boosts: Sequence[float], ratios: Sequence[float]
) -> tuple[BoostMap, tuple[Finding, ...]]:
    """The map of a build.

    Parameters
    ----------
    baseline : known to run clean; None gives end pressure and temperature only.
    build : from boosts and static ratios, two arrays of one dimension and equal length (or two floats), to the
        builds, all run alike but for the charge.
    boosts, ratios : the axes, in the units that ``build`` takes.

    Returns the map, and the findings that say why it has no octane difference.
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
        pressure[part], temperature[part] = end.pressure, end.temperature
        if difference is not None and baseline is not None:
            relative = knock_integrals(case) / knock_integral(baseline)
            difference[part] = octane_over(baseline.operating.octane, relative)
    found = BoostMap(
        boosts=tuple(boosts),
        ratios=tuple(ratios),
        end_pressure=pressure.reshape(shape),
        end_temperature=temperature.reshape(shape),
        octane_difference=None if difference is None else difference.reshape(shape),
    )
    return found, refused


def end_of_compression(case: Case) -> State:
    """The charge at top dead centre along its isentrope, from arrays."""
    one, run, m = case.cylinder, case.operating, arrays()
    closing = slider_crank.cylinder_volume(
        case.closing_angle(m=m), one.bore, one.clearance_volume, one.stroke, one.rod_length, one.pin_offset, m=m
    )
    start = State(pressure=run.pressure, temperature=run.temperature)
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
