"""Everything of a job's cam: the card, the valves against the pistons, and the cautions that go with them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.plan.valves.place import Place
from ccassist.plan.valves.room import ValveRoom, valve_room
from ccassist.values.findings import Finding, NotPossible
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
