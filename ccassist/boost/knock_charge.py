"""From geometry and charge to the case whose burn is worked out; and the unboosted ratio that knocks alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from ccassist.boost.burn_case import Case, Cylinder, Operating
from ccassist.boost.charge import Charge, charge
from ccassist.boost.conditions import Conditions, aspirated
from ccassist.boost.knock import knock_integrals
from ccassist.boost.knock_draws import COMMON, NOTHING_OWN, Common, drawn
from ccassist.boost.knock_equal import equal_knock_ratio
from ccassist.boost.numbers import plain
from ccassist.boost.trapped import Geometry
from ccassist.values.coverage import middle_of
from ccassist.values.findings import Finding

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
    """From gauge boosts [Pa] and static ratios to the cases of :func:`ccassist.boost.maps.boost_map`."""
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
