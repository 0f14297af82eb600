"""A gasket of several layers: every gasket part that serves a cylinder is one, with its own opening and thickness.

Each layer is worked out by itself; their volumes and their thicknesses add.
The cylinder then has one gasket: the thicknesses together, and the opening
averaged over them, so that opening × thickness is the sum of the volumes.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ccassist.analysis.precedence import OPENING, Displaced, chosen
from ccassist.bench.cell import Reduced
from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Choices, build
from ccassist.job.records import Job
from ccassist.values.measured import Value, computed, nominal

GASKET = (*OPENING, "gasket_thickness", "gasket_volume")
WEAKEST = ("not said", "assumed", "maker's figure", "measured")


@dataclass(frozen=True, kw_only=True)
class Layer:
    """One layer of a cylinder's gasket: its part, and its terms, the volume worked out where it can be."""

    part: str
    values: Mapping[str, Value]

    def number(self, key: str) -> object | None:
        """A term as a number, or None."""
        return self.values[key].number if key in self.values else None


def layers_of(
    number: int, job: Job, stated: Mapping[str, Mapping[str, Value]], current: Sequence[Reduced]
) -> tuple[tuple[Layer, ...], list[Displaced]]:
    """The layers of a cylinder's gasket and the values that do not count; no layers where one part serves it."""
    parts = [p.name for p in job.parts.values() if p.kind == "gasket" and number in p.cylinders]
    if len(parts) < 2:
        return (), []
    found, displaced = [], []
    for part in parts:
        read = [r for r in current if r.cell.part == part and number in r.cell.cylinders]
        shared = [r.values for r in read if len(r.cell.cylinders) > 1]
        alone = [r.values for r in read if len(r.cell.cylinders) == 1]
        inputs, unused = chosen(number, [stated[part], *shared, *alone])
        displaced += unused
        found.append(_layer(part, {key: inputs[key] for key in GASKET if key in inputs}))
    return tuple(found), displaced


def _layer(part: str, inputs: Mapping[str, Value]) -> Layer:
    known = {key: value.number for key, value in inputs.items()}
    model = build({key: nominal(n) for key, n in known.items()}, Choices())
    numbers = model.evaluate(known, uncertain())
    worked = {
        step.gives: computed(step.gives, numbers[step.gives], step.title)
        for step in model.chain
        if step.gives in GASKET
    }
    return Layer(part=part, values={**inputs, **worked})


def as_one(layers: Sequence[Layer]) -> dict[str, Value]:
    """The terms of the one gasket that several layers make; those that every layer allows.

    Thickness [m] and area [m²]; the volume [m³] instead of the area where a
    thickness is not known, or is nothing.
    """
    thickness, volume = _sum(layers, "gasket_thickness"), _sum(layers, "gasket_volume")
    if volume is None:
        return {} if thickness is None else {thickness.key: thickness}
    if thickness is None or thickness.nominal <= 0:
        return {volume.key: volume}
    how = f"opening averaged over {len(layers)} layers"
    area = Value(
        key="gasket_area", number=volume.number / thickness.number, origin=volume.origin, how=how, line=volume.line
    )
    return {area.key: area, thickness.key: thickness}


def _sum(layers: Sequence[Layer], key: str) -> Value | None:
    if any(key not in layer.values for layer in layers):
        return None
    number = sum(layer.number(key) for layer in layers)  # type: ignore[misc]
    origins = {v.origin for layer in layers for v in layer.values.values() if v.origin in WEAKEST}
    origin = next(word for word in WEAKEST if word in origins)
    return Value(key=key, number=number, origin=origin, how=f"sum of {len(layers)} layers")


def missing(layer: Layer) -> list[str]:
    """The terms still needed before a layer's volume can be worked out."""
    if "gasket_volume" in layer.values:
        return []
    opening = [] if "gasket_area" in layer.values else ["gasket_bore"]
    return [*opening, *(["gasket_thickness"] if "gasket_thickness" not in layer.values else [])]
