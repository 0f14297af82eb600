"""TOML as text: read with every fault in the trade's words, and values shown as they would be written."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from ccassist.job.limits import check_amount, check_size
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary.invented import METRIC

LONGEST_LINE = 10_000
_VALUE = f'"{METRIC["bore"]}"'
_QUOTES = f"text stands in quotes: key = {_VALUE}"
_DEEPEST = 4  # brackets of a value that are still shown

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

    Raises
    ------
    InputError : not TOML, or a line, a number, an amount or a nesting that no job file has.
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
    if isinstance(value, (dict, list)) and depth >= _DEEPEST:
        return "…"
    if isinstance(value, dict):
        inside = [f"{str(key)[:80]} = {as_written(v, depth + 1)}" for key, v in list(value.items())[:8]]
        return "{ " + ", ".join(inside) + " }" if inside else "{ }"
    if isinstance(value, list):
        return "[" + ", ".join(as_written(v, depth + 1) for v in value[:8]) + "]"
    return f'"{value[:80]}"' if isinstance(value, str) and depth else str(value)
