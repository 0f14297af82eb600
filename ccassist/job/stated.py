"""From the sections that state things for the whole engine to what they state."""

from __future__ import annotations

from typing import Any

from ccassist.job.lines import Path
from ccassist.job.readings import SeriesReader
from ccassist.job.records import Given
from ccassist.job.sections import HEADINGS, STATED


class SectionReader(SeriesReader):
    """Reads the sections declared in :mod:`ccassist.job.sections`; keeps what they state and say by their names."""

    def __init__(self, file: str, lines: dict[Path, int]) -> None:
        super().__init__(file, lines)
        self.stated: dict[str, dict[str, Given]] = {}
        self.said_there: dict[str, dict[str, str]] = {}

    def sections(self, data: dict[str, Any]) -> None:
        """Every section, with every fault of form in it."""
        for heading in HEADINGS:
            if heading in data:
                self.branch(data[heading], (heading,))

    def branch(self, value: Any, path: tuple[str, ...]) -> None:
        """One heading and those below it."""
        table, name, depth = self.table(value, path), ".".join(path), len(path)
        below = {s.path[depth] for s in STATED.values() if s.path[:depth] == path and len(s.path) > depth}
        section = STATED.get(name)
        self.unknown(table, (*(section.keys if section else ()), *sorted(below)), path)
        if section:
            self.stated[name] = self.givens(table, section.terms, path)
            words = {k: self.word(table[k], said, (*path, k)) for k, said in section.words.items() if k in table}
            texts = {k: self.text(table[k], (*path, k)) for k in section.texts if k in table}
            self.said_there[name] = {k: said for k, said in {**words, **texts}.items() if said}
        for one in sorted(below & set(table)):
            self.branch(table[one], (*path, one))
