"""Below the rows: what shows a leak, and how the readings are worked up by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ccassist.bench.forms import BY_HAND, LEAKS, Form
from ccassist.engine.relations import RELATIONS
from ccassist.paper.forms.boxes import LABEL, Pen, text_box
from ccassist.paper.sheet import BOTTOM, GREY, PALE, SMALL, STRONG
from ccassist.paper.workings import formula
from ccassist.values.units import shown_unit
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.paper.forms.blank import Print

Entry = tuple[str, str, tuple[str, ...]]  # words over a box, its unit, its name
LEAK_HIGH, LINE, RULE = 45.0, 11.0, 20.0


def tail_height(form: Form, what: Print) -> float:
    """Room for what stands below the rows, points."""
    return (LEAK_HIGH if form.leak else 0.0) + LINE * len(_lines(form)) + 6


def draw_tail(pen: Pen, form: Form, what: Print, *, page: int) -> None:
    """The leak check of one fill, and the formulas for the sums by hand."""
    if form.leak:
        _leak(pen, form, what, page)
    pen.y -= 4
    for line in _lines(form):
        pen.y -= LINE
        pen.fit(pen.left, pen.y, line, pen.width)
    _notes(pen)


def _notes(pen: Pen) -> None:
    """Lines to write on, where the page has room for them."""
    if pen.y - BOTTOM < 3 * RULE:
        return
    pen.y -= 18
    pen.write(pen.left, pen.y, "Notes", font=STRONG, size=LABEL)
    pen.canvas.setStrokeGray(PALE)
    pen.canvas.setLineWidth(0.4)
    while pen.y - RULE > BOTTOM:
        pen.y -= RULE
        pen.canvas.line(pen.left, pen.y, pen.left + pen.width, pen.y)


def _lines(form: Form) -> list[str]:
    """What the sums are, in the symbols of the worksheet."""
    lines = [_named(RELATIONS[key].gives, formula(RELATIONS[key])) for key in BY_HAND.get(form.step.key, ())]
    if any(m.key == "weighing" for m in form.methods):
        lines.insert(0, "cc = grams × cc per gram of the fluid on the day: see the table on the page of sums.")
    if form.step.fills and form.step.part:
        lines.append(
            "Refilled? Write both starts and both ends with ; between: 0; 0 and 50; 12.4. "
            "Fluid in the plate's hole is taken off once."
        )
    return lines


def _named(key: str, text: str) -> str:
    return f"{term(key).name}: {text}"


def _leak(pen: Pen, form: Form, what: Print, page: int) -> None:
    """One row: which fill, when it ended, and up to four readings afterwards."""

    def name(*parts: str) -> str:
        return form.box_name(page, what.system, "l", *parts)

    pen.y -= 13
    pen.write(pen.left, pen.y, "Level falling? One fill topped up and read again:", font=STRONG, size=SMALL)
    fields = {f.name: f for f in form.leak}
    which: list[Entry] = [("line" if form.by_line else "cylinder", "", ("row",))]
    which += [] if form.by_line else [("reading", "", ("repeat",))]
    time, level = (shown_unit(term(fields[key].term), what.system) for key in ("fill_time", "settle"))
    cells: list[Entry] = [*which, ("end of fill at", time, ("fill_time",))]
    for n in range(1, LEAKS + 1):
        cells += [(f"at, {n}", time, ("settle_at", str(n))), (f"level, {n}", level, ("settle", str(n)))]
    wide = pen.width / len(cells)
    pen.y -= 29
    for place, (words, unit, parts) in enumerate(cells):
        x = pen.left + place * wide
        pen.fit(x, pen.y + 19, words, wide - 3, shade=GREY)
        text_box(pen.canvas, name(*parts), words, (x, pen.y, wide - 3, 17.5), unit=unit)
