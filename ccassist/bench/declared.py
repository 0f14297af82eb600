"""The repeatability that is known before anything is read, as it shows in what one row finds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ccassist.bench.areas import finds_area, slope
from ccassist.bench.cell import Cell
from ccassist.bench.fills import deliveries, volume_per_mass
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import Declared, mean, pooled
from ccassist.bench.rows import counted_results
from ccassist.values.measured import SHAPES, nominal
from ccassist.values.statement import MEASURED
from ccassist.vocabulary import term
from ccassist.vocabulary.silent import silent_width

# Read at different places of a part: they scatter as it is out of round, tapered or uneven, not as the tool alone.
PLACES = frozenset(
    {"bore", "land_diameter", "block_deck_height", "gasket_bore", "gasket_long", "gasket_short", "gasket_thickness"}
)


def declared_of(tool: Instrument | None, step: float, times: float = 1.0) -> Declared | None:
    """What an instrument says of one reading of it, or of what so many times one reading is; ``step`` [SI] of it."""
    if tool is None or tool.repeatability is None:
        return None
    return Declared(standard=tool.repeatability * times, words=f"the declared repeatability of {tool.key}", step=step)


def usual_hand(key: str, values: Sequence[float], step: float) -> Declared:
    """What is usual of one reading of a term where no instrument is named: half of what its usual tool is known to.

    The half that is the hand's; the tool's own error is charged besides.  Common practice, no source.
    """
    wanted = term(key)
    half = silent_width(wanted, MEASURED, mean(values)) / SHAPES["normal"] / 2
    words = f"what is usual for the {wanted.name} where no instrument is named"
    return Declared(standard=half, words=words, step=step)


def declared(cell: Cell, kit: Kit, key: str, step: float) -> Declared | None:
    """What is known before of one row of a cell, which finds the term ``key``; None where nothing is.

    A gasket is not equally thick all round: where its points lie farther apart
    than the instrument repeats, the instrument's own figure says nothing of it.
    What was left about the line of a calibrated scale serves as well, if it is
    known no worse than a declared figure.
    """
    if not cell.counted:
        return None
    tool = declared_of(kit.instruments.get(cell.instrument), step, _times(cell, kit))
    if not (cell.instrument or cell.weighed or finds_area(cell)):
        tool = usual_hand("fill_volume" if cell.step.fills else key, counted_results(cell, kit), step)
    if key == "gasket_thickness" and tool is not None:
        own, freedom = pooled([counted_results(cell, kit)])
        tool = None if freedom and own > tool.standard else tool
    made = kit.calibration_of(cell)
    if made is None:
        return tool
    left = made.repeatability(max(len(deliveries(row)) for row in cell.counted))
    return left if tool is None or left.dof >= tool.dof else tool


def _times(cell: Cell, kit: Kit) -> float:
    """What one unit of an instrument's reading is in a row's result."""
    if finds_area(cell):
        return mean([slope(row) for row in cell.counted])
    return nominal(volume_per_mass(cell, kit)) if cell.weighed else 1.0


def joined(all_of_them: Iterable[Declared | None]) -> Declared | None:
    """One figure for the series made one way: the largest; none where one of them has none."""
    found = list(all_of_them)
    known = [one for one in found if one is not None]
    return max(known, key=lambda one: one.standard) if known and len(known) == len(found) else None
