"""The valve against the piston: where it stands, how large it is, the room it has and the pocket cut for it."""

from ccassist.vocabulary.make import CC, MM, angle, length, volume
from ccassist.vocabulary.signs import CROWN_HEIGHT_SIGN, DROP_SIGN, VALVE_GAP_SIGN
from ccassist.vocabulary.silent import mm
from ccassist.vocabulary.term import Term

VALVES: tuple[Term, ...] = (
    length(
        "valve_diameter",
        "valve head diameter",
        "Dv",
        "outside diameter of the valve head",
        (8, 110),
        possible=(3 * MM, 500 * MM),
    ),
    angle(
        "valve_angle",
        "valve angle",
        "β",
        "valve stem to the bore axis; 0 where it stands upright",
        (0, 35),
        (0, 55),
        caution="to the bore axis, not to the deck",
    ),
    length(
        "valve_drop",
        "valve drop",
        "dv",
        "head face to the edge of the closed valve that stands nearest the piston, along the bore",
        (-5, 40),
        possible=(-50 * MM, 200 * MM),
        sign=DROP_SIGN,
        caution="to the lowest edge of the head, not to its middle",
        silent=mm(0.1, 0.2, 0.5),
    ),
    length(
        "valve_offset",
        "valve centre from the bore axis",
        "ev",
        "middle of the closed valve's head from the axis of the bore",
        (3, 90),
        possible=(0.0, 500 * MM),
        silent=mm(0.3, 0.5, 1.5),
    ),
    length(
        "crown_at_valve",
        "crown under the valve",
        "cv",
        "height of the crown under the valve, against the crown flat and without a pocket",
        (-20, 50),
        possible=(-100 * MM, 200 * MM),
        sign=CROWN_HEIGHT_SIGN,
        silent=mm(0.1, 0.2, 0.5),
    ),
    length(
        "wanted_valve_gap",
        "least gap wanted, valve to piston",
        "gw",
        "along the valve, cold, at the nearest",
        (0.8, 3.5),
        possible=(0.0, 50 * MM),
        small=True,
    ),
    length(
        "wanted_radial_gap",
        "least gap wanted, valve rim to pocket wall",
        "rw",
        "square to the stem",
        (0.8, 2.5),
        possible=(0.0, 50 * MM),
        small=True,
    ),
    length(
        "valve_gap",
        "valve-to-piston gap",
        "g",
        "valve head to the crown or the pocket's floor, along the valve",
        (0.8, 20),
        possible=(-500 * MM, 500 * MM),
        small=True,
        sign=VALVE_GAP_SIGN,
    ),
    length(
        "radial_gap",
        "radial clearance",
        "gr",
        "valve rim to pocket wall, square to the stem",
        (0.8, 5),
        possible=(-500 * MM, 500 * MM),
        small=True,
        sign=VALVE_GAP_SIGN,
    ),
    length(
        "pocket_along_valve",
        "pocket depth along the valve",
        "ha",
        "from the crown to the floor at the valve's rim, along its stem",
        (0.1, 8),
        possible=(0.0, 500 * MM),
    ),
    length(
        "pocket_edge_depth",
        "pocket depth at its deepest edge",
        "hq",
        "deepest edge of the pocket's floor below the crown, square to the crown",
        (0.3, 8),
        possible=(0.0, 500 * MM),
    ),
    volume(
        "pocket_volume", "pocket volume", "Vpk", "of one pocket, up to the crown", (0.02, 60), possible=(0.0, 1e3 * CC)
    ),
)
