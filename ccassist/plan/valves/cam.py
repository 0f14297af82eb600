"""Everything of a job's cam: the card, the valves against the pistons, and the cautions that go with them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.engine.mathematics import uncertain
from ccassist.engine.valve_room import along_to_crown, along_to_floor, deeper, gap_to_crown, gap_to_floor, shift
from ccassist.plan.valves.cam_card import VALVES, CamCard, cam_card
from ccassist.plan.valves.place import ValveOverPiston
from ccassist.plan.valves.room import ValveRoom, pocket_made, valve_room
from ccassist.values.findings import Finding, NotPossible
from ccassist.values.number import Number, nominal
from ccassist.vocabulary.record import record

# The table of lift, piston drop and gap about top dead centre at overlap.


@record
class TableRow:
    """One crank angle [rad]: piston drop [m], lift and gap as read, and the least gap over the phasing [m].

    None where the lift curve does not reach.
    """

    crank: float
    drop: float
    lift: float | None
    gap: float | None
    worst: float | None


def table_of(place: ValveOverPiston, angles: Sequence[float]) -> tuple[TableRow, ...]:
    """One row for each crank angle after top dead centre [rad]."""
    return tuple(_row(place, angle) for angle in angles)


def _row(place: ValveOverPiston, angle: float) -> TableRow:
    lift = place.curve.at(angle) if place.covers(angle) else None
    return TableRow(
        crank=angle,
        drop=place.drop(angle),
        lift=lift,
        gap=None if lift is None else place.gap_at(angle, lift),
        worst=place.worst_at(angle),
    )


def angles_about(around: float, every: float) -> list[float]:
    """Angles either side of top dead centre, with it among them [rad]."""
    count = int(around / every + 1e-9)
    return [every * i for i in range(-count, count + 1)]


@record
class Cam:
    """A cam."""

    survey: Survey  # the engine it is in
    card: CamCard  # every figure stated or worked out
    rooms: Mapping[str, ValveRoom]  # by valve, how it clears the pistons; none without [valve] sections

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong, doubtful or asked."""
        return (*self.card.findings, *(f for room in self.rooms.values() for f in room.findings))

    @property
    def fails(self) -> bool:
        """Whether a gap asked for is not held."""
        return any(room.fails for room in self.rooms.values())

    @property
    def cautions(self) -> list[str]:
        """What must stand beside it."""
        hydraulic = self.survey.job.said.get("cam", {}).get("tappets") == "hydraulic"
        valves = ("valve-mock-up", "contact", "crown") if self.rooms else ()
        return cautions((*valves, *(("tappets",) if hydraulic else ()), "planning"))


def cam_of(survey: Survey, system: str | None = None) -> Cam:
    """The cam of a survey; ``system`` : units of the words, the job's own where None.

    Raises NotPossible: its job says nothing of a cam.
    """
    if not any(name == "cam" or name.startswith("valve.") for name in survey.stated):
        raise NotPossible("nothing is said of the cam: add a [cam] section, and [valve.intake] and [valve.exhaust]")
    shown = survey if system is None else replace(survey, job=replace(survey.job, system=system))
    card = cam_card(shown)
    return Cam(survey=survey, card=card, rooms=valve_room(shown, card))


# How far the gap between valve and piston moves along the stem when head and piston come nearer or part.
#
# To a flat crown by the way ÷ cosine of the valve's angle, to the floor of a
# pocket that lies square to the stem by the way × cosine.  Which it is, the
# job's words on crown and pockets say; where they say nothing, or where a valve
# leaves its pocket, the side that leaves less room is taken.


@record
class Stem:
    """One valve's stem, and what it comes down on.

    floor : whether it comes down on a pocket's floor; False on a flat crown, None where it is not known.
    """

    named: str  # "the intake valve"; "a valve" where only an angle is given
    angle: Number  # to the bore axis [rad]
    floor: bool | None = None

    def nearer(self, approach: Number) -> Number:
        """By how much the gap along the stem falls [m] for an approach along the bore [m]; both negative as they part.

        Where it is not known what the crown there is: the larger fall, the smaller growth.
        """
        floor = nominal(approach) < 0 if self.floor is None else self.floor
        return (along_to_floor if floor else along_to_crown)(approach, self.angle, m=uncertain())

    def aside(self, approach: Number) -> Number:
        """How far the pocket there is comes to stand aside of the valve's line [m]."""
        return shift(approach, self.angle, m=uncertain())

    def deeper(self, approach: Number) -> Number:
        """How much deeper that pocket is then along the valve's line [m]."""
        return deeper(approach, self.angle, m=uncertain())


def stems(survey: Survey, approaches: Mapping[int, Number], angle: Number | None = None) -> list[Stem]:
    """The stems whose angle is known: of the valves in the job, or one at ``angle`` of which nothing else is.

    ``approaches`` : how much nearer head and piston come, by cylinder [m].
    """
    if angle is not None:
        return [Stem(named="a valve", angle=angle)]
    found = []
    for valve in VALVES:
        stated = survey.stated.get(f"valve.{valve}", {})
        if "valve_angle" in stated:
            floor = _floor(survey, valve, approaches)
            found.append(Stem(named=f"the {valve} valve", angle=stated["valve_angle"].number, floor=floor))
    return found


def _floor(survey: Survey, valve: str, approaches: Mapping[int, Number]) -> bool | None:
    """Whether a valve comes down on a pocket's floor in every cylinder, before and after; None where nobody knows."""
    stated = survey.stated[f"valve.{valve}"]
    if "valve_diameter" not in stated:
        return None if "pocket_depth" in stated or f"order.pocket.{valve}" in survey.stated else _flat(stated)
    made, _ = pocket_made(survey, valve)
    if made is None:
        return _flat(stated)
    places: Sequence[ValveOverPiston] = valve_room(survey)[valve].places
    if not places:
        return True if made.nominal > 0 else None
    each = {_on_floor(place, at) for place in places for at in (0.0, nominal(approaches.get(place.cylinder, 0.0)))}
    return each.pop() if len(each) == 1 else None


def _flat(stated: Mapping[str, object]) -> bool | None:
    """On a crown said to be flat under the valve; None where nothing is said of it."""
    return False if "crown_at_valve" in stated else None


def _on_floor(place: ValveOverPiston, approach: float) -> bool:
    """Whether the gap is to the pocket's floor where it is least, head and piston being nearer by so much."""
    assert place.pocket is not None  # only a pocket there is has a floor
    at = place.nearest()
    drop = place.drop(at - place.worst_phase(at)) - approach
    lift, room, angle = place.curve.at(at), nominal(place.room), nominal(place.angle)
    floor = gap_to_floor(lift, drop, room, angle, nominal(place.pocket))
    return bool(floor > gap_to_crown(lift, drop, room + nominal(place.crown), angle))
