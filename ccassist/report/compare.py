"""Are these two the same?  The question in one piece, the plain data, and the report made from it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, TypeVar

from ccassist.analysis.compare import (
    Contrast,
    all_pairs,
    between_cylinders,
    between_parts,
    between_states,
    default_key,
    largest_against_smallest,
    served,
)
from ccassist.analysis.results import Survey
from ccassist.report.blocks import Block, Report, Table, Text
from ccassist.report.data import job_title, to_json
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.findings import InputError, capital, clean, error
from ccassist.values.measured import at_confidence, computed, ground_to_dict, judged_at, unsure_texts
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import budget, degrees
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import Term, term
from ccassist.vocabulary.record import record

WIDE_TABLE = 3  # comparisons; from so many on they stand in a table
SHARED = "What the two share (burette, plate, fluid) cancels in a difference."
_EXAMPLES = {"--cylinders": "1,4", "--parts": '"left head,right head"', "--states": '"as received,seats cut"'}
T = TypeVar("T")


@record
class Contrasts:
    """Differences of one term.

    ``contrasts`` : at least one; ``system`` : units of the words.
    """

    key: str
    contrasts: tuple[Contrast, ...]
    system: str = "metric"

    def to_dict(self, system: str | None = None) -> dict[str, Any]:
        """Plain data, SI; a ± that is not known yet is null.  ``system`` : units of the texts."""
        fmt = formatter(system or self.system)
        return to_json(differences_of(self, fmt), fmt)


def compared(
    survey: Survey,
    key: str | None = None,
    *,
    cylinders: Sequence[int] = (),
    parts: Sequence[str] = (),
    states: Sequence[str] = (),
    part: str | None = None,
    largest: bool = False,
    every: bool = False,
) -> Contrasts:
    """The differences asked for; the largest against the smallest where nothing is named.

    survey : the engine as measured.
    key : term compared; the clearance volume, or the chamber where there is none.
    cylinders, parts : two named beforehand.
    states : before and after work, of all cylinders, or of ``cylinders``, or of those that ``part`` serves.
    largest : largest against smallest, named outright.
    every : every cylinder against every other.
    part : the part whose cylinders ``states`` are compared for.

    Raises InputError: two kinds at once, a name that is not known, or nothing to compare.
    """
    if sum(map(bool, (parts, states, largest, every, cylinders and not states))) > 1:
        right = "one of --cylinders, --parts, --states, --largest and --all"
        raise InputError(error("two-questions", "two comparisons at once", right=right))
    if part and not states:
        raise InputError(error("no-states", "--part goes with --states", right='--states "as received,seats cut"'))
    of = key or default_key(survey)
    if states:
        older, newer = _two(states, "--states")
        found = between_states(survey, of, older, newer, _served(survey, cylinders, part))
    elif parts:
        found = [between_parts(survey, of, *_two(parts, "--parts"))]
    elif cylinders:
        found = [between_cylinders(survey, of, *_two(cylinders, "--cylinders"))]
    else:
        found = all_pairs(survey, of) if every else [largest_against_smallest(survey, of)]
    return Contrasts(key=of, contrasts=tuple(found), system=survey.job.system)


def _served(survey: Survey, cylinders: Sequence[int], part: str | None) -> Sequence[int]:
    """The cylinders before and after work: those named, or those of the part, or none named."""
    if cylinders and part:
        raise InputError(error("two-questions", "--part or --cylinders, not both"))
    return served(survey, part, "--part") if part else cylinders


def _two(named: Sequence[T], place: str) -> tuple[T, T]:
    if len(named) != 2 or not all(named):
        read = ",".join(map(str, named))
        right = _EXAMPLES[place]
        raise InputError(error("not-two", "two names with a comma between", read=read, place=place, right=right))
    return named[0], named[1]


# What is told.


def differences_of(found: Contrasts, fmt: Formatter) -> dict[str, Any]:
    """What is told of the differences found: of how many the two were picked, how many are judged together, each."""
    wanted, count, rows = term(found.key), found.contrasts[0].count, found.contrasts[0].rows
    return {
        "term": wanted.key,
        "name": wanted.name,
        "unit": wanted.kind.si,
        "picked_from": count if count > 2 else None,
        "looked_at_together": rows if rows > 1 else None,
        "judged_by": "studentized range" if count > 2 else "Student's t" + (", Bonferroni" if rows > 1 else ""),
        "comparisons": [_difference(one, fmt) for one in found.contrasts],
    }


def _difference(one: Contrast, fmt: Formatter) -> dict[str, Any]:
    """One thing less another, SI; a ± that is not known yet is NaN."""
    known = not math.isnan(one.expanded)
    return {
        "first": one.first,
        "second": one.second,
        "difference": nominal(one.difference),
        "standard_uncertainty": standard(one.difference) if known else math.nan,
        "expanded_uncertainty": one.expanded,
        "degrees_of_freedom": degrees(budget(one.difference)) if known else math.nan,
        "verdict": one.verdict.value,
        "text": verdict_text(one, fmt),
        **ground_to_dict(one.difference),
    }


# The report.


def comparison_report(found: Contrasts, survey: Survey, fmt: Formatter) -> Report:
    """The differences, by what they are judged, and whether 95 % may be said; nothing more supports them."""
    name = capital(term(found.key).name)
    unsure = unsure_texts(
        ((f"{one.first} less {one.second}", computed(found.key, one.difference)) for one in found.contrasts), fmt
    )
    judged = Text(f"{SHARED} {judged_text(found.contrasts[0])}")
    rows = list(_rows(found.contrasts, fmt))
    return Report(
        title="Comparison",
        subject=f"{name}: whether these are the same",
        answer=(
            Text(job_title(survey)),
            Text(name, strong=True),
            *([*rows, judged] if len(found.contrasts) < WIDE_TABLE else [judged, *rows]),  # not below a long table
            *(Text(clean(text, 1000)) for text in unsure),
        ),
    )


def _rows(found: Sequence[Contrast], fmt: Formatter) -> Iterator[Block]:
    """A sentence a difference, or a table where they are many."""
    if len(found) < WIDE_TABLE:
        for one in found:
            pair = clean(f"{one.first} less {one.second}", 200)
            yield Text(f"{pair}: {clean(verdict_text(one, fmt), 300)}.")
        return
    short = {Verdict.NOT_SHOWN: "not shown", Verdict.ONE_VALUE: "one value"}
    yield Table(
        head=("this", "less this", "is", judged_at(one.difference for one in found)),
        rows=tuple(
            (
                clean(one.first),
                clean(one.second),
                amount_text(one, fmt, signed=True),
                short.get(one.verdict, one.verdict.value),
            )
            for one in found
        ),
        names=(0, 1, 3),
    )


def judged_text(one: Contrast) -> str:
    """By what it is judged, and why."""
    once = "so that among all of them a false difference is shown once in twenty times at most."
    if one.count > 2:
        return f"Picked after looking at {one.count}: judged by the studentized range, {once}"
    if one.rows > 1:
        return f"{one.rows} rows looked at together: judged by Student's t widened for so many (Bonferroni), {once}"
    return "Named beforehand: judged by Student's t."


def amount_text(contrast: Contrast, fmt: Formatter = METRIC, *, signed: bool = False) -> str:
    """The difference with its ±, such as "1.17 ± 0.80 cc"; its size alone where the sign is not asked for."""
    value, spread = nominal(contrast.difference), contrast.expanded
    return fmt.show(contrast.key, value if signed else abs(value), spread or None, words=False)


def verdict_text(contrast: Contrast, fmt: Formatter = METRIC) -> str:
    """The verdict in words, such as "differs by 1.17 ± 0.80 cc (larger: cylinder 4)"."""
    size, verdict = amount_text(contrast, fmt), contrast.verdict
    if verdict is Verdict.DIFFERS:
        none = "; neither has a ±" if standard(contrast.difference) == 0 else ""
        return f"differs by {size} ({_more(term(contrast.key))}: {contrast.larger}{none})"
    if verdict is Verdict.NOT_SHOWN:
        return f"no difference shown{at_confidence(contrast.difference)} ({size})"
    return verdict.value if verdict is Verdict.ONE_VALUE else f"{verdict.value} ({size})"


def _more(wanted: Term) -> str:
    return f"more {wanted.sign.plus[0]}" if wanted.sign else "larger"
