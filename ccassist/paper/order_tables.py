"""The tables of the order sheet: fields, cylinders, mistakes, what to confirm, what stands open, signatures."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import RATIO, SWEPT, TOTAL, addition, as_printed, guarded, printed, ratio_as_printed
from ccassist.analysis.worth import results_of
from ccassist.bench.cautions import cautions
from ccassist.paper.furniture import Cell, Entry, Line, Signatures, heading, labelled, prose, subheading, table
from ccassist.paper.page import SLANT, STRONG
from ccassist.paper.sheet import GREY, INDENT, SMALL, Sheet
from ccassist.paper.worksheet import signed
from ccassist.plan.piston.fields import Row, groups
from ccassist.plan.piston.mistakes import mistake_texts, told
from ccassist.plan.piston.order import CAUTIONS, Order, worst_text
from ccassist.values.display import Formatter
from ccassist.values.findings import Level, capital, runs
from ccassist.values.measured import unsure_texts
from ccassist.values.verdict import decide
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

LONGEST = 140  # characters that a cell holds; longer texts stand below the table, as notes
BRIEF = 300  # characters of remarks that the first page has room for
BOXES = (("ordered by", "date"), ("checked by", "date"), ("accepted by the maker", "date"))


def how_found(sheet: Sheet, order: Order) -> list[Flowable]:
    """How the two numbers were come by, with their own ±, and where their tolerances come from."""
    said = []
    for key, one in order.spec.ordered().items():
        name = term(key).name
        held = f"tolerance {one.tolerance.how}" if one.tolerance.size else f"no tolerance: {one.tolerance.reason}"
        if one.origin == Origin.WORKED_OUT:
            found = sheet.fmt.number(key, one.found)
            said.append(f"{name}: {one.how}: {found}, rounded for the order; {held}.")
        else:
            said.append(f"{name}: {one.origin}, {one.how}; {held}.")
    return [prose(sheet.words(capital(text)), size=SMALL, after=2.0) for text in said]


def fields(sheet: Sheet, order: Order) -> list[Flowable]:
    """Every field under its group; long texts stand whole below the table."""
    story: list[Flowable] = [*heading(sheet, "Every field, who decides it, and where it comes from")]
    widths = [sheet.width * share for share in (0.245, 0.335, 0.115, 0.175, 0.13)]
    rows: list[list[Entry]] = []
    titles: list[int] = []
    notes: list[str] = []
    for group, found in groups(order.rows).items():
        titles.append(len(rows))
        rows.append([group, "", "", "", ""])
        rows += [_field(sheet, row, notes) for row in found]
    head: list[Entry] = ["field", "value", "tolerance, ±", "origin", "decided by"]
    made = table(
        head, rows, widths, words=range(5), breaks=titles[1:], strong=titles, spans=dict.fromkeys(titles, (0, 4)),
        whole=[(n, n + 1) for n in titles],
    )  # fmt: skip
    words = (
        "± of what was measured is the expanded one; a tolerance is the half-width to be held. "
        "Asked: wanted by whoever orders."
    )
    story += [made, prose(words, SLANT, SMALL, shade=GREY)]
    return [
        *story,
        *(labelled(f"note {i}", text, indent=INDENT, size=SMALL) for i, text in enumerate(notes, start=1)),
    ]


def _field(sheet: Sheet, row: Row, notes: list[str]) -> list[Entry]:
    texts = [sheet.words(text) for text in (row.text, row.tolerance, row.origin, row.who)]
    for i, text in enumerate(texts):
        if len(text) > LONGEST:
            notes.append(f"{row.name}: {text}")
            texts[i] = f"see note {len(notes)}"
    if row.open:
        mark = "MISSING" if row.origin == "missing" else "OPEN"
        value = Cell(Line(mark, STRONG), *([Line(texts[0])] if texts[0] else []))
        return [row.name, value, *texts[1:]]
    return [row.name, *texts]


def cylinders(sheet: Sheet, order: Order) -> list[Flowable]:
    """The ratio worked out from the printed sum, with its ±, and what else the piston gives."""
    spec, fmt = order.spec, sheet.fmt
    found = spec.planned.cylinders
    decimals = guarded(found, fmt)
    rows = [row for row in (_ratio_row(one, order, decimals, fmt) for one in found) if row]
    if not rows:
        return []
    widths = [sheet.width * share for share in (0.05, 0.26, 0.14, 0.115, 0.19, 0.245)]
    gaps = ["squish gap", "deck clearance"]
    head: list[Entry] = ["cyl.", "(swept + clearance) ÷ clearance", "ratio ±", "worst case", *gaps]
    story: list[Flowable] = [
        *subheading("The ratio that one common piston gives in each cylinder"),
        table(head, rows, widths, words=range(6)),
    ]
    story += _verdicts(sheet, order)
    volumes = [(c.number, c.values[TOTAL]) for c in found if TOTAL in c.values]
    said = ", ".join(f"cylinder {n} {fmt.value(v)}" for n, v in volumes)
    held = "The ± holds the tolerances of this order and all that was measured."
    unsure = unsure_texts(results_of(order.spec.planned, (RATIO, "squish", "deck_clearance")), fmt)
    story += [prose(sheet.words(text)) for text in unsure]
    return [*story, prose(f"{held} {term(TOTAL).name.capitalize()}: {said}.", size=SMALL)]


def _verdicts(sheet: Sheet, order: Order) -> list[Flowable]:
    """Which cylinders are as is wanted."""
    band = order.spec.survey.wanted.get(RATIO)
    if band is None:
        return []
    found: dict[str, list[int]] = {}
    for one in order.spec.planned.cylinders:
        value = one.values.get(RATIO)
        if value is not None:
            found.setdefault(decide(value, band).value, []).append(one.number)
    said = [f"cylinder{'s' if len(who) > 1 else ''} {runs(who)} {word}" for word, who in found.items()]
    return [prose(sheet.words(f"Wanted {band.raw}: {'; '.join(said)}."))]


def _ratio_row(one: Cylinder, order: Order, decimals: int, fmt: Formatter) -> list[Entry]:
    """One cylinder: the division written out, its answer ±, the worst case, the gaps; empty without a ratio."""
    total = addition(one, decimals, fmt)
    if total is None or RATIO not in one.values:
        return []
    swept = printed(as_printed(one.values[SWEPT], decimals, fmt))
    ratio = printed(ratio_as_printed(one, total.total, decimals, fmt))
    divided = f"({swept} + {printed(total.total)}) ÷ {printed(total.total)} = {ratio}"
    values = [one.values.get(key) for key in ("squish", "deck_clearance")]
    gaps = ["not given" if v is None else fmt.value(v) for v in values]
    headline = Cell(Line(fmt.value(one.values[RATIO]), STRONG))
    return [str(one.number), divided, headline, worst_text(order.spec, one.number, fmt), *gaps]


def mistake_table(sheet: Sheet, order: Order) -> list[Flowable]:
    """What the usual mistakes would come to, on this very engine."""
    if not order.mistakes or order.first is None:
        return []
    rows: list[list[Entry]] = []
    for one in order.mistakes:
        texts = mistake_texts(one, sheet.fmt)
        squish = texts["squish_text"] or "not known"
        rows.append([told(one, sheet.fmt), Cell(Line(texts["ratio_text"], STRONG)), squish, texts["crown_text"]])
    planned = sheet.fmt.show(RATIO, order.first.values[RATIO].nominal)
    widths = [sheet.width * share for share in (0.5, 0.08, 0.18, 0.24)]
    lead = (
        f"On cylinder {order.first.number}, which has the highest ratio ({planned} as ordered). "
        "If a number on this sheet leads to one of these, something has been misread."
    )
    return [
        *heading(sheet, "What a mistake would come to"),
        prose(lead),
        table(["mistake", "ratio", "squish gap", "crown that would be cut"], rows, widths, words=(0, 2, 3)),
    ]


def confirm(sheet: Sheet, order: Order) -> list[Flowable]:
    """The checks, as questions to the maker."""
    story = heading(sheet, "To confirm with the maker")
    for one in order.checks:
        mark = "LOOK" if one.level > Level.NOTE else "ask"
        story.append(labelled(mark, sheet.words(f"{one.wrong}; {one.right}."), indent=INDENT))
    return story


def remarks(sheet: Sheet, order: Order) -> list[Flowable]:
    """What whoever orders wants to say; where it is long, that it stands at the end."""
    said = order.spec.said.get("remarks", "")
    if not said:
        return []
    text = sheet.words(said) if len(said) <= BRIEF else "They are long, and stand before the signatures."
    return [*subheading("Remarks"), prose(text)]


def closing(sheet: Sheet, order: Order) -> list[Flowable]:
    """Cautions, remarks that were too long for the first page, boxes to be signed."""
    story = [*heading(sheet, "Cautions"), *(labelled("•", text, indent=12) for text in cautions(CAUTIONS))]
    said = order.spec.said.get("remarks", "")
    if len(said) > BRIEF:
        story += [*subheading("Remarks"), prose(sheet.words(said))]
    return [*story, *signed(sheet, "Signatures", Signatures(sheet.width, BOXES, remarks=1))]
