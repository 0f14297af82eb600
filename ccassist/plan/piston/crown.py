"""The crown to be cut: the shape asked for, its volume, and the one dimension left open that makes it right.

Volumes add space where positive.  The depth of a pocket counts from the crown
flat; where its place is known, what it shares with a dish is counted once, and
what it takes away of a dome is counted too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import cos, inf, sin, tan
from typing import Any

from ccassist.engine import crown_shapes as shapes
from ccassist.values.display import Formatter
from ccassist.values.measured import Value
from ccassist.values.numerics import NoBracket, bracket, root
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

# Valve pockets of one crown: their volume, and what of it a dish has cut already or a dome adds.

KINDS = ("intake", "exhaust")
NEEDED = ("pocket_diameter", "pocket_depth")
_STRIPS = 400  # each way across a pocket; the shared space comes out to about a thousandth


@record
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


DISHES = ("flat dish", "dish inside a squish band", "ball-cut dish")
DOMES = ("dome with sloped sides", "ball dome")
GUARDED = 3  # decimals of the parts of a crown as printed


@record
class Crown:
    """A crown as ordered.

    Attributes
    ----------
    shape : its word.
    sizes : its dimensions by term, SI; that of ``solved`` among them.
    solved : the term that was worked out from the volume, "" where all were stated.
    pockets : the valve pockets, by "intake" and "exhaust".
    hollow : what dish, dome and pockets each add (positive) or take, SI, by name.
    faults : why the shape cannot be, or what it lacks, in words.
    """

    shape: str
    sizes: Mapping[str, float]
    solved: str = ""
    pockets: Mapping[str, Pocket]
    hollow: Mapping[str, float]
    faults: tuple[str, ...] = ()

    @property
    def net(self) -> float | None:
        """Net volume of the shape with its pockets, SI; None where the dimensions do not give it."""
        return None if self.faults or not self.shape else sum(self.hollow.values())

    @property
    def deepest(self) -> float:
        """The deepest point of dish or pocket below the crown flat, SI."""
        return max([self.sizes.get("dish_depth", 0.0), *(p.deepest for p in self.pockets.values())])


def crown_of(stated: Mapping[str, Mapping[str, Value]], shape: str, wanted: float | None, land: float | None) -> Crown:
    """The crown from what is stated.

    Parameters
    ----------
    stated : the sections of the order by their name.
    shape : the word of the shape, "" where none is stated.
    wanted : net crown volume to be met, SI; None where it is not known.
    land : top-land diameter, SI; a squish band is measured from it, and pockets end at it.
    """
    sizes = {key: value.nominal for key, value in stated.get("order.crown", {}).items()}
    pockets, faults = pockets_of(stated)
    if land is not None:
        pockets = {kind: replace(one, edge=land / 2) for kind, one in pockets.items()}
    if "squish_band" in sizes and "dish_diameter" not in sizes:
        if land is None:
            faults = (*faults, f"the {term('squish_band').name} is measured from the land: state the land diameter")
        else:
            sizes["dish_diameter"] = land - 2 * sizes["squish_band"]
    elif "dish_diameter" in sizes and land is not None:
        sizes.setdefault("squish_band", (land - sizes["dish_diameter"]) / 2)
    lacks = [key for key in needed(shape) if key not in sizes]
    faults = (*faults, *(f"the {term(key).name} is not stated" for key in lacks))
    if faults or not shape:
        return Crown(shape=shape, sizes=sizes, pockets=pockets, hollow={}, faults=faults)
    try:
        return _made(shape, sizes, pockets, wanted)
    except ValueError as wrong:
        return Crown(shape=shape, sizes=sizes, pockets=pockets, hollow={}, faults=(str(wrong),))


def needed(shape: str) -> tuple[str, ...]:
    """What must be stated; depth and height may be left to be worked out."""
    if shape in DISHES:
        return ("dish_diameter",)
    return {"dome with sloped sides": ("dome_diameter", "dome_top"), "ball dome": ("dome_diameter",)}.get(shape, ())


def _made(shape: str, sizes: dict[str, float], pockets: Mapping[str, Pocket], wanted: float | None) -> Crown:
    """The shape with all its sizes; the open one worked out from the volume wanted."""
    open_size = "dish_depth" if shape in DISHES else "dome_height" if shape in DOMES else ""
    solved = ""
    if open_size and open_size not in sizes:
        if wanted is None:
            raise ValueError(f"the {term(open_size).name} can only be worked out once the crown volume is known")
        sizes = {**sizes, open_size: _open_size(shape, sizes, pockets, wanted)}
        solved = open_size
    return Crown(shape=shape, sizes=sizes, solved=solved, pockets=pockets, hollow=_parts(shape, sizes, pockets))


def _parts(shape: str, sizes: Mapping[str, float], pockets: Mapping[str, Pocket]) -> dict[str, float]:
    """What dish or dome and the pockets each add, SI."""
    parts: dict[str, float] = {}
    if shape in DISHES:
        parts["dish"] = _dish(shape, sizes)
    elif shape in DOMES:
        parts["dome"] = -_dome(shape, sizes)
    for name, one in pockets.items():
        parts[f"{name} pockets"] = one.count * _pocket(one, shape, sizes)
    return parts


def _pocket(one: Pocket, shape: str, sizes: Mapping[str, float]) -> float:
    """What one pocket adds beside a dish, or through a dome; below the crown flat alone where its place is not said."""
    if one.offset is None or shape not in (*DISHES, *DOMES):
        return one.volume
    if shape in DISHES:
        return cut_from(one, _DishFloor(shape=shape, sizes=sizes))
    return cut_from(one, _DomeTop(shape=shape, sizes=sizes), sizes["dome_height"])


def _dish(shape: str, sizes: Mapping[str, float]) -> float:
    radius, depth = sizes["dish_diameter"] / 2, sizes["dish_depth"]
    if shape == "ball-cut dish":
        return shapes.cap(radius=radius, height=depth)
    return shapes.flat_dish(radius=radius, depth=depth, corner=sizes.get("dish_corner", 0.0))


def _dome(shape: str, sizes: Mapping[str, float]) -> float:
    radius, height = sizes["dome_diameter"] / 2, sizes["dome_height"]
    if shape == "ball dome":
        return shapes.cap(radius=radius, height=height)
    return shapes.frustum(base=radius, top=sizes["dome_top"] / 2, height=height)


def _open_size(shape: str, sizes: Mapping[str, float], pockets: Mapping[str, Pocket], wanted: float) -> float:
    """Depth of the dish or height of the dome that brings the net volume to what is wanted."""
    alone = sum(one.count * one.volume for one in pockets.values())
    placed = any(one.offset is not None for one in pockets.values())
    if shape in DOMES:
        if alone - wanted <= 0:
            raise ValueError("the pockets alone do not add what is wanted: no dome is needed, but a dish")
        height = _dome_height(shape, sizes, alone - wanted)
        return _height_beside_pockets(shape, sizes, pockets, wanted, height) if placed else height
    if wanted <= 0:
        flat = "what is wanted is flat, and a dish is drawn"
        raise ValueError("what is wanted takes space: that is a dome, not a dish" if wanted else flat)
    if not placed:
        if wanted - alone <= 0:
            raise ValueError("the pockets alone add more than is wanted: no dish is left, a dome would be needed")
        return _dish_depth(shape, sizes, wanted - alone)
    return _depth_beside_pockets(shape, sizes, pockets, wanted)


def _dish_depth(shape: str, sizes: Mapping[str, float], volume: float) -> float:
    radius = sizes["dish_diameter"] / 2
    if shape == "ball-cut dish":
        return shapes.cap_height(volume, radius=radius)
    return shapes.flat_dish_depth(volume, radius=radius, corner=sizes.get("dish_corner", 0.0))


def _dome_height(shape: str, sizes: Mapping[str, float], volume: float) -> float:
    radius = sizes["dome_diameter"] / 2
    if shape == "ball dome":
        return shapes.cap_height(volume, radius=radius)
    return shapes.frustum_height(volume, base=radius, top=sizes["dome_top"] / 2)


def _depth_beside_pockets(
    shape: str, sizes: Mapping[str, float], pockets: Mapping[str, Pocket], wanted: float
) -> float:
    """The same where dish and pockets share space: the net volume grows with the depth, so that there is one."""

    def over(depth: float) -> float:
        return sum(_parts(shape, {**sizes, "dish_depth": depth}, pockets).values()) - wanted

    low, high = max(sizes.get("dish_corner", 0.0), 1e-6), _dish_depth(shape, sizes, wanted)
    if over(low) >= 0:
        raise ValueError("the pockets with the shallowest dish add more than is wanted")
    return root(over, low, high) if over(high) > 0 else high


def _height_beside_pockets(
    shape: str, sizes: Mapping[str, float], pockets: Mapping[str, Pocket], wanted: float, least: float
) -> float:
    """The height of a dome that pockets cut into: it takes more space the higher it is, so that there is one.

    ``least`` : the height that would do if they took nothing of it.
    """

    def over(height: float) -> float:
        return sum(_parts(shape, {**sizes, "dome_height": height}, pockets).values()) - wanted

    if over(least) <= 0:
        return least
    try:
        return root(over, *bracket(over, least, 1.5 * least, factor=1.5, most=sizes["dome_diameter"]))
    except NoBracket:
        wrong = "the pockets take so much of the dome that no height makes up for it: a wider one"
        raise ValueError(wrong) from None


@record
class _DomeTop:
    """How deep below the crown flat the top of a dome lies at a distance from the bore axis: above it, so negative."""

    shape: str
    sizes: Mapping[str, float]

    def __call__(self, away: Any) -> Any:
        """Depths below the crown flat, SI; nothing beyond its foot."""
        import numpy as np

        radius, height = self.sizes["dome_diameter"] / 2, self.sizes["dome_height"]
        if self.shape == "ball dome":
            ball = (radius**2 + height**2) / (2 * height)
            return ball - height - np.sqrt(ball**2 - np.minimum(away, radius) ** 2)
        top = self.sizes["dome_top"] / 2
        side = max(radius - top, 1e-12)  # upright where top and foot are alike
        return -height * np.clip((radius - away) / side, 0.0, 1.0)


@record
class _DishFloor:
    """How deep a dish is at a distance from the bore axis."""

    shape: str
    sizes: Mapping[str, float]

    def __call__(self, away: Any) -> Any:
        """Depths below the crown flat, SI; nothing beyond its edge."""
        import numpy as np

        radius, depth = self.sizes["dish_diameter"] / 2, self.sizes["dish_depth"]
        within = np.minimum(away, radius)
        if self.shape == "ball-cut dish":
            ball = (radius**2 + depth**2) / (2 * depth)
            return np.sqrt(ball**2 - within**2) - (ball - depth)
        corner = self.sizes.get("dish_corner", 0.0)
        beyond = np.maximum(within - (radius - corner), 0.0)
        return np.where(away >= radius, 0.0, depth - corner + np.sqrt(np.maximum(corner**2 - beyond**2, 0.0)))


def hollow_texts(crown: Crown, fmt: Formatter) -> dict[str, str]:
    """What each part adds or takes and the net of it, in words, with a guard digit; they add exactly as printed."""
    unit = conversion(fmt.unit("deck_volume")).scale
    rounded = {name: round(size / unit, GUARDED) for name, size in crown.hollow.items()}
    if len(rounded) < 2 or crown.net is None:
        return {name: _said(size * unit, fmt) for name, size in rounded.items()}
    net = round(crown.net / unit, GUARDED)
    first, *rest = rounded
    rounded[first] = net - sum(rounded[name] for name in rest)  # the dish or dome takes up what rounding leaves
    return {name: _said(size * unit, fmt) for name, size in {**rounded, "net": net}.items()}


def _said(size: float, fmt: Formatter) -> str:
    return fmt.show("deck_volume", size, decimals=GUARDED).removesuffix(" of space")
