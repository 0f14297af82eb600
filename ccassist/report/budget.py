"""The uncertainty budget: of one cylinder in full, of every other in a line, and what one more reading would do."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

from ccassist.analysis.benefit import JUDGED, RepeatBenefit, worth_of_a_repeat, worth_text, worths
from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.analysis.sums import percents
from ccassist.report.blocks import Block, Table, Text, part
from ccassist.report.figures import budget_bars
from ccassist.report.findings import without_place
from ccassist.values.display import NEEDS_REPEATS, Formatter, fixed, percent, two_text
from ccassist.values.findings import capital, clean, whose
from ccassist.values.measured import Result, Value, ground_of, ground_text
from ccassist.values.statistics import student
from ccassist.values.uncertainty import Cause, Share, budget, expand
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import conversion

NORMAL = student(math.inf) - 6e-5  # the coverage factor of a normal distribution, less what rounding makes
MOST_ROWS, MOST_UNKNOWN = 14, 40
LEAST_SHARE = 0.001  # of the variance, worth a line of its own
LONGEST = 160
_WHOSE = "\0"  # stands for the cylinders of which the same is said
RATIO = {"static_ratio": "ratio"}  # in short


def components_of(value: Value) -> list[dict[str, Any]]:
    """The components of a value's ±, SI, the largest first; what is not known is NaN."""
    return [
        {
            "cause": row.cause.name,
            "standard_uncertainty": row.standard,
            "share": row.share,
            "degrees_of_freedom": row.cause.dof,
            "shape": row.cause.shape,
            "source": row.cause.source,
            "remedy": row.cause.remedy,
            "guess": row.cause.guess or None,
        }
        for row in budget(value.number)
    ]


def one_more_of(survey: Survey, cylinder: int, fmt: Formatter) -> list[dict[str, Any]]:
    """Of every series that enters a cylinder's result, the most helpful first."""
    return [_one_more(found, fmt) for found in worths(survey, cylinder)]


def _one_more(found: RepeatBenefit, fmt: Formatter) -> dict[str, Any]:
    """What it would do to the ± of the result, SI."""
    return {
        "step": found.one.cell.step.key,
        "where": found.one.cell.where,
        "of": found.key,
        "expanded_uncertainty_now": found.now,
        "expanded_uncertainty_then": found.then,
        "readings_needed_first": found.more,
        "readings_asked_for": found.asked,
        "worth_it": found.worth_it,
        "text": worth_text(found, fmt),
    }


def most_of(result: Result) -> str:
    """What makes most of the ± of a result, in a sentence, with why 95 % cannot be said of it."""
    whose, value = result
    name = f"the ± of the {RATIO.get(value.key) or term(value.key).name}{f' of {whose}' if whose else ''}"
    made = budget(value.number)
    if not made:
        return f"Nothing makes {name}: every figure is taken as exact."
    if any(math.isnan(row.standard) for row in made):
        waits = next(row for row in made if math.isnan(row.standard))
        return f"{capital(name)} is not known yet: {cause_name(waits.cause)}."
    first = made[0]
    why = f" ({first.cause.guess})" if first.cause.guess else ""
    rests = ground_of(value.number)
    unsure = f" {percent(rests.share)} is assumed or taken as usual: 95 % cannot be said." if not rests.sure else ""
    return f"Most of {name}: {cause_name(first.cause)}{why}, {percent(first.share)}.{unsure}"


def cause_name(cause: Cause) -> str:
    """A component by its name, without its place in the job file."""
    return clean(without_place(cause.name).removesuffix(": stated ±"), LONGEST)


def worst(values: dict[int, Value]) -> int:
    """The cylinder with the largest ±, or the first whose ± is not known."""
    unknown = [n for n, value in values.items() if math.isnan(value.expanded)]
    return unknown[0] if unknown else max(values, key=lambda n: values[n].expanded)


def budgets(survey: Survey, fmt: Formatter, cylinder: Cylinder | None = None) -> Iterator[Block]:
    """The budget of what the job comes to, of a cylinder in full, then every cylinder's in a line."""
    key = next((key for key in JUDGED if any(key in c.values for c in survey.cylinders)), None)
    if key is None:
        yield Text("Nothing has been measured yet.")
        return
    known = [c for c in survey.cylinders if key in c.values]
    yield from _full(cylinder if cylinder in known else known[0], key, fmt)
    if len(known) > 1:
        yield _lines(known, key, fmt)
    told = [Text(clean(text, 500), small=True) for text in repeats_told(survey, fmt)]
    yield from part("One more reading, where it helps most", told, 2)


def repeats_told(survey: Survey, fmt: Formatter) -> Iterator[str]:
    """What one more reading would do, cylinder by cylinder; what is the same of several once."""
    helpful = (worth_of_a_repeat(survey, cylinder.number) for cylinder in survey.cylinders)
    told = ((worth_text(one, fmt, figures=one.worth_it), one.cylinder) for one in helpful if one is not None)
    said = together((re.sub(rf"\bcylinder {number}\b", _WHOSE, text), number) for text, number in told)
    for text, numbers in said.items():
        several = text.replace(" its ", " each one's ") if len(numbers) > 1 else text
        yield f"{several.replace(_WHOSE, whose(numbers))}."


def _full(cylinder: Cylinder | None, key: str, fmt: Formatter) -> Iterator[Block]:
    assert cylinder is not None
    value = cylinder.values[key]
    stated, rows = expand(value.number), budget(value.number)
    name = f"{capital(term(key).name)} of cylinder {cylinder.number}: {fmt.value(value)}."
    if not rows:
        yield Text(f"{name} Every input is taken as exact: there is nothing to budget.")
        return
    yield Text(name, strong=True)
    if any(math.isnan(row.standard) for row in rows):
        yield Text(
            f"{NEEDS_REPEATS}. It waits for the causes named “{NEEDS_REPEATS}”; the others are given with their own "
            "contributions."
        )
    else:
        hard = " (for the shape that hard limits give the sum)" if stated.factor < NORMAL else ""
        yield Text(
            f"Standard uncertainty {_small(key, stated.standard, fmt)}, {_degrees(stated.dof)} degrees of freedom "
            f"(Welch-Satterthwaite), coverage factor {fixed(stated.factor, 2)}{hard}. Contributions are standard "
            "uncertainties; their squares add to its square."
        )
        ground = ground_text(key, value.number, fmt)
        if ground:
            yield Text(f"{capital(without_place(ground))}: no 95 % for it.")
        bars = budget_bars(value.number, f"What makes the ± of cylinder {cylinder.number}")
        if bars:
            yield bars
    yield _table(key, rows, fmt)


def _degrees(dof: float) -> str:
    """Degrees of freedom; beyond a thousand they make no difference."""
    return "" if math.isnan(dof) else "∞" if math.isinf(dof) else "> 999" if dof >= 1000 else f"{math.floor(dof)}"


def _small(key: str, standard: float, fmt: Formatter) -> str:
    """A standard uncertainty to two significant digits, in the shown unit."""
    unit = fmt.unit(key)
    size = abs(standard) / conversion(unit).scale
    return f"{two_text(size)} {unit}".strip() if size else "0"


def _table(key: str, rows: Sequence[Share], fmt: Formatter) -> Table:
    """The causes, the largest first; those too small to matter together."""
    unknown = any(math.isnan(row.standard) for row in rows)
    shown = rows[:MOST_UNKNOWN] if unknown else _gathered(rows)
    parts = [""] * len(shown) if unknown else [f"{part} %" for part in percents([row.share for row in shown])]
    return Table(
        head=("cause", "contribution", "share", "degrees of freedom", "source", "what would reduce it"),
        rows=tuple(_row(key, row, part, fmt) for row, part in zip(shown, parts, strict=True)),
        names=(0, 4, 5),
    )


def _gathered(rows: Sequence[Share]) -> list[Share]:
    """The rows worth a line, and one for all the rest."""
    kept = [row for row in rows if row.share >= LEAST_SHARE][:MOST_ROWS]
    rest = rows[len(kept) :]
    if not rest:
        return kept
    cause = Cause(name=f"{len(rest)} smaller causes together", dof=math.nan)
    together = math.hypot(*(row.standard for row in rest))
    return [*kept, Share(cause=cause, standard=together, share=sum(row.share for row in rest))]


def _row(key: str, row: Share, percent: str, fmt: Formatter) -> tuple[str, ...]:
    cause, known = row.cause, not math.isnan(row.standard)
    size = _small(key, row.standard, fmt) if known else NEEDS_REPEATS
    words = clean(cause.source, 160), clean(without_place(cause.remedy), 110)
    return clean(without_place(cause.name), 110), size, percent, _degrees(cause.dof) if known else "", *words


def _lines(cylinders: Sequence[Cylinder], key: str, fmt: Formatter) -> Table:
    """Every cylinder in a line: its ± and the cause that makes most of it."""
    head = ("cylinder", term(key).name, "degrees of freedom", "factor", "largest cause")
    return Table(head=head, rows=tuple(_line(c, key, fmt) for c in cylinders), names=(0, 4))


def _line(cylinder: Cylinder, key: str, fmt: Formatter) -> tuple[str, ...]:
    value = cylinder.values[key]
    stated = expand(value.number)
    known = not math.isnan(stated.standard)
    top = next((row for row in budget(value.number) if math.isnan(row.standard) != known), None)
    share = f", {percent(top.share)}" if top is not None and known else ""
    cause = "–" if top is None else f"{clean(without_place(top.cause.name), 110)}{share}"
    figures = (_degrees(stated.dof), fixed(stated.factor, 2)) if known else ("", "")
    return str(cylinder.number), fmt.value(value), *figures, cause
