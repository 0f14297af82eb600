"""The piston order as a report: for the screen its answer first, for the maker a first page complete in itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.analysis.sums import RATIO
from ccassist.bench.cautions import cautions
from ccassist.plan.piston.crown import DOMES
from ccassist.plan.piston.fields import ENGINE, PISTON, POCKETS, SET, USE, SheetRow
from ccassist.plan.piston.specification import CROWN, HEIGHT
from ccassist.report.blocks import (
    LOOK,
    MARKS,
    Beside,
    Block,
    Facts,
    Heading,
    Notice,
    Report,
    SignOff,
    Table,
    Text,
    Tile,
    Tiles,
)
from ccassist.report.crown_drawing import crown_figure
from ccassist.report.findings import ground_lines
from ccassist.report.order import Order, PistonOrder, ResultTold
from ccassist.report.order_support import behind, how_found, in_cylinders, wanted_texts
from ccassist.values.findings import Level, capital, clean, listed
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import Origin

LONGEST, LONGEST_POCKET = 160, 260  # characters that a cell of the first page holds; longer texts stand below, as notes
FIRST = 300  # characters of what comes first on the screen
BARRED, BAR_LINE = 700, 105  # characters of one entry of a bar, and of a line of it
BOXES = (("ordered by", "date"), ("checked by", "date"), ("accepted by the maker", "date"))
# mm: what title, facts and large figures leave for the drawing on a page, a line of a bar, the least that is of use.
_ROOM = {"A4": 178.0, "Letter": 160.0}
_BAR_HIGH, _LEAST_ROOM, _LARGE_ROOM = 4.3, 105.0, 160.0
DRAFT = "DRAFT, not to be made from"


# -- for the screen -------------------------------------------------------------------------------


def order_report(order: Order, told: PistonOrder, job: str, *, written: bool = False) -> Report:
    """The answer first: the two numbers, what they give, what is wrong or open, what to do next; then the sheet.

    ``written`` : whether the sheet is printed with it, as it was asked for.
    """
    return Report(
        title="Piston order",
        subject="The piston to be ordered",
        answer=(
            Text(_standing(told), strong=True),
            *_numbers(told),
            *in_cylinders(told, order),
            *map(Text, wanted_texts(told)),
            *_first_thing(told),
            *(replace(text, spare=bool(told.open)) for text in ground_lines(
                [(f"cylinder {c.cylinder}", c.values[RATIO].value) for c in told.cylinders if RATIO in c.values][:1])),
            *_next(told, job, written=written),
            *(Text(text, spare=True) for text in cautions(("planning",))),
        ),
        support=(*_what_it_is(order), *_first_page(order, told, _LARGE_ROOM), *behind(order, told)),
    )  # fmt: skip


def _standing(told: PistonOrder) -> str:
    """Whether it can be final, in one line."""
    if told.final:
        return "FINAL can be printed: it fits, as far as it could be checked."
    faults, still = len(told.does_not_fit), len(told.open) - len({one.text for one in told.does_not_fit})
    said = [f"{faults} not fitting" if faults else "", f"{still} open" if still else ""]
    return f"{DRAFT}: {' and '.join(one for one in said if one)}."


def _numbers(told: PistonOrder) -> Iterator[Table]:
    rows = [(one.name, one.text, one.tolerance_text or "no tolerance") for one in told.ordered.values()]
    if rows:
        yield Table(head=("to be ordered", "", "to be held"), rows=tuple(rows), names=(0, 1, 2))


def _first_thing(told: PistonOrder) -> Iterator[Text]:
    """The first of what does not fit or stands open, how many there are more, and what was not checked."""
    marks = {one.text: MARKS[Level.ERROR] for one in told.does_not_fit}
    first, *more = told.open or ("",)
    if first:
        yield Text(clean(first, FIRST), marks.get(first, LOOK))
    if more:
        yield Text(f"And {len(more)} more: --all.")
    if told.not_checked:
        yield Text(f"NOT CHECKED: {', '.join(one.partition(':')[0] for one in told.not_checked)}.")


def _next(told: PistonOrder, job: str, *, written: bool) -> Iterator[Text]:
    """The one thing to do next; nothing of printing what is printed."""
    if len(told.open) > len(told.does_not_fit):
        yield Text("What is missing is asked for by:", command=("ccassist", "guide", job))
    elif not written:
        as_final = ("--final",) if told.final else ()
        lead = "To print it as final:" if told.final else "To print the draft:"
        yield Text(lead, command=("ccassist", "order", job, *as_final, "--out", "order.pdf"))


def _what_it_is(order: Order) -> Iterator[Block]:
    yield Heading("Piston order")
    yield Facts(tuple((name, text) for name, text in _facts(order) if text))


# -- for the maker --------------------------------------------------------------------------------


def order_sheet(order: Order, told: PistonOrder, *, final: bool = False, page: str = "A4") -> Report:
    """The sheet: a first page complete in itself, then the sum, mistakes, questions, cautions, signatures."""
    revision = (_text(order, "revision") or "").strip()
    status = "FINAL" if final else "DRAFT"
    why = "it DOES NOT FIT" if told.does_not_fit else "points stand open"
    return Report(
        title=f"Piston order{f', revision {clean(revision, 60)}' if revision else ''}",
        subject=f"Piston order, {status.lower()}",
        answer=(
            Heading(f"Piston order: {status}", level=0),
            Facts(tuple(_facts(order))),
            _figures(order, told),
            *_first_page(order, told, _ROOM[page] - _barred(told)),
        ),
        support=(*behind(order, told), SignOff(boxes=BOXES)),
        mark="" if final else f"DRAFT: {f'{why}, not to be made from' if told.open else 'not yet printed as final'}",
        author=order.spec.said.get("signed_by", ""),
    )


def _text(order: Order, key: str) -> str:
    row = order.row(key)
    return row.text if row else ""


def _facts(order: Order) -> Iterator[tuple[str, str]]:
    """What this is, for whom, by whom, and how many."""
    spares = _text(order, "spares")
    yield "engine", clean(order.spec.survey.job.name or "unnamed job", 80)
    yield "to the maker", clean(_text(order, "maker"), 80)
    yield "pistons", f"{_text(order, 'pieces')}{f' and {spares} spare' if spares not in ('', '0') else ''}"
    said = [clean(text, 60) for key in ("revision", "date", "signed_by") if (text := _text(order, key))]
    yield "revision, answered for by", ", ".join(said)


def _figures(order: Order, told: PistonOrder) -> Tiles:
    """The two numbers with their tolerance, and what they give, with the verdict at the worst case."""
    height, crown = (told.ordered.get(key) for key in (HEIGHT, CROWN))
    tiles = [
        Tile(
            title=term(HEIGHT).name,
            figure=height.text if height else "not known",
            words=(height.tolerance_text or "tolerance open" if height else "", "pin axis to crown flat"),
        ),
        Tile(
            title=term(CROWN).name,
            figure=_crown_figure(order, told),
            words=(crown.tolerance_text or "tolerance open" if crown else "", _crown_words(order)),
        ),
    ]
    for key in (RATIO, "squish"):
        found = {c.cylinder: c.values[key] for c in told.cylinders if key in c.values}
        tiles.append(Tile(title=term(key).name, figure=_span(found, order), words=tuple(_at_worst(found, order))))
    return Tiles(tuple(tiles))


def _crown_figure(order: Order, told: PistonOrder) -> str:
    """As large as it must be read: the amount, and of a crown whether it is a dish or a dome."""
    one, shape = told.ordered.get(CROWN), order.spec.shape.shape
    if one is None:
        return "not known"
    word, _, amount = one.text.partition(", ")
    if not one.value:
        return word
    if one.value > 0 and (shape == "flat" or shape in DOMES):
        word = "adds"  # by its pockets: never "dish" over a flat or a dome that is drawn
    return f"{word.upper()} {amount.partition(' ')[2].removesuffix(' of space')}"


def _crown_words(order: Order) -> str:
    """What the crown does to the space above the piston, beneath its amount."""
    one = order.spec.crown
    does = "" if one is None or not one.value else "adds space, " if one.value > 0 else "takes space, "
    return f"{does}pockets in"


def _span(found: dict[int, ResultTold], order: Order) -> str:
    """A term over all cylinders."""
    if not found:
        return "not given"
    values = [one.value for one in found.values()]
    decimals = min(order.fmt.decimals(value) for value in values)
    low, high = (end(value.nominal for value in values) for end in (min, max))
    return order.fmt.span(values[0].key, low, high, decimals=min(decimals, 3))


def _at_worst(found: dict[int, ResultTold], order: Order) -> Iterator[str]:
    ends = [(one.worst_low, one.worst_high) for one in found.values()]
    lows, highs = [low for low, _ in ends if low is not None], [high for _, high in ends if high is not None]
    if lows and len(lows) == len(found):
        key = next(iter(found.values())).value.key
        yield f"at worst {order.fmt.span(key, min(lows), max(highs))}"
    wanted = next((one.wanted_text for one in found.values()), "")
    if wanted:
        kept = {one.kept for one in found.values()}
        verdict = "kept" if kept == {True} else "NOT KEPT" if False in kept else "not known"
        yield f"{wanted}: {verdict}"


def _barred(told: PistonOrder) -> float:
    """How much of the first page the bars take [mm]."""
    return _BAR_HIGH * sum(2 + sum(len(text) // BAR_LINE + 1 for text in bar.texts) for bar in _notices(told))


def _first_page(order: Order, told: PistonOrder, room: float) -> Iterator[Block]:
    """What keeps it from being final, the crown, what is to be held, apart from that what is only known; how found.

    ``room`` : for the drawing [mm]; where the bars leave too little it stands beside how the numbers were found.
    """
    notes: list[str] = []
    yield from _notices(told)
    held = [row for row in order.rows if row.entry.group in (PISTON, POCKETS)]
    known = [row for row in order.rows if row.entry.group in (ENGINE, USE)]
    tables = (
        _held("TO BE HELD by the maker, to the tolerance", held, notes),
        _held("ONLY KNOWN, to the ±", known, notes),
    )
    drawing, found = _drawing(order, room if room > _LEAST_ROOM else _LARGE_ROOM), tuple(how_found(order, told))
    if room > _LEAST_ROOM:
        yield Beside(columns=((drawing,), tables), shares=(0.43, 0.57))
    else:
        yield Beside(columns=((tables[0],), (tables[1],)), shares=(0.5, 0.5))
    yield from _who(order)
    yield from (Text(text, f"note {number}", small=True) for number, text in enumerate(notes, 1))
    if remarks := order.spec.said.get("remarks", ""):
        yield Heading("Remarks", 2)
        yield Text(remarks)
    if room > _LEAST_ROOM:
        yield from found
    else:
        yield Beside(columns=((drawing,), found), shares=(0.43, 0.57))


def _drawing(order: Order, room: float) -> Block:
    """The crown, as high as there is room [mm]."""
    if "bore" not in order.spec.planned.cylinders[0].values:
        return Text("No drawing: the bore is not given.")
    return crown_figure(order.spec, order.fmt, room)


def _notices(told: PistonOrder) -> Iterator[Notice]:
    faults = {one.text for one in told.does_not_fit}
    still = [text for text in told.open if text not in faults]
    for title, texts in (
        (f"DOES NOT FIT: {_points(faults)}. Not to be made from.", [t for t in told.open if t in faults]),
        (f"STANDS OPEN: {_points(still)}. Not to be made from.", still),
        ("ACCEPTED BY WHOEVER ORDERS, and why:", [one.text for one in told.accepted]),
        ("NOT CHECKED, since it is not given:", ["; ".join(told.not_checked)] if told.not_checked else []),
    ):
        if texts:
            yield Notice(title=title, texts=tuple(clean(text, BARRED) for text in texts))


def _points(several: Sequence[str] | set[str]) -> str:
    return f"{len(several)} point{'s' if len(several) != 1 else ''}"


# Fields that are said in one row: what they are, and which they are.
_JOINED = (
    ("crown shape", ("shape", "dish_diameter", "dish_depth", "dish_corner", "squish_band", "dome_diameter", "dome_top",
                     "dome_height", "dome_clearance")),
    ("top land", ("land_height", "land_diameter")),
    ("other lands", ("second_land_height", "third_land_height")),
    ("rings", ("top_ring_width", "second_ring_width", "oil_ring_width", "ring_radial_depth", "rings")),
    ("grooves", ("ring_pack_depth", "groove_depth", "gas_ports", "support_rail")),
    ("pin", ("pin_diameter", "pin_length", "pin_fit", "pin_retention", "pin_offset", "pin_oiling")),
    ("skirt", ("wall_clearance", "skirt", "skirt_length", "skirt_clearance")),
    ("material", ("alloy", "coating")),
    ("weight", ("piston_mass", "mass_match")),
    ("gasket", ("gasket_thickness", "gasket_area", "free_thickness")),
    ("small end", ("rod_width", "small_end")),
    ("chamber", ("chamber_volume", "chamber_mould", "plug")),
    ("bores", ("bore", "liner", "bore_gauged")),
    ("running", ("use", "fuel", "boost", "rev_limit")),
)  # fmt: skip


# What the name of a field begins with that its row says already.
_CALLED = {
    "crown shape": ("dish ", "dome "),
    "top land": ("top-land ",),
    "skirt": ("piston-to-",),
    "rings": ("ring set",),
    "gasket": ("compressed gasket ",),
    "small end": ("small-end ",),
}


def _held(title: str, rows: Sequence[SheetRow], notes: list[str]) -> Table:
    """Fields with their value and its tolerance or ±, those of one thing in a row; the unsettled in strong letters."""
    joined = {key: name for name, keys in _JOINED for key in keys}
    found = together((joined.get(row.entry.key, row.name), row) for row in rows)
    cells = tuple((name, "; ".join(_part(name, row, notes) for row in several)) for name, several in found.items())
    strong = tuple((n, 1) for n, several in enumerate(found.values()) if any(row.open for row in several))
    return Table(head=("", title), rows=cells, names=(0, 1), strong=strong, close=True)


def _part(title: str, row: SheetRow, notes: list[str]) -> str:
    """One field of a row: its name, but for what the row is called already, and its value."""
    name = "" if row.name in (title, title.removesuffix("s")) else row.name
    for start in (f"{title} ", *_CALLED.get(title, ())):
        name = name.removeprefix(start)
    name = name.replace("-ring width", "")
    return f"{name} {_value(row, notes)}".strip()


def _value(row: SheetRow, notes: list[str]) -> str:
    """As printed, with what must be known of it beside: that it is missing or open, who decides it, a weak origin."""
    said = " ".join(text for text in (row.text, row.tolerance) if text)
    if len(said) > (LONGEST_POCKET if row.entry.group == POCKETS else LONGEST):
        notes.append(f"{row.name}: {said}")
        said = f"see note {len(notes)}"
    if row.open:
        return f"{'MISSING' if row.origin == 'missing' else 'OPEN'} {said}".rstrip()
    if not said:
        return f"{row.who.removeprefix('the ')}'s to decide"
    weak = [
        one
        for one in (Origin.MAKER, Origin.ASSUMED, Origin.NOT_SAID)
        if row.entry.group == ENGINE and one in row.origin
    ]
    return f"{said}{f' ({weak[0]})' if weak else ''}"


def _who(order: Order) -> Iterator[Text]:
    """Who decides what, of all that the maker and the builder do not."""
    others = (row for row in order.rows if row.entry.group != SET and row.who != "the builder")
    said = together((row.who, row.name) for row in others)
    if said:
        told = "; ".join(f"{clean(who, 60)}: {listed(names)}" for who, names in said.items())
        yield Text(f"Who decides. {capital(told)}; whoever orders: all else.", small=True)
