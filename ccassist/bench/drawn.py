"""A drawn outline: lines, arcs and curves joined end to end; its area, centroid and greatest width.

Lengths are in the unit of the drawing.  Lines, arcs of circles and ellipses and Bézier curves are reckoned exactly, by
Green's theorem; what was broken into chords before it came here says by how much it may be out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from ccassist.bench.traced import Point, cross, hand, sides
from ccassist.vocabulary.record import record

# Gauss-Legendre, five points, exact to the ninth power; a cubic needs the eighth.  Source: Abramowitz and Stegun (1964)
# 25.4.30, in closed form (from memory); held against exact areas in the tests.
_OUTER, _INNER = (math.sqrt(5 + way * 2 * math.sqrt(10 / 7)) / 3 for way in (1, -1))
_AT_OUTER, _AT_INNER = ((322 - way * 13 * math.sqrt(70)) / 900 for way in (1, -1))
_NODES = ((0.0, 128 / 225), *((way * at, w) for at, w in ((_OUTER, _AT_OUTER), (_INNER, _AT_INNER)) for way in (1, -1)))
_SPAN = math.pi / 16  # of an arc reckoned at once: what is left out is below the sixteenth figure
_SEEN, _CROSSED = 256, 32  # points of a curve, or a whole turn, for its width; for what crosses it
_FEWEST, _MOST = 4, 4000  # points of a curve, and about so many of a path
_PATIENCE = 2_000_000  # pairs of chords one above the other
FARTHEST = 1e7  # of a coordinate, in any unit: what lies beyond is a slip, or damage
JOINED = 1e-4  # of the size of a drawing: ends no farther apart were meant to meet (common practice, no source)


@record(kw_only=False)
class Bezier:
    """A line or a Bézier curve by its two to four points."""

    points: tuple[Point, ...]

    @property
    def turns(self) -> float:
        """For how much of a whole turn it counts where it is broken into points."""
        return 0.0 if len(self.points) == 2 else 1.0

    def at(self, t: float) -> tuple[float, float, float, float]:
        """Its point at t, 0 to 1, and how that moves with t.  de Casteljau's way."""
        row = list(self.points)
        while len(row) > 2:
            row = [_between(a, b, t) for a, b in pairwise(row)]
        (a, b), (u, v) = row
        n = len(self.points) - 1
        return (*_between((a, b), (u, v), t), n * (u - a), n * (v - b))

    def back(self) -> Bezier:
        """The same from its end."""
        return Bezier(self.points[::-1])


@record(kw_only=False)
class Arc:
    """Part of a circle or ellipse: centre + along cos a + across sin a, a from ``start`` on by ``span`` [rad]."""

    centre: Point
    along: Point
    across: Point
    start: float
    span: float

    @property
    def turns(self) -> float:
        """How much of a whole turn it is."""
        return abs(self.span) / math.tau

    def at(self, t: float) -> tuple[float, float, float, float]:
        """Its point at t, 0 to 1, and how that moves with t."""
        angle = self.start + self.span * t
        c, s = math.cos(angle), math.sin(angle)
        (ux, uy), (vx, vy) = self.along, self.across
        x, y = self.centre[0] + ux * c + vx * s, self.centre[1] + uy * c + vy * s
        return x, y, self.span * (vx * c - ux * s), self.span * (vy * c - uy * s)

    def back(self) -> Arc:
        """The same from its end."""
        return Arc(self.centre, self.along, self.across, self.start + self.span, -self.span)


Piece = Bezier | Arc


@record(kw_only=False)
class Path:
    """Pieces end to end, and how far the true edge may lie from them (0 where they are it)."""

    pieces: tuple[Piece, ...]
    off: float = 0.0

    @property
    def first(self) -> Point:
        """Where it starts."""
        return self.pieces[0].at(0.0)[:2]

    @property
    def last(self) -> Point:
        """Where it ends."""
        return self.pieces[-1].at(1.0)[:2]

    def back(self) -> Path:
        """The same from its end."""
        return Path(tuple(piece.back() for piece in reversed(self.pieces)), self.off)

    def points(self, whole: int = _SEEN) -> list[Point]:
        """Points along it, so many to a whole turn, fewer where it has very many pieces; the corners among them."""
        each = max(_FEWEST, min(whole, _MOST // len(self.pieces)))
        return [piece.at(i / n)[:2] for piece in self.pieces for n in (_count(piece, each),) for i in range(n)]


@record
class MeasuredOutline:
    """What an outline holds: area, and its centroid; how far the area and a coordinate of the centroid may be out."""

    area: float
    centroid: Point
    widest: float
    area_off: float
    centroid_off: float


def line(start: Point, end: Point) -> Bezier:
    """A straight piece."""
    return Bezier((start, end))


def bulged(start: Point, end: Point, bulge: float) -> Piece:
    """A piece of a polyline: ``bulge`` is the tangent of a quarter of its angle, positive anticlockwise; 0 is straight.

    Source: plane geometry; the meaning of a bulge: the published DXF reference, LWPOLYLINE group 42 (from memory).
    """
    if bulge == 0:
        return line(start, end)
    (a, b), (u, v) = start, end
    rise = (1 - bulge * bulge) / (4 * bulge)
    x, y = (a + u) / 2 - rise * (v - b), (b + v) / 2 + rise * (u - a)
    return Arc((x, y), (a - x, b - y), (y - b, a - x), 0.0, 4 * math.atan(bulge))


def closed(paths: Sequence[Path]) -> tuple[list[Path], list[Point]]:
    """Paths joined end to end into closed ones, and the ends that meet no other, or more than one."""
    near = JOINED * size([p for path in paths for p in path.points(_CROSSED)])
    done = [path for path in paths if math.dist(path.first, path.last) <= near and path.points(_CROSSED)[2:]]
    rest = [path for path in paths if path not in done]
    loose = _loose(rest, near)
    if loose:
        return done, loose
    while rest:
        chain = rest.pop()
        while math.dist(chain.last, chain.first) > near:
            after = next(p for p in rest if near >= min(math.dist(chain.last, end) for end in (p.first, p.last)))
            rest.remove(after)
            chain = _joined(chain, after if math.dist(chain.last, after.first) <= near else after.back())
        done.append(chain)
    return [_shut(path) for path in done], []


def _loose(paths: Sequence[Path], near: float) -> list[Point]:
    ends = [end for path in paths for end in (path.first, path.last)]
    met = [0] * len(ends)
    for (i, one), (j, other) in combinations(enumerate(ends), 2):
        if math.dist(one, other) <= near:
            met[i], met[j] = met[i] + 1, met[j] + 1
    return [end for end, count in zip(ends, met, strict=True) if count != 1]


def _joined(one: Path, other: Path) -> Path:
    gap = math.dist(one.last, other.first)
    bridge = (line(one.last, other.first),) if gap else ()
    return Path((*one.pieces, *bridge, *other.pieces), max(one.off, other.off, gap))


def _shut(path: Path) -> Path:
    gap = math.dist(path.last, path.first)
    return Path((*path.pieces, line(path.last, path.first)), max(path.off, gap)) if gap else path


def crosses(path: Path) -> bool:
    """Whether a closed path crosses itself, or is so tangled that nobody can tell: chords that have each other's ends
    on either hand."""
    points = [p for p, q in sides(path.points(_CROSSED)) if p != q]
    if len(points) < 3:
        return True
    chords, looked = sorted((min(p, q), max(p, q)) for p, q in sides(points)), 0
    for i, (a, b) in enumerate(chords):
        for j in range(i + 1, len(chords)):
            (c, d), looked = chords[j], looked + 1
            if c[0] > b[0]:
                break
            if looked > _PATIENCE:
                return True
            if cross(a, b, c, d):
                return True
    return False


def holds(outer: Path, inner: Path) -> bool:
    """Whether one closed path lies in another, whole."""
    edge = sides(outer.points())
    return all(_inside(edge, point) for point in inner.points(_CROSSED))


def _inside(edge: Sequence[tuple[Point, Point]], point: Point) -> bool:
    x, y = point
    crossed = [(b > y) != (v > y) and x < a + (y - b) / (v - b) * (u - a) for (a, b), (u, v) in edge if b != v]
    return sum(crossed) % 2 == 1


def measured(outer: Path, holes: Sequence[Path] = ()) -> MeasuredOutline:
    """Area, centroid and greatest width of a closed path less the holes in it."""
    x0, y0 = outer.first
    found = [_moments(path, x0, y0) for path in (outer, *holes)]
    ways = [1, *([-1] * len(holes))]
    area, mx, my = (math.fsum(way * one[i] for way, one in zip(ways, found, strict=True)) for i in range(3))
    wide = size(outer.points())
    off = math.fsum(path.off * one[3] for path, one in zip((outer, *holes), found, strict=True))
    place = (x0 + mx / area, y0 + my / area) if area else (x0, y0)
    return MeasuredOutline(
        area=area, centroid=place, widest=wide, area_off=off, centroid_off=off * wide / area if area else 0.0
    )


def _moments(path: Path, x0: float, y0: float) -> tuple[float, float, float, float]:
    """Area, its moments across and up from a place, and the length of the edge; going round either way.

    ½∮(x dy − y dx), ½∮x² dy, −½∮y² dx.  Source: Green's theorem.
    """
    terms: list[tuple[float, float, float, float]] = []
    for piece in path.pieces:
        parts = max(1, math.ceil(piece.turns * math.tau / _SPAN)) if isinstance(piece, Arc) else 1
        for t, weight in ((((i + (1 + node) / 2) / parts), w / 2 / parts) for i in range(parts) for node, w in _NODES):
            x, y, dx, dy = piece.at(t)
            x, y = x - x0, y - y0
            whole = (0.5 * (x * dy - y * dx), 0.5 * x * x * dy, -0.5 * y * y * dx, math.hypot(dx, dy))
            terms.append((weight * whole[0], weight * whole[1], weight * whole[2], weight * whole[3]))
    area, mx, my, length = (math.fsum(column) for column in zip(*terms, strict=True))
    sense = math.copysign(1.0, area)
    return sense * area, sense * mx, sense * my, length


def size(points: Sequence[Point]) -> float:
    """The greatest distance between any two of the points: between corners of their hull that face each other.

    Source: rotating callipers, Preparata and Shamos, Computational Geometry (1985) 4.2.3 (from memory).
    """
    spread = sorted(set(points))
    hull = [*_half_hull(spread)[:-1], *_half_hull(spread[::-1])[:-1]]
    widest, far = 0.0, 1
    for i, here in enumerate(hull):
        there = hull[(i + 1) % len(hull)]
        while hand(here, there, hull[(far + 1) % len(hull)]) > hand(here, there, hull[far % len(hull)]):
            far += 1
        facing = [hull[(far + more) % len(hull)] for more in (0, 1)]
        widest = max(widest, *(math.dist(one, other) for one in (here, there) for other in facing))
    return widest


def _half_hull(points: Sequence[Point]) -> list[Point]:
    """The lower half of the hull of points in order across; of points in the other order the upper one."""
    hull: list[Point] = []
    for x, y in points:
        while len(hull) > 1 and hand(hull[-2], hull[-1], (x, y)) <= 0:
            hull.pop()
        hull.append((x, y))
    return hull


def _between(a: Point, b: Point, t: float) -> Point:
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t


def _count(piece: Piece, whole: int) -> int:
    return max(1, math.ceil(piece.turns * whole))


def spans(points: Sequence[Point]) -> Iterator[Bezier]:
    """Straight pieces from point to point, none of no length."""
    return (line(p, q) for p, q in pairwise(points) if p != q)
