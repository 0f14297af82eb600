"""One valve over the piston of one cylinder: the gap at any cam angle and phasing, and where it is least."""

from __future__ import annotations

from functools import cached_property
from math import radians

from ccassist.engine import valve_room as geometry
from ccassist.engine.mathematics import uncertain
from ccassist.engine.slider_crank import piston_drop
from ccassist.plan.valves.lift import LiftByAngle
from ccassist.values.number import Number, nominal
from ccassist.values.numerics import least
from ccassist.vocabulary.record import record

STEP = radians(0.5)  # of the scan for the least gap; lifts are read no closer than every 2 degrees
_FINEST = 240  # points of a grid at most, however far phasing and lifts reach


@record
class ValveOverPiston:
    """One valve over one piston.

    crown : how far the crown lies below its flat there without a pocket [m]; a pocket's depth counts from the flat.
    advance, retard : reach of the phasing [rad], not negative.
    """

    cylinder: int  # its number
    crank: tuple[Number, Number, Number]  # stroke, rod length, pin offset [m]
    room: Number  # closed valve's edge to the crown flat at top dead centre, along the bore [m]
    angle: Number  # of the valve to the bore axis [rad]
    diameter: Number  # of the valve's head [m]
    curve: LiftByAngle  # the lift
    crown: Number = 0.0
    pocket: Number | None = None  # depth of a pocket along the valve at its rim [m], None where none is made
    advance: Number = 0.0
    retard: Number = 0.0

    @cached_property
    def _plain(self) -> tuple[float, float, float]:
        stroke, rod_length, pin_offset = self.crank
        return nominal(stroke), nominal(rod_length), nominal(pin_offset)

    @cached_property
    def phases(self) -> tuple[float, float]:
        """Least and most phasing: fully retarded, fully advanced [rad]."""
        return -nominal(self.retard), nominal(self.advance)

    @cached_property
    def _seat(self) -> tuple[float, float, float, float | None]:
        """Room to the crown and to its flat, angle and pocket as plain numbers."""
        room, pocket = nominal(self.room), None if self.pocket is None else nominal(self.pocket)
        return room + nominal(self.crown), room, nominal(self.angle), pocket

    def drop(self, crank_angle: float) -> float:
        """Piston below top dead centre [m]."""
        return float(piston_drop(crank_angle, *self._plain))

    def gap_at(self, crank_angle: float, lift: float) -> float:
        """Gap along the valve [m]: to the pocket's floor, or to the crown once that lies lower."""
        room, flat, angle, pocket = self._seat
        drop = self.drop(crank_angle)
        crown = float(geometry.gap_to_crown(lift, drop, room, angle))
        return crown if pocket is None else max(crown, float(geometry.gap_to_floor(lift, drop, flat, angle, pocket)))

    def floor_at(self, crank_angle: float, lift: float) -> float:
        """Gap to the floor of a pocket of no depth, at the crown flat [m]; a pocket adds its depth along the valve."""
        _, flat, angle, _ = self._seat
        return float(geometry.gap_to_floor(lift, self.drop(crank_angle), flat, angle, 0.0))

    def worst_phase(self, cam_angle: float) -> float:
        """The phasing that brings this part of the lobe to the highest piston [rad]."""
        low, high = self.phases
        return geometry.nearest_phase(cam_angle, -low, high)

    def worst_at(self, crank_angle: float) -> float | None:
        """Least gap at a crank angle over the whole phasing [m]; None where the curve does not reach."""
        start, end = (crank_angle + phase for phase in self.phases)
        if not (self.covers(start) and self.covers(end)):
            return None
        at = least(lambda angle: -self.curve.at(angle), start, end, step=STEP) if end > start else start
        return self.gap_at(crank_angle, self.curve.at(at))

    def covers(self, cam_angle: float) -> bool:
        """Whether the lift is known there; an assumed one is nothing outside its lobe."""
        hair = 1e-9
        return not self.curve.measured or self.curve.low - hair <= cam_angle <= self.curve.high + hair

    def nearest(self, *, floor: bool = False) -> float:
        """The cam angle at which the gap is least over all angles and phasings [rad].

        ``floor`` : of the gap to a pocket's floor instead, whatever its depth.
        """
        gap = self.floor_at if floor else self.gap_at

        def worst(cam_angle: float) -> float:
            return gap(cam_angle - self.worst_phase(cam_angle), self.curve.at(cam_angle))

        return least(worst, self.curve.low, self.curve.high, step=STEP)

    def number_at(self, cam_angle: float, *, floor: bool = False) -> Number:
        """The gap there at the worst phasing, with its doubt [m].

        Where it is least it does not change with the angle, so the angle's own doubt is not in it.
        """
        m = uncertain()
        lift = self.curve.number(cam_angle)
        drop = piston_drop(cam_angle - self._phase_number(cam_angle), *self.crank, m=m)
        pocket = 0.0 if floor or self.pocket is None else self.pocket
        crown = geometry.gap_to_crown(lift, drop, self.room + self.crown, self.angle, m=m)
        to_floor = geometry.gap_to_floor(lift, drop, self.room, self.angle, pocket, m=m)
        if floor:
            return to_floor
        if self.pocket is None:
            return crown
        return crown if nominal(crown) > nominal(to_floor) else to_floor

    def _phase_number(self, cam_angle: float) -> Number:
        """The worst phasing; at an end of its range with the doubt of that end."""
        phase, (low, high) = self.worst_phase(cam_angle), self.phases
        if phase == high:
            return self.advance
        return -self.retard if phase == low else phase

    def _meets_crown(self, cam_angle: float) -> bool:
        """Whether the valve's edge comes below the crown there at the worst phasing."""
        room, _, angle, _ = self._seat
        drop = self.drop(cam_angle - self.worst_phase(cam_angle))
        return float(geometry.gap_to_crown(self.curve.at(cam_angle), drop, room, angle)) < 0

    def widest_reach(self) -> tuple[Number, float] | None:
        """How far the rim comes from the pocket's axis at most [m], and at which crank angle; None where the rim
        never stands below the crown.
        """
        room, _, angle, _ = self._seat
        diameter = nominal(self.diameter)
        worst: tuple[float, float, float] | None = None
        below = [at for at in _grid(self.curve.low, self.curve.high) if self._meets_crown(at)]
        for phase in _grid(*self.phases):
            for cam_angle in below:
                crank_angle = cam_angle - phase
                drop = self.drop(crank_angle)
                gap = geometry.gap_to_crown(self.curve.at(cam_angle), drop, room, angle)
                if gap >= 0:
                    continue
                cosine = geometry.farthest_below(gap, diameter, angle)
                reach = geometry.rim_reach(diameter, geometry.shift(drop, angle), cosine)
                if worst is None or reach > worst[0]:
                    worst = (reach, crank_angle, cosine)
        if worst is None:
            return None
        m = uncertain()
        aside = geometry.shift(piston_drop(worst[1], *self.crank, m=m), self.angle, m=m)
        return geometry.rim_reach(self.diameter, aside, worst[2], m=m), worst[1]


def _grid(low: float, high: float) -> list[float]:
    count = min(max(1, round((high - low) / STEP)), _FINEST)
    return [low] if low == high else [low + (high - low) * i / count for i in range(count + 1)]
