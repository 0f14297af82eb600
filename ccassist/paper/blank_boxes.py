"""Boxes to be filled, drawn for a pencil and real form fields for a PDF viewer; the head of a form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.colors import black, white
from reportlab.pdfgen.canvas import Canvas

from ccassist.bench.cautions import cautions
from ccassist.bench.forms import HEAD, LONGEST_PRINTED, PRINTED_JOB, WRITTEN_JOB, Form, printed_job
from ccassist.bench.step import Choice, Field
from ccassist.paper.pages import Drawing
from ccassist.paper.sheet import (
    BLACK,
    MM,
    SLANT,
    SMALL,
    STRONG,
    TEXT,
    Sized,
    broken,
    cut,
    measure,
    printable,
)
from ccassist.report.scene import Scene
from ccassist.report.setup_pictures import picture
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

TICK = 4.6 * MM
Place = tuple[float, float, float, float]  # left, bottom, width, height
LABEL = 7.6  # points; the words over a box, next to a pencil's figure


USUAL_CYLINDERS = 8


@record
class Print(Sized):
    """What a set of forms is printed for: page size, units, cylinders, and the job's name where there is one."""

    page: str = "A4"
    system: str = "metric"
    cylinders: int = USUAL_CYLINDERS
    job: str = ""
    file: str = ""


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


def text_box(canvas: Canvas, name: str, hint: str, place: Place, *, unit: str = "", bold: bool = False) -> None:
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


# The head of a form: what and why, whose, what to lay out, what to do, the cautions, how it was set up.

HIGH, OVER = 20.0, 9.5  # points: a box at the head, and the words over it
GAP, MOST_SETTINGS, LEAST_BOX = 5.0, 4, 60.0
Entry = tuple[tuple[str, ...], str, str, float]  # name of a box, the words over it, its unit, its share of the width
_WORDS = {
    "job": "job",
    "by": "measured by",
    "date": "date",
    "part": "part",
    "state": "state of the part (as received, seats cut, …)",
    "instrument": "instrument",
    "fluid": "fluid",
    "temperature": "temperature",
    "remark": "remark",
}
_SHARES = {"job": 3.2, "state": 2.4, "instrument": 2.2, "remark": 4.0, "fluid": 1.6}


PICTURE = 250.0  # points; a hand wide


def draw_head(
    pen: Pen, form: Form, what: Print, *, page: int, fields: bool = True, whole: bool = True, later: bool = False
) -> None:
    """Everything above the rows; ``later`` on the further pages of a form, ``fields`` off to find its height only.

    ``whole`` : with all that is to be done and the picture; else the few lines of the short card, the rest overleaf.
    """
    draw = _Head(pen, form, what, page, fields)
    draw.title("Continued; what is to be done stands on the first page of this form." if later else form.step.why)
    if later:
        return
    draw.boxes()
    if whole:
        draw.how()
    else:
        draw.card()
    draw.set_up()


def draw_back(pen: Pen, form: Form, what: Print) -> None:
    """The back of a form: all that is to be done, with the picture."""
    draw = _Head(pen, form, what, 0, fields=False)
    draw.title("How it is done. The boxes are on the other side.")
    draw.how()


def pictures_of(form: Form) -> list[Scene]:
    """The drawings of how a form's readings are set up and read, each once."""
    asked = [(form.step.key, method.key) for method in form.methods]
    asked += [("read", method.key) for method in form.methods if form.step.fills]
    return list(dict.fromkeys(scene for scene in (picture(*one) for one in asked) if scene is not None))


class _Head:
    """Draws the head of one page."""

    def __init__(self, pen: Pen, form: Form, what: Print, page: int, fields: bool) -> None:
        self.pen, self.form, self.what, self.page, self.fields = pen, form, what, page, fields

    def name(self, *parts: str) -> str:
        """The name of a field of this page."""
        return self.form.box_name(self.page, self.what.system, *parts)

    def title(self, under: str) -> None:
        """The step in large letters, and what stands under it."""
        pen = self.pen
        pen.y -= 15
        size = next((s for s in (14.0, 13.0, 12.0, 11.0) if measure(self.form.title, STRONG, s) <= pen.width), 10.0)
        pen.write(pen.left, pen.y, cut(self.form.title, STRONG, size, pen.width), font=STRONG, size=size)
        pen.y -= 3
        pen.text(under, font=SLANT)
        pen.y -= 4

    def boxes(self) -> None:
        """Job, date, who, what with."""
        step = self.form.step
        left_out = set() if step.part else {"part", "state"}
        left_out |= set() if step.fills else {"fluid"}
        keys = [key for key in HEAD if key not in left_out]
        half = (len(keys) + 1) // 2
        for row in (keys[:half], keys[half:]):
            self._row([(("h", key), _WORDS[key], self._unit(key), _SHARES.get(key, 1.3)) for key in row])

    def _unit(self, key: str) -> str:
        return term("temperature").shown(self.what.system) if key == "temperature" else ""

    def _row(self, cells: Sequence[Entry]) -> None:
        """Boxes side by side, their words over them."""
        pen = self.pen
        each = (pen.width - GAP * (len(cells) - 1)) / sum(share for *_, share in cells)
        x, pen.y = pen.left, pen.y - OVER - HIGH
        for parts, words, unit, share in cells:
            wide = each * share
            pen.fit(x, pen.y + HIGH + 2.4, words, wide)
            if parts == WRITTEN_JOB and self.what.job:
                pen.canvas.rect(x, pen.y, wide, HIGH, stroke=1, fill=0)
                name = cut(printable(self.what.job), STRONG, 10, wide - 6)
                pen.write(x + 3, pen.y + 6, name, font=STRONG, size=10)
                if self.fields:
                    hidden_box(pen.canvas, self.name(*PRINTED_JOB), printed_job(self.what.job))
            elif self.fields:
                text_box(pen.canvas, self.name(*parts), words, (x, pen.y, wide, HIGH), unit=unit)
            x += wide + GAP
        pen.y -= 3

    def card(self) -> None:
        """What is to be done in a few lines, and the cautions; the rest is overleaf."""
        pen = self.pen
        pen.y -= 3
        for number, line in enumerate(self.form.to_do(self.what.system, brief=True), 1):
            pen.item(f"{number}", line)
        pen.text("Picture, what to lay out and every step: overleaf.", font=STRONG)
        self._cautions()

    def how(self) -> None:
        """The picture, tools, procedure, cautions; all of it read from the step."""
        pen, form, system = self.pen, self.form, self.what.system
        pen.y -= 3
        left, width = pen.left, pen.width
        foot = self._pictures()
        items = [("Lay out", f"{'; '.join(form.lay_out(system))}.", 42.0)]
        items += [(f"{number}", line, 15.0) for number, line in enumerate(form.to_do(system), 1)]
        for mark, text, indent in items:
            beside = pen.y > foot + SMALL
            pen.left, pen.width = (left + PICTURE + 10, width - PICTURE - 10) if beside else (left, width)
            pen.item(mark, text, indent=indent)
        pen.left, pen.width, pen.y = left, width, min(pen.y, foot)
        self._cautions()

    def _pictures(self) -> float:
        """The pictures of the set-up and of how it is read, under one another at the left; how far down they go.

        Where there are more than two they stand in pairs, and the words below them.
        """
        pen, found = self.pen, pictures_of(self.form)
        foot = pen.y
        for place, scene in enumerate(found):
            drawing = Drawing(scene, PICTURE)
            right = len(found) > 2 and place % 2 == 1
            foot -= 0 if right else drawing.height + 4
            drawing.drawOn(pen.canvas, pen.left + (PICTURE + 6 if right else 0), foot)
        if len(found) > 2:
            pen.y = foot
        return foot

    def _cautions(self) -> None:
        self.pen.y -= 2
        for line in cautions(self.form.step.warned()):
            self.pen.item("!", line)
        self.pen.y -= 2

    def set_up(self) -> None:
        """What was set up, in words to be ticked and in quantities."""
        if self.form.choices:
            self._choices(self.form.choices)
        wanted = [self._setting(field) for field in self.form.settings]
        for count in range(-(-len(wanted) // MOST_SETTINGS), len(wanted) + 1):  # the fewest rows that hold their words
            rows = _even(wanted, count)
            if all(sum(share for *_, share in row) <= self.pen.width - GAP * (len(row) - 1) for row in rows):
                break
        for row in rows:
            self._row(row)
        self.pen.y -= 2

    def _setting(self, field: Field) -> Entry:
        """A box as wide as its words ask for, a little smaller than others."""
        wide = max(measure(field.words, TEXT, LABEL * 0.93), LEAST_BOX)
        return ("t", field.name), field.words, term(field.term).shown(self.what.system), wide

    def _choices(self, choices: Sequence[Choice]) -> None:
        """Each question and its words with boxes, several to a line where they fit."""
        pen = self.pen
        x, pen.y = pen.left, pen.y - TICK - 3  # clear of the line above
        for choice in choices:
            wide = measure(choice.words, TEXT, SMALL) + 6
            answers = [measure(word, STRONG, SMALL) + TICK + 8 for word in choice.options] or [90.0]
            if x > pen.left and x + wide + sum(answers) > pen.left + pen.width:
                x, pen.y = pen.left, pen.y - TICK - 3
            pen.write(x, pen.y + 3.6, choice.words)
            x += wide
            for word, room in zip(choice.options, answers, strict=False):
                if self.fields:
                    tick_box(pen.canvas, self.name("c", choice.name, word), f"{choice.words} {word}", x, pen.y)
                pen.write(x + TICK + 3, pen.y + 3.6, word, font=STRONG)
                x += room
            if not choice.options:
                if self.fields:
                    text_box(pen.canvas, self.name("c", choice.name), choice.words, (x, pen.y, 90, TICK + 2))
                x += 96
            x += 5
        pen.y -= 2


def _even(entries: Sequence[Entry], rows: int) -> list[Sequence[Entry]]:
    """Entries in so many rows of even length."""
    each = -(-len(entries) // rows) if rows else 0
    return [entries[n : n + each] for n in range(0, len(entries), each or 1)]
