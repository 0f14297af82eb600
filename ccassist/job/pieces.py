"""A job's text in pieces: what stands before its first block of readings, and each block by itself.

A reading changes one piece.  The others are found again as they were read, and with them whatever was worked out of
their very tables: the cost of a reading does not grow with all that was read before it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import Any

from ccassist.job.disk import LARGEST
from ccassist.job.lines import DEEPEST, KeyPath, line_index, line_of, place
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary import term

_BLOCK = re.compile(r"^\[\[series\]\]", re.MULTILINE)
_PLACE = re.compile(r"series(?: (\d+)(.*))?", re.DOTALL)
_READING = 4  # parts of a path to a reading: series, number, readings, number
_SERIES, _FIRST = "series", "series 1"


class Piece:
    """A piece that was read: its tables, and where everything in it stands, its own first line being 1."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.data: dict[str, Any] = tomllib.loads(text, parse_float=str)

    @cached_property
    def lines(self) -> Mapping[KeyPath, int]:
        """The lines of its keys and list elements."""
        return line_index(self.text)

    @cached_property
    def rows(self) -> Mapping[KeyPath, int]:
        """The same but for what stands between braces: the lines of its readings, without looking into them."""
        return line_index(self.text, whole=True)

    @cached_property
    def too_many(self) -> tuple[KeyPath, str] | None:
        """What in it holds too much, and in words how much is the most; it may be nested as deep as can be read."""
        waiting: list[tuple[KeyPath, Any]] = [((), self.data)]
        while waiting:
            path, one = waiting.pop()
            most = MOST_BLOCKS if path == (_SERIES,) else MOST_LISTED if isinstance(one, list) else MOST_KEYS
            if len(one) > most:
                return path, f"{len(one)} entries, and {most} are the most"
            pairs = one.items() if isinstance(one, dict) else enumerate(one)
            waiting += [((*path, key), value) for key, value in pairs if isinstance(value, (dict, list))]
        return None

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The same by places in words; no deeper than a job file goes."""
        return {place(path): line for path, line in self.lines.items() if len(path) <= DEEPEST}


_read = lru_cache(maxsize=1 << 15)(Piece)


def pieces_of(text: str) -> tuple[Piece, ...]:
    """The pieces of a text, or all of it as one where it is written so that it cannot be parted.

    So it is where a text runs on over lines, and where sections stand behind the readings.

    Raises TOMLDecodeError, RecursionError, ValueError: it cannot be read.
    """
    starts = [found.start() for found in _BLOCK.finditer(text)]
    if starts and '"""' not in text and "'''" not in text:
        ends = [*starts[1:], len(text)]
        try:
            head, *blocks = (_read(text[a:b]) for a, b in zip([0, *starts], [starts[0], *ends], strict=True))
        except (tomllib.TOMLDecodeError, RecursionError, ValueError):
            return (Piece(text),)  # which says of all of it what is wrong where
        if _SERIES not in head.data and all(len(block.data) == 1 == len(block.data[_SERIES]) for block in blocks):
            return (head, *blocks)
    return (Piece(text),)


def tables_of(pieces: tuple[Piece, ...]) -> dict[str, Any]:
    """The tables of all pieces together."""
    head, *blocks = pieces
    return {**head.data, _SERIES: [block.data[_SERIES][0] for block in blocks]} if blocks else head.data


def tables_in(text: str) -> dict[str, Any]:
    """The tables of a text, to be looked at and not changed: only what was not read before is read.

    Raises TOMLDecodeError, RecursionError, ValueError: it cannot be read.
    """
    return tables_of(pieces_of(text))


def own_tables(text: str) -> dict[str, Any]:
    """The tables of a text for whoever asks alone, who may change them; blocks that say the same are two all the same.

    Raises as :func:`tables_in`.
    """
    found = tables_in(text)
    blocks = found.get(_SERIES)
    apart = {_SERIES: [deepcopy(block) for block in blocks]} if isinstance(blocks, list) else {}
    return {**{key: deepcopy(one) for key, one in found.items() if key not in apart}, **apart}


class Lines(Mapping[KeyPath, int]):
    """Where in a text each key and list element stands: its path -> its line, counting from 1."""

    def __init__(self, pieces: tuple[Piece, ...] = ()) -> None:
        self.pieces = pieces
        self._before = [0, *accumulate(piece.text.count("\n") for piece in pieces)]

    @property
    def head(self) -> str:
        """The text before the first block of readings; all of it where it cannot be parted."""
        return self.pieces[0].text if self.pieces else ""

    def __getitem__(self, path: KeyPath) -> int:
        number, within = self._piece(path)
        piece = self.pieces[number]
        if number and len(within) <= _READING:
            return self._before[number] + piece.rows[within]
        return self._before[number] + piece.lines[within]

    def _piece(self, path: KeyPath) -> tuple[int, KeyPath]:
        """The number of the piece that holds a path, and the path in it."""
        if len(self.pieces) > 1 and path[:1] == (_SERIES,):
            index = path[1] if len(path) > 1 else 0
            if not isinstance(index, int) or not 0 <= index < len(self.pieces) - 1:
                raise KeyError(path)
            return index + 1, (_SERIES, 0, *path[2:]) if len(path) > 1 else path
        if not self.pieces:
            raise KeyError(path)
        return 0, path

    def at(self, said: str) -> int | None:
        """The line of a place in words, such as "series 1.instrument"; None where it has none."""
        found = _PLACE.fullmatch(said) if len(self.pieces) > 1 else None
        number = int(found[1] or 1) if found else 0
        if number >= len(self.pieces):
            return None
        line = self.pieces[number].places.get(_FIRST + found[2] if found and found[1] else said)
        return None if line is None else self._before[number] + line

    def __iter__(self) -> Iterator[KeyPath]:
        for number, piece in enumerate(self.pieces):
            yield from (self.path(number, path) for path in piece.lines if number < 2 or len(path) > 1)

    def path(self, number: int, within: KeyPath) -> KeyPath:
        """The path in the text of one within a piece."""
        return (_SERIES, number - 1, *within[2:]) if number and len(within) > 1 else within

    def __len__(self) -> int:
        return sum(1 for _ in self)


# How much a job file may hold: far more than any bench fills, and little enough to be read at once.

MOST_LINES = 150_000  # ten thousand readings, each in a block of its own with all that its set-up says
MOST_KEYS = 1000  # in one section, such as the parts, or the pistons to choose from
MOST_LISTED = 2000  # in one list, such as the readings of a block, or the points of an outline
MOST_BLOCKS = MOST_READINGS = 10_000  # in all


def check_size(text: str, file: str) -> None:
    """Nothing where a text is no longer than a job file may be. Raises InputError: it has too many bytes or lines."""
    if len(text) > LARGEST or len(text.encode("utf-8", "replace")) > LARGEST:
        raise InputError(error("too-large", f"larger than {LARGEST // 2**20} MB: not a job file", file=file))
    if text.count("\n") > MOST_LINES:
        raise InputError(error("too-large", f"more than {MOST_LINES} lines: not a job file", file=file))


def check_amount(data: Mapping[str, Any], lines: Lines, file: str) -> None:
    """Nothing where no section and no list holds more than it may. Raises InputError: one does."""
    for path, wrong in _too_many(data, lines):
        line = line_of(lines, path)
        right = "put them into several job files"
        raise InputError(error("too-many", wrong, place=place(path), file=file, line=line, right=right))


def _too_many(data: Mapping[str, Any], lines: Lines) -> Iterator[tuple[KeyPath, str]]:
    """What holds too much, and in words how much is the most."""
    for number, piece in enumerate(lines.pieces):
        if piece.too_many is not None:
            path, wrong = piece.too_many
            yield lines.path(number, path), wrong
            return
    blocks = data.get(_SERIES)
    if isinstance(blocks, list) and len(blocks) > MOST_BLOCKS:
        yield (_SERIES,), f"{len(blocks)} entries, and {MOST_BLOCKS} are the most"
        return
    listed = [block.get("readings") for block in blocks if isinstance(block, dict)] if isinstance(blocks, list) else []
    count = sum(len(readings) for readings in listed if isinstance(readings, list))
    if count > MOST_READINGS:
        yield ("series",), f"{count} readings in all, and {MOST_READINGS} are the most"


# TOML as text: read with every fault in the trade's words, and values shown as they would be written.

LONGEST_LINE = 10_000
_VALUE = f'"{term("bore").example()}"'
_QUOTES = f"text stands in quotes: key = {_VALUE}"

# What the reader's complaint starts with -> what is wrong, and what would be right.
_SAID: tuple[tuple[str, str, str], ...] = (
    ("Cannot overwrite a value", "this is given twice", "keep one of them"),
    ("Cannot declare", "this section is opened twice", "put its keys together under one heading"),
    ("Cannot mutate", "this is given twice", "keep one of them"),
    ("Cannot redefine", "this is given twice", "keep one of them"),
    ("Duplicate inline table key", "a name is given twice between braces", "keep one of them"),
    ("Illegal character '\\n'", "the text is not closed", f"end it with a quote: key = {_VALUE}"),
    ("Illegal character '\\r'", "a line that ends in an odd way", "save the file with ordinary line ends"),
    ("Illegal character", "a control character", "take it out"),
    ("Found invalid character '\\n'", "the text is not closed", "end it as it began"),
    ("Found invalid character", "a control character", "take it out"),
    ("Unterminated string", "the text is not closed", f"end it with a quote: key = {_VALUE}"),
    ("Expected \"'''\"", "the text is not closed", "end it as it began"),
    ('Expected "\'"', "the text is not closed", f"end it with a quote: key = {_VALUE}"),
    ("Unescaped '\\'", "a backslash inside a text", r"write \\, or leave it out"),
    ("Invalid hex value", "a backslash inside a text", r"write \\, or leave it out"),
    ("Escaped character", "a backslash inside a text", r"write \\, or leave it out"),
    ("Expected '='", "a name without = and a value", f"write key = {_VALUE}"),
    ("Expected ']", "the heading is not closed", "write [engine], or [[series]]"),
    ("Unclosed array", "the list is not closed, or lacks a comma", f"write [{_VALUE}, {_VALUE}]"),
    (
        "Unclosed inline table",
        "the braces are not closed, or lack a comma",
        'write { start = "0 ml", end = "46.2 ml" }',
    ),
    ("Invalid initial character for a key part", "neither a name nor a heading", f"write key = {_VALUE}, or [engine]"),
    ("Invalid statement", "neither a name nor a heading", f"write key = {_VALUE}, or [engine]"),
    ("Expected newline", "something follows the value", _QUOTES),
    ("Invalid date", "no such date", "write it as year-month-day: 2026-11-03"),
    ("Invalid value", "no value is understood here", _QUOTES),
)


def read_toml(text: str, file: str = "") -> tuple[dict[str, Any], Lines]:
    """The tables of a TOML text, and where everything in it stands; fractions stay text, as they were written.

    Raises InputError: not TOML, or a line, a number, an amount or a nesting that no job file has.
    """
    check_size(text, file)
    if max(map(len, text.split("\n"))) > LONGEST_LINE:  # also keeps the reader's time within bounds
        number, row = next((n, row) for n, row in enumerate(text.split("\n"), 1) if len(row) > LONGEST_LINE)
        wrong = f"a line of more than {LONGEST_LINE} characters: not a job file"
        raise InputError(error("long-line", wrong, read=row.strip(), file=file, line=number))
    try:
        pieces = pieces_of(text)
    except tomllib.TOMLDecodeError as fault:
        raise InputError(_not_toml(str(fault), text, file)) from None
    except RecursionError:
        line = _first_line(r"[\[{]([^\n\[{]*[\[{]){49}", text)
        raise InputError(error("not-toml", "brackets inside brackets, too deep", file=file, line=line)) from None
    except ValueError:  # a whole number of more digits than Python reads
        line = _first_line(r"[0-9_]{2000}", text)
        raise InputError(error("not-toml", "a number of thousands of digits", file=file, line=line)) from None
    tables = tables_of(pieces)
    check_amount(tables, Lines(pieces), file)
    return tables, Lines(pieces)


def _not_toml(message: str, text: str, file: str) -> Finding:
    """The reader's complaint in the trade's words, with the line it means."""
    found = re.search(r"\(at line (\d+), column \d+\)", message)
    rows = text.split("\n")
    last = max((i for i, row in enumerate(rows, 1) if row.strip()), default=1)
    line = int(found[1]) if found else last
    read = rows[line - 1].strip()
    _, wrong, right = next((said for said in _SAID if message.startswith(said[0])), ("", "not understood", _QUOTES))
    if not found and message.startswith(("Expected", "Invalid", "Unclosed")) and wrong != "the text is not closed":
        wrong, right = "the file ends in the middle of a value or heading", "close it: a list with ], braces with }"
    if "\r" in read:
        wrong, right = "lines that end in an odd way", "save the file with ordinary line ends"
    if re.fullmatch(r"\[\[?\s*series\s*\]\]?.*", read):
        wrong, right = "a heading of readings written two ways", "every one is [[series]], with double brackets"
    return error("not-toml", wrong, read=read, right=right, file=file, line=line)


def _first_line(pattern: str, text: str) -> int | None:
    found = re.search(pattern, text)
    return text.count("\n", 0, found.start()) + 1 if found else None
