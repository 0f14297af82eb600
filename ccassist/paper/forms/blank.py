"""Blank forms as one PDF: one page a bench step and way of reading, more where a job has more cylinders."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from ccassist.bench.forms import FORMS, Form
from ccassist.paper.fonts import register
from ccassist.paper.forms.boxes import Pen
from ccassist.paper.forms.head import draw_head
from ccassist.paper.forms.table import Grid, draw_points, draw_rows, grid_of
from ccassist.paper.forms.tail import draw_tail, tail_height
from ccassist.paper.forms.total import TITLE, draw_total
from ccassist.paper.page import PAGES
from ccassist.paper.sheet import BLACK, BOTTOM, GREY, LEFT, MM, RIGHT, SMALL, TEXT, cut
from ccassist.values.findings import clean

UPPER = 13 * MM  # margin above the title: the bench wants the room
TALLEST, LEAST = 32.0, 23.0  # points; rows that a pencil and greasy fingers can fill
USUAL_CYLINDERS = 8


@dataclass(frozen=True, kw_only=True)
class Print:
    """What a set of forms is printed for: page size, units, cylinders, and the job's name where there is one."""

    page: str = "A4"
    system: str = "metric"
    cylinders: int = USUAL_CYLINDERS
    job: str = ""
    file: str = ""

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, points."""
        return PAGES[self.page]

    @property
    def width(self) -> float:
        """Width between the margins."""
        return self.size[0] - LEFT - RIGHT


def blank_bytes(forms: Sequence[Form], what: Print, *, total: bool = True) -> tuple[bytes, int]:
    """The PDF of some forms, and its number of pages; the same call gives the same bytes.

    ``total`` adds the page on which the volumes are summed by hand.
    """
    register()
    pages = sum(_pages_of(form, what) for form in forms) + int(total)
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=what.size, invariant=1, lang="en", initialFontName=TEXT)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setTitle("Bench forms" + (f" for {clean(what.job)}" if what.job else ""))
    canvas.setSubject("Compression and chamber volumes: forms to fill at the bench")
    canvas.setCreator("ccassist")
    number = 0
    for form in forms:
        number = _draw(canvas, form, what, number, pages)
    if total:
        draw_total(_pen(canvas, what), what, number + 1)
        _turn(canvas, what, "sum", TITLE, number + 1, pages)
    canvas.save()
    return stream.getvalue(), pages


def forms_named(keys: Sequence[str]) -> list[Form]:
    """The forms of some steps, by the step's name or the form's own; all of them where none is named."""
    return [f for f in FORMS.values() if not keys or f.key in keys or f.step.key in keys]


def _pen(canvas: Canvas, what: Print) -> Pen:
    return Pen(canvas=canvas, left=LEFT, width=what.width, y=what.size[1] - UPPER)


def _split(form: Form, what: Print) -> list[Grid]:
    """The rows of a form over its pages."""
    pen = _pen(Canvas(BytesIO(), pagesize=what.size), what)
    draw_head(pen, form, what, page=1, fields=False)
    first = pen.y - BOTTOM - tail_height(form, what)
    later = what.size[1] - UPPER - BOTTOM - 60
    return grid_of(form, what, first=first, later=later, tallest=TALLEST, least=LEAST)


def _pages_of(form: Form, what: Print) -> int:
    return len(_split(form, what))


def _draw(canvas: Canvas, form: Form, what: Print, number: int, pages: int) -> int:
    """One form on its pages; returns the number of the last."""
    for place, grid in enumerate(_split(form, what)):
        number += 1
        pen = _pen(canvas, what)
        draw_head(pen, form, what, page=number, brief=place > 0)
        (draw_points if form.points else draw_rows)(pen, form, what, grid, page=number)
        if place == 0:
            draw_tail(pen, form, what, page=number)
        title = form.title + (" (continued)" if place else "")
        _turn(canvas, what, f"{form.key} · {form.edition}", title, number, pages)
    return number


def _turn(canvas: Canvas, what: Print, code: str, title: str, number: int, pages: int) -> None:
    """Draw the foot of a page, which is read last, enter the page in the outline, and turn it."""
    canvas.bookmarkPage(f"p{number}")
    canvas.addOutlineEntry(title, f"p{number}")
    right = what.size[0] - RIGHT
    canvas.setFillGray(GREY)
    canvas.setStrokeGray(BLACK)
    canvas.setLineWidth(0.5)
    canvas.setFont(TEXT, SMALL)
    canvas.line(LEFT, BOTTOM - 8, right, BOTTOM - 8)
    said = f"form {code} · {what.system} · ccassist {version('ccassist')}"
    canvas.drawString(LEFT, BOTTOM - 19, cut(said, TEXT, SMALL, what.width - 90))
    canvas.drawRightString(right, BOTTOM - 19, f"page {number} of {pages}")
    canvas.showPage()
