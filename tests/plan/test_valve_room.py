"""Valve to piston: the least gap over angle and phasing, its doubt, the gaps asked, and the pockets needed."""

from __future__ import annotations

import random
from math import asin, cos, degrees, radians, sin, sqrt, tan

import pytest
from scipy.integrate import dblquad
from scipy.interpolate import PchipInterpolator
from scipy.optimize import minimize, minimize_scalar

from ccassist.analysis.results import survey
from ccassist.engine.slider_crank import piston_drop
from ccassist.job.file import parse_job
from ccassist.plan.valves.cam import angles_about, table_of
from ccassist.plan.valves.cam_card import cam_card
from ccassist.plan.valves.room import ValveRoom, valve_room
from ccassist.values.findings import errors
from ccassist.values.measured import ground_of
from ccassist.values.verdict import Verdict
from tests.cam_job import CAM, ENGINE, EXHAUST, INTAKE, PHASING, lifts, valve
from tests.sound_survey import surveyed

RECESSED, PROUD = "3.0 +/- 0.05 mm recessed", "1.5 +/- 0.05 mm proud"
ASKED = 'wanted_valve_gap = "{}"\nwanted_radial_gap = "1.3 mm"\nvalve_offset = "19 +/- 0.2 mm, measured"'


def rooms(*texts: str) -> dict[str, ValveRoom]:
    return valve_room(surveyed(ENGINE, *texts))


def intake(more: str = "", *, cam: str = CAM, high: int = 60, drop: str = RECESSED) -> ValveRoom:
    return rooms(cam, valve("intake", more=more, drop=drop), lifts("intake", 108, 9.8, -40, high))["intake"]


def library_curve(which: str) -> PchipInterpolator:
    """The lift readings of the shared job, through SciPy's monotone cubic."""
    rows = surveyed(ENGINE, CAM, INTAKE, EXHAUST).listed[f"valve.{which}"]["lifts"]
    return PchipInterpolator([r["angle"].nominal for r in rows], [r["lift"].nominal for r in rows])


def library_gap(which: str, angle: float, phase: float, deck: float = 0.2e-3) -> float:
    """The gap by slider-crank and plane geometry, put down a second time; no pocket."""
    tilt, recess = (radians(12), 3.0e-3) if which == "intake" else (radians(14), 3.2e-3)
    drop = 42e-3 * (1 - cos(angle)) + 145e-3 - (145e-3**2 - (42e-3 * sin(angle)) ** 2) ** 0.5
    lift = float(library_curve(which)(angle + phase))
    return (deck + 1.3e-3 + recess + drop) / cos(tilt) - lift


@pytest.mark.parametrize("which", ["intake", "exhaust"])
def test_the_least_gap_is_that_of_the_library_without_phasing(which: str) -> None:
    """SciPy: minimize_scalar over the crank angle."""
    bounds = (radians(-40), radians(60)) if which == "intake" else (radians(-60), radians(40))
    theirs = minimize_scalar(lambda a: library_gap(which, a, 0.0), bounds=bounds, method="bounded")
    worst = rooms(CAM, INTAKE, EXHAUST)[which].worst
    assert worst is not None
    assert worst.cylinder == 1  # the other piston stands 0.06 mm lower
    assert worst.gap.nominal == pytest.approx(theirs.fun, abs=1e-9)
    assert worst.crank == pytest.approx(theirs.x, abs=1e-4)
    assert (worst.crank > 0) == (which == "intake")


def test_the_least_gap_is_that_of_the_library_over_phasing() -> None:
    """SciPy: minimize over crank angle and phasing together, from many starts."""
    worst = rooms(CAM, PHASING, INTAKE, EXHAUST)["intake"].worst
    assert worst is not None
    bounds = [(radians(-35), radians(40)), (radians(-5), radians(20))]
    starts = [(radians(a), radians(p)) for a in (-10, 0, 10, 20) for p in (-4, 5, 18)]
    found = [minimize(lambda x: 1e3 * library_gap("intake", *x), start, bounds=bounds) for start in starts]
    best = min(found, key=lambda one: one.fun)
    assert worst.gap.nominal * 1e3 == pytest.approx(best.fun, abs=1e-5)
    assert [worst.crank, worst.phase] == pytest.approx(list(best.x), abs=2e-3)
    assert degrees(worst.phase) == pytest.approx(20)  # advance eats intake clearance (common practice)


def test_advance_eats_intake_clearance_and_retard_eats_exhaust() -> None:
    """Common practice, no source."""
    still = rooms(CAM, INTAKE, EXHAUST)
    ahead = CAM + 'intake_phase_advance = "10 deg, measured"\nexhaust_phase_advance = "10 deg, measured"\n'
    behind = CAM + 'intake_phase_retard = "10 deg, measured"\nexhaust_phase_retard = "10 deg, measured"\n'
    for which, cam, less in (("intake", ahead, True), ("intake", behind, False), ("exhaust", behind, True)):
        moved = rooms(cam, INTAKE, EXHAUST)[which].worst
        before = still[which].worst
        assert moved is not None
        assert before is not None
        assert (moved.gap.nominal < before.gap.nominal - 1e-4) == less


def test_the_doubt_is_that_of_a_simulation() -> None:
    """Monte Carlo of every cause, the search made anew each time (JCGM 101:2008): standard uncertainty of the gap."""
    made = surveyed(ENGINE, CAM, PHASING, INTAKE, EXHAUST)
    worst = valve_room(made)["intake"].worst
    assert worst is not None
    rows = made.listed["valve.intake"]["lifts"]
    angles = [row["angle"].nominal for row in rows]
    random.seed(3)
    shared = made.listed["valve.intake"]["lifts"][0]["lift"].number
    scale = max(part for v, part in shared.error_components().items() if "permissible" in v.tag.name)
    each = min(part for v, part in shared.error_components().items() if "permissible" not in v.tag.name)
    slip = next(iter(rows[0]["angle"].number.error_components().values()))
    inputs = {**made.stated["valve.intake"], **made.stated["cam"], **made.cylinders[0].values}

    def draw(key: str) -> float:
        return random.gauss(inputs[key].nominal, inputs[key].number.std_dev)

    gaps = []
    for _ in range(400):
        common = random.gauss(0, 1) * scale
        zero = random.uniform(-1, 1) * radians(0.5)
        read = PchipInterpolator(
            [a + zero + random.gauss(0, slip) for a in angles],
            [row["lift"].nominal + common + random.gauss(0, each) for row in rows],
        )
        room = sum(draw(key) for key in ("deck_clearance", "gasket_thickness", "valve_drop"))
        stroke, rod, tilt, phase = (draw(k) for k in ("stroke", "rod_length", "valve_angle", "intake_phase_advance"))
        gaps.append(
            min(
                (room + piston_drop(radians(a), stroke, rod, 0.0)) / cos(tilt) - float(read(radians(a) + phase))
                for a in [2 + 0.5 * i for i in range(20)]
            )
        )
    mean = sum(gaps) / len(gaps)
    simulated = (sum((gap - mean) ** 2 for gap in gaps) / (len(gaps) - 1)) ** 0.5
    assert worst.gap.number.std_dev == pytest.approx(simulated, rel=0.12)
    assert worst.gap.nominal == pytest.approx(mean, abs=0.02e-3)


def test_without_an_asked_gap_none_is_judged() -> None:
    room = intake()
    assert (room.verdict, room.wanted, room.pocket, room.needed) == (None, None, None, None)
    assert room.worst is not None


@pytest.mark.parametrize(
    ("asked", "verdict"),
    [("0.5 mm", Verdict.INSIDE), ("4.0 mm", Verdict.OUTSIDE)],
)
def test_an_asked_gap_is_judged(asked: str, verdict: Verdict) -> None:
    room = intake(ASKED.format(asked))
    assert room.verdict is verdict
    assert room.fails == (verdict is Verdict.OUTSIDE)
    assert room.needed == (verdict is Verdict.OUTSIDE)


def test_a_gap_as_asked_within_its_doubt_cannot_be_told() -> None:
    worst = intake().worst
    assert worst is not None
    room = intake(ASKED.format(f"{worst.gap.nominal * 1e3:.3f} mm"))
    assert room.verdict is Verdict.CANNOT_TELL
    assert room.needed  # judged at the unsafe end


def test_the_pocket_needed_gives_the_gap_asked() -> None:
    """There and back: cut as deep as it says, the gap is what was asked, and no more is needed."""
    room = intake(ASKED.format("2.0 mm"), cam=CAM + PHASING, drop=PROUD)
    assert room.pocket is not None
    assert room.pocket.diameter is not None
    pocket = f"{room.pocket.depth.nominal * 1e3:.6f} mm"
    across = f"{room.pocket.diameter.nominal * 1e3:.6f} mm"
    cut = f'pocket_depth = "{pocket}, measured"\npocket_diameter = "{across}, measured"\n'
    again = intake(cut + ASKED.format("2.0 mm"), cam=CAM + PHASING, drop=PROUD)
    assert again.worst is not None
    assert again.worst.gap.nominal == pytest.approx(2.0e-3, abs=0.02e-3)
    assert again.radial is not None
    assert again.radial.nominal == pytest.approx(1.3e-3, abs=1e-8)
    assert again.pocket is not None
    assert again.pocket.along.nominal == pytest.approx(room.pocket.along.nominal)


def test_the_size_of_a_pocket_by_numeric_integration() -> None:
    """SciPy dblquad over the floor's disc: depth below the crown along the valve, where there is any."""
    pocket = intake(ASKED.format("4.0 mm"), cam=CAM + PHASING).pocket
    assert pocket is not None
    assert pocket.diameter is not None
    assert pocket.volume is not None
    assert pocket.edge is not None
    radius, depth, tilt = pocket.diameter.nominal / 2, pocket.depth.nominal, radians(12)
    volume, _ = dblquad(
        lambda y, x: max(0.0, depth + x * tan(tilt)), -radius, radius,
        lambda x: -((radius**2 - x**2) ** 0.5), lambda x: (radius**2 - x**2) ** 0.5, epsabs=1e-13,
    )  # fmt: skip
    assert pocket.volume.nominal == pytest.approx(volume, rel=1e-4)
    assert pocket.edge.nominal == pytest.approx((depth + radius * tan(tilt)) * cos(tilt))
    assert pocket.along.nominal == pytest.approx(depth + 33e-3 / 2 * tan(tilt))
    assert pocket.runs_out is False


def test_without_a_radial_gap_asked_the_pocket_has_no_diameter() -> None:
    pocket = intake('wanted_valve_gap = "4.0 mm"').pocket
    assert pocket is not None
    assert (pocket.diameter, pocket.volume, pocket.edge) == (None, None, None)


def test_a_pocket_past_the_crowns_edge_is_seen() -> None:
    pocket = intake(ASKED.format("4.0 mm").replace("19 +/-", "26 +/-")).pocket
    assert pocket is not None
    assert pocket.runs_out is True


def test_a_pocket_of_the_piston_order_counts() -> None:
    ordered = '[order.pocket.intake]\npockets = "1"\npocket_depth = "2.0 mm"\npocket_diameter = "36 mm"\n'
    room = rooms(CAM, INTAKE, ordered)["intake"]
    assert room.made is not None
    assert room.made.how == "the pocket as ordered"
    bare, pocketed = intake().worst, room.worst
    assert bare is not None
    assert pocketed is not None
    assert pocketed.gap.nominal > bare.gap.nominal + 2.0e-3


def test_readings_that_end_too_soon_are_said_and_never_inside() -> None:
    room = intake(ASKED.format("0.5 mm"), cam=CAM + PHASING, high=12)
    assert room.verdict is not Verdict.INSIDE
    assert "lifts-end" in {f.code for f in room.findings}


def test_an_assumed_curve_never_makes_a_clearance() -> None:
    more = 'valve_lift = "9.8 +/- 0.05 mm, measured"\n'
    room = rooms(CAM, valve("intake", more=more + ASKED.format("0.1 mm")))["intake"]
    assert not room.measured
    assert room.worst is not None
    assert room.worst.gap.nominal > 1e-3
    assert room.verdict is Verdict.CANNOT_TELL
    wide = rooms(CAM, valve("intake", more=more + ASKED.format("9 mm")))["intake"]
    assert wide.verdict is Verdict.OUTSIDE


def test_lift_from_lobe_and_rocker() -> None:
    """36.5 over the nose on 29.5, rocker 1.5, lash 0.20: 10.3 mm (geometry)."""
    sizes = (
        'lobe_height = "36.50 +/- 0.02 mm, measured"\nbase_circle = "29.50 +/- 0.02 mm, measured"\n'
        'rocker_ratio = "1.50 +/- 0.01, measured"\nlash = "0.20 +/- 0.02 mm, measured"\n'
    )
    room = intake(sizes)
    assert room.lifts.lobe is not None
    assert room.lifts.valve is not None
    assert room.lifts.valve.nominal == pytest.approx(10.3e-3)
    # JCGM 100:2008, 5.1.2: variances of 1.5 × both lobe readings, 7 mm × the ratio, and the lash
    expected = ((1.5 * 0.02) ** 2 * 2 + (7 * 0.01) ** 2 + 0.02**2) ** 0.5
    assert room.lifts.valve.expanded * 1e3 == pytest.approx(expected, rel=1e-3)
    wrong = intake(sizes + 'valve_lift = "11.0 +/- 0.05 mm, measured"\n')
    assert [f.code for f in errors(wrong.findings)] == ["contradiction"]


def test_a_bucket_has_no_ratio_and_a_hydraulic_tappet_no_lash() -> None:
    sizes = (
        'lobe_height = "45.30 +/- 0.02 mm, measured"\nbase_circle = "35.30 +/- 0.02 mm, measured"\n'
        'follower = "bucket on the valve"\n'
    )
    cam = CAM.replace('tappets = "solid"', 'tappets = "hydraulic"')
    room = intake(sizes, cam=cam)
    assert room.lifts.valve is not None
    assert room.lifts.valve.nominal == pytest.approx(10.0e-3)
    solid = intake(sizes)
    assert solid.lifts.valve is None
    assert solid.lifts.lacking == ("lash",)


def test_what_is_lacking_is_named() -> None:
    text = '[valve.intake]\nvalve_angle = "12 +/- 0.2 deg, measured"\n' + lifts("intake", 108, 9.8, -40, 60)
    room = rooms(CAM, text)["intake"]
    assert room.worst is None
    assert set(room.lacking) == {"valve_diameter", "valve_drop"}


@pytest.mark.parametrize(
    ("list_", "code"),
    [
        (lifts("intake", 108, 9.8, 0, 8), "too-few-readings"),
        (lifts("intake", 108, 9.8, 0, 20).replace("4 deg after", "8 deg after", 1), "contradiction"),
    ],
)
def test_a_list_that_makes_no_curve(list_: str, code: str) -> None:
    room = rooms(CAM, valve("intake"), list_)["intake"]
    assert code in {f.code for f in errors(room.findings)}
    assert room.worst is None


def test_wide_steps_and_an_unsaid_wheel_are_said() -> None:
    coarse = lifts("intake", 108, 9.8, -40, 60, step=10)
    room = rooms(CAM.replace('wheel_doubt = "0.5 deg"', ""), valve("intake"), coarse)["intake"]
    assert {f.code for f in room.findings} == {"wide-steps", "no-doubt"}
    said = rooms(CAM.replace('"0.5 deg"', '"1 deg"'), valve("intake"), coarse)["intake"]
    assert room.worst is not None
    assert said.worst is not None
    assert room.worst.gap.expanded == pytest.approx(said.worst.gap.expanded)  # as one degree, but a guess
    assert ground_of(said.worst.gap.number).share < ground_of(room.worst.gap.number).share


def test_a_dome_is_asked_for_under_the_valve() -> None:
    dome = ENGINE.replace("[cylinder.1]\n", '[cylinder.1]\ncrown_volume = "dome 3.0 +/- 0.3 cc, measured"\n')
    made = surveyed(dome, CAM, INTAKE)
    assert "dome-under-valve" in {f.code for f in valve_room(made)["intake"].findings}
    raised = valve("intake", more='crown_at_valve = "1.0 +/- 0.1 mm above the flat, measured"')
    flat, high = intake().worst, rooms(CAM, raised, lifts("intake", 108, 9.8, -40, 60))["intake"].worst
    assert flat is not None
    assert high is not None
    assert flat.gap.nominal - high.gap.nominal == pytest.approx(1.0e-3 / cos(radians(12)), abs=1e-5)


def test_a_valve_that_meets_the_piston_is_a_warning() -> None:
    room = intake(drop=PROUD, cam=CAM + PHASING)
    assert "contact" in {f.code for f in room.findings}


def test_the_piston_drop_is_exact_with_an_offset() -> None:
    """Pythagoras: r 42, L 145, offset +10 mm, 20 degrees after true top, where rod and throw are in line."""
    offset = ENGINE.replace(
        "stroke =", 'pin_offset = "10.00 +/- 0.05 mm away from the thrust side, measured"\nstroke ='
    )
    place = valve_room(surveyed(offset, CAM, INTAKE))["intake"].places[0]
    top, turned = sqrt(0.187**2 - 0.010**2), radians(20) + asin(0.010 / 0.187)
    pin = 0.042 * cos(turned) + sqrt(0.145**2 - (0.042 * sin(turned) - 0.010) ** 2)
    assert place.drop(radians(20)) == pytest.approx(top - pin, abs=1e-13)


def test_readings_that_do_not_fit_the_card_are_said() -> None:
    card = CAM.replace('"12 +/- 1 deg before TDC', '"{} +/- 1 deg before TDC')
    rows = surveyed(ENGINE, CAM, INTAKE).listed["valve.intake"]["lifts"]
    at = PchipInterpolator([r["lift"].nominal for r in rows[3:20]], [r["angle"].nominal for r in rows[3:20]])(1e-3)
    right, wrong = f"{-degrees(float(at)):.1f}", f"{6 - degrees(float(at)):.1f}"
    said = [{f.code for f in rooms(card.format(angle), INTAKE)["intake"].findings} for angle in (right, wrong)]
    assert ["lift-against-card" in codes for codes in said] == [False, True]


def test_the_table_goes_through_top_dead_centre() -> None:
    made = surveyed(ENGINE, CAM, PHASING, INTAKE)
    place = valve_room(made, cam_card(made))["intake"].places[0]
    rows = table_of(place, angles_about(radians(40), radians(10)))
    assert [round(degrees(row.crank)) for row in rows] == [-40, -30, -20, -10, 0, 10, 20, 30, 40]
    assert rows[4].drop == 0
    for row in rows:
        if row.gap is not None and row.worst is not None:
            assert row.worst <= row.gap + 1e-12
    assert rows[0].worst is None  # retarded by 5 degrees it is not known
    assert rows[-1].worst == pytest.approx(library_gap("intake", radians(40), radians(20)), abs=1e-8)


def test_no_valves_no_room() -> None:
    assert valve_room(survey(parse_job("format = 1\n[engine]\ncylinders = 1\n").job)) == {}
