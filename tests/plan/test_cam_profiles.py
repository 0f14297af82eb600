"""Cam card, other lifts and valve-to-piston against the standard cam profiles of the handbooks.

R. L. Norton, Cam Design and Manufacturing Handbook, ch. 2 and 3; J. E. Shigley and J. J. Uicker, Theory of Machines and
Mechanisms, ch. 5: simple harmonic, cycloidal, 3-4-5 and 4-5-6-7 polynomial, each a rise and its mirror image as the
fall.  The formulas are from memory; each ends at 0 and 1, and is met half way at a half.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, degrees, pi, radians, sin, sqrt

import pytest
from scipy.optimize import brentq, minimize_scalar

from ccassist.plan.boost.stated import baseline_stated, charge_stated
from ccassist.plan.valves.cam_card import cam_card
from ccassist.plan.valves.lift import event_at, others
from ccassist.plan.valves.room import valve_room
from tests.boost_job import BASELINE, CHARGE
from tests.cam_job import CAM, ENGINE, valve
from tests.sound_survey import surveyed

Profile = Callable[[float], float]
PROFILES: dict[str, Profile] = {
    "harmonic": lambda x: (1 - cos(pi * x)) / 2,
    "cycloidal": lambda x: x - sin(2 * pi * x) / (2 * pi),
    "3-4-5": lambda x: x**3 * (10 - 15 * x + 6 * x**2),
    "4-5-6-7": lambda x: x**4 * (35 - 84 * x + 70 * x**2 - 20 * x**3),
}
MOST, HALF, CENTRE = 9.6, 148.0, 109.0  # mm; crank degrees of a flank, and of the nose after top dead centre
DROP, ROOM, ANGLE = 145e-3, 0.2e-3 + 1.3e-3 + 3.0e-3, radians(12)


def lift(profile: Profile, angle: float) -> float:
    """Of the intake valve at degrees after top dead centre, mm."""
    x = 1 - abs(angle - CENTRE) / HALF
    return MOST * profile(x) if x > 0 else 0.0


def closes(profile: Profile, at: float) -> float:
    """Degrees after bottom at which the falling flank passes a lift of so many mm: the profile turned round."""
    x = brentq(lambda x: MOST * profile(x) - at, 1e-6, 1 - 1e-6, xtol=1e-13)
    return CENTRE + HALF * (1 - x) - 180


def table(profile: Profile, step: int = 3) -> str:
    """The lift as read all round, to a hundredth of a thousandth."""
    rows = [
        f'    {{ angle = "{abs(at)} deg {"before" if at < 0 else "after"} TDC", lift = "{lift(profile, at):.5f} mm" }},'
        for at in range(-39, 259, step)
    ]
    return '\n[valve.intake.lifts]\ninstrument = "dial indicator"\nreadings = [\n' + "\n".join(rows) + "\n]\n"


def card(profile: Profile) -> str:
    """The card of that cam at 1 mm."""
    opens = closes(profile, 1.0) + 180 - 2 * CENTRE
    side = "before" if opens >= 0 else "after"
    return CAM.replace("12 +/- 1 deg before", f"{abs(opens):.4f} +/- 1 deg {side}").replace(
        "48 +/- 1 deg after", f"{closes(profile, 1.0):.4f} +/- 1 deg after"
    )


@pytest.mark.parametrize("name", PROFILES)
def test_card_other_lifts_and_least_gap_are_those_of_the_profile(name: str) -> None:
    """Duration and centreline; events at 0.050 in and 1 mm; and the least gap by slider-crank and plane geometry."""
    profile = PROFILES[name]
    assert [profile(0), profile(0.5), profile(1)] == pytest.approx([0, 0.5, 1], abs=1e-12)
    survey = surveyed(ENGINE, card(profile), valve("intake"), table(profile))
    told = cam_card(survey).values
    x = (closes(profile, 1.0) + 180 - CENTRE) / HALF
    assert degrees(told["intake_duration"].nominal) == pytest.approx(2 * HALF * x, abs=1e-3)
    assert degrees(told["intake_centreline"].nominal) == pytest.approx(CENTRE, abs=1e-3)
    for at in (1.0, 1.27):
        closing, opening = (event_at(survey, key, at / 1e3) for key in ("intake_closing", "intake_opening"))
        assert closing is not None
        assert opening is not None
        assert degrees(closing.nominal) == pytest.approx(closes(profile, at), abs=0.1)
        assert degrees(opening.nominal) == pytest.approx(closes(profile, at) + 180 - 2 * CENTRE, abs=0.1)
    assert {round(at * 1e3, 2) for _, at in others(survey, cam_card(survey).event_lift, 0.0)} == {1.27}

    def gap(angle: float) -> float:
        down = 42e-3 * (1 - cos(angle)) + DROP - sqrt(DROP**2 - (42e-3 * sin(angle)) ** 2)
        return (ROOM + down) / cos(ANGLE) - lift(profile, degrees(angle)) / 1e3

    theirs = minimize_scalar(gap, bounds=(radians(-30), radians(60)), method="bounded")
    worst = valve_room(survey)["intake"].worst
    assert worst is not None
    assert worst.gap.nominal * 1e3 == pytest.approx(theirs.fun * 1e3, abs=0.01)  # the curve between readings
    assert degrees(worst.crank) == pytest.approx(degrees(theirs.x), abs=1.0)


def test_a_baseline_read_at_another_lift_is_turned_or_refused() -> None:
    profile = PROFILES["3-4-5"]
    read = f'intake_closing = "{closes(profile, 1.27):.4f} deg after BDC"\nevent_lift = "0.050 in, measured"\n'
    job = (ENGINE, card(profile), CHARGE, BASELINE + read)
    for more, able in (("", False), (valve("intake") + table(profile), True)):
        survey = surveyed(*job, more)
        own = charge_stated(survey)
        assert own is not None
        base = baseline_stated(survey, own)
        assert base is not None
        assert (base.conditions is not None) == able
        code = "lift-turned" if able else "other-lift"
        assert [one.code for one in base.findings if "lift" in one.code] == [code]
        at = closes(profile, 1.0 if able else 1.27)
        assert degrees(base.stated["intake_closing"].nominal) == pytest.approx(at, abs=0.1)
