"""The pocket that a wanted valve-to-piston gap needs, over all cylinders and the whole phasing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ccassist.analysis.results import Survey
from ccassist.engine import crown_shapes
from ccassist.engine import valve_room as geometry
from ccassist.engine.mathematics import uncertain
from ccassist.plan.valves.place import Place
from ccassist.values.measured import Number, Value, computed, expand, nominal


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """A pocket, flat-floored and cut along the valve with the piston at top dead centre.

    Attributes
    ----------
    along : depth along the valve at the valve's rim, which alone makes the gap.
    depth : the same at the middle of the floor, as a piston order states it; under nothing where the
        middle of the floor lies above the crown.
    edge : deepest edge below the crown, square to the crown; None where no radial clearance is asked.
    diameter, volume : None where no radial clearance is asked.
    runs_out : whether the pocket reaches past the edge of the crown; None where the valve's place is not given.
    """

    along: Value
    depth: Value
    edge: Value | None = None
    diameter: Value | None = None
    volume: Value | None = None
    runs_out: bool | None = None

    @property
    def sure(self) -> float:
        """Depth along the valve that gives the wanted gap at the unsafe end of the ± [m]."""
        return self.along.high


def pocket_for(
    places: tuple[Place, ...], wanted: Value, radial: Value | None, offset: Value | None, survey: Survey
) -> Pocket | None:
    """The pocket needed; None where every crown has the wanted gap without one, at the unsafe end of its ±."""
    bare = [_without_pocket(place) for place in places]
    short = [place for place in bare if expand(place.number_at(place.nearest())).low < wanted.nominal]
    if not short:
        return None
    needs = [(place, wanted.nominal - place.number_at(place.nearest(floor=True), floor=True)) for place in short]
    place, along = max(needs, key=lambda one: expand(one[1]).high)
    m = uncertain()
    depth = geometry.depth_at_middle(along, place.diameter, place.angle, m=m)
    made = _value("pocket_along_valve", along), _value("pocket_depth", depth)
    if radial is None:
        return Pocket(along=made[0], depth=made[1])
    reach = max((r[0] for one in short if (r := one.widest_reach()) is not None), key=nominal, default=None)
    radius = (place.diameter / 2 if reach is None else reach) + radial.nominal
    aside = geometry.along_to_crown(place.crown, place.angle, m=m)  # what is not there to be cut
    return Pocket(
        along=made[0],
        depth=made[1],
        edge=_value("pocket_edge_depth", _edge(radius, place.angle, depth)),
        diameter=_value("pocket_diameter", 2 * radius),
        volume=_value("pocket_volume", _volume(radius, place.angle, depth - aside)),
        runs_out=_runs_out(nominal(radius), nominal(place.angle), offset, place.cylinder, survey),
    )


def _without_pocket(place: Place) -> Place:
    from dataclasses import replace

    return replace(place, pocket=None)


def _value(key: str, number: Number) -> Value:
    return computed(key, number, "needed for the gap wanted")


def _edge(radius: Number, angle: Number, depth: Number) -> Number:
    from uncertainties import wrap

    return wrap(lambda r, t, d: crown_shapes.deepest_point(radius=r, tilt=abs(t), depth=d))(radius, angle, depth)


def _volume(radius: Number, angle: Number, depth: Number) -> Number:
    from uncertainties import wrap

    return wrap(lambda r, t, d: crown_shapes.pocket(radius=r, tilt=abs(t), depth=d))(radius, angle, depth)


def _runs_out(radius: float, angle: float, offset: Value | None, cylinder: int, survey: Survey) -> bool | None:
    """Whether the pocket reaches past the land, or the bore where the land is not given."""
    values = next(c.values for c in survey.cylinders if c.number == cylinder)
    edge = values.get("land_diameter") or values.get("bore")
    if offset is None or edge is None:
        return None
    return offset.nominal + radius / math.cos(angle) > edge.nominal / 2
