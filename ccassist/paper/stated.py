"""What was stated in the job file instead of being read, and the shop's own instruments and fluids."""

from __future__ import annotations

from reportlab.platypus import Flowable

from ccassist.paper.furniture import Entry, labelled, prose, subheading, table
from ccassist.paper.sheet import INDENT, MOST_TEXT, SMALL, Sheet
from ccassist.vocabulary import term


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
