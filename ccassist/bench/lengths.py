"""Lengths read by dial, caliper or micrometer: rows -> mean with its causes of doubt.

What reads an opening's area has its arithmetic in :mod:`ccassist.bench.areas`.
"""

from __future__ import annotations

from dataclasses import dataclass

from ccassist.bench.cell import Cell, Line
from ccassist.bench.fills import per_mass
from ccassist.bench.kit import Kit
from ccassist.bench.rows import arithmetic
from ccassist.bench.step import Way
from ccassist.bench.steps.fills import GAUGE
from ccassist.values.number import Number
from ccassist.values.quantity import Quantity
from ccassist.values.statement import has_doubt
from ccassist.values.statistics import mean

UNSAID_GAUGE = "depth gauge"  # a depth is read by it or, better, by dial indicator (common practice, no source)


def mean_length(cell: Cell, kit: Kit, key: str) -> tuple[Number, list[Line]]:
    """Mean length with scatter, the instrument's error and rounding."""
    values = counted_results(cell, kit)
    points = arithmetic(cell.method).rounded(cell.counted)
    made = f"{cell.where}: repeat scatter, {cell.step.title.lower()} with {cell.tool}"
    rounding = kit.rounding(cell.instrument, key, points, cell.where, cell.written_step) / points
    scatter = kit.repeat_effect(kit.scatter_of(cell.way, cell.name), cell.way, len(values), key, made, rounding)
    number = mean(values) + kit.scale_error(cell.instrument, key, [mean(values)]) + scatter
    words = f"mean of {len(values)} readings" if len(values) > 1 else "one reading"
    return number, [Line(words=words, key=key, number=number)]


@dataclass(frozen=True, kw_only=True)
class Several:
    """Readings of one length that stand as a list in the file, such as the drop of a piston.

    Attributes
    ----------
    quantities : the readings, one at least.
    key, where : the term, and the thing in words.
    instrument : what they were read with, "" where it is not said.
    way, name : what makes others "made the same way"; what tells it from those.
    place, line : in the file.
    """

    quantities: tuple[Quantity, ...]
    key: str
    where: str
    instrument: str
    way: Way
    name: str
    place: str = ""
    line: int | None = None

    @property
    def values(self) -> tuple[float, ...]:
        """The readings, SI."""
        return tuple(q.value for q in self.quantities)

    @property
    def step(self) -> float:
        """The smallest step in which they were written, SI."""
        return min(q.step for q in self.quantities)


def depth_tool(cell: Cell) -> str:
    """What read the depths of a series: where it is not said, the coarser of the usual two."""
    return cell.choices.get(GAUGE.name, UNSAID_GAUGE)


def drop_of(cell: Cell) -> Several | None:
    """The drop of the piston that a crown was filled at; None where none is given."""
    found = cell.settings.get("drop", ())
    if not found:
        return None
    tool = depth_tool(cell)
    return Several(
        quantities=found,
        key="crown_drop",
        where=f"{cell.where}: drop of the piston",
        instrument=tool,
        way=Way(cell.step.key, "drop", tool, by=cell.by),
        name=cell.name,
        place=f"{cell.place}.drop",
        line=cell.line,
    )


def mean_of_several(several: Several, kit: Kit) -> Number:
    """Mean of a list of readings, with scatter, the instrument's error and rounding; of one reading too."""
    key, where, tool = several.key, several.where, several.instrument
    first, values = several.quantities[0], several.values
    if len(values) == 1 and (has_doubt(first) or tool not in kit.instruments):
        return kit.setting(first, (where, key), where, tool)
    found = kit.scatter_of(several.way, several.name)
    rounding = kit.rounding(tool, key, 1, where, several.step)
    made = f"{where}: repeat scatter with {tool or 'no instrument named'}"
    scatter = kit.repeat_effect(found, several.way, len(values), key, made, rounding)
    return mean(values) + kit.scale_error(tool, key, [mean(values)]) + scatter


def row_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """Each row's own result [m³, m², m], those set aside too."""
    each = per_mass(cell, kit)
    return tuple(arithmetic(cell.method).finds(row, each) for row in cell.readings)


def counted_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """The results of the rows that enter the mean, SI."""
    pairs = zip(cell.readings, row_results(cell, kit), strict=True)
    return tuple(value for row, value in pairs if not row.set_aside)
