"""From the sections that state things for the whole engine to what they state."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ccassist.job.lines import Path, line_of, place
from ccassist.job.readings import SeriesReader
from ccassist.job.reasons import says_nothing
from ccassist.job.records import Given, Listed, Row
from ccassist.job.sections import HEADINGS, STATED, Section
from ccassist.job.toml_text import as_written
from ccassist.values.findings import error

_WORD = re.compile(r"[^\W\d_]{2}")  # two letters beside one another


class SectionReader(SeriesReader):
    """Reads the sections declared in :mod:`ccassist.job.sections`; keeps what they state and say by their names."""

    def __init__(self, file: str, lines: dict[Path, int]) -> None:
        super().__init__(file, lines)
        self.stated: dict[str, dict[str, Given]] = {}
        self.said_there: dict[str, dict[str, str]] = {}
        self.listed_there: dict[str, dict[str, Listed]] = {}

    def sections(self, data: dict[str, Any]) -> None:
        """Every section, with every fault of form in it."""
        for heading in HEADINGS:
            if heading in data:
                self.branch(data[heading], (heading,))

    def branch(self, value: Any, path: tuple[str, ...]) -> None:
        """One heading and those below it."""
        name, depth = ".".join(path), len(path)
        below = {s.path[depth] for s in STATED.values() if s.path[:depth] == path and len(s.path) > depth}
        section = STATED.get(name)
        known = (*((*section.keys, *section.refused) if section else ()), *sorted(below))
        table = self.in_full(value, path, known, section.terms if section else ())
        self.unknown(table, known, path)
        if section:
            self.refuse(table, section, path)
            self.stated[name] = self.givens(table, section.terms, path)
            words = {k: self.word(table[k], said, (*path, k)) for k, said in section.words.items() if k in table}
            texts = {k: self.text(table[k], (*path, k)) for k in section.texts if k in table}
            self.said_there[name] = {k: said for k, said in {**words, **texts}.items() if said}
            self.listed_there[name] = {
                k: self.listing(table[k], fields, (*path, k)) for k, fields in section.lists.items() if k in table
            }
        for one in sorted(below & set(table)):
            self.branch(table[one], (*path, one))

    def refuse(self, table: Mapping[str, Any], section: Section, path: Path) -> None:
        """What must not stand in a section although it has a name there; and a reason that says nothing."""
        for key in section.refused:
            if key in table:
                wrong = f"this is never accepted: {section.refused[key]}"
                right = f"take it out and put the matter right; accepted can be {', '.join(section.texts)}"
                self.add(error("never-accepted", wrong, read=as_written(table[key]), right=right), (*path, key))
        for key in section.texts if section.refused else ():
            if key in table and not str(table[key]).strip():
                self.add(error("missing-value", "a reason is expected here", right='say why: "…"'), (*path, key))
            elif key in table and (says_nothing(str(table[key])) or not _WORD.search(str(table[key]))):
                wrong, read = "a reason in words is expected here", as_written(table[key])
                self.add(error("no-reason", wrong, read=read, right='say why: "…"'), (*path, key))

    def listing(self, value: Any, fields: Mapping[str, str], path: Path) -> Listed:
        """A list of readings; or the same under ``readings``, with the instrument beside it."""
        table, at = (value, (*path, "readings")) if isinstance(value, dict) else ({"readings": value}, path)
        self.unknown(table, ("readings", "instrument", "note"), path)
        rows = table.get("readings", [])
        if not isinstance(rows, list) or not rows:
            form = ", ".join(f'{name} = "…"' for name in fields)
            wrong = "readings are a list, each with its fields"
            self.add(error("not-a-list", wrong, read=as_written(rows), right=f"readings = [ {{ {form} }}, … ]"), path)
            rows = []
        said = {key: self.text(table[key], (*path, key)) for key in ("instrument", "note") if key in table}
        found = [self.list_row(row, fields, (*at, i)) for i, row in enumerate(rows)]
        return Listed(
            rows=tuple(row for row in found if row is not None),
            place=place(path),
            line=line_of(self.lines, path),
            **said,
        )

    def list_row(self, value: Any, fields: Mapping[str, str], path: Path) -> Row | None:
        """One reading of a list, with every field."""
        if not isinstance(value, dict):
            form = ", ".join(f'{name} = "…"' for name in fields)
            wrong = "a reading with its fields is expected here"
            self.add(error("not-a-table", wrong, read=as_written(value), right=f"{{ {form} }}"), path)
            return None
        table = value
        self.unknown(table, tuple(fields), path)
        texts = {key: self.one_text(table[key], (*path, key)) for key in fields if key in table}
        lack = [key for key in fields if key not in table]
        if lack and table:
            wrong = f"{' and '.join(lack)} not given"
            self.add(error("incomplete-reading", wrong, read=as_written(dict(table))), path)
        if lack or not all(texts.values()):
            return None
        return Row(fields=texts, place=place(path), line=line_of(self.lines, path))
