"""One engine under boost, worked out: its geometry, its charge compressed, and what its ratio is worth.

The engine of a cylinder and the baseline it is set against are both such.
"""

from __future__ import annotations

from dataclasses import dataclass

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.conditions import Conditions
from ccassist.boost.equivalents import Compressed, Equivalent, compressed, equivalents
from ccassist.boost.trapped import Geometry
from ccassist.plan.boost.stated import GEOMETRY
from ccassist.plan.valves.cam_card import CamCard
from ccassist.values.measured import Number, Value, computed, nominal


@dataclass(frozen=True, kw_only=True)
class Build:
    """One engine: its geometry, its charge compressed, and what its ratio is worth.

    Attributes
    ----------
    geometry : what the trapped ratio hangs on.
    compressed : its charge at closing and at top dead centre; None without conditions.
    equivalents : by what each holds equal; none without conditions.
    """

    geometry: Geometry
    compressed: Compressed | None = None
    equivalents: tuple[Equivalent, ...] = ()

    @property
    def values(self) -> dict[str, Value]:
        """Static and trapped ratio and what follows, by term, in working order."""
        found = {
            "static_ratio": computed("static_ratio", self.geometry.static_ratio, "as measured"),
            "trapped_ratio": computed("trapped_ratio", self.geometry.trapped_ratio, "slider-crank at intake closing"),
        }
        if self.compressed is not None:
            state = self.compressed
            found |= {value.key: value for value in state.charge.computed}
            isentrope = "isentrope of this charge, heat capacity by temperature"
            found |= {
                "end_pressure": computed("end_pressure", state.end.pressure, isentrope),
                "end_temperature": computed("end_temperature", state.end.temperature, isentrope),
            }
            if nominal(state.trapped_ratio) > 1:
                how = "constant exponent that ends at the same pressure"
                found["effective_exponent"] = computed("effective_exponent", state.effective_exponent, how)
        return found

    @property
    def polytropic(self) -> dict[str, Value]:
        """End pressure and temperature by the stated or assumed constant exponent, to stand beside the isentrope."""
        if self.compressed is None:
            return {}
        end = self.compressed.polytropic
        return {
            "end_pressure": computed("end_pressure", end.pressure, "constant exponent"),
            "end_temperature": computed("end_temperature", end.temperature, "constant exponent"),
        }


def geometry_of(cylinder: Cylinder, card: CamCard) -> Geometry | None:
    """What the trapped ratio of a cylinder hangs on; None where something is not known."""
    known = known_of(cylinder, card)
    if any(key not in known for key in GEOMETRY):
        return None
    offset = cylinder.values.get("pin_offset")
    return Geometry(pin_offset=0.0 if offset is None else offset.number, **known)


def known_of(cylinder: Cylinder, card: CamCard) -> dict[str, Number]:
    """What is known of it, by term, SI: of the terms of :data:`GEOMETRY`."""
    closing = card.intake_closing
    found = {key: cylinder.values[key].number for key in GEOMETRY if key in cylinder.values}
    if nominal(found.get("static_ratio", 0.0)) <= 1:  # no engine; the survey says so
        found.pop("static_ratio", None)
    return found if closing is None else {**found, "intake_closing": closing.number}


def build_of(geometry: Geometry, conditions: Conditions | None) -> Build:
    """One engine worked out."""
    if conditions is None:
        return Build(geometry=geometry)
    return Build(
        geometry=geometry,
        compressed=compressed(geometry, conditions),
        equivalents=equivalents(geometry, conditions),
    )
