"""The black bar on the first page of the order: what keeps it from being final, with the way out; what is accepted."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable, Spacer

from ccassist.paper.furniture import Block, prose
from ccassist.paper.sheet import BLACK, LEADING, SMALL, STRONG, TEXT, Sheet, broken
from ccassist.plan.piston.order import Order

PAD, SIZE = 8.0, 9.2
LONGEST = 700  # characters of one entry; reasons are cut shorter where they are read


class Bar(Block):
    """Words in white on black: a title, or one entry; entries under one another make one bar, on as many pages."""

    def __init__(self, text: str, width: float, *, title: bool = False, last: bool = False) -> None:
        super().__init__()
        self.font, self.width = STRONG if title else TEXT, width
        self.inset = PAD if title else PAD + 10
        self.title = title
        self.lines = broken(text, self.font, SIZE, width - self.inset - PAD)
        self.foot = 5.0 if last else 1.0
        self.height = 3.0 + len(self.lines) * SIZE * LEADING + self.foot

    def draw(self) -> None:
        """The black first, then the lines from the top."""
        canvas = self.canv
        canvas.setFillGray(BLACK)
        canvas.rect(0, -0.3, self.width, self.height + 0.6, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.setFont(self.font, SIZE)
        y = self.height - 3.0
        for n, line in enumerate(self.lines):
            y -= SIZE * LEADING
            if n == 0 and not self.title:
                canvas.drawString(PAD, y + 3.0, "•")
            canvas.drawString(self.inset, y + 3.0, line)


def bar(sheet: Sheet, order: Order) -> list[Flowable]:
    """What does not fit, what is not settled, then what was accepted; nothing where there is none of them."""
    found = order.judged
    many, still = len(found.faults), len(order.points)
    entries: list[Bar] = []
    for title, texts in (
        (f"DOES NOT FIT: {many} point{'s' if many > 1 else ''}. Not to be made from.", [f.text for f in found.faults]),
        (f"STANDS OPEN: {still} point{'s' if still > 1 else ''}. Not to be made from.", order.points),
        ("ACCEPTED BY WHOEVER ORDERS, and why:", [one.text for one in found.accepted]),
    ):
        entries += _entries(sheet, title, texts)
    return [*entries, Spacer(1, 6)] if entries else []


def _entries(sheet: Sheet, title: str, texts: Sequence[str]) -> list[Bar]:
    if not texts:
        return []
    made = [Bar(title, sheet.width, title=True)]
    made += [Bar(sheet.short(f"{text}.", LONGEST), sheet.width) for text in texts[:-1]]
    return [*made, Bar(sheet.short(f"{texts[-1]}.", LONGEST), sheet.width, last=True)]


def not_checked(sheet: Sheet, order: Order) -> list[Flowable]:
    """What could not be looked at, on the first page, in one paragraph."""
    lines = [*order.judged.unseen, *order.judged.idle]
    if not lines:
        return []
    text = f"NOT CHECKED, since it is not given: {'; '.join(lines)}."
    return [prose(sheet.words(text), size=SMALL, after=4.0)]
