"""Forms for what is stated and not measured step by step: the cam card, and a piston that is to be copied.

What they ask is what the sections of the job file hold; it is typed into the guide or the file from the paper.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from ccassist.bench.cautions import cautions
from ccassist.bench.forms import NOT_READ
from ccassist.bench.step import sized
from ccassist.job.sections import STATED
from ccassist.paper.forms.boxes import LABEL, TICK, Pen, text_box, tick_box
from ccassist.paper.page import STRONG, TEXT
from ccassist.paper.sheet import measure
from ccassist.values.findings import capital
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

if TYPE_CHECKING:
    from ccassist.paper.forms.boxes import Print

ACROSS, GAP = 3, 7.0  # boxes in a row, and the points between them
HIGH, OVER = 19.0, 10.0  # points: a box, and the words over it
SMALL_TICK = 9.0


@record
class StatedForm:
    """One of them.

    Attributes
    ----------
    key, title, why : its name, title, and what it is for.
    sections : the sections of the job file whose terms and words it asks -> what each is called.
    cautions : keys of the cautions.
    """

    key: str
    title: str
    why: str
    sections: Mapping[str, str]
    cautions: tuple[str, ...] = ()


CAM_CARD = StatedForm(
    key="cam-card",
    title="Cam card and valves",
    why="Copy the card that came with the cam, or what you read with degree wheel and dial. Always say at which lift "
    "the events were read: at the seat and at [1 mm|0.050 in] they lie 15 to 25 degrees apart.",
    sections={"cam": "Cam", "valve.intake": "Intake valve", "valve.exhaust": "Exhaust valve"},
    cautions=("valve-mock-up", "tappets"),
)
PISTON = StatedForm(
    key="piston-to-copy",
    title="A piston to be copied",
    why="Measure the piston that the new ones are made after, and say what must stay. A dish adds space, a dome takes "
    "it: tick the word, never write a bare sign.",
    sections={
        "order": "Piston, pin and rings",
        "order.crown": "Crown",
        "order.pocket.intake": "Intake pockets",
        "order.pocket.exhaust": "Exhaust pockets",
    },
    cautions=("crown", "contact"),
)
STATED_FORMS = {form.key: form for form in (CAM_CARD, PISTON)}
_LEFT_OUT = ("pieces", "spares", "height_tolerance", "crown_tolerance", "rev_limit", "free_thickness")


def draw_stated(pen: Pen, form: StatedForm, what: Print, page: int) -> None:
    """The whole page."""
    pen.y -= 15
    pen.write(pen.left, pen.y, form.title, font=STRONG, size=14)
    pen.y -= 3
    pen.text(sized(form.why, what.system))
    pen.y -= 2
    draw = _Boxes(pen, what, f"{page}/{form.key}/{NOT_READ}/{what.system}")
    draw.texts(("job", "measured by", "date"))
    for name, called in form.sections.items():
        section = STATED[name]
        pen.y -= 4
        pen.text(called, font=STRONG, size=9.6)
        draw.terms(name, [key for key in section.terms if key not in _LEFT_OUT])
        for key, words in section.words.items():
            draw.choice(f"{name}/{key}", capital(key.replace("_", " ")), words)
    pen.y -= 4
    for line in cautions(form.cautions):
        pen.item("!", line)


class _Boxes:
    """Draws the boxes of one page."""

    def __init__(self, pen: Pen, what: Print, start: str) -> None:
        self.pen, self.what, self.start = pen, what, start
        self.each = (pen.width - GAP * (ACROSS - 1)) / ACROSS

    def _places(self, count: int) -> Iterator[tuple[float, float]]:
        """Left and foot of so many boxes, row by row."""
        for place in range(count):
            self.pen.y -= OVER + HIGH if place % ACROSS == 0 else 0.0
            yield self.pen.left + place % ACROSS * (self.each + GAP), self.pen.y

    def texts(self, words: Sequence[str]) -> None:
        """Boxes for words."""
        for word, (x, y) in zip(words, self._places(len(words)), strict=True):
            self.pen.fit(x, y + HIGH + 2, word, self.each)
            text_box(self.pen.canvas, f"{self.start}/{word}", word, (x, y, self.each, HIGH))

    def terms(self, section: str, keys: Sequence[str]) -> None:
        """A box for each term, its unit in it, and the words of its sign to be ticked."""
        for key, (x, y) in zip(keys, self._places(len(keys)), strict=True):
            meant = term(key)
            self.pen.fit(x, y + HIGH + 2, meant.name, self.each)
            beside = self._signs(f"{self.start}/{section}/{key}", key, x + self.each, y) if meant.sign else 0.0
            name = f"{self.start}/{section}/{key}"
            frame = (x, y, self.each - beside, HIGH)
            text_box(self.pen.canvas, name, meant.name, frame, unit=meant.shown(self.what.system))

    def _signs(self, name: str, key: str, right: float, y: float) -> float:
        """Tick boxes for the words of a sign, at the right; how much room they take."""
        sign = term(key).sign
        assert sign is not None
        words = {"minus": sign.minus[0], "plus": sign.plus[0]}
        words = {way: word.replace("tdc", "TDC").replace("bdc", "BDC") for way, word in words.items()}
        wide = SMALL_TICK + 5 + max(measure(word, TEXT, 6.9) for word in words.values())
        for place, (way, word) in enumerate(words.items()):
            at = y + place * HIGH / 2
            tick_box(self.pen.canvas, f"{name}/{way}", word, right - wide + 2, at, SMALL_TICK - 0.6)
            self.pen.write(right - wide + SMALL_TICK + 4, at + 2, word, size=6.9)
        return wide

    def choice(self, name: str, asked: str, words: Sequence[str]) -> None:
        """A question and its answers to be ticked."""
        pen = self.pen
        pen.y -= TICK + 3
        x = pen.left
        pen.write(x, pen.y + 3.6, asked, size=LABEL)
        x += measure(asked, TEXT, LABEL) + 8
        for word in words:
            tick_box(pen.canvas, f"{self.start}/{name}/{word}", word, x, pen.y)
            pen.write(x + TICK + 3, pen.y + 3.6, word, size=LABEL)
            x += TICK + 12 + measure(word, TEXT, LABEL)
