"""Everything of a job's cam: the card, the valves against the pistons, and the cautions that go with them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.plan.valves.room import ValveRoom, valve_room
from ccassist.plan.valves.table import angles_about
from ccassist.values.findings import Finding, NotPossible

AROUND, EVERY = math.radians(30.0), math.radians(5.0)  # of the table about top dead centre, where not said


@dataclass(frozen=True, kw_only=True)
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
        from ccassist.plan.valves.data import cam_to_dict

        table = angles_about(AROUND, EVERY) if angles is None else angles
        made = cam_to_dict(self.card, self.rooms, table, system or self.survey.job.system, self.findings)
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
