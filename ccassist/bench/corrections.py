"""What is put on or taken off a mean fill: asked, never assumed, each a line of its own.

Every correction is an uncertain number [m³] to be added to the fill; one that
nothing was said about is not made.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from ccassist.bench.cell import Cell, Line
from ccassist.bench.fills import deliveries, hole_volume
from ccassist.bench.kit import Kit
from ccassist.bench.leak import leak_of
from ccassist.bench.materials import MATERIALS
from ccassist.bench.repeats import mean
from ccassist.bench.steps.assembly import SEAT
from ccassist.bench.temperatures import REFERENCE
from ccassist.values.measured import Cause, Number, doubt, half_width

MIXED_MENISCUS = 0.2e-6  # m³ between the edges of a meniscus in a burette; common practice, no source


def corrections(cell: Cell, kit: Kit, fill: Number) -> list[Line]:
    """Every correction that a cell's series calls for, in the order in which they are printed."""
    made: list[Line] = []
    for words, key, find in _CORRECTIONS:
        number = find(cell, kit, fill)
        if number is not None:
            made.append(Line(words=words.format(cell.instrument), key=key, number=number))
    return made


def _calibrated(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """What the calibration of the scale puts on or takes off; the mean of fills made of different deliveries."""
    made = kit.calibration_of(cell)
    if made is None:
        return None
    fills = [deliveries(row) for row in cell.counted]
    said, count = math.fsum(map(math.fsum, fills)) / len(fills), sum(map(len, fills)) / len(fills)
    return made.true(said, count) - said


def _hole(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid standing in the plate's hole is no part of the space."""
    hole = hole_volume(cell, kit)
    return None if hole is None else -1 * hole


def _film(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """A grease film lifts the plate: film thickness × opening.  Source: prism; common practice."""
    if not {"film", "opening"} <= set(cell.settings):
        return None
    thick, area = cell.settings["film"][0], cell.settings["opening"][0]
    lifted = kit.setting(thick, ("film", thick.raw), "grease film, thickness")
    return -1 * lifted * kit.setting(area, ("opening", cell.where, area.raw), f"{cell.where}: opening")


def _plug(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Without the plug the fluid also fills its hole."""
    if cell.choices.get("plug") != "not fitted" or "plug_hole" not in cell.settings:
        return None
    size = cell.settings["plug_hole"][0]
    return -1 * kit.setting(size, ("plug hole", size.raw), "plug hole, less the plug's nose")


def _residue(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid left in the space from the fill before; the first fill was dry, whether it counts or not."""
    wet = sum(row is not cell.readings[0] for row in cell.counted)
    if "residue" not in cell.settings or not wet:
        return None
    left = cell.settings["residue"][0]
    return kit.setting(left, ("residue", left.raw), "fluid left from the fill before") * (wet / len(cell.counted))


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
    return fill * instrument_growth(cell.instrument, kit, kit.temperature(cell.settings))


def instrument_growth(name: str, kit: Kit, warmth: Number) -> Number:
    """Share by which an instrument holds more at a temperature [K] than at 20 °C; its own material in doubt, once."""
    tool = kit.instruments.get(name)
    if tool is None or tool.expansion == 0:
        return 0.0
    cause = Cause(name=f"{name}: expansion of its material", key="fill_volume", source=tool.source)
    own = kit.shared(("expansion", name), lambda: doubt(1.0, cause))
    return (tool.expansion + tool.expansion_doubt * own) * (warmth - REFERENCE)


def _part_expansion(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """The space itself, brought to 20 °C: −γ (t − 20 °C).  Source: ISO 1:2022 for the temperature."""
    if cell.choices.get("material", "") not in MATERIALS or "temperature" not in cell.settings:
        return None
    return -1 * fill * material_growth(cell, kit, kit.temperature(cell.settings))


def material_growth(cell: Cell, kit: Kit, warmth: Number) -> Number:
    """Share by which the metal part measured is larger at a temperature [K] than at 20 °C; nought if it is not said."""
    metal = MATERIALS.get(cell.choices.get("material", ""))
    if metal is None:
        return 0.0
    cause = Cause(name=f"expansion of {metal.name}", key="fill_volume", source=metal.source)
    own = kit.shared(("material", metal.name), lambda: doubt(1.0, cause))
    return (metal.expansion + metal.doubt * own) * (warmth - REFERENCE)


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


def well(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Filled to the plug's seat, the well is taken off [m³]; to the bottom thread, nothing is."""
    if cell.choices.get("level") != SEAT or "plug_well" not in cell.settings:
        return None
    size = cell.settings["plug_well"][0]
    return -1 * kit.setting(size, ("plug well", size.raw), "plug well")


def nose(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """The nose of the plug that will be fitted: one term [m³], its sign as said."""
    if "plug_nose" not in cell.settings:
        return None
    size = cell.settings["plug_nose"][0]
    return kit.setting(size, ("plug nose", size.raw), "plug nose")


Correction = Callable[[Cell, Kit, Number], "Number | None"]
_CORRECTIONS: tuple[tuple[str, str, Correction], ...] = (
    ("corrected by the calibration of {}", "correction", _calibrated),
    ("less the fluid in the plate's hole", "hole_volume", _hole),
    ("less what the grease film lifts the plate by", "film_volume", _film),
    ("less the plug hole, no plug being fitted", "plug_hole_volume", _plug),
    ("less the plug's well, filled to the seat", "plug_well_volume", well),
    ("the nose of the plug", "plug_nose_volume", nose),
    ("plus the fluid left from the fill before", "residue", _residue),
    ("meniscus read at mixed edges", "correction", _meniscus),
    ("expansion of the burette from 20 °C", "correction", _instrument_expansion),
    ("the part brought to 20 °C", "correction", _part_expansion),
    ("leak during the fill, half of it already off", "correction", _leak),
)
