"""What is put on or taken off a mean fill: asked, never assumed, each a line of its own.

Every correction is an uncertain number [m³] to be added to the fill; one that
nothing was said about is not made.
"""

from __future__ import annotations

from collections.abc import Callable

from ccassist.bench.cell import Cell, Line
from ccassist.bench.fills import hole_volume
from ccassist.bench.kit import Kit
from ccassist.bench.leak import leak_of
from ccassist.bench.materials import MATERIALS
from ccassist.bench.repeats import mean
from ccassist.bench.temperatures import REFERENCE
from ccassist.measured import Cause, Number, doubt, half_width

MIXED_MENISCUS = 0.2e-6  # m³ between the edges of a meniscus in a burette; common practice, no source


def corrections(cell: Cell, kit: Kit, fill: Number) -> list[Line]:
    """Every correction that a cell's series calls for, in the order in which they are printed."""
    made: list[Line] = []
    for words, key, find in _CORRECTIONS:
        number = find(cell, kit, fill)
        if number is not None:
            made.append(Line(words=words, key=key, number=number))
    return made


def _hole(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid standing in the plate's hole is no part of the space."""
    hole = hole_volume(cell, kit)
    return None if hole is None else -1 * hole


def _film(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """A grease film lifts the plate: film thickness × opening.  Source: prism; common practice."""
    if not {"film", "opening"} <= set(cell.settings):
        return None
    thick, area = cell.settings["film"][0], cell.settings["opening"][0]
    lifted = kit.stated(thick, ("film", thick.raw), "grease film, thickness")
    return -1 * lifted * kit.stated(area, ("opening", cell.where, area.raw), f"{cell.where}: opening")


def _plug(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Without the plug the fluid also fills its hole."""
    if cell.choices.get("plug") != "not fitted" or "plug_hole" not in cell.settings:
        return None
    size = cell.settings["plug_hole"][0]
    return -1 * kit.stated(size, ("plug hole", size.raw), "plug hole, less the plug's nose")


def _residue(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid left in the space from the fill before; the first fill was dry."""
    count = len(cell.counted)
    if "residue" not in cell.settings or count < 2:
        return None
    left = cell.settings["residue"][0]
    return kit.stated(left, ("residue", left.raw), "fluid left from the fill before") * ((count - 1) / count)


def _meniscus(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Read at mixed edges, the meniscus itself is in doubt; read at the same edge it cancels."""
    if cell.choices.get("meniscus") != "mixed edges":
        return None
    cause = Cause(
        name=f"{cell.where}: meniscus read at mixed edges",
        key="fill_volume",
        shape="rectangular",
        source="common practice, no source",
        remedy="read the bottom of the meniscus both times",
    )
    return half_width(MIXED_MENISCUS, cause)


def _instrument_expansion(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """A scale that is right at 20 °C delivers more when it is warmer: γ (t − 20 °C).  Source: ISO 4787:2021 eq. (1)."""
    tool = kit.instruments.get(cell.instrument)
    if tool is None or not tool.fills or tool.expansion == 0 or "temperature" not in cell.settings:
        return None
    warmth = kit.temperature(cell.settings)
    cause = Cause(name=f"{cell.instrument}: expansion of its material", key="fill_volume", source=tool.source)
    own = kit.shared(("expansion", cell.instrument), lambda: doubt(1.0, cause))
    return fill * ((tool.expansion + tool.expansion_doubt * own) * (warmth - REFERENCE))


def _part_expansion(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """The space itself, brought to 20 °C: −γ (t − 20 °C).  Source: ISO 1:2022 for the temperature."""
    metal = MATERIALS.get(cell.choices.get("material", ""))
    if metal is None or "temperature" not in cell.settings:
        return None
    warmth = kit.temperature(cell.settings)
    cause = Cause(name=f"expansion of {metal.name}", key="fill_volume", source=metal.source)
    own = kit.shared(("material", metal.name), lambda: doubt(1.0, cause))
    return -1 * fill * ((metal.expansion + metal.doubt * own) * (warmth - REFERENCE))


def _leak(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Doubt of what leaked during the fills; the leak itself is already off each row."""
    lost = [leak.lost / 2 for row in cell.counted if (leak := leak_of(row)) is not None]
    if not lost or max(lost) == 0:
        return None
    cause = Cause(
        name=f"{cell.where}: leak during the fill",
        key="fill_volume",
        shape="rectangular",
        source="timed readings",
        remedy="seal it and refill",
    )
    return half_width(mean(lost) * len(lost) / len(cell.counted), cause)


Correction = Callable[[Cell, Kit, Number], "Number | None"]
_CORRECTIONS: tuple[tuple[str, str, Correction], ...] = (
    ("less the fluid in the plate's hole", "hole_volume", _hole),
    ("less what the grease film lifts the plate by", "film_volume", _film),
    ("less the plug hole, no plug being fitted", "plug_hole_volume", _plug),
    ("plus the fluid left from the fill before", "residue", _residue),
    ("meniscus read at mixed edges", "correction", _meniscus),
    ("expansion of the burette from 20 °C", "correction", _instrument_expansion),
    ("the part brought to 20 °C", "correction", _part_expansion),
    ("leak during the fill, half of it already off", "correction", _leak),
)
