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

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
from pdfplumber.utils import cluster_objects, extract_words
from pdfplumber.utils.text import DEFAULT_Y_TOLERANCE

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
        return tuple(extract_words(self._as_plumber))

    @cached_property
    def words_as_drawn(self) -> tuple[str, ...]:
        """The same, in the order in which it is drawn."""
        return tuple(word["text"] for word in extract_words(self._as_plumber, use_text_flow=True))

    @cached_property
    def text(self) -> str:
        """Line by line, of the words above as pdfplumber's own text is."""
        lines = cluster_objects(self.words, "top", DEFAULT_Y_TOLERANCE)
        return "\n".join(" ".join(word["text"] for word in line) for line in lines)

    @cached_property
    def _as_plumber(self) -> list[Word]:
        return [{**one._asdict(), "doctop": one.top} for one in self.chars]


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
def drawn_in(data: bytes) -> tuple[str, ...]:
    """The text of each page of a PDF in the order in which it is drawn; quick, without a letter's place."""
    document = pypdfium2.PdfDocument(data)
    try:
        return tuple(page.get_textpage().get_text_range().replace("\r\n", "\n") for page in document)
    finally:
        document.close()


@lru_cache(maxsize=40)
def pages_of(data: bytes) -> tuple[Page, ...]:
    """The pages of a PDF, read once for the tests that follow one another."""
    document = pypdfium2.PdfDocument(data)
    try:
        return tuple(_read(page) for page in document)
    finally:
        document.close()


def _read(page: Any) -> Page:
    """Call by call what PDFium tells of each letter, and only once what is the same for all that are drawn together."""
    (wide, high), text = page.get_size(), page.get_textpage()
    handle, count = text.raw, text.count_chars()
    boxes = (raw.FS_RECTF * count)()
    types: dict[int | None, tuple[float, str, bool]] = {}
    places, letters = [], []
    for n, box in enumerate(boxes):
        together = raw.FPDFText_GetTextObject(handle, n)
        if not together:  # a space or the end of a line, which is not drawn
            continue
        of = ctypes.c_void_p.from_buffer(together).value
        if of not in types:
            types[of] = _type(handle, n)
        raw.FPDFText_GetLooseCharBox(handle, n, box)
        places.append(n)
        letters.append((chr(raw.FPDFText_GetUnicode(handle, n)), *types[of]))
    left, top, right, low = np.frombuffer(boxes, dtype=np.float32).astype(float).reshape(-1, 4)[places].T
    sizes, upright = np.array([one[1] for one in letters]), np.array([one[3] for one in letters], dtype=bool)
    places_down = np.where(upright, high - low - sizes, high - top), high - low
    framed = np.round(np.stack((left, right, *places_down)), 3).T.tolist()
    chars = tuple(Letter(letter, *box, *type_) for (letter, *type_), box in zip(letters, framed, strict=True))
    return Page(wide, high, chars)


def _type(handle: Any, n: int) -> tuple[float, str, bool]:
    """Size in points and font of a letter, and whether it stands upright."""
    name, flags = ctypes.create_string_buffer(200), ctypes.c_int()
    raw.FPDFText_GetFontInfo(handle, n, name, len(name), flags)
    upright = abs(raw.FPDFText_GetCharAngle(handle, n)) < 0.01
    return raw.FPDFText_GetFontSize(handle, n), sys.intern(name.value.decode()), upright
