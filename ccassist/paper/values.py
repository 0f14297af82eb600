"""Every value that was worked out, with its ±: those alike in all cylinders once, the others cylinder by cylinder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from reportlab.platypus import Flowable

from ccassist.analysis.cylinder import Cylinder
from ccassist.paper.furniture import Cell, Entry, Line, heading, labelled, prose, subheading, table
from ccassist.paper.page import SLANT
from ccassist.paper.sheet import GREY, INDENT, MOST_TEXT, SMALL, Sheet
from ccassist.paper.tiles import pieces
from ccassist.report.worksheet import columns_shown
from ccassist.values.findings import listed
from ccassist.values.measured import Value
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

ACROSS = 5  # cylinders side by side
LABEL = 0.25  # of the width, what a row is


def every_value(sheet: Sheet) -> list[Flowable]:
    """What does not stand on the first page already; nothing where that is all there is."""
    cylinders = sheet.survey.cylinders
    seen = columns_shown(sheet.survey)
    keys = dict.fromkeys(key for c in cylinders for key in c.values if key not in c.model.fixed and key not in seen)
    alike = [key for key in keys if _alike(sheet, cylinders, key)]
    apart = [key for key in keys if key not in alike]
    nothing = {key: why for c in cylinders for key, why in c.model.fixed.items() if key in c.values}
    parts = [*_alike_table(sheet, alike), *_layers(sheet), *_apart(sheet, apart), *_nothing(nothing)]
    if not parts:
        return []
    lead = (
        "What the results were worked out from and what else follows, each with its expanded ±; computed, where "
        "nothing else is said."
    )
    return [*heading(sheet, "Every other value with its ±"), prose(lead), *parts]


def _alike(sheet: Sheet, cylinders: Sequence[Cylinder], key: str) -> bool:
    """Whether a term is the same in every cylinder, as printed, and known in the same way."""
    found = [c.values.get(key) for c in cylinders]
    return len({v and (sheet.fmt.value(v), v.origin, v.how) for v in found}) == 1


def _alike_table(sheet: Sheet, keys: Sequence[str]) -> list[Flowable]:
    first = sheet.survey.cylinders[0].values
    return _listed(sheet, [["", *_told(sheet, first[key])] for key in keys], "every cylinder")


def _layers(sheet: Sheet) -> list[Flowable]:
    """The layers of a gasket, each by itself; layers alike in several cylinders once."""
    rows: dict[tuple[str, ...], None] = {}
    for cylinder in sheet.survey.cylinders:
        for layer in cylinder.gasket:
            rows |= {(layer.part, *_told(sheet, value)): None for value in layer.values.values()}
    if not rows:
        return []
    made = [[sheet.short(part, 60), *rest] for part, *rest in rows]
    return [*subheading("Layers of the gasket"), *_listed(sheet, made, "layer")]


def _told(sheet: Sheet, value: Value) -> list[str]:
    """Name, value in words, origin and how it was come by; a computed value's equation stands under the algebra."""
    known = value.how if value.origin != Origin.COMPUTED else ""
    said = value.origin if known in ("", value.origin, f"stated, {value.origin}") else f"{value.origin}; {known}"
    return [term(value.key).name, sheet.fmt.value(value), sheet.short(said, MOST_TEXT)]


def _listed(sheet: Sheet, rows: Sequence[Sequence[Entry]], where: str) -> list[Flowable]:
    """Values one below the other; the first column only where it says something."""
    if not rows:
        return []
    named = any(row[0] for row in rows)
    head: list[Entry] = [where, "what", "value", "origin"] if named else [where, "value", "origin"]
    parts = (0.18, 0.23, 0.27, 0.32) if named else (0.27, 0.29, 0.44)
    body = rows if named else [row[1:] for row in rows]
    return [table(head, body, [sheet.width * part for part in parts], words=range(len(head)))]


def _apart(sheet: Sheet, keys: Sequence[str]) -> list[Flowable]:
    """The other terms: a row each, a column a cylinder."""
    story: list[Flowable] = []
    cylinders = sheet.survey.cylinders
    tables = -(-len(cylinders) // ACROSS)
    across = -(-len(cylinders) // tables)
    each = min((1 - LABEL) / across, 0.25)
    for start in range(0, len(cylinders) if keys else 0, across):
        some = cylinders[start : start + across]
        rows = [_row(sheet, key, some) for key in keys if any(key in c.values for c in some)]
        head: list[Entry] = ["by cylinder", *(f"cyl. {c.number}" for c in some)]
        story.append(table(head, rows, [sheet.width * part for part in (LABEL, *[each] * len(some))]))
    return story


def _row(sheet: Sheet, key: str, cylinders: Sequence[Cylinder]) -> list[Entry]:
    """Name with its unit and origin, then the numbers; the origin by each number where they differ in it."""
    origins = {c.values[key].origin for c in cylinders if key in c.values}
    name = Line(sheet.fmt.title(term(key)))
    label = Cell(name, *(_grey(sheet, origin) for origin in origins if len(origins) == 1 and origin != Origin.COMPUTED))
    return [label, *(_number(sheet, c.values.get(key), origin=len(origins) > 1) for c in cylinders)]


def _number(sheet: Sheet, value: Value | None, *, origin: bool) -> Cell:
    number, words = pieces(value, sheet.fmt)
    said = [_grey(sheet, value.origin)] if origin and value is not None else []
    return Cell(*([Line(number)] if number else []), *words, *said)


def _grey(sheet: Sheet, text: str) -> Line:
    return Line(sheet.short(text, 40), SLANT, shade=GREY)


def _nothing(fixed: Mapping[str, str]) -> list[Flowable]:
    """What is taken as nothing, and why."""
    if not fixed:
        return []
    said = listed([f"{term(key).name} ({why})" for key, why in fixed.items()])
    return [prose(f"Taken as nothing: {said}.", size=SMALL)]


# What was stated in the job file instead of being read, and the shop's own instruments and fluids.


def stated(sheet: Sheet) -> list[Flowable]:
    """What was stated in the file instead of being read in a series."""
    job = sheet.survey.job
    places_ = [
        ("every cylinder", job.engine),
        *((name, part.given) for name, part in job.parts.items()),
        *((f"cylinder {n}", given) for n, given in job.per_cylinder.items()),
    ]
    rows: list[list[Entry]] = []
    notes: list[str] = []
    for where, given in places_:
        for one in given.values():
            texts = sheet.words(", ".join(one.texts))
            origin = sheet.words("; ".join(t for t in (one.origin, one.instrument, one.note) if t))
            if max(len(texts), len(origin)) > MOST_TEXT:
                notes.append(f"{where}, {term(one.key).name}: {texts}; {origin}")
                texts, origin = (t if len(t) <= MOST_TEXT else f"see note {len(notes)}" for t in (texts, origin))
            rows.append([sheet.short(where, 60), term(one.key).name, texts, origin])
    if not rows:
        return []
    widths = [sheet.width * share for share in (0.16, 0.23, 0.33, 0.28)]
    return [
        *subheading("Stated values, as written"),
        table(["for", "what", "as written", "origin, instrument, note"], rows, widths, words=(0, 1, 2, 3)),
        *(labelled(f"note {i}", sheet.words(text), indent=INDENT, size=SMALL) for i, text in enumerate(notes, start=1)),
    ]


def own(sheet: Sheet) -> list[Flowable]:
    """The shop's own instruments and fluids, and what is noted about parts, as written."""
    job = sheet.survey.job
    own = {**job.instruments, **job.fluids}
    said = [
        (name, "; ".join(f"{key.replace('_', ' ')} {text}" for key, text in found.items()))
        for name, found in own.items()
    ]
    said += [(name, part.note) for name, part in job.parts.items() if part.note]
    if not said:
        return []
    return [
        *subheading("Own instruments, fluids, notes on parts"),
        *(prose(sheet.words(f"{name}: {text}"), size=SMALL) for name, text in said),
    ]
