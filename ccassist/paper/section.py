"""The section at top dead centre, drawn to scale from the numbers, with an enlarged detail."""

from __future__ import annotations

from reportlab.pdfgen.canvas import Canvas

from ccassist.analysis.cylinder import Cylinder
from ccassist.paper.drawing import (
    MEDIUM,
    PER_METRE,
    THICK,
    THIN,
    Box,
    Label,
    Point,
    Section,
    View,
    centre_line,
    cut,
    dimension_across,
    dimension_up,
    kept,
    labels,
    largest_scale,
    named,
    outline,
    scale_words,
    section_of,
)
from ccassist.paper.furniture import Block
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.sheet import BLACK, GREY, SMALL, Sheet
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import System

# The series of ISO 5455:1979 (from memory), and steps between that fill the page better.
SCALES = (20, 10, 5, 2.5, 2, 1, 0.5, 0.4, 0.2, 0.1, 0.05, 0.02, 0.01)
DETAIL_SCALES = (100, 50, 20, 10, 8, 5, 4, 2.5, 2, 1, 0.5, 0.2, 0.1)
MAIN_ROOM, LEAST_MAIN = 205.0, 112.0  # heights; the least is that of the labels
DETAIL_ROOM, LEAST_DETAIL = 292.0, 110.0
BELOW_MAIN, BELOW_DETAIL = 44.0, 52.0  # dimension, caption, check bar
COLUMN, SIDE = 148.0, 128.0  # widths of the label columns right and left
WINDOW = 196.0  # width of the detail
WALL = 0.16  # of the bore's radius: block drawn beside it
EQUAL = "drawn as an equal volume"


class _Drawing(Block):
    """What both views share: the shapes, how much of them is drawn, and the scales."""

    def __init__(self, sheet: Sheet, cylinder: Cylinder) -> None:
        super().__init__()
        self.sheet, self.cylinder, self.shape = sheet, cylinder, section_of(cylinder)
        s = self.shape
        self.head = s.thickness + s.rise + 0.12 * s.bore
        self.foot = -s.deck - max(s.land_height + s.ring, s.dip, 0.0) - 0.22 * s.bore
        self.wall = max(s.bore * (1 + WALL), s.gasket + 0.06 * s.bore)
        self.scale = largest_scale(
            (2 * self.wall, self.head - self.foot), (sheet.width - COLUMN - 14, MAIN_ROOM), SCALES
        )
        edge = s.land_height + s.ring if s.land_height else 0.12 * s.bore
        self.upper = max(s.thickness, -s.deck) + 0.03 * s.bore
        self.lower = -s.deck - edge - 0.015 * s.bore
        aside = max(s.gasket - s.bore, s.bore - s.land, s.chamfer)
        self.detail_scale = largest_scale((aside, self.upper - self.lower), (0.3 * WINDOW, DETAIL_ROOM), DETAIL_SCALES)
        self.width = sheet.width

    def _said(self, key: str) -> str:
        return self.sheet.fmt.value(self.cylinder.values[key])

    def _not_counted(self, key: str) -> str:
        """Why a space that is drawn does not enter the sum, "" where it does."""
        return self.cylinder.model.fixed.get(key, "")

    def _caption(self, y: float, text: str, x: float = 0.0) -> None:
        self.canv.setFont(STRONG, SMALL)
        self.canv.setFillGray(BLACK)
        self.canv.drawString(x, y, text)


class MainView(_Drawing):
    """The whole section of one cylinder, the bore upright."""

    def __init__(self, sheet: Sheet, cylinder: Cylinder) -> None:
        super().__init__(sheet, cylinder)
        self.height = max((self.head - self.foot) * self.scale * PER_METRE, LEAST_MAIN) + BELOW_MAIN

    def draw(self) -> None:
        """The cut bodies, the bore's dimension, the frame of the detail, the labels."""
        canvas, k, foot = self.canv, self.scale * PER_METRE, BELOW_MAIN
        view = View(k, self.wall * k + 2, foot - self.foot * k)
        box = (view.axis - self.wall * k, foot, view.axis + self.wall * k, view.at((0, self.head))[1])
        paint(canvas, self.shape, view, box, self.wall, self.head, self.foot)
        centre_line(canvas, view.axis, foot - 8, box[3] + 2)
        left, right = ((view.at((self.shape.bore, 0), side)[0], foot) for side in (-1, 1))
        dimension_across(canvas, left, right, foot - 16, f"bore {self._said('bore')}")
        half = WINDOW / self.detail_scale * self.scale / 2
        low, high = (view.at((0, h))[1] for h in (self.lower, self.upper))
        canvas.setLineWidth(MEDIUM)
        canvas.rect(right[0] - half, low, 2 * half, high - low, stroke=1, fill=0)
        self._caption(
            5, f"Section at top dead centre, cylinder {self.cylinder.number}. Scale {scale_words(self.scale)}."
        )
        found = self._main_labels(view, (right[0] + half, (low + high) / 2))
        labels(canvas, found, box[2] + 16, COLUMN - 4, self.height, foot - 20)

    def _main_labels(self, view: View, detail: Point) -> list[Label]:
        s = self.shape
        chamber = view.at((s.chamber * 0.45, s.thickness + s.rise * 0.45))
        crown = view.at((s.crown * 0.5, -s.deck - (s.dip * 0.5 if s.dip > 0 else 0.02 * s.bore)))
        if s.dip < 0:
            crown = view.at((s.crown * 0.3, -s.deck - s.dip * 0.4))
        return [
            named(chamber, "chamber", self._said("chamber_volume"), EQUAL),
            named(crown, *self._crown_words(), EQUAL if s.dip else ""),
            named(detail, "detail A", "gasket, deck and top land"),
            named(view.at((s.bore + (self.wall - s.bore) / 2, (self.foot + self.lower) / 2)), "block"),
        ]

    def _crown_words(self) -> tuple[str, str]:
        """The crown, or all that is over the piston where crown and deck were measured as one fill."""
        if "crown_volume" in self.cylinder.values:
            return "crown", self._said("crown_volume")
        return term("crown_and_deck_volume").name, self._said("crown_and_deck_volume")


class DetailView(_Drawing):
    """The edge of the bore at the deck, enlarged: gasket, deck clearance, top land."""

    def __init__(self, sheet: Sheet, cylinder: Cylinder) -> None:
        super().__init__(sheet, cylinder)
        self.high = (self.upper - self.lower) * self.detail_scale * PER_METRE
        self.height = max(self.high, LEAST_DETAIL) + BELOW_DETAIL

    def draw(self) -> None:
        """A window on the cut bodies, heights dimensioned at its left, labels at its right, a check bar below."""
        canvas, s, k, foot, high = self.canv, self.shape, self.detail_scale * PER_METRE, BELOW_DETAIL - 8, self.high
        left = SIDE + 8
        view = View(k, left + WINDOW * 0.5 - s.bore * k, foot - self.lower * k)
        box = (left, foot, left + WINDOW, foot + high)
        with kept(canvas):
            window = canvas.beginPath()
            window.rect(box[0], box[1], WINDOW, high)
            canvas.clipPath(window, stroke=0, fill=0)
            paint(canvas, s, view, box, s.bore + WINDOW / k, s.thickness + s.rise + s.bore, self.lower - s.bore)
        canvas.setLineWidth(MEDIUM)
        canvas.setStrokeGray(BLACK)
        canvas.rect(box[0], box[1], WINDOW, high, stroke=1, fill=0)
        self._levels(view, box)
        labels(canvas, self._detail_labels(view), box[2] + 16, self.width - box[2] - 16, foot + high + 6, foot - 6)
        self._caption(foot - 15, f"Detail A. Scale {scale_words(self.detail_scale)}.", left)
        self._check_bar()

    def _levels(self, view: View, box: Box) -> None:
        """Heights dimensioned at the left of the window."""
        s = self.shape
        spans = [
            ("gasket, compressed", "gasket_thickness", 0.0, s.thickness),
            ("deck clearance", "deck_clearance", -s.deck, 0.0),
        ]
        if s.land_height:
            spans.append(("top land", "land_height", -s.deck - s.land_height, -s.deck))
        found = []
        for place, (words, key, low, high) in enumerate(spans):
            x = box[0] - (22 if place % 2 else 9)
            ends = sorted((view.at((0, low))[1], view.at((0, high))[1]))
            dimension_up(self.canv, x, ends[0], ends[1], box[0])
            found.append(named((x, sum(ends) / 2), words, self._said(key), dot=False))
        labels(self.canv, found, box[0] - 40, SIDE - 40, box[3] + 6, box[1] - 6, right=True)

    def _detail_labels(self, view: View) -> list[Label]:
        s = self.shape
        middle = WINDOW / 4 / view.per_metre
        edge = max(s.gasket, s.bore)
        gasket = (edge + 0.4 * (s.bore + 2 * middle - edge), s.thickness / 2)
        found = [
            named(view.at((s.bore + middle, self.upper - (self.upper - s.thickness) * 0.4)), "head"),
            named(view.at(gasket), "gasket", f"opening {self._opening()}", f"holds {self._said('gasket_volume')}"),
            named(view.at((s.land - 1.4 * middle, self.lower * 0.55)), "piston"),
        ]
        if s.land_height:
            gap = (s.bore + s.land) / 2
            words = self._said("crevice_volume") if s.land < s.bore else "no gap given"
            at = view.at((gap, -s.deck - s.land_height * 0.45))
            found.append(named(at, "top-land crevice", words, self._not_counted("crevice_counted")))
            found.append(
                named(
                    view.at((s.bore - 0.3 * middle, -s.deck - s.land_height - s.ring / 2)),
                    "top ring",
                    "thickness by convention",
                )
            )
        if s.chamfer:
            found.append(
                named(
                    view.at((s.bore + s.chamfer * 0.3, -s.chamfer * 0.3)),
                    "bore chamfer",
                    self._said("chamfer_volume"),
                    self._not_counted("chamfer_counted"),
                    EQUAL,
                )
            )
        return found

    def _opening(self) -> str:
        bore = self.cylinder.values.get("gasket_bore")
        return self.sheet.fmt.value(bore) if bore else self.sheet.fmt.show("gasket_bore", 2 * self.shape.gasket)

    def _check_bar(self) -> None:
        """A bar to hold a rule to, since printers shrink pages."""
        imperial = self.sheet.system == System.IMPERIAL
        length, words = (2 * 72.0, "2 in") if imperial else (50 * 72 / 25.4, "50 mm")
        canvas = self.canv
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(THICK)
        canvas.lines([(0, 6, length, 6), (0, 2, 0, 10), (length, 2, length, 10)])
        canvas.setFont(TEXT, SMALL)
        canvas.setFillGray(GREY)
        canvas.drawString(length + 8, 3, f"This bar is {words} long where the page is printed at full size.")


def paint(canvas: Canvas, s: Section, view: View, box: Box, wall: float, head: float, foot: float) -> None:
    """The cut bodies of a section: head, gasket, block, piston, top ring.

    ``wall``, ``head`` and ``foot`` say how far out, up and down (m) they are drawn.
    """
    roof = view.across(s.chamber_line())
    face = view.at((wall, s.thickness)), view.at((wall, s.thickness), -1)
    cut(canvas, [face[0], *roof, face[1]], [view.at((wall, head), -1), view.at((wall, head))], box)
    for side in (1, -1):
        edge = view.line([(wall, 0.0), *s.bore_line(), (s.bore, foot)], side)
        cut(canvas, edge, view.line([(wall, foot)], side), box)
    crown = view.across(s.crown_line())
    feet = view.at((s.land, foot)), view.at((s.land, foot), -1)
    cut(canvas, [feet[0], *crown, feet[1]], [], box, rising=False, step=6.5)
    for side in (1, -1):
        outline(canvas, view.line(_box(s.gasket, wall, 0.0, s.thickness), side), width=THIN, fill=0.25)
        if s.land_height:
            top = -s.deck - s.land_height
            outline(
                canvas, view.line(_box(s.land - 0.07 * s.bore, s.bore, top - s.ring, top), side), width=THIN, fill=BLACK
            )


def _box(inner: float, outer: float, low: float, high: float) -> list[Point]:
    return [(inner, low), (outer, low), (outer, high), (inner, high)]
