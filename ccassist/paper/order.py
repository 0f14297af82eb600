"""The piston order sheet as one PDF: what is ordered and drawn first, then everything that it stands on."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable, Spacer

from ccassist.job.disk import write_bytes
from ccassist.paper.furniture import Block, Boxes, Cell, Line, Mark, heading, prose
from ccassist.paper.furniture import LargeFigure as Tile
from ccassist.paper.furniture import LargeFigures as Tiles
from ccassist.paper.order_tables import closing, confirm, cylinders, fields, how_found, mistake_table, remarks
from ccassist.paper.page import MM, SLANT, STRONG, TEXT, register
from ccassist.paper.pages import render
from ccassist.paper.reports import added
from ccassist.paper.scenes import Drawing
from ccassist.paper.sheet import BLACK, GREY, LARGE, LEADING, SMALL, Sheet, broken
from ccassist.plan.piston.crown import DOMES
from ccassist.plan.piston.fields import said_tolerance
from ccassist.plan.piston.order import CONVENTION, Order, counted
from ccassist.plan.piston.specification import CROWN, HEIGHT, RATIO
from ccassist.report.columns import span
from ccassist.report.crown_drawing import PistonView
from ccassist.values.display import Formatter
from ccassist.values.findings import InputError, clean, error
from ccassist.values.measured import Value
from ccassist.vocabulary import term

# The black bar on the first page of the order: what keeps it from being final, with the way out; what is accepted.

PAD, SIZE = 8.0, 9.2
LONGEST = 700  # characters of one entry; reasons are cut shorter where they are read


class Bar(Block):
    """Words in white on black: a title, or one entry; entries under one another make one bar, on as many pages."""

    def __init__(self, text: str, width: float, *, title: bool = False, last: bool = False) -> None:
        super().__init__()
        self.font, self.width = STRONG if title else TEXT, width
        self.inset = PAD if title else PAD + 10
        self.title = title
        self.lines = broken(text, self.font, SIZE, width - self.inset - PAD)
        self.foot = 5.0 if last else 1.0
        self.height = 3.0 + len(self.lines) * SIZE * LEADING + self.foot

    def draw(self) -> None:
        """The black first, then the lines from the top."""
        canvas = self.canv
        canvas.setFillGray(BLACK)
        canvas.rect(0, -0.3, self.width, self.height + 0.6, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.setFont(self.font, SIZE)
        y = self.height - 3.0
        for n, line in enumerate(self.lines):
            y -= SIZE * LEADING
            if n == 0 and not self.title:
                canvas.drawString(PAD, y + 3.0, "•")
            canvas.drawString(self.inset, y + 3.0, line)


def bar(sheet: Sheet, order: Order) -> list[Flowable]:
    """What does not fit, what is not settled, then what was accepted; nothing where there is none of them."""
    found = order.judged
    many, still = len(found.faults), len(order.points)
    entries: list[Bar] = []
    for title, texts in (
        (f"DOES NOT FIT: {many} point{'s' if many > 1 else ''}. Not to be made from.", [f.text for f in found.faults]),
        (f"STANDS OPEN: {still} point{'s' if still > 1 else ''}. Not to be made from.", order.points),
        ("ACCEPTED BY WHOEVER ORDERS, and why:", [one.text for one in found.accepted]),
    ):
        entries += _entries(sheet, title, texts)
    return [*entries, Spacer(1, 6)] if entries else []


def _entries(sheet: Sheet, title: str, texts: Sequence[str]) -> list[Bar]:
    if not texts:
        return []
    made = [Bar(title, sheet.width, title=True)]
    made += [Bar(sheet.short(f"{text}.", LONGEST), sheet.width) for text in texts[:-1]]
    return [*made, Bar(sheet.short(f"{texts[-1]}.", LONGEST), sheet.width, last=True)]


def not_checked(sheet: Sheet, order: Order) -> list[Flowable]:
    """What could not be looked at, on the first page, in one paragraph."""
    lines = [*order.judged.unseen, *order.judged.idle]
    if not lines:
        return []
    text = f"NOT CHECKED, since it is not given: {'; '.join(lines)}."
    return [prose(sheet.words(text), size=SMALL, after=4.0)]


ROW = 15.5  # points that a row of a table takes
DRAFT = "DRAFT: points stand open, not to be made from"
UNFIT = "DRAFT: it DOES NOT FIT, not to be made from"


def write_order(order: Order, path: str | Path, *, page: str = "A4", final: bool = False) -> int:
    """Write the order sheet as a PDF, atomically; returns its number of pages.

    Raises
    ------
    InputError : unknown page size, a final sheet of an order with open points, or the file cannot be written.
    """
    data, pages = order_bytes(order, page=page, final=final)
    write_bytes(Path(path), data)
    return pages


def order_bytes(order: Order, *, page: str = "A4", final: bool = False) -> tuple[bytes, int]:
    """The order sheet's PDF and its number of pages; the same order gives the same bytes.

    It is a draft unless it is asked to be final, and says so on every page.

    Raises
    ------
    InputError : unknown page size, or a final sheet of an order with open points.
    """
    if final and not order.final:
        raise InputError(error("not-final", "it does not fit, or points stand open: it can only be printed as a draft"))
    register()
    said = order.spec.said
    revision = clean(said.get("revision", ""), 60).strip()
    running = f"Piston order{f', revision {revision}' if revision else ''}"
    sheet = Sheet(survey=order.spec.planned, system=order.system, page=page)
    sheet.running = sheet.short(running, 60)
    sheet.mark = "" if final else _mark(order)
    story = [
        *_head(sheet, order, final),
        *bar(sheet, order),
        *_figures(sheet, order),
        *not_checked(sheet, order),
        *_drawing(sheet, order),
        *remarks(sheet, order),
        *_sum(sheet, order),
        *fields(sheet, order),
        *mistake_table(sheet, order),
        *confirm(sheet, order),
        *closing(sheet, order),
    ]
    subject = f"Piston order, {'final' if final else 'draft'}"
    return render(sheet, story, what=running, subject=subject, author=said.get("signed_by", ""))


def _mark(order: Order) -> str:
    """What stands over every page of a draft."""
    if order.judged.faults:
        return UNFIT
    return DRAFT if order.open else "DRAFT: not yet printed as final"


def _head(sheet: Sheet, order: Order, final: bool) -> list[Flowable]:
    """What this is, for whom, by whom, and how many."""
    job, said = order.spec.survey.job, order.spec.said
    pieces = next((row.text for row in order.rows if row.entry.key == "pieces"), "")
    spares = next((row.text for row in order.rows if row.entry.key == "spares"), "")

    def cell(label: str, *texts: str) -> Cell:
        """A box: what it is, then what is said; the first of it in strong letters."""
        lines = [Line(sheet.short(text, 80), STRONG if i == 0 else SLANT) for i, text in enumerate(texts) if text]
        return Cell(Line(label, shade=GREY), *(lines or [Line("not given", SLANT, shade=GREY)]))

    status = "FINAL" if final else "DRAFT"
    cells = [
        cell("engine", job.name or "unnamed job", job.about.get("customer", "")),
        cell("to the maker", said.get("maker", "")),
        cell("pistons", f"{pieces}{f' and {spares} spare' if spares else ''}".strip()),
        cell("revision", said.get("revision", ""), said.get("date", "")),
        cell("answered for by", said.get("signed_by", "")),
    ]
    title = f"Piston order: {status}"
    return [
        Mark(title),
        prose(title, STRONG, LARGE + 3, after=8),
        Boxes(cells, sheet.width),
        Spacer(1, 6),
    ]


def _figures(sheet: Sheet, order: Order) -> list[Flowable]:
    """The two numbers, and what they give, in large."""
    spec, fmt = order.spec, sheet.fmt
    made = []
    for key, figure, words in (
        (HEIGHT, _value(order, HEIGHT), "pin axis to crown flat"),
        (CROWN, _value(order, CROWN), _crown_words(order)),
    ):
        one = spec.ordered().get(key)
        size = said_tolerance(key, one.tolerance.size, fmt) if one else ""
        made.append(Tile(term(key).name, figure, size or "tolerance open", words))
    for key in (RATIO, "squish"):
        values = [c.values[key] for c in spec.planned.cylinders if key in c.values]
        band = spec.survey.wanted.get(key)
        wanted = f"wanted {sheet.short(band.raw, 40)}" if band else ""
        made.append(Tile(term(key).name, _span(values, fmt), wanted, "all cylinders"))
    return [Tiles(made, sheet.width), Spacer(1, 4)]


def _span(values: list[Value], fmt: Formatter) -> str:
    """A term over all cylinders; where it is less than nothing, in words: a sign is never bare."""
    if not values:
        return "not given"
    least = min(values, key=lambda value: value.nominal)
    if least.nominal >= 0 or term(least.key).sign is None:
        return span(values, fmt)
    return fmt.show(least.key, least.nominal).partition(":")[0]


def _value(order: Order, key: str) -> str:
    """As large as it must be read: the amount, and of a crown whether it is a dish or a dome."""
    one = order.spec.ordered().get(key)
    if one is None:
        return "not known"
    text = next(row.text for row in order.rows if row.entry.key == key)
    if key != CROWN:
        return text
    shape, _, amount = text.partition(", ")
    number = amount.partition(" ")[2].removesuffix(" of space")
    if one.value > 0 and (order.spec.shape.shape == "flat" or order.spec.shape.shape in DOMES):
        shape = "adds"  # by its pockets: never "dish" over a flat or a dome that is drawn
    return f"{shape.upper()} {number}" if one.value else shape


def _crown_words(order: Order) -> str:
    """What the crown does to the space above the piston, beneath its amount."""
    one = order.spec.ordered().get(CROWN)
    does = "" if one is None or not one.value else "adds space, " if one.value > 0 else "takes space, "
    return f"{does}pockets in"


def _drawing(sheet: Sheet, order: Order) -> list[Flowable]:
    """The piston, or why it is not drawn."""
    if "bore" not in order.spec.planned.cylinders[0].values:
        return [prose("No drawing: the bore is not given.")]
    drawing = Drawing(PistonView(spec=order.spec, fmt=sheet.fmt, width=sheet.width / MM).scene())
    return [drawing, Spacer(1, 4), prose(CONVENTION, SLANT, SMALL), *how_found(sheet, order)]


def _sum(sheet: Sheet, order: Order) -> list[Flowable]:
    """The sum to be added again, and the ratio from it."""
    room = 140 + ROW * len(sheet.survey.cylinders)
    story = [*heading(sheet, "The sum, to be added again", room=room), prose(counted(order))]
    parts = added(sheet)
    if not parts:
        lacking = dict.fromkeys(
            key for c in sheet.survey.cylinders for key in c.model.lacking.get("clearance_volume", ())
        )
        names = ", ".join(term(key).name for key in lacking) or "a part of it"
        return [*story, prose(f"It cannot be added yet: not given: {names}.")]
    return [*story, *parts, *cylinders(sheet, order)]
