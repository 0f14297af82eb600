"""What a step of each lever does to a boosted engine, and what must change for a target: records and reports."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.boost.figures import OCTANE
from ccassist.boost.levers import GENERAL, SHOWN, LeverEffect
from ccassist.boost.solve_boost import RATIO
from ccassist.plan.boost.solve import Boosted, LeverEffects, Solved, Volumes, beyond, boosted_for, volume_names
from ccassist.plan.boost.solve import levers_of as worked_out
from ccassist.plan.boost.ways import PARTS
from ccassist.plan.solved import IntoFile, joined
from ccassist.report.blocks import WRITTEN, Block, Heading, Report, Table, Text, items, part
from ccassist.report.data import rows_merged, to_json
from ccassist.report.findings import finding_texts, first_of, ground_lines
from ccassist.report.solve import answer_texts, results_of, worked_blocks
from ccassist.solve.request import wish_of
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import clean, listed, whose
from ccassist.values.measured import Value, computed, unsure_texts
from ccassist.values.pint_bridge import Written
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import System, conversion

FORMAT = 2  # of the keys
MOST_LINES = 6  # for the job file, that an answer has room for
CONFIRM = ("planning", "metal")  # besides what the figures themselves bring
_SHORT = {
    "static_ratio": "static",
    "trapped_ratio": "trapped",
    "squish": "squish",
    "end_pressure": "end p",
    "end_temperature": "end t",
    "pressure_equivalent": "p-equiv",
    OCTANE: "octane",
}
_PLACES = {"mm": 2, "in": 4, "thou": 1, "bar": 2, "psi": 1, "K": 1, "F°": 1, "": 3}
_OCTANE = (
    "octane is what is added to the difference from the baseline; that goes with an interval",
    "Engine and baseline are compared on one fuel, the baseline's: a better one is counted against the difference, and "
    "octane_number in the file is that of both.",
)
_NO_OCTANE = "No octane is shown: there is no baseline, or the comparison with it is refused."


@record
class LeverTold:
    """One step of a lever: what it changes, SI, what it costs, and why it cannot be made."""

    lever: str
    name: str
    changes: Mapping[str, float]
    trade_offs: Sequence[str]
    not_possible: str | None


@record
class LeversTold:
    """All that is told of the levers."""

    units: str
    cylinder: int | None
    levers: Sequence[LeverTold]
    baseline_held: Sequence[Mapping[str, Any]]
    general: Sequence[str]
    cautions: Sequence[str]

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        return to_json(self, formatter(system or self.units), version=FORMAT)


def levers_of(survey: Survey, system: str | None = None) -> LeversTold:
    """What one step of each lever does to the cylinder whose ratio may be the highest.

    Raises InputError: cam card or charge contradict themselves, or something needed is not given.
    """
    fmt = formatter(system or survey.job.system)
    return levers_told(worked_out(survey, fmt.system), fmt)


def levers_told(made: LeverEffects, fmt: Formatter) -> LeversTold:
    """What is told of the levers."""
    return LeversTold(
        units=fmt.system.value,
        cylinder=made.story.worst,
        levers=[
            LeverTold(
                lever=one.lever.key,
                name=one.name,
                changes=one.changes,
                trade_offs=one.lever.trade_offs,
                not_possible=one.reason or None,
            )
            for one in made.effects
        ],
        baseline_held=IntoFile(lines=made.held).to_dict(fmt)["lines"],
        general=GENERAL,
        cautions=made.cautions,
    )


def lever_report(made: LeverEffects, told: LeversTold, fmt: Formatter) -> Report:
    """The table first; then what each costs, and how the baseline is held."""
    keys = [key for key in SHOWN if any(key in effect.changes for effect in made.effects)]
    units = [f"{_SHORT[key]} {unit}" for key in keys if (unit := unit_of(key, fmt))]
    job = made.story.survey.job
    lacking = [f"{one.name}: not worked out, {one.not_possible}." for one in told.levers if one.not_possible]
    held = "; ".join(replace(line, why="").text(fmt) for line in made.held)
    holding = Text(
        "The baseline is held as it is", typed=f". Before a step is put into the file, write what it takes: {held}."
    )
    return Report(
        title="What each lever does",
        subject="One step of each lever of a boosted engine",
        answer=(
            Text(clean(job.name or job.file, 79)),
            Text(f"One step of each lever, all else as it is: cylinder {told.cylinder}, {made.story.lift_basis}."),
            Table(
                head=("", *(_SHORT[key] for key in keys)),
                rows=tuple((one.name, *_cells(one, keys, fmt)) for one in made.effects if not one.reason),
                names=(0,),
            ),
            Text(f"In {', '.join(units)}; p-equiv is the effective ratio at the same end pressure."),
            Text(_OCTANE[0], typed=": ccassist boost.") if made.compared else Text(_NO_OCTANE),
            Text(GENERAL[2]),
        ),
        support=(
            Heading("How it is reckoned"),
            *map(Text, _OCTANE[1:] if made.compared else ()),
            *([holding] if held else []),
            *map(Text, lacking),
            Heading("What each costs"),
            *items(f"{one.name}: {'; '.join(one.trade_offs)}." for one in told.levers),
            Heading("Of all of them"),
            *items(GENERAL[:2]),
            Heading("Cautions"),
            *items(dict.fromkeys((*told.cautions, *cautions(CONFIRM)))),
        ),
    )


def unit_of(key: str, fmt: Formatter) -> str:
    """The unit of a change; a change of temperature is in kelvin, or in Fahrenheit degrees."""
    if term(key).kind is Kind.TEMPERATURE:
        return "F°" if fmt.system == System.IMPERIAL else "K"
    return fmt.unit(key)


def _cells(effect: LeverEffect, keys: Sequence[str], fmt: Formatter) -> list[str]:
    return [_change(key, effect.changes[key], fmt) if key in effect.changes else "-" for key in keys]


def _change(key: str, change: float, fmt: Formatter) -> str:
    unit = unit_of(key, fmt)
    shown = change / (conversion(unit).scale if unit else 1.0)
    text = f"{shown:+.{2 if key == OCTANE else _PLACES.get(unit, 2)}f}"
    return "0" if float(text) == 0 else text.replace("-", "−")


# What a part, the charge or the burn must be for a boosted target.


@record
class AnswerTold:
    """One cylinder: the answers by term, the likeliest first, or why there is none; SI.

    ``sure`` is the static ratio that is no harder on the fuel in 95 of 100, ``volumes`` what its volumes add up to,
    ``checks`` the target got back through the whole chain, ``reach`` its least and most over all that can be.
    """

    cylinder: int
    possible: bool
    reason: str
    target: Mapping[str, Any]
    answers: Mapping[str, Sequence[Value]]
    static_ratio_needed: Value | None
    sure: float | None
    volumes: Volumes | None
    checks: Sequence[float]
    reach: Sequence[float] | None
    figures: Mapping[str, Value | None]
    findings: Sequence[Mapping[str, Any]]
    into_file: Mapping[str, Any] | None


@record
class TargetTold:
    """All that is told of what was asked."""

    units: str
    cylinders: Sequence[AnswerTold]
    cautions: Sequence[str]

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; ``system`` : units of the texts, the job's own where None."""
        return to_json(self, formatter(system or self.units), version=FORMAT)


def boosted(
    survey: Survey, unknowns: str | Sequence[str], targets: Mapping[str, Written], *, system: str | None = None
) -> TargetTold:
    """What a part, the charge or the burn must be for a target under boost, in every cylinder.

    Parameters are those of :func:`ccassist.plan.solved.solved`; planning figures all.

    Raises InputError: cam card or charge contradict themselves, or the question is not sound.
    """
    fmt = formatter(system or survey.job.system)
    return target_told(boosted_for(survey, wish_of(unknowns, targets, fmt.system), fmt), fmt)


def target_told(made: Boosted, fmt: Formatter) -> TargetTold:
    """What is told of the answer."""
    cylinders = [_answer(one, fmt) for one in made.cylinders]
    return TargetTold(units=fmt.system.value, cylinders=cylinders, cautions=made.cautions)


def _answer(one: Solved, fmt: Formatter) -> AnswerTold:
    first = one.first
    figures = {} if first is None else first.figures
    return AnswerTold(
        cylinder=one.cylinder,
        possible=first is not None,
        reason=one.reason,
        target={} if first is None else {"term": first.target, "value": first.value},
        answers={key: [computed(key, number) for number in found] for key, found in one.numbers.items()},
        static_ratio_needed=None if first is None or first.unknown != RATIO else computed(RATIO, first.number),
        sure=one.sure,
        volumes=one.volumes,
        checks=one.checks,
        reach=None if first is None or first.reach is None else (first.reach.low, first.reach.high),
        figures={key: None if beyond(key, number) else computed(key, number) for key, number in figures.items()},
        findings=[f.to_dict() for f in one.findings] if first else [],
        into_file=None if one.into is None else one.into.to_dict(fmt),
    )


def target_report(made: Boosted, told: TargetTold, fmt: Formatter) -> Report:
    """The answer of every cylinder first, or why there is none and the nearest; then how it is found."""
    job, first = made.story.survey.job, told_of(made)
    shown = cautions(CONFIRM[:1])
    looked = finding_texts(dict.fromkeys(f for one in made.cylinders if not one.reason for f in one.findings))
    return Report(
        title="What must change",
        subject="Answer to a boosted target, planning figures",
        answer=(
            Text(clean(job.name or job.file, 79)),
            *_refused(made),
            *(_found(made, first, fmt) if first else ()),
            *first_of(looked),
            *(ground_lines(results_of(made.cylinders)) if first else ()),
            *map(Text, shown),
        ),
        support=(
            *(_way(made, first, fmt) if first else ()),
            *part(
                "No answer",
                items(f"cylinder {one.cylinder}: {clean(one.reason, 900)}." for one in made.cylinders if one.reason),
            ),
            *part("To look at", looked),
            *part("What the ± rests on", map(Text, unsure_texts(results_of(made.cylinders), fmt))),
            Heading("Cautions"),
            *items(text for text in dict.fromkeys((*told.cautions, *cautions(CONFIRM))) if text not in shown),
        ),
    )


def told_of(made: Boosted) -> Solved | None:
    """The cylinder that is told in full: the one whose ratio may be the highest, where it has an answer."""
    solved = [one for one in made.cylinders if not one.reason]
    return next((one for one in solved if one.cylinder == made.story.worst), solved[0] if solved else None)


def _refused(made: Boosted) -> Iterator[Block]:
    """Why there is no answer: of the cylinder told in full, and which others have none."""
    lacking = [one for one in made.cylinders if one.reason]
    if not lacking:
        return
    first = next((one for one in lacking if one.cylinder == made.story.worst), lacking[0])
    lead = "" if first.reason.startswith("Not with") else "Not possible: "
    who = f"Cylinder {first.cylinder}: " if made.possible else ""
    yield Text(f"{who}{lead}{clean(first.reason, 900)}.", strong=True)
    others = [one.cylinder for one in lacking if one is not first]
    if others and {one.reason for one in lacking} != {first.reason}:
        yield Text(f"That is cylinder {first.cylinder}; no answer either: {whose(others)}.")


def _found(made: Boosted, first: Solved, fmt: Formatter) -> Iterator[Block]:
    """The answers, what they bring with them, and the lines of the file."""
    shown = {key: fmt.show(key, value) for key, value in made.wish.targets.items()}
    asked = listed([f"{term(key).name}{' ' if text[0].isdigit() else ', '}{text}" for key, text in shown.items()])
    yield Text(f"For the {asked}:", strong=True)
    cells = [(one.cylinder, answer_texts(one, made.wish.unknowns, fmt, "not possible")) for one in made.cylinders]
    yield Table(
        head=("cyl", *(term(key).name for key in made.wish.unknowns)),
        rows=rows_merged(cells),
        names=tuple(range(1, 1 + len(made.wish.unknowns))),
        long=True,
    )
    assert first.first is not None
    if first.first.unknown == RATIO and first.parts is not None:
        yield Text(f"Static ratio then, cylinder {first.cylinder}: {fmt.number(RATIO, first.first.number)}.")
    if first.volumes is not None:
        yield _volumes(first.volumes, first.cylinder if len(made.cylinders) > 1 else None, fmt)
    check = fmt.show(first.first.target, first.checks[0])
    yield Text(f"Check: worked through the whole chain again, the {term(first.first.target).name} is {check}.")
    if first.sure is not None:
        ratio = fmt.show(RATIO, first.sure)
        yield Text(f"That is at even odds; no harder in 95 of 100: {ratio} or less, cylinder {first.cylinder}.")
    elif first.first.target == OCTANE:
        yield Text("That is at even odds", typed="; for 95 of 100, see ccassist boost.")
    texts = _into(made, first, fmt)
    if texts and texts[0].startswith("It cannot"):
        yield Text(f"{texts[0]}.")
    elif texts:
        told = "; ".join(texts) if len(texts) <= MOST_LINES else f"{len(texts)} lines, with --all"
        alone = len(made.cylinders) == 1 or set(made.wish.unknowns) <= set(PARTS)
        whose_lines = "" if alone else f"cylinder {first.cylinder}, "
        yield Text("", typed=f"Into the job file, {whose_lines}once it is made so: {told}.")


def _volumes(found: Volumes, cylinder: int | None, fmt: Formatter) -> Text:
    """What the volumes must add up to for the ratio, and what of it is left for those still to come."""
    whose_are = "" if cylinder is None else f", cylinder {cylinder}"
    text = f"All volumes above the piston at top dead centre must then add up to {fmt.value(found.total)}{whose_are}"
    if found.left is None:
        return Text(f"{text}.")
    known = zip(volume_names(tuple(found.known)), found.known.values(), strict=True)
    parts = listed([f"{name} {fmt.value(value)}" for name, value in known])
    left = f"{fmt.value(found.left)} left for {listed(volume_names(found.others))}"
    return Text(f"{text}: {parts} known, {left}.")


def _into(made: Boosted, first: Solved, fmt: Formatter) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of the cylinder told in full."""
    solved = [one.into for one in made.cylinders if one.into is not None]
    if first.into is None:
        return []
    if len(solved) == 1 or set(made.wish.unknowns) <= set(PARTS):
        return joined(solved).texts(fmt)
    return first.into.for_all_by(first.cylinder).texts(fmt)


def _way(made: Boosted, one: Solved, fmt: Formatter) -> Iterator[Block]:
    """How the answer of one cylinder is found, what comes with it, and what can be reached."""
    first = one.first
    assert first is not None
    yield Heading(f"Cylinder {one.cylinder}, how it is found")
    if first.unknown == RATIO:
        yield Text(
            f"The {term(first.target).name} comes to {fmt.show(first.target, first.value)} at a static compression "
            f"ratio of {fmt.number(RATIO, first.number)}, found by trial through the whole chain."
        )
    for block in worked_blocks(one.parts, fmt) if one.parts is not None else ():
        yield replace(block, level=2) if isinstance(block, Heading) else block
    with_it = [f"{term(key).name} {_figure(value, fmt)}" for key, value in _answer(one, fmt).figures.items()]
    if with_it:
        yield Text(f"With it: {'; '.join(with_it)}.")
    if first.reach is not None:
        ends = [
            f"{fmt.show(first.target, end)} ({fmt.show(first.unknown, at)})"
            for end, at in ((first.reach.low, first.reach.low_at), (first.reach.high, first.reach.high_at))
        ]
        yield Text(f"Over every possible {term(first.unknown).name} it goes from {ends[0]} to {ends[1]}.")
    yield Text(f"Trapped ratio and intake closing hold {made.story.lift_basis}.")
    texts = _into(made, one, fmt)
    if len(texts) > MOST_LINES:
        yield Text("", typed="Into the job file, all cylinders:")
        yield from (Text("", WRITTEN, typed=text) for text in texts)


def _figure(value: Value | None, fmt: Formatter) -> str:
    """A figure as shown; an equivalent above 14:1 is no ratio to build."""
    return "above 14:1" if value is None else fmt.value(value)
