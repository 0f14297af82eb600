"""From [[series]] blocks to records of readings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ccassist.bench.step import Field, Step
from ccassist.bench.steps import STEPS
from ccassist.findings import error, warning
from ccassist.job import vocabulary as words
from ccassist.job.lines import Path, line_of
from ccassist.job.reader import Reader, place
from ccassist.job.records import Part, Row, Series
from ccassist.terms import nearest


class SeriesReader(Reader):
    """Reads the blocks of readings."""

    def all_series(self, data: dict[str, Any], cylinders: int, parts: Mapping[str, Part]) -> tuple[Series, ...]:
        """Every series that can be understood."""
        blocks = data.get("series", [])
        if not isinstance(blocks, list):
            self.add(error("not-a-list", "readings stand in [[series]] blocks, with double brackets"), ("series",))
            return ()
        found = [
            self.one_series(self.table(block, ("series", i)), ("series", i), cylinders, parts)
            for i, block in enumerate(blocks)
        ]
        return tuple(series for series in found if series is not None)

    def one_series(
        self, table: Mapping[str, Any], path: Path, cylinders: int, parts: Mapping[str, Part]
    ) -> Series | None:
        """One block of readings."""
        name = self.text(table.get("step", ""), (*path, "step")) if "step" in table else ""
        step = STEPS.get(name)
        if step is None:
            near = nearest(name.replace("_", "-"), tuple(STEPS)) if name else None
            self.add(
                error(
                    "unknown-step",
                    "no such bench step",
                    read=name,
                    right=f'did you mean "{near}"?' if near else "steps: " + ", ".join(STEPS),
                ),
                (*path, "step"),
            )
            return None
        settings = tuple(f.name for f in step.settings)
        choices = {c.name: c.options for c in step.choices}
        self.unknown(table, (*words.SERIES_KEYS, *settings, *choices), path)
        serves, part = self.whose(table, step, path, cylinders, parts)
        if not serves:
            return None
        plain = {
            key: self.text(table[key], (*path, key))
            for key in ("state", "instrument", "fluid", "by", "date", "remark")
            if key in table
        }
        set_up = {key: self.texts(table[key], (*path, key)) for key in (*settings, "temperature") if key in table}
        return Series(
            step=step.key,
            cylinders=serves,
            part=part,
            state=plain.pop("state", ""),
            settings=set_up,
            rows=self.rows(table, step, path),
            place=place(path),
            line=line_of(self.lines, path),
            choices=self.choices(table, choices, path),
            **plain,
        )

    def whose(
        self, table: Mapping[str, Any], step: Step, path: Path, cylinders: int, parts: Mapping[str, Part]
    ) -> tuple[tuple[int, ...], str]:
        """The cylinders a series holds for, and the part measured."""
        name = self.text(table["part"], (*path, "part")) if "part" in table else ""
        if name and name not in parts:
            near = nearest(name, tuple(parts))
            self.add(
                error(
                    "unknown-part",
                    "no such part",
                    read=name,
                    right=f'did you mean "{near}"?' if near else "name it in a [part] section",
                ),
                (*path, "part"),
            )
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
                self.add(
                    error("unknown-word", "not understood", read=word, right="say " + " or ".join(options[key])),
                    (*path, key),
                )
        return {key: word for key, word in said.items() if word in options[key]}

    def rows(self, table: Mapping[str, Any], step: Step, path: Path) -> tuple[Row, ...]:
        """The readings of a block."""
        listed = table.get("readings", [])
        if not isinstance(listed, list):
            self.add(
                error("not-a-list", "readings are a list", right="readings = [ { ... }, { ... } ]"), (*path, "readings")
            )
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
                self.add(
                    error("not-a-table", "a reading names its fields", read=str(value), right=_row_example(step)), path
                )
                return None
            value = {only.fields[0].name: value}
        fields = step.fields
        self.unknown(value, (*fields, *words.ROW_KEYS), path)
        texts = {key: self.texts(value[key], (*path, key)) for key in fields if key in value}
        if not texts or (step.method_of(frozenset(texts)) is None):
            self.add(
                error("incomplete-reading", "not a complete reading", read=", ".join(texts), right=_row_example(step)),
                path,
            )
            return None
        if not _even(texts, fields):
            self.add(
                error(
                    "uneven-lists",
                    "each start needs its end",
                    read=str({k: list(t) for k, t in texts.items()}),
                    right='start = ["0 ml", "0 ml"], end = ["50 ml", "12.4 ml"]',
                ),
                path,
            )
            return None
        extra = {key: self.text(value[key], (*path, key)) for key in words.ROW_KEYS if key in value}
        return Row(fields=texts, place=place(path), line=line_of(self.lines, path), **extra)


def _row_example(step: Step) -> str:
    forms = " or ".join(
        "{ " + ", ".join(f'{f.name} = "…"' for f in m.fields if not f.optional) + " }" for m in step.methods
    )
    return f"write {forms}"


def _even(texts: Mapping[str, tuple[str, ...]], fields: Mapping[str, Field]) -> bool:
    """Whether only lists are lists, and each list matches the one it goes with."""
    if any(len(t) > 1 and not fields[name].many for name, t in texts.items()):
        return False
    pairs = [(name, fields[name].goes_with) for name in texts if fields[name].goes_with]
    return all(len(texts[name]) == len(texts.get(other, ())) for name, other in pairs)
