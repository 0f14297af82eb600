"""From [[series]] blocks to records of readings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from ccassist.bench.step import Choice, Field, Step
from ccassist.bench.steps import STEPS
from ccassist.job import vocabulary as words
from ccassist.job.lines import KeyPath, as_written, line_of
from ccassist.job.reader import MOST_FAULTS, Reader
from ccassist.job.records import Part, Row, Series
from ccassist.values.findings import Finding, clean, error, warning
from ccassist.vocabulary import nearest, suggested
from ccassist.vocabulary.record import once_each

# Why a reading is set aside: a reason in words, or nothing at all.

EXAMPLE = "saw a bubble"
# Said of whether, and not of why; a table's cell or a tick box holds them.
NO_REASON = (
    "yes", "no", "true", "false", "none", "nil", "null", "on", "off", "ok", "set aside", "aside", "done", "n/a",
)  # fmt: skip


def no_reason(said: Any) -> Finding | None:
    """What is wrong with a reason, or None.

    >>> no_reason("saw a bubble") is None, no_reason("no").wrong, no_reason(1).wrong
    (True, 'it says whether, and not why, it is set aside', 'why it is set aside is said in words')
    """
    right = f'set_aside = "{EXAMPLE}", or leave it out'
    if not isinstance(said, str):
        return error("no-reason", "why it is set aside is said in words", read=as_written(said), right=right)
    if not said.strip():
        return error("missing-value", "why it is set aside is not said", right=right)
    if _whether(said):
        return error("no-reason", "it says whether, and not why, it is set aside", read=said, right=right)
    if says_nothing(said):
        return error("no-reason", "why it is set aside is said in words", read=said, right=right)
    return None


def says_nothing(said: str) -> bool:
    """Whether a text is no reason: empty, a single letter, a word of whether and not of why, or a number.

    >>> says_nothing("-"), says_nothing("ok."), says_nothing("1,2"), says_nothing("one is a spare")
    (True, True, True, False)
    """
    words = " ".join(said.split())
    return len(words) < 2 or _whether(said) or re.fullmatch(r"[-+]?[\d.,\s]+", words) is not None


def _whether(said: str) -> bool:
    return " ".join(said.split()).casefold().strip(".!,; ") in NO_REASON


def unknown_step(name: str, known: Iterable[str] = STEPS) -> Finding:
    """That there is no bench step of a name, with the nearest; ``known`` : what else may be named there."""
    right = suggested(name, known, "steps: " + ", ".join(STEPS))
    return error("unknown-step", "no such bench step", read=name, right=right)


class SeriesReader(Reader):
    """Reads the blocks of readings."""

    def all_series(self, data: dict[str, Any], cylinders: int, parts: Mapping[str, Part]) -> tuple[Series, ...]:
        """Every series that can be understood."""
        blocks = data.get("series", [])
        if not isinstance(blocks, list):
            right = "every one is headed [[series]], with double brackets"
            self.add(error("not-a-list", "readings stand in blocks", read=as_written(blocks), right=right), ("series",))
            return ()
        found = []
        for index, block in enumerate(blocks):
            table = self.table(block, ("series", index))
            if table or isinstance(block, dict):
                series, faults = _read(self, table, index, cylinders, parts)
                self.findings += faults[: MOST_FAULTS + 1 - len(self.findings)]
                found.append(series)
        return tuple(series for series in found if series is not None)

    def one_series(
        self, table: Mapping[str, Any], path: KeyPath, cylinders: int, parts: Mapping[str, Part]
    ) -> Series | None:
        """One block of readings."""
        step = self.step(table, path)
        if step is None:
            return None
        settings = {f.name: f for f in step.settings}
        choices = {c.name: c for c in step.choices}
        self.unknown(table, (*words.SERIES_KEYS, *settings, *choices), path)
        serves, part = self.whose(table, step, path, cylinders, parts)
        if step.part and not serves:
            return None
        plain = self.some(table, ("instrument", "fluid", "by", "date", "remark"), path)
        return Series(
            step=step.key,
            cylinders=serves,
            part=part,
            state=self.state(table, parts.get(part), path),
            settings=self.settings(table, settings, path),
            rows=self.rows(table, step, path),
            **self.here(path),
            choices={
                key: word
                for key in choices
                if key in table and (word := self.said(table[key], choices[key], (*path, key)))
            },
            **plain,
        )

    def said(self, value: Any, choice: Choice, path: KeyPath) -> str:
        """A choice: one of its words, an older file's too or, where it has none, a name."""
        value = next((now for once, now in choice.once if once == value), value)
        return self.word(value, choice.options, path) if choice.options else self.text(value, path)

    def step(self, table: Mapping[str, Any], path: KeyPath) -> Step | None:
        """The bench step of a block."""
        if "step" not in table:
            self.add(error("missing-value", "the bench step is not said", right=f"step = {' or '.join(STEPS)}"), path)
            return None
        name = self.text(table["step"], (*path, "step"))
        if name not in STEPS and (name or isinstance(table["step"], str)):
            self.add(unknown_step(name), (*path, "step"))
        return STEPS.get(name)

    def settings(
        self, table: Mapping[str, Any], known: Mapping[str, Field], path: KeyPath
    ) -> dict[str, tuple[str, ...]]:
        """The set-up of a block, in quantities; several only where repeats have a meaning."""
        found = {}
        for key in (*known, "temperature"):
            if key in table:
                many = key == "temperature" or known[key].many
                read = self.texts if many else self.one_text
                found[key] = read(table[key], (*path, key))
        return {key: texts for key, texts in found.items() if texts}

    def state(self, table: Mapping[str, Any], part: Part | None, path: KeyPath) -> str:
        """The state of the part measured; one that its part does not list is asked about."""
        said = self.text(table["state"], (*path, "state")) if "state" in table else ""
        state = " ".join(said.split())
        if state and part is not None and part.states and state not in part.states:
            near = nearest(state, part.states)
            meant = f'did you mean "{near}"? Otherwise ' if near else ""
            right = f'{meant}add it to the states of [part."{clean(part.name, 40)}"]'
            wrong = "a state that the part does not list"
            self.add(warning("unknown-state", wrong, read=state, right=right), (*path, "state"))
        return state

    def whose(
        self, table: Mapping[str, Any], step: Step, path: KeyPath, cylinders: int, parts: Mapping[str, Part]
    ) -> tuple[tuple[int, ...], str]:
        """The cylinders a series holds for, and the part measured; neither where an instrument is."""
        if not step.part:
            self.of_no_part(table, step, path)
            return (), ""
        name = self.part_named(table, step, path, parts)
        if name is None:
            return (), ""
        if "cylinder" in table:
            return self.by_cylinder(table, step, path, cylinders, parts, name)
        return self.by_part(table, path, parts, name)

    def part_named(self, table: Mapping[str, Any], step: Step, path: KeyPath, parts: Mapping[str, Part]) -> str | None:
        """The part that a series names, "" where it names none; None and a finding where it cannot be that one."""
        name = self.text(table["part"], (*path, "part")) if "part" in table else ""
        if name and name not in parts:
            right = suggested(name, parts, "name it in a [part] section")
            self.add(error("unknown-part", "no such part", read=name, right=right), (*path, "part"))
            return None
        if name and not _measures(step, parts[name].kind):
            wrong = f"the step {step.key} measures a part of the kind {step.part}, not {parts[name].kind}"
            self.add(error("wrong-part", wrong, read=name), (*path, "part"))
            return None
        return name

    def by_cylinder(
        self, table: Mapping[str, Any], step: Step, path: KeyPath, cylinders: int, parts: Mapping[str, Part], name: str
    ) -> tuple[tuple[int, ...], str]:
        """The cylinder that a series names, and its part: the one named, or the only one that serves it."""
        number = self.count(table["cylinder"], (*path, "cylinder"), 1, cylinders, "cylinder")
        if number is None:
            return (), name
        own = [p.name for p in parts.values() if p.kind == step.part and number in p.cylinders]
        if len(own) > 1 and not name:
            wrong = f"cylinder {number} has several parts of the kind {step.part}, and it is not said which"
            right = "say part = " + " or ".join(f'"{clean(n, 40)}"' for n in own)
            self.add(error("missing-value", wrong, right=right), path)
            return (), ""
        return self.agreed(number, table, parts.get(name), path), name or next(iter(own), "")

    def by_part(
        self, table: Mapping[str, Any], path: KeyPath, parts: Mapping[str, Part], name: str
    ) -> tuple[tuple[int, ...], str]:
        """The cylinders of the part that a series names, or the one at a position in it."""
        if not name:
            if "part" not in table:
                wrong = "a position needs its part" if "position" in table else "neither cylinder nor part is said"
                self.add(error("missing-value", wrong, right='cylinder = 1, or part = "…" and position = 1'), path)
            return (), ""
        serves = parts[name].cylinders
        if "position" not in table:
            return serves, name
        position = self.count(table["position"], (*path, "position"), 1, max(1, len(serves)), "position")
        return (serves[position - 1 : position], name) if position else ((), name)

    def of_no_part(self, table: Mapping[str, Any], step: Step, path: KeyPath) -> None:
        """Findings where an instrument's own series speaks of a part of the engine."""
        for key in ("cylinder", "part", "position", "state"):
            if key in table:
                wrong = f"the step {step.key} belongs to an instrument, not to a part of the engine"
                self.add(
                    error("contradiction", wrong, read=as_written(table[key]), right=f"leave out {key}"), (*path, key)
                )

    def agreed(self, number: int, table: Mapping[str, Any], part: Part | None, path: KeyPath) -> tuple[int, ...]:
        """The cylinder said, where the part and the position say the same."""
        if part is not None and number not in part.cylinders:
            wrong = f'"{clean(part.name, 40)}" does not serve this cylinder'
            right = "it serves " + ", ".join(map(str, part.cylinders))
            self.add(error("contradiction", wrong, read=str(number), right=right), (*path, "cylinder"))
            return ()
        if "position" in table:
            wrong = "a cylinder and a position are both given"
            right = "give one of them: a position counts along its part"
            self.add(
                error("contradiction", wrong, read=as_written(table["position"]), right=right), (*path, "position")
            )
            return ()
        return (number,)

    def rows(self, table: Mapping[str, Any], step: Step, path: KeyPath) -> tuple[Row, ...]:
        """The readings of a block."""
        listed = table.get("readings", [])
        if not isinstance(listed, list):
            right = "readings = [ { … }, { … } ]"
            self.add(
                error("not-a-list", "readings are a list", read=as_written(listed), right=right), (*path, "readings")
            )
            return ()
        if not listed:
            self.add(warning("no-readings", "a series without readings"), path)
        found = [self.row(value, step, (*path, "readings", i)) for i, value in enumerate(listed)]
        return tuple(row for row in found if row is not None)

    def row(self, value: Any, step: Step, path: KeyPath) -> Row | None:
        """One reading."""
        if not isinstance(value, dict):
            bare = [method for method in step.methods if len(method.fields) == 1]
            if len(bare) != 1 or isinstance(value, list):
                wrong, right = "a reading names its fields", _row_example(step)
                self.add(error("not-a-table", wrong, read=as_written(value), right=right), path)
                return None
            value = {bare[0].fields[0].name: value}
        fields = step.fields
        known = len(self.findings)
        self.unknown(value, (*fields, *words.ROW_KEYS), path)
        texts = {}
        for key in fields:
            if key in value:
                read = self.texts if fields[key].many else self.one_text
                texts[key] = read(value[key], (*path, key))
        lacks = no_reason(value["set_aside"]) if "set_aside" in value else None
        if lacks is not None:
            self.add(lacks, (*path, "set_aside"))
        said = [key for key in words.ROW_KEYS if key in value and not (key == "set_aside" and lacks)]
        extra = self.some(value, said, path)
        if len(self.findings) == known:
            self.complete(value, texts, step, path)
        if len(self.findings) > known:
            return None
        return Row(fields=texts, **self.here(path), **extra)

    def complete(
        self, value: Mapping[str, Any], texts: Mapping[str, tuple[str, ...]], step: Step, path: KeyPath
    ) -> None:
        """A finding where a reading lacks a field, or has an end without its start."""
        if step.method_of(frozenset(texts)) is None:
            wrong, read = _incomplete(frozenset(texts), step), as_written(dict(value))
            self.add(error("incomplete-reading", wrong, read=read, right=_row_example(step)), path)
            return
        for name, listed in texts.items():
            other = step.fields[name].goes_with
            if other and len(listed) != len(texts.get(other, ())):
                wrong = f"{len(texts.get(other, ()))} of {other} and {len(listed)} of {name}: each needs its own"
                right = 'start = ["0 ml", "0 ml"], end = ["50 ml", "12.4 ml"]' if name == "end" else "as many of both"
                self.add(error("uneven-lists", wrong, read=as_written(dict(value)), right=right), path)


def _hangs_on(
    reader: Reader, table: Mapping[str, Any], index: int, cylinders: int, parts: Mapping[str, Part]
) -> tuple[object, ...]:
    """All that a block's record hangs on: its table and place, and what stands before all blocks, as the parts do."""
    return table, index, line_of(reader.lines, ("series", index)), reader.lines.head, reader.file


@once_each(_hangs_on)
def _read(
    reader: Reader, table: Mapping[str, Any], index: int, cylinders: int, parts: Mapping[str, Part]
) -> tuple[Series | None, list[Finding]]:
    """A block, and every fault of form in it."""
    own = SeriesReader(reader.file, reader.lines)
    return own.one_series(table, ("series", index), cylinders, parts), own.findings


def _measures(step: Step, kind: str) -> bool:
    """Whether a step can be made on a kind of part; the lengths of the bottom end are on several."""
    if step.part == "block":
        return kind not in ("head", "gasket")
    return kind in (step.part, "")


def _incomplete(names: frozenset[str], step: Step) -> str:
    """What a row lacks for the method that it is nearest to."""
    if not names:
        return "a reading without values"
    method = max(step.methods, key=lambda m: len(names & m.names))
    strangers = [name for name in names if name not in method.names]
    if strangers:
        return f"{', '.join(sorted(names))} do not go together"
    lack = [f.name for f in method.fields if not f.optional and f.name not in names]
    return f"{' and '.join(lack)} not given"


def _row_example(step: Step) -> str:
    forms = " or ".join(
        "{ " + ", ".join(f'{f.name} = "…"' for f in m.fields if not f.optional) + " }" for m in step.methods
    )
    return f"write {forms}"
