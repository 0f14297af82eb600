"""What technical drawings are made of: outlines, hatches, dimension lines, leaders with labels.

Everything is black on white: materials differ by their hatch, never by colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import pairwise

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from ccassist.analysis.cylinder import Cylinder
from ccassist.paper.furniture import Line
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.sheet import BLACK, GREY, LEADING, SMALL, broken, measure
from ccassist.values.numerics import root
from ccassist.vocabulary.record import record

# The section at top dead centre as shapes, before anything is drawn.
#
# Radii from the cylinder axis and heights above the deck face, SI.  What is
# known only as a volume (chamber, crown) is shown as half an ellipsoid of equal
# volume, a chamfer as a triangle turned about the axis.

Point = tuple[float, float]
NEEDED = ("bore", "chamber_volume", "gasket_thickness", "gasket_area", "deck_clearance")
CROWNS = ("crown_volume", "crown_and_deck_volume")  # either will do
CROWN_SHARE = 0.86  # of the crown's radius that the equal dish or dome takes up: a rim of flat stays
PER_METRE = 72 / 0.0254  # points of the page, at full size
ARC = 48  # straight pieces of a drawn curve


@record
class Section:
    """Half of the section; the other half mirrors it.

    Attributes
    ----------
    bore, gasket, chamber, crown : radii of bore, gasket opening, chamber opening and equal crown shape.
    land : radius of the top land; the bore's where it is not given.
    thickness : of the compressed gasket.
    deck : deck clearance, positive below the deck.
    rise : height of the equal chamber above the head face.
    dip : depth of the equal dish below the crown flat; negative for a dome.
    land_height : crown flat to top ring, 0 where not given.
    chamfer : leg of the equal chamfer at the top of the bore.
    """

    bore: float
    gasket: float
    chamber: float
    crown: float
    land: float
    thickness: float
    deck: float
    rise: float
    dip: float
    land_height: float = 0.0
    chamfer: float = 0.0

    @property
    def ring(self) -> float:
        """Height of the top ring [m], by convention: only its upper face is measured."""
        return 0.03 * self.bore

    def chamber_line(self) -> list[Point]:
        """From the edge of the chamber opening up to the axis."""
        return [(r, self.thickness + h) for r, h in half_ellipse(self.chamber, self.rise)]

    def crown_line(self) -> list[Point]:
        """From the outer edge of the crown flat over dish or dome to the axis."""
        return [(self.land, -self.deck), *((r, -self.deck - h) for r, h in half_ellipse(self.crown, self.dip))]

    def bore_line(self) -> list[Point]:
        """From the deck face over the chamfer into the bore."""
        if not self.chamfer:
            return [(self.bore, 0.0)]
        return [(self.bore + self.chamfer, 0.0), (self.bore, -self.chamfer)]


def half_ellipse(radius: float, height: float) -> list[Point]:
    """A quarter of an ellipse, from its edge to the axis, in straight pieces.  [m], [m] -> points [m]."""
    angles = (math.pi / 2 * i / ARC for i in range(ARC + 1))
    return [(radius * math.cos(a), height * math.sin(a)) for a in angles]


def turned(line: Sequence[Point]) -> float:
    """Volume between the axis and a line of points (radius, height), turned about the axis, SI.

    Positive where the line runs upward.  Source: cone frustum, Machinery's
    Handbook 31st ed. (2020), volumes of solids (from memory).
    """
    return sum(math.pi / 3 * (r1 * r1 + r1 * r2 + r2 * r2) * (h2 - h1) for (r1, h1), (r2, h2) in pairwise(line))


def equal_height(volume: float, radius: float) -> float:
    """Height of the drawn half ellipsoid that holds a volume over a circle.  [m³], [m] -> [m], of the volume's sign."""
    return volume / turned(half_ellipse(radius, 1.0))


def chamfer_leg(volume: float, bore: float) -> float:
    """Leg of the 45° chamfer of a given volume at the top of a bore of a given radius.

    A triangle turned about the axis: π a² (R + a/3) (Pappus).
    """
    return root(lambda leg: math.pi * leg**2 * (bore + leg / 3) - volume, 0.0, bore) if volume > 0 else 0.0


def lacking(cylinder: Cylinder) -> list[str]:
    """The terms that a drawing needs and that this cylinder does not have."""
    missing = [key for key in NEEDED if key not in cylinder.values]
    return missing if any(key in cylinder.values for key in CROWNS) else [*missing, CROWNS[0]]


def section_of(cylinder: Cylinder) -> Section:
    """The shapes of a cylinder that lacks nothing needed."""
    value = {key: v.nominal for key, v in cylinder.values.items()}
    bore = value["bore"] / 2
    land = min(value.get("land_diameter", value["bore"]) / 2, bore)
    chamber = math.sqrt(value["chamber_area"] / math.pi) if "chamber_area" in value else bore
    crown = CROWN_SHARE * land
    return Section(
        bore=bore,
        gasket=math.sqrt(value["gasket_area"] / math.pi),
        chamber=chamber,
        crown=crown,
        land=land,
        thickness=value["gasket_thickness"],
        deck=value["deck_clearance"],
        rise=equal_height(value["chamber_volume"], chamber),
        dip=equal_height(_crown_volume(value, bore), crown),
        land_height=value.get("land_height", 0.0),
        chamfer=chamfer_leg(value.get("chamfer_volume", 0.0), bore),
    )


def _crown_volume(value: Mapping[str, float], bore: float) -> float:
    """Net crown volume; where crown and deck were measured as one, what the deck clearance leaves of it."""
    if "crown_volume" in value:
        return value["crown_volume"]
    return value["crown_and_deck_volume"] - turned([(bore, 0.0), (bore, value["deck_clearance"])])


def largest_scale(extent: tuple[float, float], room: tuple[float, float], scales: Sequence[float]) -> float:
    """The largest of the scales at which an extent (m) fits the room (points).

    >>> largest_scale((0.1, 0.05), (300, 300), (2, 1, 0.5))
    1
    """
    fits = [s for s in scales if all(e * PER_METRE * s <= r for e, r in zip(extent, room, strict=True))]
    return max(fits, default=min(scales))


def scale_words(scale: float) -> str:
    """A scale as it is stated on drawings.

    >>> scale_words(5), scale_words(0.5)
    ('5:1', '1:2')
    """
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


WHITE = 1.0
THICK, MEDIUM, THIN = 1.1, 0.6, 0.35
Box = tuple[float, float, float, float]  # left, bottom, right, top


@record(kw_only=False)
class View:
    """From metres (radius, height above the deck) to points on the page."""

    per_metre: float
    axis: float
    deck: float

    def at(self, point: Point, side: int = 1) -> Point:
        """Where a point of the section lies on the page; ``side`` −1 mirrors it about the axis."""
        return self.axis + side * point[0] * self.per_metre, self.deck + point[1] * self.per_metre

    def line(self, points: Sequence[Point], side: int = 1) -> list[Point]:
        """The same for a line of points."""
        return [self.at(p, side) for p in points]

    def across(self, points: Sequence[Point]) -> list[Point]:
        """A line to the axis and on, mirrored, to the other side."""
        return [*self.line(points), *reversed(self.line(points, -1))]


@contextmanager
def kept(canvas: Canvas) -> Iterator[None]:
    """Leave pen and clipping as they were."""
    canvas.saveState()
    try:
        yield
    finally:
        canvas.restoreState()


def _path(canvas: Canvas, points: Sequence[Point], *, close: bool = True) -> PDFPathObject:
    """A line through points, not drawn yet."""
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if close:
        path.close()
    return path


def outline(
    canvas: Canvas, points: Sequence[Point], *, close: bool = True, width: float = THICK, fill: float | None = None
) -> None:
    """Draw a line through points, closed and filled with a shade where asked."""
    path = _path(canvas, points, close=close)
    canvas.setLineWidth(width)
    canvas.setLineJoin(1)
    canvas.setStrokeGray(BLACK)
    if fill is not None:
        canvas.setFillGray(fill)
    canvas.drawPath(path, stroke=int(width > 0), fill=int(fill is not None))


def hatch(canvas: Canvas, points: Sequence[Point], within: Box, *, rising: bool = True, step: float = 5.0) -> None:
    """Fill a body with 45° lines, as cut material is shown."""
    left, bottom = (max(within[i], min(p[i] for p in points)) for i in (0, 1))
    right, top = (min(within[i + 2], max(p[i] for p in points)) for i in (0, 1))
    if right <= left or top <= bottom:
        return
    with kept(canvas):
        canvas.clipPath(_path(canvas, points), stroke=0, fill=0)
        canvas.setLineWidth(THIN)
        canvas.setStrokeGray(GREY)
        high = top - bottom
        start = math.floor((left - high) / step) * step
        lines = []
        while start < right:
            ends = (bottom, top) if rising else (top, bottom)
            lines.append((start, ends[0], start + high, ends[1]))
            start += step
        canvas.lines(lines)


def cut(
    canvas: Canvas, edge: Sequence[Point], rest: Sequence[Point], within: Box, *, rising: bool = True, step: float = 5.0
) -> None:
    """A body cut through: hatched, its true edge drawn, left open where it goes on beyond the drawing (``rest``)."""
    hatch(canvas, [*edge, *rest], within, rising=rising, step=step)
    outline(canvas, edge, close=False)


def arrow(canvas: Canvas, tip: Point, dx: float, dy: float, size: float = 5.0) -> None:
    """A filled arrowhead pointing along (dx, dy), a unit vector."""
    x, y = tip
    path = canvas.beginPath()
    path.moveTo(x, y)
    path.lineTo(x - size * dx - size * 0.22 * dy, y - size * dy + size * 0.22 * dx)
    path.lineTo(x - size * dx + size * 0.22 * dy, y - size * dy - size * 0.22 * dx)
    path.close()
    canvas.setFillGray(BLACK)
    canvas.drawPath(path, stroke=0, fill=1)


def dimension_across(canvas: Canvas, left: Point, right: Point, y: float, text: str) -> None:
    """A horizontal dimension below two points, its text standing in a gap of the line."""
    canvas.setStrokeGray(BLACK)
    canvas.setLineWidth(THIN)
    for x, foot in (left, right):
        canvas.line(x, foot - 2, x, y - 4)
    middle, half = (left[0] + right[0]) / 2, measure(text, TEXT, SMALL) / 2 + 5
    canvas.line(left[0], y, middle - half, y)
    canvas.line(middle + half, y, right[0], y)
    arrow(canvas, (left[0], y), -1, 0)
    arrow(canvas, (right[0], y), 1, 0)
    canvas.setFont(TEXT, SMALL)
    canvas.drawCentredString(middle, y - 3, text)


def dimension_up(canvas: Canvas, x: float, low: float, high: float, edge: float) -> None:
    """A vertical dimension line with extension lines from ``edge``; arrows from outside where it is too short."""
    canvas.setStrokeGray(BLACK)
    canvas.setLineWidth(THIN)
    for y in (low, high):
        canvas.line(edge, y, x - 4, y)
    if high - low > 14:
        canvas.line(x, low, x, high)
        arrow(canvas, (x, high), 0, 1)
        arrow(canvas, (x, low), 0, -1)
    else:
        canvas.line(x, high, x, high + 10)
        canvas.line(x, low, x, low - 10)
        arrow(canvas, (x, high), 0, -1)
        arrow(canvas, (x, low), 0, 1)


@record(kw_only=False)
class Label:
    """Words for a point of a drawing; the leader ends in a dot, or at a line without one."""

    at: Point
    lines: tuple[Line, ...]
    dot: bool = True


def named(at: Point, name: str, *words: str, dot: bool = True) -> Label:
    """A label of a name in bold with words under it; empty ones are left out."""
    return Label(at, (Line(name, STRONG, SMALL), *(Line(text, TEXT, SMALL) for text in words if text)), dot)


def spread(targets: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> list[float]:
    """Middles of labels, as near their targets as order and room allow, from the top down.

    >>> spread([10, 9], [4, 4], 20, 0)
    [10, 6.0]
    """
    middles: list[float] = []
    for target, height in zip(targets, heights, strict=True):
        ceiling = top if not middles else middles[-1] - heights[len(middles) - 1] / 2
        middles.append(min(target, ceiling - height / 2))
    floor = bottom
    for i in reversed(range(len(middles))):
        middles[i] = max(middles[i], floor + heights[i] / 2)
        floor = middles[i] + heights[i] / 2
    return middles


def labels(
    canvas: Canvas, found: Sequence[Label], x: float, width: float, top: float, bottom: float, *, right: bool = False
) -> None:
    """Labels in a column, each with a leader to its point.

    ``x`` is the edge of the column that faces the drawing: its left edge, or
    its right edge where the column stands to the left (``right``).
    """
    ordered = sorted(found, key=lambda label: -label.at[1])
    blocks = [
        [replace(line, text=text) for line in label.lines for text in broken(line.text, line.font, line.size, width)]
        for label in ordered
    ]
    heights = [sum(line.size * LEADING for line in block) + 5 for block in blocks]
    middles = spread([label.at[1] for label in ordered], heights, top, bottom)
    for label, block, height, middle in zip(ordered, blocks, heights, middles, strict=True):
        _leader(canvas, label, x, middle, -1 if right else 1)
        y = middle + height / 2 - 2.5
        for line in block:
            y -= line.size * LEADING
            canvas.setFont(line.font, line.size)
            canvas.setFillGray(line.shade)
            (canvas.drawRightString if right else canvas.drawString)(x, y + line.size * 0.27, line.text)


def _leader(canvas: Canvas, label: Label, x: float, y: float, way: int) -> None:
    """From the label's edge to its point, with a white edge so that it shows on a hatch."""
    bend = x - way * 12
    legs = [(*label.at, bend, y), (bend, y, x - way * 3, y)]
    for width, shade in ((2.2, WHITE), (MEDIUM, BLACK)):
        canvas.setStrokeGray(shade)
        canvas.setLineWidth(width)
        canvas.lines(legs)
    if label.dot:
        canvas.setFillGray(WHITE)
        canvas.circle(*label.at, 2.2, stroke=0, fill=1)
        canvas.setFillGray(BLACK)
        canvas.circle(*label.at, 1.5, stroke=0, fill=1)


def centre_line(canvas: Canvas, x: float, low: float, high: float) -> None:
    """A thin dash-dotted line upright, as axes are drawn."""
    axis_line(canvas, (x, low), (x, high))


def axis_line(canvas: Canvas, start: Point, end: Point) -> None:
    """A thin dash-dotted line from point to point."""
    with kept(canvas):
        canvas.setDash([9, 2.5, 1.5, 2.5])
        canvas.setLineWidth(THIN)
        canvas.setStrokeGray(BLACK)
        canvas.line(*start, *end)
