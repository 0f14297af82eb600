"""Where the intake cam stands under boost: as stated for full load, else where its range is hardest on the fuel."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.engine.cam import advanced
from ccassist.plan.boost.build import Build, geometry_of, octane_at
from ccassist.plan.boost.stated import Running, baseline_geometry
from ccassist.plan.valves.cam_card import CamCard
from ccassist.values.measured import Value, computed
from ccassist.values.number import nominal
from ccassist.vocabulary.record import record

AT_LOAD = "intake_phase_at_load"
STATED, EARLIEST, LATEST = "as stated for full load", "fully advanced", "fully retarded"


@record
class Position:
    """One position of the intake cam: its closing, the engine there, and the octane difference as worked out.

    ``octane`` : None where knock is not compared.
    """

    name: str
    closing: Value
    build: Build
    octane: float | None

    @property
    def hardness(self) -> tuple[float, float]:
        """By what the hardest position is picked."""
        trapped = nominal(self.build.geometry.trapped_ratio)
        return trapped if self.octane is None else round(self.octane, 1), trapped


def closings_looked_at(survey: Survey, card: CamCard) -> Mapping[str, Value]:
    """Intake closing at each position that is looked at; nothing where the cam cannot be moved."""
    ends, at_load = card.reach("intake_closing"), survey.stated.get("cam", {}).get(AT_LOAD)
    found: dict[str, Value] = {}
    if card.intake_closing is not None and at_load is not None:
        number = advanced("intake_closing", card.intake_closing.number, at_load.number)
        found[STATED] = computed("intake_closing", number, f"intake cam {STATED}")
    if ends is not None and card.phased("intake"):
        found |= {EARLIEST: ends.earliest, LATEST: ends.latest}
    return found


def positions(
    survey: Survey, card: CamCard, cylinder: Cylinder | None, own: Running | None, base: Running | None
) -> tuple[Position, ...]:
    """A cylinder at each of them, the one that the figures are told for first: the stated one, else the hardest."""
    found: list[Position] = []
    if cylinder is None:
        return ()
    for name, closing in closings_looked_at(survey, card).items():
        geometry = geometry_of(cylinder, closing)
        if geometry is None:
            continue
        bore = cylinder.values.get("bore")
        octane = None if own is None else octane_at(geometry, own, bore, baseline_geometry(geometry, base), base)
        build = Build(geometry=geometry, conditions=None if own is None else own.conditions)
        found.append(Position(name=name, closing=closing, build=build, octane=octane))
    return tuple(sorted(found, key=lambda one: (one.name != STATED, *(-size for size in one.hardness))))
