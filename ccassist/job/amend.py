"""Edits inside the text of a job file: as little of it as possible is touched.

A row in the tool's own layout is edited as text.  Anything else goes through tomlkit, and the outcome is compared with
what the edit should have done before it is accepted.
"""

from __future__ import annotations

import datetime
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from ccassist.job.pieces import Lines, own_tables, pieces_of, tables_in
from ccassist.job.readings import EXAMPLE, no_reason
from ccassist.values.findings import InputError, error
from ccassist.vocabulary import meant

_STRING = r'"(?:[^"\\\n]|\\.)*+"'
BODY = rf"[ \t]*\{{(?:[^\"'#{{}}\n]|{_STRING})*+"
ROW = rf"{BODY}\}},[ \t]*(?:#[^\n]*)?"
_ONE_ROW = rf"(?P<body>{BODY})(?P<rest>\}},?[ \t]*(?:#[^\n]*)?\r?)"
_PLACE = r"series (\d+), reading (\d+)"
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SHORT = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def newline_of(text: str) -> str:
    """The line ending of a file."""
    return "\r\n" if "\r\n" in text else "\n"


def string_text(text: str) -> str:
    r"""Any text as a TOML string.

    >>> print(string_text('a "b" \\ c'))
    "a \"b\" \\ c"

    Raises InputError: it holds half characters, which no file can keep.
    """
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise InputError(
            error("not-utf8", "not text that a file can keep", read=text.encode("utf-8", "replace").decode())
        ) from None
    return '"' + "".join(_SHORT.get(c) or (f"\\u{ord(c):04X}" if c < " " or c == "\x7f" else c) for c in text) + '"'


def key_text(key: str) -> str:
    """A key, quoted where it must be."""
    return key if _BARE.fullmatch(key) else string_text(key)


def value_text(value: object) -> str:
    """A text, whole number, date, or list of them."""
    if isinstance(value, str):
        return string_text(value)
    if isinstance(value, Sequence):
        return "[" + ", ".join(value_text(v) for v in value) + "]"
    return value.isoformat() if isinstance(value, datetime.date) else str(value)


def set_aside(text: str, place: str, reason: str) -> str:
    """The reading at a place ("series 2, reading 3") set aside with its reason; it is kept and shown.

    Raises InputError: no such reading, or no reason.
    """
    if not reason.strip():
        raise InputError(error("missing-value", "a reading is set aside with a reason", right='such as "saw a bubble"'))
    lacks = no_reason(reason)
    if lacks is not None:
        raise InputError(replace(lacks, right=f'such as "{EXAMPLE}"'))
    return annotate(text, place, {"set_aside": reason})


def count_in(text: str, place: str) -> str:
    """The reading at a place with its setting aside taken out: it counts again.

    Raises InputError: no such reading, or it is not set aside.
    """
    series, reading = _indices(text, place)

    def edit(data: Any) -> None:
        row = data["series"][series]["readings"][reading]
        if not isinstance(row, dict) or row.pop("set_aside", None) is None:
            raise InputError(error("not-set-aside", "this reading is not set aside", read=place))

    line = _line_of(text, series, reading)
    lines = text.split("\n")
    if line and len(found := re.findall(rf",[ \t]*set_aside[ \t]*=[ \t]*{_STRING}", lines[line - 1])) == 1:
        lines[line - 1] = lines[line - 1].replace(found[0], "")
        return _as_meant(text, "\n".join(lines), edit)
    return _through_tomlkit(text, edit)


def annotate(text: str, place: str, more: Mapping[str, str | Sequence[str]]) -> str:
    """The reading at a place with keys (remark, timed readings ...) put to it or replaced."""
    series, reading = _indices(text, place)
    line = _line_of(text, series, reading)
    lines = text.split("\n")
    row = re.fullmatch(_ONE_ROW, lines[line - 1]) if line else None

    def edit(data: Any) -> None:
        _note(data, series, reading, more)

    if row and line and not any(re.search(rf"[{{,]\s*{key}\s*=", row["body"]) for key in more):
        said = "".join(f", {key_text(key)} = {value_text(value)}" for key, value in more.items())
        lines[line - 1] = f"{row['body'].rstrip()}{said} {row['rest']}"
        return _as_meant(text, "\n".join(lines), edit)
    return _through_tomlkit(text, edit)


def set_value(text: str, path: Sequence[str], value: object) -> str:
    """A value put at a path, such as ("engine", "bore"); sections that are missing are added."""

    def edit(doc: Any) -> None:
        table = doc
        for name in path[:-1]:
            table = table.setdefault(name, {})
        _say_in_full(table, path[-1])
        table[path[-1]] = value

    return _through_tomlkit(text, edit, path[:-1])


def _say_in_full(table: Any, key: str) -> None:
    """Take out the trade words by which a table says a term that is now written, or taken out, by its key."""
    for word in [word for word in table if word != key and any(one.term.key == key for one in meant(word))]:
        table.pop(word)


def take_out(text: str, path: Sequence[str]) -> str:
    """What stands at a path, such as ("order", "to_decide", "alloy"), taken out; nothing where it is not there."""

    def edit(doc: Any) -> None:
        table = doc
        for name in path[:-1]:
            table = table.get(name, {})
        _say_in_full(table, path[-1])
        table.pop(path[-1], None)

    return _through_tomlkit(text, edit, path[:-1])


def state(text: str, section: Sequence[str], key: str, value: str) -> str:
    """A statement put into a section, such as ("order", "crown"); one that is missing stands before the readings."""
    if _holds(tables_in(text), section):
        return set_value(text, [*section, key], value)

    def change(data: dict[str, Any]) -> None:
        for name in section:
            data = data.setdefault(name, {})
        data[key] = value

    heading = ".".join(key_text(name) for name in section)
    return _before_readings(text, [f"[{heading}]", f"{key_text(key)} = {string_text(value)}"], change)


def add_part(text: str, name: str, kind: str) -> str:
    """A part named in a section of its own, before the first readings."""

    def change(data: dict[str, Any]) -> None:
        data.setdefault("part", {})[name] = {"kind": kind}

    return _before_readings(text, [f"[part.{key_text(name)}]", f"kind = {string_text(kind)}"], change)


def set_up(text: str, name: str, said: Mapping[str, Sequence[str]] | None) -> str:
    """What is told of a set-up put into its section, in place of what stood there; None takes the section out."""
    heading = f"[set_up.{key_text(name)}]"
    listed = {key: [*texts] for key, texts in (said or {}).items()}

    def change(data: dict[str, Any]) -> None:
        data.setdefault("set_up", {}).pop(name, None)
        if said is not None:
            data["set_up"][name] = listed
        if not data["set_up"]:
            del data["set_up"]

    old = re.compile(rf"^{re.escape(heading)}\r?\n(?:[^\[\r\n][^\n]*\n)*(?:\r?\n)?", re.MULTILINE)
    bare = old.sub("", text, count=1)
    if said is None:
        return _as_meant(text, bare, change)
    new = _before_readings(bare, [heading, *(f"{key_text(k)} = {value_text(v)}" for k, v in listed.items())], None)
    return _as_meant(text, new, change)


def in_series(text: str, number: int, key: str, texts: Sequence[str]) -> str:
    """A key of the series of that number (from 0) said, or said anew; no texts take it out."""
    value: Any = texts[0] if len(texts) == 1 else [*texts]

    def change(data: dict[str, Any]) -> None:
        data["series"][number].pop(key, None)
        if texts:
            data["series"][number][key] = value

    index, lines = Lines(pieces_of(text)), text.split("\n")
    end = "\r" if newline_of(text) == "\r\n" else ""
    new = [f"{key_text(key)} = {value_text(value)}{end}"] if texts else []
    there, rows = index.get(("series", number, key)), index.get(("series", number, "readings"))
    if there:
        lines[there - 1 : there] = new
    elif rows:
        lines[rows - 1 : rows - 1] = new
    return _as_meant(text, "\n".join(lines), change)


def _before_readings(text: str, lines: Sequence[str], change: Callable[[dict[str, Any]], None] | None) -> str:
    """A new section before the first block of readings, else at the end; looked at where it is said what it changes."""
    newline = newline_of(text)
    section = newline.join([*lines, "", ""])
    first = re.search(r"^\[\[series\]\]", text, re.MULTILINE)
    at = first.start() if first else len(text)
    before = text[:at] if not text[:at] or text[:at].endswith("\n") else text[:at] + newline
    lead = "" if first or not before or before.endswith(2 * newline) else newline
    new = before + lead + section + text[at:]
    return new if change is None else _as_meant(text, new, change)


def _indices(text: str, place: str) -> tuple[int, int]:
    """Series and reading, counted from 0, of a place as records say it."""
    match = re.fullmatch(_PLACE, place)
    series = tables_in(text).get("series", [])
    if match:
        i, j = int(match[1]) - 1, int(match[2]) - 1
        if 0 <= i < len(series) and 0 <= j < len(series[i].get("readings", [])):
            return i, j
    raise InputError(error("no-reading", "no such reading", read=place))


def _line_of(text: str, series: int, reading: int) -> int | None:
    return Lines(pieces_of(text)).get(("series", series, "readings", reading))


def _note(data: Any, series: int, reading: int, more: Mapping[str, str | Sequence[str]]) -> None:
    """The change in the data, plain or tomlkit's; a reading that is a bare value becomes a table."""
    from ccassist.bench.steps import STEPS

    block = data["series"][series]
    row = block["readings"][reading]
    said = {key: value if isinstance(value, str) else list(value) for key, value in more.items()}
    if isinstance(row, dict):
        row.update(said)
        return
    name = STEPS[block["step"]].methods[0].fields[0].name
    block["readings"][reading] = {name: row, **said}


def _holds(table: Any, section: Sequence[str]) -> bool:
    """Whether a section stands in the tables."""
    for name in section:
        table = table.get(name) if isinstance(table, dict) else None
    return isinstance(table, dict)


def _through_tomlkit(text: str, edit: Callable[[Any], None], section: Sequence[str] = ()) -> str:
    """The text edited; of one section that stands before the readings, these are not gone through."""
    import tomlkit

    newline, head = newline_of(text), pieces_of(text)[0]
    cut = len(head.text) if section and _holds(head.data, section) else len(text)
    doc = tomlkit.parse(text[:cut])
    edit(doc)
    new = tomlkit.dumps(doc) + text[cut:]
    return _as_meant(text, new if newline == "\n" else re.sub(r"(?<!\r)\n", newline, new), edit)


def _as_meant(old: str, new: str, change: Callable[[Any], None]) -> str:
    """The new text, once it is shown that it differs from the old in nothing but the change meant."""
    wanted = own_tables(old)
    change(wanted)
    try:
        done = tables_in(new) == wanted
    except tomllib.TOMLDecodeError:
        done = False
    if not done:
        raise InputError(
            error("not-edited", "the file is written in a way that cannot be edited here", right="edit it by hand")
        )
    return new
