"""The cam card as installed, and each valve against the pistons about overlap, on pages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from reportlab.platypus import Flowable

from ccassist.bench.cautions import cautions
from ccassist.job.disk import write_bytes
from ccassist.paper.drawing import THICK, Point
from ccassist.paper.furniture import (
    Block,
    Entry,
    Floating,
    heading,
    labelled,
    prose,
    shares,
    subheading,
    table,
    together,
)
from ccassist.paper.page import SLANT, STRONG, TEXT, register
from ccassist.paper.pages import render
from ccassist.paper.plot import FOOT, HEAD, LEFT, Frame, Told, curve, line_boxes, told_near
from ccassist.paper.sheet import BLACK, GREY, SMALL, Sheet, cut
from ccassist.paper.tiles import told
from ccassist.plan.valves import words
from ccassist.plan.valves.cam import Cam, table_of
from ccassist.plan.valves.place import Place
from ccassist.plan.valves.room import Nearest, ValveRoom
from ccassist.report.scales import Scale, scale_between
from ccassist.values.display import Formatter
from ccassist.values.findings import capital
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# Lift and piston about overlap, drawn: the valve's lift, the lift at which it would meet the piston, the least gap.

HIGH = 170.0
_STEP = math.radians(1.0)
_BEYOND = math.radians(5.0)  # past a least gap that lies outside the table
_ROW, _SAMPLE, _SERIF, _GAP = 13.0, 26.0, 4.0, 7.0
_EDGE = 20.0  # room for half of the last number
_HEAVY, _NORMAL = 1.8, 0.9
_DASHED, _DOTTED = (4.0, 2.5), (1.2, 2.0)


@record
class CrankFrame(Frame):
    """Crank angle across, its two sides of top dead centre in words."""

    def number(self, key: str, value: float, scale: Scale) -> str:
        """An angle says its side: "20 before"."""
        text = super().number(key, abs(value) if key == self.x_key else value, scale)
        if key != self.x_key:
            return text
        return "TDC" if float(text) == 0 else f"{text} {'before' if value < 0 else 'after'}"

    def name(self, key: str) -> str:
        """The angle with its unit; lift, drop and gap share the other scale."""
        if key == self.x_key:
            return "crank angle from top dead centre at overlap, deg"
        return f"lift along the valve, piston drop, {words.gap_unit(self.fmt)}"


@record
class Drawn:
    """One line of the drawing: what it is, its points in SI, how it is drawn."""

    name: str
    points: tuple[Point, ...]
    width: float
    dash: tuple[float, ...] = ()


class LiftCurve(Block):
    """One valve over the piston that it comes nearest to."""

    def __init__(self, sheet: Sheet, room: ValveRoom, worst: Nearest, place: Place, reach: float) -> None:
        super().__init__()
        self.sheet, self.room, self.worst, self.place = sheet, room, worst, place
        self.reach = max(reach, abs(worst.crank) + _BEYOND)
        self.key = _ROW * math.ceil(len(self.lines) / 2)
        self.width, self.height = sheet.width, HEAD + HIGH + FOOT + self.key

    @cached_property
    def lines(self) -> tuple[Drawn, ...]:
        """Where it would meet, the lift as read, the lift at the worst phasing, and the piston."""
        place, fmt, worst = self.place, self.sheet.fmt, self.worst
        count = round(2 * self.reach / _STEP)
        angles = [self.reach * (2 * n / count - 1) for n in range(count + 1)]
        lift = "lift, " + ("as read" if self.room.measured else "ASSUMED")
        meets = "lift at which it would meet " + (
            "the pocket or the crown" if place.pocket is not None else "the crown"
        )
        found = [
            Drawn(name=meets, points=tuple((at, place.gap_at(at, 0.0)) for at in angles), width=_HEAVY),
            Drawn(name=lift, points=self._lift(angles, 0.0), width=_NORMAL),
            Drawn(name="piston drop", points=tuple((at, place.drop(at)) for at in angles), width=_NORMAL, dash=_DOTTED),
        ]
        phase = words.phase_text(worst.phase, fmt)
        if worst.phase:
            moved = Drawn(name=f"lift {phase}", points=self._lift(angles, worst.phase), width=_NORMAL, dash=_DASHED)
            found.insert(2, moved)
        return tuple(one for one in found if one.points)

    def _lift(self, angles: Sequence[float], phase: float) -> tuple[Point, ...]:
        """Lift against crank angle, as far as it is known."""
        place = self.place
        return tuple((at, place.curve.at(at + phase)) for at in angles if place.covers(at + phase))

    @cached_property
    def frame(self) -> CrankFrame:
        """Scales that hold every line."""
        fmt = self.sheet.fmt
        heights = [y for one in self.lines for _, y in one.points]
        low, high = min(0.0, *heights), max(heights)
        return CrankFrame(
            x_key="crank_angle",
            y_key="valve_gap",
            x=scale_between("crank_angle", -self.reach, self.reach, fmt, 6),
            y=scale_between("valve_gap", low, high + 0.04 * (high - low), fmt),
            wide=self.width - LEFT - _EDGE,
            high=HIGH,
            fmt=fmt,
        )

    @cached_property
    def bar(self) -> tuple[Point, Point]:
        """The least gap: from the lift to where the valve would meet."""
        at, lift = self.worst.crank, self.worst.lift
        return self.frame.at(at, lift), self.frame.at(at, lift + self.worst.gap.nominal)

    @cached_property
    def told(self) -> Told | None:
        """The words on the least gap, clear of the lines; None where there is no room."""
        fmt, frame = self.sheet.fmt, self.frame
        said = (
            f"least gap {fmt.value(self.worst.gap)}",
            f"at {fmt.show('crank_angle', self.worst.crank)}".replace("at at", "at"),
        )
        taken = [box for one in self.lines for box in line_boxes([frame.at(*point) for point in one.points])]
        (x, low), (_, high) = self.bar
        taken.append((x - _SERIF, min(low, high), x + _SERIF, max(low, high)))
        return told_near(said, STRONG, (x + _GAP, (low + high) / 2), frame.box, taken)

    def draw(self) -> None:
        """Lines, least gap, frame, and the key below."""
        canvas, frame = self.canv, self.frame
        canvas.saveState()
        canvas.translate(LEFT, FOOT + self.key)
        for one in self.lines:
            curve(canvas, [frame.at(*point) for point in one.points], one.width, one.dash)
        (x, low), (_, high) = self.bar
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(THICK)
        canvas.lines([(x, low, x, high), *((x - _SERIF, y, x + _SERIF, y) for y in (low, high))])
        if self.told is not None:
            self.told.draw(canvas)
        frame.draw(canvas)
        canvas.restoreState()
        self._key()

    def _key(self) -> None:
        """A sample of each line with what it is, two beside each other."""
        canvas, wide = self.canv, (self.width - LEFT) / 2
        for n, one in enumerate(self.lines):
            x, y = LEFT + n % 2 * wide, self.key - _ROW * (n // 2 + 1) + 4
            curve(canvas, [(x, y + 3), (x + _SAMPLE, y + 3)], one.width, one.dash)
            canvas.setFillGray(BLACK)
            canvas.setFont(TEXT, SMALL)
            canvas.drawString(x + _SAMPLE + 6, y, cut(one.name, TEXT, SMALL, wide - _SAMPLE - 12))


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
    drawn = LiftCurve(sheet, room, worst, place, reach)
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
