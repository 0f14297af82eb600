"""Pages and their header and footer; the finished document as bytes."""

from __future__ import annotations

from collections.abc import Callable
from importlib.metadata import version
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Paragraph

from ccassist.paper.furniture import together
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.sheet import BLACK, BODY, BOTTOM, GREY, LEFT, RIGHT, SMALL, TOP, Sheet, cut, measure
from ccassist.values.findings import clean

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


def _furniture(sheet: Sheet) -> Callable[[Canvas, int, int], None]:
    job = sheet.survey.job
    name, file = sheet.words(job.name) or "unnamed job", sheet.words(job.file.replace("\\", "/").split("/")[-1])
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


def _ended(story: list[Flowable], width: float) -> list[Flowable]:
    """The same, its last paragraphs kept together, so that no page holds only a line or two of them."""
    place, high = len(story), 0.0
    while place > 0 and high < LAST_TEXT and isinstance(story[place - 1], Paragraph):
        place -= 1
        high += story[place].wrap(width, 1e6)[1]
    return [*story[:place], *together(*story[place:])] if place < len(story) else story


def render(sheet: Sheet, story: list[Flowable], *, what: str, subject: str, author: str = "") -> tuple[bytes, int]:
    """The finished PDF and its number of pages; the same story gives the same bytes.

    Parameters
    ----------
    sheet, story : the page with its job, and what is printed on it.
    what, subject : what kind of paper it is, for the title beside the job's name, and what it is about in a sentence.
    author : who answers for it; whoever measured, where nobody is named.
    """
    job, stream = sheet.survey.job, BytesIO()
    document = BaseDocTemplate(
        stream,
        pagesize=sheet.size,
        title=f"{clean(job.name, 200) or 'unnamed job'}: {what}",
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
