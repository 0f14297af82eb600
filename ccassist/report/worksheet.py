"""The worksheet: one page for the customer and the file, a second with the readings, and all that supports them.

No key of the job file, no line of it and no command stands before a customer;
whoever works on the job finds them with ``check``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.assembly import WHOLE_HOLDS, compare_assembly, whole_head, whole_lead, whole_rows
from ccassist.analysis.results import Survey
from ccassist.analysis.results import survey as worked_out
from ccassist.analysis.which_counts import CLOSING, trapped_text
from ccassist.analysis.worth import JUDGED, results_of
from ccassist.bench.cautions import in_short
from ccassist.plan.balance.alike import Opening, balanced, openings
from ccassist.report.blocks import (
    ITEM,
    MARKS,
    Beside,
    Block,
    DotPlot,
    Facts,
    Heading,
    OnePage,
    Report,
    SignOff,
    Table,
    Text,
    Tile,
    Tiles,
)
from ccassist.report.columns import band_text, bare, column, merged, span
from ccassist.report.figures import dot_plot
from ccassist.report.ground import ground_lines
from ccassist.report.read_in_short import readings_in_short
from ccassist.values.display import NEEDS_REPEATS, Formatter
from ccassist.values.findings import Finding, Level, NotPossible, capital, clean, grouped, listed, runs
from ccassist.values.measured import Value, computed, confidence_texts
from ccassist.values.number import nominal
from ccassist.values.verdict import COMPARED, Band, Spread, Verdict, decide, is_shown, spread_of
from ccassist.vocabulary import term

# A column each, by the words of a narrow one; of the volumes below the head only what is known of a cylinder's.
COLUMNS = {
    "chamber_volume": "chamber",
    "deck_clearance": "deck",
    "squish": "squish",
    "crown_volume": "crown",
    "crown_and_deck_volume": "over piston",
    "static_ratio": "ratio",
    "trapped_ratio": "trapped ratio",
}
ALWAYS = ("contact", "metal", "planning", "knock")
HEADS_ALONE = ("metal", "grinding", "planning")
BOXES = (("measured by", "date"), ("received by", "date"))
FACTS = {"customer": "customer", "by": "measured by", "date": "date", "file": "job file"}
PLACE = re.compile(r" \([a-z]{3,}\.[^()]*\)")  # of a value in the job file
LONGEST, LONGEST_REMARK = 60, 300  # characters at the head of the page
LARGEST = ("largest", "leave")
MOST_LOOKS, MOST_PLOTS = 2, 2
MEANING = (
    "± is the expanded uncertainty at 95 %: the standard uncertainty times Student's t for its degrees of freedom "
    "(JCGM 100:2008), or times less where hard limits make most of it (JCGM 101:2008). “Inside” and “outside” hold "
    "for the whole of value ± uncertainty; in between one “cannot tell at this ±”."
)
APART = (
    "In a difference the causes that both cylinders share cancel; its ± is that of the studentized range, since the "
    "two were picked after looking."
)
MOST_READ = 60  # lines of readings that are printed unasked


def in_units(survey: Survey, system: str) -> Survey:
    """The same engine with all that is said of it in a system of units; its bare numbers are read as before."""
    return survey if survey.job.system == system else worked_out(replace(survey.job, system=system))


def worksheet_report(survey: Survey, fmt: Formatter, *, everything: bool = False) -> Report:
    """The page of a whole engine, or of heads alone, and the readings where a page holds them.

    ``everything`` : with what stands behind it instead.
    """
    read = tuple(readings_in_short(survey, fmt))
    first = OnePage(tuple(first_page(survey, fmt)), spare=tuple(_figures(survey, fmt)))
    few = sum(len(block.rows) + 4 for block in read if isinstance(block, Table)) <= MOST_READ
    return Report(
        title="Chamber worksheet" if _heads_alone(survey) else "Compression worksheet",
        subject="Chamber volumes, measured" if _heads_alone(survey) else "Compression ratio and volumes, measured",
        answer=(first, Heading("Readings"), *read) if read and few and not everything else (first,),
        support=tuple(behind(survey, fmt)) if everything else (),
    )


def first_page(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Whose engine, what it comes to, each cylinder, what was wanted, what to look at, and room to sign."""
    yield from _head(survey, fmt)
    key = _headline(survey)
    if key is not None:
        yield Tiles(tuple(_tiles(survey, key, fmt)))
        yield Heading("Each cylinder" if survey.job.cylinders > 1 else "The cylinder", 2)
        yield _each(survey, fmt)
    yield from _notes(survey, fmt)
    yield from _wanted(survey, fmt)
    yield from _looks(survey)
    yield Heading("Cautions", 2)
    keys = HEADS_ALONE if _heads_alone(survey) else ALWAYS
    yield Text(" ".join(in_short(keys)), small=True)
    yield SignOff(BOXES)


def behind(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What the first page rests on."""
    found = sorted(grouped(survey.findings), key=lambda one: -one.level)
    if found:
        yield Heading("To look at")
        yield from (Text(_told(one), MARKS[one.level]) for one in found)
    yield from _whole(survey, fmt)
    yield from _between(survey, fmt)
    yield from _in_full(survey)
    yield Heading("What the ± means", 2)
    yield from (Text(PLACE.sub("", text)) for text in confidence_texts(results_of(survey), fmt))
    yield Text(MEANING, small=True)
    yield from (Text(text) for text in _counting(survey))


def _in_full(survey: Survey) -> Iterator[Block]:
    """What was too long for the head of the page."""
    about = {"name": survey.job.name, **survey.job.about}
    room = {key: LONGEST if key in FACTS else LONGEST_REMARK for key in ("name", *FACTS, "remark")}
    cut = [(key, about[key]) for key, most in room.items() if len(about.get(key, "")) > most]
    if cut:
        yield Heading("The job in full", 2)
        yield from (Text(f"{FACTS.get(key, key)}: {clean(text, len(text))}") for key, text in cut)


def _counting(survey: Survey) -> Iterator[str]:
    """What is counted, by the builder's choice, and what enters as nothing."""
    groups: dict[str, list[int]] = {}
    for c in survey.cylinders:
        relation = c.model.relation_of("clearance_volume")
        if relation is None:
            continue
        said = [
            f"the {name} is {'counted' if on else 'not counted'}"
            for name, on in (("crevice", c.choices.crevice), ("chamfer", c.choices.chamfer))
        ]
        fixed = {key: c.model.fixed[key] for key in relation.needs if key in c.model.fixed}
        nothing = [f"{term(key).name} ({why})" for key, why in fixed.items() if why != "not counted"]
        words = f"{listed(said)}." + (f" Entered as nothing: {listed(nothing)}." if nothing else "")
        groups.setdefault(words, []).append(c.number)
    for words, who in groups.items():
        yield f"Counting{'' if len(groups) == 1 else f', cylinders {runs(who)}'}: {words}"


def _told(one: Finding) -> str:
    """A finding whole, without its line of the file and its key."""
    place = f"{one.place}: " if one.place.startswith("cylinder") and "." not in one.place else ""
    read = f"read “{one.read}”: " if one.read else ""
    words = f"{place}{read}{one.wrong}{f'; {one.right}' if one.right else ''}"
    words = PLACE.sub("", words)
    return words if words.endswith((".", "?")) else f"{words}."


def _whole(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """The whole assembly against the sum of its parts, where any cylinder was filled through its plug hole."""
    checks = compare_assembly(survey)
    if checks:
        yield Heading("The whole against its parts", 2)
        yield Text(whole_lead(fmt))
        rows = tuple(tuple(row) for row in whole_rows(checks, fmt))
        yield Table(head=("cyl", *whole_head(checks)), rows=rows, names=(0,))
        if any(check.crevice_known for check in checks):
            yield Text(WHOLE_HOLDS, small=True)


def _between(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Smallest, largest, difference and mean between cylinders."""
    every = [spread for key in COMPARED if (spread := spread_of(key, _numbered(survey, key)))]
    rows = tuple(_spread(survey, spread, fmt) for spread in every if spread.low != spread.high)
    if rows:
        yield Heading("Between cylinders", 2)
        yield Table(head=("", "smallest", "largest", "difference", "mean"), rows=rows, names=(0,))
        yield Text(APART, small=True)


def _spread(survey: Survey, spread: Spread, fmt: Formatter) -> tuple[str, ...]:
    values = dict(_numbered(survey, spread.key))
    ends = [f"{fmt.show(spread.key, values[n].nominal)} (cyl. {n})" for n in (spread.low, spread.high)]
    apart = fmt.show(spread.key, nominal(spread.difference), spread.expanded or None, words=False)
    return (term(spread.key).name, *ends, apart, fmt.value(computed(spread.key, spread.average)))


# -- the head of the page ----------------------------------------------------------------


def _head(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    job = survey.job
    about = {**job.about, "file": job.file.replace("\\", "/").split("/")[-1]}
    yield Heading(clean(job.name, LONGEST_REMARK) or "Unnamed job", 0)
    yield Facts(tuple((name, clean(about.get(key, ""), LONGEST)) for key, name in FACTS.items()))
    if job.about.get("remark"):
        yield Text(clean(job.about["remark"], LONGEST_REMARK), small=True)
    yield Text(_engine(survey, fmt))


def _engine(survey: Survey, fmt: Formatter) -> str:
    """Cylinders, bore × stroke, displacement, as far as they are given."""
    count = survey.job.cylinders
    words = [f"{count} cylinder{'s' if count != 1 else ''}"]
    size = [(key, span(found, fmt)) for key in ("bore", "stroke") if (found := _given(survey, key))]
    words += [" × ".join(f"{key} {text}" for key, text in size)] if size else []
    if "displacement" in survey.whole:
        words.append(f"displacement {fmt.value(survey.whole['displacement'])}")
    return f"{'; '.join(words)}."


def _given(survey: Survey, key: str) -> list[Value]:
    return [value for value in survey.column(key) if value is not None]


def _numbered(survey: Survey, key: str) -> list[tuple[int, Value]]:
    return [(c.number, c.values[key]) for c in survey.cylinders if key in c.values]


def _headline(survey: Survey) -> str | None:
    """What the job comes to: the ratio, else the clearance volume, else the chamber volume."""
    return next((key for key in JUDGED if _given(survey, key)), None)


# -- the large figures -------------------------------------------------------------------


def _tiles(survey: Survey, key: str, fmt: Formatter) -> Iterator[Tile]:
    """The headline, how far apart the cylinders are, and how the first two things wanted are met."""
    found = _numbered(survey, key)
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
    found = _verdicts(survey, key, band)
    wanted = f"wanted {band_text(band, fmt)}"
    if not found:
        return Tile(title=term(key).name, figure="not worked out", words=(wanted,))
    first = max(found, key=lambda verdict: len(found[verdict]))
    many = sum(map(len, found.values()))
    rest = [f"{verdict.value}: {runs(who)}" for verdict, who in found.items() if verdict is not first]
    said = first.value.removesuffix(" at this ±")
    figure = f"{len(found[first])} of {many} {said}" if many > 1 else said
    return Tile(title=term(key).name, figure=figure, words=(wanted, "; ".join(rest)))


def _verdicts(survey: Survey, key: str, band: Band) -> dict[Verdict, list[int]]:
    """Which cylinders meet what is wanted; of what the whole engine has, all of them by its one figure."""
    if key in survey.whole:
        return {decide(survey.whole[key], band): [0]}
    found: dict[Verdict, list[int]] = {}
    for number, value in _numbered(survey, key):
        found.setdefault(decide(value, band), []).append(number)
    return found


# -- the figures to look at ---------------------------------------------------------------


def _figures(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Every cylinder against what is wanted of it."""
    plots = [(plot,) for plot in _plots(survey, fmt)]
    if plots:
        yield Beside(columns=tuple(plots), shares=(1.0,) * len(plots))


def _plots(survey: Survey, fmt: Formatter) -> Iterator[DotPlot]:
    """A plot for each of the first things wanted of the cylinders; where nothing is, one of what the job comes to."""
    keys = [key for key in survey.wanted if _given(survey, key)]
    headline = _headline(survey)
    for key in keys[:MOST_PLOTS] or ([headline] if headline and survey.job.cylinders > 1 else []):
        sorts = merged((number, (fmt.value(value), value)) for number, value in _numbered(survey, key))
        if len(sorts) < 2 and key not in survey.wanted:
            continue
        plot = dot_plot([(who, value) for who, (_, value) in sorts], fmt, survey.wanted.get(key))
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
    keys = [key for key in COLUMNS if _given(survey, key)]
    if "crown_volume" in keys and "crown_and_deck_volume" in keys:
        keys.remove("crown_and_deck_volume")
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


def _nothing(one: Opening) -> bool:
    """Whether it is the same value as the largest."""
    return nominal(one.amount) == 0 and one.expanded == 0


def _opening(one: Opening, fmt: Formatter) -> tuple[str, str]:
    unit = f" {fmt.unit('correction')}"
    if _nothing(one):
        return LARGEST
    if math.isnan(one.expanded):
        return fmt.show("correction", nominal(one.amount)).removesuffix(unit), "measure again"
    amount = fmt.show("correction", nominal(one.amount), one.expanded or None).removesuffix(unit)
    first = fmt.show("correction", one.first_cut).removesuffix(unit) if one.first_cut > 0 else "creep up"
    return amount, first if one.shown else "leave"


def _notes(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What the figures above hold for, what is lacking, and how far they may be trusted."""
    closings = [c.values[CLOSING] for c in survey.cylinders if "trapped_ratio" in c.values and CLOSING in c.values]
    if closings:
        yield Text(trapped_text(closings[0], fmt), small=True)
    yield from _lacking(survey)
    for text in ground_lines(results_of(survey)):
        yield Text(PLACE.sub("", text.words), small=True)


def _lacking(survey: Survey) -> Iterator[Text]:
    """What the ratio, or anything wanted, still waits for; of bare heads nobody asks for a ratio."""
    asked = dict.fromkeys([*survey.wanted, *(() if _heads_alone(survey) else ("static_ratio",))])
    groups: dict[tuple[tuple[str, ...], tuple[str, ...]], list[int]] = {}
    for cylinder in survey.cylinders:
        missing = {key: cylinder.model.lacking[key] for key in asked if key in cylinder.model.lacking}
        needs = tuple(dict.fromkeys(need for lack in missing.values() for need in lack))
        if missing:
            groups.setdefault((tuple(missing), needs), []).append(cylinder.number)
    for (keys, needs), who in groups.items():
        whose = "" if len(who) == len(survey.cylinders) else f" of cylinder{'s' if len(who) > 1 else ''} {runs(who)}"
        lead = f"{capital(listed([term(key).name for key in keys]))}{whose}: not worked out"
        yield Text(f"{lead}, still to be measured or given: {listed([term(key).name for key in needs])}.")


def _heads_alone(survey: Survey) -> bool:
    """Whether nothing but chambers is known of any cylinder, so that they are all that the job is about."""
    known = {key for key in (*COLUMNS, "bore", "stroke", "gasket_volume") if _given(survey, key)}
    return known == {"chamber_volume"}


def _wanted(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What was wanted, and the verdict on each cylinder."""
    if not survey.wanted:
        return
    rows = []
    for key, band in survey.wanted.items():
        found = _verdicts(survey, key, band)
        said = "; ".join(f"{verdict.value}{_whose(who, survey)}" for verdict, who in found.items())
        rows.append((term(key).name, band_text(band, fmt), said or "not worked out"))
    yield Heading("Wanted", 2)
    yield Table(head=("of the", "wanted", "verdict"), rows=tuple(rows), names=(0, 1, 2))


def _whose(numbers: Sequence[int], survey: Survey) -> str:
    if numbers == [0] or len(survey.cylinders) == 1:
        return ""
    return ": all" if len(numbers) == len(survey.cylinders) else f": {runs(numbers)}"


def _looks(survey: Survey) -> Iterator[Block]:
    """What is to be looked at, counted, the first few in a line each."""
    found = [one for one in grouped(survey.findings) if one.level > Level.NOTE]
    if not found:
        return
    yield Heading("To look at", 2)
    for one in found[:MOST_LOOKS]:
        place = f"{one.place}: " if one.place.startswith("cylinder") and "." not in one.place else ""
        yield Text(f"{place}{PLACE.sub('', one.wrong)}.", MARKS[one.level], small=True)
    if len(found) > MOST_LOOKS:
        yield Text(f"And {len(found) - MOST_LOOKS} more.", ITEM, small=True)
