"""Which value gives what is wanted: the plain data of it, and the report.

The sums, the check and what can be reached are those of one case: of all
cylinders alike where there are several, else of the one that has an answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Protocol

from ccassist.analysis.results import Survey
from ccassist.job.vocabulary import ENGINE_TERMS
from ccassist.plan.solved import CLOSING, SolvedFor, find, joined
from ccassist.report.blocks import LOOK, WRITTEN, Block, Grid, Heading, Report, Table, Text, part
from ccassist.report.data import job_title, merged, to_json
from ccassist.report.findings import finding_texts, ground_lines
from ccassist.solve.hand_sum import workings
from ccassist.solve.remarks import reach_text
from ccassist.solve.request import Request, wish_of
from ccassist.solve.solver import Answer, Root
from ccassist.values.display import Formatter, formatter, places
from ccassist.values.findings import Finding, capital, clean, whose
from ccassist.values.measured import Result, computed, number_to_dict, unsure_texts
from ccassist.values.number import Number, nominal
from ccassist.values.pint_bridge import Written
from ccassist.values.verdict import band_text
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import SYSTEMS, conversion

CONFIRM = "A planning figure: confirm with the maker and the machinist before metal is cut."
MOST_STEPS = 7  # into the job file, and answers, told together in one window
MOST_ROWS = 5  # of cylinders below one another
MOST_SUMS = 4  # lines of a hand sum told with the answer
CONTACT = "contact"  # the finding that comes before others of its level
MOST_FINDINGS = 2  # that stand with the answer whatever else does


@record
class Solutions:
    """What was asked of a job, and the answer of every cylinder, of all alike last; ``system`` : units of the words."""

    wish: Request
    cylinders: tuple[SolvedFor, ...]
    system: str = "metric"

    @property
    def possible(self) -> bool:
        """Whether any cylinder has an answer."""
        return any(one.answer for one in self.cylinders)

    @property
    def told(self) -> SolvedFor | None:
        """The case whose sums are told."""
        return next((one for one in reversed(self.cylinders) if one.answer is not None), None)

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null.  ``system`` : units of the texts."""
        fmt = formatter(system or self.system)
        return to_json(answers_of(self, fmt), fmt)


def solved(
    survey: Survey,
    unknowns: str | Sequence[str],
    targets: Mapping[str, Written],
    *,
    cylinder: int | None = None,
    system: str | None = None,
) -> Solutions:
    """What one term, or two together, must be: for each cylinder, and for all alike where there are several.

    survey : the engine as measured.
    unknowns : one term, or two.
    targets : as many terms with the value each is to reach: as people write it, an SI number, or a quantity of Pint.
    cylinder : only this one.
    system : "metric" or "imperial", for bare numbers and for the words; else the job's own.

    Raises InputError: the question is not sound, or there is no such cylinder.
    """
    shown = system or survey.job.system
    return solved_for(survey, wish_of(unknowns, targets, shown), cylinder=cylinder, fmt=formatter(shown))


def solved_for(survey: Survey, wish: Request, *, cylinder: int | None = None, fmt: Formatter) -> Solutions:
    """The same of a wish that was read. Raises InputError: as :func:`solved`."""
    return Solutions(wish=wish, cylinders=find(survey, wish, cylinder=cylinder, fmt=fmt), system=fmt.system)


# What is told.


def answers_of(found: Solutions, fmt: Formatter) -> dict[str, Any]:
    """What was to be found and reached (SI), and every answer, with the working of the case whose sums are told."""
    return {
        "unknowns": found.wish.unknowns,
        "targets": found.wish.targets,
        "cylinders": [answer_of(one, fmt, worked=one is found.told) for one in found.cylinders],
    }


def answer_of(one: SolvedFor, fmt: Formatter, *, worked: bool = True) -> dict[str, Any]:
    """One cylinder, or all alike (None), the likeliest way first; ``worked`` : with every step."""
    answer = one.answer
    return {
        "cylinder": one.cylinder,
        "possible": answer is not None,
        "reason": one.reason,
        "route": answer.route if answer else None,
        "ways": [_way(root, fmt) for root in answer.roots] if answer else [],
        "dropped": answer.dropped if answer else [],
        "working": workings(answer, fmt) if answer and worked else [],
        "reach": answer.reach if answer else None,
        "usual_reach": answer.usual if answer else None,
        "moved": {key: fmt.show(key, answer.best.values[key]) for key in answer.moved} if answer else {},
        "findings": [f.to_dict() for f in answer.findings] if answer else [],
        "into_file": one.into.to_dict(fmt) if one.into else None,
    }


def _way(root: Root, fmt: Formatter) -> dict[str, Any]:
    """One value of each unknown with which the targets are met, SI; ``checks`` : each target got back by it."""
    made = {turn.question.unknown: turn.best.formula for turn in root.turns if len(turn.question.unknowns) == 1}
    made = made or dict.fromkeys(root.numbers, root.formula)
    return {
        "values": {key: number_to_dict(key, number, fmt) for key, number in root.numbers.items()},
        "checks": root.checks,
        "formulas": {key: formula.text if (formula := made.get(key)) else None for key in root.numbers},
        "change_of_target_per_unit": root.slopes,
    }


# The report.


def solution_report(found: Solutions, survey: Survey, fmt: Formatter) -> Report:
    """The answer first: the value, whether it can be, its formula with the numbers put in, the check, the reach."""
    title, subject = "Solved", job_title(survey)
    wish, told = found.wish, found.told
    asked = Text(capital(f"{_named(wish.unknowns)} for {_aims(wish, fmt)}"), strong=True)
    if told is None or told.answer is None:
        return Report(title=title, subject=subject, answer=(asked, *refused(one.reason for one in found.cylinders)))
    noticed = noted(f for one in found.cylinders if one.answer for f in one.answer.findings)
    steps = into_file_lines(found, fmt)
    first = [] if len(steps) + len(found.cylinders) > MOST_STEPS else steps
    whose = "" if len(found.cylinders) == 1 else "all alike" if told.cylinder is None else f"cylinder {told.cylinder}"
    return Report(
        title=title,
        subject=subject,
        answer=(
            asked,
            *_values(found, fmt),
            *noticed,
            *how_found(told.answer, fmt, whose),
            *conclusion(told.answer, fmt),
            *_also_wanted(told.answer, survey, fmt),
            *ground_lines(results_of([told, *found.cylinders])),
            *_put_in(first),
            Text(CONFIRM),
        ),
        support=(
            *_put_in(steps[len(first) :]),
            *working_blocks(told.answer, fmt),
            *part("What 95 % waits for", map(Text, unsure_texts(results_of(found.cylinders), fmt))),
        ),
    )


def _named(keys: Iterable[str]) -> str:
    return " and ".join(term(key).name for key in keys)


def _aims(wish: Request, fmt: Formatter) -> str:
    return " and ".join(f"a {term(key).name} of {fmt.show(key, v)}" for key, v in wish.targets.items())


def refused(reasons: Iterable[str]) -> list[Text]:
    """Why there is no answer, each reason once."""
    return [Text(f"Not possible: {clean(reason, 900)}.") for reason in dict.fromkeys(reasons)]


def _values(found: Solutions, fmt: Formatter) -> Iterator[Block]:
    """The answer of the only one, or a row for each sort of cylinder; then why the others have none."""
    keys = found.wish.unknowns
    texts = {one.cylinder: answer_texts(one, keys, fmt, "no answer") for one in found.cylinders}
    rows = merged((number, text) for number, text in texts.items() if number is not None)
    told = texts.get(None, next(iter(texts.values())))
    alone = {told} == {*texts.values()}
    of = "" if len(texts) == 1 else ", every cylinder" if alone else ", all alike"
    if None in texts or alone:
        yield from (Text(f"{capital(term(key).name)}{of}: {text}.") for key, text in zip(keys, told, strict=True))
    if not alone and len(keys) == 1 and len(rows) > MOST_ROWS:
        yield Grid(tuple(f"{who}: {text}" for who, (text,) in rows))
    elif not alone:
        made = tuple((who, *text) for who, text in rows)
        yield Table(head=("cyl", *(term(key).name for key in keys)), rows=made, long=True)
    lacking = together((one.reason, one.cylinder) for one in found.cylinders if one.answer is None)
    for reason, numbers in lacking.items():
        some = [number for number in numbers if number is not None]
        yield Text(f"{capital(whose(some)) if some else 'All alike'}, no answer: {clean(reason, 600)}.")


def answer_texts(one: HasNumbers, keys: Iterable[str], fmt: Formatter, none: str) -> tuple[str, ...]:
    """What each unknown must be; ``none`` where it has no answer."""
    return tuple(" or ".join(fmt.number(key, n) for n in one.numbers.get(key, ())) or none for key in keys)


def how_found(answer: Answer, fmt: Formatter, whose: str = "") -> Iterator[Block]:
    """Each formula in one line, with the numbers put in; or that it was found by trial; ``whose`` : of which case."""
    if whose:
        yield Text(f"Of {whose}:")
    for made in workings(answer, fmt):
        if made.trial:
            yield Text(made.trial)
            continue
        yield Text(made.formula, WRITTEN)
        if len(answer.question.unknowns) == 1 and len(made.sums) <= MOST_SUMS:
            yield from (Text(line, WRITTEN) for line in made.sums)


def conclusion(answer: Answer, fmt: Formatter) -> Iterator[Block]:
    """The check by substitution, other answers that cannot be, what moves with it, and what can be reached."""
    question, best = answer.question, answer.best
    one = len(question.unknowns) == 1
    finer = {key: places(fmt.unit(key), None) + 1 for key in question.targets}
    shown = {k: fmt.show(k, best.checks[k], decimals=more) for k, more in finer.items()}
    checks = (f"the {term(k).name} {text}" for k, text in shown.items())
    yield Text(f"{'Put back, it gives' if one else 'Both put back, they give'} {' and '.join(checks)}.")
    yield from (Text(f"Not an answer: {reason}.") for reason in answer.dropped)
    reach = answer.usual or answer.reach
    if reach is not None:
        which = f"{'a usual' if answer.usual else 'any possible'} {term(question.unknown).name}"
        goes = reach_text(question.target, reach, fmt)
        yield Text(f"With {which} the {term(question.target).name} goes {goes}.")


def _also_wanted(answer: Answer, survey: Survey, fmt: Formatter) -> Iterator[Text]:
    """What else the job wants and this answer leaves outside: it would have to be found together with it."""
    for key, band in survey.wanted.items():
        number = answer.best.values.get(key)
        if number is None or key in answer.question.targets or key in answer.question.unknowns:
            continue
        if not band.low <= nominal(number) <= band.high:
            there = fmt.show(key, nominal(number))
            yield Text(f"The {term(key).name} is {there} then; the job wants {band_text(band, fmt)}.", LOOK)


def working_blocks(answer: Answer, fmt: Formatter) -> Iterator[Block]:
    """How it is come by, step by step; what moves with it, and what else moves the targets."""
    yield Heading("How it is found")
    for made in workings(answer, fmt):
        yield Text(made.lead)
        yield from (Text(line, WRITTEN) for line in made.given)
        for lead, lines in (
            ("Rearranged, step by step:", made.steps),
            ("In one line:", (made.formula,) if len(made.steps) > 1 else ()),
            ("With:", made.entries),
            ("The numbers put in:", made.sums),
        ):
            if lines:
                yield Text(lead)
                yield from (Text(line, WRITTEN) for line in lines)
        if made.trial:
            yield Text(made.trial)
    yield from part(
        "What moves with it",
        (Text(f"{capital(term(key).name)} {fmt.show(key, answer.best.values[key])}") for key in answer.moved),
    )
    for key in answer.question.targets:
        name, levers = term(key).name, tuple(levers_of(answer.sensitivity(key), key, fmt))
        table = Table(head=("more of", "by", name), rows=levers, names=(0,))
        yield from part(f"What else moves the {name}", [table] if levers else [])


def levers_of(slopes: Iterable[tuple[str, float]], key: str, fmt: Formatter) -> Iterator[tuple[str, str, str]]:
    """What moves a target: rows of another term, its step, and the change that this makes; ``slopes`` : in SI.

    >>> list(levers_of([("chamber_volume", -1.2e5)], "static_ratio", formatter()))
    [('chamber volume', '1 cc', '−0.1200')]
    """
    decimals = places(fmt.unit(key), None) + 2
    for other, slope in slopes:
        steps = term(other).kind.steps
        if not steps or slope == 0:
            continue
        number, unit = steps[SYSTEMS.index(fmt.system)]
        change = fmt.show(key, slope * number * conversion(unit).scale, words=False, decimals=decimals)
        sign = term(other).sign if term(other).kind is not Kind.ANGLE else None
        which = f" ({sign.plus[0]})" if sign else ""
        yield f"{term(other).name}{which}", f"{number:g} {unit}", change if change[0] == "−" else f"+{change}"


def worked_blocks(answer: Answer, fmt: Formatter) -> Iterator[Block]:
    """The answer, the check and every step."""
    for key, numbers in answer.numbers.items():
        yield Text(f"{capital(term(key).name)}: {' or '.join(fmt.number(key, number) for number in numbers)}.")
    yield from conclusion(answer, fmt)
    yield from working_blocks(answer, fmt)


# The same as plain lines, for pages that are no report.


def lines_of(found: Solutions, fmt: Formatter) -> list[str]:
    """The answer of the case that is told, and how it is found; why there is none where none has any."""
    told = found.told
    if told is None or told.answer is None:
        return [one.words for one in refused(one.reason for one in found.cylinders)]
    whose = "All cylinders alike, by their means." if told.cylinder is None else f"Cylinder {told.cylinder}."
    return [whose, "", *worked_lines(told.answer, fmt), *(f"{f.text()}." for f in told.answer.findings)]


def worked_lines(answer: Answer, fmt: Formatter) -> list[str]:
    """As :func:`worked_blocks`; an empty line before each part."""
    lines: list[str] = []
    for block in worked_blocks(answer, fmt):
        if isinstance(block, Heading):
            lines += ["", f"{block.words}:"]
        elif isinstance(block, Text):
            lines.append(f"  {block.words}" if block.mark == WRITTEN else block.words)
        elif isinstance(block, Table):
            lines += (f"  {change} for {step} more {name}" for name, step, change in block.rows)
    return lines


class HasNumbers(Protocol):
    """An answer of one cylinder, or of all alike (None): unknown -> its numbers, SI."""

    @property
    def cylinder(self) -> int | None: ...
    @property
    def numbers(self) -> Mapping[str, Sequence[Number]]: ...


def results_of(found: Iterable[HasNumbers]) -> list[Result]:
    """The answers with the cylinders that they are for."""
    return [
        ("all alike" if one.cylinder is None else f"cylinder {one.cylinder}", computed(key, number))
        for one in found
        for key, numbers in one.numbers.items()
        for number in numbers
    ]


def noted(findings: Iterable[Finding]) -> list[Text]:
    """What is to be looked at, each once, the gravest and what may touch first; of many the last may be left out."""
    found = finding_texts(sorted(dict.fromkeys(findings), key=lambda f: f.code != CONTACT))
    return [*found[:MOST_FINDINGS], *(replace(one, spare=True) for one in found[MOST_FINDINGS:])]


def into_file_lines(found: Solutions, fmt: Formatter) -> list[str]:
    """What to do to the job file, in order; of what serves the whole engine that of one cylinder alone."""
    each = [(one.cylinder, one.into) for one in found.cylinders if one.into is not None]
    if {*ENGINE_TERMS, CLOSING} & {*found.wish.unknowns} and len(each) > 1:
        number, into = each[0]
        return into.for_all_by(number or 1).texts(fmt)
    return joined(into for _, into in each).texts(fmt) if each else []


def _put_in(steps: Sequence[str]) -> Iterator[Block]:
    """How an answer is put into the job file, step by step."""
    if steps and not steps[0].startswith("It cannot"):
        yield Text("", typed="To put it into the job file, once it is made so:")
    yield from (Text("", WRITTEN, typed=text) for text in steps)
