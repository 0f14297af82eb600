"""Valve pockets of one crown: their volume, and what of it a dish has cut already or a dome adds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import cos, inf, sin, tan
from typing import Any

from ccassist.engine import crown_shapes as shapes
from ccassist.values.measured import Value
from ccassist.vocabulary import term

KINDS = ("intake", "exhaust")
NEEDED = ("pocket_diameter", "pocket_depth")
_STRIPS = 400  # each way across a pocket; the shared space comes out to about a thousandth


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """Pockets of one kind, SI: how many, floor radius, tilt, depth along the valve, distance from the bore axis.

    ``offset`` is that of the floor's middle; None where it is not stated.  ``edge`` is the radius of the crown, beyond
    which there is no metal to cut; infinite where it is not known.
    """

    count: int
    radius: float
    tilt: float
    depth: float
    offset: float | None
    edge: float = inf

    @property
    def volume(self) -> float:
        """Volume of one below the crown flat and within its edge, SI."""
        if self.reach is not None and self.reach > self.edge:
            return cut_from(self, lambda away: 0.0 * away)
        return shapes.pocket(radius=self.radius, tilt=self.tilt, depth=self.depth)

    @property
    def deepest(self) -> float:
        """Its deepest point below the crown flat, along the bore, SI; 0 where it does not cut the crown."""
        return max(shapes.deepest_point(radius=self.radius, tilt=self.tilt, depth=self.depth), 0.0)

    @property
    def reach(self) -> float | None:
        """Farthest point of its rim in the crown flat from the bore axis, SI; None where its place is not stated."""
        return None if self.offset is None else self.offset + self.depth * sin(self.tilt) + self.radius / cos(self.tilt)


def pockets_of(stated: Mapping[str, Mapping[str, Value]]) -> tuple[dict[str, Pocket], tuple[str, ...]]:
    """The pockets stated in the order, and what is wrong with them in words."""
    found: dict[str, Pocket] = {}
    faults: list[str] = []
    for kind in KINDS:
        given = {key: value.nominal for key, value in stated.get(f"order.pocket.{kind}", {}).items()}
        if not given:
            continue
        lacks = [term(key).name for key in NEEDED if key not in given]
        if lacks:
            faults.append(f"of the {kind} pockets the {' and the '.join(lacks)} is not stated")
            continue
        one = Pocket(
            count=round(given.get("pockets", 1)),
            radius=given["pocket_diameter"] / 2,
            tilt=given.get("pocket_tilt", 0.0),
            depth=given["pocket_depth"],
            offset=given.get("pocket_offset"),
        )
        if one.count:
            found[kind] = one
    return found, tuple(faults)


def cut_from(pocket: Pocket, crown: Callable[[Any], Any], height: float = 0.0) -> float:
    """Volume that a pocket cuts from a crown: what a dish left, and what stands up as a dome with it, SI.

    Columns over a fine grid of the crown flat: of each, the part inside the
    tilted cylinder, above its floor and below the crown.  ``crown`` gives the
    depths below the flat at distances (array, m) from the bore axis, negative
    in a dome, whose most is ``height``.  The stem leans outward going up, so
    the floor is deepest on the side away from the bore axis.
    """
    import numpy as np

    assert pocket.offset is not None
    r, c, s = pocket.radius, cos(pocket.tilt), sin(pocket.tilt)
    half = r / c + (pocket.deepest + height) * tan(pocket.tilt)  # along the lean nothing of it is farther from there
    middles = (np.arange(_STRIPS) + 0.5) / _STRIPS * 2 - 1
    x, y = np.meshgrid(half * middles, r * middles)
    chord = np.sqrt(r**2 - y**2)
    floor_middle = pocket.depth * c
    high = floor_middle + x * s / c
    if s > 1e-9:
        low = floor_middle - (chord + x * c) / s
        high = np.minimum(high, floor_middle + (chord - x * c) / s)
    else:
        low, high = np.full_like(x, -inf), np.where(abs(x) <= chord, high, -inf)
    away = np.hypot(pocket.offset + x, y)
    kept = np.where(away <= pocket.edge, np.maximum(high - np.maximum(low, crown(away)), 0.0), 0.0)
    return float(kept.sum() * (2 * half / _STRIPS) * (2 * r / _STRIPS))
