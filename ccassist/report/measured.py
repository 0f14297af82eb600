"""The engine as measured, as plain data, and the one thing to do next.

Below it what the screen and the worksheet both say of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

from ccassist.analysis import results
from ccassist.analysis.assembly import AssemblyCheck, compare_assembly
from ccassist.analysis.benefit import JUDGED, RepeatBenefit, results_of, survey_ground, worth_of_a_repeat, worth_text
from ccassist.analysis.cylinder import Cylinder, MeasuredEngine
from ccassist.job.records import Job
from ccassist.job.vocabulary import purposes_of
from ccassist.report.budget import cause_name, components_of, one_more_of, worst
from ccassist.report.data import span, to_json
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.findings import capital, clean, listed, whose
from ccassist.values.measured import Value, computed, ground_of, ground_to_dict, value_to_dict, withheld
from ccassist.values.uncertainty import budget
from ccassist.values.verdict import COMPARED, Band, Spread, Verdict, decide, spread_of, verdicts
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together

# The one thing to do next with a job: one rule for the screen, the guide and paper.
#
# Readings before words: first what is not measured or has no ± yet and what is
# questioned, then what is wanted, then how surely it is known, at last what the
# job is for.

# What is usually changed to reach a target.
LEVERS = {
    "static_ratio": "crown_volume",
    "trapped_ratio": "crown_volume",
    "clearance_volume": "crown_volume",
    "squish": "gasket_thickness",
    "deck_clearance": "compression_height",
}
FOR = {"pistons": ("order", "The pistons to order"), "turbo": ("boost", "What boost makes of it")}


@record
class NextStep:
    """What to do next, in a sentence without a full stop, and the command for it; no command where it is bench work."""

    words: str
    command: tuple[str, ...] = ()


def headline_key(survey: MeasuredEngine) -> str | None:
    """What the job comes to: the ratio, else the clearance volume, else the chamber volume."""
    return next((key for key in JUDGED if any(key in c.values for c in survey.cylinders)), None)


def next_step(survey: MeasuredEngine, fmt: Formatter) -> NextStep:
    """The first of all that there is to do."""
    return next(_steps(survey, fmt))


def _steps(survey: MeasuredEngine, fmt: Formatter) -> Iterator[NextStep]:
    key = headline_key(survey)
    if key is None:
        yield from _lacking(survey, "static_ratio")
        yield NextStep(words="Take the first readings", command=_run("guide", survey))
        return
    repeats = [found for c in survey.cylinders if (found := worth_of_a_repeat(survey, c.number)) is not None]
    yield from _lacking(survey, key)
    yield from (_again(one, survey, fmt) for one in repeats if one.more)
    if any(finding.asks for finding in survey.findings):
        yield NextStep(words="Look again at what is questioned", command=_run("check", survey))
    yield from (_again(one, survey, fmt) for one in repeats if one.asked)
    yield from _undecided(survey, repeats, fmt)
    yield from _outside(survey)
    yield from _guessed(survey)
    yield from _purpose(survey)


def _run(command: str, survey: MeasuredEngine, *words: str) -> tuple[str, ...]:
    return ("ccassist", command, survey.job.file or "FILE", *words)


def _lacking(survey: MeasuredEngine, key: str) -> Iterator[NextStep]:
    """What some cylinders, or what is wanted, still wait for."""
    asked = dict.fromkeys([key, *survey.wanted])
    for one in asked:
        waits = [c for c in survey.cylinders if one in c.model.lacking]
        needs = list(dict.fromkeys(term(need).name for c in waits for need in c.model.lacking[one]))
        if waits:
            of = "" if len(waits) == len(survey.cylinders) else f" of {_cylinders(waits)}"
            words = f"Measure or state the {listed(needs)}{of}"
            yield NextStep(words=words, command=_run("guide", survey))
    without = [c for c in survey.cylinders if key not in c.values and key not in c.model.lacking]
    if without:
        words = f"Measure the {term(key).name} of {_cylinders(without)}"
        yield NextStep(words=words, command=_run("guide", survey))


def _cylinders(found: list[Cylinder]) -> str:
    return whose([c.number for c in found])


def _again(found: RepeatBenefit, survey: MeasuredEngine, fmt: Formatter) -> NextStep:
    """One more reading of a series."""
    cell = found.one.cell
    where = ("--cylinder", str(cell.cylinders[0])) if len(cell.cylinders) == 1 else ()
    command = _run("guide", survey, "--step", cell.step.key, *where)
    return NextStep(words=clean(worth_text(found, fmt), 300), command=command)


def _undecided(survey: MeasuredEngine, repeats: list[RepeatBenefit], fmt: Formatter) -> Iterator[NextStep]:
    """What would tell whether it is met what is wanted, where the ± does not let that be told."""
    for key, band in survey.wanted.items():
        values = {c.number: c.values[key] for c in survey.cylinders if key in c.values}
        open_ = {n: v for n, v in values.items() if decide(v, band) is Verdict.CANNOT_TELL}
        known = {n: v for n, v in open_.items() if math.isfinite(v.expanded)}
        if not known:
            continue
        number = worst(known)
        helpful = next((one for one in repeats if one.cylinder == number and one.worth_it and one.key == key), None)
        if helpful is not None:
            yield _again(helpful, survey, fmt)
        first = budget(known[number].number)[0].cause
        lead = f"To tell whether the {term(key).name} of {whose(list(open_))}"
        most = f"{lead} is as wanted: {cause_name(first)} makes most of the ±"
        yield NextStep(words=f"{most}; {clean(first.remedy, 200)}" if first.remedy else most)


def _outside(survey: MeasuredEngine) -> Iterator[NextStep]:
    """How to reach what is wanted and is not met."""
    purposes = _purposes(survey)
    for key, band in survey.wanted.items():
        off = [c for c in survey.cylinders if key in c.values and decide(c.values[key], band) is Verdict.OUTSIDE]
        if not off:
            continue
        lead = f"The {term(key).name} is outside what is wanted"
        if "pistons" in purposes:
            yield NextStep(words=f"{lead}: see the pistons to order", command=_run("order", survey))
        elif key == "chamber_volume":
            yield NextStep(words=f"{lead}: see what to open", command=_run("balance", survey))
        elif key in LEVERS:
            aim = ("--for", LEVERS[key], "--to", f"{key}={_aim(key, band)}")
            words = f"{lead}: see which {term(LEVERS[key]).name} would meet it"
            yield NextStep(words=words, command=_run("solve", survey, *aim))


def _purposes(survey: MeasuredEngine) -> tuple[str, ...]:
    """What the job is for: as it says, else by what it states."""
    stated = {"pistons": "order", "turbo": "charge"}
    said = purposes_of(survey.job.about)
    return said or tuple(one for one, section in stated.items() if survey.stated.get(section))


def _aim(key: str, band: Band) -> str:
    """What to solve for, as an option takes it."""
    return METRIC.show(key, band.aim)


def _guessed(survey: MeasuredEngine) -> Iterator[NextStep]:
    """What to measure first where 95 % cannot be said."""
    for _, value in withheld(results_of(survey))[:1]:
        remedy = ground_of(value.number).guesses[0].cause.remedy
        if remedy:
            yield NextStep(words=capital(clean(remedy, 200)))


def _purpose(survey: MeasuredEngine) -> Iterator[NextStep]:
    """What the job is for."""
    purposes = _purposes(survey)
    for one in purposes:
        if one in FOR:
            command, words = FOR[one]
            yield NextStep(words=words, command=_run(command, survey))
    if "heads" in purposes and len(survey.cylinders) > 1:
        yield NextStep(words="See what to open to make them alike", command=_run("balance", survey))
    yield NextStep(words="Print it", command=_run("worksheet", survey))


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


def measured(survey: MeasuredEngine, fmt: Formatter) -> dict[str, Any]:
    """What is told of a survey: ``engine`` holds terms of the whole, ``spread`` by term largest less smallest."""
    spreads = {key: _spread_data(found, fmt) for key in COMPARED if (found := spread_of(key, given(survey, key)))}
    return {
        "job": {"file": survey.job.file, **survey.job.about},
        "cylinders": [_cylinder(c, survey, fmt) for c in survey.cylinders],
        "calibrations": [made.to_dict() for made in survey.calibrations.values()],
        "engine": survey.whole,
        "spread": spreads,
        "whole_against_parts": [_whole_data(check) for check in compare_assembly(survey)],
        "findings": [f.to_dict() for f in survey.findings],
        "ground": survey_ground(survey, fmt),
        "next": next_step(survey, fmt),
    }


def _cylinder(cylinder: Cylinder, survey: MeasuredEngine, fmt: Formatter) -> dict[str, Any]:
    """Its terms, the verdict on each that is wanted, what is not given, its budget and repeats; SI."""
    result = cylinder.values.get("static_ratio") or cylinder.values.get("chamber_volume")
    return {
        "cylinder": cylinder.number,
        "values": cylinder.values,
        "gasket_layers": cylinder.gasket,
        "wanted": verdicts(cylinder.values, survey.wanted),
        "not_given": cylinder.model.lacking,
        "budget_of": result.key if result else None,
        "budget": components_of(result) if result else (),
        "one_more_reading": one_more_of(survey, cylinder.number, fmt),
    }


def _spread_data(found: Spread, fmt: Formatter) -> dict[str, Any]:
    """Largest less smallest, SI; picked after looking, so by the studentized range and not Student's t."""
    entry = value_to_dict(computed(found.key, found.difference, "largest less smallest"), fmt)
    del entry["text"]
    if entry["standard_uncertainty"]:
        entry["expanded_uncertainty"] = found.expanded
        entry["coverage_factor"] = found.expanded / entry["standard_uncertainty"]
    return {"smallest_in": found.low, "largest_in": found.high, "picked_from": found.count, **entry}


def _whole_data(check: AssemblyCheck) -> dict[str, Any]:
    """One cylinder measured as a whole against the sum of its parts, SI."""
    return {
        "cylinder": check.cylinder,
        "whole": check.whole,
        "sum_of_parts": check.parts,
        "difference": check.gap,
        "expanded_uncertainty": check.expanded,
        **ground_to_dict(check.difference),
        "agreement": check.agreement,
        "e_n": check.e_n,
        "filled_both": check.shared,
        "crevice_in_the_sum": check.crevice_known,
        "likeliest": [
            {"cause": c.words, "remedy": c.remedy, "would_make": c.size or None} for c in check.likely_causes
        ],
    }


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
    band = survey.wanted[key]
    values = given(survey, key) or [(c.number, survey.whole[key]) for c in survey.cylinders if key in survey.whole]
    return together((decide(value, band), number) for number, value in values)


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

    Raises InputError: with every finding that is an error.
    """
    return _with_data(results.sound_survey(job))


def survey_of(path: str | Path) -> Survey:
    """The engine of a job file as measured; faults of the file are raised, all together.

    Raises InputError: no such file, or with every finding that is an error.
    """
    return _with_data(results.survey_of(path))


def _with_data(found: MeasuredEngine) -> Survey:
    return Survey(**{field.name: getattr(found, field.name) for field in fields(found)})
