"""Pages and their header and footer; the finished document as bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from importlib.metadata import version
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Flowable, Frame, PageTemplate, Paragraph, Spacer

from ccassist.job.records import Job
from ccassist.paper.furniture import NumberedHeading, Signatures, together
from ccassist.paper.ruled import FixedSize
from ccassist.paper.sheet import (
    BLACK,
    BODY,
    BOTTOM,
    GREY,
    LEFT,
    MM,
    RIGHT,
    SMALL,
    STRONG,
    TEXT,
    TOP,
    Sheet,
    cut,
    measure,
    printable,
)
from ccassist.report.scene import (
    DASHES,
    HATCHED,
    SHADES,
    Area,
    Box,
    Disc,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    hatch_lines,
    rectangle,
)
from ccassist.values.findings import clean

# A scene on a page of paper.


class Drawing(FixedSize):
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
        elif isinstance(item, Area):
            _shape(canvas, item, window)
        elif isinstance(item, Disc):
            _pen(canvas, item.fill, item.edge)
            canvas.circle(*item.at, item.radius, stroke=int(item.edge > 0), fill=int(bool(item.fill)))
        elif isinstance(item, Lettering):
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


def _shape(canvas: Canvas, item: Area, window: Box | None) -> None:
    """A shape with its shade, or the lines of its hatch and its outline."""
    hatched = bool(item.fill) and item.fill not in SHADES
    if hatched:
        canvas.setLineWidth(HATCHED)
        canvas.setStrokeGray(SHADES["black"])
        canvas.lines([(*start, *end) for start, end in hatch_lines(item.points, item.fill, window)])
    _pen(canvas, "" if hatched else item.fill, item.edge)
    canvas.drawPath(_path(canvas, item.points), stroke=int(item.edge > 0), fill=int(bool(item.fill) and not hatched))


def _words(canvas: Canvas, item: Lettering) -> None:
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


LAST_TEXT = 66.0  # points: of text at least so much stands on the last page
CODE_NOTE = "Characters that the typeface lacks are printed by their code, as <U+…>."


class _Pages(Canvas):  # type: ignore[misc]
    """Pages held back until their number is known, so that each says "page n of m"."""

    def __init__(self, *arguments: Any, furniture: Callable[[Canvas, int, int], None], **more: Any) -> None:
        super().__init__(*arguments, **more)
        self._furniture = furniture
        self._held: list[tuple[dict[str, Any], list[str]]] = []
        self._marks: list[str] = []
        self.count = 0

    def mark(self, title: str) -> None:
        """Enter a heading of this page in the outline."""
        self._marks.append(title)

    def showPage(self) -> None:  # noqa: N802  (the page maker's name)
        """Hold the page back."""
        state = dict(self.__dict__)
        self._held.append((state, self._marks))
        self._startPage()
        self._marks = []

    def save(self) -> None:
        """Finish every page and the document."""
        held, self.count = self._held, len(self._held)
        for number, (state, marks) in enumerate(held, start=1):
            self.__dict__.update(state)
            for place, title in enumerate(marks):
                self.bookmarkPage(f"p{number}-{place}")
                self.addOutlineEntry(title, f"p{number}-{place}")
            self._furniture(self, number, len(held))
            super().showPage()
        self.count = len(held)
        super().save()


def named(job: Job) -> str:
    """What a page calls a job; dimensions without a file are no job."""
    return job.name or ("unnamed job" if job.file else "dimensions as said")


def _furniture(sheet: Sheet) -> Callable[[Canvas, int, int], None]:
    job = sheet.survey.job
    name, file = sheet.words(named(job)), sheet.words(job.file.replace("\\", "/").split("/")[-1])
    tool = f"ccassist {version('ccassist')}"
    known = [sheet.short(job.about.get("date", ""), 40), file, tool]

    def draw(canvas: Canvas, number: int, total: int) -> None:
        """Head and foot of one page."""
        wide, high = sheet.size
        right = wide - RIGHT
        canvas.setFillGray(GREY)
        canvas.setStrokeGray(BLACK)
        canvas.setFont(TEXT, SMALL)
        canvas.setLineWidth(0.5)
        canvas.line(LEFT, high - TOP + 8, right, high - TOP + 8)
        kind = cut(sheet.running, TEXT, SMALL, sheet.width * 0.45)
        left = sheet.width - measure(kind, TEXT, SMALL) - 14
        canvas.drawString(LEFT, high - TOP + 13, cut(name, TEXT, SMALL, left))
        canvas.drawRightString(right, high - TOP + 13, kind)
        canvas.line(LEFT, BOTTOM - 10, right, BOTTOM - 10)
        page = f"page {number} of {total}"
        canvas.drawRightString(right, BOTTOM - 21, page)
        foot = "   ·   ".join(text for text in known if text)
        canvas.drawString(LEFT, BOTTOM - 21, cut(foot, TEXT, SMALL, sheet.width - 90))
        if sheet.lacking:
            canvas.drawString(LEFT, BOTTOM - 32, CODE_NOTE)
        if sheet.mark:
            _bar(canvas, sheet.mark, wide, high)

    return draw


def _bar(canvas: Canvas, mark: str, wide: float, high: float) -> None:
    """A black bar over the head of the page."""
    canvas.setFillGray(BLACK)
    canvas.rect(LEFT, high - TOP + 26, wide - LEFT - RIGHT, 14, stroke=0, fill=1)
    canvas.setFillGray(1)
    canvas.setFont(STRONG, BODY)
    canvas.drawCentredString((LEFT + wide - RIGHT) / 2, high - TOP + 30, mark)


_OF_HEADINGS = (NumberedHeading, Spacer, CondPageBreak)


def _ended(story: list[Flowable], width: float) -> list[Flowable]:
    """The same, its last paragraphs kept together, so that no page holds only a line or two of them, or a signature.

    Their headings go with them.
    """
    place, high = len(story), 0.0
    if story and isinstance(story[-1], Signatures):
        place -= 1
    while place > 0 and high < LAST_TEXT and isinstance(story[place - 1], (Paragraph, *_OF_HEADINGS)):
        place -= 1
        high += story[place].wrap(width, 1e6)[1]
    while place > 0 and high and isinstance(story[place - 1], _OF_HEADINGS):
        place -= 1
    return [*story[:place], *together(*story[place:])] if place < len(story) else story


def render(sheet: Sheet, story: list[Flowable], *, what: str, subject: str, author: str = "") -> tuple[bytes, int]:
    """The finished PDF and its number of pages; the same story gives the same bytes.

    sheet, story : the page with its job, and what is printed on it.
    what, subject : what kind of paper it is, for the title beside the job's name, and what it is about in a sentence.
    author : who answers for it; whoever measured, where nobody is named.
    """
    job, stream = sheet.survey.job, BytesIO()
    document = BaseDocTemplate(
        stream,
        pagesize=sheet.size,
        title=f"{clean(named(job), 200)}: {what}",
        author=clean(author or job.about.get("by", ""), 200),
        subject=subject,
        creator="ccassist",
        lang="en",
        displayDocTitle=1,
        initialFontName=TEXT,
        invariant=1,
        leftMargin=LEFT,
        rightMargin=RIGHT,
        topMargin=TOP,
        bottomMargin=BOTTOM,
    )
    frame = Frame(LEFT, BOTTOM, sheet.width, sheet.height, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    document.addPageTemplates([PageTemplate(frames=[frame])])
    made: list[_Pages] = []

    def pages(*arguments: Any, **more: Any) -> _Pages:
        """The canvas, kept so that its pages can be counted."""
        made.append(_Pages(*arguments, furniture=_furniture(sheet), **more))
        return made[-1]

    document.build(_ended(story, sheet.width), canvasmaker=pages)
    return stream.getvalue(), made[-1].count
