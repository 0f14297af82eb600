"""Static, trapped and boosted: what a job's engine comes to, cylinder by cylinder, and against its baseline.

Every figure is a planning figure and carries its ±, from the same uncertain
numbers as the static ratio; every figure of the trapped ratio carries the lift
at which intake closing was read.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, field
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.boost.cautions import BESIDE, beside
from ccassist.boost.charge import Geometry
from ccassist.boost.conditions import COMPRESSOR, REFERENCE_PRESSURE, Conditions
from ccassist.boost.equivalents import KNOCK
from ccassist.boost.gas import DRY
from ccassist.boost.knock_compare import COMMON, OWN
from ccassist.plan.boost.build import (
    Build,
    Knock,
    NaturalLine,
    build_of,
    equivalent_lines,
    geometry_of,
    knock_against,
    known_of,
    natural_line,
)
from ccassist.plan.boost.stated import GEOMETRY, Running, baseline_stated, charge_stated, shared_air, vouched
from ccassist.plan.piston.mistakes import with_ordered_pistons
from ccassist.plan.solved.into_file import CLOSING
from ccassist.plan.valves.cam_card import CamCard, cam_card
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, warning
from ccassist.values.measured import Value, computed, known, perhaps_to_dict, value_to_dict, values_to_dict
from ccassist.values.once import once
from ccassist.vocabulary.enumerations import Origin
from ccassist.vocabulary.record import record

CURVE = tuple(math.radians(angle) for angle in range(0, 101, 5))
# What no longer counts once something nearer to the cylinder is stated.
_IDLE = {
    "charge_temperature": tuple(one.key for one in COMPRESSOR),
    "residual_fraction": ("exhaust_ratio",),
}


@record
class CylinderStory:
    """One cylinder.

    Attributes
    ----------
    number : of the cylinder.
    static_ratio : as the survey has it; None where it is not known.
    build : None where the geometry lacks something.
    lacking : the terms that it lacks.
    earliest, latest : trapped ratio with the intake cam fully advanced and fully retarded; None without phasing.
    """

    number: int
    static_ratio: Value | None
    build: Build | None
    lacking: tuple[str, ...] = ()
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

    Attributes
    ----------
    survey, card : what it was worked out from.
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
    cylinders: tuple[CylinderStory, ...]
    worst: int | None = None
    running: Running | None = None
    baseline: Build | None = None
    baseline_running: Running | None = None
    knock: Knock | None = None
    curve: tuple[CurvePoint, ...] = ()
    findings: tuple[Finding, ...] = field(default=())

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        return to_dict(self, formatter(system or self.survey.job.system))

    @property
    def conditions(self) -> Conditions | None:
        """Of the charge."""
        return None if self.running is None else self.running.conditions

    @property
    def lift_basis(self) -> str:
        """The lift at which intake closing was read, in words; goes with every trapped ratio."""
        return self.card.lift_basis

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
        return (*found, *(run[key] for key in run if key not in stated and not self.running.lacking))

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
    cylinders = tuple(_cylinder(one, card, conditions) for one in survey.cylinders)
    worst = _worst(cylinders)
    own = next((one.build for one in cylinders if one.number == worst), None)
    base_running = None if running is None else baseline_stated(survey, running)
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
        cylinders=cylinders,
        worst=worst,
        running=running,
        baseline=baseline,
        baseline_running=base_running,
        knock=knock,
        curve=() if own is None else _curve(own.geometry, closings),
        findings=tuple(dict.fromkeys(findings)),
    )


def _cylinder(cylinder: Cylinder, card: CamCard, conditions: Conditions | None) -> CylinderStory:
    ratio, geometry = cylinder.values.get("static_ratio"), geometry_of(cylinder, card)
    if geometry is None:
        known = known_of(cylinder, card)
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
        build=build_of(geometry, conditions),
        earliest=phased[0] if phased else None,
        latest=phased[1] if phased else None,
    )


def _worst(cylinders: Sequence[CylinderStory]) -> int | None:
    """The cylinder whose ratio may be the highest."""
    able = {one.number: one.static_ratio for one in cylinders if one.build is not None and one.static_ratio is not None}
    return max(able, key=lambda number: able[number].high, default=None)


def _bore(survey: Survey, number: int | None) -> Value | None:
    return next((one.values.get("bore") for one in survey.cylinders if one.number == number), None)


def baseline_beside(own: Geometry, running: Running) -> Build | None:
    """The baseline, on this engine's crank and closing unless it states its own."""
    if running.conditions is None or not vouched(running) or "static_ratio" not in running.stated:
        return None
    if not {"boost_gauge", "manifold_pressure"} & set(running.stated):
        return None
    numbers = {key: running.stated[key].number for key in GEOMETRY if key in running.stated}
    geometry = Geometry(**{**{key: getattr(own, key) for key in (*GEOMETRY, "pin_offset")}, **numbers})
    return build_of(geometry, running.conditions)


def taken_from_engine(story: BoostStory) -> tuple[Value, ...]:
    """What the baseline takes from the engine because it does not state it; nothing without a baseline."""
    own, base = story.running, story.baseline_running
    if own is None or base is None or story.conditions is None or story.baseline is None:
        return ()
    found = {key: one for key, one in own.run.items() if key not in base.stated}
    found |= {
        key: one for key, one in shared_air(story.conditions, base.stated).items() if one.origin != Origin.COMPUTED
    }
    closing = story.card.intake_closing
    if closing is not None and CLOSING not in base.stated:
        found = {CLOSING: closing, **found}
    return tuple(one for one in found.values() if one.origin != Origin.ASSUMED)


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


# The story of a boosted engine as plain data for JSON, SI; nothing in it that the screen may not show.


def to_dict(story: BoostStory, fmt: Formatter) -> dict[str, Any]:
    """Everything of a story."""
    running = story.running
    return {
        "format": 1,
        "planning_figures": True,
        "lift_basis": story.lift_basis,
        "intake_closing": perhaps_to_dict(story.card.intake_closing, fmt),
        "cylinders": [_cylinder_dict(one, story, fmt) for one in story.cylinders],
        "highest_ratio": story.worst,
        "fuel": None if story.conditions is None else story.conditions.fuel,
        "said": {} if running is None else dict(running.said),
        "stated": _by_key(story.chosen, fmt),
        "assumed": _by_key(story.assumed, fmt),
        "assumed_words": {} if running is None else running.taken,
        "pressures": {} if story.conditions is None else _pressures(story, fmt),
        "baseline": _baseline(story, fmt),
        "knock": None if story.knock is None else _knock(story.knock),
        "curve": [
            {"intake_closing": at.intake_closing, "trapped_ratio": value_to_dict(at.trapped_ratio, fmt)}
            for at in story.curve
        ],
        "findings": [f.to_dict() for f in story.findings],
        "cautions": {figures: list(beside(figures)) for figures in BESIDE},
    }


def _cylinder_dict(one: CylinderStory, story: BoostStory, fmt: Formatter) -> dict[str, Any]:
    return {
        "cylinder": one.number,
        "static_ratio": perhaps_to_dict(one.static_ratio, fmt),
        "not_given": list(one.lacking),
        "trapped_range": None
        if one.earliest is None or one.latest is None
        else {"earliest": value_to_dict(one.earliest, fmt), "latest": value_to_dict(one.latest, fmt)},
        "values": {} if one.build is None else values_to_dict(one.build.values, fmt),
        "polytropic": {} if one.build is None else values_to_dict(one.build.polytropic, fmt),
        "equivalents": [] if one.build is None else _equivalents(one.build, story, fmt),
    }


def _equivalents(build: Build, story: BoostStory, fmt: Formatter) -> list[dict[str, Any]]:
    """Above 14:1 a figure is no ratio to build and stands only as harder than the baseline."""
    return [
        {
            "key": line.convention.key,
            "name": line.convention.name,
            "holds_equal": line.convention.meaning,
            "misleads_when": line.convention.misleads,
            "source": line.convention.source,
            "value": None if line.figure is None else value_to_dict(line.figure, fmt),
            "above_14": line.beyond,
            "harder_than_baseline_by": None if line.harder is None else value_to_dict(line.harder, fmt),
            "reason": line.reason,
        }
        for line in equivalent_lines(build, story.baseline)
    ]


def _pressures(story: BoostStory, fmt: Formatter) -> dict[str, Any]:
    conditions = story.conditions
    assert conditions is not None
    keys = ("barometer", "manifold_pressure")
    return {"reference": REFERENCE_PRESSURE, **values_to_dict({key: conditions.values[key] for key in keys}, fmt)}


def _baseline(story: BoostStory, fmt: Formatter) -> dict[str, Any] | None:
    build, running = story.baseline, story.baseline_running
    if build is None or running is None:
        return None
    return {
        "said": dict(running.said),
        "stated": _by_key(tuple(running.stated.values()), fmt),
        "taken_from_engine": _by_key(taken_from_engine(story), fmt),
        "values": values_to_dict(build.values, fmt),
        "equivalents": _equivalents(build, story, fmt),
    }


def _knock(knock: Knock) -> dict[str, Any]:
    """The comparison; the integral itself is never shown."""
    difference = knock.difference
    return {
        "octane_difference": None if difference is None else difference.octane,
        "low": known(knock.low),
        "high": known(knock.high),
        "shared": known(knock.shared),
        "unshared": known(knock.unshared),
        "measured": known(knock.measured),
        "share_of_draws_harder": None if difference is None else difference.harder,
        "natural_ratio": _natural(natural_line(knock)),
        "drawn": {"shared_within": asdict(COMMON), "apart_standard_deviation": asdict(OWN)},
        "refused": [f.to_dict() for f in knock.refused],
        "findings": [f.to_dict() for f in knock.findings],
    }


def _natural(line: NaturalLine | None) -> dict[str, Any] | None:
    if line is None:
        return None
    return {
        "holds_equal": KNOCK.meaning,
        "misleads_when": KNOCK.misleads,
        "value": None if line.figure is None else asdict(line.figure),
        "above_14": line.beyond,
        "harder_than_baseline_by": None if line.harder is None else asdict(line.harder),
    }


def _by_key(values: tuple[Value, ...], fmt: Formatter) -> dict[str, Any]:
    return values_to_dict({value.key: value for value in values}, fmt)
