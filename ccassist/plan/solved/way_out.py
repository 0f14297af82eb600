"""How a cylinder that lacks something comes to an answer: which bench step gives it, or where it is stated."""

from __future__ import annotations

from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.bench.steps import STEPS
from ccassist.engine.model import lacking_for
from ccassist.job.sections import STATED
from ccassist.job.vocabulary import ENGINE_TERMS, GIVEN_TERMS
from ccassist.plan.solved.wish import Wish
from ccassist.values.findings import Finding, InputError
from ccassist.vocabulary import term

_FILLED = {"crown_volume": "crown"}  # what a fill is worked up to, by step


def with_way_out(fault: InputError, survey: Survey, number: int | None, wish: Wish) -> InputError:
    """The fault of one cylinder; where something is not given it says how it is had."""
    said = [
        _led(finding, survey, number, wish) if finding.code == "not-given" else finding for finding in fault.findings
    ]
    return InputError(said)


def _led(finding: Finding, survey: Survey, number: int | None, wish: Wish) -> Finding:
    if number is None:
        return replace(finding, right="complete the cylinders that lack it")
    values = survey.cylinders[number - 1].values
    there = {*values, *wish.unknowns}
    missing = dict.fromkeys(key for target in wish.targets for key in lacking_for(target, there) if key not in there)
    ways = [way for key in missing if key not in wish.targets and (way := _way(key, survey.job.file, number))]
    return replace(finding, right="; ".join(ways)) if ways else finding


def _way(key: str, file: str, number: int) -> str:
    """The step that reads a term of a cylinder, and the section that states it; "" where neither is there."""
    step = _FILLED.get(key) or next((name for name, one in STEPS.items() if key in one.gives), "")
    section = next(
        (one.name for one in STATED.values() if key in one.terms and one.name not in ("charge", "baseline")), ""
    )
    if key in GIVEN_TERMS:
        section = "engine" if key in ENGINE_TERMS else f"cylinder.{number}"
    ways = [f"ccassist guide {file or 'FILE'} --step {step} --cylinder {number}"] if step else []
    ways += [f"state {key} under [{section}]"] if section else []
    return f"{term(key).name}: {' or '.join(ways)}" if ways else ""
