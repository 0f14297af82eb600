"""Combinations of parts, told: the record of what is said of them, and the report made from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ccassist.analysis.checks import least_squish
from ccassist.analysis.motion import MOTION, motion_of
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.boost.figures import OCTANE
from ccassist.job.tables import as_cell
from ccassist.job.vocabulary import OPEN_TERMS, PART_KINDS, WEIGHTS
from ccassist.plan.boost.against import ANY_SPEED
from ccassist.plan.combine.candidates import Aim, RefusalRule, reason_text, refusals
from ccassist.plan.valves.cam_card import cam_card
from ccassist.report.blocks import LOOK, Block, Heading, Report, Table, Text, items
from ccassist.report.data import CALLED, column, named, terms, to_csv, value_cells, value_heads
from ccassist.report.findings import ground_lines
from ccassist.values.display import Formatter
from ccassist.values.findings import clean, runs
from ccassist.values.measured import Result, Value, unsure_texts
from ccassist.values.verdict import Verdict, band_text, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin

if TYPE_CHECKING:
    from ccassist.plan.combine.search import Combination, Combined

FIRST = ("static_ratio", "trapped_ratio", "squish")
THEN = ("octane_difference", "clearance_volume", "displacement", "deck_clearance", "rod_ratio")
NOT_GIVEN = "not given"
CAUTIONS = ("contact", "planning")
NOT_LOOKED_AT = (
    "pins, journals, bearing widths and dowels match",
    "valves clear the crown and each other; notches fit the valves",
    "skirts clear the counterweights, rods clear block, camshaft and pan, at bottom dead centre",
    "the gasket covers the water and oil holes of this head and block",
    "crank, rods and pistons can be balanced together",
)
NONE_LEFT = "No combination is left: list other parts, or widen what is wanted."
TOUCHING = "piston and head may touch at this ±"
NOT_MEASURED = "some figures are not measured: measure the parts before metal is cut"
NEXT = "Answer what was not looked at here before parts are bought."
MOST_REMARKS = 2  # in the answer


@record
class Refusal:
    """A reason for which combinations were refused, in words, and how many: each for its gravest reason alone."""

    reason: str
    text: str
    combinations: int


@record
class Break:
    """A rule that a near miss breaks, by how much in SI, and in words."""

    reason: str
    by: float
    text: str


@record
class Parts:
    """One combination.

    open : what of the piston is not chosen, worked out from what is wanted; or why not, among the remarks.
    """

    parts: Mapping[str, str]  # name of each part by its kind
    distance: float  # from what is wanted; 0 is on it
    values: Mapping[str, Value]  # what is shown and what is wanted, by term
    weight_changes: Mapping[str, Value]  # against the engine's own part, by kind
    not_given: Mapping[str, Sequence[str]]  # what would be needed for a term that cannot be worked out
    open: Sequence[str]


@record
class RowTold(Parts):
    """One that is left, and what its ± leaves open."""

    remarks: Sequence[str]


@record
class Miss(Parts):
    """One that came near, and every rule that it breaks."""

    breaks: Sequence[Break]


@record
class Combinations:
    """All that is told of a search; ``nearest_misses`` only where no row is left."""

    combinations: int
    left: int
    refused: Sequence[Refusal]
    rows: Sequence[RowTold]
    nearest_misses: Sequence[Miss]

    @property
    def shown(self) -> Sequence[Parts]:
        """The rows or, where none is left, the nearest misses."""
        return self.rows or self.nearest_misses


def combinations_of(
    found: Combined, fmt: Formatter, cannot_be: Mapping[int, Sequence[str]] | None = None
) -> Combinations:
    """What is told of the combinations found; ``cannot_be`` : by row, what of a piston yet to be made cannot be."""
    aims, no = found.aims, cannot_be or {}
    return Combinations(
        combinations=found.count,
        left=found.left,
        refused=[
            Refusal(reason=reason, text=reason_text(reason, aims, fmt), combinations=number)
            for reason, number in found.refused.items()
        ],
        rows=[
            RowTold(**_parts(one, aims), remarks=[*no.get(number, ()), *remarks_on(one, aims, fmt)])
            for number, one in enumerate(found.best, 1)
        ],
        nearest_misses=[
            Miss(
                **_parts(one, aims),
                breaks=[
                    Break(reason=rule.reason, by=rule.beyond, text=break_text(rule, aims, fmt))
                    for rule in broken(one, aims)
                ],
            )
            for one in found.nearest
        ],
    )


def _parts(one: Combination, aims: Sequence[Aim]) -> dict[str, Any]:
    keys = dict.fromkeys([*FIRST, *one.open, *THEN, *MOTION, *sorted(aim.key for aim in aims)])
    values = {**motion_of(one.values), **one.values}
    return {
        "parts": {part.kind: part.name for part in one.parts},
        "distance": one.distance,
        "values": {key: values[key] for key in keys if key in values},
        "weight_changes": one.weights,
        "not_given": {} if one.open else one.lacking,
        "open": one.open,
    }


def broken(row: Combination, aims: Sequence[Aim]) -> list[RefusalRule]:
    """Every rule that a combination breaks, by its plain numbers, each reason once."""
    values = {key: value.nominal for key, value in row.values.items()}
    return list({rule.reason: rule for rule in refusals(values, aims) if rule.broken}.values())


def break_text(rule: RefusalRule, aims: Sequence[Aim], fmt: Formatter) -> str:
    """A rule broken and by how much, such as "squish gap outside what is wanted: 1.0 to 1.2 mm, by 0.15 mm"."""
    by = fmt.show(rule.key, rule.beyond, words=False)
    return f"{clean(reason_text(rule.reason, aims, fmt), 200)}, by {by}"


def remarks_on(row: Combination, aims: Sequence[Aim], fmt: Formatter) -> Iterator[str]:
    """Remarks on one row, judged at the unsafe end of each ±, the gravest first."""
    gap = row.values.get("squish")
    if gap is not None:
        if gap.low <= 0:
            yield TOUCHING
        elif gap.low < (least := least_squish(row.values)).gap:
            usual = fmt.show("squish", least.gap)
            yield f"squish may be under {usual} (usual least with {least.words}, common practice)"
    for aim in aims:
        value = row.values.get(aim.key)
        if aim.limits and value is not None and (verdict := decide(value, aim.band)) is not Verdict.INSIDE:
            yield f"{term(aim.key).name} {band_text(aim.band, fmt)}: {verdict.value}"
    if {v.origin for part in row.parts for v in part.values.values()} - {Origin.MEASURED, Origin.CHOSEN}:
        yield NOT_MEASURED


# The report.


def combine_report(told: Combinations, aims: Sequence[Aim], survey: Survey, fmt: Formatter) -> Report:
    """The answer first: how many are left and the best of them; then what it rests on."""
    remarks, first = [*_beyond_the_job(told, aims, survey, fmt), *_remarks(told)], _first(told, aims)
    more: list[Block] = [Heading("More to look at"), *remarks[MOST_REMARKS:]] if remarks[MOST_REMARKS:] else []
    return Report(
        title="Combinations of parts",
        subject="Every combination of the parts on offer, refused or ranked",
        answer=(
            *_counts(told, aims, fmt),
            *_opened(told),
            *_best(told, first, survey, fmt),
            *remarks[:MOST_REMARKS],
            *_ground(told),
        ),
        support=(
            *_asked(told, aims, survey, fmt),
            *_refused(told),
            *_further(told, first, fmt),
            *more,
            Heading("Not looked at here"),
            Text("Answer each before parts are bought."),
            *items(NOT_LOOKED_AT),
            Heading("Cautions"),
            *items(cautions(CAUTIONS[1:])),
        ),
    )


def _first(told: Combinations, aims: Sequence[Aim]) -> list[str]:
    """The terms that come first: what is open of the piston, then what is asked."""
    opened = [key for key in OPEN_TERMS if any(key in row.open for row in told.shown)]
    return list(dict.fromkeys([*opened, *FIRST, *(aim.key for aim in aims)]))


def _opened(told: Combinations) -> Iterator[Text]:
    """That the piston is not chosen yet, and what of a row cannot be."""
    opened = [key for key in OPEN_TERMS if any(key in row.open for row in told.shown)]
    if opened:
        names = terms(opened)
        yield Text(
            f"The {names} of the piston {'are' if len(opened) > 1 else 'is'} open: each row says what it must be."
        )


def _counts(told: Combinations, aims: Sequence[Aim], fmt: Formatter) -> Iterator[Block]:
    """How many there are, what removed most of them, and how the rest is ordered."""
    refused = told.combinations - told.left
    yield Text(f"{told.combinations} combinations, {refused} refused, {told.left} left.", strong=True)
    if not told.rows:
        yield Text(NONE_LEFT, strong=True)
    if told.refused:
        most = told.refused[0]
        yield Text(f"What removed most: {clean(most.text, 200)} ({most.combinations} of {told.combinations}).")
    if told.rows:
        ranked = [f"{term(aim.key).name} {band_text(aim.band, fmt)}" for aim in aims if aim.ranks]
        nearest = f"The nearest to {' and '.join(ranked)} first."
        yield Text(nearest if ranked else "In the order of the lists: nothing to rank by.")
    elif told.nearest_misses:
        yield Text("Nearest misses, none of which is what was asked for:")


def _best(told: Combinations, first: Sequence[str], survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """The ranked rows, or the nearest misses with what each breaks."""
    rows = told.shown
    if not rows:
        return
    varied = [kind for kind in rows[0].parts if len(survey.offered[kind]) > 1]
    keys = [key for key in first if any(key in row.values for row in rows)]
    columns = [column(key, CALLED.get(key, term(key).name), [row.values.get(key) for row in rows], fmt) for key in keys]
    cells = zip(*(texts for _, texts in columns), strict=True)
    donors = [_donors(row, survey) for row in rows] if survey.job.sets else [[] for _ in rows]
    heads = [*varied, *(["of"] if survey.job.sets else [])]
    yield Table(
        head=("", *heads, *(head for head, _ in columns)),
        rows=tuple(
            (str(number), *(named(row.parts[kind]) for kind in varied), *whose, *texts)
            for number, (row, whose, texts) in enumerate(zip(rows, donors, cells, strict=True), 1)
        ),
        names=tuple(range(1, 1 + len(heads))),
        long=True,
    )
    for number, miss in enumerate(told.nearest_misses, 1):
        yield Text(f"breaks: {'; '.join(one.text for one in miss.breaks)}.", mark=str(number))


def _donors(row: Parts, survey: Survey) -> list[str]:
    """What the parts of a row belong to, such as a donor; one text, empty where none belongs to anything."""
    sets = survey.job.sets
    return [", ".join(dict.fromkeys(named(sets[k][n]) for k, n in row.parts.items() if n in sets.get(k, {})))]


def _cells(row: Parts, keys: Sequence[str], fmt: Formatter) -> list[str]:
    return [fmt.value(row.values[key]) if key in row.values else NOT_GIVEN for key in keys]


def _remarks(told: Combinations) -> list[Text]:
    """What the ± leaves open, each once with the rows that it is on; the gravest first."""
    said = together((remark, number) for number, row in enumerate(told.rows, 1) for remark in row.remarks)
    return [
        Text(f"{words}: row{'s' if len(rows) > 1 else ''} {runs(rows)}.", LOOK)
        for words, rows in sorted(said.items(), key=lambda one: (one[0] == NOT_MEASURED) - (one[0] == TOUCHING))
    ]


def _beyond_the_job(told: Combinations, aims: Sequence[Aim], survey: Survey, fmt: Formatter) -> Iterator[Text]:
    """Rows outside what the job wants, where the command asks for another value in its place."""
    for aim in aims:
        band = survey.wanted.get(aim.key)
        if band is None or band is aim.band:
            continue
        values = {number: row.values[aim.key] for number, row in enumerate(told.rows, 1) if aim.key in row.values}
        rows = [number for number, value in values.items() if not band.low <= value.nominal <= band.high]
        if rows and band.low < band.high:
            words = f"{term(aim.key).name} not as the job wants it, {band_text(band, fmt)}"
            yield Text(f"{words}: row{'s' if len(rows) > 1 else ''} {runs(rows)}.", LOOK)


def _ground(told: Combinations) -> Iterator[Block]:
    """What makes most of the ± of the ratio, or what 95 % waits for; a caution, and what to do next."""
    yield from ground_lines(_results(told, FIRST[:1]))
    if any(OCTANE in row.values and row.values[OCTANE].how == ANY_SPEED for row in told.rows):
        yield Text(f"Octane {ANY_SPEED}.")
    if told.shown:
        yield from map(Text, cautions(CAUTIONS[:1]))
        yield Text(NEXT)


def _results(told: Combinations, keys: Sequence[str]) -> list[Result]:
    """The results of the rows left, each with the row it is of, in words."""
    return [(f"row {n}", row.values[key]) for key in keys for n, row in enumerate(told.rows, 1) if key in row.values]


def _asked(told: Combinations, aims: Sequence[Aim], survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """What is on offer, what is wanted, and what is the same in every row."""
    yield Heading("What was asked")
    yield from items(
        f"{kind}: {', '.join(named(name) for name in options)}" for kind, options in survey.offered.items()
    )
    yield Heading("Wanted", 2)
    for aim in aims:
        kept = " and ".join(said for said, holds in (("kept to", aim.limits), ("ranks the rows", aim.ranks)) if holds)
        yield from items([f"{term(aim.key).name} {band_text(aim.band, fmt)}" + (f": {kept}" if kept else "")])
    if not aims:
        yield Text("Nothing: the order is that of the lists.")
    if told.shown:
        yield from map(Text, _fixed(told.shown, survey, fmt))


def _fixed(rows: Sequence[Parts], survey: Survey, fmt: Formatter) -> Iterator[str]:
    """What is the same in every row."""
    alone = [f"{kind} {clean(name, 40)}" for kind, name in rows[0].parts.items() if len(survey.offered[kind]) == 1]
    if alone:
        yield f"In every row: {', '.join(alone)}."
    several = " (means of all cylinders)" if len(survey.cylinders) > 1 else ""
    said = ", ".join(f"{key} {words}" for key, words in survey.cylinders[0].choices.said.items())
    yield f"Everything else is as the engine{several}; {said}."
    if any("trapped_ratio" in row.values for row in rows):
        card = cam_card(survey)
        assert card.intake_closing is not None
        phased = "; phasing, which moves it, is not in it" if card.phased("intake") else ""
        closing = fmt.value(card.intake_closing)
        yield f"Trapped ratio: geometry alone, at intake closing {closing}, read {card.lift_basis}{phased}."


def _refused(told: Combinations) -> Iterator[Block]:
    yield Heading("Refused")
    if not told.refused:
        yield Text("None.")
        return
    yield Text("Each is counted once, for its gravest reason.")
    yield from (Text(clean(one.text, 200), mark=str(one.combinations)) for one in told.refused)


def _further(told: Combinations, first: Sequence[str], fmt: Formatter) -> Iterator[Block]:
    """The rest of each row's figures by its number: what else is wanted among them, and changes of weight."""
    rows = told.shown
    keys = list(dict.fromkeys(key for row in rows for key in row.values if key not in first))
    heavy = [kind for kind in WEIGHTS if any(_changed(row, kind) for row in rows)]
    if not keys and not heavy:
        return
    yield Heading("The same rows: what else follows")
    yield Table(
        head=("", *(term(key).name for key in keys), *map(weight_heading, heavy)),
        rows=tuple(
            (str(number), *_cells(row, keys, fmt), *(_weight_cell(row, kind, fmt) for kind in heavy))
            for number, row in enumerate(rows, 1)
        ),
    )
    yield from map(Text, unsure_texts(_results(told, [*first, *keys]), fmt))


def _changed(row: Parts, kind: str) -> bool:
    return kind in row.weight_changes and row.weight_changes[kind].nominal != 0


def _weight_cell(row: Parts, kind: str, fmt: Formatter) -> str:
    """The change of weight of one part, such as "34.0 g lighter"."""
    change = row.weight_changes.get(kind)
    return NOT_GIVEN if change is None else fmt.value(change)


def weight_heading(kind: str) -> str:
    """Heading of the column of a kind of part."""
    return f"{term(WEIGHTS[kind]).name}, each" if kind != "crank" else term(WEIGHTS[kind]).name


# Comma-separated values.


def as_csv(told: Combinations, fmt: Formatter) -> str:
    """The rows in the units shown; signed numbers, their meaning in the heading."""
    kinds = list(told.rows[0].parts) if told.rows else []
    keys = list(dict.fromkeys(key for row in told.rows for key in row.values))
    weights = list(dict.fromkeys(kind for row in told.rows for kind in row.weight_changes))
    heads = [value_heads(key, fmt) for key in keys]
    heads += [value_heads("weight_change", fmt, weight_heading(kind)) for kind in weights]
    lines = []
    for number, row in enumerate(told.rows, 1):
        values = [*map(row.values.get, keys), *map(row.weight_changes.get, weights)]
        cells = [cell for value in values for cell in value_cells(value, fmt)]
        lines.append([number, *map(as_cell, row.parts.values()), *cells])
    return to_csv(["rank", *kinds, *(one for pair in heads for one in pair)], lines)


def is_combinations(head: Sequence[str]) -> bool:
    """Whether the first line of a table is one that :func:`as_csv` writes."""
    return head[:1] == ["rank"] and all(cell in PART_KINDS for cell in head[1:2])
