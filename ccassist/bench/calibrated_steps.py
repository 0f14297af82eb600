"""The steps of a calibration: what the scale said, and the true volume by weighing or by known size."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.corrections import instrument_growth, material_growth
from ccassist.bench.fills import volume_per_mass
from ccassist.bench.kit import Kit
from ccassist.bench.straight_line import Calibrated, says
from ccassist.engine.relations import bore_area
from ccassist.values.measured import Number, nominal


def steps_of(cell: Cell, kit: Kit) -> Iterator[Calibrated]:
    """The counted steps of one cell."""
    warmth = kit.temperature(cell.settings)
    grown = instrument_growth(cell.instrument, kit, warmth)
    for row in cell.counted:
        if row.method.key == "size":
            true = _by_size(row, cell, kit) * (1 + material_growth(cell, kit, warmth))
        elif cell.fluid in kit.fluids:
            true = _mass(row, cell, kit) * volume_per_mass(cell, kit)
        else:
            continue  # an unknown fluid has its own finding
        yield Calibrated(reading=row, says=abs(says(row)), true=true * (1 - grown), rises=says(row) > 0)


def _mass(row: Reading, cell: Cell, kit: Kit) -> Number:
    """Mass delivered, kg, whichever of cup and dispenser was weighed.

    A net weight, within the permissible error of the scale whatever stands on
    the pan besides (OIML R 76-1:2006, 3.5.3.3, from memory): charged once, and
    the same one for every step, but for how uneven the scale is.
    """
    mass = abs(row.one("after") - row.one("before"))
    use = f"while {cell.instrument} was calibrated"
    return mass + kit.scale_error(cell.choices.get("scale", ""), "fill_volume", [mass], use, read="dispenser_mass")


def _by_size(row: Reading, cell: Cell, kit: Kit) -> Number:
    """Volume of a rod or bore at 20 °C: area × length.  Source: cylinder."""
    scale = cell.choices.get("scale", "")
    diameter, length = row.fields["diameter"][0], row.fields["length"][0]
    wide = kit.setting(diameter, ("gauge", "diameter", diameter.raw), "rod or bore, diameter", scale)
    long = kit.setting(length, ("gauge", "length", length.raw), "rod or bore, length", scale)
    return bore_area(wide) * long


def least_scatter(cells: Iterable[Cell], kit: Kit) -> float:
    """Scatter that reading the scale in its steps gives by itself, m³: two roundings a weighing.

    Steps that happen to lie on a line to the last digit show no less than that.
    Source: JCGM 100:2008, F.2.2.1.
    """
    least = 0.0
    for cell in cells:
        digits = [q.step for row in cell.counted for name in ("before", "after") for q in row.fields.get(name, ())]
        if digits and cell.fluid in kit.fluids:
            least = max(least, min(digits) * math.sqrt(2 / 12) * nominal(volume_per_mass(cell, kit)))
    return least
