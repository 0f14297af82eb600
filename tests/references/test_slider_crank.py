"""The slider-crank against closed-form anchors, textbook examples and an independent recompute.

Sources, each named beside its test: anchors in 40-digit arithmetic (mpmath);
Khurmi & Gupta, Theory of Machines, examples 15.3 and 15.4; Pulkrabek, Engineering
Fundamentals of the Internal Combustion Engine, example 2-1 (from memory); a
V6 example of a textbook companion.  No published worked example with an offset
and numbers was found, so offset is checked by geometry alone.
"""

from __future__ import annotations

from math import asin, cos, degrees, isnan, pi, radians, sin, sqrt

import mpmath
import numpy as np
import pytest

from ccassist.analysis.motion import motion_of
from ccassist.engine import relations
from ccassist.engine import slider_crank as crank
from ccassist.engine.mathematics import Mathematics, arrays
from ccassist.values.measured import Value
from ccassist.vocabulary.enumerations import Origin

THROW, ROD = 0.042, 0.145  # of the anchor table
STROKE = 2 * THROW
OFFSETS = (0.0, 0.0008, -0.0008, 0.010)
MP = Mathematics(pi=mpmath.pi, sqrt=mpmath.sqrt, sin=mpmath.sin, cos=mpmath.cos, asin=mpmath.asin)


def geometry(offset: float) -> tuple[float, float, float]:
    return STROKE, ROD, offset


def after_bdc(event: float, offset: float) -> float:
    """Crank angle after true top dead centre of an event in degrees after true bottom dead centre."""
    return crank.downstroke_angle(*geometry(offset)) + radians(event)


# -- anchors: r 42, L 145 mm, 40-digit arithmetic (mpmath) ------------------------------------------

STROKE_MM = dict(zip(OFFSETS, (84.0, 84.0013956052, 84.0013956052, 84.2190151358), strict=True))
TDC_DEG = dict(zip(OFFSETS, (0.0, 0.245116382, -0.245116382, 3.065407626), strict=True))
BDC_DEG = dict(zip(OFFSETS, (180.0, 180.44502024, 179.55497976, 185.57147328), strict=True))
DROP_20 = dict(zip(OFFSETS, (3.24621199946, 3.24486033249, 3.24762560691, 3.23372748806), strict=True))
DROP_90 = dict(zip(OFFSETS, (48.2159951579, 48.1542588867, 48.2791101978, 47.5399420166), strict=True))
DROP_55_ABDC = dict(zip(OFFSETS, (70.2309251036, 70.2057766433, 70.2580210347, 70.0542276077), strict=True))
PEAK_DEG = dict(zip(OFFSETS, (74.96665, 74.98526, 74.94875, 75.25087), strict=True))
PEAK_RATE = dict(zip(OFFSETS, (1.041352163, 1.039752624, 1.042986996, 1.023794631), strict=True))


@pytest.mark.parametrize("offset", OFFSETS)
def test_true_travel_is_longer_than_the_stroke_with_offset(offset: float) -> None:
    assert relations.piston_travel_offset(*geometry(offset)) * 1e3 == pytest.approx(STROKE_MM[offset], abs=6e-11)


@pytest.mark.parametrize("offset", OFFSETS)
def test_dead_centres_from_vertical(offset: float) -> None:
    assert degrees(crank.tdc_angle(*geometry(offset))) == pytest.approx(TDC_DEG[offset], abs=6e-10)
    assert degrees(crank.bdc_angle(*geometry(offset))) == pytest.approx(BDC_DEG[offset], abs=6e-9)


@pytest.mark.parametrize("offset", OFFSETS)
@pytest.mark.parametrize(("angle", "drops"), [(20, DROP_20), (90, DROP_90)])
def test_piston_below_true_top_dead_centre(offset: float, angle: int, drops: dict[float, float]) -> None:
    drop = crank.piston_drop(radians(angle), *geometry(offset))
    assert drop * 1e3 == pytest.approx(drops[offset], abs=1e-10)


@pytest.mark.parametrize("offset", OFFSETS)
def test_piston_55_degrees_after_true_bottom_dead_centre(offset: float) -> None:
    drop = crank.piston_drop(after_bdc(55, offset), *geometry(offset))
    assert drop * 1e3 == pytest.approx(DROP_55_ABDC[offset], abs=1e-10)


def test_counting_from_half_a_turn_is_not_counting_from_true_bottom_dead_centre() -> None:
    """Offset 0.8 mm, 55 degrees past half a turn of crank from vertical: 70.427 mm, not 70.206."""
    offset = 0.0008
    wrong = pi + radians(55) - crank.tdc_angle(*geometry(offset))
    assert crank.piston_drop(wrong, *geometry(offset)) * 1e3 == pytest.approx(70.427, abs=6e-4)


def peak(offset: float) -> tuple[float, float]:
    """Angle after top dead centre and size of the greatest downward speed, at 1 rad/s."""
    low, high = radians(60), radians(90)
    for _ in range(60):
        middle = (low + high) / 2
        speeding_up = crank.piston_acceleration(middle, 1.0, *geometry(offset)) > 0
        low, high = (middle, high) if speeding_up else (low, middle)
    return low, crank.piston_velocity(low, 1.0, *geometry(offset))


@pytest.mark.parametrize("offset", OFFSETS)
def test_peak_downward_speed(offset: float) -> None:
    angle, speed = peak(offset)
    assert degrees(angle) == pytest.approx(PEAK_DEG[offset], abs=6e-6)
    assert speed / THROW == pytest.approx(PEAK_RATE[offset], abs=6e-10)


@pytest.mark.parametrize("offset", OFFSETS)
def test_motion_of_an_engine(offset: float) -> None:
    """The greatest speed of both strokes: with offset they differ; a = ω² r (1 + r/L) without."""
    turns = {"stroke": STROKE, "rod_length": ROD, "pin_offset": offset, "engine_speed": 7000 / 60}
    found = motion_of({key: Value(key=key, number=number, origin=Origin.ASKED) for key, number in turns.items()})
    omega = 2 * pi * 7000 / 60
    highest = max(PEAK_RATE[offset], PEAK_RATE.get(-offset, 0.0)) * THROW * omega
    if offset != 0.010:
        assert found["peak_piston_speed"].nominal == pytest.approx(highest, rel=1e-8)
    speeds = [crank.piston_velocity(2 * pi * n / 7200, omega, *geometry(offset)) for n in range(7200)]
    assert found["peak_piston_speed"].nominal == pytest.approx(max(map(abs, speeds)), rel=1e-6)
    hardest = omega**2 * THROW * (1 + THROW / ROD)
    assert found["peak_piston_acceleration"].nominal == pytest.approx(hardest, rel=2e-3 if offset else 1e-12)


def test_peak_over_mean_speed() -> None:
    mean = relations.mean_piston_speed(STROKE, 1 / (2 * pi))
    assert peak(0.0)[1] / mean == pytest.approx(1.63575, abs=6e-6)


@pytest.mark.parametrize(
    ("angle", "printed"), [(0.0, 29106), (180.0, -16031)], ids=["top dead centre", "bottom dead centre"]
)
def test_acceleration_at_7000_rpm(angle: float, printed: float) -> None:
    omega = 2 * pi * 7000 / 60
    assert crank.piston_acceleration(radians(angle), omega, *geometry(0.0)) == pytest.approx(printed, abs=0.6)


def test_hardest_upward_acceleration_is_beside_bottom_dead_centre() -> None:
    """L/r below 4: the largest negative acceleration, −16,141 m/s², stands either side of bottom dead centre."""
    angles = np.radians(np.arange(90, 270, 0.01))
    values = crank.piston_acceleration(angles, 2 * pi * 7000 / 60, *geometry(0.0), m=arrays())
    assert values.min() == pytest.approx(-16141, abs=0.6)
    assert abs(degrees(angles[values.argmin()]) - 180) > 5


# -- intake closing: r 42, L 145 mm, no offset (computed to the digits shown) -----------------------

CLOSING = (30, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90)
SHARE = (0.9512, 0.9132, 0.8901, 0.8644, 0.8361, 0.8052, 0.7719, 0.7362, 0.6983, 0.6585, 0.5740)
TRAPPED = {
    8.5: (8.134, 7.849, 7.676, 7.483, 7.271, 7.039, 6.789, 6.521, 6.238, 5.939, 5.305),
    9.5: (9.085, 8.762, 8.566, 8.348, 8.107, 7.844, 7.561, 7.258, 6.936, 6.598, 5.879),
    10.5: (10.037, 9.675, 9.456, 9.212, 8.943, 8.649, 8.333, 7.994, 7.634, 7.256, 6.453),
}
TRAPPED_CELLS = [(cr, ivc, cell) for cr, row in TRAPPED.items() for ivc, cell in zip(CLOSING, row, strict=True)]


@pytest.mark.parametrize(("ivc", "share"), list(zip(CLOSING, SHARE, strict=True)))
def test_share_of_the_stroke_left_at_intake_closing(ivc: int, share: float) -> None:
    assert crank.piston_drop(after_bdc(ivc, 0.0), *geometry(0.0)) / STROKE == pytest.approx(share, abs=6e-5)


@pytest.mark.parametrize(("ratio", "ivc", "printed"), TRAPPED_CELLS)
def test_volume_ratio_at_intake_closing(ratio: float, ivc: int, printed: float) -> None:
    assert crank.volume_ratio(after_bdc(ivc, 0.0), ratio, *geometry(0.0)) == pytest.approx(printed, abs=6e-4)


@pytest.mark.parametrize(("ratio", "trapped"), [(8.5, 7.270618313), (9.5, 8.106700755), (10.5, 8.942783196)])
def test_volume_ratio_anchors(ratio: float, trapped: float) -> None:
    assert crank.volume_ratio(after_bdc(55, 0.0), ratio, *geometry(0.0)) == pytest.approx(trapped, abs=6e-10)


@pytest.mark.parametrize(("rod", "trapped"), [(0.120, 8.197), (0.145, 8.107), (0.180, 8.024)])
def test_rod_length_moves_the_trapped_ratio_little(rod: float, trapped: float) -> None:
    assert crank.volume_ratio(radians(235), 9.5, STROKE, rod, 0.0) == pytest.approx(trapped, abs=6e-4)


def test_a_cosine_without_the_rod_is_not_good_enough() -> None:
    """9.5 at 55 degrees: 8.107 with the rod, 7.688 with a rod without end."""
    long = crank.volume_ratio(radians(235), 9.5, STROKE, 1e4, 0.0)
    assert long == pytest.approx(7.688, abs=1e-3)
    assert crank.volume_ratio(radians(235), 9.5, STROKE, ROD, 0.0) - long > 0.4


# -- textbook examples ------------------------------------------------------------------------------


def khurmi(angle: float, rpm: float, rod: float) -> tuple[float, float]:
    """Speed and acceleration at an angle in degrees, throw 0.3 m, no offset."""
    omega = 2 * pi * rpm / 60
    return (
        crank.piston_velocity(radians(angle), omega, 0.6, rod, 0.0),
        crank.piston_acceleration(radians(angle), omega, 0.6, rod, 0.0),
    )


def test_khurmi_gupta_15_3() -> None:
    """Khurmi & Gupta, Theory of Machines, ex. 15.3 p. 527: printed 6.54 m/s at 75 degrees by the two-term formula."""
    speed, acceleration = khurmi(74.529, 200, 1.0)
    assert speed == pytest.approx(6.5617, abs=6e-5)
    assert speed == pytest.approx(6.54, rel=4e-3)
    assert abs(acceleration) < 0.01  # peak: exact angle 74.529 degrees


def test_khurmi_gupta_15_4() -> None:
    """Khurmi & Gupta ex. 15.4 p. 528: printed 4.19 m/s and 85.36 m/s², two-term; exact 4.1964 and 85.599."""
    speed, acceleration = khurmi(40, 180, 1.5)
    assert (speed, acceleration) == (pytest.approx(4.1964, abs=6e-5), pytest.approx(85.599, abs=6e-4))
    assert (speed, acceleration) == (pytest.approx(4.19, rel=3e-3), pytest.approx(85.36, rel=4e-3))
    assert abs(khurmi(79.100, 180, 1.5)[1]) < 0.2  # no acceleration: exact 79.100, two-term 79.27 degrees


def v6(litres: float) -> float:
    """Bore of a square six-cylinder engine, m."""
    return (4 * litres * 1e-3 / 6 / pi) ** (1 / 3)


@pytest.mark.parametrize(
    ("throw", "rod", "offset", "position", "printed"),
    [
        pytest.param(3, 8, 2, -30, 9.8, id="row c"),
        pytest.param(5, 20, -5, 225, 16.4, id="row e"),
        pytest.param(7, 25, 10, 330, 27.1, id="row g"),
    ],
)
def test_norton_offset_slider(throw: float, rod: float, offset: float, position: float, printed: float) -> None:
    """Norton, Design of Machinery, Table P4-2 (from memory): where the slider stands; our angle counts from its top."""
    turned = asin(offset / (rod + throw))
    drop = crank.piston_drop(radians(position) - turned, 2 * throw, rod, offset)
    height = sqrt((rod + throw) ** 2 - offset**2) - drop
    assert height == pytest.approx(printed, abs=0.051)


def test_quick_return() -> None:
    """GATE Mechanical Engineering 2014 (from memory): crank 20, rod 40, offset 10 mm; down over up 1.2 to 1.3."""
    down = crank.downstroke_angle(40e-3, 40e-3, 10e-3)
    ratio = down / (2 * pi - down)
    assert max(ratio, 1 / ratio) == pytest.approx(1.255723, abs=1e-6)
    assert relations.piston_travel_offset(40e-3, 40e-3, 10e-3) * 1e3 == pytest.approx(41.840290, abs=1e-6)


def test_meriam_kraige_5_15() -> None:
    """Meriam & Kraige, Dynamics, sample problem 5/15 p. 376: 5 in, 14 in, 1500 rev/min, 60 degrees (from memory)."""
    speed = crank.piston_velocity(radians(60), 2 * pi * 25, 10 / 12, 14 / 12, 0.0)
    acceleration = crank.piston_acceleration(radians(60), 2 * pi * 25, 10 / 12, 14 / 12, 0.0)
    assert speed == pytest.approx(67.3, abs=0.05)
    assert acceleration == pytest.approx(3310, abs=5)


def test_pulkrabek_2_1() -> None:
    """Pulkrabek ex. 2-1, printed values from memory: 3 l V6, square, ratio 9.5, rod 16.6 cm, 3600 rpm, 20 degrees."""
    bore, rod, angle = v6(3.0), 0.166, radians(20)
    speed = crank.piston_velocity(angle, 2 * pi * 60, bore, rod, 0.0)
    mean = relations.mean_piston_speed(bore, 60.0)
    assert mean == pytest.approx(10.32, abs=6e-3)
    assert 2 * relations.rod_ratio(rod, bore) == pytest.approx(3.86, abs=6e-3)
    assert speed / mean == pytest.approx(0.668, abs=1e-3)
    assert speed == pytest.approx(6.90, abs=0.01)
    assert crank.piston_drop(angle, bore, rod, 0.0) * 100 == pytest.approx(0.32, abs=6e-3)
    assert crank.volume_ratio(angle, 9.5, bore, rod, 0.0) == pytest.approx(1.32, abs=6e-3)


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


@pytest.mark.parametrize("offset", OFFSETS)
def test_position_by_rod_length_alone(offset: float) -> None:
    """Geometry without the formula: a rod of fixed length, its top found by search, in 50 digits."""
    top = top_by_search(mpmath.mpf(offset))
    assert crank.tdc_angle(*geometry(offset)) == pytest.approx(float(top), abs=1e-12)
    for angle in (-3.0, -0.4, 0.35, 1.2, 2.6, 4.1):
        drop = pin_by_length(top, offset) - pin_by_length(top + mpmath.mpf(angle), offset)
        assert crank.piston_drop(angle, *geometry(offset)) == pytest.approx(float(drop), abs=1e-15)


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


def test_floats_agree_with_central_differences() -> None:
    step = 1e-5
    ahead, behind = (crank.piston_drop(1.0 + s, *geometry(0.01)) for s in (step, -step))
    assert (ahead - behind) / (2 * step) == pytest.approx(crank.piston_velocity(1.0, 1.0, *geometry(0.01)), rel=1e-8)


# -- form -------------------------------------------------------------------------------------------


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


def test_offset_away_from_thrust_delays_top_dead_centre() -> None:
    """Positive offset is the side the pin swings to after top dead centre: the downstroke takes over half a turn."""
    assert crank.tdc_angle(*geometry(0.001)) > 0
    assert crank.downstroke_angle(*geometry(0.001)) > pi > crank.downstroke_angle(*geometry(-0.001))


def test_mirrored_offset_is_time_reversed() -> None:
    forward = crank.piston_drop(0.7, *geometry(0.004))
    assert crank.piston_drop(-0.7, *geometry(-0.004)) == pytest.approx(forward, abs=1e-17)


def test_without_offset_it_is_the_usual_formula() -> None:
    """Heywood (1988) eq. 2.5 and 2.11, from memory."""
    angle, ratio = radians(63), ROD / THROW
    root = sqrt(ratio**2 - sin(angle) ** 2)
    usual = 1 + 0.5 * (9.5 - 1) * (ratio + 1 - cos(angle) - root)
    assert crank.volume_ratio(angle, 9.5, *geometry(0.0)) == pytest.approx(usual, rel=1e-14)
    peak_form = pi / 2 * sin(angle) * (1 + cos(angle) / root)
    mean = relations.mean_piston_speed(STROKE, 1 / (2 * pi))
    assert crank.piston_velocity(angle, 1.0, *geometry(0.0)) / mean == pytest.approx(peak_form, rel=1e-14)


def test_cylinder_volume_is_the_volume_ratio_times_clearance() -> None:
    clearance = relations.swept_volume(0.0834, STROKE) / 8.5
    volume = crank.cylinder_volume(1.1, 0.0834, clearance, *geometry(0.0))
    assert volume / clearance == pytest.approx(crank.volume_ratio(1.1, 9.5, *geometry(0.0)), rel=1e-14)


def test_arrays_keep_their_shape() -> None:
    angles = np.linspace(0, 6, 12).reshape(3, 4)
    drops = crank.piston_drop(angles, *geometry(0.001), m=arrays())
    assert drops.shape == (3, 4)
    assert drops[1, 2] == pytest.approx(crank.piston_drop(float(angles[1, 2]), *geometry(0.001)))


def test_a_crank_that_cannot_turn() -> None:
    with pytest.raises(ValueError, match=r"math domain error|expected a"):
        crank.bdc_angle(0.084, 0.050, 0.010)
    with np.errstate(invalid="ignore"):
        assert isnan(crank.bdc_angle(np.float64(0.084), 0.050, 0.010, m=arrays()))


def test_thrust_example_side_force_is_less_with_offset() -> None:
    """A textbook companion: stroke 60, rod 120, offset 2 mm, 50 bar on 65 mm less 900 N friction, crank at 90 degrees.

    Printed thrust 4.052 kN centred, 3.765 kN with offset; the rod's slope is r sin θ − d over its upright.
    """
    force = 50e5 * relations.bore_area(0.065) - 900

    def thrust(offset: float) -> float:
        upright = crank.pin_height(pi / 2, 0.060, 0.120, offset)  # the throw stands level: cos 90 is nothing
        return force * (0.030 - offset) / upright / 1e3

    assert thrust(0.0) == pytest.approx(4.052, abs=1e-3)
    assert thrust(0.002) == pytest.approx(3.765, abs=1e-3)
