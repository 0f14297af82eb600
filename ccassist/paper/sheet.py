"""Page sizes, the typeface, and the paper being made: its units, its job, and how text gets onto it safely.

Text from the job file never reaches a markup parser as it stands: it is made
printable, and escaped wherever the page maker would read markup.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import Any
from xml.sax.saxutils import escape

from ccassist.analysis.results import Survey
from ccassist.report.scene import broken as lines_of
from ccassist.values.display import Formatter, formatter, unbroken
from ccassist.values.findings import InputError, error

MM = 72 / 25.4  # points
PAGES = {"A4": (210 * MM, 297 * MM), "Letter": (215.9 * MM, 279.4 * MM)}


def check_page(page: str) -> None:
    """Nothing where there is such a page size. Raises InputError: there is none."""
    if page not in PAGES:
        right = f"say {' or '.join(PAGES)}"
        raise InputError(error("unknown-page", "no such page size", read=page, right=right, place="--page"))


# The page's typeface, embedded: Fira Sans (SIL Open Font License) with figures of equal width.
#
# Columns of numbers only line up where every figure is as wide as the next, so
# the digits are mapped to the typeface's own tabular figures.

TEXT, STRONG, SLANT = "Fira", "Fira-Strong", "Fira-Slant"
_FILES = {TEXT: "FiraSans-Regular.ttf", STRONG: "FiraSans-SemiBold.ttf", SLANT: "FiraSans-Italic.ttf"}
_DIGITS = dict(
    zip("0123456789", ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), strict=True)
)
_STANDARD_NAMES = 258  # glyph names that every font of this format shares without spelling them out


@cache
def register() -> frozenset[int]:
    """Make the typeface known to the page maker; returns the code points that it can print."""
    from fontpkg_fira_sans import ROOT
    from reportlab.lib.fonts import addMapping
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    held: set[int] = set()
    for name, file in _FILES.items():
        font = TTFont(name, str(ROOT / "files" / file))
        _level_figures(font.face)
        pdfmetrics.registerFont(font)
        held = set(font.face.charToGlyph) if not held else held & set(font.face.charToGlyph)
    for bold, italic, name in ((0, 0, TEXT), (1, 0, STRONG), (0, 1, SLANT), (1, 1, STRONG)):
        addMapping(TEXT, bold, italic, name)
    return frozenset(held)


def _level_figures(face: Any) -> None:
    """Map the ten digits to the glyphs of equal width, where the font file names them."""
    glyphs = {name: index for index, name in enumerate(_glyph_names(face.get_table("post")))}
    widths = face.get_table("hmtx")
    for digit, word in _DIGITS.items():
        index = glyphs.get(f"{word}.tf")
        if index is not None:
            face.charToGlyph[ord(digit)] = index
            face.charWidths[ord(digit)] = (
                struct.unpack(">H", widths[4 * index : 4 * index + 2])[0] * 1000 / face.unitsPerEm
            )


def _glyph_names(table: bytes) -> list[str]:
    """The names of the glyphs in their order (table "post" version 2, ISO/IEC 14496-22); empty for other versions."""
    if table[:4] != b"\x00\x02\x00\x00":
        return []
    count = struct.unpack(">H", table[32:34])[0]
    indices = struct.unpack(f">{count}H", table[34 : 34 + 2 * count])
    own, place = [], 34 + 2 * count
    while place < len(table):
        end = place + 1 + table[place]
        own.append(table[place + 1 : end].decode("latin-1"))
        place = end
    return [own[i - _STANDARD_NAMES] if i >= _STANDARD_NAMES else "" for i in indices]


def printable(text: str) -> str:
    """Text from outside, safe for the page: what the typeface lacks stands by its code point.

    Line ends and tabs become spaces; nothing is dropped.

    >>> printable("a" + chr(27) + "b" + chr(0x6F22) + chr(10) + "c")
    'a<U+001B>b<U+6F22> c'
    """
    held = register()
    return "".join(
        " " if c.isspace() else c if c.isprintable() and ord(c) in held else f"<U+{ord(c):04X}>" for c in text
    )


def lacks(text: str) -> bool:
    """Whether :func:`printable` has to write a character of it by its code point."""
    held = register()
    return any(not c.isspace() and not (c.isprintable() and ord(c) in held) for c in text)


LEFT, RIGHT, TOP, BOTTOM = 18 * MM, 15 * MM, 20 * MM, 19 * MM
SMALL, BODY, LARGE = (8.7, 9.6, 13.0)  # points; only the words at boxes of blank forms are smaller
LEADING = 1.27
BLACK, GREY, PALE = 0.0, 0.35, 0.72  # shades; every meaning is also said in words


class Sized:
    """What is printed on pages of one size, "A4" or "Letter"; points."""

    page: str

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the page."""
        return PAGES[self.page]

    @property
    def width(self) -> float:
        """Width between the margins."""
        return self.size[0] - LEFT - RIGHT

    @property
    def height(self) -> float:
        """Height between the margins."""
        return self.size[1] - TOP - BOTTOM


@dataclass(kw_only=True)
class Sheet(Sized):
    """The worksheet's page and job."""

    survey: Survey  # the engine as measured
    system: str  # units shown, "metric" or "imperial"
    page: str = "A4"  # "A4" or "Letter"
    running: str = "Compression worksheet"  # what kind of paper it is, said at the head of every page
    mark: str = ""  # what must be seen on every page, such as that it is a draft; "" for nothing
    lacking: bool = field(default=False, init=False)  # set where a character had to be written by its code point

    def __post_init__(self) -> None:
        check_page(self.page)

    @property
    def fmt(self) -> Formatter:
        """What makes every printed number of it."""
        return formatter(self.system)

    def words(self, text: str) -> str:
        """Text from outside as it can be printed, whole."""
        self.lacking = self.lacking or lacks(text)
        return printable(text)

    def short(self, text: str, limit: int = 120) -> str:
        """As :meth:`words`, cut with an ellipsis where a table has no room for it (it stands whole elsewhere)."""
        if len(self.words(text)) <= limit:
            return self.words(text)
        kept = text[: limit - 1]
        while len(self.words(kept)) >= limit:  # a letter that the typeface lacks takes eight
            kept = kept[:-1]
        return self.words(kept) + "…"


def markup(text: str) -> str:
    """Printable text for a paragraph: its own < & > are text."""
    return escape(text)


@cache
def _width_of(character: str, font: str) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(character, font, 1000)) / 1000


def measure(text: str, font: str, size: float) -> float:
    """Width of a line, points."""
    return _width(text, font) * size


@lru_cache(maxsize=1 << 14)
def _width(text: str, font: str) -> float:
    return sum(_width_of(c, font) for c in text)


def broken(text: str, font: str, size: float, width: float) -> list[str]:
    """Text in lines no wider than ``width``, points."""
    return lines_of(unbroken(text), width, lambda line: measure(line, font, size))


def cut(text: str, font: str, size: float, width: float) -> str:
    """One line, ended by an ellipsis where it does not fit."""
    if measure(text, font, size) <= width:
        return text
    kept = text[:400]
    while kept and measure(kept + "…", font, size) > width:
        kept = kept[:-1]
    return kept + "…"
