"""Lists of readings in the sections, such as lifts against crank angle: from texts to numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ccassist.bench.kit import Kit
from ccassist.bench.requirements import out_of_reach
from ccassist.job.cells import Collector
from ccassist.job.records import Listed, Row
from ccassist.values.measured import Value
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
    at = f"{row.place}.{name}"
    number = kit.listed(replace(quantity, origin=Origin.MEASURED), at, f"{term(quantity.key).name} ({at})", tool)
    return Value(
        key=quantity.key, number=number, origin=Origin.MEASURED, how="read", line=row.line, raw=(quantity.raw,)
    )
