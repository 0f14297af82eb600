"""A PDF read back: its text in reading order, the boxes of its words, and the boxes of its tables' cells."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from typing import Any

import numpy as np
import pypdf
import pytest

from ccassist.paper.ruled import Row, Ruled
from tests.paper.held_pages import faults
from tests.paper.letters import Letter, Page, drawn_in, pages_of

NUMBER = re.compile(r"−?\d+(?:\.\d+)?(?: ± \d+(?:\.\d+)?)?")
Box = tuple[float, float, float, float]


def squeezed(text: str) -> str:
    """Without any space: a cell breaks a text wherever its column ends."""
    return "".join(text.split())


@dataclass(frozen=True)
class Printed:
    """A finished PDF, and the cells of its tables as (page, left, bottom, right, top), where they were watched."""

    data: bytes
    cells: tuple[tuple[int, float, float, float, float], ...] = ()

    @cached_property
    def reader(self) -> pypdf.PdfReader:
        """As pypdf sees it."""
        return pypdf.PdfReader(BytesIO(self.data))

    @cached_property
    def texts(self) -> tuple[str, ...]:
        """The text of each page in the order in which it is read, without its head and foot, which are drawn last."""
        found = []
        pages = drawn_in(self.data)
        for number, text in enumerate(pages, 1):
            body = text[: text.rindex(f"page {number} of {len(pages)}")]
            found.append(body.rstrip().rsplit("\n", 2)[0])
        return tuple(found)

    @cached_property
    def body(self) -> str:
        """All of it without any space."""
        return squeezed("".join(self.texts))

    @cached_property
    def numbers(self) -> frozenset[str]:
        """Every number that is printed, whole, with its ± where it has one."""
        whole = " ".join(" ".join(self.texts).split())
        return frozenset(NUMBER.findall(whole)) | frozenset(part for n in NUMBER.findall(whole) for part in n.split())

    @cached_property
    def pages(self) -> tuple[Page, ...]:
        """Letters and words of each page."""
        return pages_of(self.data)

    @property
    def titles(self) -> list[str]:
        """The entries of the outline."""
        return [str(entry.title) for entry in self.reader.outline]

    def crossing(self) -> list[tuple[int, str]]:
        """Characters that stand in a cell of a table by their middle and not wholly."""
        found = []
        for number, page in enumerate(self.pages, 1):
            boxes = [box for at, *box in self.cells if at == number]
            chars = [c for c in page.chars if c.text.strip()]
            if boxes and chars:
                found += [(number, chars[n].text) for n in _crossing(chars, boxes, page.height)]
        return found

    def fonts(self) -> dict[str, bool]:
        """The fonts of all pages, and whether each is in the file."""
        found = {}
        for page in self.reader.pages:
            for entry in page["/Resources"].get("/Font", {}).values():
                font = entry.get_object()
                held = font.get("/FontDescriptor", {})
                found[str(font["/BaseFont"])[1:]] = (
                    "/FontFile2" in getattr(held, "get_object", lambda held=held: held)()
                )
        return found


def _crossing(chars: list[Letter], boxes: list[list[float]], high: float) -> list[int]:
    """Which of the characters of a page of that height do so."""
    left, low, right, top = np.array(boxes).T
    x0, x1, middle = np.array([(c.x0, c.x1, high - (c.top + c.bottom) / 2) for c in chars]).T[..., np.newaxis]
    stands = (left < (x0 + x1) / 2) & ((x0 + x1) / 2 < right) & (low < middle) & (middle < top)
    wholly = (left <= x0 + 0.3) & (x1 - 0.3 <= right)
    return [int(n) for n in np.flatnonzero((stands & ~wholly).any(axis=1))]


@contextmanager
def watched() -> Iterator[list[tuple[int, float, float, float, float]]]:
    """Note where every cell of every table is drawn."""
    found: list[tuple[int, float, float, float, float]] = []
    drawn: Callable[..., Any] = Ruled.cell

    def note(self: Any, letters: Any, row: Row, column: int, box: Box) -> Any:
        left, low = self.canv.absolutePosition(*box[:2])
        right, top = self.canv.absolutePosition(box[0] + box[2], box[1] + box[3])
        found.append((self.canv.getPageNumber(), left, low, right, top))
        return drawn(self, letters, row, column, box)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Ruled, "cell", note)
        yield found


def made(paper: Callable[[], tuple[bytes, int]]) -> Printed:
    """What a paper prints, with the cells of its tables."""
    with watched() as cells:
        data, _ = paper()
    return Printed(data, tuple(cells))


def check_boxes(printed: Printed) -> None:
    """No fault that held_pages looks for, and nothing in a table crosses into the next column."""
    assert faults(printed.data) == []
    assert printed.cells
    assert printed.crossing() == []


def check_file(printed: Printed, title: str) -> None:
    """Title and language are said, every font is in the file, and each heading stands on the page it points to."""
    assert printed.reader.metadata is not None
    assert printed.reader.metadata.title == title
    root = printed.reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    fonts = printed.fonts()
    assert fonts
    assert all(fonts.values()), fonts
    named = {name.rpartition("+")[2] for name in fonts}  # without the mark of a part of a font
    assert {char.fontname for page in printed.pages for char in page.chars} <= named
    assert printed.titles
    place = 0
    for entry in printed.reader.outline:
        page = printed.reader.get_destination_page_number(entry)
        assert squeezed(str(entry.title)) in squeezed(printed.texts[page])
        here = printed.body.index(squeezed(str(entry.title)), place)
        assert here >= place
        place = here
