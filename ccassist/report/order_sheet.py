"""The piston order as a report: for the screen its answer first, for the maker a first page complete in itself."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import chain

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.motion import flutter_text
from ccassist.analysis.sums import (
    RATIO,
    SWEPT,
    TOTAL,
    Addition,
    addition,
    as_printed,
    guarded,
    parts_of,
    printed,
    ratio_as_printed,
)
from ccassist.bench.cautions import cautions
from ccassist.plan.piston.crown import DOMES
from ccassist.plan.piston.fields import ENGINE, PISTON, POCKETS, SET, USE, Row
from ccassist.plan.piston.specification import CROWN, HEIGHT
from ccassist.report.blocks import (
    ITEM,
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
from ccassist.report.ground import ground_lines
from ccassist.report.order import Order, PistonOrder, Result
from ccassist.values.display import Formatter
from ccassist.values.findings import Level, capital, clean, listed, runs
from ccassist.values.measured import unsure_texts
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

LONGEST, LONGEST_POCKET = 160, 260  # characters that a cell of the first page holds; longer texts stand below, as notes
FIRST = 220  # characters of what comes first on the screen
BARRED, BAR_LINE = 700, 105  # characters of one entry of a bar, and of a line of it
BOXES = (("ordered by", "date"), ("checked by", "date"), ("accepted by the maker", "date"))
# mm: what title, facts and large figures leave for the drawing on a page, a line of a bar, the least that is of use.
_ROOM = {"A4": 178.0, "Letter": 160.0}
_BAR_HIGH, _LEAST_ROOM, _LARGE_ROOM = 4.3, 105.0, 160.0
KEY_PATH = re.compile(r" \([a-z_0-9.]+\.[a-z_0-9.]+\)")  # of the job file, which a maker has not
DRAFT = "DRAFT, not to be made from"
_SHOWN = (RATIO, "squish")  # what is told at its worst too


# -- for the screen -------------------------------------------------------------------------------


def order_report(order: Order, told: PistonOrder, job: str) -> Report:
    """The answer first: the two numbers, what they give, what is wrong or open, what to do next; then the sheet."""
    return Report(
        title="Piston order",
        subject="The piston to be ordered",
        answer=(
            Text(_standing(told), strong=True),
            *_numbers(told),
            *_in_cylinders(told, order),
            *map(Text, _wanted(told)),
            *_first_thing(told),
            *ground_lines([(f"cylinder {c.cylinder}", c.values[RATIO].value) for c in told.cylinders
                           if RATIO in c.values][:1]),
            _next(told, job),
            *(Text(text, spare=True) for text in cautions(("planning",))),
        ),
        support=(*_what_it_is(order, told), *_first_page(order, told), *_rest(order, told)),
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


def _in_cylinders(told: PistonOrder, order: Order, keys: Sequence[str] = _SHOWN) -> Iterator[Table]:
    """What the one piston gives in every cylinder, those of which the same is said in one row."""
    known = [key for key in keys if any(key in c.values for c in told.cylinders)]
    said: dict[tuple[str, ...], list[int]] = {}
    for one in told.cylinders:
        cells = tuple(text for key in known for text in _cells(key, one.values.get(key), order))
        said.setdefault(cells, []).append(one.cylinder)
    if known:
        called = {RATIO: "static ratio"}
        heads = ((called.get(key, term(key).name), *(("at worst",) if key in _SHOWN else ())) for key in known)
        head = ("cyl", *chain.from_iterable(heads))
        yield Table(head=head, rows=tuple((runs(who), *cells) for cells, who in said.items()), long=True)


def _cells(key: str, one: Result | None, order: Order) -> tuple[str, ...]:
    cells = ("not given", "") if one is None else (order.fmt.value(one.value), one.worst_text or "not known")
    return cells if key in _SHOWN else cells[:1]


def _wanted(told: PistonOrder) -> Iterator[str]:
    """Which of the ranges that are wanted are kept at their worst, and in which cylinders one is not."""
    said: dict[str, list[str]] = {}
    for key in dict.fromkeys(key for c in told.cylinders for key in c.values):
        found = {c.cylinder: c.values[key] for c in told.cylinders if key in c.values}
        wanted = next(iter(found.values())).wanted_text
        if wanted:
            said.setdefault(_kept_words(found), []).append(f"{term(key).name} wanted {wanted}")
    yield from (f"{capital(', '.join(what))}: {words}." for words, what in said.items())


def _kept_words(found: dict[int, Result]) -> str:
    kept = {True: "kept at the worst", False: "NOT KEPT at the worst", None: "not known at the worst"}
    said: dict[str, list[int]] = {}
    for number, one in found.items():
        said.setdefault(kept[one.kept], []).append(number)
    if len(said) == 1:
        return next(iter(said))
    return "; ".join(f"{words} in cylinder{'s' if len(who) > 1 else ''} {runs(who)}" for words, who in said.items())


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


def _next(told: PistonOrder, job: str) -> Text:
    """The one thing to do next."""
    if told.final:
        return Text("To print it as final:", command=("ccassist", "order", job, "--final", "--out", "order.pdf"))
    if len(told.open) == len(told.does_not_fit):
        return Text("To print the draft:", command=("ccassist", "order", job, "--out", "order.pdf"))
    return Text("What is missing is asked for by:", command=("ccassist", "guide", job))


def _what_it_is(order: Order, told: PistonOrder) -> Iterator[Block]:
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
            *_first_page(order, told, _ROOM[page]),
        ),
        support=(*_rest(order, told), SignOff(boxes=BOXES)),
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


def _span(found: dict[int, Result], order: Order) -> str:
    """A term over all cylinders."""
    if not found:
        return "not given"
    values = [one.value for one in found.values()]
    decimals = min(order.fmt.decimals(value) for value in values)
    low, high = (end(value.nominal for value in values) for end in (min, max))
    return order.fmt.span(values[0].key, low, high, decimals=min(decimals, 3)).removesuffix(" gap")


def _at_worst(found: dict[int, Result], order: Order) -> Iterator[str]:
    ends = [(one.worst_low, one.worst_high) for one in found.values()]
    lows, highs = [low for low, _ in ends if low is not None], [high for _, high in ends if high is not None]
    if lows and len(lows) == len(found):
        key = next(iter(found.values())).value.key
        yield f"at worst {order.fmt.span(key, min(lows), max(highs))}".removesuffix(" gap")
    wanted = next((one.wanted_text for one in found.values()), "")
    if wanted:
        kept = {one.kept for one in found.values()}
        verdict = "kept" if kept == {True} else "NOT KEPT" if False in kept else "not known"
        yield f"{wanted.removesuffix(' gap')}: {verdict}"


def _first_page(order: Order, told: PistonOrder, room: float = 0.0) -> Iterator[Block]:
    """What keeps it from being final, the crown, what is to be held, and apart from that what is only known."""
    notes: list[str] = []
    bars = list(_notices(told))
    yield from bars
    lines = sum(2 + sum(len(text) // BAR_LINE + 1 for text in bar.texts) for bar in bars)
    held = [row for row in order.rows if row.entry.group in (PISTON, POCKETS)]
    known = [row for row in order.rows if row.entry.group in (ENGINE, USE)]
    drawing = _drawing(order, room - _BAR_HIGH * lines)
    tables = (
        _held("TO BE HELD by the maker, to the tolerance", held, notes),
        _held("ONLY KNOWN, to the ±", known, notes),
    )
    yield Beside(columns=(drawing, tables), shares=(0.5, 0.5))
    yield from _who(order)
    yield from (Text(text, f"note {number}", small=True) for number, text in enumerate(notes, 1))
    if remarks := order.spec.said.get("remarks", ""):
        yield Heading("Remarks", 2)
        yield Text(remarks)


def _drawing(order: Order, room: float) -> tuple[Block, ...]:
    """The crown, as high as there is room [mm]; where the bars leave too little it has the next page."""
    if "bore" not in order.spec.planned.cylinders[0].values:
        return (Text("No drawing: the bore is not given."),)
    return (crown_figure(order.spec, order.fmt, room if room > _LEAST_ROOM else _LARGE_ROOM),)


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
            yield Notice(title=title, texts=tuple(KEY_PATH.sub("", clean(text, BARRED)) for text in texts))


def _points(several: Sequence[str] | set[str]) -> str:
    return f"{len(several)} point{'s' if len(several) != 1 else ''}"


_WEAK = (Origin.MAKER, Origin.ASSUMED, Origin.NOT_SAID)  # origins that are said beside a length of the engine
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
    ("burns", ("fuel", "boost")),
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


def _held(title: str, rows: Sequence[Row], notes: list[str]) -> Table:
    """Fields with their value and its tolerance or ±, those of one thing in a row; the unsettled in strong letters."""
    joined = {key: name for name, keys in _JOINED for key in keys}
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(joined.get(row.entry.key, row.name), []).append(row)
    cells = tuple((name, "; ".join(_part(name, row, notes) for row in several)) for name, several in found.items())
    strong = tuple((n, 1) for n, several in enumerate(found.values()) if any(row.open for row in several))
    return Table(head=("", title), rows=cells, names=(0, 1), strong=strong, close=True)


def _part(title: str, row: Row, notes: list[str]) -> str:
    """One field of a row: its name, but for what the row is called already, and its value."""
    name = "" if row.name in (title, title.removesuffix("s")) else row.name
    for start in (f"{title} ", *_CALLED.get(title, ())):
        name = name.removeprefix(start)
    name = name.replace("-ring width", "")
    return f"{name} {_value(row, notes)}".strip()


def _value(row: Row, notes: list[str]) -> str:
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
    said: dict[str, list[str]] = {}
    for row in order.rows:
        if row.entry.group != SET and (row.who != "the builder"):
            said.setdefault(row.who, []).append(row.name)
    if said:
        told = "; ".join(f"{clean(who, 60)}: {listed(names)}" for who, names in said.items())
        yield Text(f"Who decides. {capital(told)}; whoever orders: all else.", small=True)


# -- the pages that support it ---------------------------------------------------------------------


def _rest(order: Order, told: PistonOrder) -> Iterator[Block]:
    yield Heading("How the numbers were found")
    yield Text(told.convention)
    for one in told.ordered.values():
        found = (
            f"{one.how}: {order.fmt.value(one.worked_out)}, rounded for the order"
            if one.origin == Origin.WORKED_OUT
            else f"{one.origin}, {one.how}"
        )
        held = f"tolerance {one.tolerance_from}" if one.tolerance else f"no tolerance: {one.tolerance_from}"
        yield Text(f"{capital(one.name)}: {found}; {held}.")
    yield from _crown_parts(told)
    yield from _sum(order, told)
    if told.motion_text:
        yield Text(told.motion_text)
        width = order.spec.order.get("top_ring_width")
        yield from [Text(flutter_text(width, order.fmt))] if width and width.nominal else []
    yield from _mistakes(order, told)
    yield Heading("To confirm with the maker")
    barred = {one.wrong for one in order.judged.outcomes}
    left = [one for one in order.checks if one.wrong not in barred]
    yield from (
        Text(f"{one.wrong}; {one.right}.", LOOK if one.level > Level.NOTE else "ask", small=True) for one in left
    )
    yield Heading("Cautions")
    yield from (Text(text, ITEM, small=True) for text in told.cautions)


def _crown_parts(told: PistonOrder) -> Iterator[Text]:
    if told.crown.adds:
        parts = "; ".join(f"{name}: {one.text}" for name, one in told.crown.adds.items())
        yield Text(f"What the crown is made of: {parts}.")


def _sum(order: Order, told: PistonOrder) -> Iterator[Block]:
    """The sum to be added again, and the ratio from it."""
    yield Heading("The sum, to be added again")
    found, fmt = order.spec.planned.cylinders, order.fmt
    decimals = guarded(found, fmt)
    sums = [(c, made) for c in found if (made := addition(c, decimals, fmt)) is not None]
    if not sums:
        lacking = dict.fromkeys(key for c in found for key in c.model.lacking.get(TOTAL, ()))
        yield Text(f"It cannot be added yet: not given: {', '.join(term(k).name for k in lacking) or 'a part of it'}.")
        return
    met = dict.fromkeys(key for _, made in sums for key in made.parts)
    keys = [key for key in met if any(made.parts.get(key) and key not in c.model.fixed for c, made in sums)]
    rows: dict[tuple[str, ...], list[int]] = {}
    for cylinder, made in sums:
        signs = parts_of(cylinder)
        parts = [
            printed(made.parts[key], signed=term(key).sign is not None or signs[key] < 0) if key in made.parts else "–"
            for key in keys
        ]
        rows.setdefault((*parts, printed(made.total), *_divided(cylinder, made, decimals, fmt)), []).append(
            cylinder.number
        )
    last = ("swept volume", "ratio") if RATIO in sums[0][0].values else ()
    head = ("cyl.", *(term(key).name for key in keys), f"= {term(TOTAL).name}", *last)
    yield Table(head=head, rows=tuple((runs(who), *cells) for cells, who in rows.items()))
    signs_text = "; ".join(f"{term(k).name} + {s.plus[0]}, − {s.minus[0]}" for k in keys if (s := term(k).sign))
    how = "the ratio is (swept + clearance) ÷ clearance, of the volumes as printed. " if last else ""
    yield Text(f"In cc; each row adds exactly as printed; {how}Signs: {signs_text}. {told.counted}", small=True)
    yield from _ratios(order, told)


def _divided(cylinder: Cylinder, made: Addition, decimals: int, fmt: Formatter) -> Iterator[str]:
    """The swept volume, and the ratio from the volumes as printed."""
    if RATIO in cylinder.values:
        yield printed(as_printed(cylinder.values[SWEPT], decimals, fmt))
        yield printed(ratio_as_printed(cylinder, made.total, decimals, fmt))


def _ratios(order: Order, told: PistonOrder) -> Iterator[Block]:
    """What one common piston gives in each cylinder, each with its ± and at its worst."""
    yield Heading("What one common piston gives in each cylinder", 2)
    yield from _in_cylinders(told, order, (*_SHOWN, "deck_clearance", TOTAL))
    yield from map(Text, _wanted(told))
    results = [(f"cylinder {c.cylinder}", r.value) for c in told.cylinders for k, r in c.values.items() if k != TOTAL]
    yield from (Text(KEY_PATH.sub("", text)) for text in unsure_texts(results, order.fmt))
    yield Text("The ± holds the tolerances of this order and all that was measured.", small=True)


def _mistakes(order: Order, told: PistonOrder) -> Iterator[Block]:
    """What the usual mistakes would come to, on this very engine."""
    if not told.mistakes or order.first is None:
        return
    yield Heading("What a mistake would come to")
    planned = order.fmt.show(RATIO, order.first.values[RATIO].nominal)
    yield Text(
        f"On cylinder {told.mistakes_in_cylinder}, which has the highest ratio ({planned} as ordered). If a number on "
        "this sheet leads to one of these, something has been misread."
    )
    rows = [(one.words, one.ratio_text, one.squish_text or "not known", one.crown_text) for one in told.mistakes]
    head = ("mistake", "ratio", "squish gap", "crown that would be cut")
    yield Table(
        head=head, rows=tuple(rows), names=(0, 2, 3), strong=tuple((n, 1) for n in range(len(rows))), close=True
    )
