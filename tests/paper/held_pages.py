"""What every page of every paper holds to, read from where its letters stand: one quick look over a whole PDF.

No text leaves the frame, no two texts lie over each other, no heading stands last on a page, no page holds fewer than a
few lines, and no figure is parted from its ± or unit by the end of a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from ccassist.vocabulary.units import UNITS
from tests.paper.letters import Letter, Page, over_one_another, pages_of

LEFT, RIGHT = 18 / 25.4 * 72, 15 / 25.4 * 72  # margins, points
HEAD, FOOT = 18 / 25.4 * 72, 17 / 25.4 * 72  # what lies beyond is the page's own head and foot
HEADING = 9.9  # points: strong type of this size and more is a heading's
LEAST_LINES = 4  # of a page, where it is not the only one
_UNIT = "|".join(sorted((re.escape(word) for word in (*UNITS, "%") if word), key=len, reverse=True))
BEGINS_WITH_REST = re.compile(rf"(?:± ?\d|(?:{_UNIT})(?!\w))")
ENDS_IN_FIGURE = re.compile(r"(?:^|[\s(−-])\d[\d.]*$")


@dataclass(frozen=True)
class Line:
    """Letters that stand in one line, without a gap wider than a few spaces."""

    text: str
    x0: float
    x1: float
    top: float
    bottom: float
    size: float
    strong: bool


def lines_of(page: Page) -> list[Line]:
    """From the top, and of one height from the left."""
    rows: dict[int, list[Letter]] = {}
    for one in sorted((c for c in page.chars if c.upright), key=lambda c: (c.bottom, c.x0)):
        rows.setdefault(round(one.bottom), []).append(one)
    return [line for _, letters in sorted(rows.items()) for line in _pieces(sorted(letters, key=lambda c: c.x0))]


def _pieces(letters: list[Letter]) -> Iterator[Line]:
    piece: list[Letter] = []
    for one in letters:
        if piece and one.x0 - piece[-1].x1 > 0.6 * one.size:
            yield from _line(piece)
            piece = []
        piece.append(one)
    yield from _line(piece)


def _line(letters: list[Letter]) -> Iterator[Line]:
    text = "".join(c.text for c in letters).replace("\xa0", " ").strip()
    inked = [c for c in letters if c.text.strip()]
    if inked:
        first, sizes = inked[0], [c.size for c in inked]
        strong = all("SemiBold" in c.fontname or "Strong" in c.fontname for c in inked)
        top, bottom = min(c.top for c in inked), max(c.bottom for c in inked)
        yield Line(text, first.x0, inked[-1].x1, top, bottom, max(sizes), strong)


def faults(data: bytes) -> list[str]:
    """Everything that a page of a PDF does wrong, with the page and the words."""
    pages = pages_of(data)
    found = []
    for number, page in enumerate(pages, 1):
        lines = [one for one in lines_of(page) if HEAD < one.bottom < page.height - FOOT]
        said = [*_strays(page), *_over(page), *_last(lines), *_parted(lines)]
        if len(pages) > 1 and len({round(one.bottom) for one in lines}) < LEAST_LINES:
            said.append("holds only " + "; ".join(one.text for one in lines))
        found += [f"page {number}: {text}" for text in said]
    return found


def _strays(page: Page) -> Iterator[str]:
    for one in page.chars:
        inside = one.x0 >= LEFT - 1 and one.x1 <= page.width - RIGHT + 1 and 10 < one.top < one.bottom < page.height - 8
        if one.text.strip() and not inside:
            yield f"“{one.text}” at {one.x0:.0f}, {one.top:.0f} leaves the frame"


def _over(page: Page) -> Iterator[str]:
    for one, other in over_one_another(page.words):
        yield f"“{one}” and “{other}” lie over each other"


def _last(lines: list[Line]) -> Iterator[str]:
    if lines and lines[-1].strong and lines[-1].size >= HEADING:
        yield f"the heading “{lines[-1].text}” stands last"


def _parted(lines: list[Line]) -> Iterator[str]:
    """Figures that go on in the line below, which begins or ends where theirs does."""
    for place, one in enumerate(lines):
        if not (one.text.endswith("±") or ENDS_IN_FIGURE.search(one.text)):
            continue
        for other in lines[place + 1 :]:
            if other.top - one.bottom > 0.4 * one.size:
                break
            below = abs(other.x0 - one.x0) < 1 or abs(other.x1 - one.x1) < 1
            alike = other.top > one.top + 0.5 * one.size and abs(other.size - one.size) < 0.1
            cut = re.search(r"± ?\d+\.$", one.text) or one.text.endswith("±")
            if below and alike and (cut or BEGINS_WITH_REST.match(other.text)):
                yield f"“{one.text}” goes on as “{other.text}”"
