"""Blank forms as one PDF: one page a bench step and way of reading, more where a job has more cylinders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib.metadata import version
from io import BytesIO
from typing import TYPE_CHECKING

from reportlab.pdfgen.canvas import Canvas

from ccassist.bench.cautions import cautions
from ccassist.bench.densities import air_density, water_density, z_factor
from ccassist.bench.forms import FORMS, NOT_READ, PRINTED_JOB, Box, Form, printed_job, rows_of
from ccassist.engine.model import RELATIONS
from ccassist.job.filled_form import STATED_FORMS, StatedForm
from ccassist.job.sections import STATED
from ccassist.paper.blank_boxes import LABEL, TICK, Pen, Print, draw_back, draw_head, hidden_box, text_box, tick_box
from ccassist.paper.blank_table import POINT, RowGrid, draw_points, draw_rows, draw_tail, factors, grid_of, tail_height
from ccassist.paper.sheet import (
    BLACK,
    BOTTOM,
    LEFT,
    MM,
    RIGHT,
    SLANT,
    SMALL,
    STRONG,
    TEXT,
    broken,
    cut,
    measure,
    printable,
    register,
)
from ccassist.report.workings import formula
from ccassist.values.display import sized
from ccassist.values.findings import capital, clean
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion

if TYPE_CHECKING:
    from ccassist.paper.blank_boxes import Print


# The pages of what is stated and not measured step by step: the cam card, and a piston that is to be copied.


ACROSS, GAP = 3, 7.0  # boxes in a row, and the points between them
HIGH, OVER = 19.0, 10.0  # points: a box, and the words over it
SMALL_TICK = 9.0


def draw_stated(pen: Pen, form: StatedForm, what: Print, page: int) -> None:
    """The whole page."""
    pen.y -= 15
    pen.write(pen.left, pen.y, form.title, font=STRONG, size=14)
    pen.y -= 3
    pen.text(sized(form.why, what.system))
    pen.y -= 2
    draw = _Boxes(pen, form, what, page)
    draw.head()
    for name, called in form.sections.items():
        pen.y -= 4
        pen.text(called, font=STRONG, size=9.6)
        draw.terms(name, form.terms(name))
        for key, words in STATED[name].words.items():
            draw.choice(name, key, words)
    pen.y -= 4
    for line in cautions(form.cautions):
        pen.item("!", line)


class _Boxes:
    """Draws the boxes of one page."""

    def __init__(self, pen: Pen, form: StatedForm, what: Print, page: int) -> None:
        self.pen, self.form, self.what, self.page = pen, form, what, page
        self.each = (pen.width - GAP * (ACROSS - 1)) / ACROSS

    def name(self, *what: str) -> str:
        """The name of one of its boxes."""
        form = self.form
        return Box(page=self.page, form=form.key, edition=form.edition, system=self.what.system, what=what).name

    def _places(self, count: int) -> Iterator[tuple[float, float]]:
        """Left and foot of so many boxes, row by row."""
        for place in range(count):
            self.pen.y -= OVER + HIGH if place % ACROSS == 0 else 0.0
            yield self.pen.left + place % ACROSS * (self.each + GAP), self.pen.y

    def head(self) -> None:
        """Whose it is, by whom and when."""
        words = {"job": "job", "by": "measured by", "date": "date"}
        for (key, said), (x, y) in zip(words.items(), self._places(len(words)), strict=True):
            self.pen.fit(x, y + HIGH + 2, said, self.each)
            if key == "job" and self.what.job:
                self.pen.canvas.rect(x, y, self.each, HIGH, stroke=1, fill=0)
                self.pen.write(x + 3, y + 6, cut(printable(self.what.job), STRONG, 10, self.each - 6), font=STRONG)
                hidden_box(self.pen.canvas, self.name(*PRINTED_JOB), printed_job(self.what.job))
            else:
                text_box(self.pen.canvas, self.name("h", key), said, (x, y, self.each, HIGH))

    def terms(self, section: str, keys: Sequence[str]) -> None:
        """A box for each term, its unit in it, and the words of its sign to be ticked."""
        for key, (x, y) in zip(keys, self._places(len(keys)), strict=True):
            meant = term(key)
            self.pen.fit(x, y + HIGH + 2, meant.name, self.each)
            beside = self._signs(section, key, x + self.each, y) if meant.sign else 0.0
            frame = (x, y, self.each - beside, HIGH)
            unit = meant.shown(self.what.system)
            text_box(self.pen.canvas, self.name("v", section, key), meant.name, frame, unit=unit)

    def _signs(self, section: str, key: str, right: float, y: float) -> float:
        """Tick boxes for the words of a sign, at the right; how much room they take."""
        sign = term(key).sign
        assert sign is not None
        words = {"minus": sign.minus[0], "plus": sign.plus[0]}
        words = {way: word.replace("tdc", "TDC").replace("bdc", "BDC") for way, word in words.items()}
        wide = SMALL_TICK + 5 + max(measure(word, TEXT, 6.9) for word in words.values())
        for place, (way, word) in enumerate(words.items()):
            at = y + place * HIGH / 2
            tick_box(self.pen.canvas, self.name("s", section, key, way), word, right - wide + 2, at, SMALL_TICK - 0.6)
            self.pen.write(right - wide + SMALL_TICK + 4, at + 2, word, size=6.9)
        return wide

    def choice(self, section: str, key: str, words: Sequence[str]) -> None:
        """A question and its answers to be ticked."""
        pen, asked = self.pen, capital(key.replace("_", " "))
        pen.y -= TICK + 3
        x = pen.left
        pen.write(x, pen.y + 3.6, asked, size=LABEL)
        x += measure(asked, TEXT, LABEL) + 8
        for word in words:
            tick_box(pen.canvas, self.name("w", section, key, word), word, x, pen.y)
            pen.write(x + TICK + 3, pen.y + 3.6, word, size=LABEL)
            x += TICK + 12 + measure(word, TEXT, LABEL)


# The page of sums: every cylinder's volumes added by hand, and the ratio.

TITLE = "The sum of every cylinder"
COLUMNS = (
    "chamber_volume",
    "gasket_volume",
    "deck_volume",
    "crown_volume",
    "crevice_volume",
    "chamfer_volume",
    "clearance_volume",
    "swept_volume",
    "static_ratio",
)
TEMPERATURES = {"metric": (15, 18, 20, 22, 25, 30), "imperial": (59, 64, 68, 72, 77, 86)}  # °C, °F
FORMULAS = ("swept_volume", "gasket_volume", "deck_volume", "clearance_volume", "static_ratio")

ROW, HEAD, LABELS = 26.0, 34.0, 44.0


def draw_total(pen: Pen, what: Print, page: int) -> None:
    """The whole page."""
    pen.y -= 15
    pen.write(pen.left, pen.y, TITLE, font=STRONG, size=14)
    pen.y -= 3
    pen.text(
        "Work out each volume on its own page, write it here with its sign, add along the line. A dish adds (+), "
        "a dome takes (−); a piston below the deck adds (+), one proud of it takes (−). Crevice and chamfer are "
        "counted or left out as agreed: never both in a fill and in the sum.",
        font=SLANT,
    )
    pen.y -= 6
    for key in FORMULAS:
        pen.item(term(key).symbol, f"{term(key).name}: {formula(RELATIONS[key])}", indent=30)
    pen.y -= 6
    _rows(pen, what, page)
    pen.y -= 12
    _weighing(pen, what.system)
    pen.y -= 6
    for line in cautions(("planning", "contact")):
        pen.item("!", line)


def _rows(pen: Pen, what: Print, page: int) -> None:
    wide = (pen.width - LABELS) / len(COLUMNS)
    pen.y -= HEAD
    pen.write(pen.left, pen.y + 3, "cylinder", font=STRONG, size=LABEL)
    for place, key in enumerate(COLUMNS):
        sign = term(key).sign
        words = term(key).name + (f", {sign.plus[0]} +, {sign.minus[0]} −" if sign else "")
        lines = broken(words, TEXT, 6.9, wide - 3)
        for up, line in enumerate(reversed(lines)):
            pen.write(pen.left + LABELS + place * wide + 1, pen.y + 3 + 7.4 * up, line, size=6.9)
    room = (pen.y - BOTTOM - 130) / what.cylinders
    high = min(ROW, max(room, 15.0))
    for number in range(1, what.cylinders + 1):
        pen.y -= high
        pen.write(pen.left + 4, pen.y + high / 2 - 5, str(number), font=STRONG, size=12)
        for place, key in enumerate(COLUMNS):
            box = (pen.left + LABELS + place * wide, pen.y, wide - 3, high - 3)
            name = f"{page}/sum/{NOT_READ}/{what.system}/{number}/{key}"
            unit = term(key).shown(what.system)
            hint = f"cylinder {number}: {term(key).name}, by hand"
            text_box(pen.canvas, name, hint, box, unit=unit, bold=key in ("clearance_volume", "static_ratio"))


def _weighing(pen: Pen, system: str) -> None:
    """How many cc a gram of water is, on an ordinary day; and the factors between the units of the forms."""
    unit, cells = term("temperature").shown(system), []
    for degrees in TEMPERATURES[system]:
        warmth = degrees * conversion(unit).scale + conversion(unit).zero
        each = z_factor(water_density(warmth), air_density(temperature=warmth)) * 1e3
        cells.append(f"{degrees} {unit} {each:.4f}")
    pen.text("cc per gram of water, weighed in ordinary air at sea level:", font=STRONG, size=SMALL)
    pen.text("      ".join(cells), size=SMALL)
    pen.text(
        "Water density by Tanaka et al. (2001), air buoyancy by ISO 8655-6; other fluids by their own density.",
        size=LABEL,
    )
    pen.text(factors(system), font=STRONG)


UPPER = 13 * MM  # margin above the title: the bench wants the room
TALLEST, LEAST = 32.0, 23.0  # points; rows that a pencil and greasy fingers can fill


def blank_bytes(
    forms: Sequence[Form], what: Print, *, stated: Sequence[StatedForm] = (), total: bool = True
) -> tuple[bytes, int]:
    """The PDF of some forms, and its number of pages; the same call gives the same bytes.

    ``stated`` : the forms of what is stated; ``total`` adds the page on which the volumes are summed by hand.
    """
    register()
    plans = [_planned(form, what) for form in forms]
    pages = sum(len(grids) + int(not whole) for grids, whole in plans) + len(stated) + int(total)
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=what.size, invariant=1, lang="en", initialFontName=TEXT)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setTitle("Bench forms" + (f" for {clean(what.job)}" if what.job else ""))
    canvas.setSubject("Compression and chamber volumes: forms to fill at the bench")
    canvas.setCreator("ccassist")
    number = 0
    for form, plan in zip(forms, plans, strict=True):
        number = _draw(canvas, form, what, plan, number, pages)
    for one in stated:
        number += 1
        draw_stated(_pen(canvas, what), one, what, number)
        _turn(canvas, what, f"{one.key} · {one.edition}", one.title, number, pages)
    if total:
        draw_total(_pen(canvas, what), what, number + 1)
        _turn(canvas, what, "sum", TITLE, number + 1, pages)
    canvas.save()
    return stream.getvalue(), pages


def forms_named(keys: Sequence[str]) -> list[Form]:
    """The forms of some steps, by the step's name or the form's own; all of them where none is named."""
    return [f for f in FORMS.values() if not keys or f.key in keys or f.step.key in keys]


def stated_named(keys: Sequence[str]) -> list[StatedForm]:
    """The forms of what is stated, by name; all of them where none is named."""
    return [form for form in STATED_FORMS.values() if not keys or form.key in keys]


def _pen(canvas: Canvas, what: Print) -> Pen:
    return Pen(canvas=canvas, left=LEFT, width=what.width, y=what.size[1] - UPPER)


def _grids(form: Form, what: Print, *, whole: bool) -> list[RowGrid]:
    """The rows of a form over its pages."""
    pen = _pen(Canvas(BytesIO(), pagesize=what.size), what)
    draw_head(pen, form, what, page=1, fields=False, whole=whole)
    first = pen.y - BOTTOM - tail_height(form, what)
    later = what.size[1] - UPPER - BOTTOM - 60
    return grid_of(form, what, first=first, later=later, tallest=TALLEST, least=LEAST)


_Plan = tuple[list[RowGrid], bool]


def _planned(form: Form, what: Print) -> _Plan:
    """The rows of a form over its pages, and whether all that is to be done has room above them; else it has a back."""
    whole, least = _grids(form, what, whole=True), POINT if form.points else LEAST
    rows = 0 if form.points else len([*rows_of(form, what.cylinders)])
    if len(whole) == 1 and len(whole[0].rows) >= rows and whole[0].high >= least:
        return whole, True
    return _grids(form, what, whole=False), False


def _draw(canvas: Canvas, form: Form, what: Print, plan: _Plan, number: int, pages: int) -> int:
    """One form on its pages, its back after the first; returns the number of the last."""
    grids, whole = plan
    code = f"{form.key} · {form.edition}"
    for place, grid in enumerate(grids):
        number += 1
        pen = _pen(canvas, what)
        draw_head(pen, form, what, page=number, whole=whole, later=place > 0)
        (draw_points if form.points else draw_rows)(pen, form, what, grid, page=number)
        if place == 0:
            draw_tail(pen, form, what, page=number)
        _turn(canvas, what, code, form.title + (" (continued)" if place else ""), number, pages)
        if place == 0 and not whole:
            number += 1
            draw_back(_pen(canvas, what), form, what)
            _turn(canvas, what, code, f"{form.title}: how it is done", number, pages)
    return number


def _turn(canvas: Canvas, what: Print, code: str, title: str, number: int, pages: int) -> None:
    """Draw the foot of a page, which is read last, enter the page in the outline, and turn it."""
    canvas.bookmarkPage(f"p{number}")
    canvas.addOutlineEntry(title, f"p{number}")
    right = what.size[0] - RIGHT
    canvas.setFillGray(BLACK)
    canvas.setStrokeGray(BLACK)
    canvas.setLineWidth(0.5)
    canvas.setFont(TEXT, SMALL)
    canvas.line(LEFT, BOTTOM - 8, right, BOTTOM - 8)
    said = f"form {code} · {what.system} · ccassist {version('ccassist')}"
    canvas.drawString(LEFT, BOTTOM - 19, cut(said, TEXT, SMALL, what.width - 90))
    canvas.drawRightString(right, BOTTOM - 19, f"page {number} of {pages}")
    canvas.showPage()
