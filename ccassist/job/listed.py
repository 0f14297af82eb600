"""Lists of readings in the sections, such as lifts against crank angle: from texts to numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.bench.requirements import out_of_reach
from ccassist.job.cells import Collector
from ccassist.job.records import Listed, Row
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin


def listed_values(
    listed: Listed, fields: Mapping[str, str], kit: Kit, collector: Collector
) -> tuple[Mapping[str, Value], ...]:
    """Every reading that can be understood: its values by field.

    The instrument is what the last of the fields was read with; all count as measured.
    """
    last = list(fields)[-1]
    tools = {name: listed.instrument if name == last else "" for name in fields}
    read = [(row, _quantities(row, fields, tools, kit, collector)) for row in listed.rows]
    sound = [(row, found) for row, found in read if len(found) == len(fields)]
    return tuple({name: _value(row, name, q, tools[name], kit) for name, q in found.items()} for row, found in sound)


def curve_values(cell: Cell, kit: Kit) -> tuple[Mapping[str, Value], ...]:
    """The points of a curve that a bench step read, as those of a list; of several at one place the mean.

    The first field is the place, the last what was read there.
    """
    place, *_, read = (f.name for f in cell.method.fields)
    found: dict[float, list[dict[str, Value]]] = {}
    for row in cell.counted:
        point = {
            name: _point(row.fields[name][0], f"{row.place}.{name}", row.line, kit, cell.instrument * (name == read))
            for name in (place, read)
        }
        found.setdefault(row.one(place), []).append(point)
    return tuple({**points[0], read: _mean(read, points)} for points in found.values())


def _mean(name: str, points: Sequence[Mapping[str, Value]]) -> Value:
    number = sum((point[name].number for point in points), start=cast(Number, 0.0)) / len(points)
    return replace(points[0][name], number=number)


def _quantities(
    row: Row, fields: Mapping[str, str], tools: Mapping[str, str], kit: Kit, collector: Collector
) -> dict[str, Quantity]:
    """The fields of one reading that can be understood."""
    found = {}
    for name, key in fields.items():
        at = f"{row.place}.{name}"
        quantity = collector.quantity(row.fields[name][0], key, row.line, at)
        misread = out_of_reach(tools[name], quantity, kit) if quantity is not None else []
        collector.findings += [f.at(file=collector.job.file, line=row.line, place=at) for f in misread]
        if quantity is not None and not misread:
            found[name] = quantity
    return found


def _value(row: Row, name: str, quantity: Quantity, tool: str, kit: Kit) -> Value:
    return _point(quantity, f"{row.place}.{name}", row.line, kit, tool)


def _point(quantity: Quantity, at: str, line: int | None, kit: Kit, tool: str) -> Value:
    number = kit.listed(replace(quantity, origin=Origin.MEASURED), at, f"{term(quantity.key).name} ({at})", tool)
    return Value(key=quantity.key, number=number, origin=Origin.MEASURED, how="read", line=line, raw=(quantity.raw,))
