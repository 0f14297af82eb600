"""Everything of a job's cam: the card, the valves against the pistons, and the cautions that go with them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.plan.valves.place import Place
from ccassist.plan.valves.room import Pocket, ValveRoom, valve_room
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, NotPossible
from ccassist.values.measured import perhaps_to_dict, value_to_dict
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


def table_of(place: Place, angles: Sequence[float]) -> tuple[TableRow, ...]:
    """One row for each crank angle after top dead centre [rad]."""
    return tuple(_row(place, angle) for angle in angles)


def _row(place: Place, angle: float) -> TableRow:
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


AROUND, EVERY = math.radians(30.0), math.radians(5.0)  # of the table about top dead centre, where not said


@record
class Cam:
    """A cam.

    Attributes
    ----------
    survey : the engine it is in.
    card : every figure stated or worked out.
    rooms : by valve, how it clears the pistons; none without [valve] sections.
    """

    survey: Survey
    card: CamCard
    rooms: Mapping[str, ValveRoom]

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

    def to_dict(self, system: str | None = None, angles: Sequence[float] | None = None) -> dict[str, Any]:
        """Plain data, SI.

        ``system`` : units of the texts, the job's own where None.
        ``angles`` : of the tables about overlap, rad after top dead centre.
        """
        table = angles_about(AROUND, EVERY) if angles is None else angles
        made = cam_to_dict(self.card, self.rooms, table, formatter(system or self.survey.job.system), self.findings)
        return {**made, "cautions": self.cautions}


def cam_of(survey: Survey, system: str | None = None) -> Cam:
    """The cam of a survey; ``system`` : units of the words, the job's own where None.

    Raises
    ------
    NotPossible : its job says nothing of a cam.
    """
    if not any(name == "cam" or name.startswith("valve.") for name in survey.stated):
        raise NotPossible("nothing is said of the cam: add a [cam] section, and [valve.intake] and [valve.exhaust]")
    shown = survey if system is None else replace(survey, job=replace(survey.job, system=system))
    card = cam_card(shown)
    return Cam(survey=survey, card=card, rooms=valve_room(shown, card))


# The cam card and the valves against the pistons as plain data for JSON, SI.


def cam_to_dict(
    card: CamCard, rooms: Mapping[str, ValveRoom], angles: Sequence[float], fmt: Formatter, findings: Iterable[Finding]
) -> dict[str, Any]:
    """Everything of the cam; every event with the lift at which it holds."""
    reaches = {key: card.reach(key) for key in card.values if key.split("_")[1] in ("opening", "closing")}
    return {
        "format": 1,
        "lift_basis": card.lift_basis,
        "event_lift": perhaps_to_dict(card.event_lift, fmt),
        "card": {key: {**value_to_dict(v, fmt), "at": card.lift_basis} for key, v in card.values.items()},
        "not_worked_out": list(card.lacking),
        "phasing": {
            key: {"earliest": value_to_dict(r.earliest, fmt), "latest": value_to_dict(r.latest, fmt)}
            for key, r in reaches.items()
            if r is not None
        },
        "valves": {valve: room_to_dict(room, angles, fmt) for valve, room in rooms.items()},
        "findings": [f.to_dict() for f in findings],
    }


def room_to_dict(room: ValveRoom, angles: Sequence[float], fmt: Formatter) -> dict[str, Any]:
    """One valve against the pistons."""
    worst, place = room.worst, room.worst_place
    return {
        "lobe_lift": perhaps_to_dict(room.lifts.lobe, fmt),
        "valve_lift": perhaps_to_dict(room.lifts.valve, fmt),
        "lift_curve": ("read" if room.measured else "assumed, for planning only") if room.places else None,
        "not_given": list(room.lacking),
        "nearest": [
            {
                "cylinder": one.cylinder,
                "gap": value_to_dict(one.gap, fmt),
                "crank_after_tdc": one.crank,
                "advanced": one.phase,
                "lift": one.lift,
                "piston_drop": one.drop,
                "lift_readings_end_there": one.at_end,
            }
            for one in room.nearest
        ],
        "nearest_of_all": worst.cylinder if worst else None,
        "wanted_gap": perhaps_to_dict(room.wanted, fmt),
        "verdict": room.verdict.value if room.verdict else None,
        "radial": perhaps_to_dict(room.radial, fmt),
        "wanted_radial": perhaps_to_dict(room.wanted_radial, fmt),
        "radial_verdict": room.radial_verdict.value if room.radial_verdict else None,
        "pocket_made": perhaps_to_dict(room.made, fmt),
        "pocket_needed": room.needed,
        "pocket": pocket_to_dict(room.pocket, fmt) if room.pocket else None,
        "table": [vars(row) for row in table_of(place, angles)] if place else [],
    }


def pocket_to_dict(pocket: Pocket, fmt: Formatter) -> dict[str, Any]:
    """A pocket that is needed."""
    return {
        "along_valve": value_to_dict(pocket.along, fmt),
        "along_valve_to_be_sure": pocket.sure,
        "middle": value_to_dict(pocket.depth, fmt),
        "deepest_edge": perhaps_to_dict(pocket.edge, fmt),
        "diameter": perhaps_to_dict(pocket.diameter, fmt),
        "volume": perhaps_to_dict(pocket.volume, fmt),
        "runs_out_over_the_edge": pocket.runs_out,
    }
