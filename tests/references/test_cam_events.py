"""Durations and overlap from the four events, through ``ccassist cam --json``."""

from __future__ import annotations

import json
from math import degrees

from tests.references.sources import cites
from tests.sound_job import Shop


@cites("waec")
def test_events_of_an_examination(shop: Shop) -> None:
    """Opens 6 before top, closes 35 after bottom; 38 before bottom and 5 after top: overlap 11°, open 221° and 223°."""
    shop.write(
        'format = 1\n[engine]\ncylinders = 1\n[cam]\nevent_lift = "1 mm, measured"\n'
        'intake_opening = "6 deg before TDC, measured"\nintake_closing = "35 deg after BDC, measured"\n'
        'exhaust_opening = "38 deg before BDC, measured"\nexhaust_closing = "5 deg after TDC, measured"\n'
    )
    assert shop.run("cam", "job.toml", "--json") == 0, shop.err
    card = json.loads(shop.out)["card"]
    found = [degrees(card[key]["value"]) for key in ("valve_overlap", "intake_duration", "exhaust_duration")]
    assert [round(angle, 9) for angle in found] == [11, 221, 223]
