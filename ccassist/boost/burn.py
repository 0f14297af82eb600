"""One burn in one zone: pressure from intake closing to the end of the burn.

Single zone with Wiebe burn and Woschni's heat loss.  The internal energy of the
gas is m ((1 − s) u_f(T) + s u_b(T)), fresh and burned by mass, and loses the work
p dV and the heat Qw to the walls (first law; Heywood, Internal Combustion Engine
Fundamentals (1988) ch. 9 and app. B, from memory), so that with pV = m R T

    m cv dT = η m (u_f − u_b) ds − p dV − dQw
    d(pV) = m R dT + pV dR/R

where the heat of burning is that at the temperature there, R grows with the
molecules that burning makes, and η is the share of the heat that is set free.
pV is the unknown, because it only doubles while the pressure rises fifteenfold.

Fourth-order Runge-Kutta with a fixed number of steps, in two lengths: intake
closing to the start of the burn, and from there to a stated burned share, so
that no step runs over the kink.  Every formula stands once and takes its mathematics
as ``m``: plain floats for one case, arrays for many (:mod:`ccassist.boost.burn_case`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from ccassist.boost.burn_case import BurnMathematics, Case, Gases, floats, gases, row_at
from ccassist.engine import relations, slider_crank
from ccassist.values.number import Number

WIEBE_A, WIEBE_M = 5.0, 2.0  # Heywood (1988) ch. 9 (from memory)
STEPS = 14, 20  # of the compression and of the burn
_CLOSER = 1.5  # the steps of the compression end closer together toward top dead centre, where it hurries
_KILO = 1e3  # Woschni's formula takes kPa


class Node(NamedTuple):
    """The cylinder at one angle.

    ``angle`` rad after true top dead centre of firing; ``volume`` m³; ``pressure`` Pa; ``temperature`` K, mean of
    all gas; ``steepness`` d ln p/dθ and ``warming`` d ln (pV)/dθ, per rad; ``burning`` whether the burn has begun.
    """

    angle: Number
    volume: Number
    pressure: Number
    temperature: Number
    steepness: Number
    warming: Number
    burning: bool


class _Place(NamedTuple):
    """What an angle settles before any pressure is known.

    ``volume`` m³ and its rate per rad; ``share`` of burned gas in all; ``constant`` of the gas, J/(kg K), and of all
    of it, ``times_mass`` J/K; ``loss`` the area of the walls over the angular speed, times the loss's factor, m² s;
    ``motored`` pressure, Pa, none before the burn; ``freed`` what burns per rad and gives its heat, kg, and ``growth``
    d ln R per rad of what molecules burning makes.
    """

    angle: Number
    volume: Number
    volume_rate: Number
    share: Number
    constant: Number
    times_mass: Number
    loss: Number
    motored: Number | None = None
    freed: Number = 0.0
    growth: Number = 0.0


class _Settled(NamedTuple):
    """What stays the same over a cycle: the case, its gases, and what the heat loss is reckoned from.

    ``motored`` is p Vᵏ along which the unburned charge would go on without the burn, and ``exponent`` its k; none
    before the burn.
    """

    case: Case
    gases: Gases
    mass: Number
    gas_speed: Number
    burn_speed: Number
    motored: Number | None
    exponent: Number | None


def wiebe(progress: Number, *, m: BurnMathematics | None = None) -> Number:
    """Share burned at a part of the burn duration: 1 − exp(−a y³).

    0 to 1 -> 0 to 0.9933.  Source: Wiebe's form with a 5, m 2, Heywood (1988) ch. 9 (from memory).

    >>> round(wiebe(0.5175), 3)
    0.5
    """
    return 1 - (m or floats()).exp(-WIEBE_A * progress * progress**WIEBE_M)


def burn_progress(share: Number, *, m: BurnMathematics | None = None) -> Number:
    """Part of the burn duration at which a share has burned: the inverse of :func:`wiebe`.

    0 to below 1 -> from 0.

    Source: Wiebe's form turned round.

    >>> round(burn_progress(0.9), 4)
    0.7722
    """
    return (-(m or floats()).log(1 - share) / WIEBE_A) ** (1 / (WIEBE_M + 1))


def burn_start(burn_centre: Number, burn_duration: Number) -> Number:
    """Angle at which the burn begins, from the angle at which half has burned and the whole duration.

    [rad after top dead centre], [rad] -> [rad after top dead centre].

    Source: Wiebe's form, Heywood (1988) ch. 9 (from memory).

    >>> from math import degrees, radians
    >>> round(degrees(burn_start(radians(8), radians(50))), 2)
    -17.88
    """
    return burn_centre - burn_progress(0.5) * burn_duration


def woschni(
    pressure: Number, temperature: Number, gas_speed: Number, bore: Number, *, m: BurnMathematics | None = None
) -> Number:
    """Heat transfer coefficient h = 3.26 B^−0.2 p^0.8 T^−0.55 w^0.8, p in kPa.

    [Pa], [K], [m/s], [m] -> [W/(m² K)].  Source: G. Woschni, SAE 670931 (1967), in the form of Heywood (1988)
    sec. 12.4 (form seen in public code; constants from memory).

    >>> round(woschni(40e5, 900.0, 12.0, 0.08))
    712
    """
    m = m or floats()  # T^−0.55 is T^−0.8 times the fourth root: a power less to take
    speeded = (pressure / _KILO * gas_speed / temperature) ** 0.8
    return 3.26 * bore**-0.2 * speeded * m.sqrt(m.sqrt(temperature))


def trace(case: Case, *, m: BurnMathematics | None = None, steps: tuple[int, int] = STEPS) -> Iterator[Node]:
    """Pressure and mean temperature from intake closing to the end of the knock integral.

    case : floats with the plain mathematics, floats or arrays of one shape with the other.
    steps : of the compression and of the burn.

    Yields the nodes of both lengths; the node at the start of the burn comes twice, as the end of the one
    and as the beginning of the other.  With 14 and 20 steps the knock integral is mostly within 2e-5 of its
    limit, and within 2e-4 with burns of 80 degrees of crank.

    Pressures Pa, temperatures K, angles rad.  Source: Heywood (1988) ch. 9 and app. B (from memory).

    >>> from ccassist.boost.example_engine import CASE
    >>> nodes = list(trace(CASE))
    >>> len(nodes), round(max(node.pressure for node in nodes) / 1e5)
    (36, 69)
    """
    m = m or floats()
    run = case.operating
    start = burn_start(run.burn_centre, run.burn_duration)
    length = burn_progress(run.burned_at_end, m=m) * run.burn_duration
    closing = case.closing_angle(m=m)
    fixed, energy = _settled(case, m), run.pressure * _volume(case, closing, m)
    last = None
    for last in _run(fixed, energy, closing, start - closing, _stops(steps[0], closer=_CLOSER), m):
        yield last
    assert last is not None
    fixed = _lit(fixed, last, m)
    yield from _run(fixed, last.pressure * last.volume, start, length, _stops(steps[1]), m)


def _run(
    fixed: _Settled, energy: Number, begin: Number, length: Number, stops: Sequence[float], m: BurnMathematics
) -> Iterator[Node]:
    """Nodes over one length, a step to each stop (parts of the length); ``energy`` is pV [J] at its beginning."""
    here = _place(fixed, begin, 0 * length, m)
    rate = _rate(fixed, here, energy, m)
    yield _node(fixed, here, energy, rate)
    for start, stop in pairwise((0.0, *stops)):
        step, half = length * (stop - start), length * ((start + stop) / 2)
        middle = _place(fixed, begin + half, half, m)
        there = _place(fixed, begin + length * stop, length * stop, m)
        second = _rate(fixed, middle, energy + step / 2 * rate, m)
        third = _rate(fixed, middle, energy + step / 2 * second, m)
        fourth = _rate(fixed, there, energy + step * third, m)
        energy = energy + step / 6 * (rate + 2 * (second + third) + fourth)
        rate = _rate(fixed, there, energy, m)
        yield _node(fixed, there, energy, rate)


def _stops(steps: int, *, closer: float = 1.0) -> tuple[float, ...]:
    """Parts of a length at which steps end: even at 1, closer together toward the end above it."""
    return tuple(1 - (1 - number / steps) ** closer for number in range(1, steps + 1))


def _volume(case: Case, angle: Number, m: BurnMathematics) -> Number:
    """Cylinder volume at an angle, m³."""
    one = case.cylinder
    return slider_crank.cylinder_volume(
        angle, one.bore, one.clearance_volume, one.stroke, one.rod_length, one.pin_offset, m=m
    )


def _settled(case: Case, m: BurnMathematics) -> _Settled:
    """What is fixed at intake closing."""
    run, one = case.operating, case.cylinder
    charge = gases(run.fuel, run.equivalence_ratio, m)
    closing_volume = _volume(case, case.closing_angle(m=m), m)
    mass = run.pressure * closing_volume / (charge.constant(run.residual) * run.temperature)
    travel = relations.piston_travel_offset(one.stroke, one.rod_length, one.pin_offset, m=m)
    swept = one.swept_volume(m=m)
    return _Settled(
        case=case,
        gases=charge,
        mass=mass,
        gas_speed=2.28 * relations.mean_piston_speed(travel, run.speed, m=m),
        burn_speed=3.24e-3 * swept * run.temperature / (run.pressure * closing_volume),
        motored=None,
        exponent=None,
    )


def _lit(fixed: _Settled, spark: Node, m: BurnMathematics) -> _Settled:
    """The same with the motored pressure that the charge would follow from the start of the burn."""
    run = fixed.case.operating
    constant = fixed.gases.constant(run.residual)
    exponent = 1 / (1 - constant / fixed.gases.heat_capacity(row_at(spark.temperature, m=m), run.residual))
    return fixed._replace(motored=spark.pressure * spark.volume**exponent, exponent=exponent)


def _place(fixed: _Settled, angle: Number, since: Number, m: BurnMathematics) -> _Place:
    """Geometry and burned share at an angle; ``since`` [rad] counts from the start of the burn."""
    one, run = fixed.case.cylinder, fixed.case.operating
    drop, velocity = slider_crank.piston_motion(angle, one.stroke, one.rod_length, one.pin_offset, m=m)
    bore_area = relations.bore_area(one.bore, m=m)
    volume = one.clearance_volume + bore_area * drop
    constant = fixed.gases.constant(run.residual)
    before = _Place(
        angle=angle,
        volume=volume,
        volume_rate=bore_area * velocity,
        share=run.residual,
        constant=constant,
        times_mass=fixed.mass * constant,
        loss=run.heat_loss / (2 * m.pi * run.speed) * (2 * bore_area + 4 / one.bore * volume),
    )
    return before if fixed.motored is None else _burning(fixed, before, since, m)


def _burning(fixed: _Settled, place: _Place, since: Number, m: BurnMathematics) -> _Place:
    """The same with what the burn does there."""
    run, gas = fixed.case.operating, fixed.gases
    progress, fresh = since / run.burn_duration, 1 - run.residual
    burned = wiebe(progress, m=m)
    rate = fresh * (1 - burned) * (WIEBE_A * (WIEBE_M + 1) / run.burn_duration) * progress**WIEBE_M
    constant = gas.constant(run.residual + fresh * burned)
    return place._replace(
        share=run.residual + fresh * burned,
        constant=constant,
        times_mass=fixed.mass * constant,
        motored=fixed.motored / place.volume**fixed.exponent,
        freed=run.heat_release * fixed.mass * rate,
        growth=(gas.burned_constant - gas.fresh_constant) / constant * rate,
    )


def _rate(fixed: _Settled, place: _Place, energy: Number, m: BurnMathematics) -> Number:
    """d(pV)/dθ, J/rad, where ``energy`` is pV."""
    temperature, pressure = energy / place.times_mass, energy / place.volume
    at = row_at(temperature, m=m)
    gained = -pressure * place.volume_rate - _lost(fixed, place, pressure, temperature, m)
    warmed = place.constant / (fixed.gases.heat_capacity(at, place.share) - place.constant)
    if place.motored is None:
        return warmed * gained
    return warmed * (gained + place.freed * fixed.gases.heat_of_burning(at)) + place.growth * energy


def _lost(fixed: _Settled, place: _Place, pressure: Number, temperature: Number, m: BurnMathematics) -> Number:
    """Heat to head, crown and bore above the piston, J/rad."""
    run, bore = fixed.case.operating, fixed.case.cylinder.bore
    if isinstance(run.heat_loss, int | float) and run.heat_loss == 0:
        return 0.0
    speed = fixed.gas_speed
    if place.motored is not None:
        speed = m.positive(speed + fixed.burn_speed * (pressure - place.motored))
    flux = woschni(pressure, temperature, speed, bore, m=m) * (temperature - run.wall_temperature)
    return place.loss * flux


def _node(fixed: _Settled, place: _Place, energy: Number, rate: Number) -> Node:
    """What others need of a place and its pV."""
    return Node(
        angle=place.angle,
        volume=place.volume,
        pressure=energy / place.volume,
        temperature=energy / place.times_mass,
        steepness=rate / energy - place.volume_rate / place.volume,
        warming=rate / energy,
        burning=fixed.motored is not None,
    )
