"""The engine as measured: what each cylinder came to, what is wanted, what to do next; then all that it rests on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.benefit import GUESSED
from ccassist.analysis.cylinder import MeasuredEngine, lacking_texts
from ccassist.analysis.motion import motion_text
from ccassist.analysis.results import Survey
from ccassist.analysis.which_counts import CLOSING, trapped_text
from ccassist.report.blocks import MARKS, Block, Grid, Report, Table, Text, part
from ccassist.report.budget import most_of, worst
from ccassist.report.data import bare, column, job_title, merged, rows_merged, span
from ccassist.report.findings import counted, finding_texts
from ccassist.report.measured import (
    COLUMNS,
    columns_of,
    engine_text,
    given,
    headline_key,
    heads_alone,
    judged,
    next_step,
)
from ccassist.values.display import Formatter
from ccassist.values.findings import Level, capital, grouped, listed, runs, whose
from ccassist.values.number import nominal
from ccassist.values.verdict import Spread, Verdict, band_text, is_shown, spread_of
from ccassist.vocabulary import term

# -- the answer ------------------------------------------------------------------------------

MARKED = {Verdict.OUTSIDE: "OUTSIDE", Verdict.CANNOT_TELL: "?"}  # where not all cylinders are alike in it
MOST_WANTED = 2  # things wanted that are always told
MOST_ROWS = 8  # unlike cylinders; of more only the headline is shown, several side by side


def survey_report(survey: Survey, fmt: Formatter, *, everything: bool = False) -> Report:
    """Every cylinder first, what is wanted, what makes most of the ±, what is wrong, what to do next.

    ``everything`` : with what all this rests on.
    """
    key = headline_key(survey)
    answer: list[Block] = [Text(job_title(survey), strong=True), *_engine(survey, fmt)]
    if key is None:
        answer.append(Text("No chamber, and so no ratio, is known yet."))
    else:
        answer += [*_cylinders(survey, key, fmt), *_apart(survey, key, fmt), *wanted_texts(survey, fmt)]
        values = dict(given(survey, key))
        number = worst(values)
        answer.append(Text(most_of((f"cylinder {number}" if len(values) > 1 else "", values[number]))))
        answer += [Text(text, spare="trapped_ratio" not in survey.wanted) for text in _trapped(survey, fmt)]
    moves = "" if heads_alone(survey) else motion_text(survey.cylinders[0].values, fmt)
    answer += [*_looks(survey), *([Text(moves, spare=True)] if moves else []), next_text(survey, fmt)]
    return Report(
        title="As measured",
        subject=f"The engine as measured: {job_title(survey)}",
        answer=tuple(answer),
        support=tuple(_support(survey, fmt)) if everything else (),
        more=True,
    )


def next_text(survey: Survey, fmt: Formatter) -> Text:
    """The one thing to do next, with its command."""
    step = next_step(survey, fmt)
    return Text(f"Next: {step.words[:1].lower()}{step.words[1:]}{':' if step.command else '.'}", command=step.command)


def _engine(survey: MeasuredEngine, fmt: Formatter) -> Iterator[Text]:
    if not heads_alone(survey):
        yield Text(engine_text(survey, fmt), spare=True)


def _cylinders(survey: Survey, key: str, fmt: Formatter) -> Iterator[Block]:
    """A row for each sort of cylinder, what is the same in all of them in a line; of very many the headline alone."""
    heads = heads_alone(survey)
    keys = ["chamber_volume"] if heads else columns_of(survey)
    if key not in keys:
        keys.append(key)
    made = {k: column(k, called(k), survey.column(k), fmt) for k in keys}
    numbers = [c.number for c in survey.cylinders]
    rows = merged(zip(numbers, zip(*(cells for _, cells in made.values()), strict=True), strict=True))
    if len(rows) > MOST_ROWS:
        yield from _many(survey, key, [k for k in keys if k != key], fmt)
        return
    alike = [k for k in keys if len(rows) > 1 and len(set(made[k][1])) == 1]
    shown = [k for k in keys if k not in alike]
    more = _openings(survey, fmt) if heads else {}
    cells = [(*(made[k][1][n] for k in shown), *more.get(number, ())) for n, number in enumerate(numbers)]
    titles = ("smaller by", "open first") if more else ()
    yield Table(
        head=("cyl", *(made[k][0] for k in shown), *titles),
        rows=rows_merged(zip(numbers, cells, strict=True)),
        names=(0,),
        long=True,
    )
    if alike:
        same = [f"{called(k)} {fmt.value(given(survey, k)[0][1])}" for k in alike]
        yield Text(f"Alike in all: {'; '.join(same)}.", spare=True)


def _many(survey: Survey, key: str, others: Sequence[str], fmt: Formatter) -> Iterator[Block]:
    """The headline of each cylinder, the extremes and what is outside marked; of the other terms their range."""
    found = given(survey, key)
    low, high = (f(found, key=lambda pair: pair[1].nominal)[0] for f in (min, max))
    marks = {low: " smallest", high: " largest"}
    sorts = judged(survey, key) if key in survey.wanted else {}
    for verdict, numbers in sorts.items() if len(sorts) > 1 else ():
        for number in numbers:
            marks[number] = f"{marks.get(number, '')} {MARKED.get(verdict, '')}".rstrip()
    more = _openings(survey, fmt) if heads_alone(survey) else {}
    wide = max(len(str(number)) for number, _ in found)
    yield Text(f"{capital(fmt.title(key))}, by cylinder{', and what to open first' if more else ''}:")
    opened = {number: f", {open_first}" for number, (_, open_first) in more.items()}
    cells = [f"{n:>{wide}}  {bare(value, fmt)}{marks.get(n, '')}{opened.get(n, '')}" for n, value in found]
    yield Grid(tuple(cells))
    without = [c.number for c in survey.cylinders if key not in c.values]
    if without:
        yield Text(f"Not given for {whose(without)}.")
    ranges = [f"{called(k)} {span([v for _, v in given(survey, k)], fmt)}" for k in others]
    if ranges:
        yield Text(f"{capital('; '.join(ranges))}.", spare=True)


def _openings(survey: Survey, fmt: Formatter) -> dict[int, tuple[str, str]]:
    """By cylinder, how much smaller than the largest it is and what to open before measuring again."""
    if len(given(survey, "chamber_volume")) < 2:
        return {}
    from ccassist.plan.balance import balance  # for bare heads alone

    plan = balance(survey)
    cells = {one.cylinder: one.texts(fmt) for one in plan.openings}
    return {c.number: cells.get(c.number, ("–", "leave" if c.number == plan.largest else "")) for c in survey.cylinders}


def _apart(survey: Survey, key: str, fmt: Formatter) -> Iterator[Text]:
    """Largest less smallest of the headline, and of the chambers."""
    for one in dict.fromkeys((key, "chamber_volume")):
        spread = spread_of(one, given(survey, one))
        if spread is not None and nominal(spread.difference):
            yield Text(apart_text(spread, fmt), spare=True)


def apart_text(spread: Spread, fmt: Formatter) -> str:
    """How far the cylinders lie apart, and whether that is shown at all."""
    amount = fmt.show(spread.key, nominal(spread.difference), spread.expanded or None, words=False)
    unknown = math.isnan(spread.expanded)
    shown = "" if unknown or is_shown(spread) else "; no difference is shown"
    return f"Largest less smallest {called(spread.key)}: {amount} (cylinder {spread.high} less {spread.low}){shown}."


def wanted_texts(survey: MeasuredEngine, fmt: Formatter) -> list[Text]:
    """What is wanted, and which cylinders are inside, outside, or cannot be told."""
    known = [key for key in survey.wanted if judged(survey, key)]
    waits = [f"{called(key)} {band_text(band, fmt)}" for key, band in survey.wanted.items() if key not in known]
    told = [Text(_wanted(survey, key, fmt), spare=n >= MOST_WANTED) for n, key in enumerate(known)]
    return [*told, *([Text(f"Wanted, and not worked out: {listed(waits)}.", spare=bool(told))] if waits else [])]


def called(key: str) -> str:
    """A term in a word or two, where it is among the columns."""
    return COLUMNS.get(key) or term(key).name


def _wanted(survey: MeasuredEngine, key: str, fmt: Formatter) -> str:
    every = len(survey.cylinders)
    lead = f"Wanted {called(key)} {band_text(survey.wanted[key], fmt)}"
    said = [
        f"{'all ' if every > 1 else ''}{verdict.value}" if len(who) == every else f"{verdict.value}: {runs(who)}"
        for verdict, who in judged(survey, key).items()
    ]
    return f"{lead}: {'; '.join(said)}."


def _trapped(survey: MeasuredEngine, fmt: Formatter) -> Iterator[str]:
    """The trapped ratio of the cylinders, the closing and the lift for which it holds."""
    found = [value for _, value in given(survey, "trapped_ratio")]
    if found:
        least = max(found, key=lambda value: value.expanded)
        spread = f" (± {bare(least, fmt).partition(' ± ')[2]} at most)" if least.expanded > 0 else ""
        closing = next(c.values[CLOSING] for c in survey.cylinders if "trapped_ratio" in c.values)
        yield f"Trapped ratio {span(found, fmt)}{spread}. {trapped_text(closing, fmt)}"


def _looks(survey: Survey) -> Iterator[Text]:
    """How many findings there are to look at, and the first of them."""
    found = [f for f in grouped(survey.findings) if f.level > Level.NOTE and f.code != GUESSED]
    if found:
        first = max(found, key=lambda f: f.level)
        if len(found) > 1:
            yield Text(f"{counted(found)} The first:")
        yield Text(replace(first, file="", right="").text(), MARKS[first.level])


# -- what it rests on ------------------------------------------------------------------------


def _support(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    from ccassist.report.worksheet import plots  # much, for what few ask for
    from ccassist.report.worksheet_support import behind, caution_blocks

    yield from part("Findings", finding_texts(survey.findings))
    yield from part("Not worked out", map(Text, () if heads_alone(survey) else lacking_texts(survey)))
    yield from part("At a glance", plots(survey, fmt))
    yield from behind(survey, fmt)
    yield from caution_blocks(survey)
