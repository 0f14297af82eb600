"""A small sound job with cam, charge and baseline, and ways to change it; all of it invented."""

from __future__ import annotations

from ccassist.plan.boost.story import BoostStory, boost_story
from tests.sound_survey import surveyed

ENGINE = """format = 1

[job]
name = "Boosted two"
units = "metric"

[engine]
cylinders = 2
bore = "85.30 +/- 0.01 mm, measured"
stroke = "84.00 +/- 0.02 mm, measured"
rod_length = "145.00 +/- 0.02 mm, measured"

[counted]
crevice = "not counted"

[part.block]
kind = "block"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"

[part.pistons]
kind = "pistons"
crown_volume = "dish 11.0 +/- 0.3 cc, measured"

[part.gasket]
kind = "gasket"
gasket_bore = "86.6 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"

[cylinder.1]
chamber_volume = "45.0 +/- 0.3 cc, measured"

[cylinder.2]
chamber_volume = "44.5 +/- 0.3 cc, measured"
"""
CAM = """
[cam]
intake_closing = "55 +/- 2 deg after BDC, measured"
event_lift = "1.00 mm"
lift_read_at = "the valve"
"""
CHARGE = """
[charge]
boost_gauge = "1.0 bar"
barometer = "99.5 +/- 0.3 kPa, measured"
barometer_is = "read on site"
intake_air_temperature = "25 +/- 5 degC, measured"
mixture_strength = "0.88"
engine_speed = "2500 rpm"
burn_phasing = "14 deg after TDC"
octane_number = "95"
spark = "best torque"
"""
BASELINE = """
[baseline]
called = "the same engine as it was run last year"
static_ratio = "9.0 +/- 0.1, measured"
boost_gauge = "0.6 bar"
burn_phasing = "14 deg after TDC"
runs = "clean, no knock heard or seen"
"""
JOB = ENGINE + CAM + CHARGE + BASELINE


def replaced(text: str, *changes: tuple[str, str]) -> str:
    """The text with others put in, each once."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def told(text: str, *changes: tuple[str, str], knock: bool = False) -> BoostStory:
    """The story of a changed job."""
    return boost_story(surveyed(replaced(text, *changes)), with_knock=knock)
