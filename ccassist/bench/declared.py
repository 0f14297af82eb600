"""The repeatability that an instrument declares, as it shows in what one row finds."""

from __future__ import annotations

from ccassist.bench.areas import finds_area, slope
from ccassist.bench.cell import Cell
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import row_lengths
from ccassist.bench.repeats import mean, pooled


def declared(cell: Cell, kit: Kit) -> float | None:
    """Standard deviation of one row that the instrument alone would give, SI; None where it is not declared.

    A gasket is not equally thick all round: where its points lie farther apart
    than the instrument repeats, the instrument's own figure says nothing of it.
    """
    tool = kit.instruments.get(cell.instrument)
    if tool is None or tool.repeatability is None or not cell.counted:
        return None
    if finds_area(cell):
        return tool.repeatability * mean([slope(row) for row in cell.counted])
    if cell.readings[0].method.result == "gasket_thickness":
        own, freedom = pooled([row_lengths(cell)])
        return None if freedom and own > tool.repeatability else tool.repeatability
    return tool.repeatability


def joined(first: float | None, second: float | None) -> float | None:
    """One figure for two series made the same way: the larger; none where one of them has none."""
    return None if first is None or second is None else max(first, second)
