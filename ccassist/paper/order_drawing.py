"""The piston to be ordered, drawn to scale: where its crown adds space and where it takes it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from ccassist.paper.drawing import (
    ARC,
    CROWN_SHARE,
    MEDIUM,
    PER_METRE,
    THIN,
    Box,
    Label,
    Point,
    View,
    axis_line,
    centre_line,
    cut,
    dimension_across,
    dimension_up,
    equal_height,
    half_ellipse,
    hatch,
    kept,
    labels,
    largest_scale,
    named,
    outline,
    scale_words,
)
from ccassist.paper.furniture import Block, Line
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.section import EQUAL, SCALES
from ccassist.paper.sheet import BLACK, BODY, LEADING, SMALL, Sheet, broken
from ccassist.plan.piston.crown import DISHES, DOMES, hollow_texts
from ccassist.plan.piston.fields import ordered_text, said_tolerance
from ccassist.plan.piston.specification import CROWN, HEIGHT, Specification
from ccassist.values.display import Formatter
from ccassist.vocabulary import term

LEFT_COLUMN, RIGHT_COLUMN, ROOM, FOOT, HEAD = 104.0, 148.0, 230.0, 34.0, 28.0


def crown_words(spec: Specification, fmt: Formatter) -> str:
    """What the crown does, as nobody can misread it: "DISH: adds 8.7 cc of space"."""
    if spec.crown is None:
        return ""
    text = ordered_text(spec.crown, fmt)
    name, _, rest = text.partition(", ")
    if spec.shape.shape == "flat" and spec.crown.value > 0:
        name = "pockets"
    elif spec.shape.shape in DOMES and spec.crown.value > 0:
        name = "dome and deeper pockets"  # never "dish" over a drawn dome
    return f"{name.upper()}: {rest}"


def crown_line(spec: Specification, radius: float) -> tuple[list[Point], bool]:
    """From the edge of dish or dome to the bore axis, (radius, height), and whether it is the true shape.

    Where the sizes are not known an ellipsoid of the same volume is drawn; a flat crown has no line but its flat.
    """
    shape, sizes = spec.shape, spec.shape.sizes
    if shape.shape in DISHES and not shape.faults:
        edge, depth = sizes["dish_diameter"] / 2, sizes["dish_depth"]
        if shape.shape == "ball-cut dish":
            return [(r, -h) for r, h in _ball(edge, depth)], True
        corner = sizes.get("dish_corner", 0.0)
        turns = (math.pi / 2 * i / ARC for i in range(ARC + 1))
        arc = [(edge - corner + corner * math.cos(t), -depth + corner - corner * math.sin(t)) for t in turns]
        return [(edge, 0.0), *arc, (0.0, -depth)], True
    if shape.shape in DOMES and not shape.faults:
        edge, height = sizes["dome_diameter"] / 2, sizes["dome_height"]
        if shape.shape == "ball dome":
            return _ball(edge, height), True
        return [(edge, 0.0), (sizes["dome_top"] / 2, height), (0.0, height)], True
    if spec.crown is None or shape.shape == "flat":
        return [(0.0, 0.0)], True
    edge = CROWN_SHARE * radius
    height = -equal_height(spec.crown.value, edge)
    return half_ellipse(edge, height), False


def _ball(edge: float, height: float) -> list[Point]:
    """The cap of a ball from its edge to its middle."""
    ball = (edge**2 + height**2) / (2 * height)
    half = math.atan2(edge, ball - height)
    turns = (half * (1 - i / ARC) for i in range(ARC + 1))
    return [(ball * math.sin(t), ball * math.cos(t) - (ball - height)) for t in turns]


class PistonView(Block):
    """The piston cut along its axis, square to the pin, with the datum, the two heights and the crown."""

    def __init__(self, sheet: Sheet, spec: Specification) -> None:
        super().__init__()
        self.sheet, self.spec, self.width = sheet, spec, sheet.width
        first = spec.planned.cylinders[0].values
        bore = first["bore"].nominal
        self.radius = first["land_diameter"].nominal / 2 if "land_diameter" in first else bore / 2
        self.land = first["land_height"].nominal if "land_height" in first else 0.0
        self.pin_at = spec.height.value if spec.height else 0.36 * bore
        pin = spec.order.get("pin_diameter")
        self.pin = pin.nominal / 2 if pin else 0.125 * bore
        self.line, self.true = crown_line(spec, self.radius)
        self.top = max(0.0, *(h for _, h in self.line))
        self.low = -(self.pin_at + self.pin + 0.09 * bore)
        room = (sheet.width - LEFT_COLUMN - RIGHT_COLUMN - 2, ROOM)
        self.scale = largest_scale((2 * self.radius, self.top - self.low), room, SCALES)
        self.drawn = (self.top - self.low) * self.scale * PER_METRE
        self.height = max(self.drawn + FOOT + HEAD, self._labels_height() + FOOT)

    def _middle(self) -> float:
        """Where the bore axis stands on the page."""
        return LEFT_COLUMN + (self.width - LEFT_COLUMN - RIGHT_COLUMN) / 2

    def _labels_height(self) -> float:
        """What the labels at the right need, one under the other."""
        view = View(self.scale * PER_METRE, self._middle(), 0.0)
        return sum(
            5
            + sum(
                len(broken(one.text, one.font, one.size, RIGHT_COLUMN - 2)) * one.size * LEADING for one in label.lines
            )
            for label in self._right(view)
        )

    def draw(self) -> None:
        """Body, crown, pin, ring, datum, dimensions, labels, legend."""
        canvas, k = self.canv, self.scale * PER_METRE
        middle = self._middle()
        view = View(k, middle, self.height - HEAD - self.top * k)
        left, right = view.at((self.radius, 0), -1)[0], view.at((self.radius, 0))[0]
        box = (left, view.at((0, self.low))[1], right, view.at((0, self.top))[1])
        self._body(canvas, view, box)
        self._pin(canvas, view)
        self._datum(canvas, view, box)
        self._left(canvas, view, box)
        labels(canvas, self._right(view), self.width - RIGHT_COLUMN, RIGHT_COLUMN - 2, self.height, FOOT)
        self._legend(canvas)

    def _body(self, canvas: Canvas, view: View, box: Box) -> None:
        """Metal hatched one way, the crown's space both ways."""
        crown = view.across([(self.radius, 0.0), *self.line])
        feet = view.at((self.radius, self.low)), view.at((self.radius, self.low), -1)
        cut(canvas, [feet[0], *crown, feet[1]], [], box, rising=False, step=7.0)
        space = view.across(self.line)
        if len(self.line) > 1:
            cross(canvas, space, box)
        if self.land:
            ring = self.spec.order.get("top_ring_width")
            high = ring.nominal if ring else 0.03 * self.radius
            for side in (1, -1):
                inner, floor = self.radius * 0.93, -self.land - high
                groove = [(self.radius, -self.land), (inner, -self.land), (inner, floor), (self.radius, floor)]
                outline(canvas, view.line(groove, side), width=THIN, fill=BLACK)

    def _pin(self, canvas: Canvas, view: View) -> None:
        x, y = view.at((0, -self.pin_at))
        size = self.pin * view.per_metre
        with kept(canvas):
            canvas.setFillGray(1)
            canvas.setStrokeGray(BLACK)
            canvas.setLineWidth(MEDIUM)
            canvas.circle(x, y, size, stroke=1, fill=1)
        axis_line(canvas, (x - size - 7, y), (x + size + 7, y))

    def _datum(self, canvas: Canvas, view: View, box: Box) -> None:
        """The crown flat, from which everything is measured, and the bore axis."""
        centre_line(canvas, view.axis, box[1] - 4, box[3] + 5)
        with kept(canvas):
            canvas.setDash([4, 2])
            canvas.setLineWidth(MEDIUM)
            canvas.setStrokeGray(BLACK)
            y = view.at((0, 0))[1]
            canvas.line(box[0] - 12, y, box[2] + 10, y)
        edge = self.line[0][0]
        if len(self.line) > 1 and self.true:
            key = "dish_diameter" if "dish_diameter" in self.spec.shape.sizes else "dome_diameter"
            ends = [view.at((edge, 0), side) for side in (-1, 1)]
            said = f"{term(key).name.split()[0]} {self._said(key, self.spec.shape.sizes[key])}"
            dimension_across(canvas, ends[0], ends[1], box[3] + 14, said)

    def _said(self, key: str, value: float) -> str:
        return self.sheet.fmt.show(key, value)

    def _left(self, canvas: Canvas, view: View, box: Box) -> None:
        """Heights from the datum: compression height, top land, depth or height of the crown."""
        found, spec = [], self.spec
        spans: list[tuple[str, float, str]] = []
        if spec.height is not None:
            tolerance = said_tolerance(HEIGHT, spec.height.tolerance.size, self.sheet.fmt)
            spans.append((HEIGHT, -spec.height.value, tolerance))
        if self.land:
            spans.append(("land_height", -self.land, ""))
        for place, (key, to, tolerance) in enumerate(spans):
            x = box[0] - (24 if place == 0 else 10)
            ends = sorted((view.at((0, 0))[1], view.at((0, to))[1]))
            dimension_up(canvas, x, ends[0], ends[1], box[0] if place else view.at((self.pin, 0), -1)[0] - 8)
            text = ordered_text(spec.height, self.sheet.fmt) if key == HEIGHT and spec.height else self._said(key, -to)
            found.append(named((x, sum(ends) / 2), term(key).name, text, tolerance, dot=False))
        labels(canvas, found, box[0] - 38, box[0] - 40, self.height - 4, FOOT, right=True)

    def _right(self, view: View) -> list[Label]:
        """What the crown does, in large; sizes; the datum."""
        spec, fmt = self.spec, self.sheet.fmt
        found = []
        words = crown_words(spec, fmt)
        if words:
            depth = self.line[-1][1]
            size = spec.crown.tolerance.size if spec.crown else None
            lines = [Line(words, STRONG, 11.0), Line("net, measured from the crown flat", TEXT, SMALL)]
            lines += [Line(text, TEXT, SMALL) for text in (said_tolerance(CROWN, size, fmt), *self._parts()) if text]
            lines += [] if self.true else [Line(EQUAL, TEXT, SMALL)]
            found.append(Label(view.at((self.line[0][0] * 0.55, depth * 0.5)), tuple(lines)))
        flat = view.at((self.radius * 0.97, 0.0))
        found.append(named(flat, "crown flat", "the datum of every height"))
        pin = spec.order.get("pin_diameter")
        said = self._said("pin_diameter", pin.nominal) if pin else "diameter not given"
        found.append(named(view.at((self.pin * 0.5, -self.pin_at)), "pin", said))
        body = view.at((self.radius * 0.8, self.low * 0.88))
        found.append(named(body, "piston", "its underside is the maker's"))
        return found

    def _parts(self) -> list[str]:
        """What dish, dome and pockets do each, and the size between crown flat and floor or top."""
        spec, fmt = self.spec, self.sheet.fmt
        said = [f"{name}: {words}" for name, words in hollow_texts(spec.shape, fmt).items()]
        for key in ("dish_depth", "dish_corner", "dome_height", "dome_top"):
            if key in spec.shape.sizes:
                said.append(f"{term(key).name} {self._said(key, spec.shape.sizes[key])}")
        return said

    def _legend(self, canvas: Canvas) -> None:
        """What the hatches mean, and the scale."""
        crown = self.spec.crown.value if self.spec.crown else 0.0
        space = f"space that the crown {'ADDS' if crown > 0 else 'TAKES'}"
        x = LEFT_COLUMN - 40
        for words, both in (("metal of the piston", False), *([(space, True)] if crown else [])):
            square = [(x, 4.0), (x + 22, 4.0), (x + 22, 16.0), (x, 16.0)]
            hatch(canvas, square, (x, 4.0, x + 22, 16.0), rising=False, step=7.0)
            if both:
                cross(canvas, square, (x, 4.0, x + 22, 16.0))
            outline(canvas, square, width=THIN)
            canvas.setFont(STRONG if both else TEXT, SMALL)
            canvas.setFillGray(BLACK)
            canvas.drawString(x + 28, 7, words)
            x += 130
        canvas.setFont(STRONG, BODY)
        canvas.drawRightString(self.width, 7, f"Scale {scale_words(self.scale)}")


def cross(canvas: Canvas, points: Sequence[Point], within: Box) -> None:
    """Fill with close lines both ways on white, unlike any cut metal."""
    outline(canvas, points, width=THIN, fill=1.0)
    for rising in (True, False):
        hatch(canvas, points, within, rising=rising, step=3.6)
    outline(canvas, points, width=MEDIUM)
