"""What a report is made of: headings, texts, tables, sums, figures and what a page adds to them, as data.

Texts are printable and in the units shown.  A renderer breaks lines, sets
columns and cuts a long table of the answer to its window; it adds no word of
its own about the engine.
"""

from __future__ import annotations

from collections.abc import Iterable

from ccassist.report.scene import Scene
from ccassist.values.findings import Level
from ccassist.vocabulary.record import record

ITEM = "•"  # the mark of one of several things in a list
WRITTEN = "="  # the mark of a line of a hand sum, or of a file: written as it stands
LOOK = "LOOK"  # the mark of what needs looking at
MARKS = {Level.ERROR: "WRONG", Level.WARNING: LOOK, Level.NOTE: "note"}


@record(kw_only=False)
class Heading:
    """The begin of a part; ``level`` 2 within another."""

    words: str
    level: int = 1


@record(kw_only=False)
class Text:
    """A paragraph.

    strong : what is to be seen first; small : what explains and may be passed over.
    command : a command to be copied, word by word: on a terminal a line of its own, on paper nothing.
    """

    words: str  # the text
    mark: str = ""  # what stands before it, such as LOOK or a number
    strong: bool = False
    small: bool = False
    spare: bool = False  # left out of an answer that would be too long for a window; --all and paper show it
    command: tuple[str, ...] = ()
    place: str = ""  # where in the job file it stands, with what parts it from the words; on paper nothing
    typed: str = ""  # what follows the words for whoever edits the job file, and their stop; on paper nothing


@record
class Table:
    """Values in rows, as texts.

    head, rows : as many texts in each row as in the head.
    groups : rows that begin a group: they stand on one page with what follows them up to the next.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: tuple[int, ...] = ()  # columns of words; the others are figures, which are never broken
    long: bool = False  # whether there may be so many rows that a window is filled by the first of them
    strong: tuple[tuple[int, int], ...] = ()  # cells to be seen first, by row and column
    groups: tuple[int, ...] = ()
    struck: tuple[int, ...] = ()  # rows that do not count; on paper their figures are struck through
    close: bool = False  # whether the rows stand close together, where a page must hold many


@record
class Notice:
    """What must not be missed: a title and, below it, one thing after another; white on black on paper."""

    title: str
    texts: tuple[str, ...]


@record(kw_only=False)
class Grid:
    """Short texts, such as "3  9.41 ± 0.07", as many side by side as fit, read along the rows."""

    cells: tuple[str, ...]


@record
class Tile:
    """One large figure: what it is, itself, and what is said of it."""

    title: str
    figure: str
    words: tuple[str, ...] = ()


@record(kw_only=False)
class Tiles:
    """Large figures, beside one another on paper, a line each on a terminal."""

    tiles: tuple[Tile, ...]


@record(kw_only=False)
class Facts:
    """Whose, by whom, when: name and text of each, beside one another on paper, in one line on a terminal."""

    facts: tuple[tuple[str, str], ...]


@record(kw_only=False)
class SignOff:
    """Boxes to be signed by hand, each for whom and with a date, and lines for remarks; on paper alone."""

    boxes: tuple[tuple[str, str], ...]
    remarks: int = 0


@record
class Beside:
    """Columns of blocks that stand beside one another on paper, and one after another on a terminal."""

    columns: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...]  # of the width, one a column


@record(kw_only=False)
class OnePage:
    """Blocks that fill one page of paper, made smaller where they would not fit; the last of them at its foot.

    ``spare`` stands above the last where there is room for it, else on the page after.
    """

    blocks: tuple[Block, ...]
    spare: tuple[Block, ...] = ()


@record
class Sum:
    """Amounts with the digits that were added, column by column."""

    head: tuple[str, ...]  # what is added, with its unit, then whose each column is
    rows: tuple[tuple[str, ...], ...]  # the name of a part, then its amount in each column
    totals: tuple[tuple[str, ...], ...]  # below the rule: the sum as added, and what else is shown of it


@record(kw_only=False)
class Figure:
    """A drawing with what it shows; ``instead`` is said where none can be drawn."""

    scene: Scene
    caption: str = ""
    instead: tuple[str, ...] = ()


@record
class Dot:
    """One value of a dot plot.

    name, figure, note : whose it is, the value as printed, and what is said of it, such as a verdict.
    at, spread : the value and its ±, NaN where that is not known, both as the plot's scale counts.
    before : what it was, where the plot shows what has become of it.
    """

    name: str
    figure: str
    at: float
    spread: float = 0.0
    note: str = ""
    before: float | None = None


@record
class DotPlot:
    """Values with their ± on one scale, against what is wanted of them.

    title, axis : what is shown, and what the scale counts, with its unit and signs in words.
    dots : a row each.
    ends : of the scale.
    ticks : places on it and their numbers.
    band : the limits wanted, infinite where open, alike for an aim; None where nothing is wanted.
    """

    title: str
    axis: str
    dots: tuple[Dot, ...]
    ends: tuple[float, float]
    ticks: tuple[tuple[float, str], ...]
    band: tuple[float, float] | None = None


@record(kw_only=False)
class ShareBar:
    """A named share of a whole, 0 to 1, and as printed."""

    name: str
    share: float
    figure: str


@record(kw_only=False)
class Bars:
    """Shares of one whole, the largest first."""

    title: str
    bars: tuple[ShareBar, ...]


Block = (
    Heading | Text | Table | Grid | Notice | Sum | Figure | DotPlot | Bars | Tiles | Facts | SignOff | Beside | OnePage
)


@record
class Report:
    """What is told, in the order in which it is read.

    mark : what stands over every page, such as that it is a draft; author : who answers for it.
    """

    title: str  # what it is, such as "Combinations of parts"
    subject: str  # what it is about, in a sentence
    answer: tuple[Block, ...]  # the figures asked for, the verdict, what makes most of the ±, the one thing to do next
    support: tuple[Block, ...] = ()  # what the answer rests on, shown when it is asked for; it begins with a heading
    more: bool = False  # whether there is support that was not asked for, and so not made
    mark: str = ""
    author: str = ""


def part(title: str, blocks: Iterable[Block], level: int = 1) -> list[Block]:
    """A heading and what stands below it; nothing where nothing does."""
    below = list(blocks)
    return [Heading(title, level), *below] if below else []


def items(texts: Iterable[str], mark: str = ITEM) -> list[Text]:
    """A list, one thing a line."""
    return [Text(text, mark) for text in texts]
