"""Fills of fluid: rows -> delivered volumes -> mean with its causes of doubt."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.air_density_cipm_simplified import UNREAD, UNREAD_HALF_WIDTH, air_density
from ccassist.bench.cell import Cell, Line, Reading
from ccassist.bench.fluids import density_of, expansion_of
from ccassist.bench.kit import UNREAD as UNREAD_TEMPERATURE
from ccassist.bench.kit import Kit
from ccassist.bench.leak import taken_off
from ccassist.bench.repeats import mean
from ccassist.bench.weighing import z_factor
from ccassist.engine.relations import bore_area
from ccassist.values.measured import Cause, Number, doubt, half_width, nominal


def deliveries(row: Reading) -> list[float]:
    """The separate deliveries of a burette or syringe row, SI, all positive.

    Stages of a burette that is read on the way and not refilled are one delivery.
    """
    if row.method.key == "burette":
        starts, ends = ([q.value for q in row.fields[name]] for name in ("start", "end"))
        if "depth" in row.fields:
            cut = [i for i in range(1, len(starts)) if starts[i] != ends[i - 1]]
            starts, ends = [starts[i] for i in (0, *cut)], [ends[i - 1] for i in (*cut, len(ends))]
        return [abs(end - start) for start, end in zip(starts, ends, strict=True)]
    full = round(row.one("full"))
    rest = [row.one("rest")] if "rest" in row.fields and row.one("rest") > 0 else []
    return [row.one("each")] * full + rest


def apparent_mass(row: Reading) -> float:
    """Mass that left the dispenser as the scale says, kg."""
    return row.one("before") - row.one("after")


def volume_per_mass(cell: Cell, kit: Kit) -> Number:
    """Volume of fluid per apparent kilogram [m³/kg], with density, temperature and air in doubt.

    Source: ISO 4787:2021 eq. (1), ISO 8655-6:2022 (Z factor).
    """
    warmth = kit.temperature(cell.settings)
    fluid = kit.fluids[cell.fluid]
    t = nominal(warmth)
    density, standard = density_of(fluid, t)
    cause = Cause(
        name=f"density of {fluid.name}",
        key="fill_volume",
        source=fluid.source,
        remedy="weigh a known volume of it on the day",
    )
    own = kit.shared(("density", cell.fluid), lambda: doubt(1.0, cause))
    rho = density + standard * own - _thinning(cell, kit, t) * (warmth - t)
    return z_factor(rho, kit.shared("air", lambda: _air(kit)))


def _thinning(cell: Cell, kit: Kit, t: float) -> float:
    """By how much the fluid thins for each kelvin about a temperature [kg/m³/K].

    Where none was read it may be so far off that a tangent no longer serves:
    then the steeper of the two chords to the ends of what it may be (JCGM
    100:2008, 5.1.2, note: a significant curve is not left out).
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
    cause = Cause(
        name="air density",
        key="fill_volume",
        shape="rectangular",
        remedy="read the air pressure",
        source="simplified CIPM equation, ISO 8655-6:2022; humidity and temperature assumed",
    )
    if kit.air_pressure is None:
        return UNREAD + half_width(UNREAD_HALF_WIDTH, cause)
    return air_density(pressure=kit.air_pressure) + half_width(UNREAD_HALF_WIDTH / 3, cause)


def row_volumes(cell: Cell, kit: Kit) -> list[float]:
    """Volume of each counted row, SI, nominal."""
    factor = nominal(volume_per_mass(cell, kit)) if cell.weighed else 1.0
    return [row_volume(row, factor) for row in cell.counted]


def row_volume(row: Reading, factor: float) -> float:
    """Volume of one row; ``factor`` is m³ per apparent kg for a weighed one."""
    if row.method.key == "weighing":
        return apparent_mass(row) * factor
    return math.fsum(deliveries(row)) - taken_off(row)


def mean_fill(cell: Cell, kit: Kit, key: str) -> tuple[Number, list[Line]]:
    """Mean volume delivered, with scatter, scale error and rounding; and the lines that say so."""
    volumes = row_volumes(cell, kit)
    count = len(volumes)
    number, rounding = _mean_by_mass(cell, kit, key) if cell.weighed else _mean_by_volume(cell, kit, key, volumes)
    made = f"{cell.where}: repeat scatter, {cell.step.title.lower()} with {cell.tool}"
    scatter = kit.repeat_effect(kit.scatter_of(cell.way, cell.name), cell.way, count, key, made, rounding)
    number = number + scatter
    words = f"mean of {count} fills" if count > 1 else "one fill"
    return number, [Line(words=words, key=key, number=number)]


def _mean_by_volume(cell: Cell, kit: Kit, key: str, volumes: Sequence[float]) -> tuple[Number, Number]:
    """The mean delivery, and its rounding."""
    rows = [deliveries(row) for row in cell.counted]
    legs = max(rows, key=len)
    typical = [mean(leg) for leg in zip(*rows, strict=True)] if len({len(r) for r in rows}) == 1 else legs
    step = min((q.step for q in cell.quantities if q.key == "burette_reading"), default=0.0)
    calibrated = kit.calibration_of(cell) is not None  # then its doubts come with the correction
    scale = 0.0 if calibrated else kit.scale_error(cell.instrument, "fill_volume", typical)
    readings = _readings(cell.counted)
    return mean(volumes) + scale, kit.rounding(cell.instrument, key, readings, cell.where, step)


def _readings(rows: Sequence[Reading]) -> int:
    """How many readings of one fill are rounded.

    Where a scale is read, it is rounded; where it is set to a mark, as for
    full syringes or for a start at nought in every fill, nothing is: what the
    setting is out by goes into the space and shows in the scatter of the
    fills.  The last end is always read.
    """
    if rows[0].method.key != "burette":
        return 1
    starts = zip(*(row.fields["start"] for row in rows), strict=False)
    ends = zip(*(row.fields["end"][:-1] for row in rows), strict=False)
    read = [len({q.value for q in same}) > 1 or len(rows) == 1 for same in (*starts, *ends)]
    return 1 + sum(read)


def _mean_by_mass(cell: Cell, kit: Kit, key: str) -> tuple[Number, Number]:
    """The mean volume by weighing, and its rounding.

    What leaves the dispenser is a net weight: the permissible error of a scale
    holds for it whatever stands on the pan besides (OIML R 76-1:2006, 3.5.3.3,
    from memory: the limits apply to net values for every possible tare load).
    So it is stated between any two loads, and charged once a delivery.  The
    rounding of the two readings is not in it (3.5.3.2).
    """
    before = mean([row.one("before") for row in cell.counted])
    after = mean([row.one("after") for row in cell.counted])
    mass: Number = (
        before - after + kit.scale_error(cell.instrument, "fill_volume", [before - after], read="dispenser_mass")
    )
    step = min(q.step for q in cell.quantities)
    factor = volume_per_mass(cell, kit)
    return mass * factor, nominal(factor) * kit.rounding(cell.instrument, key, 2, cell.where, step)


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
