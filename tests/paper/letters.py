"""The pages of a PDF, their letters and words where they stand: as pdfplumber gives them, but read by PDFium.

Words and lines of text are put together by pdfplumber's own rules; only the letters come from PDFium, five times as
quick. A letter's box is that of its line of type: as wide as it takes, with what leans out of it, and as high as its
size. Lines, rectangles and form fields are read by pdfplumber itself where a test looks at them.
"""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

import pypdfium2
import pypdfium2.raw as raw
from pdfplumber.utils import extract_text, extract_words

SHARED = 0.35  # of a line's height
Word = dict[str, Any]


class Letter(NamedTuple):
    """One letter: its box in points from the left and from the top, its type."""

    text: str
    x0: float
    x1: float
    top: float
    bottom: float
    size: float
    fontname: str
    upright: bool


@dataclass(frozen=True)
class Page:
    """One page: its size in points, and its letters in the order in which they are drawn."""

    width: float
    height: float
    chars: tuple[Letter, ...]

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """What stands without a space between, with its box, from the top."""
        return tuple(extract_words(self._as_plumber()))

    @cached_property
    def words_as_drawn(self) -> tuple[str, ...]:
        """The same, in the order in which it is drawn."""
        return tuple(word["text"] for word in extract_words(self._as_plumber(), use_text_flow=True))

    @cached_property
    def text(self) -> str:
        """Line by line."""
        return extract_text(self._as_plumber()) or ""

    def _as_plumber(self) -> list[Word]:
        return [
            one._asdict() | {"doctop": one.top, "width": one.x1 - one.x0, "height": one.bottom - one.top}
            for one in self.chars
        ]


def over_one_another(words: Iterable[Word], *, across: float = 0.6, down: float | None = None) -> list[tuple[str, str]]:
    """Words that share more than so many points of width, and more of height than two lines one below the other do.

    ``down`` : points of height; None : a third of the upper one's line, whose box is taller than its letters.
    """
    found, ordered = [], sorted(words, key=lambda word: word["top"])
    for n, one in enumerate(ordered, 1):
        allowed = SHARED * (one["bottom"] - one["top"]) if down is None else down
        for other in ordered[n:]:
            if other["top"] >= one["bottom"] - allowed:
                break
            if min(one["bottom"], other["bottom"]) - other["top"] > allowed and _shared(one, other) > across:
                found.append((one["text"], other["text"]))
    return found


def _shared(one: Word, other: Word) -> float:
    return float(min(one["x1"], other["x1"]) - max(one["x0"], other["x0"]))


@lru_cache(maxsize=40)
def pages_of(data: bytes) -> tuple[Page, ...]:
    """The pages of a PDF, read once for the tests that follow one another."""
    document = pypdfium2.PdfDocument(data)
    try:
        return tuple(Page(*page.get_size(), tuple(_letters(page))) for page in document)
    finally:
        document.close()


def _letters(page: Any) -> list[Letter]:
    high, text = page.get_height(), page.get_textpage()
    name, flags, box = ctypes.create_string_buffer(200), ctypes.c_int(), raw.FS_RECTF()
    found = []
    for n in range(text.count_chars()):
        if raw.FPDFText_IsGenerated(text, n) == 1:
            continue
        raw.FPDFText_GetLooseCharBox(text, n, box)
        raw.FPDFText_GetFontInfo(text, n, name, len(name), flags)
        size = raw.FPDFText_GetFontSize(text, n)
        upright = abs(raw.FPDFText_GetCharAngle(text, n)) < 0.01
        top = high - box.bottom - size if upright else high - box.top
        left, right = round(box.left, 3), round(box.right, 3)
        letter = chr(raw.FPDFText_GetUnicode(text, n))
        font = sys.intern(name.value.decode())
        found.append(Letter(letter, left, right, round(top, 3), round(high - box.bottom, 3), size, font, upright))
    return found
