"""The one thing to do next with a job: one rule for the screen, the guide and paper.

Readings before words: first what is not measured or has no ± yet and what is
questioned, then what is wanted, then how surely it is known, at last what the
job is for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from ccassist.analysis.benefit import JUDGED, RepeatBenefit, results_of, worth_of_a_repeat, worth_text
from ccassist.analysis.cylinder import Cylinder, MeasuredEngine
from ccassist.job.vocabulary import purposes_of
from ccassist.report.budget import cause_name, worst
from ccassist.values.display import METRIC, Formatter
from ccassist.values.findings import capital, clean, listed, runs
from ccassist.values.measured import ground_of, withheld
from ccassist.values.uncertainty import budget
from ccassist.values.verdict import Band, Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

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
            whose = "" if len(waits) == len(survey.cylinders) else f" of {_cylinders(waits)}"
            words = f"Measure or state the {listed(needs)}{whose}"
            yield NextStep(words=words, command=_run("guide", survey))
    without = [c for c in survey.cylinders if key not in c.values and key not in c.model.lacking]
    if without:
        words = f"Measure the {term(key).name} of {_cylinders(without)}"
        yield NextStep(words=words, command=_run("guide", survey))


def _cylinders(found: list[Cylinder]) -> str:
    return f"cylinder{'s' if len(found) > 1 else ''} {runs([c.number for c in found])}"


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
        lead = f"To tell whether the {term(key).name} of cylinder{'s' if len(open_) > 1 else ''} {runs(list(open_))}"
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
