"""The cam card of a job: what follows, what contradicts, what is asked."""

from __future__ import annotations

from math import degrees

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.values.findings import Level, errors
from ccassist.values.number import nominal


def card_of(*lines: str) -> CamCard:
    """The card of a job whose [cam] section has these lines."""
    job = parse_job("format = 1\n[engine]\ncylinders = 1\n[cam]\n" + "\n".join(lines) + "\n").job
    made = survey(job)
    assert not errors(made.findings)
    return cam_card(made)


def shown(card: CamCard, *keys: str) -> list[float]:
    return [degrees(card.values[key].nominal) for key in keys]


LIFT = ('event_lift = "1.00 +/- 0.02 mm, measured"', 'lift_read_at = "the valve"')
CONSTRUCTED = (
    'intake_duration = "268 +/- 1 deg, maker\'s figure"',
    'intake_centreline = "110 +/- 1 deg, measured"',
    'exhaust_duration = "268 +/- 1 deg, maker\'s figure"',
    'exhaust_centreline = "114 +/- 1 deg, measured"',
)


def test_events_from_durations_and_centrelines() -> None:
    """Constructed example of the cam card (common practice, recomputed): 24/64 and 68/20, overlap 44."""
    card = card_of(*CONSTRUCTED, *LIFT)
    assert shown(card, "intake_opening", "intake_closing", "exhaust_opening", "exhaust_closing") == pytest.approx(
        [24, 64, 68, 20]
    )
    assert shown(card, "lobe_separation", "cam_advance", "valve_overlap") == pytest.approx([112, 2, 44])
    assert card.lift_basis == "at 1.00 mm lift of the valve"
    assert not card.findings
    assert not card.lacking
    assert card.intake_closing is not None
    assert card.intake_closing.origin == "computed"
    # half the rectangular duration joined with the normal centreline: sqrt((0.5/sqrt 3)^2 + (1/1.96)^2) * 1.96
    assert degrees(card.intake_closing.expanded) == pytest.approx(1.15, abs=0.02)


def test_a_contradiction_is_found_in_words_at_its_line() -> None:
    card = card_of('intake_closing = "58 +/- 1 deg after BDC, measured"', *CONSTRUCTED, *LIFT)
    found = errors(card.findings)
    assert [f.code for f in found] == ["contradiction"]
    assert "intake duration is stated as 268" in found[0].wrong
    assert "intake closing, intake centreline make it 256" in found[0].wrong  # 2 × (58 + 180 − 110)
    assert found[0].line == 6
    assert shown(card, "intake_closing", "intake_duration") == pytest.approx([58, 256])


def test_what_was_measured_wins_over_what_nobody_says_the_origin_of() -> None:
    """Whatever is stated the wrong way, and in whatever order: the closing, or the centreline."""
    card = card_of('intake_closing = "52 deg after BDC"', *CONSTRUCTED, *LIFT)
    assert shown(card, "intake_closing", "intake_centreline") == pytest.approx([64, 110])
    (found,) = errors(card.findings)
    assert "intake closing is stated as 52" in found.wrong
    assert card.intake_closing is not None
    assert card.intake_closing.origin == "computed"


def test_what_agrees_within_its_doubt_is_no_contradiction() -> None:
    card = card_of('intake_closing = "63 +/- 1 deg after BDC, measured"', *CONSTRUCTED, *LIFT)
    assert not card.findings
    assert shown(card, "intake_closing", "intake_centreline") == pytest.approx([63, 110])


def test_the_lift_of_the_events_is_asked() -> None:
    card = card_of(*CONSTRUCTED)
    assert [(f.level, f.code) for f in card.findings] == [(Level.WARNING, "no-event-lift")]
    assert card.lift_basis == "at a lift that is not said"


def test_seat_to_seat_and_a_lift_that_may_be_of_valve_or_tappet() -> None:
    assert card_of(*CONSTRUCTED, 'event_lift = "0 mm, measured"').lift_basis == "seat to seat"
    assert "is not said" in card_of(*CONSTRUCTED, LIFT[0]).lift_basis


def test_phasing_moves_each_event_its_own_way() -> None:
    """Advance brings closing nearer bottom dead centre and opening farther before top dead centre."""
    phasing = (
        'intake_phase_advance = "40 +/- 1 deg, maker\'s figure"',
        'exhaust_phase_retard = "25 +/- 1 deg, maker\'s figure"',
    )
    card = card_of(*CONSTRUCTED, *LIFT, *phasing)
    reach = card.reach("intake_closing")
    assert reach is not None
    assert [degrees(v.nominal) for v in (reach.earliest, reach.latest)] == pytest.approx([24, 64])
    opening, closing = card.reach("intake_opening"), card.reach("exhaust_closing")
    assert opening is not None
    assert closing is not None
    assert degrees(opening.earliest.nominal) == pytest.approx(64)
    assert degrees(closing.latest.nominal) == pytest.approx(45)
    overlap = card.overlap_reach()
    assert overlap is not None
    assert [degrees(v.nominal) for v in overlap] == pytest.approx([44, 44 + 40 + 25])
    assert card.phased("intake")
    assert nominal(card.retard["intake"]) == 0


def test_without_a_cam_there_is_no_card() -> None:
    made = survey(parse_job("format = 1\n[engine]\ncylinders = 1\n").job)
    card = cam_card(made)
    assert not card.given
    assert card.reach("intake_closing") is None
    assert not card.findings


def test_what_cannot_be_worked_out_is_named() -> None:
    card = card_of('intake_duration = "268 deg, measured"', *LIFT)
    assert "intake_closing" in card.lacking
    assert card.overlap_reach() is None
