"""What each reading finds by itself: its volume, its length or its area."""

from __future__ import annotations

from ccassist.bench.cell import Cell
from ccassist.bench.fills import row_volume, volume_per_mass
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import row_length
from ccassist.values.measured import nominal


def row_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """Each row's own result, SI, those set aside too."""
    if not cell.step.fills:
        return tuple(row_length(row) for row in cell.readings)
    factor = nominal(volume_per_mass(cell, kit)) if cell.weighed else 1.0
    return tuple(row_volume(row, factor) for row in cell.readings)


def counted_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """The results of the rows that enter the mean, SI."""
    pairs = zip(cell.readings, row_results(cell, kit), strict=True)
    return tuple(value for row, value in pairs if not row.set_aside)
