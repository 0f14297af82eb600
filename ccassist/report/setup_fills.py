"""How a space is filled, and how what went in is read, as drawings; see :mod:`ccassist.report.setup_pictures`."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from ccassist.report.scene import (
    MEDIUM,
    SMALL,
    THICK,
    Area,
    Disc,
    Item,
    Lettering,
    Point,
    Stroke,
    arrow,
    centred,
    dimension_across,
    dimension_up,
    measure,
    rectangle,
)

# What the pictures of set-ups are made of: metal, fluid, grease, plates, pistons, dials, names.

FINE = 0.18  # mm; what a copier still keeps
Turn = Callable[[float, float], Point]


def metal(points: Sequence[Point], fill: str = "rising") -> Area:
    return Area(tuple(points), fill, MEDIUM)


def box(left: float, bottom: float, right: float, top: float, fill: str = "white") -> Area:
    return Area(rectangle((left, bottom, right, top)), fill, MEDIUM)


def line(*points: Point, width: float = MEDIUM, dash: str = "") -> Stroke:
    return Stroke(points, width, dash)


def fluid(points: Sequence[Point], dashes: Iterable[Point] = (), long: float = 3.0) -> list[Item]:
    """Fluid: a pale shade, and dashes that a copy in black and white keeps."""
    return [Area(tuple(points), "pale", FINE), *(line((x, y), (x + long, y), width=FINE) for x, y in dashes)]


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
    return [line((near, up), to, width=FINE), Disc(to, 0.45), Lettering(at, text, anchor=anchor)]


def says(text: str, at: Point, *, anchor: str = "start", bold: bool = False) -> Lettering:
    return Lettering(at, text, bold, anchor=anchor)


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


def plate(turn: Turn, left: float, right: float, holes: Sequence[tuple[float, float]]) -> list[Item]:
    """A clear plate with its holes, lying at nought."""
    edges = [left, *(edge for hole in holes for edge in hole), right]
    pieces = zip(edges[::2], edges[1::2], strict=True)
    return [Area(tuple(placed(turn, *rectangle((a, 0.8, b, 4.4)))), "white", THICK) for a, b in pieces]


def tip(at: Point) -> list[Item]:
    """The end of a burette or syringe over a hole, and a drop."""
    x, y = at
    body = ((x - 0.5, y), (x + 0.5, y), (x + 1.0, y + 5), (x + 2.2, y + 6.5), (x + 2.2, y + 13), (x - 2.2, y + 13))
    return [Area((*body, (x - 2.2, y + 6.5), (x - 1.0, y + 5)), "white", MEDIUM), Disc((x, y - 1.4), 0.55)]


def piston(turn: Turn, half: float, high: float, *, crown: float = 0.0) -> list[Item]:
    """A piston cut open, its crown flat at nought and hollowed by a dish; rings at its sides."""
    inner = half * 0.55
    body = [(-half, 0), (-inner, 0), (-inner + 2, -crown), (inner - 2, -crown), (inner, 0), (half, 0)]
    foot = [(half, -high), (half - 2.5, -high), (half - 2.5, -5.5), (2.5 - half, -5.5), (2.5 - half, -high)]
    rings = [box(*turn(x - 0.6, -3.4), *turn(x + 0.6, -2.4), "black") for x in (-half, half)]
    pin = turn(0, -high + 2.5)
    return [metal(placed(turn, *body, *foot, (-half, -high)), "falling"), *rings, Disc(pin, 2.4, "white", MEDIUM)]


# ---- spaces filled -------------------------------------------------------------------------------------------------


def chamber() -> list[Item]:
    t = turned(4.0, (43.0, 26.0))
    cavity = [(-17, 0), (-13, -8), (-9, -10.5), (11, -10.5), (15, -8), (19, 0)]
    head = [(-34, 0), *cavity, (34, 0), (34, -18), (-34, -18)]
    items: list[Item] = [metal(placed(t, *head))]
    dashes = placed(t, (-11, -3), (-4, -5), (4, -3), (9, -6), (-8, -7.5), (2, -8))
    items += fluid(placed(t, *cavity, (19, 0.8), (-17, 0.8)), dashes)
    items += [Area(tuple(placed(t, (-9, -10.5), (-1, -10.5), (-2, -12), (-8, -12))), "black", 0.0)]
    items += [Area(tuple(placed(t, *rectangle((-5.7, -18, -4.3, -12)))), "white", MEDIUM)]
    items += [Area(tuple(placed(t, *rectangle((5, -18, 10, -10.5)))), "white", MEDIUM)]
    items += [line(*placed(t, (5, y), (10, y + 0.8)), width=FINE) for y in (-17, -15.4, -13.8, -12.2)]
    items += [*plate(t, -25, 27, ((-12.5, -9.5), (13, 16))), *grease(t(-20.5, 0.4), t(22.5, 0.4))]
    items += [Disc(t(14.5, -0.6), 1.1, "white", MEDIUM), *tip((t(-11, 0)[0], 34.5))]
    items += [line((6, 4.2), (82, 4.2), width=FINE, dash="axis")]
    items += named("clear plate", (2, 37), t(-22, 2.6))
    items += named("fill hole", (19, 45), t(-11, 3.6), anchor="middle")
    items += named("vent hole at the high edge", (45, 45), t(14.5, 4.4))
    items += named("grease ring", (86, 38), t(22.5, 0.4), anchor="end")
    items += named("valve on its seat", (2, 0.6), t(-5, -11.6))
    items += named("the plug that will be run", (86, 0.6), t(8, -16), anchor="end")
    return items


def stages() -> list[Item]:
    t = upright(34.0, 30.0)
    cavity = [(-20, 0), (-12, -14), (-8, -17), (10, -17), (14, -14), (22, 0)]
    items: list[Item] = [metal(placed(t, (-32, 0), *cavity, (32, 0), (32, -24), (-32, -24)))]
    items += fluid(
        placed(t, (-14.9, -9), (-12, -14), (-8, -17), (10, -17), (14, -14), (16.9, -9)), placed(t, (-8, -12), (4, -14))
    )
    items += [line(*placed(t, (x, y), (-x + 2, y)), width=FINE, dash="dashed") for x, y in ((-16.6, -6), (-18.3, -3))]
    items += [box(*t(-28, 0), *t(-24, 6)), box(*t(24, 0), *t(28, 6)), box(*t(-28, 6), *t(28, 10))]
    items += [box(*t(-2, 10), *t(4, 19)), line(*placed(t, (1, 6), (1, -9)), width=0.7), Disc(t(1, -9), 0.6)]
    items += dimension_up(t(36, 0)[0], t(0, -9)[1], t(0, 0)[1], t(17, 0)[0])
    items += [says("depth", (72, 25)), says("depth gauge turned down", (42, 46))]
    items += [says("until it just touches", (42, 42.3))]
    items += named("levels filled one by one", (3, 1), t(-10, -9))
    items += named("face dead level", (2, 49), t(-30, 0))
    return items


def in_bore() -> list[Item]:
    t = upright(36.0, 34.0)
    items: list[Item] = [metal(placed(t, *rectangle((x, -32, x + 9, 0)))) for x in (-27, 18)]
    items += fluid(
        placed(t, *rectangle((-18, -14, 18, 0.8))), placed(t, (-13, -4), (-2, -7), (8, -4), (-10, -10), (5, -11))
    )
    items += fluid(placed(t, (-9.4, -14), (9.4, -14), (7.4, -16.5), (-7.4, -16.5)))
    items += piston(upright(36.0, 20.0), 17.4, 16, crown=2.5)
    items += [line(*placed(t, (0, -28), (0, -33)), width=2.2)]
    items += [
        *plate(t, -24, 24, ((-11, -8), (12, 15))),
        *grease(t(-21, 0.4), t(21, 0.4), t(-17.6, -13.6), t(17.6, -13.6)),
    ]
    items += [*tip((t(-9.5, 0)[0], 41.0)), Disc(t(13.5, -0.7), 1.0, "white", MEDIUM)]
    items += dimension_up(t(31, 0)[0], t(0, -14)[1], t(0, 0)[1], t(18, 0)[0])
    items += [says("drop from", (69, 28)), says("top dead", (69, 24.3)), says("centre", (69, 20.6))]
    items += named("vent hole", (56, 47), t(13.5, 4.4))
    items += named("edge sealed", (66, 13), t(17.6, -13.6))
    items += [says("with grease", (66, 9.3)), says("crank locked", (66, 2))]
    return items


def on_bench() -> list[Item]:
    items: list[Item] = []
    t = upright(22.0, 28.0)
    items += piston(t, 17.0, 18, crown=4.5)
    items += fluid(
        placed(t, (-9.3, 0.8), (-9.3, 0), (-7.3, -4.5), (7.3, -4.5), (9.3, 0), (9.3, 0.8)), placed(t, (-5, -2), (2, -3))
    )
    items += [*plate(t, -16, 16, ((-5, -2.5), (4, 6.5))), *grease(t(-12, 0.4), t(12, 0.4))]
    items += [says("dish: plate on the flat", (22, 49), anchor="middle")]
    items += named("grease", (4, 39), t(-12, 0.4))
    u = upright(62.0, 24.0)
    dome = [(-16, 0), (-9, 0), (-5, 6), (5, 6), (9, 0), (16, 0)]
    items += [metal(placed(u, *dome, (16, -14), (-16, -14)), "falling")]
    items += fluid(
        placed(u, (-12, 0), (-9, 0), (-5, 6), (5, 6), (9, 0), (12, 0), (12, 10.8), (-12, 10.8)),
        placed(u, (-9, 5), (6, 8), (-3, 8.6)),
        2.4,
    )
    items += [metal(placed(u, *rectangle((x, 0, x + 3, 10)))) for x in (-15, 12)]
    items += [
        *plate(upright(62.0, 34.0), -15, 15, ((-6, -3.5), (5, 7.5))),
        *grease(u(-13.5, 10.4), u(13.5, 10.4), u(-13.5, 0.2), u(13.5, 0.2)),
    ]
    items += dimension_up(u(20, 0)[0], u(0, 0)[1], u(0, 10)[1], u(15, 0)[0])
    items += [says("dome: ring and plate", (64, 49), anchor="middle"), says("height", (87, 18.5), anchor="end")]
    items += dimension_across(u(-12, 0), u(12, 0), 6.5, "ring bore")
    return items


def assembly() -> list[Item]:
    t = upright(36.0, 22.0)
    items: list[Item] = [metal(placed(t, *rectangle((x, -20, x + 8, 4)))) for x in (-26, 18)]
    roof = [(-26, 4), (-18, 4), (-6, 10), (-6, 20), (-14, 20), (-26, 12)]
    items += [metal(placed(t, *roof), "rising"), metal(placed(t, *((-x, y) for x, y in roof)), "rising")]
    items += fluid(
        placed(t, (-18, -1), (18, -1), (18, 4), (6, 10), (6, 14), (-6, 14), (-6, 10), (-18, 4)),
        placed(t, (-12, 2), (0, 5), (8, 2), (-4, 9)),
    )
    items += piston(upright(36.0, 21.0), 17.4, 14, crown=0.0)
    items += [line(*placed(t, (x, y), (x + 1.2, y)), width=FINE) for x in (-6, 4.8) for y in (14.5, 16, 17.5, 19)]
    tube = placed(t, (3, 30), (2.4, 14), (-3, 6), (-14, 2.2))
    items += [line(*tube, width=1.5), Stroke(tuple(tube), 0.9, shade="white")]
    items += named("thin tube to the far end", (42, 50), t(3, 28))
    items += named("plug seat", (62, 42.5), t(6, 20))
    items += named("bottom thread", (62, 36), t(6, 14))
    items += [says("plug hole upright,", (2, 48)), says("the highest point", (2, 44.3))]
    items += [
        says("top dead centre,", (62.5, 13)),
        says("both valves shut,", (62.5, 9.3)),
        says("crank locked", (62.5, 5.6)),
    ]
    return items


# ---- what is delivered, and how it is read -------------------------------------------------------------------------


def burette() -> list[Item]:
    items: list[Item] = [
        box(36, 2, 46, 52),
        Area(rectangle((30, 12, 36, 26)), "dark", 0.0),
        Area(rectangle((46, 12, 52, 26)), "dark", 0.0),
    ]
    curve = [(36 + 10 * n / 12, 26 + 2.6 * ((n - 6) / 6) ** 2) for n in range(13)]
    items += fluid([(36, 2), (46, 2), *reversed(curve)], ((38, 8), (41, 14), (38, 20)))
    items += [line(*curve, width=THICK)]
    items += [line((36, y), (36 + (5 if n % 5 == 0 else 2.6), y), width=FINE) for n, y in enumerate(range(4, 52, 2))]
    items += [line((12, 26), (45, 26), width=FINE, dash="dashed"), *_eye((9, 26)), *_eye((9, 44)), *_eye((9, 8))]
    items += [line((12, 43), (36, 30), width=FINE, dash="dotted"), line((12, 9), (36, 22), width=FINE, dash="dotted")]
    items += [says("right", (14, 27.2), bold=True), says("wrong: too high", (2, 49)), says("wrong: too low", (2, 1.4))]
    items += [*named("read the foot of the", (52, 40), (41, 26)), says("curve, at eye level", (52, 36.3))]
    items += named("dark card behind it", (56, 9), (50, 14))
    return items


def _eye(at: Point) -> list[Item]:
    x, y = at
    lids = [*arc((x, y - 2), 4, 45, 135, 8), *arc((x, y + 2), 4, 225, 315, 8)]
    return [Area(tuple(lids), "white", MEDIUM), Disc((x + 1.2, y), 1.0)]


def syringes() -> list[Item]:
    items: list[Item] = []
    for up, filled, words in (
        (33.0, 46.0, "full, to the same mark each time"),
        (11.0, 20.0, "the last one: read what it gave"),
    ):
        items += [
            box(16, up, 66, up + 9),
            box(12.5, up + 3.3, 16, up + 5.7),
            *fluid(rectangle((16, up, 16 + filled, up + 9)), ((20, up + 3), (27, up + 6))),
        ]
        seal = 16 + filled
        items += [
            Area(rectangle((seal, up, seal + 2.6, up + 9)), "black", 0.0),
            box(seal + 2.6, up + 3.6, 80, up + 5.4),
            box(80, up + 0.5, 82, up + 8.5),
        ]
        items += [
            line((16 + 4.6 * n, up + 9), (16 + 4.6 * n, up + (5.5 if n % 5 == 0 else 7)), width=FINE)
            for n in range(1, 11)
        ]
        items += [says(words, (14, up - 4.6))]
        items += named("edge of the seal", (84, up + 12), (seal, up + 9), anchor="end")
    return items


def weighing() -> list[Item]:
    items: list[Item] = []
    for x, level, shown, words in ((4.0, 18.0, "446.8 g", "before"), (58.0, 11.0, "399.5 g", "after")):
        items += [
            box(x, 4, x + 26, 11),
            box(x + 3, 11, x + 23, 13),
            box(x + 7, 5.5, x + 19, 9.8),
            centred((x + 13, 7.6), shown),
        ]
        bottle = [
            (x + 7, 13),
            (x + 19, 13),
            (x + 19, 30),
            (x + 14.2, 34),
            (x + 14.2, 40),
            (x + 11.8, 40),
            (x + 11.8, 34),
            (x + 7, 30),
        ]
        items += [
            metal(bottle, "white"),
            *fluid(rectangle((x + 7, 13, x + 19, 13 + level - 3)), ((x + 9, 16), (x + 13, 19))),
        ]
        items += [says(words, (x + 13, 45), anchor="middle", bold=True)]
    items += [*pushed((56, 25), (32, 25)), says("fill the space", (44, 27), anchor="middle")]
    items += [says("the bottle is weighed, not the part", (44, 0.6), anchor="middle")]
    return items


def calibrate() -> list[Item]:
    items: list[Item] = [box(10, 22, 17, 52), *fluid(rectangle((10, 22, 17, 44)), ((11.5, 30), (12.5, 38)))]
    items += [line((10, y), (13, y), width=FINE) for y in range(24, 52, 2)]
    items += [Area(((12.5, 22), (14.5, 22), (14, 18), (13, 18)), "white", MEDIUM), Disc((13.5, 16.6), 0.5)]
    items += [
        box(3, 2, 29, 6),
        metal([(8, 6), (19, 6), (20, 15), (7, 15)], "white"),
        *fluid([(8, 6), (19, 6), (19.5, 11), (7.5, 11)], ((10, 8),)),
    ]
    items += [centred((24, 4), "g"), says("read", (19, 46)), says("deliver", (22, 30)), says("weigh", (22, 16))]
    items += [
        box(52, 4, 72, 44),
        *fluid(rectangle((52, 4, 72, 34)), ((54, 10), (66, 14), (54, 24))),
        metal(rectangle((58, 12, 66, 40))),
    ]
    items += [line((52, 26), (49, 26)), line((52, 34), (49, 34)), *pushed((49, 34), (49, 26))]
    items += [says("or a rod of known", (56, 50)), says("size dropped in", (56, 46.3)), says("rise", (42, 29))]
    return items
