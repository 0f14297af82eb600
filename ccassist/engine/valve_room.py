"""The valve against the piston: the gap along the valve, the pocket it needs, and the rim in the pocket.

Plain functions in the manner of the relations: SI in and out, no branches, the keyword ``m`` is the mathematics they
are done in.

The valve stands at an angle to the bore axis and moves along its stem.  Its edge nearest the piston, at the valve drop
above the head face, meets the crown first.  The crown is taken as flat under the valve, square to the bore; the floor
of a pocket as flat and square to the stem, and the pocket as cut on the valve's own line with the piston at top dead
centre.  When the piston has gone down by x, such a floor has gone only x cos β from the valve, and the pocket stands x
sin β aside of it.

Source: plane geometry; common practice, no source.
"""

from __future__ import annotations

from ccassist.engine.mathematics import FLOATS, Mathematics
from ccassist.values.number import N


def room_at_top(deck_clearance: N, gasket_thickness: N, valve_drop: N, crown_at_valve: N) -> N:
    """Edge of the closed valve to the crown at top dead centre, along the bore.

    All [m]; deck clearance positive below deck, drop positive recessed, crown positive below the flat. Source: plane
    geometry.

    >>> round(room_at_top(0.0002, 0.0013, 0.0020, 0.0) * 1e3, 6)
    3.5
    """
    return deck_clearance + gasket_thickness + valve_drop + crown_at_valve


def along_to_crown(way: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """Along a valve's stem, what a way along the bore makes to a flat crown: way ÷ cos(valve angle).

    [m], [rad] -> [m].  Source: plane geometry.

    >>> from math import radians
    >>> round(along_to_crown(0.30e-3, radians(25)) * 1e3, 3)
    0.331
    """
    return way / m.cos(valve_angle)


def along_to_floor(way: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """The same to the floor of a pocket there is, square to the stem: way × cos(valve angle).

    [m], [rad] -> [m].  Source: plane geometry.

    >>> from math import radians
    >>> round(along_to_floor(0.30e-3, radians(25)) * 1e3, 3)
    0.272
    """
    return way * m.cos(valve_angle)


def deeper(approach: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """How much deeper a pocket is along the valve's own line once head and piston have come nearer: × sin β × tan β.

    The line then meets the crown farther up the floor's slope by approach × tan β.  [m], [rad] -> [m].  With it the
    fall to the crown less what the pocket has become deeper is the fall to its floor: 1 ÷ cos β − sin β tan β = cos β.
    Source: plane geometry.

    >>> from math import radians
    >>> round(deeper(0.30e-3, radians(25)) * 1e3, 4)
    0.0591
    """
    return approach * m.sin(valve_angle) ** 2 / m.cos(valve_angle)


def gap_to_crown(valve_lift: N, piston_drop: N, room_at_top: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """Gap along the valve from its nearest edge to the crown: (room + drop) ÷ cos β − lift.

    Lift, drop of the piston, room [m], angle [rad] -> [m]; negative where they meet.  Source: plane geometry.

    >>> round(gap_to_crown(0.004, 0.003, 0.0035, 0.0) * 1e3, 6)
    2.5
    """
    return along_to_crown(room_at_top + piston_drop, valve_angle, m=m) - valve_lift


def gap_to_floor(
    valve_lift: N, piston_drop: N, room_at_top: N, valve_angle: N, pocket: N, *, m: Mathematics = FLOATS
) -> N:
    """Gap along the valve to a pocket's floor: room ÷ cos β + drop × cos β + pocket − lift.

    As :func:`gap_to_crown`; ``pocket`` is its depth along the valve at the valve's rim [m].  Source: plane geometry.

    >>> round(gap_to_floor(0.004, 0.003, 0.0035, 0.0, 0.001) * 1e3, 6)
    3.5
    """
    room = along_to_crown(room_at_top, valve_angle, m=m) + along_to_floor(piston_drop, valve_angle, m=m)
    return room + pocket - valve_lift


def depth_at_rim(pocket_depth: N, valve_diameter: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """Depth of a pocket along the valve at the valve's deep rim: depth at its middle + half the head × tan β.

    [m], [m], [rad] -> [m].  Source: plane geometry.

    >>> from math import atan
    >>> round(depth_at_rim(0.002, 0.040, atan(0.1)) * 1e3, 6)
    4.0
    """
    return pocket_depth + valve_diameter / 2 * m.sin(valve_angle) / m.cos(valve_angle)


def depth_at_middle(pocket: N, valve_diameter: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """The reverse of :func:`depth_at_rim`.  [m], [m], [rad] -> [m].

    Source: plane geometry.

    >>> from math import atan
    >>> round(depth_at_middle(0.004, 0.040, atan(0.1)) * 1e3, 6)
    2.0
    """
    return depth_at_rim(pocket, -valve_diameter, valve_angle, m=m)


def shift(piston_drop: N, valve_angle: N, *, m: Mathematics = FLOATS) -> N:
    """How far the pocket stands aside of the valve once the piston has gone down: drop × sin β.

    [m], [rad] -> [m], square to the stem.  Source: plane geometry.

    >>> from math import asin
    >>> round(shift(0.005, asin(0.2)) * 1e3, 6)
    1.0
    """
    return piston_drop * m.sin(valve_angle)


def farthest_below(gap: float, valve_diameter: float, valve_angle: float) -> float:
    """Cosine, from the deepest point of the rim, of the farthest point of the rim still below the crown.

    [m], [m], [rad] -> cosine.  ``gap`` to the crown along the valve [m], negative there.  1 where only the deepest
    point reaches it, −1 where the whole rim does.  Floats only.  Source: plane geometry.

    >>> from math import asin
    >>> farthest_below(-1.0, 0.040, asin(0.2)), farthest_below(0.0, 0.040, asin(0.2))
    (-1.0, 1.0)
    """
    from math import cos, sin

    lean = valve_diameter / 2 * sin(valve_angle)
    below = -gap * cos(valve_angle)
    return -1.0 if below >= 2 * lean else 1 - below / lean


def rim_reach(valve_diameter: N, aside: N, cosine: N, *, m: Mathematics = FLOATS) -> N:
    """How far a point of the valve's rim stands from the pocket's axis: √(R² + e² − 2 R e cos φ).

    Head diameter, shift e [m], cosine of the point's place on the rim from its deepest -> [m]. The radial clearance is
    the pocket's radius less this.  Source: law of cosines.

    >>> round(rim_reach(0.040, 0.015, 0.0) * 1e3, 6)  # 20 and 15 at a right angle
    25.0
    """
    radius = valve_diameter / 2
    return m.sqrt(radius**2 + aside**2 - 2 * radius * aside * cosine)


def nearest_phase(cam_angle: float, retard: float, advance: float) -> float:
    """The phasing at which the piston stands highest when the cam is at an angle.

    The cam at ``cam_angle`` (its crank angle as read) comes at crank angle cam_angle − phasing.  The higher the piston
    the less room, whatever the lift, so the worst phasing brings that crank angle as close to top dead centre as the
    range allows.  All [rad]; ``retard`` and ``advance`` not negative. Source: piston and phasing as above; common
    practice, no source.

    >>> nearest_phase(0.10, 0.05, 0.30), nearest_phase(-0.40, 0.05, 0.30)
    (0.1, -0.05)
    """
    return max(-retard, min(advance, cam_angle))
