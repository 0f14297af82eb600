"""Cuts of head and deck and another gasket, told: the record of what is said of them, and the report made from it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from ccassist.bench.cautions import cautions
from ccassist.plan.machining.changes import Machined, Plan
from ccassist.report.blocks import Block, Heading, Report, Table, Text, items, part
from ccassist.report.data import merged, rows_merged, span
from ccassist.report.figures import before_after, by_cylinder
from ccassist.report.findings import finding_texts, first_of, ground_lines
from ccassist.report.machining_words import caution_keys, consequences, order_of_work
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, whose
from ccassist.values.measured import Value, computed, unsure_texts, value_to_dict
from ccassist.values.number import Number, nominal
from ccassist.values.verdict import band_text, decide, verdicts
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record, together

SHOWN = (
    "chamber_volume",
    "gasket_volume",
    "deck_clearance",
    "deck_volume",
    "squish",
    "clearance_volume",
    "static_ratio",
)
WHERE_MOVED = ("gasket_volume", "deck_volume")
FIRST = ("static_ratio", "clearance_volume", "chamber_volume")  # the first of them that is known is the headline


@record
class Machining:
    """All that is told of a plan; ``asked_alone`` is the cut that each chamber by itself would ask for."""

    cylinders: Sequence[dict[str, Any]]
    asked_alone: Mapping[int, Value]
    consequences: Sequence[str]
    order_of_work: Sequence[str]
    cautions: Sequence[str]
    findings: Sequence[Mapping[str, Any]]


def machining_of(plan: Plan, fmt: Formatter) -> Machining:
    """What is told of a plan."""
    return Machining(
        cylinders=[_cylinder(row, plan, fmt) for row in plan.rows],
        asked_alone={n: computed("face_cut", cut) for n, cut in plan.alone.items()},
        consequences=consequences(plan, fmt),
        order_of_work=order_of_work(plan, fmt),
        cautions=cautions(caution_keys(plan)),
        findings=[f.to_dict() for f in plan.findings],
    )


def _cylinder(row: Machined, plan: Plan, fmt: Formatter) -> dict[str, Any]:
    """Depths of the cuts and how much nearer the head comes [m], volumes, and every term that moves."""
    cuts = row.cuts
    depths = {"flat": cuts.skim, "tilted_at_centroid": cuts.tilt, "deck": cuts.deck, "gasket_thinner": cuts.thinner}
    return {
        "cylinder": row.number,
        "cuts": {name: nominal(depth) for name, depth in depths.items()},
        "approach": nominal(cuts.approach),
        "opened": computed("correction", cuts.opened),
        "taken": computed("fill_volume", cuts.taken),
        "reckoned_by": cuts.how,
        "values": {key: _moved(row, key, fmt) for key in keys_shown(row)},
        "wanted": verdicts(row.after.values, plan.survey.wanted),
    }


def _moved(row: Machined, key: str, fmt: Formatter) -> dict[str, Any]:
    """Before and after; the change is without the words of a sign that it does not bear."""
    moved = value_to_dict(_change(row, key), fmt)
    del moved["text"]
    return {"before": row.before.values[key], "after": row.after.values[key], "change": moved}


def _change(row: Machined, key: str) -> Value:
    change = row.change(key)
    assert change is not None  # the key was chosen for that
    return change


def keys_shown(row: Machined) -> list[str]:
    """The terms known before and after; of the parts of a sum only those that move."""
    changes = {key: change for key in SHOWN if (change := row.change(key)) is not None}
    return [key for key, change in changes.items() if key not in WHERE_MOVED or change.nominal != 0]


# The report.


def machining_report(plan: Plan, told: Machining, fmt: Formatter) -> Report:
    """The answer first: what becomes of ratio and squish gap, by which cuts, what is wrong, what to do first."""
    after = [(f"cylinder {row.number}", row.after.values[key]) for key in SHOWN[::-1] for row in plan.rows
             if key in keys_shown(row)]  # fmt: skip
    found = finding_texts(plan.findings)
    work = caution_keys(plan)[:1]  # metal before the gap, where any comes off
    answered = cautions(tuple(dict.fromkeys((*work, "contact"))))
    return Report(
        title="Machining",
        subject="Cuts of head and deck and another gasket, before and after",
        answer=(
            *_headline(plan, fmt),
            _cuts(plan, fmt),
            *first_of(found),
            Text(f"To begin with: {told.order_of_work[0]}."),
            *ground_lines([one for one in after if one[1].key in FIRST]),
            *map(Text, answered),
        ),
        support=(
            *_drawn(plan, fmt),
            *_reckoned(plan, fmt),
            Heading("Each cylinder"),
            _each(plan, fmt),
            *part("What the ± rests on", map(Text, unsure_texts(after, fmt))),
            *part("What else moves:", items(f"{line}." for line in told.consequences)),
            *part("In this order:", items(f"{line}." for line in told.order_of_work)),
            *part("To look at", found),
            Heading("Cautions"),
            *(Text(text) for text in told.cautions if text not in answered),
        ),
    )


def _by_row(plan: Plan, texts: Callable[[Machined], tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """A row for each sort of cylinder: those of which the same is said share one."""
    return rows_merged((row.number, texts(row)) for row in plan.rows)


def _cuts(plan: Plan, fmt: Formatter) -> Table:
    """What is done, cylinder by cylinder."""
    parts: dict[str, tuple[str, Callable[[Machined], Number]]] = {
        "opened by": ("correction", lambda row: row.cuts.opened),
        "flat cut": ("face_cut", lambda row: row.cuts.skim),
        "tilted cut, at the middle of the opening": ("face_cut", lambda row: row.cuts.tilt),
        "takes": ("fill_volume", lambda row: row.cuts.taken),
        "off the deck": ("deck_cut", lambda row: row.cuts.deck),
        "gasket": ("face_cut", lambda row: row.cuts.thinner),
    }
    used = {words: one for words, one in parts.items() if any(nominal(one[1](row)) != 0 for row in plan.rows)}
    return Table(
        head=("cyl", *used),
        rows=_by_row(plan, lambda row: tuple(_amount(words, key, of(row), fmt) for words, (key, of) in used.items())),
        long=True,
    )


def _amount(words: str, key: str, number: Number, fmt: Formatter) -> str:
    """One amount of the table; which way a gasket changes in words."""
    if words != "gasket":
        return fmt.number(key, number)
    way = "thinner" if nominal(number) > 0 else "thicker"
    return f"{way} by {fmt.number(key, number if way == 'thinner' else -number)}" if nominal(number) else "as thick"


def _headline(plan: Plan, fmt: Formatter) -> Iterator[Block]:
    """The ratio (or the volume that is known) before and after, the squish gap where it moves, and what is wanted."""
    shown = [key for row in plan.rows for key in keys_shown(row)]
    first = [key for key in FIRST if key in shown][:1]
    moves = any(_change(row, "squish").nominal != 0 for row in plan.rows if "squish" in keys_shown(row))
    keys = [*first, *(["squish"] if moves else [])]
    yield Text(". ".join(_became(key, plan, fmt) for key in keys) + ".", strong=True)
    head = ["cyl", *(title for key in keys for title in _titles(key, key in first, plan))]
    yield Table(
        head=tuple(head),
        rows=_by_row(plan, lambda row: tuple(t for key in keys for t in _texts(row, key, key in first, plan, fmt))),
        names=tuple(place for place, title in enumerate(head) if title == "wanted"),
        long=True,
    )


def _became(key: str, plan: Plan, fmt: Formatter) -> str:
    """How a term stands to what is wanted after the work; what it comes to where nothing is."""
    after = {row.number: row.after.values[key] for row in plan.rows if key in keys_shown(row)}
    band, name = plan.survey.wanted.get(key), capital(term(key).name)
    if band is None:
        return f"{name} after the work {span(list(after.values()), fmt)}"
    found = together((decide(value, band).value, number) for number, value in after.items())
    told = [word if len(found) == 1 else f"{word} in {whose(who)}" for word, who in found.items()]
    return f"{name} wanted {band_text(band, fmt)}: {'; '.join(told)}"


def _drawn(plan: Plan, fmt: Formatter) -> Iterator[Block]:
    """Every wanted term that moves, before and after, against what is wanted; the headline where nothing is."""
    shown = [key for row in plan.rows for key in keys_shown(row)]
    keys = [key for key in plan.survey.wanted if key in shown]
    plots = []
    for key in keys or [key for key in FIRST if key in shown][:1]:
        rows = [row for row in plan.rows if key in keys_shown(row)]
        values = by_cylinder(((row.number, row.before.values[key], row.after.values[key]) for row in rows), fmt)
        if any(was and was.nominal != value.nominal for _, was, value in values):
            plots.append(before_after(values, fmt, plan.survey.wanted.get(key)))
    yield from part("Before and after", plots)


def _titles(key: str, before: bool, plan: Plan) -> list[str]:
    name = term(key).name
    wanted = ["wanted"] if key in plan.survey.wanted else []
    return [*([f"{name} before", "after"] if before else [f"{name} after"]), *wanted]


def _texts(row: Machined, key: str, before: bool, plan: Plan, fmt: Formatter) -> list[str]:
    band = plan.survey.wanted.get(key)
    if key not in keys_shown(row):
        return ["not given"] * (1 + before) + [""] * (band is not None)
    after = row.after.values[key]
    verdict = [str(decide(after, band).value)] if band else []
    return [*([fmt.value(row.before.values[key])] if before else []), fmt.value(after), *verdict]


def _reckoned(plan: Plan, fmt: Formatter) -> Iterator[Block]:
    """By what the volumes are reckoned and, with a target, what each chamber by itself would ask for."""
    told = [f"Volume by {how}." for how in dict.fromkeys(row.cuts.how for row in plan.rows if row.cuts.how)]
    band = plan.work.skim_to
    if band is not None:
        alone = ", ".join(f"cylinder {n} {fmt.number('face_cut', cut)}" for n, cut in plan.alone.items())
        aim = fmt.show(band.key, band.aim)
        told.append(f"To bring the {term(band.key).name} to {aim}, each by itself would ask for: {alone}.")
    if len({round(nominal(cut) * 1e6) for cut in plan.alone.values()}) > 1:
        told.append(
            "One face has one cut: the least of a head's is taken, for metal cannot be put back. "
            "Make the cylinders alike first (--equalise) to bring all of them there."
        )
    yield from part("How it is reckoned", map(Text, told))


def _each(plan: Plan, fmt: Formatter) -> Table:
    """Every term of each cylinder, before and after; cylinders of which all is alike share their rows."""
    lines, starts = list[tuple[str, ...]](), []
    for who, made in merged((row.number, tuple(_row(row, plan, fmt))) for row in plan.rows):
        starts.append(len(lines))
        lines += ((who if not number else "", *line) for number, line in enumerate(made))
    wanted = "wanted" if any(line[-1] for line in lines) else ""
    head = ("cyl", "", "before", "after", "change", wanted)
    return Table(head=head, rows=tuple(lines), names=(1, 5), groups=tuple(starts))


def _row(row: Machined, plan: Plan, fmt: Formatter) -> Iterator[tuple[str, ...]]:
    """Every term of one cylinder, before and after."""
    for key in keys_shown(row):
        change, after, band = _change(row, key), row.after.values[key], plan.survey.wanted.get(key)
        verdict = str(decide(after, band).value) if band else ""
        signed = _signed(key, change.nominal, change.expanded, fmt)
        yield term(key).name, fmt.value(row.before.values[key]), fmt.value(after), signed, verdict


def _signed(key: str, amount: float, spread: float, fmt: Formatter) -> str:
    """A change with its sign in words, so that it is never taken for a position."""
    if amount == 0:
        return "none"
    shown = fmt.show(key, abs(amount), spread or None, words=False)
    return f"{'more' if amount > 0 else 'less'} by {shown}"
