"""Lengths read by dial, caliper or micrometer: rows -> mean with its causes of doubt.

What reads an opening's area has its arithmetic in :mod:`ccassist.bench.areas`.
"""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.bench.areas import AREAS, row_area
from ccassist.bench.cell import Cell, Line, Reading
from ccassist.bench.fills import Way
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import mean, scatter_of
from ccassist.measured import Number
from ccassist.quantity import Quantity


def row_length(row: Reading) -> float:
    """One row's length, SI: the mean of its readings; or the area that they make.

    Front and rear of the pin axis, or both thrust sides: rocking shows as
    equal and opposite readings and cancels.  Source: common practice, no source.
    """
    if row.method.gives in AREAS:
        return row_area(row)
    return mean([q.value for field in row.fields.values() for q in field])


def row_lengths(cell: Cell) -> list[float]:
    """The lengths of the counted rows, SI."""
    return [row_length(row) for row in cell.counted]


def way_of(cell: Cell) -> Way:
    """What makes two series of lengths "made the same way"."""
    method = cell.readings[0].method.key if cell.readings else ""
    return (cell.step.key, method, cell.instrument, cell.by)


def mean_length(cell: Cell, kit: Kit, key: str) -> tuple[Number, list[Line]]:
    """Mean length with scatter, the instrument's error and rounding."""
    values = row_lengths(cell)
    points = len(cell.counted[0].fields)
    step = min(q.step for q in cell.quantities)
    way = way_of(cell)
    made = f"{cell.where}: repeat scatter, {cell.step.title.lower()} with {cell.tool}"
    rounding = kit.rounding(cell.instrument, key, points, cell.where, step) / points
    scatter = kit.repeat_effect(kit.scatter_of(way), way, len(values), key, made, rounding)
    number = mean(values) + kit.scale_error(cell.instrument, key, [mean(values)]) + scatter
    words = f"mean of {len(values)} readings" if len(values) > 1 else "one reading"
    return number, [Line(words=words, key=key, number=number)]


def mean_of_listed(quantities: Sequence[Quantity], kit: Kit, key: str, where: str, instrument: str) -> Number:
    """Mean of repeats of one length that stand as a list in the file (such as the drop of a piston)."""
    values = [q.value for q in quantities]
    step = min(q.step for q in quantities)
    if len(values) == 1:
        return kit.setting(quantities[0], (where, key), where, instrument)
    way = (where, key, instrument)
    tool = kit.instruments.get(instrument)
    found = kit.scatter.get(way) or scatter_of([values], tool.repeatability if tool else None)
    rounding = kit.rounding(instrument, key, 1, where, step)
    made = f"{where}: repeat scatter with {instrument or 'no instrument named'}"
    scatter = kit.repeat_effect(found, way, len(values), key, made, rounding)
    return mean(values) + kit.scale_error(instrument, key, [mean(values)]) + scatter
