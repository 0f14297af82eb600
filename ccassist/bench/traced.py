"""A traced outline: its area between straight lines, and what its edge holds beyond them.

Between two points the edge is taken as evenly curved, by the turns of the lines.  In a corner it is not: there the
lines turn far more than on either side, at one point where the corner was read, at two where it lies between them.  A
corner's turn bends nothing; the edge comes up to it as it came before.  With few points every one turns so much that
nobody can tell a corner from a bend: all that the edge adds is then in doubt.

Source: circular segment, Machinery's Handbook 31st ed. (2020) p. 79, for small angles; where corners are sought and
what is left in doubt: common practice, no source, held against exact figures in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from itertools import combinations

from ccassist.vocabulary.record import record

Point = tuple[float, float]
FEW = 16  # points: with fewer a corner and a bend look alike
ALL = 1.2  # of what the edge adds: from nothing to twice of it, readings being in doubt too
_AT_POINT, _BETWEEN = math.radians(28), math.radians(50)  # least turn of a corner: at one point, at two
_SHARPER = 1.6  # times the bend of the edge on either side
_HALF, _HIDDEN, _MISTAKEN = 0.5, 0.9, 0.8  # in doubt: of a bend, of a corner between points, of what it would be as one


@record
class Edge:
    """What a line from point to point leaves out [m²], negative where the edge is hollow; how far that may be out."""

    extra: float
    half_width: float


def sides(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Each side of an outline by its two ends, the last one back to the first point."""
    return list(zip(points, [*points[1:], points[0]], strict=True))


def halves(points: Sequence[Point]) -> list[float]:
    """The triangle that each side makes with the first point [m²], positive anticlockwise; they add to the area."""
    x0, y0 = points[0]
    moved = [(x - x0, y - y0) for x, y in points]
    return [(x * v - u * y) / 2 for (x, y), (u, v) in sides(moved)]


def polygon_area(points: Sequence[Point]) -> float:
    """Area inside straight lines from point to point, back to the first; in either sense of going round.

    points [m] -> [m²], not negative.  ½ |Σ (xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ)|, reckoned from the first point so that far-off rulers
    cost no digits.  Source: Gauss's area formula (shoelace formula).

    >>> polygon_area([(0, 0), (3, 0), (3, 4)])
    6.0
    """
    return abs(math.fsum(halves(points)))


def bulge(points: Sequence[Point]) -> float:
    """What the edge holds beyond the straight lines [m²]; negative where more of it is hollow.

    >>> around = [i * math.pi / 18 for i in range(36)]
    >>> circle = [(math.cos(a), math.sin(a)) for a in around]
    >>> round(math.pi - polygon_area(circle), 4), round(bulge(circle), 4)
    (0.0159, 0.0159)
    """
    return math.fsum(edge.extra for edge in edges(points))


def edge_half_width(points: Sequence[Point]) -> float:
    """How far the area may be out for the edge between the points [m²]."""
    return math.fsum(edge.half_width for edge in edges(points))


def corners(points: Sequence[Point]) -> int:
    """How many corners are found: at points, and between two of them."""
    bends = _bends(points)
    return len(bends.at_point) + len(bends.between) if len(points) >= FEW else 0


def corner_slopes(points: Sequence[Point]) -> list[float]:
    """How far what a side holds in a corner moves for one unit in each reading by itself [m² per m]; 0 without one.

    A triangle with a right angle at one end moves by length² ÷ 2 for every unit of the other angle, and that one by √6
    ÷ length for a unit in each coordinate of its three points.  Source: plane geometry.
    """
    bends = _bends(points)
    return [math.sqrt(6) / 2 * length if bends.cornered(i) else 0.0 for i, length in enumerate(bends.lengths)]


def edges(points: Sequence[Point]) -> list[Edge]:
    """What each side leaves out, from the first point on."""
    bends = _bends(points)
    return [bends.edge(i) if len(points) >= FEW else bends.sparse(i) for i in range(len(points))]


@record(kw_only=False)
class _Bends:
    """How an outline turns: ``lengths`` of its sides [m]; ``turns`` at its points [rad], positive where it bulges.

    Side i goes from point i to the next; counted round, as Python's −1 is the last.
    """

    lengths: tuple[float, ...]
    turns: tuple[float, ...]

    def _next(self, i: int) -> int:
        return (i + 1) % len(self.lengths)

    def _about(self, i: int) -> float:
        """Length for which a point stands: half of both sides [m]."""
        return (self.lengths[i - 1] + self.lengths[i]) / 2

    @cached_property
    def _bend(self) -> list[float]:
        """Turn per length at each point [1/m]."""
        return [turn / self._about(i) if self._about(i) > 0 else 0.0 for i, turn in enumerate(self.turns)]

    @cached_property
    def at_point(self) -> frozenset[int]:
        """Points that are corners: they turn far more than the points on either side."""
        return frozenset(
            i
            for i, turn in enumerate(self.turns)
            if abs(turn) > _AT_POINT
            and abs(self._bend[i]) > _SHARPER * max(abs(self._bend[i - 1]), abs(self._bend[self._next(i)]))
        )

    @cached_property
    def between(self) -> frozenset[int]:
        """Sides that cut a corner off: both ends turn one way, far more than the points beyond them."""
        return frozenset(i for i in range(len(self.turns)) if self._cuts_off(i))

    def _cuts_off(self, i: int) -> bool:
        j = self._next(i)
        if self.turns[i] * self.turns[j] <= 0 or self.at_point & {i, j}:
            return False
        beyond = max(abs(self._bend[i - 1]), abs(self._bend[self._next(j)]))
        sharp = min(abs(self._bend[i]), abs(self._bend[j])) > _SHARPER * beyond
        return sharp and abs(self.turns[i] + self.turns[j]) > _BETWEEN

    @cached_property
    def _rough(self) -> frozenset[int]:
        """Points whose turn is, wholly or in part, that of a corner."""
        return self.at_point | self.between | {self._next(i) for i in self.between}

    def _smooth(self, *points: int) -> float:
        """Mean bend of those of the points that are in no corner; nothing where all are [1/m]."""
        found = [self._bend[p] for p in points if p not in self._rough]
        return sum(found) / len(found) if found else 0.0

    def _beyond(self, point: int, farther: int) -> float:
        """Bend beyond a point [1/m], that of the point itself where a corner stands there."""
        return self._smooth(farther) if farther not in self._rough else self._smooth(point)

    def even(self, i: int) -> float:
        """What a side leaves out were it evenly curved [m²]: an arc over a chord c that turns by θ holds c² θ ÷ 12
        beyond it; it is given half of the turn at each of its ends.
        """
        return self.lengths[i] ** 2 * (self.turns[i] + self.turns[self._next(i)]) / 24

    def sparse(self, i: int) -> Edge:
        """A side of an outline of few points."""
        return Edge(extra=self.even(i), half_width=ALL * abs(self.even(i)))

    def cornered(self, i: int) -> bool:
        """Whether a side has a corner at one end, or inside."""
        enough = len(self.turns) >= FEW
        return enough and (i in self.between or (i in self.at_point) != (self._next(i) in self.at_point))

    def edge(self, i: int) -> Edge:
        """A side of an outline of points enough."""
        j = self._next(i)
        if i in self.between:
            return self._hidden(i, j)
        if (i in self.at_point) != (j in self.at_point):
            return self._beside(i, j)
        extra = self.lengths[i] ** 3 * self._smooth(i, j) / 12
        return Edge(extra=extra, half_width=max(_HALF * abs(extra), _MISTAKEN * abs(self.even(i) - extra)))

    def _hidden(self, i: int, j: int) -> Edge:
        """A corner between two points: between what an arc and what the edges on both sides, drawn on, would hold."""
        length = self.lengths[i]
        first = self.turns[i] - self._smooth(i - 1) * self.lengths[i - 1] / 2
        last = self.turns[j] - self._smooth(self._next(j)) * self.lengths[j] / 2
        arc = length**2 * (first + last) / 12
        extra = (arc + (_triangle(length, first, last) or arc)) / 2
        return Edge(extra=extra, half_width=_HIDDEN * abs(extra))

    def _beside(self, i: int, j: int) -> Edge:
        """A side with a corner at one end: bent as beyond its other end, and the corner if it lies a little inside."""
        length, corner = self.lengths[i], i if i in self.at_point else j
        other, beyond, outer = (j, self._next(j), self.lengths[j]) if corner == i else (i, i - 1, self.lengths[i - 1])
        bend = self._beyond(other, beyond)
        arc = length**3 * bend / 12
        rest = self.turns[other] - bend * (length + outer) / 2
        inside = _triangle(length, self.turns[corner] - bend * length / 2, rest)
        mistaken = _MISTAKEN * abs(self.even(i) - arc)
        return Edge(extra=arc + inside, half_width=max(_HALF * abs(arc), _HALF * abs(inside), mistaken))


def _bends(points: Sequence[Point]) -> _Bends:
    ways = [(u - x, v - y) for (x, y), (u, v) in sides(points)]
    sense = math.copysign(1.0, math.fsum(halves(points)))
    turns = [sense * _turn(before, after) for before, after in zip([ways[-1], *ways[:-1]], ways, strict=True)]
    return _Bends(tuple(math.hypot(*way) for way in ways), tuple(turns))


def _turn(before: Point, after: Point) -> float:
    """Angle from one side to the next, −π to π."""
    (a, b), (c, d) = before, after
    return math.atan2(a * d - b * c, a * c + b * d)


def _triangle(base: float, first: float, last: float) -> float:
    """Triangle on a base with the angles at its ends: base² ÷ 2 × sin α sin β ÷ sin(α + β); 0 where it does not close.

    [m], [rad] -> [m²].  Source: sine rule.  Negative angles make it negative.
    """
    both = abs(first + last)
    if max(abs(first), abs(last)) > 1.6 or not 0.2 < both < 2.8:
        return 0.0
    return base**2 / 2 * math.sin(first) * math.sin(last) / math.sin(first + last)


def crosses_itself(points: Sequence[Point]) -> bool:
    """Whether any two sides that are not neighbours cross."""
    every = sides(points)
    last = len(every) - 1
    return any(
        cross(*every[i], *every[j]) for i, j in combinations(range(len(every)), 2) if j - i > 1 and (i, j) != (0, last)
    )


def cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether a side from a to b and one from c to d have each other's ends on either hand."""
    return hand(a, b, c) * hand(a, b, d) < 0 and hand(c, d, a) * hand(c, d, b) < 0


def hand(a: Point, b: Point, c: Point) -> float:
    """Positive where c lies left of the way from a to b."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def centroid_across(points: Sequence[Point]) -> float:
    """Distance of the centroid from the zero line of x [m]; in either sense of going round.

    Σ (xᵢ + xᵢ₊₁)(xᵢ yᵢ₊₁ − xᵢ₊₁ yᵢ) ÷ 6 A between straight lines, and what the edge adds counted at the middle of each
    line.  Source: centroid of a polygon (Gauss's formulas), Machinery's Handbook 31st ed. (2020), centres of gravity
    (from memory).

    >>> round(centroid_across([(0, 0), (4, 0), (4, 3), (0, 3)]), 12)
    2.0
    """
    x0 = points[0][0]
    ends = [(x - x0) + (u - x0) for (x, _), (u, _) in sides(points)]
    straight = halves(points)
    sense = math.copysign(1.0, math.fsum(straight))
    curved = [sense * edge.extra for edge in edges(points)]
    moment = math.fsum(h * both / 3 for h, both in zip(straight, ends, strict=True))
    moment += math.fsum(c * both / 2 for c, both in zip(curved, ends, strict=True))
    return x0 + moment / (math.fsum(straight) + math.fsum(curved))


def across_slope(points: Sequence[Point]) -> float:
    """How far the centroid moves, at the root of the sum of squares, for one unit in each reading by itself.

    m per m.  The slopes of ∮ ½ x² dy ÷ A at every point, straight lines between (JCGM 100:2008, 5.1.2), and those of
    its corners.
    """
    x0 = centroid_across(points)
    moved = [(x - x0, y) for x, y in points]
    square = 0.0
    for (a, b), (x, y), (u, v) in zip([moved[-1], *moved[:-1]], moved, [*moved[1:], moved[0]], strict=True):
        across = ((y - b) * (a + 2 * x) + (v - y) * (2 * x + u)) / 6
        up = ((a * a + a * x) - (x * u + u * u)) / 6
        square += across**2 + up**2
    corners = [slope * arm for slope, arm in zip(corner_slopes(points), _arms(points, x0), strict=True)]
    return math.hypot(math.sqrt(square), *corners) / polygon_area(points)


def across_half_width(points: Sequence[Point]) -> float:
    """How far the centroid may be out for the edge between the points [m]: each side's half-width at its distance."""
    arms = _arms(points, centroid_across(points))
    return math.fsum(edge.half_width * arm for edge, arm in zip(edges(points), arms, strict=True)) / polygon_area(
        points
    )


def _arms(points: Sequence[Point], place: float) -> list[float]:
    """How far the middle of each side lies across from a place [m]."""
    return [abs((x + u) / 2 - place) for (x, _), (u, _) in sides(points)]
