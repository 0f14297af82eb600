"""One worksheet being made: its page, its units, its job, and how text gets onto it safely.

Text from the job file never reaches a markup parser as it stands: it is made
printable, and escaped wherever the page maker would read markup.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache, lru_cache
from xml.sax.saxutils import escape

from ccassist.analysis.results import Survey
from ccassist.paper.page import MM as MM
from ccassist.paper.page import PAGES, SLANT, STRONG, TEXT, check_page, lacks, printable
from ccassist.report.scene import broken as lines_of
from ccassist.values.display import Formatter, formatter, unbroken

LEFT, RIGHT, TOP, BOTTOM = 18 * MM, 15 * MM, 20 * MM, 19 * MM
SMALL, BODY, LARGE = (
    8.7,
    9.6,
    13.0,
)  # points; only the words at boxes of blank forms are smaller
LEADING = 1.27
BLACK, GREY, PALE = 0.0, 0.35, 0.72  # shades; every meaning is also said in words


@dataclass(kw_only=True)
class Sheet:
    """The worksheet's page and job.

    Attributes
    ----------
    survey : the engine as measured.
    system : units shown, "metric" or "imperial".
    page : "A4" or "Letter".
    running : what kind of paper it is, said at the head of every page.
    mark : what must be seen on every page, such as that it is a draft; "" for nothing.
    lacking : set where a character had to be written by its code point.
    """

    survey: Survey
    system: str
    page: str = "A4"
    running: str = "Compression worksheet"
    mark: str = ""
    lacking: bool = field(default=False, init=False)

    def __post_init__(self) -> None:
        check_page(self.page)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the page, points."""
        return PAGES[self.page]

    @property
    def width(self) -> float:
        """Width between the margins, points."""
        return self.size[0] - LEFT - RIGHT

    @property
    def height(self) -> float:
        """Height between the margins, points."""
        return self.size[1] - TOP - BOTTOM

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


__all__ = ["SLANT", "STRONG", "TEXT", "Sheet", "broken", "cut", "markup", "measure"]
