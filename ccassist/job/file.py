"""Reading a job file into records, and writing readings into it.

A reading is appended as text at the end of the file: comments, order and everything written by hand stay as they are,
and the file need not be parsed again for each reading.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.disk import read_text
from ccassist.job.lines import KeyPath, as_written, line_of
from ccassist.job.pieces import Lines, read_toml
from ccassist.job.readings import SeriesReader, says_nothing
from ccassist.job.records import Alternative, Given, Job, Listed, Part, Row
from ccassist.job.sections import HEADINGS, STATED, Section
from ccassist.job.vocabulary import (
    ALTERNATIVE_KEYS,
    ALTERNATIVE_TERMS,
    CHOICE_KEYS,
    CHOICE_KINDS,
    CHOICE_TERMS,
    OPEN_TERMS,
    PURPOSES,
    Offered,
    purposes_of,
)
from ccassist.values.findings import Finding, InputError, clean, error, errors
from ccassist.vocabulary import TERMS
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import SYSTEMS

# From the parsed file to records, and every fault of form on the way.
#
# Nothing is raised for the user's slips: all findings of a file come together. Values are kept as text; whether they
# are sound quantities is looked at by :mod:`ccassist.analysis.results`.

# From the sections that state things for the whole engine to what they state.

_WORD = re.compile(r"[^\W\d_]{2}")  # two letters beside one another


class SectionReader(SeriesReader):
    """Reads the sections declared in :mod:`ccassist.job.sections`; keeps what they state and say by their names."""

    def __init__(self, file: str, lines: Lines) -> None:
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

    def refuse(self, table: Mapping[str, Any], section: Section, path: KeyPath) -> None:
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

    def listing(self, value: Any, fields: Mapping[str, str], path: KeyPath) -> Listed:
        """A list of readings; or the same under ``readings``, with the instrument beside it."""
        table, at = (value, (*path, "readings")) if isinstance(value, dict) else ({"readings": value}, path)
        self.unknown(table, ("readings", "instrument", "note"), path)
        rows = table.get("readings", [])
        if not isinstance(rows, list) or not rows:
            form = ", ".join(f'{name} = "…"' for name in fields)
            wrong = "readings are a list, each with its fields"
            self.add(error("not-a-list", wrong, read=as_written(rows), right=f"readings = [ {{ {form} }}, … ]"), path)
            rows = []
        said = self.some(table, ("instrument", "note"), path)
        found = [self.list_row(row, fields, (*at, i)) for i, row in enumerate(rows)]
        return Listed(rows=tuple(row for row in found if row is not None), **self.here(path), **said)

    def list_row(self, value: Any, fields: Mapping[str, str], path: KeyPath) -> Row | None:
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
        return Row(fields=texts, **self.here(path))


_MOST = int(TERMS["cylinders"].possible[1])


class JobReader(SectionReader):
    """Reads a whole job file."""

    def job(self, data: dict[str, Any]) -> Job:
        """The whole file."""
        self.sets: dict[str, dict[str, str]] = {}  # of the parts on offer: kind, name, what it belongs to
        self.unknown(data, tuple(words.SECTIONS), ())
        self.format(data)
        about = self.strings(self.table(data.get("job", {}), ("job",)), words.JOB_KEYS, ("job",))
        self.purposes(about)
        system = self.system(data, about)
        known = ("cylinders", *words.GIVEN_TERMS)
        engine = self.in_full(data.get("engine", {}), ("engine",), known)
        self.unknown(engine, known, ("engine",))
        cylinders = self.cylinders(data, engine)
        upto = cylinders or _MOST  # where the number is wrong, that alone is said
        parts = self.parts(self.table(data.get("part", {}), ("part",)), upto)
        self.sections(data)
        return Job(
            file=self.file,
            name=about.get("name", ""),
            system=system,
            cylinders=cylinders or 1,
            about=about,
            engine=self.givens(engine, words.GIVEN_TERMS, ("engine",)),
            counted=self.counted(data),
            wanted=self.wanted(data),
            parts=parts,
            per_cylinder=self.per_cylinder(data, upto),
            sets=self.sets,
            offered=self.offered(self.table(data.get("choice", {}), ("choice",))),
            alternatives=self.alternatives(self.table(data.get("alternative", {}), ("alternative",))),
            stated=self.stated,
            said=self.said_there,
            listed=self.listed_there,
            instruments=self.named(data, "instrument", words.INSTRUMENT_KEYS),
            fluids=self.named(data, "fluid", words.FLUID_KEYS),
            set_ups=self.set_ups(data),
            series=self.all_series(data, upto, parts),
            lines=self.lines,
        )

    def format(self, data: dict[str, Any]) -> None:
        """The format number: a promise that later versions read it."""
        found = data.get("format")
        if found is None:
            self.add(error("no-format", "the file does not say its format", right="first line: format = 1"), ())
        elif isinstance(found, bool) or not isinstance(found, int):
            wrong = "the format is a bare whole number"
            right = f"write format = {words.FORMAT}"
            self.add(error("unknown-format", wrong, read=as_written(found), right=right), ("format",))
        elif found != words.FORMAT:
            wrong = "a format that this version does not know"
            right = f"this version reads format = {words.FORMAT}"
            self.add(error("unknown-format", wrong, read=as_written(found), right=right), ("format",))

    def system(self, data: dict[str, Any], about: Mapping[str, str]) -> str:
        """The units in which things are shown, and in which bare numbers are taken where the file says them."""
        table = data.get("job")
        if not isinstance(table, dict) or "units" not in table:
            return SYSTEMS[0]
        return self.word(about["units"], SYSTEMS, ("job", "units")) or SYSTEMS[0]

    def purposes(self, about: Mapping[str, str]) -> None:
        """What the job is for, in words that are known."""
        for said in purposes_of(about):
            self.word(said, tuple(PURPOSES), ("job", "for"))

    def cylinders(self, data: dict[str, Any], engine: Mapping[str, Any]) -> int | None:
        """Number of cylinders, or of chambers on the bench."""
        if "cylinders" in engine:
            path: KeyPath = ("engine", "cylinders")
            return self.count(engine["cylinders"], path, 1, _MOST, TERMS["cylinders"].name)
        if isinstance(data.get("engine", {}), dict):
            wrong = "the number of cylinders (or chambers) is not given"
            self.add(error("missing-value", wrong, right="in [engine]: cylinders = 4"), ("engine",))
        return None

    def counted(self, data: dict[str, Any]) -> dict[str, str]:
        """What is counted in the clearance volume."""
        path: KeyPath = ("counted",)
        table = self.table(data.get("counted", {}), path)
        self.unknown(table, tuple(words.COUNTED_KEYS), path)
        said = {
            key: self.word(table[key], words.COUNTED_WORDS, (*path, key)) for key in words.COUNTED_KEYS if key in table
        }
        return {key: word for key, word in said.items() if word}

    def wanted(self, data: dict[str, Any]) -> dict[str, Given]:
        """Targets and limits."""
        table = self.in_full(data.get("wanted", {}), ("wanted",), words.WANTED_TERMS)
        self.unknown(table, words.WANTED_TERMS, ("wanted",))
        found = {
            key: self.given(key, table[key], self.at(("wanted",), key), once=True)
            for key in words.WANTED_TERMS
            if key in table
        }
        return {key: value for key, value in found.items() if value is not None}

    def parts(self, table: Mapping[str, Any], cylinders: int) -> dict[str, Part]:
        """Named parts; each cylinder has one of a kind, but for the layers of its gasket."""
        parts = {name: self.part(name, value, cylinders) for name, value in table.items()}
        taken: dict[tuple[str, int], str] = {}
        for part in parts.values():
            for number in part.cylinders if part.kind and part.kind not in words.LAYERED else ():
                first = taken.setdefault((part.kind, number), part.name)
                if first != part.name:
                    wrong = f'cylinder {number} already has "{clean(first, 40)}" of the kind {part.kind}'
                    right = "say with cylinders = [1, 3] which it serves"
                    self.add(error("two-parts", wrong, read=part.name, right=right), ("part", part.name))
                    break
        return parts

    def part(self, name: str, value: Any, cylinders: int) -> Part:
        """One named part."""
        path: KeyPath = ("part", name)
        table = self.in_full(value, path, (*words.PART_KEYS, *words.PART_TERMS))
        self.unknown(table, (*words.PART_KEYS, *words.PART_TERMS), path)
        if "kind" in table:
            kind = self.word(table["kind"], words.PART_KINDS, (*path, "kind"))
        else:
            kind = ""
            right = f"kind = {' or '.join(words.PART_KINDS)}"
            self.add(error("missing-value", "the kind of this part is not said", right=right), path)
        return Part(
            name=name,
            kind=kind,
            cylinders=self.served(table, path, cylinders),
            states=self.texts(table["states"], (*path, "states")) if "states" in table else (),
            given=self.givens(table, words.PART_TERMS, path),
            line=line_of(self.lines, path),
            note=self.text(table["note"], (*path, "note")) if "note" in table else "",
        )

    def served(self, table: Mapping[str, Any], path: KeyPath, cylinders: int) -> tuple[int, ...]:
        """The cylinders a part serves, in the order of its positions; all of them where it does not say."""
        if "cylinders" not in table:
            return tuple(range(1, cylinders + 1))
        path, listed = (*path, "cylinders"), table["cylinders"]
        if not isinstance(listed, list) or not listed:
            wrong = "the cylinders it serves are a list"
            self.add(error("not-a-list", wrong, read=as_written(listed), right="cylinders = [1, 3]"), path)
            return ()
        found: list[int] = []
        for index, value in enumerate(listed):
            number = self.count(value, (*path, index), 1, cylinders, "cylinder")
            if number in found:
                self.add(error("twice", "this cylinder is listed twice", read=str(number)), (*path, index))
            elif number is not None:
                found.append(number)
        return tuple(found)

    def per_cylinder(self, data: dict[str, Any], cylinders: int) -> dict[int, dict[str, Given]]:
        """What is particular to one cylinder."""
        found: dict[int, dict[str, Given]] = {}
        for name, value in self.table(data.get("cylinder", {}), ("cylinder",)).items():
            path: KeyPath = ("cylinder", name)
            if name not in map(str, range(1, cylinders + 1)):
                wrong = f"no such cylinder: there are 1 to {cylinders}" if cylinders > 1 else "there is only cylinder 1"
                self.add(error("unknown-cylinder", wrong, read=name, right="head it [cylinder.1]"), path)
                continue
            table = self.in_full(value, path, words.PART_TERMS)
            self.unknown(table, words.PART_TERMS, path)
            found[int(name)] = self.givens(table, words.PART_TERMS, path)
        return found

    def offered(self, table: Mapping[str, Any]) -> Offered:
        """Parts that might be fitted instead, by kind and name."""
        self.unknown(table, CHOICE_KINDS, ("choice",))
        found: Offered = {}
        for kind in (kind for kind in CHOICE_KINDS if kind in table):
            found[kind] = {}
            for name, value in self.table(table[kind], ("choice", kind)).items():
                path: KeyPath = ("choice", kind, name)
                known = (*CHOICE_KEYS, *CHOICE_TERMS[kind])
                option = self.in_full(value, path, known)
                self.unknown(option, known, path)
                found[kind][name] = self.givens(option, CHOICE_TERMS[kind], path)
                if "set" in option:
                    self.sets.setdefault(kind, {})[name] = self.text(option["set"], (*path, "set"))
        return found

    def set_ups(self, data: dict[str, Any]) -> dict[str, dict[str, tuple[str, ...]]]:
        """What the guide was told of a set-up: by its step, each answer as texts, none where it was left unsaid."""
        found = {}
        for name, value in self.table(data.get("set_up", {}), ("set_up",)).items():
            path: KeyPath = ("set_up", name)
            if name.split(" ")[0] not in STEPS:
                self.add(error("unknown-step", "no such bench step", read=name), path)
                continue
            said = {key: self.listed_texts(one, (*path, key)) for key, one in self.table(value, path).items()}
            found[name] = said
        return found

    def listed_texts(self, value: Any, path: KeyPath) -> tuple[str, ...]:
        """A text, or a list of them that may be empty."""
        many = value if isinstance(value, list) else [value]
        return tuple(text for one in many if (text := self.text(one, path)))

    def alternatives(self, table: Mapping[str, Any]) -> dict[str, Alternative]:
        """Whole builds, by name."""
        found: dict[str, Alternative] = {}
        for name, value in table.items():
            path: KeyPath = ("alternative", name)
            known = (*ALTERNATIVE_KEYS, *ALTERNATIVE_TERMS)
            said = self.in_full(value, path, known)
            self.unknown(said, known, path)
            opened = self.texts(said["open"], (*path, "open")) if "open" in said else ()
            found[name] = Alternative(
                given=self.givens(said, ALTERNATIVE_TERMS, path),
                open=tuple(key for one in opened if (key := self.word(one, OPEN_TERMS, (*path, "open")))),
                buy=self.text(said["buy"], (*path, "buy")) if "buy" in said else "",
                line=line_of(self.lines, path),
            )
            for key in found[name].open:
                if key in said:
                    wrong = f"{key} is stated and left open at the same time"
                    self.add(error("contradiction", wrong, right="state it, or leave it open"), (*path, key))
        return found

    def named(self, data: dict[str, Any], section: str, keys: Mapping[str, str]) -> dict[str, dict[str, str]]:
        """The user's own instruments or fluids."""
        table = self.table(data.get(section, {}), (section,))
        return {
            name: self.strings(self.table(value, (section, name)), keys, (section, name))
            for name, value in table.items()
        }


@record
class Loaded:
    """A job, what was found wrong with its form, and the text it was read from."""

    job: Job
    findings: tuple[Finding, ...]
    text: str


def load(path: str | Path) -> Loaded:
    """Read a job file; faults of form are findings, an unusable file is raised.

    Raises InputError: no such file, unreadable, not UTF-8, not TOML.
    """
    return parse_job(read_text(Path(path)), str(path))


@lru_cache(maxsize=8)
def parse_job(text: str, file: str = "") -> Loaded:
    """Read a job from its text; the same text gives the same records, not read again. Raises InputError: not TOML."""
    data, lines = read_toml(text, file)
    reader = JobReader(file, lines)
    job = reader.job(data)
    return Loaded(job=job, findings=tuple(reader.findings), text=text)


def load_sound(path: str | Path) -> Loaded:
    """As :func:`load`, but every fault of form is raised, all together.

    Raises InputError: with all findings that are errors.
    """
    loaded = load(path)
    faults = errors(loaded.findings)
    if faults:
        raise InputError(faults)
    return loaded
