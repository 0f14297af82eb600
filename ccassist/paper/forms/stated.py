"""The pages of what is stated and not measured step by step: the cam card, and a piston that is to be copied."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ccassist.bench.cautions import cautions
from ccassist.bench.forms import PRINTED_JOB, Box, printed_job
from ccassist.bench.step import sized
from ccassist.job.sections import STATED
from ccassist.job.stated_form import StatedForm
from ccassist.paper.forms.boxes import LABEL, TICK, Pen, hidden_box, text_box, tick_box
from ccassist.paper.page import STRONG, TEXT, printable
from ccassist.paper.sheet import cut, measure
from ccassist.values.findings import capital
from ccassist.vocabulary import term

if TYPE_CHECKING:
    from ccassist.paper.forms.boxes import Print

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
