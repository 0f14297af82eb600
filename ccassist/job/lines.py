"""Where in a TOML text each key and list element stands.

The standard reader gives values without places; this scan gives places without values, for a text that the reader has
already accepted.
"""

from __future__ import annotations

import contextlib
import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from ccassist.job.disk import LARGEST
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary import term

KeyPath = tuple[str | int, ...]

_DEEPEST = 6  # series, number, readings, number, field, number
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n,]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_SCALAR = re.compile(r"[^,\]}\n#]*")


class _LineScan:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.found: dict[KeyPath, int] = {}
        self.counts: dict[KeyPath, int] = {}
        self._line, self._counted = 1, 0

    def line(self) -> int:
        """Line of the present place; counted on from the last time."""
        self._line += self.text.count("\n", self._counted, self.at)
        self._counted = self.at
        return self._line

    def skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        if match:
            self.at = match.end()

    def string(self) -> str:
        """The quoted text here (escapes left as they stand)."""
        quote = self.text[self.at]
        mark = quote * 3 if self.text.startswith(quote * 3, self.at) else quote
        start = self.at + len(mark)
        end = start
        while not self.text.startswith(mark, end):
            end += 2 if self.text[end] == "\\" and quote == '"' else 1
        self.at = end + len(mark)
        while len(mark) == 3 and self.text.startswith(quote, self.at):
            self.at += 1  # a closing triple quote may be preceded by up to two more
        return self.text[start:end]

    def key(self) -> KeyPath:
        """A dotted key."""
        parts: list[str] = []
        while True:
            self.skip(_SPACE)
            if self.text[self.at] in "\"'":
                start = self.at
                plain = self.string()
                escaped = self.text[start] == '"' and "\\" in plain
                parts.append(tomllib.loads(f"key = {self.text[start : self.at]}")["key"] if escaped else plain)
            else:
                match = _BARE.match(self.text, self.at)
                if match is None:
                    raise IndexError
                parts.append(match[0])
                self.at = match.end()
            self.skip(_SPACE)
            if self.text[self.at] != ".":
                return tuple(parts)
            self.at += 1

    def value(self, path: KeyPath) -> None:
        self.skip(_SPACE)
        char = self.text[self.at]
        if char in "\"'":
            self.string()
        elif char == "[":
            self.items(path)
        elif char == "{":
            self.inline(path)
        else:
            self.skip(_SCALAR)

    def items(self, path: KeyPath) -> None:
        self.at += 1
        index = 0
        while True:
            self.skip(_BLANK)
            if self.text[self.at] == "]":
                self.at += 1
                return
            self.found[(*path, index)] = self.line()
            self.value((*path, index))
            index += 1

    def inline(self, path: KeyPath) -> None:
        self.at += 1
        while True:
            self.skip(_BLANK)
            if self.text[self.at] == "}":
                self.at += 1
                return
            self.pair(path)

    def pair(self, table: KeyPath) -> None:
        line = self.line()
        path = (*table, *self.key())
        self.enter(path, line, len(table) + 1)
        self.at += 1  # the equals sign
        self.value(path)

    def enter(self, path: KeyPath, line: int, shortest: int) -> None:
        """The line of a path, and of what it opens on the way."""
        self.found.setdefault(path, line)
        for length in range(shortest, min(len(path), _DEEPEST)):
            self.found.setdefault(path[:length], line)

    def header(self) -> KeyPath:
        line = self.line()
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        names = self.key()
        self.at += 2 if many else 1
        path = self.resolved(names, len(names) - 1 if many else len(names))
        if many:
            count = self.counts.get(path, 0)
            self.counts[path] = count + 1
            path = (*path, count)
        self.enter(path, line, 1)
        return path

    def resolved(self, names: KeyPath, until: int) -> KeyPath:
        """The header's names with the running index put after each list of tables."""
        path: KeyPath = ()
        for index, name in enumerate(names):
            path = (*path, name)
            if index < until and path in self.counts:
                path = (*path, self.counts[path] - 1)
        return path

    def run(self) -> None:
        table: KeyPath = ()
        while True:
            self.skip(_BLANK)
            if self.at >= len(self.text):
                return
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)


def line_index(text: str) -> dict[KeyPath, int]:
    """KeyPath of keys and indices -> line, counting from 1.

    >>> line_index('a = 1\\n[[b]]\\nc = [\\n  "x",\\n  "y",\\n]\\n')[("b", 0, "c", 1)]
    5
    """
    scan = _LineScan(text)
    # An odd but valid spelling may end the scan early: the places found so far still serve.
    with contextlib.suppress(IndexError, RecursionError, tomllib.TOMLDecodeError):
        scan.run()
    return scan.found


def line_of(index: dict[KeyPath, int], path: KeyPath) -> int | None:
    """The line of a path, or of the nearest thing that holds it."""
    while path:
        if path in index:
            return index[path]
        path = path[:-1]
    return None


def place(path: KeyPath) -> str:
    """A path as the user would say it: list elements counted from 1.

    >>> place(("series", 0, "readings", 2))
    'series 1, reading 3'
    """
    text = ""
    for previous, part in zip((None, *path), path, strict=False):
        if isinstance(part, int):
            word = ", reading" if previous == "readings" else ""
            text = f"{text.removesuffix('.readings')}{word} {part + 1}"
        else:
            text = f"{text}.{part}" if text else str(part)
    return text


def places_of(index: Mapping[KeyPath, int]) -> dict[str, int]:
    """The same index by places in words; no deeper than a job file goes."""
    return {place(path): line for path, line in index.items() if len(path) <= _DEEPEST}


# How much a job file may hold: far more than any bench fills, and little enough to be read at once.

MOST_LINES = 20_000
MOST_KEYS = 1000  # in one section, such as the parts, or the pistons to choose from
MOST_LISTED = 2000  # in one list, such as the readings of a block, or the points of an outline
MOST_BLOCKS = 2000  # of readings
MOST_READINGS = 10_000  # in all


def check_size(text: str, file: str) -> None:
    """Nothing where a text is no longer than a job file may be.

    Raises InputError: it has too many bytes or lines.
    """
    if len(text) > LARGEST or len(text.encode("utf-8", "replace")) > LARGEST:
        raise InputError(error("too-large", f"larger than {LARGEST // 2**20} MB: not a job file", file=file))
    if text.count("\n") > MOST_LINES:
        raise InputError(error("too-large", f"more than {MOST_LINES} lines: not a job file", file=file))


def check_amount(data: Mapping[str, Any], text: str, file: str) -> None:
    """Nothing where no section and no list holds more than it may.

    ``text`` : what the data were read from, for the line that is said.

    Raises InputError: one does.
    """
    for path, wrong in _too_many(data):
        line = line_of(line_index(text), path)
        right = "put them into several job files"
        raise InputError(error("too-many", wrong, place=place(path), file=file, line=line, right=right))


def _too_many(data: Mapping[str, Any]) -> Iterator[tuple[KeyPath, str]]:
    """What holds too much, and in words how much is the most; nesting may be as deep as the reader of TOML takes."""
    waiting: list[tuple[KeyPath, Any]] = [((), data)]
    while waiting:
        path, one = waiting.pop()
        most = MOST_BLOCKS if path == ("series",) else MOST_LISTED if isinstance(one, list) else MOST_KEYS
        if len(one) > most:
            yield path, f"{len(one)} entries, and {most} are the most"
            return
        pairs = one.items() if isinstance(one, dict) else enumerate(one)
        waiting += [((*path, key), value) for key, value in pairs if isinstance(value, (dict, list))]
    blocks = data.get("series")
    listed = [block.get("readings") for block in blocks if isinstance(block, dict)] if isinstance(blocks, list) else []
    count = sum(len(readings) for readings in listed if isinstance(readings, list))
    if count > MOST_READINGS:
        yield ("series",), f"{count} readings in all, and {MOST_READINGS} are the most"


# TOML as text: read with every fault in the trade's words, and values shown as they would be written.

LONGEST_LINE = 10_000
_VALUE = f'"{term("bore").example()}"'
_QUOTES = f"text stands in quotes: key = {_VALUE}"
_DEEPEST_SHOWN = 4  # brackets of a value that are still shown

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


def read_toml(text: str, file: str = "") -> dict[str, Any]:
    """The tables of a TOML text; fractions stay text, as they were written.

    Raises InputError: not TOML, or a line, a number, an amount or a nesting that no job file has.
    """
    check_size(text, file)
    for number, row in enumerate(text.split("\n"), 1):
        if len(row) > LONGEST_LINE:  # also keeps the reader's time within bounds
            wrong = f"a line of more than {LONGEST_LINE} characters: not a job file"
            raise InputError(error("long-line", wrong, read=row.strip(), file=file, line=number))
    try:
        data = tomllib.loads(text, parse_float=str)
    except tomllib.TOMLDecodeError as fault:
        raise InputError(_not_toml(str(fault), text, file)) from None
    except RecursionError:
        line = _first_line(r"[\[{]([^\n\[{]*[\[{]){49}", text)
        raise InputError(error("not-toml", "brackets inside brackets, too deep", file=file, line=line)) from None
    except ValueError:  # a whole number of more digits than Python reads
        line = _first_line(r"[0-9_]{2000}", text)
        raise InputError(error("not-toml", "a number of thousands of digits", file=file, line=line)) from None
    check_amount(data, text, file)
    return data


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


def as_written(value: Any, depth: int = 0) -> str:
    """A value much as it stands in the file; what lies too deep or is too long is left out.

    >>> as_written({"start": ["0 ml", 2], "hole": True})
    '{ start = ["0 ml", 2], hole = true }'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**18 else "a number of many digits"
    if isinstance(value, (dict, list)) and depth >= _DEEPEST_SHOWN:
        return "…"
    if isinstance(value, dict):
        inside = [f"{str(key)[:80]} = {as_written(v, depth + 1)}" for key, v in list(value.items())[:8]]
        return "{ " + ", ".join(inside) + " }" if inside else "{ }"
    if isinstance(value, list):
        return "[" + ", ".join(as_written(v, depth + 1) for v in value[:8]) + "]"
    return f'"{value[:80]}"' if isinstance(value, str) and depth else str(value)
