"""Combinations in words, for the screen and for paper: columns, remarks, what a refused one breaks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ccassist.analysis.results import Survey
from ccassist.job.vocabulary import WEIGHTS
from ccassist.plan.combine.aims import Aim, Rule, reason_text, refusals
from ccassist.plan.valves.cam_card import cam_card
from ccassist.values.display import Formatter
from ccassist.values.findings import clean
from ccassist.values.measured import Result
from ccassist.values.verdict import Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

if TYPE_CHECKING:
    from ccassist.plan.combine.search import Combination, Combined

FIRST = ("static_ratio", "trapped_ratio", "squish", "clearance_volume")
THEN = ("displacement", "deck_clearance", "mean_piston_speed", "rod_ratio")
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


def count_text(found: Combined) -> str:
    """How many there are, how many were refused and how many are left."""
    return f"{found.count} combinations, {found.count - found.left} refused, {found.left} left."


def most_text(found: Combined, aims: Sequence[Aim]) -> str:
    """What removed most of them, where none is left."""
    reason, number = next(iter(found.refused.items()))
    return f"What removed most: {clean(reason_text(reason, aims), 200)} ({number} of {found.count})."


def ranked_text(aims: Sequence[Aim]) -> str:
    """By what the rows are ranked."""
    ranked = [f"{term(a.key).name} {clean(a.band.raw, 60)}" for a in aims if a.ranks]
    return (
        f"The nearest to {' and '.join(ranked)} first." if ranked else "In the order of the lists: nothing to rank by."
    )


def fixed_texts(rows: Sequence[Combination], survey: Survey, fmt: Formatter) -> Iterator[str]:
    """What is the same in every row."""
    alone = [part for part in rows[0].parts if len(survey.offered[part.kind]) == 1]
    if alone:
        yield f"In every row: {', '.join(f'{part.kind} {clean(part.name, 40)}' for part in alone)}."
    several = " (means of all cylinders)" if len(survey.cylinders) > 1 else ""
    choices = survey.cylinders[0].choices
    yield (
        f"Everything else is as the engine{several}; crevice {'counted' if choices.crevice else 'not counted'}, "
        f"chamfer {'counted' if choices.chamfer else 'not counted'}."
    )
    if any("trapped_ratio" in row.values for row in rows):
        yield closing_text(survey, fmt)


def closing_text(survey: Survey, fmt: Formatter) -> str:
    """What the trapped ratio rests on."""
    card = cam_card(survey)
    assert card.intake_closing is not None
    phased = "; phasing, which moves it, is not in it" if card.phased("intake") else ""
    return (
        f"Trapped ratio: geometry alone, at intake closing {fmt.value(card.intake_closing)}, "
        f"read {card.lift_basis}{phased}."
    )


def varied(rows: Sequence[Combination], survey: Survey) -> tuple[str, ...]:
    """The kinds of parts of which there is more than one."""
    return tuple(part.kind for part in rows[0].parts if len(survey.offered[part.kind]) > 1)


def columns(rows: Sequence[Combination], keys: Sequence[str]) -> list[str]:
    """Of these terms, the ones that any row has."""
    return [key for key in keys if any(key in row.values for row in rows)]


def cells(row: Combination, keys: Sequence[str], fmt: Formatter) -> list[str]:
    """The values of a row in words."""
    return [fmt.value(row.values[key]) if key in row.values else NOT_GIVEN for key in keys]


def results_of(rows: Sequence[Combination]) -> list[Result]:
    """The results of the rows, each with the row it is of, in words."""
    keys = (*FIRST, *THEN)
    return [(f"row {n}", row.values[key]) for key in keys for n, row in enumerate(rows, 1) if key in row.values]


def weighed(rows: Sequence[Combination]) -> tuple[str, ...]:
    """The kinds of parts for which any row has a change of weight other than none."""
    return tuple(k for k in WEIGHTS if any(k in row.weights and row.weights[k].nominal != 0 for row in rows))


def weight_cell(row: Combination, kind: str, fmt: Formatter) -> str:
    """The change of weight of one part, such as "34.0 g lighter"."""
    change = row.weights.get(kind)
    return NOT_GIVEN if change is None else fmt.value(change)


def weight_heading(kind: str) -> str:
    """Heading of the column of a kind of part."""
    return f"{term(WEIGHTS[kind]).name}, each" if kind != "crank" else term(WEIGHTS[kind]).name


def broken(row: Combination, aims: Sequence[Aim]) -> list[Rule]:
    """Every rule that a combination breaks, by its plain numbers, each reason once."""
    values = {key: value.nominal for key, value in row.values.items()}
    return list({rule.reason: rule for rule in refusals(values, aims) if rule.broken}.values())


def break_text(rule: Rule, aims: Sequence[Aim], fmt: Formatter) -> str:
    """A rule broken and by how much, such as "squish gap outside what is wanted: 1.0 to 1.2 mm, by 0.15 mm"."""
    by = fmt.show(rule.key, rule.beyond, words=False)
    return f"{clean(reason_text(rule.reason, aims), 200)}, by {by}"


def remarks(rows: Sequence[Combination], aims: Sequence[Aim], fmt: Formatter) -> Mapping[str, list[int]]:
    """Remarks on rows, judged at the unsafe end of each ±, with the numbers of the rows."""
    said: dict[str, list[int]] = {}
    for number, row in enumerate(rows, 1):
        for remark in remarks_on(row, aims, fmt):
            said.setdefault(remark, []).append(number)
    return said


def remark_text(words: str, rows: Sequence[int]) -> str:
    """A remark with the rows it is on."""
    return f"{words}: row{'s' if len(rows) > 1 else ''} {', '.join(map(str, rows))}."


def remarks_on(row: Combination, aims: Sequence[Aim], fmt: Formatter) -> list[str]:
    """Remarks on one row."""
    from ccassist.analysis.checks import least_squish

    found = []
    gap = row.values.get("squish")
    if gap is not None:
        if gap.low <= 0:
            found.append("piston and head may touch at this ±")
        elif gap.low < (least := least_squish(row.values)).gap:
            usual = fmt.show("squish", least.gap)
            found.append(f"squish may be under {usual} (usual least with {least.words}, common practice)")
    for aim in aims:
        value = row.values.get(aim.key)
        if aim.limits and value is not None:
            verdict = decide(value, aim.band)
            if verdict is not Verdict.INSIDE:
                found.append(f"{term(aim.key).name} {clean(aim.band.raw, 60)}: {verdict.value}")
    origins = {v.origin for part in row.parts for v in part.values.values()} - {Origin.MEASURED, Origin.CHOSEN}
    if origins:
        found.append("some figures are not measured: measure the parts before metal is cut")
    return found
