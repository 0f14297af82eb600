"""The worksheet: one page for the customer and the file, a second with the readings, and all that supports them.

No key of the job file, no line of it and no command stands before a customer;
whoever works on the job finds them with ``check``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.benefit import results_of
from ccassist.analysis.cylinder import Cylinder, lacking_together
from ccassist.analysis.results import Survey, in_units
from ccassist.analysis.results import survey as worked_out
from ccassist.analysis.which_counts import CLOSING, trapped_text
from ccassist.bench.cautions import in_short
from ccassist.plan.balance import VolumeToOpen, balanced, openings
from ccassist.report import measured
from ccassist.report.blocks import (
    ITEM,
    MARKS,
    Beside,
    Block,
    DotPlot,
    Facts,
    Figure,
    Heading,
    OnePage,
    Report,
    SignOff,
    Table,
    Text,
    Tile,
    Tiles,
)
from ccassist.report.data import bare, column, merged, span, terms
from ccassist.report.figures import dot_plot
from ccassist.report.findings import ground_lines, whole_cylinders, without_place
from ccassist.report.measured import columns_of, engine_text, given, headline_key, heads_alone, judged
from ccassist.report.readings import readings_in_short
from ccassist.report.section import Views, lacking, small_scene
from ccassist.values.display import NEEDS_REPEATS, Formatter
from ccassist.values.findings import Level, NotPossible, capital, clean, grouped, runs, whose
from ccassist.values.measured import SURE, Value, withheld
from ccassist.values.number import nominal
from ccassist.values.verdict import Band, Spread, Verdict, band_text, decide, is_shown, spread_of
from ccassist.vocabulary import term

COLUMNS = {**measured.COLUMNS, "trapped_ratio": "trapped ratio"}
ALWAYS = ("contact", "metal", "planning", "knock")
HEADS_ALONE = ("metal", "grinding", "planning")
BOXES = (("measured by", "date"), ("received by", "date"))
FACTS = {"customer": "customer", "by": "measured by", "date": "date", "file": "job file"}
LONGEST, LONGEST_REMARK = 60, 300  # characters at the head of the page
LARGEST = ("largest", "leave")
MOST_LOOKS, MOST_PLOTS, FEW_DOTS = 2, 2, 4
SMALL_DRAWING = 84.0, 34.0  # mm: the section on the first page
MOST_READ = 60  # lines of readings that are printed unasked


def said_in(survey: Survey, system: str) -> Survey:
    """The same engine with all that is said of it in a system of units."""
    return survey if survey.job.system == system else worked_out(in_units(survey.job, system))


def worksheet_report(
    survey: Survey, fmt: Formatter, *, support: Sequence[Block] = (), everything: bool = False
) -> Report:
    """The page of a whole engine, or of heads alone, and the readings where a page holds them.

    ``support`` : what stands behind the page; ``everything`` : the readings are in it.
    """
    read = tuple(readings_in_short(survey, fmt))
    first = OnePage(tuple(first_page(survey, fmt)), spare=tuple(_figures(survey, fmt)))
    few = sum(len(block.rows) + 4 for block in read if isinstance(block, Table)) <= MOST_READ
    return Report(
        title="Chamber worksheet" if heads_alone(survey) else "Compression worksheet",
        subject="Chamber volumes, measured" if heads_alone(survey) else "Compression ratio and volumes, measured",
        answer=(first, Heading("Readings"), *read) if read and few and not everything else (first,),
        support=tuple(support),
    )


def first_page(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Whose engine, what it comes to, each cylinder, what was wanted, what to look at, and room to sign."""
    yield from _head(survey, fmt)
    key = headline_key(survey)
    if key is not None:
        yield Tiles(tuple(_tiles(survey, key, fmt)))
        yield Heading("Each cylinder" if survey.job.cylinders > 1 else "The cylinder", 2)
        yield _each(survey, fmt)
    yield from _notes(survey, fmt)
    yield from _wanted(survey, fmt)
    yield from _looks(survey)
    yield Heading("Cautions", 2)
    keys = HEADS_ALONE if heads_alone(survey) else ALWAYS
    yield Text(" ".join(in_short(keys)), small=True)
    yield SignOff(BOXES)


# -- the head of the page ----------------------------------------------------------------


def _head(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    job = survey.job
    about = {**job.about, "file": job.file.replace("\\", "/").split("/")[-1]}
    yield Heading(clean(job.name, LONGEST_REMARK) or "Unnamed job", 0)
    yield Facts(tuple((name, clean(about.get(key, ""), LONGEST)) for key, name in FACTS.items()))
    if job.about.get("remark"):
        yield Text(clean(job.about["remark"], LONGEST_REMARK), small=True)
    yield Text(engine_text(survey, fmt))


def _given(survey: Survey, key: str) -> list[Value]:
    return [value for value in survey.column(key) if value is not None]


# -- the large figures -------------------------------------------------------------------


def _tiles(survey: Survey, key: str, fmt: Formatter) -> Iterator[Tile]:
    """The headline, how far apart the cylinders are, and how the first two things wanted are met."""
    found = given(survey, key)
    values = [value for _, value in found]
    count = f"{len(found)} cylinder{'s' if len(found) > 1 else ''}"
    yield Tile(title=term(key).name, figure=span(values, fmt), words=(_doubt(values, fmt), count))
    spread = spread_of(key, found)
    if spread is not None:
        apart = fmt.show(key, nominal(spread.difference), spread.expanded, words=False)
        ends = f"cylinder {spread.high} less cylinder {spread.low}", _shown(spread)
        alike = nominal(spread.difference) == 0 and spread.expanded == 0
        yield Tile(title="largest less smallest", figure="all alike" if alike else apart, words=() if alike else ends)
    more = list(survey.wanted.items())[:2]
    yield from (_wanted_tile(survey, wanted, band, fmt) for wanted, band in more)
    for other in ("clearance_volume", "chamber_volume")[: 2 - len(more)]:
        if other != key and (others := _given(survey, other)):
            yield Tile(title=term(other).name, figure=span(others, fmt), words=(_doubt(others, fmt),))


def _shown(spread: Spread) -> str:
    return "a difference is shown" if is_shown(spread) else "no difference shown"


def _doubt(values: Sequence[Value], fmt: Formatter) -> str:
    """The largest ± of some values."""
    if any(math.isnan(value.expanded) for value in values):
        return NEEDS_REPEATS
    better = " or better" if len({value.expanded for value in values}) > 1 else ""
    worst = max(values, key=lambda value: value.expanded)
    spread = bare(worst, fmt).partition(" ± ")[2]
    return f"± {spread} {fmt.unit(worst.key)}".strip() + better if spread else "taken as exact"


def _wanted_tile(survey: Survey, key: str, band: Band, fmt: Formatter) -> Tile:
    found = judged(survey, key)
    wanted = f"wanted {band_text(band, fmt)}"
    if not found:
        return Tile(title=term(key).name, figure="not worked out", words=(wanted,))
    first = max(found, key=lambda verdict: len(found[verdict]))
    many = sum(map(len, found.values())) if key not in survey.whole else 1
    rest = [f"{verdict.value}: {runs(who)}" for verdict, who in found.items() if verdict is not first]
    said = first.value.removesuffix(" at this ±")
    figure = f"{len(found[first])} of {many} {said}" if many > 1 else said
    return Tile(title=term(key).name, figure=figure, words=(wanted, "; ".join(rest)))


# -- the figures to look at ---------------------------------------------------------------


def _figures(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """The cylinders against what is wanted of them, beside the section of one of them."""
    shown, drawn = tuple(plots(survey, fmt)), section_of_one(survey)
    if len(shown) > 1 and len(shown[0].dots) > FEW_DOTS and drawn is not None:
        shown = shown[:1]
    section = () if drawn is None else (Figure(small_scene(small_views(drawn, fmt))),)
    columns = [column for column in (shown, section) if column]
    if columns == [shown] and len(shown) > 1:
        columns = [(plot,) for plot in shown]
    if columns:
        yield Beside(columns=tuple(columns), shares=(1.0,) * len(columns))


def section_of_one(survey: Survey) -> Cylinder | None:
    """The cylinder with the smallest clearance volume among those that lack nothing, since it is the first to knock."""
    whole = [c for c in survey.cylinders if not lacking(c) and "clearance_volume" in c.values]
    return min(whole, key=lambda c: c.values["clearance_volume"].nominal, default=None)


def small_views(cylinder: Cylinder, fmt: Formatter) -> Views:
    """Its drawing in a column of the page."""
    return Views(cylinder=cylinder, fmt=fmt, width=SMALL_DRAWING[0], room=SMALL_DRAWING[1])


def plots(survey: Survey, fmt: Formatter) -> Iterator[DotPlot]:
    """A plot for each of the first things wanted of the cylinders; where nothing is, one of what the job comes to."""
    keys = [key for key in survey.wanted if _given(survey, key)]
    headline = headline_key(survey)
    for key in keys[:MOST_PLOTS] or ([headline] if headline and survey.job.cylinders > 1 else []):
        texts = {fmt.value(value): value for _, value in given(survey, key)}
        sorts = merged((number, fmt.value(value)) for number, value in given(survey, key))
        if len(sorts) < 2 and key not in survey.wanted:
            continue
        plot = dot_plot([(who, texts[text]) for who, text in sorts], fmt, survey.wanted.get(key))
        dots = [replace(one, figure="", note=one.note.removesuffix(" at this ±")) for one in plot.dots]
        yield replace(plot, dots=tuple(dots))


# -- each cylinder -----------------------------------------------------------------------


def _each(survey: Survey, fmt: Formatter) -> Table:
    """A row for each sort of cylinder: what it came to, and what to open to make it alike; outside is strong."""
    keys = columns_shown(survey)
    made = [column(key, COLUMNS.get(key, "clearance"), survey.column(key), fmt) for key in keys]
    outside = [[_outside(value, survey.wanted.get(key)) for value in survey.column(key)] for key in keys]
    more = _openings(survey, fmt)
    texts = zip(*(cells for _, cells in (*made, *more)), strict=True)
    marks = zip(*outside, strict=True)
    sorts = merged((c.number, row) for c, row in zip(survey.cylinders, zip(texts, marks, strict=True), strict=True))
    return Table(
        head=("cyl", *(head for head, _ in (*made, *more))),
        rows=tuple((who, *cells) for who, (cells, _) in sorts),
        names=(0,),
        strong=tuple((row, n) for row, (_, (_, told)) in enumerate(sorts) for n, out in enumerate(told, 1) if out),
    )


def columns_shown(survey: Survey) -> list[str]:
    """The terms of the table of the cylinders."""
    keys = columns_of(survey, COLUMNS)
    return keys if {"chamber_volume", "static_ratio"} & set(keys) else [*keys, "clearance_volume"]


def _outside(value: Value | None, band: Band | None) -> bool:
    return value is not None and band is not None and decide(value, band) is Verdict.OUTSIDE


def _openings(survey: Survey, fmt: Formatter) -> list[tuple[str, list[str]]]:
    """The columns of what each is smaller by and what to open first; none where there is nothing to compare."""
    try:
        key, having = balanced(survey)
    except NotPossible:
        return []
    told = openings(key, having)
    if all(_nothing(one) for one in told):
        return []
    largest = max(having, key=lambda c: c.values[key].nominal).number
    cells = {largest: LARGEST, **{one.cylinder: _opening(one, fmt) for one in told}}
    less = "smaller by" if key == "chamber_volume" else "clearance smaller by"
    unit = fmt.unit("correction")
    rows = [cells.get(c.number, ("–", "–")) for c in survey.cylinders]
    return [(f"{less}, {unit}", [row[0] for row in rows]), (f"open first, {unit}", [row[1] for row in rows])]


def _nothing(one: VolumeToOpen) -> bool:
    """Whether it is the same value as the largest."""
    return nominal(one.amount) == 0 and one.expanded == 0


def _opening(one: VolumeToOpen, fmt: Formatter) -> tuple[str, str]:
    unit = f" {fmt.unit('correction')}"
    if _nothing(one):
        return LARGEST
    amount, first = one.texts(fmt)
    return amount.removesuffix(unit), first.removesuffix(unit).partition(":")[0]


def _notes(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What the figures above hold for, what is lacking, and how far they may be trusted."""
    closings = [c.values[CLOSING] for c in survey.cylinders if "trapped_ratio" in c.values and CLOSING in c.values]
    if closings:
        yield Text(trapped_text(closings[0], fmt), small=True)
    yield from _lacking(survey)
    results = results_of(survey)
    sure = bool(results) and not withheld(results) and all(math.isfinite(value.expanded) for _, value in results)
    for text in ground_lines(results):
        yield Text(f"{f'{SURE} ' if sure else ''}{without_place(text.words)}", small=True)


def _lacking(survey: Survey) -> Iterator[Text]:
    """What the ratio, or anything wanted, still waits for; of bare heads nobody asks for a ratio."""
    asked = dict.fromkeys([*survey.wanted, *(() if heads_alone(survey) else ("static_ratio",))])
    for (keys, needs), who in lacking_together(survey, asked).items():
        of = "" if len(who) == len(survey.cylinders) else f" of {whose(who)}"
        lead = f"{capital(terms(keys))}{of}: not worked out"
        yield Text(f"{lead}, still to be measured or given: {terms(needs)}.")


def _wanted(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What was wanted, and the verdict on each cylinder."""
    if not survey.wanted:
        return
    rows = []
    for key, band in survey.wanted.items():
        found = judged(survey, key).items()
        one = len(survey.cylinders) == 1 or key in survey.whole
        said = "; ".join(f"{verdict.value}{'' if one else _whose(who, survey)}" for verdict, who in found)
        rows.append((term(key).name, band_text(band, fmt), said or "not worked out"))
    yield Heading("Wanted", 2)
    yield Table(head=("of the", "wanted", "verdict"), rows=tuple(rows), names=(0, 1, 2))


def _whose(numbers: Sequence[int], survey: Survey) -> str:
    return ": all" if len(numbers) == len(survey.cylinders) else f": {runs(numbers)}"


def _looks(survey: Survey) -> Iterator[Block]:
    """What is to be looked at, counted, the first few in a line each."""
    found = [one for one in grouped(survey.findings) if one.level > Level.NOTE]
    if not found:
        return
    yield Heading("To look at", 2)
    for one in found[:MOST_LOOKS]:
        place = f"{one.place}: " if whole_cylinders(one.place) else ""
        yield Text(f"{place}{without_place(one.wrong)}.", MARKS[one.level], small=True)
    if len(found) > MOST_LOOKS:
        yield Text(f"And {len(found) - MOST_LOOKS} more.", ITEM, small=True)
