"""How much a job file may hold: far more than any bench fills, and little enough to be read at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ccassist.job.disk import LARGEST
from ccassist.job.lines import Path, line_index, line_of, place
from ccassist.values.findings import InputError, error

MOST_LINES = 20_000
MOST_KEYS = 1000  # in one section, such as the parts, or the pistons to choose from
MOST_LISTED = 2000  # in one list, such as the readings of a block, or the points of an outline
MOST_BLOCKS = 2000  # of readings
MOST_READINGS = 10_000  # in all


def check_size(text: str, file: str) -> None:
    """Nothing where a text is no longer than a job file may be.

    Raises
    ------
    InputError : it has too many bytes or lines.
    """
    if len(text) > LARGEST or len(text.encode("utf-8", "replace")) > LARGEST:
        raise InputError(error("too-large", f"larger than {LARGEST // 2**20} MB: not a job file", file=file))
    if text.count("\n") > MOST_LINES:
        raise InputError(error("too-large", f"more than {MOST_LINES} lines: not a job file", file=file))


def check_amount(data: Mapping[str, Any], text: str, file: str) -> None:
    """Nothing where no section and no list holds more than it may.

    ``text`` : what the data were read from, for the line that is said.

    Raises
    ------
    InputError : one does.
    """
    for path, wrong in _too_many(data):
        line = line_of(line_index(text), path)
        right = "put them into several job files"
        raise InputError(error("too-many", wrong, place=place(path), file=file, line=line, right=right))


def _too_many(data: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """What holds too much, and in words how much is the most; nesting may be as deep as the reader of TOML takes."""
    waiting: list[tuple[Path, Any]] = [((), data)]
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
