"""The engine as measured, as plain data: the terms of every cylinder, their budget, what is wanted, what is next.

Below it what the screen and the worksheet both say of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from ccassist.analysis import results
from ccassist.analysis.assembly import AssemblyCheck, compare_assembly
from ccassist.analysis.benefit import survey_ground
from ccassist.analysis.cylinder import Cylinder, Layer, MeasuredEngine
from ccassist.job.records import Job
from ccassist.job.vocabulary import purposes_of
from ccassist.report.budget import Component, OneMore, components_of, one_more_of
from ccassist.report.columns import span
from ccassist.report.data import to_json
from ccassist.report.next_step import NextStep, next_step
from ccassist.values.display import Formatter, formatter
from ccassist.values.measured import Value, computed, ground_to_dict, value_to_dict
from ccassist.values.verdict import COMPARED, Spread, Verdict, decide, spread_of, verdicts
from ccassist.vocabulary.record import record

FORMAT = 2  # of the keys of the plain data
# A column of the cylinders each, by the words of a narrow one.
COLUMNS = {
    "chamber_volume": "chamber",
    "deck_clearance": "deck",
    "squish": "squish",
    "crown_volume": "crown",
    "crown_and_deck_volume": "over piston",
    "static_ratio": "ratio",
}


@record
class MeasuredCylinder:
    """One cylinder, SI: its terms, the verdict on each that is wanted, what is not given, its budget and repeats."""

    cylinder: int
    values: Mapping[str, Value]
    gasket_layers: Sequence[Layer]
    wanted: Mapping[str, str]
    not_given: Mapping[str, Sequence[str]]
    budget_of: str | None
    budget: Sequence[Component]
    one_more_reading: Sequence[OneMore]


@record
class WholeAgainstParts:
    """One cylinder measured as a whole against the sum of its parts, SI."""

    cylinder: int
    whole: Value
    sum_of_parts: Value
    difference: float
    expanded_uncertainty: float
    confidence: float | None
    without_ground: float | None
    guesses: int
    agreement: str
    e_n: float | None
    filled_both: Sequence[str]
    crevice_in_the_sum: bool
    likeliest: Sequence[Mapping[str, Any]]


@record
class Measured:
    """All that is told of an engine as measured.

    Attributes
    ----------
    job : file, and what is said about the job.
    cylinders : one entry a cylinder.
    calibrations : the scales calibrated in the job.
    engine : terms of the whole engine.
    spread : by term, largest less smallest.
    whole_against_parts : the cylinders that were filled as a whole.
    findings : everything noticed.
    ground : whether 95 % may be said, and why not.
    next : the one thing to do.
    """

    job: Mapping[str, str]
    cylinders: Sequence[MeasuredCylinder]
    calibrations: Sequence[Any]
    engine: Mapping[str, Value]
    spread: Mapping[str, Mapping[str, Any]]
    whole_against_parts: Sequence[WholeAgainstParts]
    findings: Sequence[Mapping[str, Any]]
    ground: Mapping[str, Any]
    next: NextStep


def measured(survey: MeasuredEngine, fmt: Formatter) -> Measured:
    """What is told of a survey."""
    spreads = {key: _spread_data(found, fmt) for key in COMPARED if (found := spread_of(key, given(survey, key)))}
    return Measured(
        job={"file": survey.job.file, **survey.job.about},
        cylinders=[_cylinder(c, survey, fmt) for c in survey.cylinders],
        calibrations=[made.to_dict() for made in survey.calibrations.values()],
        engine=survey.whole,
        spread=spreads,
        whole_against_parts=[_whole_data(check) for check in compare_assembly(survey)],
        findings=[f.to_dict() for f in survey.findings],
        ground=survey_ground(survey, fmt),
        next=next_step(survey, fmt),
    )


def _cylinder(cylinder: Cylinder, survey: MeasuredEngine, fmt: Formatter) -> MeasuredCylinder:
    result = cylinder.values.get("static_ratio") or cylinder.values.get("chamber_volume")
    return MeasuredCylinder(
        cylinder=cylinder.number,
        values=cylinder.values,
        gasket_layers=cylinder.gasket,
        wanted=verdicts(cylinder.values, survey.wanted),
        not_given=cylinder.model.lacking,
        budget_of=result.key if result else None,
        budget=components_of(result) if result else (),
        one_more_reading=one_more_of(survey, cylinder.number, fmt),
    )


def _spread_data(found: Spread, fmt: Formatter) -> dict[str, Any]:
    """Largest less smallest, SI; picked after looking, so by the studentized range and not Student's t."""
    entry = value_to_dict(computed(found.key, found.difference, "largest less smallest"), fmt)
    del entry["text"]
    if entry["standard_uncertainty"]:
        entry["expanded_uncertainty"] = found.expanded
        entry["coverage_factor"] = found.expanded / entry["standard_uncertainty"]
    return {"smallest_in": found.low, "largest_in": found.high, "picked_from": found.count, **entry}


def _whole_data(check: AssemblyCheck) -> WholeAgainstParts:
    return WholeAgainstParts(
        cylinder=check.cylinder,
        whole=check.whole,
        sum_of_parts=check.parts,
        difference=check.gap,
        expanded_uncertainty=check.expanded,
        **ground_to_dict(check.difference),
        agreement=check.agreement,
        e_n=check.e_n,
        filled_both=check.shared,
        crevice_in_the_sum=check.crevice_known,
        likeliest=[{"cause": c.words, "remedy": c.remedy, "would_make": c.size or None} for c in check.likely_causes],
    )


def survey_data(survey: MeasuredEngine, fmt: Formatter) -> dict[str, Any]:
    """The whole survey as JSON can say it, SI."""
    return to_json(measured(survey, fmt), fmt, version=FORMAT)


def given(survey: MeasuredEngine, key: str) -> list[tuple[int, Value]]:
    """A term's values with their cylinder numbers, for the cylinders that have it."""
    return [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]


def columns_of(survey: MeasuredEngine, among: Iterable[str] = COLUMNS) -> list[str]:
    """The terms that any cylinder has; of the volumes below the head only what is known of it."""
    keys = [key for key in among if given(survey, key)]
    return [key for key in keys if key != "crown_and_deck_volume" or "crown_volume" not in keys]


def heads_alone(survey: MeasuredEngine) -> bool:
    """Whether chambers are all that the job is about: it says so, or nothing of an engine is known."""
    if "static_ratio" in survey.wanted:
        return False
    known = {key for key in (*COLUMNS, "bore", "stroke", "gasket_volume") if given(survey, key)}
    return purposes_of(survey.job.about) == ("heads",) or known == {"chamber_volume"}


def engine_text(survey: MeasuredEngine, fmt: Formatter) -> str:
    """Cylinders, bore × stroke, displacement, as far as they are given."""
    count = survey.job.cylinders
    words = [f"{count} cylinder{'s' if count > 1 else ''}"]
    size = [(key, span([v for _, v in found], fmt)) for key in ("bore", "stroke") if (found := given(survey, key))]
    words += [" × ".join(f"{key} {text}" for key, text in size)] if size else []
    if "displacement" in survey.whole:
        words.append(f"displacement {fmt.value(survey.whole['displacement'])}")
    return f"{', '.join(words)}."


def judged(survey: MeasuredEngine, key: str) -> dict[Verdict, list[int]]:
    """The cylinders by the verdict on a wanted term; of what the whole engine has, all of them."""
    band, found = survey.wanted[key], dict[Verdict, list[int]]()
    values = given(survey, key) or [(c.number, survey.whole[key]) for c in survey.cylinders if key in survey.whole]
    for number, value in values:
        found.setdefault(decide(value, band), []).append(number)
    return found


class Survey(MeasuredEngine):
    """The engine as measured, with its plain data."""

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        return survey_data(self, formatter(system or self.job.system))


def survey(job: Job) -> Survey:
    """Compute everything that a job's readings and statements allow."""
    return _with_data(results.survey(job))


def sound_survey(job: Job) -> Survey:
    """As :func:`survey`, but faults of the file are raised, all together.

    Raises
    ------
    InputError : with every finding that is an error.
    """
    return _with_data(results.sound_survey(job))


def survey_of(path: str | Path) -> Survey:
    """The engine of a job file as measured; faults of the file are raised, all together.

    Raises
    ------
    InputError : no such file, or with every finding that is an error.
    """
    return _with_data(results.survey_of(path))


def _with_data(found: MeasuredEngine) -> Survey:
    return Survey(**{field.name: getattr(found, field.name) for field in fields(found)})
