"""Taking values out of a parsed file, each fault of form becoming a finding with its line."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from ccassist.findings import Finding, error
from ccassist.job import vocabulary as words
from ccassist.job.lines import Path, line_of
from ccassist.job.records import Given
from ccassist.quantity import ORIGINS
from ccassist.terms import TERMS, nearest

_SCALARS = (str, int, float, datetime.date, datetime.time)


class Reader:
    """Turns tables into records; collects findings with their lines."""

    def __init__(self, file: str, lines: dict[Path, int]) -> None:
        self.file, self.lines = file, lines
        self.findings: list[Finding] = []

    # -- small helpers ------------------------------------------------------------
    def add(self, finding: Finding, path: Path) -> None:
        """Enter a finding at its place."""
        self.findings.append(finding.at(file=self.file, line=line_of(self.lines, path), place=place(path)))

    def table(self, value: Any, path: Path) -> dict[str, Any]:
        """A table, or a finding and an empty one."""
        if isinstance(value, dict):
            return value
        self.add(error("not-a-table", f"[{place(path)}] must be a section with keys", read=str(value)), path)
        return {}

    def text(self, value: Any, path: Path) -> str:
        """One scalar as text, as written."""
        if isinstance(value, bool) or not isinstance(value, _SCALARS):
            self.add(error("not-text", "one value is expected here", read=str(value), right='write it as "text"'), path)
            return ""
        return value if isinstance(value, str) else str(value)

    def texts(self, value: Any, path: Path) -> tuple[str, ...]:
        """One or several scalars as texts."""
        if isinstance(value, list):
            return tuple(t for i, v in enumerate(value) if (t := self.text(v, (*path, i))))
        one = self.text(value, path)
        return (one,) if one else ()

    def unknown(self, table: Mapping[str, Any], known: tuple[str, ...], path: Path) -> None:
        """A finding for every key that is not known, with the nearest one that is."""
        for key in table:
            if key not in known:
                near = nearest(key, known)
                right = f'did you mean "{near}"?' if near else "known here: " + ", ".join(known[:12])
                self.add(error("unknown-key", "unknown key", read=key, right=right), (*path, key))

    def strings(self, table: Mapping[str, Any], keys: Mapping[str, str], path: Path) -> dict[str, str]:
        """A flat section of texts."""
        self.unknown(table, tuple(keys), path)
        return {key: self.text(table[key], (*path, key)) for key in keys if key in table}

    # -- values ---------------------------------------------------------------------
    def given(self, key: str, value: Any, path: Path) -> Given | None:
        """A stated value in any of its forms."""
        origin = instrument = note = ""
        if isinstance(value, dict):
            self.unknown(value, tuple(words.VALUE_KEYS), path)
            origin = self.text(value.get("origin", ""), (*path, "origin")) if "origin" in value else ""
            if origin and origin not in ORIGINS:
                self.add(
                    error("unknown-origin", "unknown origin", read=origin, right="say " + ", ".join(ORIGINS)),
                    (*path, "origin"),
                )
            instrument = self.text(value["instrument"], (*path, "instrument")) if "instrument" in value else ""
            note = self.text(value["note"], (*path, "note")) if "note" in value else ""
            if ("value" in value) == ("readings" in value):
                self.add(
                    error("missing-value", "give either value or readings", right='e.g. { value = "86.50 mm" }'), path
                )
                return None
            value = value.get("value", value.get("readings"))
        texts = self.texts(value, path)
        if not texts:
            self.add(error("missing-value", f"no value for the {TERMS[key].name}"), path)
            return None
        return Given(
            key=key,
            texts=texts,
            place=place(path),
            line=line_of(self.lines, path),
            origin=origin,
            instrument=instrument,
            note=note,
        )

    def givens(self, table: Mapping[str, Any], allowed: tuple[str, ...], path: Path) -> dict[str, Given]:
        """All stated terms of a section."""
        found = {key: self.given(key, table[key], (*path, key)) for key in allowed if key in table}
        return {key: value for key, value in found.items() if value is not None}

    def count(self, value: Any, path: Path, low: int, high: int) -> int | None:
        """A whole number within bounds."""
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self.add(error("not-whole", f"a whole number from {low} to {high} is expected", read=str(value)), path)
        return None


def place(path: Path) -> str:
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
