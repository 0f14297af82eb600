"""From the parsed file to records, and every fault of form on the way.

Nothing is raised for the user's slips: all findings of a file come together.
Values are kept as text; whether they are sound quantities is looked at by
:mod:`ccassist.results`.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.findings import Finding, error, warning
from ccassist.job import vocabulary as words
from ccassist.job.lines import Path, line_of
from ccassist.job.records import Given, Job, Part, Row, Series
from ccassist.quantity import ORIGINS
from ccassist.terms import TERMS, nearest
from ccassist.units import SYSTEMS

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
                self.add(error("unknown-origin", "unknown origin", read=origin, right="say " + ", ".join(ORIGINS)),
                         (*path, "origin"))
            instrument = self.text(value["instrument"], (*path, "instrument")) if "instrument" in value else ""
            note = self.text(value["note"], (*path, "note")) if "note" in value else ""
            if ("value" in value) == ("readings" in value):
                self.add(error("missing-value", "give either value or readings", right='e.g. { value = "86.50 mm" }'), path)
                return None
            value = value.get("value", value.get("readings"))
        texts = self.texts(value, path)
        if not texts:
            self.add(error("missing-value", f"no value for the {TERMS[key].name}"), path)
            return None
        return Given(key=key, texts=texts, place=place(path), line=line_of(self.lines, path), origin=origin,
                     instrument=instrument, note=note)

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

    # -- sections --------------------------------------------------------------------
    def job(self, data: dict[str, Any]) -> Job:
        """The whole file."""
        self.unknown(data, tuple(words.SECTIONS), ())
        self.format(data)
        about = self.strings(self.table(data.get("job", {}), ("job",)), words.JOB_KEYS, ("job",))
        system = about.get("units", "metric")
        if system not in SYSTEMS:
            self.add(error("unknown-units", "unknown units", read=system, right="say metric or imperial"), ("job", "units"))
            system = "metric"
        engine = self.table(data.get("engine", {}), ("engine",))
        self.unknown(engine, ("cylinders", *words.GIVEN_TERMS), ("engine",))
        cylinders = self.cylinders(engine)
        parts = self.parts(self.table(data.get("part", {}), ("part",)), cylinders)
        return Job(
            file=self.file, name=about.get("name", ""), system=system, cylinders=cylinders, about=about,
            engine=self.givens(engine, words.GIVEN_TERMS, ("engine",)), counted=self.counted(data),
            wanted=self.wanted(data), parts=parts, per_cylinder=self.per_cylinder(data, cylinders),
            instruments=self.named(data, "instrument", words.INSTRUMENT_KEYS),
            fluids=self.named(data, "fluid", words.FLUID_KEYS), series=self.all_series(data, cylinders, parts),
        )

    def format(self, data: dict[str, Any]) -> None:
        """The format number: a promise that later versions read it."""
        found = data.get("format")
        if found is None:
            self.add(error("no-format", "the file does not say its format", right="first line: format = 1"), ())
        elif found != words.FORMAT or isinstance(found, bool):
            self.add(error("unknown-format", "a format this version does not know", read=str(found),
                           right=f"this version reads format = {words.FORMAT}"), ("format",))

    def cylinders(self, engine: Mapping[str, Any]) -> int:
        """Number of cylinders, or of chambers on the bench."""
        if "cylinders" not in engine:
            self.add(error("missing-value", "the number of cylinders (or chambers) is not given",
                           right="in [engine]: cylinders = 4"), ("engine",))
            return 1
        low, high = TERMS["cylinders"].possible
        return self.count(engine["cylinders"], ("engine", "cylinders"), int(low), int(high)) or 1

    def counted(self, data: dict[str, Any]) -> dict[str, str]:
        """What is counted in the clearance volume."""
        path: Path = ("counted",)
        found = self.strings(self.table(data.get("counted", {}), path), words.COUNTED_KEYS, path)
        for key, said in found.items():
            if said not in words.COUNTED_WORDS:
                self.add(error("unknown-word", "not understood", read=said, right="say counted or not counted"),
                         (*path, key))
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
            self.add(error("unknown-kind", "what kind of part this is", read=kind,
                           right="kind = one of " + ", ".join(words.PART_KINDS)), (*path, "kind"))
        serves = table.get("cylinders", list(range(1, cylinders + 1)))
        if not isinstance(serves, list):
            self.add(error("not-a-list", "the cylinders it serves are a list", read=str(serves),
                           right="cylinders = [1, 3]"), (*path, "cylinders"))
            serves = []
        numbers = [self.count(n, (*path, "cylinders"), 1, cylinders) for n in serves]
        return Part(
            name=name, kind=kind, cylinders=tuple(n for n in numbers if n is not None),
            states=self.texts(table["states"], (*path, "states")) if "states" in table else (),
            given=self.givens(table, words.GIVEN_TERMS, path), line=line_of(self.lines, path),
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
        return {name: self.strings(self.table(value, (section, name)), keys, (section, name))
                for name, value in table.items()}

    # -- readings ----------------------------------------------------------------------
    def all_series(self, data: dict[str, Any], cylinders: int, parts: Mapping[str, Part]) -> tuple[Series, ...]:
        """Every series that can be understood."""
        blocks = data.get("series", [])
        if not isinstance(blocks, list):
            self.add(error("not-a-list", "readings stand in [[series]] blocks, with double brackets"), ("series",))
            return ()
        found = [self.one_series(self.table(block, ("series", i)), ("series", i), cylinders, parts)
                 for i, block in enumerate(blocks)]
        return tuple(series for series in found if series is not None)

    def one_series(self, table: Mapping[str, Any], path: Path, cylinders: int, parts: Mapping[str, Part]) -> Series | None:
        """One block of readings."""
        name = self.text(table.get("step", ""), (*path, "step")) if "step" in table else ""
        step = STEPS.get(name)
        if step is None:
            near = nearest(name.replace("_", "-"), tuple(STEPS)) if name else None
            self.add(error("unknown-step", "no such bench step", read=name,
                           right=f'did you mean "{near}"?' if near else "steps: " + ", ".join(STEPS)), (*path, "step"))
            return None
        settings = tuple(f.name for f in step.settings)
        choices = {c.name: c.options for c in step.choices}
        self.unknown(table, (*words.SERIES_KEYS, *settings, *choices), path)
        serves, part = self.whose(table, step, path, cylinders, parts)
        if not serves:
            return None
        plain = {key: self.text(table[key], (*path, key))
                 for key in ("state", "instrument", "fluid", "by", "date", "remark") if key in table}
        set_up = {key: self.texts(table[key], (*path, key)) for key in (*settings, "temperature") if key in table}
        return Series(step=step.key, cylinders=serves, part=part, state=plain.pop("state", ""), settings=set_up,
                      rows=self.rows(table, step, path), place=place(path), line=line_of(self.lines, path),
                      choices=self.choices(table, choices, path), **plain)

    def whose(self, table: Mapping[str, Any], step: Step, path: Path, cylinders: int,
              parts: Mapping[str, Part]) -> tuple[tuple[int, ...], str]:
        """The cylinders a series holds for, and the part measured."""
        name = self.text(table["part"], (*path, "part")) if "part" in table else ""
        if name and name not in parts:
            near = nearest(name, tuple(parts))
            self.add(error("unknown-part", "no such part", read=name,
                           right=f'did you mean "{near}"?' if near else "name it in a [part] section"), (*path, "part"))
            return (), ""
        if "cylinder" in table:
            number = self.count(table["cylinder"], (*path, "cylinder"), 1, cylinders)
            if number is None:
                return (), name
            own = next((p.name for p in parts.values() if p.kind == step.part and number in p.cylinders), "")
            return (number,), name or own
        if not name:
            self.add(error("missing-value", "neither cylinder nor part is said", right="cylinder = 1"), path)
            return (), ""
        serves = parts[name].cylinders
        if "position" in table:
            position = self.count(table["position"], (*path, "position"), 1, max(1, len(serves)))
            return (serves[position - 1 : position], name) if position else ((), name)
        return serves, name

    def choices(self, table: Mapping[str, Any], options: Mapping[str, tuple[str, ...]], path: Path) -> dict[str, str]:
        """Things said in words, such as the seal."""
        said = {key: self.text(table[key], (*path, key)) for key in options if key in table}
        for key, word in said.items():
            if word not in options[key]:
                self.add(error("unknown-word", "not understood", read=word, right="say " + " or ".join(options[key])),
                         (*path, key))
        return {key: word for key, word in said.items() if word in options[key]}

    def rows(self, table: Mapping[str, Any], step: Step, path: Path) -> tuple[Row, ...]:
        """The readings of a block."""
        listed = table.get("readings", [])
        if not isinstance(listed, list):
            self.add(error("not-a-list", "readings are a list", right="readings = [ { ... }, { ... } ]"), (*path, "readings"))
            return ()
        if not listed:
            self.add(warning("no-readings", "a series without readings"), path)
        found = [self.row(value, step, (*path, "readings", i)) for i, value in enumerate(listed)]
        return tuple(row for row in found if row is not None)

    def row(self, value: Any, step: Step, path: Path) -> Row | None:
        """One reading."""
        if not isinstance(value, dict):
            only = step.methods[0]
            if len(step.methods) > 1 or len(only.fields) > 1:
                self.add(error("not-a-table", "a reading names its fields", read=str(value), right=_row_example(step)), path)
                return None
            value = {only.fields[0].name: value}
        fields = step.fields
        self.unknown(value, (*fields, *words.ROW_KEYS), path)
        texts = {key: self.texts(value[key], (*path, key)) for key in fields if key in value}
        if not texts or (step.method_of(frozenset(texts)) is None):
            self.add(error("incomplete-reading", "not a complete reading", read=", ".join(texts), right=_row_example(step)), path)
            return None
        lists = [key for key, t in texts.items() if len(t) > 1 and not fields[key].many]
        if lists or len({len(t) for key, t in texts.items() if fields[key].many}) > 1:
            self.add(error("uneven-lists", "each start needs its end", read=str({k: list(t) for k, t in texts.items()}),
                           right='start = ["0 ml", "0 ml"], end = ["50 ml", "12.4 ml"]'), path)
            return None
        extra = {key: self.text(value[key], (*path, key)) for key in words.ROW_KEYS if key in value}
        return Row(fields=texts, place=place(path), line=line_of(self.lines, path), **extra)


def _row_example(step: Step) -> str:
    forms = (" or ".join("{ " + ", ".join(f'{f.name} = "…"' for f in m.fields if not f.optional) + " }"
                         for m in step.methods))
    return f"write {forms}"


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
