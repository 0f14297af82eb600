"""All that is told of a boosted engine, as a record; its fields are the keys of the plain data."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.boost.cautions import BESIDE, beside
from ccassist.boost.conditions import REFERENCE_PRESSURE
from ccassist.boost.draws import COMMON
from ccassist.boost.knock_compare import Unknown
from ccassist.plan.boost.build import EquivalentLine, Knock, NaturalLine, cause_name, equivalent_lines, natural_line
from ccassist.plan.boost.story import STATED, BoostStory, CurvePoint, CylinderStory, taken_from_engine
from ccassist.plan.boost.story import boost_story as worked_out
from ccassist.plan.boost.ways import SAFER, WayPlace, WayToTarget, ways
from ccassist.report.data import to_json
from ccassist.values.display import Formatter, fixed, formatter
from ccassist.values.measured import Value
from ccassist.values.uncertainty import budget
from ccassist.vocabulary.record import record

FORMAT = 2  # of the keys
_MOVED = ("trapped_ratio", "end_pressure", "end_temperature")  # by the position of the intake cam
_LEAST_SHARE = 0.005  # of the variance


@record
class CylinderBoosted:
    """One cylinder: what is known of it, and what each ratio of another engine for the same of one thing is."""

    cylinder: int
    static_ratio: Value | None
    not_given: Sequence[str]
    trapped_range: Mapping[str, Value]
    values: Mapping[str, Value]
    polytropic: Mapping[str, Value]
    equivalents: Sequence[EquivalentLine]


@record
class CamPosition:
    """The cylinder with the highest ratio at one position of the intake cam; the octane difference as worked out."""

    position: str
    intake_closing: Value
    values: Mapping[str, Value]
    octane_difference: float | None


@record
class Baseline:
    """The engine it is set against: what is stated of it, what it takes from this one, what it comes to."""

    said: Mapping[str, str]
    stated: Mapping[str, Value]
    taken_from_engine: Mapping[str, Value]
    values: Mapping[str, Value]
    equivalents: Sequence[EquivalentLine]


@record
class Comparison:
    """The octane difference from the baseline and what makes it; nulls and why where it is refused."""

    octane_difference: float | None
    low: float
    high: float
    verdict: str
    shared: float
    unshared: float
    measured: float
    by_speed: tuple[float, float] | None  # at 2000 and at 6000 rpm, where no engine speed is stated
    unknowns: Sequence[Unknown]
    share_of_draws_harder: float | None
    natural_ratio: NaturalLine | None
    drawn: Mapping[str, Any]
    refused: Sequence[Mapping[str, Any]]
    findings: Sequence[Mapping[str, Any]]


@record
class WayOut:
    """What one thing alone must be to be as hard on the fuel as the baseline; ``beyond`` says which side is easier."""

    term: str
    now: WayPlace
    even_odds: WayPlace | None
    sure: WayPlace | None
    beyond: str
    refused: str
    into_file: Mapping[str, Any] | None


@record
class PlusMinusPart:
    """One part of the ± of a figure: half-width for 95 %, SI, its share of the variance, whether it is only taken."""

    name: str
    half: float
    share: float
    guess: str
    remedy: str


@record
class Boost:
    """All that is told of a boosted engine; SI."""

    units: str
    planning_figures: bool
    lift_basis: str
    intake_closing: Value | None
    cam_position: str
    positions: Sequence[CamPosition]
    highest_ratio: int | None
    cylinders: Sequence[CylinderBoosted]
    fuel: str | None
    said: Mapping[str, str]
    stated: Mapping[str, Value]
    assumed: Mapping[str, Value]
    assumed_words: Mapping[str, str]
    pressures: Mapping[str, Any]
    baseline: Baseline | None
    knock: Comparison | None
    ways: Sequence[WayOut]
    budgets: Mapping[str, Sequence[PlusMinusPart]]
    curve: Sequence[CurvePoint]
    findings: Sequence[Mapping[str, Any]]
    cautions: Mapping[str, Sequence[str]]

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        return to_json(self, formatter(system or self.units), version=FORMAT)


def boost_story(survey: Survey, *, system: str | None = None) -> Boost:
    """What boost makes of an engine: planning figures all, with their ± and what is only assumed.

    ``system`` : units of the words; the job's own where None.
    """
    fmt = formatter(system or survey.job.system)
    return boost_of(worked_out(survey, system=fmt.system), fmt)


def boost_of(story: BoostStory, fmt: Formatter) -> Boost:
    """What is told of a story."""
    running, conditions, worst = story.running, story.conditions, story.worst_one
    pressures: dict[str, Any] = {} if conditions is None else {"reference": REFERENCE_PRESSURE}
    pressures |= {} if conditions is None else {k: conditions.values[k] for k in ("barometer", "manifold_pressure")}
    own = {} if worst is None or worst.build is None else worst.build.values
    return Boost(
        units=fmt.system.value,
        planning_figures=True,
        lift_basis=story.lift_basis,
        intake_closing=story.closing,
        cam_position=position_text(story),
        positions=[
            CamPosition(
                position=one.name,
                intake_closing=one.closing,
                values={key: one.build.values[key] for key in _MOVED if key in one.build.values},
                octane_difference=one.octane,
            )
            for one in story.positions
        ],
        highest_ratio=story.worst,
        cylinders=[_cylinder(one, story) for one in story.cylinders],
        fuel=None if conditions is None else conditions.fuel,
        said={} if running is None else running.said,
        stated=_by_key(story.chosen),
        assumed=_by_key(story.assumed),
        assumed_words={} if running is None else running.taken,
        pressures=pressures,
        baseline=_baseline(story),
        knock=None if story.knock is None else _comparison(story.knock),
        ways=[_way(one, fmt) for one in ways(story, fmt)],
        budgets={key: _parts(own[key]) for key in ("end_pressure", "end_temperature") if key in own},
        curve=story.curve,
        findings=[f.to_dict() for f in story.findings],
        cautions={figures: beside(figures) for figures in BESIDE},
    )


def position_text(story: BoostStory) -> str:
    """Where the intake cam stands in all figures, and why there; "" where it cannot be moved."""
    if not story.positions:
        return ""
    name = story.positions[0].name
    return f"intake cam {name}" + ("" if name == STATED else ", the hardest of its range")


def _by_key(values: Sequence[Value]) -> dict[str, Value]:
    return {value.key: value for value in values}


def _cylinder(one: CylinderStory, story: BoostStory) -> CylinderBoosted:
    build = one.build
    ends = {"earliest": one.earliest, "latest": one.latest}
    return CylinderBoosted(
        cylinder=one.number,
        static_ratio=one.static_ratio,
        not_given=one.lacking,
        trapped_range={name: value for name, value in ends.items() if value is not None},
        values={} if build is None else build.values,
        polytropic={} if build is None else build.polytropic,
        equivalents=() if build is None else equivalent_lines(build, story.baseline),
    )


def _baseline(story: BoostStory) -> Baseline | None:
    build, running = story.baseline, story.baseline_running
    if build is None or running is None:
        return None
    return Baseline(
        said=running.said,
        stated=running.stated,
        taken_from_engine=_by_key(taken_from_engine(story)),
        values=build.values,
        equivalents=equivalent_lines(build, None),
    )


def _comparison(knock: Knock) -> Comparison:
    found = knock.difference
    return Comparison(
        octane_difference=None if found is None else found.octane,
        low=knock.low,
        high=knock.high,
        verdict="" if found is None else verdict(knock),
        shared=knock.shared,
        unshared=knock.unshared,
        measured=knock.measured,
        by_speed=knock.by_speed,
        unknowns=knock.unknowns,
        share_of_draws_harder=None if found is None else found.harder,
        natural_ratio=natural_line(knock),
        drawn={"shared_within": asdict(COMMON), "apart_standard_deviation": asdict(knock.own)},
        refused=[f.to_dict() for f in knock.refused],
        findings=[f.to_dict() for f in knock.findings],
    )


def verdict(knock: Knock) -> str:
    """Harder or easier where the whole interval is; else which is the likelier, not shown."""
    assert knock.difference is not None
    way = "harder" if knock.difference.octane >= 0 else "easier"
    return way if knock.low > 0 or knock.high < 0 else f"{way}, but that is not shown"


def octane_text(octane: float) -> str:
    """One octane difference, its way in words."""
    return f"{fixed(abs(octane), 1)} {'more' if octane >= 0 else 'less'}"


def interval_text(knock: Knock) -> str:
    """Both ends of its interval, the way said once where it is that of both."""
    low, high = octane_text(knock.low), octane_text(knock.high)
    if knock.low < 0 <= knock.high:
        return f"{low} to {high}"
    return f"{low.split()[0]} to {high}"


def _way(one: WayToTarget, fmt: Formatter) -> WayOut:
    return WayOut(
        term=one.key,
        now=WayPlace(value=one.now),
        even_odds=one.even,
        sure=one.sure,
        beyond=SAFER[one.key],
        refused=one.refused,
        into_file=None if one.into is None else one.into.to_dict(fmt),
    )


def _parts(value: Value) -> list[PlusMinusPart]:
    """What makes the ± of a figure, the largest first."""
    rows, whole = budget(value.number), value.expanded
    return [
        PlusMinusPart(
            name=cause_name(row.cause),
            half=whole * math.sqrt(row.share),
            share=row.share,
            guess=row.cause.guess,
            remedy=row.cause.remedy,
        )
        for row in rows
        if row.share >= _LEAST_SHARE
    ]
