"""What a report is made of: headings, texts and tables, as data.

Texts are printable and in the units shown.  A renderer breaks lines, sets
columns and cuts a long table of the answer to its window; it adds no word of
its own about the engine.
"""

from __future__ import annotations

from collections.abc import Iterable

from ccassist.values.findings import Level
from ccassist.vocabulary.record import record

ITEM = "•"  # the mark of one of several things in a list
LOOK = "LOOK"  # the mark of what needs looking at
MARKS = {Level.ERROR: "WRONG", Level.WARNING: LOOK, Level.NOTE: "note"}


@record(kw_only=False)
class Heading:
    """The begin of a part; ``level`` 2 within another."""

    words: str
    level: int = 1


@record(kw_only=False)
class Text:
    """A paragraph; ``mark`` stands before it, such as LOOK or a number; ``strong`` is what is to be seen first."""

    words: str
    mark: str = ""
    strong: bool = False


@record
class Table:
    """Values in rows, as texts.

    Attributes
    ----------
    head, rows : as many texts in each row as in the head.
    names : columns of words; the others are figures, which are never broken.
    long : whether there may be so many rows that a window is filled by the first of them.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: tuple[int, ...] = ()
    long: bool = False


Block = Heading | Text | Table


@record
class Report:
    """What is told, in the order in which it is read.

    Attributes
    ----------
    title : what it is, such as "Combinations of parts".
    subject : what it is about, in a sentence.
    answer : the figures asked for, the verdict, what makes most of the ±, the one thing to do next.
    support : what the answer rests on, shown when it is asked for; it begins with a heading.
    """

    title: str
    subject: str
    answer: tuple[Block, ...]
    support: tuple[Block, ...] = ()


def items(texts: Iterable[str], mark: str = ITEM) -> list[Text]:
    """A list, one thing a line."""
    return [Text(text, mark) for text in texts]
