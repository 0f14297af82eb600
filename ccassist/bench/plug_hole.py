"""The plug hole of a whole assembly: what of the fill is not clearance volume, and what must be said of it."""

from __future__ import annotations

from ccassist.bench.cell import Cell
from ccassist.bench.steps.assembly import ASSEMBLY, SEAT, THREAD
from ccassist.values.findings import Finding, error, warning


def unsaid_of_plug_hole(cell: Cell) -> list[Finding]:
    """What the fill of a whole assembly must say: asked, never assumed."""
    if cell.step.key != ASSEMBLY.key:
        return []
    found = []
    if "level" not in cell.choices:
        right = f'level = "{THREAD}" or "{SEAT}"'
        found.append(error("no-level", "it is not said up to where it was filled", right=right))
    if cell.choices.get("level") == SEAT and "plug_well" not in cell.settings:
        wrong = "filled to the plug's seat, but the volume of the plug's well is not given"
        found.append(error("no-well", wrong, right='plug_well = "1.7 cc"', place=f"{cell.place}.level"))
    if cell.choices.get("level") == THREAD and "plug_well" in cell.settings:
        wrong = "filled to the bottom thread: the plug's well is not taken off"
        found.append(warning("well-unused", wrong, place=f"{cell.place}.plug_well"))
    if "plug_nose" not in cell.settings:
        right = 'plug_nose = "adds 0.3 cc", or "none"'
        found.append(warning("nose-not-said", "nothing is said of the plug's nose: taken as nothing", right=right))
    return found
