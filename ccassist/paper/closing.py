"""The algebra, the cautions and the sign-off."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable, Spacer

from ccassist.bench.cautions import cautions
from ccassist.engine.relations import Relation
from ccassist.paper.furniture import Block, Cell, Entry, Line, heading, labelled, prose, table, together
from ccassist.paper.sheet import BLACK, GREY, SMALL, STRONG, TEXT, Sheet
from ccassist.paper.workings import formula, is_identity, relations_met
from ccassist.vocabulary import term

ALWAYS = ("contact", "crown", "metal", "planning", "knock")
BOXES = (("measured by", "date"), ("checked by", "date"))
REMARK_LINES = 2
SYMBOL_COLUMNS = 3


def algebra_section(sheet: Sheet, algebra: Sequence[str]) -> list[Flowable]:
    """What was solved, where that is handed over; then the relations behind the result, with their sources."""
    story = heading(sheet, "Algebra")
    story += [_told(sheet, line) for line in algebra]
    story += [Spacer(1, 6)] if algebra else []
    chain = [r for r in relations_met(sheet.survey.cylinders) if not is_identity(r)]
    if not chain:
        return [*story, *([] if algebra else [prose("Too little is given for any relation to apply.")])]
    rows: list[list[Entry]] = [[term(r.gives).name, Cell(Line(formula(r), STRONG)), r.source] for r in chain]
    widths = [sheet.width * share for share in (0.21, 0.4, 0.39)]
    relations = table(["gives", "relation", "source"], rows, widths, words=(0, 1, 2))
    return [*story, relations, *together(_symbols(sheet, chain))]


def _told(sheet: Sheet, line: str) -> Flowable:
    """One line of an answer; a line that announces others stays with them."""
    if not line.strip():
        return Spacer(1, 5)
    lead = line.endswith(":")
    return prose(sheet.words(line), STRONG if lead else TEXT, after=1.5, keep=lead)


def _symbols(sheet: Sheet, chain: Sequence[Relation]) -> Flowable:
    """The symbols used and what they stand for, in columns read downward."""
    used = dict.fromkeys(key for r in chain for key in (r.gives, *r.needs))
    pairs = sorted({(term(key).symbol, term(key).name) for key in used}, key=lambda p: (p[0].lower(), p))
    high = -(-len(pairs) // SYMBOL_COLUMNS)
    rows: list[list[Entry]] = []
    for n in range(high):
        row = [pairs[n + i * high] if n + i * high < len(pairs) else ("", "") for i in range(SYMBOL_COLUMNS)]
        rows.append([cell for symbol, name in row for cell in (Cell(Line(symbol, STRONG)), name)])
    widths = [sheet.width * s / SYMBOL_COLUMNS for s in (0.26, 0.74)] * SYMBOL_COLUMNS
    return table(["symbol", "term"] * SYMBOL_COLUMNS, rows, widths, words=range(2 * SYMBOL_COLUMNS))


def cautions_section(sheet: Sheet) -> list[Flowable]:
    """The cautions of the steps used, then those that hold for every engine."""
    steps = dict.fromkeys(one.cell.step for one in sheet.survey.reduced) if sheet.survey.reduced else {}
    keys = dict.fromkeys([*(key for step in steps for key in step.cautions), *ALWAYS])
    return [*heading(sheet, "Cautions"), *(labelled("•", text, indent=12) for text in cautions(tuple(keys)))]


class SignOff(Block):
    """Boxes to be signed by hand."""

    ROW = 36.0

    def __init__(self, width: float, boxes: Sequence[tuple[str, str]] = BOXES, *, remarks: int = REMARK_LINES) -> None:
        super().__init__()
        self.boxes, self.remarks = boxes, remarks
        self.width, self.height = width, self.ROW * len(boxes) + remarks * 24 + 26

    def draw(self) -> None:
        """A frame, its rows, and lines for remarks."""
        canvas, y = self.canv, self.height
        canvas.setStrokeGray(BLACK)
        canvas.setLineWidth(0.9)
        canvas.rect(0, 0, self.width, self.height, stroke=1, fill=0)
        columns = (0.0, self.width * 0.42, self.width * 0.62)
        for who, when in self.boxes:
            y -= self.ROW
            canvas.setLineWidth(0.9)
            canvas.line(0, y, self.width, y)
            canvas.setLineWidth(0.4)
            for x in columns[1:]:
                canvas.line(x, y, x, y + self.ROW)
            for x, words in zip(columns, (f"{who} (name)", when, "signature"), strict=True):
                self._words(x + 7, y + self.ROW - 12, words)
        self._words(7, y - 14, "remarks")
        canvas.setLineWidth(0.4)
        canvas.setStrokeGray(GREY)
        for i in range(self.remarks):
            canvas.line(7, y - 38 - i * 24, self.width - 7, y - 38 - i * 24)

    def _words(self, x: float, y: float, text: str) -> None:
        self.canv.setFillGray(GREY)
        self.canv.setFont(TEXT, SMALL)
        self.canv.drawString(x, y, text)


def sign_off(sheet: Sheet) -> list[Flowable]:
    """The boxes to be signed in the shop."""
    return signed(sheet, "Sign-off", SignOff(sheet.width))


def signed(sheet: Sheet, title: str, box: SignOff) -> list[Flowable]:
    """Boxes under their heading, kept on one page."""
    return [*heading(sheet, title, room=box.height + 40), Spacer(1, 2), box]
