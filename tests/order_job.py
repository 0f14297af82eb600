"""A whole piston order of an invented twin, and how to change it; shared by tests."""

from __future__ import annotations

import re
from functools import lru_cache

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.report.order import Order, order_of
from tests.cam_job import lifts

ORDER = """format = 1
[job]
name = "Petrel twin"
by = "Ines"
units = "metric"
[engine]
cylinders = 2
bore = "91.37 +/- 0.004 mm, measured"
stroke = "74.62 +/- 0.01 mm, measured"
rod_length = "129.43 +/- 0.01 mm, measured"
block_deck_height = "199.18 +/- 0.012 mm, measured"
gasket_bore = "92.6 +/- 0.1 mm, measured"
gasket_thickness = "1.04 +/- 0.01 mm, measured"
chamber_volume = "49.62 +/- 0.12 cc, measured"
chamber_area = "44.0 +/- 0.2 cm2, measured"
[counted]
crevice = "counted"
chamfer = "not counted"
[wanted]
static_ratio = "8.40 to 8.90"
squish = "0.92 to 1.12 mm"
[order]
pieces = 2
use = "road, water-cooled"
crown_thickness = "5.0 mm"
wall_clearance = "0.06 mm"
pin_diameter = "21.00 +/- 0.004 mm, measured"
pin_length = "58.0 +/- 0.1 mm, measured"
pin_fit = "floating"
pin_retention = "round-wire clips"
pin_offset = "centred"
rod_width = "22.4 +/- 0.05 mm, measured"
top_ring_width = "1.20 +/- 0.01 mm, maker's figure"
second_ring_width = "1.20 +/- 0.01 mm, maker's figure"
oil_ring_width = "2.50 +/- 0.01 mm, maker's figure"
ring_radial_depth = "3.1 +/- 0.1 mm, maker's figure"
rings = "steel top, taper second, three-piece oil"
land_height = "6.30 +/- 0.05 mm"
land_diameter = "90.62 +/- 0.03 mm"
ring_pack_depth = "15.4 +/- 0.1 mm, maker's figure"
fuel = "98 octane petrol"
boost = "none"
rev_limit = "7100 rpm"
alloy = "forged"
revision = "A"
signed_by = "Ines"
"""
DISH = """[order.crown]
shape = "flat dish"
dish_diameter = "64.0 mm"
dish_corner = "1.0 mm"
"""
DOME = """[order.crown]
shape = "dome with sloped sides"
dome_diameter = "60.0 mm"
dome_top = "42.0 mm"
"""
POCKET = """[order.pocket.{kind}]
pockets = {count}
pocket_diameter = "{diameter} mm"
pocket_depth = "{depth} mm"
pocket_tilt = "{tilt} deg"
pocket_offset = "{offset} mm"
"""
VALVE = """
[cam]
wheel_doubt = "0.5 deg"
[valve.intake]
valve_diameter = "33.0 +/- 0.05 mm, measured"
valve_angle = "12 +/- 0.2 deg, measured"
valve_drop = "{drop} +/- 0.05 mm recessed, measured"
valve_offset = "20.0 mm, measured"
wanted_valve_gap = "1.2 mm"
"""


def changed(*changes: str, crown: str = DISH, more: str = "") -> str:
    """The order with lines ``key = value`` in place of its own, or added to [order]; ``-key`` takes a line out."""
    text = ORDER
    for change in changes:
        key = re.split(r"\s*=", change)[0].strip("- ")
        line = "" if change.startswith("-") else f"{change}\n"
        text, met = re.subn(rf"^{key} = .*\n", lambda _, line=line: line, text, flags=re.MULTILINE)
        text = text if met else text + line
    return text + crown + more


def pocket(kind: str = "intake", **sizes: float) -> str:
    """A section of pockets."""
    made = {"count": 1, "diameter": 30.0, "depth": 1.5, "tilt": 0.0, "offset": 20.0, **sizes}
    return POCKET.format(kind=kind, **made)


def valve(drop: float, more: str = "", *, most: float = 9.8) -> str:
    """An intake valve with its lift readings up to a full lift [mm], so far recessed in the head [mm]."""
    return VALVE.format(drop=drop) + more + lifts("intake", 108, most, -40, 60)


@lru_cache(maxsize=128)
def order_from(text: str, system: str | None = None) -> Order:
    """From the text of a job to its order."""
    return order_of(survey(parse_job(text, "order.toml").job), system)
