"""A scene on a page of paper."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from ccassist.paper.furniture import Block
from ccassist.paper.page import MM, STRONG, TEXT, printable
from ccassist.paper.sheet import measure
from ccassist.report.scene import (
    DASHES,
    SHADES,
    THIN,
    Box,
    Disc,
    Item,
    Point,
    Scene,
    Shape,
    Stroke,
    Words,
    hatch_lines,
    rectangle,
)


class Drawing(Block):
    """A scene at its own size; smaller where there is less room, points, for its width."""

    def __init__(self, scene: Scene, room: float | None = None) -> None:
        super().__init__()
        self.scene = scene
        self.scale = MM if room is None else min(MM, room / scene.width)
        self.width, self.height = scene.width * self.scale, scene.height * self.scale

    def draw(self) -> None:
        """Its items, one after another."""
        canvas = self.canv
        canvas.saveState()
        canvas.scale(self.scale, self.scale)
        canvas.setLineJoin(1)
        _items(canvas, self.scene.items, None)
        canvas.restoreState()


def _items(canvas: Canvas, items: Iterable[Item], window: Box | None) -> None:
    for item in items:
        if isinstance(item, Stroke):
            canvas.setDash(list(DASHES[item.dash]))
            canvas.setStrokeGray(SHADES[item.shade])
            canvas.setLineWidth(item.width)
            canvas.drawPath(_path(canvas, item.points, close=False), stroke=1, fill=0)
            canvas.setDash()
        elif isinstance(item, Shape):
            _shape(canvas, item, window)
        elif isinstance(item, Disc):
            _pen(canvas, item.fill, item.edge)
            canvas.circle(*item.at, item.radius, stroke=int(item.edge > 0), fill=int(bool(item.fill)))
        elif isinstance(item, Words):
            _words(canvas, item)
        else:
            canvas.saveState()
            canvas.clipPath(_path(canvas, rectangle(item.box)), stroke=0, fill=0)
            _items(canvas, item.items, item.box)
            canvas.restoreState()


def _pen(canvas: Canvas, fill: str, edge: float) -> None:
    canvas.setStrokeGray(SHADES["black"])
    canvas.setLineWidth(edge)
    if fill:
        canvas.setFillGray(SHADES[fill])


def _path(canvas: Canvas, points: Iterable[Point], *, close: bool = True) -> PDFPathObject:
    path = canvas.beginPath()
    first, *rest = points
    path.moveTo(*first)
    for point in rest:
        path.lineTo(*point)
    if close:
        path.close()
    return path


def _shape(canvas: Canvas, item: Shape, window: Box | None) -> None:
    """A shape with its shade, or the lines of its hatch and its outline."""
    hatched = bool(item.fill) and item.fill not in SHADES
    if hatched:
        canvas.setLineWidth(THIN)
        canvas.setStrokeGray(SHADES["grey"])
        canvas.lines([(*start, *end) for start, end in hatch_lines(item.points, item.fill, window)])
    _pen(canvas, "" if hatched else item.fill, item.edge)
    canvas.drawPath(_path(canvas, item.points), stroke=int(item.edge > 0), fill=int(bool(item.fill) and not hatched))


def _words(canvas: Canvas, item: Words) -> None:
    """A line of words, pressed together where it would take more room than was planned for it."""
    text, font = printable(item.text), STRONG if item.bold else TEXT
    true, left = measure(text, font, item.size), item.box[0]
    if item.cleared:
        canvas.setFillGray(SHADES["white"])
        canvas.rect(left - 0.5, item.box[1], item.wide + 1, item.box[3] - item.box[1], stroke=0, fill=1)
    wide = min(true, item.wide)
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor]
    canvas.saveState()
    canvas.scale(1 / MM, 1 / MM)  # so that a reader of the file meets letters of the size that they have
    line = canvas.beginText((item.at[0] - shift * wide) * MM, item.at[1] * MM)
    line.setFont(font, item.size * MM)
    line.setFillGray(SHADES[item.shade])
    if true > wide:
        line.setHorizScale(100 * wide / true)
    line.textOut(text)
    canvas.drawText(line)
    canvas.restoreState()
