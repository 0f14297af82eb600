"""Where in a TOML text each key and list element stands.

The standard reader gives values without places; this scan gives places without values, for a text that the reader has
already accepted.
"""

from __future__ import annotations

import contextlib
import re
import tomllib
from collections.abc import Mapping
from typing import Any

KeyPath = tuple[str | int, ...]

DEEPEST = 6  # series, number, readings, number, field, number
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n,]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_SCALAR = re.compile(r"[^,\]}\n#]*")


_TABLE = re.compile(r"""\{(?:[^"'#{}\n]|"(?:[^"\\\n]|\\.)*")*\}""")  # between braces, with nothing odd in it


class _LineScan:
    def __init__(self, text: str, *, whole: bool) -> None:
        self.text, self.at, self.whole = text, 0, whole
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
        if self.whole and (found := _TABLE.match(self.text, self.at)):
            self.at = found.end()
            return
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
        for length in range(shortest, min(len(path), DEEPEST)):
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


def line_index(text: str, *, whole: bool = False) -> dict[KeyPath, int]:
    """KeyPath of keys and indices -> line, counting from 1; ``whole`` : not of what stands between braces.

    >>> line_index('a = 1\\n[[b]]\\nc = [\\n  "x",\\n  "y",\\n]\\n')[("b", 0, "c", 1)]
    5
    """
    scan = _LineScan(text, whole=whole)
    # An odd but valid spelling may end the scan early: the places found so far still serve.
    with contextlib.suppress(IndexError, RecursionError, tomllib.TOMLDecodeError):
        scan.run()
    return scan.found


def line_of(index: Mapping[KeyPath, int], path: KeyPath) -> int | None:
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


_DEEPEST_SHOWN = 4  # brackets of a value that are still shown


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
