"""Fills of fluid: rows -> delivered volumes -> mean with its components of uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from ccassist.bench.cell import Cell, Line, Reading
from ccassist.bench.densities import MATERIALS, REFERENCE, UNREAD_AIR, UNREAD_AIR_HALF_WIDTH, air_density, z_factor
from ccassist.bench.fluids import density_of, expansion_of
from ccassist.bench.kit import UNREAD as UNREAD_TEMPERATURE
from ccassist.bench.kit import Kit, bounded
from ccassist.bench.rows import arithmetic, deliveries, leak_of
from ccassist.bench.steps.crown import SEAT
from ccassist.bench.steps.fills import MIXED
from ccassist.engine.relations import bore_area
from ccassist.values.display import cc
from ccassist.values.findings import Finding, note, warning
from ccassist.values.number import Number, nominal
from ccassist.values.statistics import mean
from ccassist.values.uncertainty import Cause, doubt, half_width
from ccassist.vocabulary.record import once_each

MOST = 0.5e-6  # m³ lost during a fill; beyond it the answer is "seal it and refill" (common practice, no source)
SLIGHT = 0.05e-6  # m³; less than this is not worth a word


def refuse_leaks(cell: Cell) -> tuple[Cell, list[Finding]]:
    """The cell with every fill that leaked too much set aside, and what to say of leaks."""
    findings: list[Finding] = []
    rows: list[Reading] = []
    for row in cell.readings:
        leak = leak_of(row)
        if leak is not None and leak.lost > MOST and not row.set_aside:
            amount = cc(leak.lost, 1)
            wrong = f"it may have lost {amount} during the fill: not counted"
            right = cell.step.leaks or "seal it (seats, plug, plate edge) and refill"
            findings.append(warning("leaks", wrong, right=right, line=row.line))
            row = replace(row, set_aside=f"leak: up to {amount} lost during the fill")
        elif leak is not None and leak.lost > SLIGHT:
            wrong = f"a slow leak: {cc(leak.lost / 2)} taken off, and as much in doubt either way"
            right = cell.step.leaks or "grease the seats and refit the plate"
            findings.append(note("slow-leak", wrong, right=right, line=row.line))
        rows.append(row)
    return replace(cell, readings=tuple(rows)), findings


def volume_per_mass(cell: Cell, kit: Kit) -> Number:
    """Volume of fluid per apparent kilogram [m³/kg], with density, temperature and air in doubt.

    Source: ISO 4787:2021 eq. (1), ISO 8655-6:2022 (Z factor).
    """
    warmth = kit.temperature(cell.settings)
    fluid = kit.fluids[cell.fluid]
    t = nominal(warmth)
    density, standard = density_of(fluid, t)
    cause = Cause(
        f"density of {fluid.name}", "fill_volume", source=fluid.source, remedy="weigh a known volume of it on the day"
    )
    own = kit.shared(("density", cell.fluid), lambda: doubt(1.0, cause))
    rho = density + standard * own - _thinning(cell, kit, t) * (warmth - t)
    factor: Number = z_factor(rho, kit.shared("air", lambda: _air(kit)))
    return factor


def _thinning(cell: Cell, kit: Kit, t: float) -> float:
    """By how much the fluid thins for each kelvin about a temperature [kg/m³/K].

    Where none was read it may be so far off that a tangent no longer serves: then the steeper of the two chords to the
    ends of what it may be (JCGM 100:2008, 5.1.2, note: a significant curve is not left out).
    """
    fluid = kit.fluids[cell.fluid]
    density = density_of(fluid, t)[0]
    tangent = density * expansion_of(fluid, t)[0]
    if "temperature" in cell.settings:
        return tangent
    warm, cold = (density_of(fluid, t + way * UNREAD_TEMPERATURE)[0] for way in (1, -1))
    return max(tangent, (density - warm) / UNREAD_TEMPERATURE, (cold - density) / UNREAD_TEMPERATURE)


def _air(kit: Kit) -> Number:
    """Density of the air at the bench [kg/m³]: from the pressure read, or a wide guess."""
    cause = bounded(
        "air density",
        "fill_volume",
        "read the air pressure",
        source="simplified CIPM equation, ISO 8655-6:2022; humidity and temperature assumed",
    )
    if kit.air_pressure is None:
        return UNREAD_AIR + half_width(UNREAD_AIR_HALF_WIDTH, cause)
    read: Number = air_density(pressure=kit.air_pressure)
    return read + half_width(UNREAD_AIR_HALF_WIDTH / 3, cause)


def per_mass(cell: Cell, kit: Kit) -> float:
    """Volume of an apparent kilogram where fills were weighed [m³/kg], plain; 1 where they were not."""
    return nominal(volume_per_mass(cell, kit)) if cell.weighed else 1.0


def row_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """Each row's own result [m³, m², m], those set aside too."""
    return _row_results(cell, per_mass(cell, kit))


@once_each(lambda cell, each: (cell, each))
def _row_results(cell: Cell, each: float) -> tuple[float, ...]:
    return tuple(arithmetic(cell.method).finds(row, each) for row in cell.readings)


def counted_results(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """The results of the rows that enter the mean, SI."""
    return _counted_results(cell, per_mass(cell, kit))


@once_each(lambda cell, each: (cell, each))
def _counted_results(cell: Cell, each: float) -> tuple[float, ...]:
    pairs = zip(cell.readings, _row_results(cell, each), strict=True)
    return tuple(value for row, value in pairs if not row.set_aside)


def summed_rounding(cell: Cell, kit: Kit, key: str) -> tuple[Number, int]:
    """Rounding of the sum of the readings of a cell's mean row, as its instrument has it; and how many they are."""
    points = arithmetic(cell.method).rounded(cell.counted, kit.step_of(cell.instrument, cell.written_step))
    return kit.rounding(cell.instrument, key, cell.where, cell.written_step, points), len(points)


def mean_fill(cell: Cell, kit: Kit, key: str) -> tuple[Number, list[Line]]:
    """Mean volume delivered [m³], with scatter, scale error and rounding; and the lines that say so."""
    volumes = counted_results(cell, kit)
    number, rounding = _mean_by_mass(cell, kit, key) if cell.weighed else _mean_by_volume(cell, kit, key, volumes)
    number = number + kit.mean_scatter(cell, key, f"{cell.step.title.lower()} with {cell.tool}", rounding)
    return number, [Line(f"mean of {len(volumes)} fills" if len(volumes) > 1 else "one fill", key, number)]


def _mean_by_volume(cell: Cell, kit: Kit, key: str, volumes: Sequence[float]) -> tuple[Number, Number]:
    """The mean delivery, and its rounding."""
    rows = [deliveries(row) for row in cell.counted]
    legs = max(rows, key=len)
    typical = [mean(leg) for leg in zip(*rows, strict=True)] if len({len(r) for r in rows}) == 1 else legs
    calibrated = kit.calibration_of(cell) is not None  # then its doubts come with the correction
    scale = 0.0 if calibrated else kit.scale_error(cell.instrument, "fill_volume", typical)
    return mean(volumes) + scale, summed_rounding(cell, kit, key)[0]


def _mean_by_mass(cell: Cell, kit: Kit, key: str) -> tuple[Number, Number]:
    """The mean volume by weighing, and its rounding.

    What leaves the bottle is a net weight: the permissible error of a scale holds for it whatever stands on the pan
    besides (OIML R 76-1:2006, 3.5.3.3, from memory: the limits apply to net values for every possible tare load). So it
    is stated between any two loads, and charged once a delivery.  The rounding of the two readings is not in it
    (3.5.3.2).
    """
    before = mean([row.one("before") for row in cell.counted])
    after = mean([row.one("after") for row in cell.counted])
    mass: Number = (
        before - after + kit.scale_error(cell.instrument, "fill_volume", [before - after], read="dispenser_mass")
    )
    factor = volume_per_mass(cell, kit)
    return mass * factor, nominal(factor) * summed_rounding(cell, kit, key)[0]


def hole_volume(cell: Cell, kit: Kit) -> Number | None:
    """Volume of the plate's hole where it was filled, else None; one number for one plate.

    Source: cylinder; trade example C3.
    """
    if cell.choices.get("hole") != "filled":
        return None
    diameter = cell.settings["hole_diameter"][0]
    height = cell.settings["plate_thickness"][0]
    wide = kit.setting(diameter, ("plate", "hole_diameter", diameter.raw), "plate hole, diameter")
    tall = kit.setting(height, ("plate", "plate_thickness", height.raw), "plate hole, thickness")
    return bore_area(wide) * tall


MIXED_MENISCUS = 0.2e-6  # m³ between the edges of a meniscus in a burette; common practice, no source


def corrections(cell: Cell, kit: Kit, fill: Number) -> list[Line]:
    """What is put on or taken off a mean fill [m³]: asked, never assumed, each a line of its own, in printed order.

    Fills that were not set up alike are each corrected by their own, and the mean of that is taken.
    """
    made, count = list[Line](), len(cell.counted)
    for words, key, find in _CORRECTIONS:
        found = [(len(part.counted), find(part, kit, fill)) for part in cell.parts if part.counted]
        numbers = [times / count * number for times, number in found if number is not None]
        of = sum(times for times, number in found if number is not None)
        if numbers:
            some = "" if of == count else f" ({of} of {count} fills)"
            number = sum(numbers[1:], start=numbers[0])
            made.append(Line(words.format(cell.instrument) + some, key, number))
    return made


def _calibrated(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """What the calibration of the scale puts on or takes off; the mean of fills made of different deliveries."""
    made = kit.calibration_of(cell)
    if made is None:
        return None
    fills = [deliveries(row) for row in cell.counted]
    said, count = math.fsum(map(math.fsum, fills)) / len(fills), sum(map(len, fills)) / len(fills)
    return made.true(said, count) - said


def _less(volume: Number | None) -> Number | None:
    return None if volume is None else -1 * volume


def _hole(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid standing in the plate's hole is no part of the space."""
    return _less(hole_volume(cell, kit))


def _film(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """A grease film lifts the plate: film thickness × opening.  Source: prism; common practice."""
    if not {"film", "opening"} <= set(cell.settings):
        return None
    thick, area = cell.settings["film"][0], cell.settings["opening"][0]
    lifted = kit.setting(thick, ("film", thick.raw), "grease film, thickness")
    return -1 * lifted * kit.setting(area, ("opening", cell.where, area.raw), f"{cell.where}: opening")


def _set_down(cell: Cell, kit: Kit, name: str, words: str) -> Number | None:
    """A volume that stands among the settings, m³; None where it is not given."""
    if name not in cell.settings:
        return None
    size = cell.settings[name][0]
    return kit.setting(size, (name, size.raw), words)


def _plug(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Without the plug the fluid also fills its hole."""
    bare = cell.choices.get("plug") == "not fitted"
    return _less(_set_down(cell, kit, "plug_hole", "plug hole, less the plug's nose") if bare else None)


def _well(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Filled to the plug's seat, the well is taken off [m³]; to the bottom thread, nothing is."""
    full = cell.choices.get("level") == SEAT
    return _less(_set_down(cell, kit, "plug_well", "plug well") if full else None)


def _nose(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """The nose of the plug that will be fitted: one term [m³], its sign as said."""
    return _set_down(cell, kit, "plug_nose", "plug nose")


def _residue(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Fluid left in the space from the fill before; the first fill was dry, whether it counts or not."""
    wet = sum(row.place != cell.dry if cell.dry else row is not cell.readings[0] for row in cell.counted)
    left = _set_down(cell, kit, "residue", "fluid left from the fill before") if wet else None
    return None if left is None else left * (wet / len(cell.counted))


def _meniscus(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Read at different edges, the meniscus itself is in doubt; read at the same edge it cancels."""
    if cell.choices.get("meniscus") != MIXED:
        return None
    cause = bounded(
        f"{cell.where}: meniscus read at different edges", "fill_volume", "read the bottom of the meniscus both times"
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
    cause = Cause(f"{name}: expansion of its material", "fill_volume", source=tool.source)
    own = kit.shared(("expansion", name), lambda: doubt(1.0, cause))
    return (tool.expansion + tool.expansion_uncertainty * own) * (warmth - REFERENCE)


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
    cause = Cause(f"expansion of {metal.name}", "fill_volume", source=metal.source)
    own = kit.shared(("material", metal.name), lambda: doubt(1.0, cause))
    return (metal.expansion + metal.uncertainty * own) * (warmth - REFERENCE)


def _leak(cell: Cell, kit: Kit, fill: Number) -> Number | None:
    """Doubt of what leaked during the fills; the leak itself is already off each row."""
    lost = [leak.lost / 2 for row in cell.counted if (leak := leak_of(row)) is not None]
    if not lost or max(lost) == 0:
        return None
    cause = bounded(f"{cell.where}: leak during the fill", "fill_volume", "seal it and refill", source="timed readings")
    return half_width(mean(lost) * len(lost) / len(cell.counted), cause)


Correction = Callable[[Cell, Kit, Number], "Number | None"]
_CORRECTIONS: tuple[tuple[str, str, Correction], ...] = (
    ("corrected by the calibration of {}", "correction", _calibrated),
    ("less the fluid in the plate's hole", "hole_volume", _hole),
    ("less what the grease film lifts the plate by", "film_volume", _film),
    ("less the plug hole, no plug being fitted", "plug_hole_volume", _plug),
    ("less the plug's well, filled to the seat", "plug_well_volume", _well),
    ("the nose of the plug", "plug_nose_volume", _nose),
    ("plus the fluid left from the fill before", "residue", _residue),
    ("meniscus read at different edges", "correction", _meniscus),
    ("expansion of the burette from 20 °C", "correction", _instrument_expansion),
    ("the part brought to 20 °C", "correction", _part_expansion),
    ("leak during the fill, half of it already off", "correction", _leak),
)
