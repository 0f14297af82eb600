"""Static, trapped and boosted: what a job's engine comes to, cylinder by cylinder, and against its baseline.

Every figure is a planning figure and carries its ±, from the same uncertain
numbers as the static ratio; every figure of the trapped ratio carries the lift
at which intake closing was read.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.boost.conditions import COMPRESSOR, Conditions
from ccassist.boost.gas import DRY
from ccassist.engine.cam import advanced
from ccassist.engine.slider_crank import Geometry
from ccassist.plan.boost.build import Build, Knock, geometry_of, knock_against, known_of, octane_at
from ccassist.plan.boost.stated import (
    CRANK,
    GEOMETRY,
    Running,
    baseline_geometry,
    baseline_stated,
    charge_stated,
    shared_air,
)
from ccassist.plan.piston.checks import with_ordered_pistons
from ccassist.plan.solved import CLOSING
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.values.findings import Finding, warning
from ccassist.values.measured import Value, computed
from ccassist.values.number import nominal
from ccassist.vocabulary.record import once, record
from ccassist.vocabulary.units import Origin

# Where the intake cam stands under boost: as stated for full load, else where its range is hardest on the fuel.

AT_LOAD = "intake_phase_at_load"
STATED, EARLIEST, LATEST = "as stated for full load", "fully advanced", "fully retarded"


@record
class Position:
    """One position of the intake cam: its closing, the engine there, and the octane difference as worked out."""

    name: str
    closing: Value
    build: Build
    octane: float | None  # None where knock is not compared

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


CURVE = tuple(math.radians(angle) for angle in range(0, 101, 5))
# What no longer counts once something nearer to the cylinder is stated.
_IDLE = {
    "charge_temperature": tuple(one.key for one in COMPRESSOR),
    "residual_fraction": ("exhaust_ratio",),
}


@record
class CylinderStory:
    """One cylinder.

    earliest, latest : trapped ratio with the intake cam fully advanced and fully retarded; None without phasing.
    """

    number: int  # of the cylinder
    static_ratio: Value | None  # as the survey has it; None where it is not known
    build: Build | None  # None where the geometry lacks something
    lacking: tuple[str, ...] = ()  # the terms that it lacks
    earliest: Value | None = None
    latest: Value | None = None


@record
class CurvePoint:
    """Trapped ratio at one intake closing, rad after true bottom dead centre."""

    intake_closing: float
    trapped_ratio: Value


@record
class BoostStory:
    """Everything of a job's boost.

    survey, card : what it was worked out from.
    closing : intake closing of all figures: as read or, where the cam is phased, at the first of the positions.
    positions : the engine over the range of its intake cam; none where it cannot be moved.
    cylinders : one entry a cylinder.
    worst : number of the cylinder with the highest ratio at the unsafe end of its ±; None where none is known.
    running : the charge and how the engine is run; None without [charge].
    baseline, baseline_running : the engine it is set against; None without a usable [baseline].
    knock : the octane difference from it, or why there is none; None without [charge] or trapped ratio.
    curve : trapped ratio against intake closing, of the worst cylinder.
    findings : what is wrong, doubtful or asked, the cam's too.
    """

    survey: Survey
    card: CamCard
    closing: Value | None = None
    positions: tuple[Position, ...] = ()
    cylinders: tuple[CylinderStory, ...]
    worst: int | None = None
    running: Running | None = None
    baseline: Build | None = None
    baseline_running: Running | None = None
    knock: Knock | None = None
    curve: tuple[CurvePoint, ...] = ()
    findings: tuple[Finding, ...] = field(default=())

    @property
    def conditions(self) -> Conditions | None:
        """Of the charge."""
        return None if self.running is None else self.running.conditions

    @property
    def lift_basis(self) -> str:
        """The lift at which intake closing was read, in words; goes with every trapped ratio."""
        return self.card.lift_basis

    @property
    def shift(self) -> float:
        """By how much later the closing as read is than that of the figures, rad."""
        read = self.card.intake_closing
        return 0.0 if read is None or self.closing is None else read.nominal - self.closing.nominal

    @property
    def worst_one(self) -> CylinderStory | None:
        """The cylinder that the warnings, the knock and the curve are about."""
        return next((one for one in self.cylinders if one.number == self.worst), None)

    @property
    def assumed(self) -> tuple[Value, ...]:
        """What is assumed because nothing is stated, each with its ± and why."""
        if self.running is None or self.conditions is None:
            return ()
        values, stated = self.conditions.values, self.running.stated
        idle = {key for decider, keys in _IDLE.items() if decider in values for key in keys}
        idle |= {"mixture_strength"} if self.conditions.fuel == DRY else set()
        found = [
            value for value in values.values() if value.origin == Origin.ASSUMED and value.key not in {*stated, *idle}
        ]
        if values["barometer"].origin == Origin.COMPUTED and "altitude" not in values:
            found.insert(0, values["barometer"])
        run = self.running.run
        return (*found, *(run[key] for key in run if key not in stated))

    @property
    def chosen(self) -> tuple[Value, ...]:
        """What is stated, decided or read."""
        return () if self.running is None else tuple(self.running.stated.values())


@once
def boost_story(
    survey: Survey, closings: Sequence[float] = CURVE, *, system: str | None = None, with_knock: bool = True
) -> BoostStory:
    """The whole story of a survey, or of the pistons to be ordered for it; what cannot be worked out is said.

    ``closings`` [rad after true bottom dead centre] are those of the curve; ``system`` is that of the lift's words, the
    job's own where not said.  The comparison of knock takes some seconds and can be left out.
    """
    survey, told = with_ordered_pistons(survey)
    card, running = cam_card(survey, system), charge_stated(survey)
    conditions = None if running is None else running.conditions
    base_running = None if running is None else baseline_stated(survey, running)
    highest = max(
        (one for one in survey.cylinders if geometry_of(one, card.intake_closing)), key=_highest, default=None
    )
    phased = positions(survey, card, highest, running, base_running)
    first = next(iter(closings_looked_at(survey, card).values()), card.intake_closing)
    closing = phased[0].closing if phased else first  # without a ratio yet, as for full load, else the earliest
    cylinders = tuple(_cylinder(one, card, closing, conditions) for one in survey.cylinders)
    worst = None if highest is None else highest.number
    own = next((one.build for one in cylinders if one.number == worst), None)
    baseline = None if own is None or base_running is None else baseline_beside(own.geometry, base_running)
    knock = None
    if with_knock and own is not None and running is not None and conditions is not None:
        there = None if baseline is None else baseline.geometry
        knock = knock_against(own.geometry, running, _bore(survey, worst), there, base_running)
    findings = [*told, *card.findings, *_asked(card, cylinders)]
    for one in (running, base_running):
        findings += [] if one is None else one.findings
    return BoostStory(
        survey=survey,
        card=card,
        closing=closing,
        positions=phased,
        cylinders=cylinders,
        worst=worst,
        running=running,
        baseline=baseline,
        baseline_running=base_running,
        knock=knock,
        curve=() if own is None else _curve(own.geometry, closings),
        findings=tuple(dict.fromkeys(findings)),
    )


def _cylinder(cylinder: Cylinder, card: CamCard, closing: Value | None, conditions: Conditions | None) -> CylinderStory:
    ratio, geometry = cylinder.values.get("static_ratio"), geometry_of(cylinder, closing)
    if geometry is None:
        known = known_of(cylinder, closing)
        lacking = tuple(key for key in GEOMETRY if key not in known)
        return CylinderStory(number=cylinder.number, static_ratio=ratio, build=None, lacking=lacking)
    reach = card.reach("intake_closing") if card.phased("intake") else None
    ends = () if reach is None else (reach.earliest, reach.latest)
    phased = [
        computed("trapped_ratio", geometry.closing_at(end.number).trapped_ratio, f"intake cam {end.how}")
        for end in ends
    ]
    return CylinderStory(
        number=cylinder.number,
        static_ratio=ratio,
        build=Build(geometry=geometry, conditions=conditions),
        earliest=phased[0] if phased else None,
        latest=phased[1] if phased else None,
    )


def _highest(cylinder: Cylinder) -> float:
    """How high its ratio may be."""
    return cylinder.values["static_ratio"].high


def _bore(survey: Survey, number: int | None) -> Value | None:
    return next((one.values.get("bore") for one in survey.cylinders if one.number == number), None)


def baseline_beside(own: Geometry, running: Running) -> Build | None:
    """The baseline, on this engine's crank and closing unless it states its own."""
    geometry = baseline_geometry(own, running)
    return None if geometry is None else Build(geometry=geometry, conditions=running.conditions)


def taken_from_engine(story: BoostStory) -> tuple[Value, ...]:
    """What the baseline takes from the engine because it does not state it; nothing without a baseline."""
    own, base = story.running, story.baseline_running
    if own is None or base is None or story.conditions is None or story.baseline is None:
        return ()
    found = {key: base.run[key] for key in own.run if key not in base.stated}
    found |= {
        key: one for key, one in shared_air(story.conditions, base.stated).items() if one.origin != Origin.COMPUTED
    }
    closing = story.closing
    if closing is not None and CLOSING not in base.stated:
        found = {CLOSING: closing, **found}
    worst = next((one for one in story.survey.cylinders if one.number == story.worst), None)
    crank = {} if worst is None else {key: worst.values[key] for key in CRANK if key in worst.values}
    found |= {key: one for key, one in crank.items() if key not in base.stated}
    return tuple(one for one in found.values() if one.origin != Origin.ASSUMED or one.key in CRANK)


def _curve(geometry: Geometry, closings: Sequence[float]) -> tuple[CurvePoint, ...]:
    return tuple(
        CurvePoint(
            intake_closing=at,
            trapped_ratio=computed("trapped_ratio", geometry.closing_at(at).trapped_ratio, "slider-crank"),
        )
        for at in closings
    )


def _asked(card: CamCard, cylinders: Sequence[CylinderStory]) -> list[Finding]:
    """What the trapped ratio waits for."""
    if card.intake_closing is not None or not cylinders:
        return []
    return [
        warning(
            "no-closing",
            "intake closing is not given, so no ratio but the static one is known",
            right='say in [cam]: intake_closing = "60 +/- 2 deg after BDC, measured", event_lift and lift_read_at',
            place="cam.intake_closing",
        )
    ]
