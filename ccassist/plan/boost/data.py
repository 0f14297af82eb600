"""The story of a boosted engine as plain data for JSON, SI; nothing in it that the screen may not show."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ccassist.boost.cautions import BESIDE, beside
from ccassist.boost.conditions import REFERENCE_PRESSURE
from ccassist.boost.equivalents import KNOCK
from ccassist.boost.knock_draws import COMMON, OWN
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.into_file import taken_from_engine
from ccassist.plan.boost.knock import Knock
from ccassist.plan.boost.lines import NaturalLine, equivalent_lines, natural_line
from ccassist.plan.boost.story import BoostStory, CylinderStory
from ccassist.values.measured import Value
from ccassist.values.plain import known, perhaps_to_dict, value_to_dict, values_to_dict


def to_dict(story: BoostStory, system: str) -> dict[str, Any]:
    """Everything of a story."""
    running = story.running
    return {
        "format": 1,
        "planning_figures": True,
        "lift_basis": story.lift_basis,
        "intake_closing": perhaps_to_dict(story.card.intake_closing, system),
        "cylinders": [_cylinder(one, story, system) for one in story.cylinders],
        "highest_ratio": story.worst,
        "fuel": None if story.conditions is None else story.conditions.fuel,
        "said": {} if running is None else dict(running.said),
        "stated": _by_key(story.chosen, system),
        "assumed": _by_key(story.assumed, system),
        "assumed_words": {} if running is None else running.taken,
        "pressures": {} if story.conditions is None else _pressures(story, system),
        "baseline": _baseline(story, system),
        "knock": None if story.knock is None else _knock(story.knock),
        "curve": [
            {"intake_closing": at.intake_closing, "trapped_ratio": value_to_dict(at.trapped_ratio, system)}
            for at in story.curve
        ],
        "findings": [f.to_dict() for f in story.findings],
        "cautions": {figures: list(beside(figures)) for figures in BESIDE},
    }


def _cylinder(one: CylinderStory, story: BoostStory, system: str) -> dict[str, Any]:
    return {
        "cylinder": one.number,
        "static_ratio": perhaps_to_dict(one.static_ratio, system),
        "not_given": list(one.lacking),
        "trapped_range": None
        if one.earliest is None or one.latest is None
        else {"earliest": value_to_dict(one.earliest, system), "latest": value_to_dict(one.latest, system)},
        "values": {} if one.build is None else values_to_dict(one.build.values, system),
        "polytropic": {} if one.build is None else values_to_dict(one.build.polytropic, system),
        "equivalents": [] if one.build is None else _equivalents(one.build, story, system),
    }


def _equivalents(build: Build, story: BoostStory, system: str) -> list[dict[str, Any]]:
    """Above 14:1 a figure is no ratio to build and stands only as harder than the baseline."""
    return [
        {
            "key": line.convention.key,
            "name": line.convention.name,
            "holds_equal": line.convention.meaning,
            "misleads_when": line.convention.misleads,
            "source": line.convention.source,
            "value": None if line.figure is None else value_to_dict(line.figure, system),
            "above_14": line.beyond,
            "harder_than_baseline_by": None if line.harder is None else value_to_dict(line.harder, system),
            "reason": line.reason,
        }
        for line in equivalent_lines(build, story.baseline)
    ]


def _pressures(story: BoostStory, system: str) -> dict[str, Any]:
    conditions = story.conditions
    assert conditions is not None
    keys = ("barometer", "manifold_pressure")
    return {"reference": REFERENCE_PRESSURE, **values_to_dict({key: conditions.values[key] for key in keys}, system)}


def _baseline(story: BoostStory, system: str) -> dict[str, Any] | None:
    build, running = story.baseline, story.baseline_running
    if build is None or running is None:
        return None
    return {
        "said": dict(running.said),
        "stated": _by_key(tuple(running.stated.values()), system),
        "taken_from_engine": _by_key(taken_from_engine(story), system),
        "values": values_to_dict(build.values, system),
        "equivalents": _equivalents(build, story, system),
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


def _by_key(values: tuple[Value, ...], system: str) -> dict[str, Any]:
    return values_to_dict({value.key: value for value in values}, system)
