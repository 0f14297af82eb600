"""What the pictures of set-ups are made of: metal, fluid, grease, plates, pistons, dials, names."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from ccassist.report.scene import (
    MEDIUM,
    SMALL,
    THICK,
    Disc,
    Item,
    Point,
    Shape,
    Stroke,
    Words,
    arrow,
    measure,
    rectangle,
)

FINE = 0.18  # mm; what a copier still keeps
Turn = Callable[[float, float], Point]


def metal(points: Sequence[Point], fill: str = "rising") -> Shape:
    return Shape(tuple(points), fill, MEDIUM)


def box(left: float, bottom: float, right: float, top: float, fill: str = "white") -> Shape:
    return Shape(rectangle((left, bottom, right, top)), fill, MEDIUM)


def line(*points: Point, width: float = MEDIUM, dash: str = "") -> Stroke:
    return Stroke(points, width, dash)


def fluid(points: Sequence[Point], dashes: Iterable[Point] = (), long: float = 3.0) -> list[Item]:
    """Fluid: a pale shade, and dashes that a copy in black and white keeps."""
    return [Shape(tuple(points), "pale", FINE), *(line((x, y), (x + long, y), width=FINE) for x, y in dashes)]


def grease(*at: Point) -> list[Item]:
    return [Disc(point, 0.8) for point in at]


def named(text: str, at: Point, to: Point, *, anchor: str = "start") -> list[Item]:
    """A name with a line to what it names."""
    wide = measure(text)
    middle = at[1] + 0.34 * SMALL
    left = at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    near = min((left - 0.7, left + wide / 2, left + wide + 0.7), key=lambda x: abs(x - to[0]))
    up = middle
    if near == left + wide / 2:
        up = at[1] + SMALL if to[1] > at[1] else at[1] - 0.9
    return [line((near, up), to, width=FINE), Disc(to, 0.45), Words(at, text, anchor=anchor)]


def says(text: str, at: Point, *, anchor: str = "start", bold: bool = False) -> Words:
    return Words(at, text, bold, anchor=anchor)


def turned(degrees: float, about: Point) -> Turn:
    """Where a point of a part stands that is turned about a place."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return lambda x, y: (about[0] + cos * x - sin * y, about[1] + sin * x + cos * y)


def upright(x: float, y: float) -> Turn:
    return turned(0.0, (x, y))


def placed(turn: Turn, *points: Point) -> list[Point]:
    return [turn(*point) for point in points]


def arc(middle: Point, radius: float, start: float, end: float, steps: int = 24) -> list[Point]:
    """Points of an arc, degrees from the right, counter-clockwise."""
    angles = (math.radians(start + (end - start) * n / steps) for n in range(steps + 1))
    return [(middle[0] + radius * math.cos(a), middle[1] + radius * math.sin(a)) for a in angles]


def ring(middle: Point, radius: float, width: float = MEDIUM, dash: str = "") -> Stroke:
    return Stroke(tuple(arc(middle, radius, 0, 360, 48)), width, dash)


def pushed(tip: Point, tail: Point) -> list[Item]:
    """An arrow from a place to its tip."""
    long = math.dist(tip, tail)
    x, y = (tip[0] - tail[0]) / long, (tip[1] - tail[1]) / long
    return [line(tail, (tip[0] - 1.5 * x, tip[1] - 1.5 * y)), arrow(tip, x, y)]


def dial(tip: Point, long: float, radius: float = 5.5) -> list[Item]:
    """A dial indicator standing on a place: stem, face and hand."""
    x, y = tip
    face = (x, y + long + radius)
    ticks = [
        line(*((face[0] + r * math.cos(a), face[1] + r * math.sin(a)) for r in (0.82 * radius, radius)), width=FINE)
        for a in (math.radians(30 * n) for n in range(12))
    ]
    hand = line(face, (face[0], face[1] + 0.75 * radius), width=THICK)
    return [line(tip, (x, y + long), width=0.7), Disc(tip, 0.7), Disc(face, radius, "white", THICK), *ticks, hand]


def plate(turn: Turn, left: float, right: float, holes: Sequence[tuple[float, float]], up: float = 0.8) -> list[Item]:
    """A clear plate with its holes, lying at nought."""
    edges = [left, *(edge for hole in holes for edge in hole), right]
    pieces = zip(edges[::2], edges[1::2], strict=True)
    return [Shape(tuple(placed(turn, *rectangle((a, up, b, up + 3.6)))), "white", THICK) for a, b in pieces]


def tip(at: Point) -> list[Item]:
    """The end of a burette or syringe over a hole, and a drop."""
    x, y = at
    body = ((x - 0.5, y), (x + 0.5, y), (x + 1.0, y + 5), (x + 2.2, y + 6.5), (x + 2.2, y + 13), (x - 2.2, y + 13))
    return [Shape((*body, (x - 2.2, y + 6.5), (x - 1.0, y + 5)), "white", MEDIUM), Disc((x, y - 1.4), 0.55)]


def piston(turn: Turn, half: float, high: float, *, crown: float = 0.0) -> list[Item]:
    """A piston cut open, its crown flat at nought and hollowed by a dish; rings at its sides."""
    inner = half * 0.55
    body = [(-half, 0), (-inner, 0), (-inner + 2, -crown), (inner - 2, -crown), (inner, 0), (half, 0)]
    foot = [(half, -high), (half - 2.5, -high), (half - 2.5, -5.5), (2.5 - half, -5.5), (2.5 - half, -high)]
    rings = [box(*turn(x - 0.6, -3.4), *turn(x + 0.6, -2.4), "black") for x in (-half, half)]
    pin = turn(0, -high + 2.5)
    return [metal(placed(turn, *body, *foot, (-half, -high)), "falling"), *rings, Disc(pin, 2.4, "white", MEDIUM)]
