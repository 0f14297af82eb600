"""What valve pockets cut from a crown: the volume that tilted, flat-floored cylinders take of what a dish or dome left.

The crown without pockets is flat but for a round dish or dome about the bore axis, and ends at the top land.  A pocket
takes all metal inside its cylinder and above its floor.  Both are convex, so that a straight line meets each in one
stretch whose ends are roots of a quadratic; along lines that lie level in the direction of the pocket's lean nothing is
left to be approximated.  Over the distance and the depth of the lines it is summed by Gauss' rule between the places
where those stretches begin and end.

Lengths [m], angles [rad], volumes [m³].  Depths count from the crown flat, positive down; the plan has its origin in
the bore axis.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import copysign, cos, hypot, inf, pi, sin, sqrt, tan
from typing import Any

from ccassist.engine import crown_shapes as shapes
from ccassist.values.numerics import gauss_legendre
from ccassist.vocabulary.record import record

_ACROSS, _DOWN = 24, 14  # places between two bends; kinks that are no bends come to a thousandth of a cc or so
_UPRIGHT = 1e-9  # rad
_ROUNDING = 1e-12  # m, for walls that stand upright


@record
class Bare:
    """A crown without pockets: a round dish (``depth`` positive) or dome (negative) in a flat that ends at ``edge``.

    ``radius`` at the crown flat; ``ball`` : of spherical shape.  Else a dish has upright walls and a ``corner`` radius,
    a dome sloped sides up to the radius of its flat ``top``.
    """

    depth: float = 0.0
    radius: float = 0.0
    corner: float = 0.0
    top: float = 0.0
    ball: bool = False
    edge: float = inf

    @property
    def volume(self) -> float:
        """The space [m³] that it adds, negative where a dome takes it; within the edge.  Closed forms but at the edge.

        Source: solid geometry, worked out here.

        >>> round(Bare(depth=0.002, radius=0.03).volume * 1e6, 3), Bare(radius=0.03).volume
        (5.655, 0.0)
        """
        if not self.depth:
            return 0.0
        return self._whole() if self.radius <= self.edge else self._within_edge()

    def _whole(self) -> float:
        size, side = abs(self.depth), copysign(1.0, self.depth)
        if self.ball:
            return side * shapes.cap(radius=self.radius, height=size)
        if side > 0:
            return shapes.flat_dish(radius=self.radius, depth=size, corner=self.corner)
        return -shapes.frustum(base=self.radius, top=self.top, height=size)

    def _within_edge(self) -> float:
        """Round slices, as wide as the edge down (or up) to where dish or dome becomes narrower than it."""
        most, side = abs(self.depth), copysign(1.0, self.depth)
        wide = abs(self.depth_at(self.edge))
        depth, weight = _panels(sorted({wide, max(most - self.corner, wide), most}))
        return side * pi * float(self.edge**2 * wide + (weight * self.round_at(side * depth) ** 2).sum())

    def depth_at(self, away: float) -> float:
        """Its depth [m] at a distance [m] from the bore axis; the wall of a dish counts to its corner.

        Source: solid geometry, worked out here.

        >>> dome = Bare(depth=-0.004, radius=0.03, top=0.02)
        >>> [round(dome.depth_at(away) * 1e3, 3) for away in (0.0, 0.025, 0.035)]
        [-4.0, -2.0, 0.0]
        """
        most, side = abs(self.depth), copysign(1.0, self.depth)
        if away >= self.radius or not most:
            return 0.0
        if self.ball:
            ball = (self.radius**2 + most**2) / (2 * most)
            return side * (sqrt(ball**2 - away**2) - (ball - most))
        if side > 0:
            into = max(away - (self.radius - self.corner), 0.0)
            return most - self.corner + sqrt(self.corner**2 - into**2)
        return -most * min((self.radius - away) / max(self.radius - self.top, _ROUNDING), 1.0)

    def round_at(self, depth: Any) -> Any:
        """Radius of dish or dome at depths between the crown flat and its middle."""
        import numpy as np

        most, size = abs(self.depth), abs(depth)
        if self.ball:
            ball = (self.radius**2 + most**2) / (2 * most)
            return np.sqrt(np.maximum(ball**2 - (ball - most + size) ** 2, 0.0))
        if self.depth > 0:
            into = np.clip(size - (most - self.corner), 0.0, self.corner)
            return self.radius - self.corner + np.sqrt(self.corner**2 - into**2)
        return self.radius - (self.radius - self.top) * size / most

    def metal(self, depth: Any) -> tuple[Any, Any]:
        """Between which radii there is metal at depths; none where the outer is not the larger."""
        import numpy as np

        if not self.depth:
            return np.zeros_like(depth), np.where(depth > 0, self.edge, 0.0)
        inside = (depth > 0) == (self.depth > 0)
        there = inside & (abs(depth) < abs(self.depth))
        radius = self.round_at(np.where(there, depth, 0.0))
        if self.depth > 0:
            return np.where(there, radius, 0.0), np.where(depth > 0, self.edge, 0.0)
        raised = np.where(there, np.minimum(radius, self.edge), 0.0)
        return np.zeros_like(depth), np.where(inside, raised, self.edge)

    @property
    def bends(self) -> tuple[float, ...]:
        """Depths [m] at which it begins, ends or goes over into its corner.

        Source: solid geometry, worked out here.
        """
        return 0.0, self.depth, max(self.depth - self.corner, min(self.depth, 0.0))


@record
class Cut:
    """A pocket: all inside a cylinder and above its flat floor, square to its axis.

    ``radius``; ``tilt`` of the axis to the bore axis; ``floor`` : depth of the floor's middle along the bore axis,
    negative above the flat; ``x``, ``y`` of that middle in the plan; ``lean`` : the direction in the plan in which the
    axis leans going up, from x toward y.
    """

    radius: float
    tilt: float
    floor: float
    x: float
    y: float = 0.0
    lean: float = 0.0

    @property
    def ends(self) -> tuple[float, float]:
        """Depths [m] of the highest and the deepest edge of its floor.

        Source: solid geometry, worked out here.

        >>> [round(end * 1e3, 3) for end in Cut(radius=0.018, tilt=0.1, floor=0.003, x=0.02).ends]
        [1.203, 4.797]
        """
        half = self.radius * sin(self.tilt)
        return self.floor - half, self.floor + half

    def reaches(self, other: Cut, height: float) -> bool:
        """Whether the two may share space somewhere below a height [m] above the crown flat.

        Source: solid geometry, worked out here.

        >>> one, other = (Cut(radius=0.01, tilt=0.0, floor=0.002, x=x) for x in (0.02, -0.02))
        >>> one.reaches(other, 0.0)
        False
        """
        room = [one.radius / cos(one.tilt) + (one.ends[1] + height) * tan(one.tilt) for one in (self, other)]
        return hypot(self.x - other.x, self.y - other.y) < sum(room)

    def _seen(self, lean: float) -> tuple[float, float, float, float]:
        """Its middle along and across lines of a direction, and its own lean as cosine and sine to them."""
        c, s, turn = cos(lean), sin(lean), self.lean - lean
        return self.x * c + self.y * s, self.y * c - self.x * s, cos(turn), sin(turn)

    def _floor_line(self, depth: Any) -> Any:
        """How far along its lean, from the floor's middle, the floor comes up to a depth."""
        import numpy as np

        if self.tilt < _UPRIGHT:
            return np.where(depth < self.floor, -inf, inf)
        return (depth - self.floor) / tan(self.tilt)

    def stretch(self, lean: float, across: Any, depth: Any) -> tuple[Any, Any]:
        """From where to where level lines run in it [m]; ``across`` : their distance [m] to the left of the bore axis.

        The level section is an ellipse, u² cos² + v² ≤ R², u along its lean, v across it.

        Source: solid geometry, worked out here.
        """
        import numpy as np

        along, aside, c, s = self._seen(lean)
        squeeze, shift = cos(self.tilt) ** 2, (self.floor - depth) * tan(self.tilt)
        v = across - aside
        a, b = squeeze * c**2 + s**2, (squeeze - 1) * s * c * v - squeeze * c * shift
        rest = squeeze * (s * v - shift) ** 2 + (c * v) ** 2 - self.radius**2
        half = np.sqrt(np.maximum(b**2 - a * rest, 0.0))
        low, high = (-b - half) / a, (-b + half) / a
        line = self._floor_line(depth) - s * v
        if abs(c) < _UPRIGHT:
            high = np.where(line <= 0, high, low)
        elif c > 0:
            low = np.maximum(low, line / c)
        else:
            high = np.minimum(high, line / c)
        return along + low, along + high

    def bends(self, lean: float, depth: Any) -> list[Any]:
        """Where across level lines [m] its section at depths begins and ends, and the floor's line meets its wall.

        Source: solid geometry, worked out here.
        """
        import numpy as np

        _, aside, c, s = self._seen(lean)
        shift, stretch = (self.floor - depth) * tan(self.tilt), 1 / cos(self.tilt)
        middle, half = aside + s * shift, self.radius * hypot(c, s * stretch)
        line = np.clip(self._floor_line(depth), shift - self.radius * stretch, shift + self.radius * stretch)
        chord = np.sqrt(np.maximum(self.radius**2 - ((line - shift) / stretch) ** 2, 0.0))
        floor = aside + s * line
        return [middle - half, middle + half, floor - c * chord, floor + c * chord]

    def meets(self, depth: Any, radius: Any) -> list[Any]:
        """Where across its own lean its wall meets a circle about the bore axis, if it leans toward or away from that.

        With u and v as above and the circle (m + u)² + v² = r² a quadratic in u is left.
        """
        import numpy as np

        along, aside, _, _ = self._seen(self.lean)
        if abs(aside) > _UPRIGHT:
            return []
        squeeze, middle = cos(self.tilt) ** 2, along + (self.floor - depth) * tan(self.tilt)
        nearest = np.minimum(radius, abs(middle) + 2 * self.radius / cos(self.tilt))  # beyond that they do not meet
        rest = self.radius**2 - nearest**2 + middle**2
        root_of = np.sqrt(np.maximum(middle**2 + (squeeze - 1) * rest, 0.0))
        under = -middle - np.copysign(root_of, middle)  # of the two roots the one that does not cancel
        u = rest / np.where(under == 0, 1.0, under)
        v = np.sqrt(np.maximum(self.radius**2 - squeeze * u**2, 0.0))
        return [-v, v]


def cut_volumes(cuts: Sequence[Cut], bare: Bare) -> list[float]:
    """What each pocket takes [m³] of the metal that dish, dome and the pockets before it left; the sum is of all.

    Source: solid geometry, worked out here.

    >>> [round(v * 1e9, 3) for v in cut_volumes([Cut(radius=0.018, tilt=0.0, floor=0.003, x=0.02)], Bare())]
    [3053.628]
    """
    height, known = max(-bare.depth, 0.0), dict[Any, float]()
    found = []
    for place, one in enumerate(cuts):
        before = [other for other in cuts[:place] if other.reaches(one, height)]
        alone = one.radius, one.tilt, one.floor, hypot(one.x, one.y), _off(one)
        if before or alone not in known:
            volume = _taken(one, bare, before)
            if before:
                found.append(volume)
                continue
            known[alone] = volume
        found.append(known[alone])
    return found


def _off(one: Cut) -> float:
    """How far the line of its lean passes the bore axis: to a round crown all that its direction says."""
    return round(abs(one.y * cos(one.lean) - one.x * sin(one.lean)), 12)


def _taken(one: Cut, bare: Bare, before: Sequence[Cut]) -> float:
    """What one pocket takes of what the others left."""
    import numpy as np

    top, deepest = min(bare.depth, 0.0), one.ends[1]
    if deepest <= top:
        return 0.0
    sides = (abs(hypot(one.x, one.y) + side * one.radius) for side in (-1, 1))
    levels = {top, deepest, *bare.bends, *(end for cut in (one, *before) for end in cut.ends)}
    levels |= {bare.depth_at(side) for side in sides}  # where dish or dome is as wide as the pocket lies, or nearly
    depth, deep = _panels([level for level in sorted(levels) if top <= level <= deepest])
    inner, outer = bare.metal(depth)
    bends = [*one.bends(one.lean, depth), -outer, outer, -inner, inner]
    bends += [*one.meets(depth, outer), *one.meets(depth, inner)]
    bends += [bend for cut in before for bend in cut.bends(one.lean, depth)]
    within = np.sort(np.clip(np.stack(bends, axis=-1), bends[0][:, None], bends[1][:, None]), axis=-1)
    across, wide = _panels(within, _ACROSS)
    depth, inner, outer = depth[:, None], inner[:, None], outer[:, None]
    low, high = one.stretch(one.lean, across, depth)
    round_edge = np.sqrt(np.maximum(outer**2 - across**2, 0.0))
    low, high = np.maximum(low, -round_edge), np.minimum(high, round_edge)
    hole = np.sqrt(np.maximum(inner**2 - across**2, 0.0))
    gone = [(-hole, hole), *(cut.stretch(one.lean, across, depth) for cut in before)]
    return float(((_left(low, high, gone) * wide).sum(axis=-1) * deep).sum())


def _left(low: Any, high: Any, gone: Sequence[tuple[Any, Any]]) -> Any:
    """Length of stretches without what lies in others, which may overlap."""
    import numpy as np

    starts, ends = (np.clip(np.stack(side), low, np.maximum(low, high)) for side in zip(*gone, strict=True))
    order = np.argsort(starts, axis=0)
    starts, ends = np.take_along_axis(starts, order, 0), np.take_along_axis(np.maximum(starts, ends), order, 0)
    left, at = np.zeros_like(low), low
    for start, end in zip(starts, ends, strict=True):
        left, at = left + np.maximum(start - at, 0.0), np.maximum(at, end)
    return left + np.maximum(high - at, 0.0)


def _panels(bends: Any, count: int = _DOWN) -> tuple[Any, Any]:
    """Places and weights between bends (along the last axis), closer toward them, where roots begin."""
    import numpy as np

    ends = np.asarray(bends)
    at, weight = (np.array(one) for one in _closer(count))
    wide = np.diff(ends, axis=-1)[..., None]
    shape = (*ends.shape[:-1], -1)
    return (ends[..., :-1, None] + wide * at).reshape(shape), (wide * weight).reshape(shape)


@lru_cache(maxsize=4)
def _closer(count: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Gauss' rule on 0 … 1 after x = (1 − cos πs) ÷ 2, which makes a square root at either end smooth."""
    turns = [(pi * (1 + x) / 2, w * pi / 4) for x, w in gauss_legendre(count)]
    return tuple((1 - cos(turn)) / 2 for turn, _ in turns), tuple(w * sin(turn) for turn, w in turns)
