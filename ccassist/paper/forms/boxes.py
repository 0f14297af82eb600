"""Boxes to be filled: drawn for a pencil, and real form fields for a PDF viewer."""

from __future__ import annotations

from dataclasses import dataclass

from reportlab.lib.colors import black, white
from reportlab.pdfgen.canvas import Canvas

from ccassist.bench.forms import LONGEST_PRINTED
from ccassist.paper.page import MM, PAGES, STRONG, TEXT
from ccassist.paper.sheet import BLACK, LEFT, RIGHT, SMALL, broken, cut, measure
from ccassist.vocabulary.record import record

TICK = 4.6 * MM
Place = tuple[float, float, float, float]  # left, bottom, width, height
LABEL = 7.6  # points; the words over a box, next to a pencil's figure


USUAL_CYLINDERS = 8


@record
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


@dataclass
class Pen:
    """Where the next thing goes on a page: ``y`` falls from the top."""

    canvas: Canvas
    left: float
    width: float
    y: float

    def text(
        self, text: str, *, font: str = TEXT, size: float = SMALL, shade: float = BLACK, indent: float = 0
    ) -> None:
        """Words broken over the width."""
        for line in broken(text, font, size, self.width - indent):
            self.y -= size * 1.24
            self.write(self.left + indent, self.y, line, font=font, size=size, shade=shade)

    def item(self, mark: str, text: str, *, indent: float = 15) -> None:
        """A paragraph hung beside its mark."""
        self.write(self.left, self.y - SMALL * 1.24, mark, font=STRONG)
        self.text(text, indent=indent)

    def write(
        self, x: float, y: float, text: str, *, font: str = TEXT, size: float = SMALL, shade: float = BLACK
    ) -> None:
        """One line at a place."""
        self.canvas.setFillGray(shade)
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, y, text)

    def fit(self, x: float, y: float, text: str, room: float, *, font: str = TEXT, shade: float = BLACK) -> None:
        """One line, made smaller and at last cut where it is wider than its room."""
        size = LABEL
        while size > 6.0 and measure(text, font, size) > room:
            size -= 0.2
        self.write(x, y, cut(text, font, size, room), font=font, size=size, shade=shade)


def text_box(
    canvas: Canvas,
    name: str,
    hint: str,
    place: Place,
    *,
    unit: str = "",
    bold: bool = False,
) -> None:
    """A box for one entry: frame, unit inside it at the right, and the form field.

    ``place`` is left, bottom, width, height in points; ``hint`` is what a viewer shows over the field.
    """
    x, y, wide, high = place
    canvas.setStrokeGray(BLACK)
    canvas.setLineWidth(1.1 if bold else 0.6)
    canvas.rect(x, y, wide, high, stroke=1, fill=0)
    beside = measure(unit, TEXT, 7.0) + 4 if unit else 2
    if unit:
        canvas.setFillGray(BLACK)
        canvas.setFont(TEXT, 7.0)
        canvas.drawRightString(x + wide - 2, y + 2.4, unit)
    canvas.acroForm.textfield(
        name=name,
        tooltip=hint,
        x=x + 1,
        y=y + 1,
        width=max(wide - 1 - beside, 8),
        height=high - 2,
        fontName="Helvetica",
        fontSize=10 if high > 14 else 8,
        borderWidth=0,
        borderColor=None,
        fillColor=None,
        textColor=black,
        forceBorder=False,
        maxlen=LONGEST_PRINTED,
    )


def hidden_box(canvas: Canvas, name: str, text: str) -> None:
    """What is printed on the page anyway, as a form field that can be read back and neither seen nor changed."""
    canvas.acroForm.textfield(
        name=name,
        value=text,
        width=1,
        height=1,
        annotationFlags="hidden",
        fieldFlags="readOnly",
        maxlen=LONGEST_PRINTED,
    )


def tick_box(canvas: Canvas, name: str, hint: str, x: float, y: float, size: float = TICK) -> None:
    """A box to be ticked."""
    canvas.acroForm.checkbox(
        name=name,
        tooltip=hint,
        x=x,
        y=y,
        size=size,
        buttonStyle="check",
        borderWidth=0.6,
        borderColor=black,
        fillColor=white,
        textColor=black,
        forceBorder=True,
    )
