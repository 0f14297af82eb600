"""Valve to piston: the least gap over angle and phasing, against what is asked, and the pocket that it needs.

Least gaps are asked of whoever builds the engine, never assumed.  Every
judgement is made at the unsafe end of the ±.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine import crown_shapes
from ccassist.engine import valve_room as geometry
from ccassist.engine.mathematics import uncertain
from ccassist.plan.valves.cam_card import VALVES, CamCard, cam_card
from ccassist.plan.valves.lift import LiftByAngle, Lifts, curve_of, lifts_of
from ccassist.plan.valves.place import ValveOverPiston
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, note, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import SILENT, Cause, expand, half_width
from ccassist.values.verdict import Band, Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

# The pocket that a wanted valve-to-piston gap needs, over all cylinders and the whole phasing.


@record
class PocketNeeded:
    """A pocket, flat-floored and cut along the valve with the piston at top dead centre.

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
    places: tuple[ValveOverPiston, ...], wanted: Value, radial: Value | None, offset: Value | None, survey: Survey
) -> PocketNeeded | None:
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
        return PocketNeeded(along=made[0], depth=made[1])
    reach = max((r[0] for one in short if (r := one.widest_reach()) is not None), key=nominal, default=None)
    radius = (place.diameter / 2 if reach is None else reach) + radial.nominal
    aside = geometry.along_to_crown(place.crown, place.angle, m=m)  # what is not there to be cut
    return PocketNeeded(
        along=made[0],
        depth=made[1],
        edge=_value("pocket_edge_depth", _edge(radius, place.angle, depth)),
        diameter=_value("pocket_diameter", 2 * radius),
        volume=_value("pocket_volume", _volume(radius, place.angle, depth - aside)),
        runs_out=_runs_out(nominal(radius), nominal(place.angle), offset, place.cylinder, survey),
    )


def _without_pocket(place: ValveOverPiston) -> ValveOverPiston:
    from dataclasses import replace

    return replace(place, pocket=None)


def _value(key: str, number: Number) -> Value:
    return computed(key, number, "needed for the gap wanted")


def _edge(radius: Number, angle: Number, depth: Number) -> Number:
    from uncertainties import wrap

    deepest = wrap(lambda r, t, d: crown_shapes.deepest_point(radius=r, tilt=abs(t), depth=d))
    found: Number = deepest(radius, angle, depth)
    return found


def _volume(radius: Number, angle: Number, depth: Number) -> Number:
    from uncertainties import wrap

    found: Number = wrap(lambda r, t, d: crown_shapes.pocket(radius=r, tilt=abs(t), depth=d))(radius, angle, depth)
    return found


def _runs_out(radius: float, angle: float, offset: Value | None, cylinder: int, survey: Survey) -> bool | None:
    """Whether the pocket reaches past the land, or the bore where the land is not given."""
    values = next(c.values for c in survey.cylinders if c.number == cylinder)
    edge = values.get("land_diameter") or values.get("bore")
    if offset is None or edge is None:
        return None
    return offset.nominal + radius / math.cos(angle) > edge.nominal / 2


USUAL_ZERO = math.radians(1.0)  # how well a wheel's zero is held where nobody says; common practice, no source
_STANDS = ("valve_diameter", "valve_angle", "valve_drop")
_PISTON = ("stroke", "rod_length", "deck_clearance", "gasket_thickness")


@record
class Nearest:
    """Where a valve comes nearest to the piston of one cylinder.

    ``gap`` along the valve; ``crank`` after top dead centre and ``phase`` (positive advanced) [rad]; ``lift`` and
    piston ``drop`` there [m]; ``at_end`` where the lift curve ends while the gap still falls.
    """

    cylinder: int
    gap: Value
    crank: float
    phase: float
    lift: float
    drop: float
    at_end: bool = False

    @property
    def unsafe(self) -> float:
        """The lower end of the gap's interval [m]; its nominal where the ± is not known."""
        return self.gap.low


@record
class ValveRoom:
    """One valve against the pistons.

    places : the valve over each piston, for tables of the gap; empty where something is lacking.
    wanted, verdict : the least gap asked, and how the nearest stands to it; None where none is asked.
    radial, wanted_radial, radial_verdict : the same for the valve's rim and the wall of the pocket made.
    pocket : the pocket that the wanted gap needs; None where none is needed, or no gap is asked.
    """

    valve: str  # "intake" or "exhaust"
    lifts: Lifts  # of lobe and valve
    places: tuple[ValveOverPiston, ...] = ()
    nearest: tuple[Nearest, ...] = ()  # one entry a cylinder
    made: Value | None = None  # pocket already made (or ordered), along the valve at its rim; None where there is none
    wanted: Value | None = None
    verdict: Verdict | None = None
    radial: Value | None = None
    wanted_radial: Value | None = None
    radial_verdict: Verdict | None = None
    pocket: PocketNeeded | None = None
    needed: bool | None = None  # whether one is needed; None where no gap is asked
    findings: tuple[Finding, ...] = ()
    lacking: tuple[str, ...] = ()  # terms not given

    @property
    def measured(self) -> bool:
        """Whether the lift curve was read; from an assumed one nothing is ever called inside."""
        return bool(self.places) and self.places[0].curve.measured

    @property
    def worst(self) -> Nearest | None:
        """The cylinder with the least gap at the unsafe end of its ±."""
        return min(self.nearest, key=lambda one: one.unsafe, default=None)

    @property
    def worst_place(self) -> ValveOverPiston | None:
        """The valve over that cylinder's piston."""
        worst = self.worst
        return next((place for place in self.places if worst is not None and place.cylinder == worst.cylinder), None)

    @property
    def fails(self) -> bool:
        """Whether an asked minimum is not held."""
        return Verdict.OUTSIDE in (self.verdict, self.radial_verdict)


def valve_room(survey: Survey, card: CamCard | None = None) -> dict[str, ValveRoom]:
    """Every valve for which the job has a section, by name."""
    card = cam_card(survey) if card is None else card
    zero = wheel_zero(survey)
    return {valve: _room(survey, card, valve, zero) for valve in VALVES if f"valve.{valve}" in survey.stated}


def cam_findings(survey: Survey) -> list[Finding]:
    """Everything found of the cam card and the valves; nothing where the job says nothing of them."""
    card = cam_card(survey)
    return [*card.findings, *(f for room in valve_room(survey, card).values() for f in room.findings)]


def wheel_zero(survey: Survey) -> Number:
    """Doubt of the degree wheel's zero [rad], one for both valves; the usual one, a guess, where it is not said."""
    stated = survey.stated.get("cam", {}).get("wheel_doubt")
    within = USUAL_ZERO if stated is None else stated.nominal
    cause = Cause(
        "zero of the degree wheel" if stated is not None else "zero of the degree wheel, not said: taken as ± 1 deg",
        "crank_angle",
        shape=Shape.RECTANGULAR,
        source="stated" if stated is not None else "common practice, no source",
        remedy="find true top dead centre with a piston stop, and say wheel_doubt",
        guess="" if stated is not None else SILENT,
        subject="zero of the degree wheel",
    )
    return half_width(within, cause) if within else 0.0


def _room(survey: Survey, card: CamCard, valve: str, zero: Number) -> ValveRoom:
    stated = survey.stated[f"valve.{valve}"]
    lifts = lifts_of(survey, valve)
    curve, found, lacking = curve_of(survey, card, valve, lifts, zero)
    findings = [*lifts.findings, *found]
    lack = [*(key for key in _STANDS if key not in stated), *lacking]
    lack += [key for key in _PISTON if any(key not in c.values for c in survey.cylinders)]
    wanted, radial = stated.get("wanted_valve_gap"), stated.get("wanted_radial_gap")
    if curve is None or lack:
        return ValveRoom(
            valve=valve,
            lifts=lifts,
            wanted=wanted,
            wanted_radial=radial,
            findings=tuple(findings),
            lacking=tuple(dict.fromkeys(lack)),
        )
    made, diameter = pocket_made(survey, valve)
    places = tuple(_place(c, stated, card, valve, curve, made) for c in survey.cylinders)
    nearest = tuple(_nearest(place) for place in places)
    findings += _findings(survey, valve, nearest, places)
    pocket = pocket_for(places, wanted, radial, stated.get("valve_offset"), survey) if wanted else None
    rim = _radial(places, diameter)
    return ValveRoom(
        valve=valve,
        lifts=lifts,
        places=places,
        nearest=nearest,
        made=made,
        wanted=wanted,
        verdict=_verdict([(one.gap, one.at_end) for one in nearest], wanted, curve),
        radial=rim,
        wanted_radial=radial,
        radial_verdict=_verdict([(rim, False)], radial, curve) if rim else None,
        pocket=pocket,
        needed=None if wanted is None else pocket is not None,
        findings=tuple(findings),
    )


def pocket_made(survey: Survey, valve: str) -> tuple[Value | None, Value | None]:
    """Depth along the valve at its rim, and diameter, of the pocket made; else of the one in the piston order."""
    stated = survey.stated[f"valve.{valve}"]
    ordered = survey.stated.get(f"order.pocket.{valve}", {})
    holder, says = (stated, "made") if "pocket_depth" in stated else (ordered, "as ordered")
    depth = holder.get("pocket_depth")
    if depth is None:
        return None, None
    m = uncertain()
    number = geometry.depth_at_rim(depth.number, stated["valve_diameter"].number, stated["valve_angle"].number, m=m)
    how = f"the pocket {says}"
    return computed("pocket_along_valve", number, how), holder.get("pocket_diameter")


def _place(
    cylinder: Cylinder, stated: Mapping[str, Value], card: CamCard, valve: str, curve: LiftByAngle, made: Value | None
) -> ValveOverPiston:
    values = cylinder.values
    offset = values.get("pin_offset")
    crown = stated.get("crown_at_valve")
    return ValveOverPiston(
        cylinder=cylinder.number,
        crank=(values["stroke"].number, values["rod_length"].number, 0.0 if offset is None else offset.number),
        room=geometry.room_at_top(
            values["deck_clearance"].number,
            values["gasket_thickness"].number,
            stated["valve_drop"].number,
            0.0,
        ),
        crown=0.0 if crown is None else crown.number,
        angle=stated["valve_angle"].number,
        diameter=stated["valve_diameter"].number,
        curve=curve,
        pocket=None if made is None else made.number,
        advance=card.advance.get(valve, 0.0),
        retard=card.retard.get(valve, 0.0),
    )


def _nearest(place: ValveOverPiston) -> Nearest:
    at = place.nearest()
    phase = place.worst_phase(at)
    ends = (place.curve.low, place.curve.high)
    return Nearest(
        cylinder=place.cylinder,
        gap=computed("valve_gap", place.number_at(at), "least over angle and phasing"),
        crank=at - phase,
        phase=phase,
        lift=place.curve.at(at),
        drop=place.drop(at - phase),
        at_end=place.curve.measured and min(abs(at - end) for end in ends) < 1e-6,
    )


def _verdict(gaps: list[tuple[Value, bool]], wanted: Value | None, curve: LiftByAngle) -> Verdict | None:
    """The gravest of all cylinders; an assumed curve, or one that ends too soon, never shows that a gap is held."""
    if wanted is None:
        return None
    least = wanted.nominal
    band = Band(key="valve_gap", low=least, high=math.inf, aim=least, raw="")
    verdicts = {decide(gap, band) for gap, _ in gaps}
    if Verdict.OUTSIDE in verdicts:
        return Verdict.OUTSIDE
    unsure = not curve.measured or any(at_end for _, at_end in gaps) or Verdict.CANNOT_TELL in verdicts
    return Verdict.CANNOT_TELL if unsure else Verdict.INSIDE


def _radial(places: tuple[ValveOverPiston, ...], diameter: Value | None) -> Value | None:
    """Least distance of the valve's rim from the wall of the pocket made, over all cylinders."""
    reaches = [reach[0] for place in places if (reach := place.widest_reach()) is not None]
    if diameter is None or not reaches:
        return None
    number = diameter.number / 2 - max(reaches, key=nominal)
    return computed("radial_gap", number, "pocket's radius less the reach of the rim")


def _findings(
    survey: Survey, valve: str, nearest: tuple[Nearest, ...], places: tuple[ValveOverPiston, ...]
) -> list[Finding]:
    """What a builder would be told on looking at the gaps."""
    stated, fmt = survey.stated[f"valve.{valve}"], survey.fmt
    found = []
    worst = min(nearest, key=lambda one: one.unsafe)
    if worst.unsafe <= 0:
        wrong = f"{valve} valve and piston may touch: {fmt.value(worst.gap)} along the valve"
        right = "check at mock-up by hand; stop at any resistance"
        found.append(warning("contact", wrong, right=right, place=f"cylinder {worst.cylinder}"))
    domed = any(c.values["crown_volume"].nominal < 0 for c in survey.cylinders if "crown_volume" in c.values)
    if domed and "crown_at_valve" not in stated:
        wrong = "the crown is domed and its height under the valve is not given: the gap is to the crown flat only"
        right = 'say crown_at_valve = "… mm above the flat", or "level with the flat"'
        found.append(warning("dome-under-valve", wrong, right=right, place=f"valve.{valve}"))
    if any(one.at_end for one in nearest):
        wrong = f"the gap of the {valve} valve still falls where its lift readings end"
        found.append(warning("lifts-end", wrong, right="read on past it", place=f"valve.{valve}.lifts"))
    if places[0].curve.measured and "wheel_doubt" not in survey.stated.get("cam", {}):
        found.append(_wheel(valve, nearest[0], places[0], fmt))
    return [f.at(file=survey.job.file) for f in found]


def _wheel(valve: str, nearest: Nearest, place: ValveOverPiston, fmt: Formatter) -> Finding:
    """What one degree on the wheel would do, where it is not said how well its zero is held."""
    at, degree = nearest.crank + nearest.phase, math.radians(1.0)
    ends = (max(place.curve.low, at - degree), min(place.curve.high, at + degree))
    change = max(abs(place.curve.at(end) - nearest.lift) for end in ends)
    wrong = (
        f"{term('wheel_doubt').name} is not said, and taken as 1 degree either way, which changes the {valve} gap by "
        f"{fmt.show('valve_gap', change, words=False)}"
    )
    return note("no-doubt", wrong, right='say wheel_doubt = "1 deg" in [cam]', place=f"valve.{valve}.lifts")
