"""The slider-crank against textbook examples and a route of its own: a rod of fixed length, in 40 digits."""

from __future__ import annotations

import json
from math import asin, cos, degrees, isnan, pi, radians, sin, sqrt

import mpmath
import numpy as np
import pytest

from ccassist.analysis.motion import motion_of
from ccassist.boost.charge import GasState, polytropic
from ccassist.engine import relations
from ccassist.engine import slider_crank as crank
from ccassist.engine.mathematics import Mathematics, arrays
from ccassist.values.measured import Value
from ccassist.values.numerics import root
from ccassist.vocabulary.units import Origin
from tests.references.sources import cites, promise
from tests.sound_job import Shop

THROW, ROD = 0.042, 0.145
STROKE = 2 * THROW
OFFSETS = (0.0, 0.0008, -0.0008, 0.010)
MP = Mathematics(pi=mpmath.pi, sqrt=mpmath.sqrt, sin=mpmath.sin, cos=mpmath.cos, asin=mpmath.asin)


def geometry(offset: float) -> tuple[float, float, float]:
    return STROKE, ROD, offset


# -- textbook examples ------------------------------------------------------------------------------

CM = 0.01


def moving(degrees_after: float, rpm: float, throw: float, rod: float) -> tuple[float, float]:
    """Speed and acceleration at an angle, no offset."""
    omega = 2 * pi * rpm / 60
    at = (radians(degrees_after), omega, 2 * throw, rod, 0.0)
    return crank.piston_velocity(*at), crank.piston_acceleration(*at)


SPEEDS = [  # degrees after top, rpm, throw and rod; printed speed and acceleration, how near
    pytest.param(75, 200, 0.3, 1.0, 6.54, None, 4e-3, marks=cites("khurmi"), id="Khurmi & Gupta 15.3, two-term"),
    pytest.param(40, 180, 0.3, 1.5, 4.19, 85.36, 4e-3, marks=cites("khurmi"), id="Khurmi & Gupta 15.4, two-term"),
    pytest.param(60, 450, 0.15, 0.6, 6.9, 124.91, 4e-3, marks=cites("khurmi"), id="Khurmi & Gupta 15.5, two-term"),
    pytest.param(30, 300, 0.12, 0.6, 2.21, None, 2.3e-3, marks=cites("tayal"), id="Tayal 21.5"),
    pytest.param(60, 1500, 5 / 12, 14 / 12, 67.3, 3310, 1e-3, marks=cites("meriam"), id="Meriam & Kraige 5/15, feet"),
]


@pytest.mark.parametrize(("angle", "rpm", "throw", "rod", "speed", "acceleration", "near"), SPEEDS)
def test_speeds_of_textbooks(
    angle: float, rpm: float, throw: float, rod: float, speed: float, acceleration: float | None, near: float
) -> None:
    """The two-term formula of some is good to 0.4 %."""
    found = moving(angle, rpm, throw, rod)
    assert found[0] == pytest.approx(speed, rel=near)
    assert acceleration is None or found[1] == pytest.approx(acceleration, rel=near)


@cites("khurmi")
def test_where_the_textbooks_piston_is_fastest_and_where_it_does_not_speed_up() -> None:
    """15.3: fastest at 75° (rounded); 15.4: no acceleration at 79.27°, by the two-term formula."""
    angles = [root(lambda a, rod=rod: moving(a, 180, 0.3, rod)[1], 60, 90) for rod in (1.0, 1.5)]
    assert angles == [pytest.approx(75, abs=0.5), pytest.approx(79.27, abs=0.2)]


PLACES = [  # throw, rod [m], degrees after top, printed drop [m], how near
    pytest.param(0.2, 0.8, 60, 0.11875, 3e-3, marks=cites("sarkar"), id="Sarkar 5.8, two-term"),
    pytest.param(0.18, 0.6, 75, 0.158604, 4e-3, marks=cites("khurmi"), id="Khurmi & Gupta 15.14, two-term"),
    pytest.param(0.06, 0.24, 33, 0.012, 1e-2, marks=cites("sarkar"), id="Sarkar 5.5, drawn: 32 to 33 degrees"),
    pytest.param(4.3015 * CM, 16.6 * CM, 20, 0.32 * CM, 2e-2, marks=cites("pulkrabek"), id="Pulkrabek 2-1"),
]


@pytest.mark.parametrize(("throw", "rod", "angle", "drop", "near"), PLACES)
def test_places_of_textbooks(throw: float, rod: float, angle: float, drop: float, near: float) -> None:
    assert crank.piston_drop(radians(angle), 2 * throw, rod, 0.0) == pytest.approx(drop, rel=near)


@cites("pulkrabek")
def test_pulkrabek_2_1() -> None:
    """3 l V6, square, ratio 9.5, rod 16.6 cm, 3600 rpm, 20 degrees."""
    bore, rod, angle = (4 * 3e-3 / 6 / pi) ** (1 / 3), 0.166, radians(20)
    speed = crank.piston_velocity(angle, 2 * pi * 60, bore, rod, 0.0)
    mean = relations.mean_piston_speed(bore, 60.0)
    assert mean == pytest.approx(10.32, abs=6e-3)
    assert 2 * relations.rod_ratio(rod, bore) == pytest.approx(3.86, abs=6e-3)
    assert (speed / mean, speed) == (pytest.approx(0.668, abs=1e-3), pytest.approx(6.90, abs=0.01))
    assert crank.volume_ratio(angle, 9.5, bore, rod, 0.0) == pytest.approx(1.32, abs=6e-3)


# -- with offset ------------------------------------------------------------------------------------


@cites("norton")
@pytest.mark.parametrize(
    ("throw", "rod", "offset", "position", "printed"),
    [
        pytest.param(3, 8, 2, -30, 9.8, id="row c"),
        pytest.param(5, 20, -5, 225, 16.4, id="row e"),
        pytest.param(7, 25, 10, 330, 27.1, id="row g"),
    ],
)
def test_norton_offset_slider(throw: float, rod: float, offset: float, position: float, printed: float) -> None:
    """Where the slider stands; our angle counts from its top."""
    turned = asin(offset / (rod + throw))
    drop = crank.piston_drop(radians(position) - turned, 2 * throw, rod, offset)
    height = sqrt((rod + throw) ** 2 - offset**2) - drop
    assert height == pytest.approx(printed, abs=0.051)


@cites("gate")
def test_quick_return() -> None:
    """Crank 20, rod 40, offset 10 mm: down over up 1.2 to 1.3."""
    down = crank.downstroke_angle(40e-3, 40e-3, 10e-3)
    assert 1.2 < max(down / (2 * pi - down), (2 * pi - down) / down) < 1.3


@cites("own")
@pytest.mark.parametrize(("side", "offset"), [("away from", 0.008), ("toward", -0.008)])
def test_offset_by_show(side: str, offset: float, shop: Shop) -> None:
    """Travel, and the share of it left at closing: Pythagoras, with rod and throw in line at the dead centres."""
    shop.write(
        'format = 1\n[engine]\ncylinders = 1\nbore = "80 mm, measured"\nstroke = "84 mm, measured"\n'
        f'rod_length = "145 mm, measured"\npin_offset = "8 mm {side} the thrust side, measured"\n'
        'chamber_volume = "50 cc, measured"\n'
        'crown_volume = "flat, measured"\ndeck_clearance = "0 mm, measured"\ngasket_volume = "2 cc, measured"\n'
        '[counted]\ncrevice = "not counted"\n[cam]\nintake_closing = "60 deg after BDC, measured"\n'
    )
    assert shop.run("show", "job.toml", "--json") == 0, shop.err
    values = json.loads(shop.out)["cylinders"][0]["values"]
    top, bottom = (sqrt((ROD + side * THROW) ** 2 - offset**2) for side in (1, -1))
    turned = pi + asin(offset / (ROD - THROW)) + radians(60)
    left = top - THROW * cos(turned) - sqrt(ROD**2 - (THROW * sin(turned) - offset) ** 2)
    assert values["piston_travel"]["value"] == pytest.approx(top - bottom, rel=1e-12)
    area = pi / 4 * 0.08**2
    assert values["static_ratio"]["value"] == pytest.approx(1 + area * (top - bottom) / 52e-6, rel=1e-9)
    assert values["trapped_ratio"]["value"] == pytest.approx(1 + area * left / 52e-6, rel=1e-9)


# -- trapped at closing -----------------------------------------------------------------------------


@cites("gupta")
def test_trapped_ratio_of_a_two_stroke() -> None:
    """Ex. 11.4: 80 × 100 mm, ports close 60° after bottom, trapped ratio 8, rod without end: 0.00043 m³ shut in."""
    swept, share = relations.swept_volume(0.08, 0.1), (1 + sin(radians(30))) / 2
    clearance = swept * share / 7
    static = relations.static_ratio(swept, clearance)
    assert crank.volume_ratio(radians(240), static, 0.1, 1e4, 0.0) == pytest.approx(8, rel=1e-5)
    shut_in = crank.cylinder_volume(radians(240), 0.08, clearance, 0.1, 1e4, 0.0)
    assert shut_in == pytest.approx(0.00043, abs=5e-6)


@cites("pulkrabek")
def test_early_closing() -> None:
    """Ch. 3: 2.5 l of four, expansion 10, compression 8, k 1.35, 160 kPa and 60 °C at closing.

    Printed 0.000555 m³ at closing over 0.0000694, 2650 kPa and 689 K after compression.
    """
    clearance = 2.5e-3 / 4 / (10 - 1)
    assert clearance == pytest.approx(0.0000694, abs=6e-8)
    angle = root(lambda a: crank.volume_ratio(a, 10.0, STROKE, ROD, 0.0) - 8, 1.0, pi)
    assert angle is not None
    bore = sqrt(2.5e-3 / 4 / STROKE * 4 / pi)
    assert crank.cylinder_volume(angle, bore, clearance, *geometry(0.0)) == pytest.approx(0.000555, abs=6e-7)
    end = polytropic(GasState(pressure=160e3, temperature=333.0), 8.0, 1.35)
    assert (end.pressure / 1e3, end.temperature) == (pytest.approx(2650, abs=1), pytest.approx(689, abs=0.6))


# -- independent recompute --------------------------------------------------------------------------


def pin_by_length(theta: mpmath.mpf, offset: mpmath.mpf) -> mpmath.mpf:
    """Where a rod of given length reaches the pin line, found as a root and not by the formula."""
    with mpmath.workdps(50):
        x, y = THROW * mpmath.sin(theta), THROW * mpmath.cos(theta)
        return mpmath.findroot(lambda s: mpmath.hypot(x - offset, s - y) - ROD, mpmath.mpf(ROD) + y)


def top_by_search(offset: mpmath.mpf) -> mpmath.mpf:
    """The crank from vertical where rod and throw are in line near the top, found as a root of their cross product."""

    def out_of_line(theta: mpmath.mpf) -> mpmath.mpf:
        return mpmath.sin(theta) * pin_by_length(theta, offset) - mpmath.cos(theta) * offset

    with mpmath.workdps(50):
        return mpmath.findroot(out_of_line, (-0.1, 0.1), solver="anderson", tol=1e-60)


@cites("mpmath")
@pytest.mark.parametrize("offset", OFFSETS)
def test_position_by_rod_length_alone(offset: float) -> None:
    """Geometry without the formula: a rod of fixed length, its top found by search, in 50 digits."""
    top = top_by_search(mpmath.mpf(offset))
    assert crank.tdc_angle(*geometry(offset)) == pytest.approx(float(top), abs=1e-12)
    for angle in (-3.0, -0.4, 0.35, 1.2, 2.6, 4.1):
        drop = pin_by_length(top, offset) - pin_by_length(top + mpmath.mpf(angle), offset)
        assert crank.piston_drop(angle, *geometry(offset)) == pytest.approx(float(drop), abs=1e-15)
    bottom = mpmath.pi + mpmath.asin(mpmath.mpf(offset) / (mpmath.mpf(ROD) - THROW))
    travel = pin_by_length(top, offset) - pin_by_length(bottom, offset)
    assert relations.piston_travel_offset(*geometry(offset)) == pytest.approx(float(travel), abs=1e-15)
    assert crank.bdc_angle(*geometry(offset)) == pytest.approx(float(bottom), abs=1e-12)
    left = pin_by_length(top, offset) - pin_by_length(bottom + mpmath.radians(55), offset)
    closing = crank.downstroke_angle(*geometry(offset)) + radians(55)
    assert crank.volume_ratio(closing, 9.5, *geometry(offset)) == pytest.approx(
        float(1 + 8.5 * left / travel), rel=1e-13
    )


@cites("mpmath")
@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize("angle", [0.0, 0.3, 1.0, 2.0, 3.3, 5.5])
def test_speed_and_acceleration_are_the_derivatives_of_position(offset: float, angle: float) -> None:
    """Numerical differentiation of the position, in 40 digits (mpmath)."""
    omega = 250.0
    with mpmath.workdps(40):

        def drop(time: mpmath.mpf) -> mpmath.mpf:
            return crank.piston_drop(angle + omega * time, *geometry(offset), m=MP)

        speed, acceleration = mpmath.diff(drop, 0), mpmath.diff(drop, 0, 2)
    assert crank.piston_velocity(angle, omega, *geometry(offset)) == pytest.approx(float(speed), abs=1e-10)
    assert crank.piston_acceleration(angle, omega, *geometry(offset)) == pytest.approx(float(acceleration), rel=1e-10)


@cites("own")
@pytest.mark.parametrize("offset", OFFSETS)
def test_motion_of_an_engine(offset: float) -> None:
    """The greatest speed of both strokes, at every twentieth of a degree; a = ω² r (1 + r/L) without offset."""
    turns = {"stroke": STROKE, "rod_length": ROD, "pin_offset": offset, "engine_speed": 7000 / 60}
    found = motion_of({key: Value(key=key, number=number, origin=Origin.ASKED) for key, number in turns.items()})
    omega = 2 * pi * 7000 / 60
    speeds = crank.piston_velocity(np.arange(7200) * 2 * pi / 7200, omega, *geometry(offset), m=arrays())
    assert found["peak_piston_speed"].nominal == pytest.approx(np.abs(speeds).max(), rel=1e-6)
    hardest = omega**2 * THROW * (1 + THROW / ROD)
    assert found["peak_piston_acceleration"].nominal == pytest.approx(hardest, rel=2e-3 if offset else 1e-12)


@cites("own")
def test_hardest_upward_acceleration_is_beside_bottom_dead_centre() -> None:
    """L/r below 4: it stands either side of bottom dead centre, where it is ω² r (1 − r/L)."""
    angles = np.radians(np.arange(90, 270, 0.01))
    values = crank.piston_acceleration(angles, 1.0, *geometry(0.0), m=arrays())
    assert abs(degrees(angles[values.argmin()]) - 180) > 5
    assert crank.piston_acceleration(pi, 1.0, *geometry(0.0)) == pytest.approx(-THROW * (1 - THROW / ROD), rel=1e-12)
    assert values.min() < -THROW * (1 - THROW / ROD)


# -- form -------------------------------------------------------------------------------------------


@cites("own")
@pytest.mark.parametrize("offset", OFFSETS)
def test_ends_of_the_stroke(offset: float) -> None:
    down = crank.downstroke_angle(*geometry(offset))
    assert crank.piston_drop(0.0, *geometry(offset)) == 0.0
    travel = relations.piston_travel_offset(*geometry(offset))
    assert crank.piston_drop(down, *geometry(offset)) == pytest.approx(travel, rel=1e-12)
    for angle in (0.0, down):
        assert crank.piston_velocity(angle, 300.0, *geometry(offset)) == pytest.approx(0.0, abs=1e-12)
    assert crank.volume_ratio(down, 9.5, *geometry(offset)) == pytest.approx(9.5)
    assert crank.volume_ratio(0.0, 9.5, *geometry(offset)) == 1.0


@cites("own")
def test_offset_away_from_thrust_delays_top_dead_centre() -> None:
    """Positive offset is the side the pin swings to after top dead centre: the downstroke takes over half a turn."""
    assert crank.tdc_angle(*geometry(0.001)) > 0
    assert crank.downstroke_angle(*geometry(0.001)) > pi > crank.downstroke_angle(*geometry(-0.001))


@cites("own")
def test_mirrored_offset_is_time_reversed() -> None:
    forward = crank.piston_drop(0.7, *geometry(0.004))
    assert crank.piston_drop(-0.7, *geometry(-0.004)) == pytest.approx(forward, abs=1e-17)


@cites("heywood")
def test_without_offset_it_is_the_usual_formula() -> None:
    """Eq. 2.5 and 2.11."""
    angle, ratio = radians(63), ROD / THROW
    root = sqrt(ratio**2 - sin(angle) ** 2)
    usual = 1 + 0.5 * (9.5 - 1) * (ratio + 1 - cos(angle) - root)
    assert crank.volume_ratio(angle, 9.5, *geometry(0.0)) == pytest.approx(usual, rel=1e-14)
    peak_form = pi / 2 * sin(angle) * (1 + cos(angle) / root)
    mean = relations.mean_piston_speed(STROKE, 1 / (2 * pi))
    assert crank.piston_velocity(angle, 1.0, *geometry(0.0)) / mean == pytest.approx(peak_form, rel=1e-14)


@cites("own")
def test_cylinder_volume_is_the_volume_ratio_times_clearance() -> None:
    clearance = relations.swept_volume(0.0834, STROKE) / 8.5
    volume = crank.cylinder_volume(1.1, 0.0834, clearance, *geometry(0.0))
    assert volume / clearance == pytest.approx(crank.volume_ratio(1.1, 9.5, *geometry(0.0)), rel=1e-14)


@promise()
def test_arrays_keep_their_shape() -> None:
    angles = np.linspace(0, 6, 12).reshape(3, 4)
    drops = crank.piston_drop(angles, *geometry(0.001), m=arrays())
    assert drops.shape == (3, 4)
    assert drops[1, 2] == pytest.approx(crank.piston_drop(float(angles[1, 2]), *geometry(0.001)))


@promise()
def test_a_crank_that_cannot_turn() -> None:
    with pytest.raises(ValueError, match=r"math domain error|expected a"):
        crank.bdc_angle(0.084, 0.050, 0.010)
    with np.errstate(invalid="ignore"):
        assert isnan(crank.bdc_angle(np.float64(0.084), 0.050, 0.010, m=arrays()))
