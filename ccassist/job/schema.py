"""From the parsed file to records, and every fault of form on the way.

Nothing is raised for the user's slips: all findings of a file come together.
Values are kept as text; whether they are sound quantities is looked at by
:mod:`ccassist.results`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ccassist.findings import error
from ccassist.job import vocabulary as words
from ccassist.job.lines import Path, line_of
from ccassist.job.readings import SeriesReader
from ccassist.job.records import Given, Job, Part
from ccassist.terms import TERMS
from ccassist.units import SYSTEMS


class JobReader(SeriesReader):
    """Reads a whole job file."""

    def job(self, data: dict[str, Any]) -> Job:
        """The whole file."""
        self.unknown(data, tuple(words.SECTIONS), ())
        self.format(data)
        about = self.strings(self.table(data.get("job", {}), ("job",)), words.JOB_KEYS, ("job",))
        system = about.get("units", "metric")
        if system not in SYSTEMS:
            self.add(
                error("unknown-units", "unknown units", read=system, right="say metric or imperial"), ("job", "units")
            )
            system = "metric"
        engine = self.table(data.get("engine", {}), ("engine",))
        self.unknown(engine, ("cylinders", *words.GIVEN_TERMS), ("engine",))
        cylinders = self.cylinders(engine)
        parts = self.parts(self.table(data.get("part", {}), ("part",)), cylinders)
        return Job(
            file=self.file,
            name=about.get("name", ""),
            system=system,
            cylinders=cylinders,
            about=about,
            engine=self.givens(engine, words.GIVEN_TERMS, ("engine",)),
            counted=self.counted(data),
            wanted=self.wanted(data),
            parts=parts,
            per_cylinder=self.per_cylinder(data, cylinders),
            instruments=self.named(data, "instrument", words.INSTRUMENT_KEYS),
            fluids=self.named(data, "fluid", words.FLUID_KEYS),
            series=self.all_series(data, cylinders, parts),
        )

    def format(self, data: dict[str, Any]) -> None:
        """The format number: a promise that later versions read it."""
        found = data.get("format")
        if found is None:
            self.add(error("no-format", "the file does not say its format", right="first line: format = 1"), ())
        elif found != words.FORMAT or isinstance(found, bool):
            self.add(
                error(
                    "unknown-format",
                    "a format this version does not know",
                    read=str(found),
                    right=f"this version reads format = {words.FORMAT}",
                ),
                ("format",),
            )

    def cylinders(self, engine: Mapping[str, Any]) -> int:
        """Number of cylinders, or of chambers on the bench."""
        if "cylinders" not in engine:
            self.add(
                error(
                    "missing-value",
                    "the number of cylinders (or chambers) is not given",
                    right="in [engine]: cylinders = 4",
                ),
                ("engine",),
            )
            return 1
        low, high = TERMS["cylinders"].possible
        return self.count(engine["cylinders"], ("engine", "cylinders"), int(low), int(high)) or 1

    def counted(self, data: dict[str, Any]) -> dict[str, str]:
        """What is counted in the clearance volume."""
        path: Path = ("counted",)
        found = self.strings(self.table(data.get("counted", {}), path), words.COUNTED_KEYS, path)
        for key, said in found.items():
            if said not in words.COUNTED_WORDS:
                self.add(
                    error("unknown-word", "not understood", read=said, right="say counted or not counted"), (*path, key)
                )
        return {key: said for key, said in found.items() if said in words.COUNTED_WORDS}

    def wanted(self, data: dict[str, Any]) -> dict[str, Given]:
        """Targets and limits."""
        table = self.table(data.get("wanted", {}), ("wanted",))
        self.unknown(table, words.WANTED_TERMS, ("wanted",))
        return self.givens(table, words.WANTED_TERMS, ("wanted",))

    def parts(self, table: Mapping[str, Any], cylinders: int) -> dict[str, Part]:
        """Named parts."""
        return {name: self.part(name, self.table(value, ("part", name)), cylinders) for name, value in table.items()}

    def part(self, name: str, table: Mapping[str, Any], cylinders: int) -> Part:
        """One named part."""
        path: Path = ("part", name)
        self.unknown(table, (*words.PART_KEYS, *words.GIVEN_TERMS), path)
        kind = self.text(table.get("kind", ""), (*path, "kind")) if "kind" in table else ""
        if kind not in words.PART_KINDS:
            self.add(
                error(
                    "unknown-kind",
                    "what kind of part this is",
                    read=kind,
                    right="kind = one of " + ", ".join(words.PART_KINDS),
                ),
                (*path, "kind"),
            )
        serves = table.get("cylinders", list(range(1, cylinders + 1)))
        if not isinstance(serves, list):
            self.add(
                error("not-a-list", "the cylinders it serves are a list", read=str(serves), right="cylinders = [1, 3]"),
                (*path, "cylinders"),
            )
            serves = []
        numbers = [self.count(n, (*path, "cylinders"), 1, cylinders) for n in serves]
        return Part(
            name=name,
            kind=kind,
            cylinders=tuple(n for n in numbers if n is not None),
            states=self.texts(table["states"], (*path, "states")) if "states" in table else (),
            given=self.givens(table, words.GIVEN_TERMS, path),
            line=line_of(self.lines, path),
            note=self.text(table["note"], (*path, "note")) if "note" in table else "",
        )

    def per_cylinder(self, data: dict[str, Any], cylinders: int) -> dict[int, dict[str, Given]]:
        """What is particular to one cylinder."""
        found: dict[int, dict[str, Given]] = {}
        for name, value in self.table(data.get("cylinder", {}), ("cylinder",)).items():
            path: Path = ("cylinder", name)
            if not (name.isascii() and name.isdigit() and len(name) < 4 and 1 <= int(name) <= cylinders):
                self.add(error("unknown-cylinder", f"there are cylinders 1 to {cylinders}", read=name), path)
                continue
            table = self.table(value, path)
            self.unknown(table, words.GIVEN_TERMS, path)
            found[int(name)] = self.givens(table, words.GIVEN_TERMS, path)
        return found

    def named(self, data: dict[str, Any], section: str, keys: Mapping[str, str]) -> dict[str, dict[str, str]]:
        """The user's own instruments or fluids."""
        table = self.table(data.get(section, {}), (section,))
        return {
            name: self.strings(self.table(value, (section, name)), keys, (section, name))
            for name, value in table.items()
        }
