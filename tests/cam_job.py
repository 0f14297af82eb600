"""A small job with a cam and two valves, in invented numbers; shared by tests."""

from __future__ import annotations

from math import cos

ENGINE = """format = 1

[job]
name = "Valve job"
units = "metric"

[engine]
cylinders = 2
bore = "83.40 +/- 0.01 mm, measured"
stroke = "84.00 +/- 0.02 mm, measured"
rod_length = "145.00 +/- 0.02 mm, measured"

[part.gasket]
kind = "gasket"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"

[cylinder.1]
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"

[cylinder.2]
deck_clearance = "0.26 +/- 0.02 mm below deck, measured"
"""
CAM = """
[cam]
intake_opening = "12 +/- 1 deg before TDC, measured"
intake_closing = "48 +/- 1 deg after BDC, measured"
exhaust_duration = "236 +/- 1 deg, maker's figure"
exhaust_centreline = "112 +/- 1 deg, measured"
event_lift = "1.00 +/- 0.02 mm, measured"
lift_read_at = "the valve"
tappets = "solid"
wheel_doubt = "0.5 deg"
"""
PHASING = """intake_phase_advance = "20 +/- 1 deg, maker's figure"
intake_phase_retard = "5 +/- 1 deg, maker's figure"
"""
VALVE = """
[valve.{valve}]
valve_diameter = "{diameter} +/- 0.05 mm, measured"
valve_angle = "{angle} +/- 0.2 deg, measured"
valve_drop = "{drop}, measured"
{more}
"""


def smooth(angle: float, centre: float, most: float) -> float:
    """An invented smooth lift, in degrees and mm, 300 degrees wide at the seat."""
    inside = abs(angle - centre) / 150
    return most * ((1 + cos(3.141592653589793 * inside)) / 2) if inside < 1 else 0.0


def lifts(valve: str, centre: float, most: float, low: int, high: int, step: int = 4, tool: str = "dial") -> str:
    """A list of lift readings."""
    rows = []
    for at in range(low, high + 1, step):
        side = "before" if at < 0 else "after"
        rows.append(f'    {{ angle = "{abs(at)} deg {side} TDC", lift = "{smooth(at, centre, most):.3f} mm" }},')
    named = 'instrument = "dial indicator"\n' if tool else ""
    return f"\n[valve.{valve}.lifts]\n{named}readings = [\n" + "\n".join(rows) + "\n]\n"


def valve(
    which: str, *, diameter: float = 33.0, angle: float = 12.0, drop: str = "3.0 +/- 0.05 mm recessed", more: str = ""
) -> str:
    """A valve's section."""
    return VALVE.format(valve=which, diameter=diameter, angle=angle, drop=drop, more=more)


INTAKE = valve("intake") + lifts("intake", 108, 9.8, -40, 60)
EXHAUST = valve("exhaust", diameter=28.0, angle=14.0, drop="3.2 +/- 0.05 mm recessed") + lifts(
    "exhaust", -112, 9.2, -60, 40
)
