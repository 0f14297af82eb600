"""The readings on a page: what each row came to, the mean with its ±, how it was read; only what is in the results."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.analysis.results import Survey
from ccassist.bench.cell import Cell, Reduced
from ccassist.report.blocks import Block, Heading, Table, Text
from ccassist.values.display import Formatter, places
from ccassist.values.findings import clean, runs
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import term

LONGEST = 60  # characters of a name


def readings_in_short(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """A table for each sort of series; nothing where every value is stated."""
    groups: dict[object, list[Reduced]] = {}
    for one in survey.reduced:
        if one.values and any(c.uses(one) for c in survey.cylinders):
            groups.setdefault((one.cell.same_way.anywhere, one.cell.state, set_ups(one.cell)), []).append(one)
    for members in groups.values():
        yield Heading(titled(members[0].cell), 2)
        yield Text(f"{'; '.join(set_up(members, fmt))}.", small=True)
        yield _table(members, fmt)


def set_ups(cell: Cell) -> tuple[str, ...]:
    """What tells the set-ups of a series apart from those of another."""
    return tuple(repr(sorted(one.choices.items())) + repr(one.settings) for one in cell.set_ups)


def titled(cell: Cell) -> str:
    """The step, the part and its state."""
    names = [clean(name, LONGEST) for name in (cell.part, cell.state) if name]
    return " · ".join([cell.step.title, *names])


def set_up(members: Sequence[Reduced], fmt: Formatter | None) -> list[str]:
    """Method, instrument, fluid, settings, choices and person, in words; settings as written where ``fmt`` is None."""
    cell = members[0].cell
    said = [
        cell.readings[0].method.title,
        cell.instrument,
        cell.fluid,
        *_conditions(members, fmt),
        f"read by {cell.by}" if cell.by else "",
    ]
    return [clean(words, LONGEST * 2) for words in said if words]


def _conditions(members: Sequence[Reduced], fmt: Formatter | None) -> list[str]:
    """Settings and choices in words; where some readings of a series were set up otherwise, which."""
    cell, ways = members[0].cell, []
    known = {field.name: field.words for field in cell.step.settings}
    for part in cell.parts:
        alike = [part] if len(cell.parts) > 1 else [one.cell for one in members]
        said = [
            f"{known.get(name, name)} "
            + ", ".join(dict.fromkeys(_said(q, fmt) for one in alike for q in one.settings.get(name, ())))
            for name in sorted(part.settings)
        ]
        said += [f"{name} {word}" for name, word in sorted(part.choices.items())]
        ways.append(([n for n, row in enumerate(cell.readings, 1) if row in part.readings], said))
    if len(ways) == 1:
        return ways[0][1]
    return [f"{cell.step.noun} {runs(rows)}: {', '.join(said) or 'nothing said'}" for rows, said in ways]


def _said(read: Quantity, fmt: Formatter | None) -> str:
    """A setting as written, or in the units shown where it was written in others."""
    if fmt is None or read.unit == fmt.unit(read.key):
        return read.raw
    return fmt.show(read.key, read.value, words=False)


def _table(members: Sequence[Reduced], fmt: Formatter) -> Table:
    """A row for each series: what was read and, first of what follows from it, the value with its ±."""
    cell = members[0].cell
    read = "fill_volume" if cell.step.fills else cell.readings[0].method.result
    unit = fmt.unit(read)
    rows = []
    for one in members:
        value = next(iter(one.values.values()))
        rows.append((runs(one.cell.cylinders), _read(one, read, fmt), fmt.value(value)))
    result = term(next(iter(members[0].values))).name
    return Table(head=("cyl", f"read{f', {unit}' if unit else ''}", result), rows=tuple(rows), names=(0, 1))


def _read(one: Reduced, key: str, fmt: Formatter) -> str:
    """What each row came to; those set aside in brackets."""
    decimals = places(fmt.unit(key), None) + (1 if fmt.unit(key) in ("mm", "cc") else 0)
    said = []
    for reading, result in zip(one.cell.readings, one.rows, strict=False):
        text = "–" if result is None else fmt.amount(key, result, decimals=decimals)
        said.append(f"({text} set aside)" if reading.set_aside else text)
    return ", ".join(said)
