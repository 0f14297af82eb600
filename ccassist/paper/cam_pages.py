"""The cam card as installed, and each valve against the pistons about overlap, on pages."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.bench.cautions import cautions
from ccassist.job.disk import write_bytes
from ccassist.paper.furniture import (
    Entry,
    Floating,
    heading,
    labelled,
    prose,
    shares,
    subheading,
    table,
    together,
    told,
)
from ccassist.paper.page import MM, SLANT, STRONG, register
from ccassist.paper.pages import render
from ccassist.paper.scenes import Drawing
from ccassist.paper.sheet import GREY, SMALL, Sheet
from ccassist.plan.valves import words
from ccassist.plan.valves.cam import Cam, table_of
from ccassist.plan.valves.room import Nearest, ValveRoom
from ccassist.report.lift_curve import LiftCurve
from ccassist.values.display import Formatter
from ccassist.values.findings import capital
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term

BESIDE = ("valve-mock-up",)  # the caution that stands with every gap
UNSAFE = "The unsafe end is the least gap less its ±; it is judged there."


def write_cam(
    cam: Cam, path: str | Path, *, page: str = "A4", system: str | None = None, angles: Sequence[float] = ()
) -> int:
    """Write the cam pages as a PDF, atomically; returns their number.

    ``angles`` : of the tables about overlap, rad after top dead centre.

    Raises
    ------
    InputError : unknown page size, or the file cannot be written.
    """
    data, pages = cam_bytes(cam, page=page, system=system, angles=angles)
    write_bytes(Path(path), data)
    return pages


def cam_bytes(
    cam: Cam, *, page: str = "A4", system: str | None = None, angles: Sequence[float] = ()
) -> tuple[bytes, int]:
    """The PDF and its number of pages; the same cam gives the same bytes.

    Raises
    ------
    InputError : unknown page size.
    """
    register()
    survey = cam.survey
    sheet = Sheet(survey=survey, system=system or survey.job.system, page=page, running="Cam card and valves")
    story = [*_card(sheet, cam), *_findings(sheet, cam)]
    for room in cam.rooms.values():
        story += _room(sheet, cam, room, angles)
    story += _cautions(sheet, cam)
    return render(sheet, story, what="cam card and valves", subject="Cam card as installed, and valves against pistons")


def _card(sheet: Sheet, cam: Cam) -> list[Flowable]:
    """Every figure of the card with its ± and where it is from, and where phasing brings the events."""
    card, fmt = cam.card, sheet.fmt
    title = heading(sheet, "Cam card, as installed")
    if not card.given:
        return [*title, prose(words.NOTHING_GIVEN)]
    rows: list[list[Entry]] = [
        [term(key).name, fmt.value(value), sheet.words(words.origin_text(value))] for key, value in card.values.items()
    ]
    said = [words.lacking_text(card), *words.reach_texts(card, fmt)]
    return [
        *title,
        prose(sheet.words(words.card_text(card)), STRONG),
        table(["figure", "value", "origin"], rows, shares(sheet.width, 0.24, 0.26, 0.5), words=range(3)),
        *(prose(text) for text in said if text),
    ]


def _findings(sheet: Sheet, cam: Cam) -> list[Flowable]:
    found = [told(sheet, finding) for finding in cam.findings]
    return [*subheading("To look at"), *found] if found else []


def _room(sheet: Sheet, cam: Cam, room: ValveRoom, angles: Sequence[float]) -> list[Flowable]:
    """One valve: its lift, the least gap of every cylinder and what was asked, the pocket, the picture, the table."""
    fmt, worst = sheet.fmt, room.worst
    story = heading(sheet, f"{room.valve.capitalize()} valve against the pistons", room=230)
    story += [prose(f"{capital(sheet.words(text))}.") for text in words.lift_texts(room, fmt)]
    if worst is None:
        return [*story, prose(f"{capital(words.unknown_text(room))}.")]
    story += [] if room.measured else [prose(words.ASSUMED, STRONG)]
    story += [
        prose(f"{capital(words.gap_text(room, worst, cam.card, fmt))}."),
        *together(_nearest(sheet, cam, room, worst), prose(UNSAFE, SLANT, SMALL, shade=GREY)),
        prose(words.gap_asked_text(room, fmt), STRONG),
        *_rim(room, fmt),
        *_pocket(room, fmt),
        *(labelled("!", text, indent=12) for text in cautions(BESIDE)),
    ]
    return [*story, *_about_overlap(sheet, room, worst, angles)]


def _nearest(sheet: Sheet, cam: Cam, room: ValveRoom, worst: Nearest) -> Flowable:
    """The least gap of every cylinder: how large, where, at which phasing."""
    fmt, phased = sheet.fmt, cam.card.phased(room.valve)
    rows = [_one(one, phased, fmt) for one in room.nearest]
    head = ["cylinder", "least gap", "unsafe end", "at crank angle", "lift", "piston drop"]
    parts = [0.1, 0.2, 0.14, 0.22, 0.11, 0.12]
    if phased:
        head.insert(4, "phased")
        parts.insert(4, 0.22)
    strong = [room.nearest.index(worst)] if len(rows) > 1 else []
    return table(head, rows, shares(sheet.width, *parts), strong=strong)


def _one(one: Nearest, phased: bool, fmt: Formatter) -> list[Entry]:
    row: list[Entry] = [
        str(one.cylinder),
        fmt.value(one.gap),
        fmt.show("valve_gap", one.unsafe),
        fmt.show("crank_angle", one.crank),
    ]
    if phased:
        row.append(words.phase_text(one.phase, fmt).removeprefix("phased "))
    return [*row, *(fmt.show("valve_gap", length, words=False) for length in (one.lift, one.drop))]


def _rim(room: ValveRoom, fmt: Formatter) -> list[Flowable]:
    said = words.radial_text(room, fmt)
    grave = room.radial_verdict not in (None, Verdict.INSIDE)
    return [prose(capital(said), *((STRONG,) if grave else ()))] if said else []


def _pocket(room: ValveRoom, fmt: Formatter) -> list[Flowable]:
    if room.pocket is not None:
        size = capital(words.size_text(room.pocket, fmt)).rstrip(".")
        return [prose(f"{capital(words.pocket_text(room.pocket, fmt))}. {size}.")]
    return [prose(words.NO_POCKET)] if room.needed is not None else []


def _about_overlap(sheet: Sheet, room: ValveRoom, worst: Nearest, angles: Sequence[float]) -> list[Flowable]:
    """The picture and the table of the cylinder with the least gap."""
    place = room.worst_place
    assert place is not None
    reach = max((abs(angle) for angle in angles), default=0.0)
    title = f"{room.valve.capitalize()} valve of cylinder {worst.cylinder} about overlap"
    curve = LiftCurve(room=room, worst=worst, place=place, about=reach, fmt=sheet.fmt, width=sheet.width / MM)
    drawn = Drawing(curve.scene())
    story: list[Flowable] = [Floating(f"{title}, drawn", *subheading(title), drawn)]
    if angles:
        first, *lengths = words.table_head(place)
        head = [first, *(f"{name}, {words.gap_unit(sheet.fmt)}" for name in lengths)]
        rows = [words.table_cells(row, place, sheet.fmt) for row in table_of(place, angles)]
        widths = shares(sheet.width, 0.28, *[0.18] * (len(head) - 1))
        said = prose(words.table_text(room, worst, sheet.fmt), before=4)
        story += together(said, table(head, rows, widths))
    return story


def _cautions(sheet: Sheet, cam: Cam) -> list[Flowable]:
    return [*heading(sheet, "Cautions"), *(labelled("•", text, indent=12) for text in cam.cautions)]
