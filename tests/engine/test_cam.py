"""Identities of the cam card: sums of angles as the trade writes them, by hand (common practice, no source)."""

from __future__ import annotations

from itertools import combinations
from math import degrees, pi, radians

import numpy as np
import pytest

from ccassist.engine.cam import ADVANCING, CARD, EVENTS, IDENTITIES, advanced, complete, lobe_lift, valve_lift
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, half_width


def card(**figures: float) -> dict[str, float]:
    """The completed card, in and out in degrees."""
    return {key: degrees(v) for key, v in complete({k: radians(v) for k, v in figures.items()})[0].items()}


# A card constructed here: 264 degrees, lobes 111 apart, and advanced and retarded by 5 (opening, closing, opening,
# closing): half of 264 less and plus 111 and half a turn.  Common practice, no source; an examination's card stands in
# tests/references/test_cam_events.py.
MOVED = {0: (21, 63, 63, 21), 5: (26, 58, 68, 16), -5: (16, 68, 58, 26)}


@pytest.mark.parametrize("advance", MOVED)
def test_a_card_and_its_advance_and_retard(advance: int) -> None:
    made = card(intake_duration=264, exhaust_duration=264, lobe_separation=111, cam_advance=advance)
    assert [made[key] for key in EVENTS] == pytest.approx(MOVED[advance])
    assert made["intake_centreline"] == pytest.approx(111 - advance)
    assert made["valve_overlap"] == pytest.approx(42)


@pytest.mark.parametrize("advance", MOVED)
def test_the_same_card_backwards(advance: int) -> None:
    made = card(**dict(zip(EVENTS, MOVED[advance], strict=True)))
    assert made["intake_duration"] == made["exhaust_duration"] == pytest.approx(264)
    assert made["lobe_separation"] == pytest.approx(111)
    assert made["cam_advance"] == pytest.approx(advance)


def test_a_constructed_card() -> None:
    """268 at 110 and 268 at 114: 24/64 and 68/20, separation 112, overlap 44 (common practice, recomputed)."""
    made = card(intake_duration=268, intake_centreline=110, exhaust_duration=268, exhaust_centreline=114)
    assert [made[key] for key in EVENTS] == pytest.approx([24, 64, 68, 20])
    assert made["lobe_separation"] == pytest.approx(112)
    assert made["cam_advance"] == pytest.approx(2)
    assert made["valve_overlap"] == pytest.approx(44)


def test_advance_moves_intake_and_exhaust_opposite_ways_in_their_own_counting() -> None:
    before = card(intake_duration=268, intake_centreline=110, exhaust_duration=262, exhaust_centreline=114)
    for key in EVENTS:
        after = degrees(advanced(key, radians(before[key]), radians(4)))
        assert after - before[key] == pytest.approx(4 if key.endswith("opening") else -4)


def determined(known: tuple[str, ...]) -> set[str]:
    """What linear algebra says the known figures fix: NumPy's rank, with and without each figure."""
    rows = np.array([[identity.factors.get(key, 0.0) for key in CARD] for identity in IDENTITIES])
    fixed = np.vstack([rows, [[float(key == name) for key in CARD] for name in known]]) if known else rows
    rank = np.linalg.matrix_rank(fixed)
    return {
        key for key in CARD if np.linalg.matrix_rank(np.vstack([fixed, [float(key == name) for name in CARD]])) == rank
    }


@pytest.mark.parametrize("size", [1, 2, 3, 4])
def test_every_direction_is_found(size: int) -> None:
    """Whatever is stated: all that the equations fix, as NumPy's rank says, is worked out."""
    whole = card(intake_duration=268, intake_centreline=110, exhaust_duration=262, exhaust_centreline=115)
    for known in combinations(CARD, size):
        made = card(**{key: whole[key] for key in known})
        assert set(made) == determined(known), known
        assert made == pytest.approx({key: whole[key] for key in made})


def test_the_identities_say_one_thing() -> None:
    """Eleven figures, four of them free: the card of two lobes on one shaft."""
    rows = [[identity.factors.get(key, 0.0) for key in CARD] for identity in IDENTITIES]
    totals = [[identity.total] for identity in IDENTITIES]
    assert np.linalg.matrix_rank(np.array(rows)) == len(CARD) - 4
    assert np.linalg.matrix_rank(np.hstack([rows, totals])) == len(CARD) - 4


def test_uncertainty_goes_through() -> None:
    """JCGM 100:2008, 5.1.2: closing is half the duration plus the centreline, so its variance is their weighted sum."""
    duration = radians(268) + half_width(radians(2), Cause(name="duration"))
    centre = radians(110) + half_width(radians(1), Cause(name="centreline"))
    made = complete({"intake_duration": duration, "intake_centreline": centre})[0]
    expected = np.hypot(standard(duration) / 2, standard(centre))
    assert standard(made["intake_closing"]) == pytest.approx(expected)
    assert standard(made["intake_opening"]) == pytest.approx(expected)
    # and the duration made from both events again carries only its own
    again = complete({key: made[key] for key in ("intake_opening", "intake_closing")})[0]["intake_duration"]
    assert standard(again) == pytest.approx(standard(duration))
    assert nominal(again) == pytest.approx(radians(268))


def test_lift_of_lobe_and_valve() -> None:
    """Geometry: 36.5 over the nose on a 29.5 base circle, rocker 1.5, lash 0.20 -> 7.0 and 10.3 mm."""
    lift = lobe_lift(36.5e-3, 29.5e-3)
    assert lift == pytest.approx(7.0e-3)
    assert valve_lift(lift, 1.5, 0.2e-3) == pytest.approx(10.3e-3)


def test_half_a_turn_is_the_only_constant() -> None:
    assert {abs(identity.total) for identity in IDENTITIES} == {0.0, pi}


def test_advancing_a_cam_keeps_durations_and_lobe_separation() -> None:
    """A degree more of advance, and every line of the card still adds up (geometry)."""
    moved = {**ADVANCING, "cam_advance": 1}
    for identity in IDENTITIES:
        assert sum(factor * moved.get(key, 0) for key, factor in identity.factors.items()) == 0, identity.says
    assert set(ADVANCING.values()) == {1, -1}
