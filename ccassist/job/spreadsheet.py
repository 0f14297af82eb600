"""Words in a cell of a table for a spreadsheet: never a formula there, never a code that steers a terminal."""

from __future__ import annotations

import unicodedata

from ccassist.values.findings import clean

_MARK = "'"  # spreadsheets read what follows it as text
_RISKY = ("=", "+", "-", "@")  # what starts a formula, wide forms of them too


def as_cell(text: str) -> str:
    """Words as they are put into a cell, in one line.

    >>> as_cell("=1+1"), as_cell("seats cut"), as_cell("two\\nlines")
    ("'=1+1", 'seats cut', 'two lines')
    """
    line = " ".join(text.split())
    return clean(_MARK + line if _starts_formula(line) else line, len(line) + 1)


def from_cell(text: str) -> str:
    """The words of a cell, in one line, without the mark that :func:`as_cell` put before them.

    >>> from_cell("'=1+1"), from_cell("'quoted'")
    ('=1+1', "'quoted'")
    """
    line = " ".join(text.split())
    return line[1:] if line.startswith(_MARK) and _starts_formula(line[1:]) else line


def _starts_formula(line: str) -> bool:
    return unicodedata.normalize("NFKC", line[:1]) in _RISKY
