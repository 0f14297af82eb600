"""How each bench step is set up, as drawings: the one place of them for the forms, the guide and the worksheet.

A hand wide, in black and white: metal is hatched, fluid is a pale shade with dashes, grease is black, and every part
that matters is named.  Shapes are those of no engine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from ccassist.report.scene import (
    MEDIUM,
    SMALL,
    THICK,
    THIN,
    Disc,
    Item,
    Point,
    Scene,
    Shape,
    Stroke,
    Words,
    arrow,
    centred,
    dimension_across,
    dimension_up,
    measure,
    rectangle,
)

WIDE, HIGH = 88.0, 54.0  # mm, a hand
Turn = Callable[[float, float], Point]


def picture(step: str, method: str = "") -> Scene | None:
    """The drawing of a step's set-up by one way of reading; that of the step where the way has none, else None."""
    made = PICTURES.get((step, method)) or PICTURES.get((step, ""))
    return None if made is None else Scene(WIDE, HIGH, tuple(made()))


# ---- what the drawings are made of -------------------------------------------------------------------------------


def _metal(points: Sequence[Point], fill: str = "rising") -> Shape:
    return Shape(tuple(points), fill, MEDIUM)


def _box(left: float, bottom: float, right: float, top: float, fill: str = "white") -> Shape:
    return Shape(rectangle((left, bottom, right, top)), fill, MEDIUM)


def _line(*points: Point, width: float = MEDIUM, dash: str = "") -> Stroke:
    return Stroke(points, width, dash)


def _fluid(points: Sequence[Point], dashes: Iterable[Point] = (), long: float = 3.0) -> list[Item]:
    """Fluid: a pale shade, and dashes that a copy in black and white keeps."""
    return [Shape(tuple(points), "pale", THIN), *(_line((x, y), (x + long, y), width=THIN) for x, y in dashes)]


def _grease(*at: Point) -> list[Item]:
    return [Disc(point, 0.8) for point in at]


def _named(text: str, at: Point, to: Point, *, anchor: str = "start") -> list[Item]:
    """A name with a line to what it names."""
    wide = measure(text)
    middle = at[1] + 0.34 * SMALL
    left = at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
    near = min((left - 0.7, left + wide / 2, left + wide + 0.7), key=lambda x: abs(x - to[0]))
    up = middle
    if near == left + wide / 2:
        up = at[1] + SMALL if to[1] > at[1] else at[1] - 0.9
    return [_line((near, up), to, width=THIN), Disc(to, 0.45), Words(at, text, anchor=anchor)]


def _says(text: str, at: Point, *, anchor: str = "start", bold: bool = False) -> Words:
    return Words(at, text, bold, anchor=anchor)


def _turned(degrees: float, about: Point) -> Turn:
    """Where a point of a part stands that is turned about a place."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return lambda x, y: (about[0] + cos * x - sin * y, about[1] + sin * x + cos * y)


def _upright(x: float, y: float) -> Turn:
    return _turned(0.0, (x, y))


def _all(turn: Turn, *points: Point) -> list[Point]:
    return [turn(*point) for point in points]


def _arc(middle: Point, radius: float, start: float, end: float, steps: int = 24) -> list[Point]:
    """Points of an arc, degrees from the right, counter-clockwise."""
    angles = (math.radians(start + (end - start) * n / steps) for n in range(steps + 1))
    return [(middle[0] + radius * math.cos(a), middle[1] + radius * math.sin(a)) for a in angles]


def _ring(middle: Point, radius: float, width: float = MEDIUM, dash: str = "") -> Stroke:
    return Stroke(tuple(_arc(middle, radius, 0, 360, 48)), width, dash)


def _pushed(tip: Point, tail: Point) -> list[Item]:
    """An arrow from a place to its tip."""
    long = math.dist(tip, tail)
    x, y = (tip[0] - tail[0]) / long, (tip[1] - tail[1]) / long
    return [_line(tail, (tip[0] - 1.5 * x, tip[1] - 1.5 * y)), arrow(tip, x, y)]


def _dial(tip: Point, long: float, radius: float = 5.5) -> list[Item]:
    """A dial indicator standing on a place: stem, face and hand."""
    x, y = tip
    face = (x, y + long + radius)
    ticks = [
        _line(*((face[0] + r * math.cos(a), face[1] + r * math.sin(a)) for r in (0.82 * radius, radius)), width=THIN)
        for a in (math.radians(30 * n) for n in range(12))
    ]
    hand = _line(face, (face[0], face[1] + 0.75 * radius), width=THICK)
    return [_line(tip, (x, y + long), width=0.7), Disc(tip, 0.7), Disc(face, radius, "white", THICK), *ticks, hand]


def _plate(turn: Turn, left: float, right: float, holes: Sequence[tuple[float, float]], up: float = 0.8) -> list[Item]:
    """A clear plate with its holes, lying at nought."""
    edges = [left, *(edge for hole in holes for edge in hole), right]
    pieces = zip(edges[::2], edges[1::2], strict=True)
    return [Shape(tuple(_all(turn, *rectangle((a, up, b, up + 3.6)))), "white", THICK) for a, b in pieces]


def _tip(at: Point) -> list[Item]:
    """The end of a burette or syringe over a hole, and a drop."""
    x, y = at
    body = ((x - 0.5, y), (x + 0.5, y), (x + 1.0, y + 5), (x + 2.2, y + 6.5), (x + 2.2, y + 13), (x - 2.2, y + 13))
    return [Shape((*body, (x - 2.2, y + 6.5), (x - 1.0, y + 5)), "white", MEDIUM), Disc((x, y - 1.4), 0.55)]


def _piston(turn: Turn, half: float, high: float, *, crown: float = 0.0) -> list[Item]:
    """A piston cut open, its crown flat at nought and hollowed by a dish; rings at its sides."""
    inner = half * 0.55
    body = [(-half, 0), (-inner, 0), (-inner + 2, -crown), (inner - 2, -crown), (inner, 0), (half, 0)]
    foot = [(half, -high), (half - 2.5, -high), (half - 2.5, -5.5), (2.5 - half, -5.5), (2.5 - half, -high)]
    rings = [_box(*turn(x - 0.6, -3.4), *turn(x + 0.6, -2.4), "black") for x in (-half, half)]
    pin = turn(0, -high + 2.5)
    return [_metal(_all(turn, *body, *foot, (-half, -high)), "falling"), *rings, Disc(pin, 2.4, "white", MEDIUM)]


# ---- spaces filled -------------------------------------------------------------------------------------------------


def _chamber() -> list[Item]:
    t = _turned(4.0, (43.0, 26.0))
    cavity = [(-17, 0), (-13, -8), (-9, -10.5), (11, -10.5), (15, -8), (19, 0)]
    head = [(-34, 0), *cavity, (34, 0), (34, -18), (-34, -18)]
    items: list[Item] = [_metal(_all(t, *head))]
    dashes = _all(t, (-11, -3), (-4, -5), (4, -3), (9, -6), (-8, -7.5), (2, -8))
    items += _fluid(_all(t, *cavity, (19, 0.8), (-17, 0.8)), dashes)
    items += [Shape(tuple(_all(t, (-9, -10.5), (-1, -10.5), (-2, -12), (-8, -12))), "black", 0.0)]
    items += [Shape(tuple(_all(t, *rectangle((-5.7, -18, -4.3, -12)))), "white", MEDIUM)]
    items += [Shape(tuple(_all(t, *rectangle((5, -18, 10, -10.5)))), "white", MEDIUM)]
    items += [_line(*_all(t, (5, y), (10, y + 0.8)), width=THIN) for y in (-17, -15.4, -13.8, -12.2)]
    items += [*_plate(t, -25, 27, ((-12.5, -9.5), (13, 16))), *_grease(t(-20.5, 0.4), t(22.5, 0.4))]
    items += [Disc(t(14.5, -0.6), 1.1, "white", MEDIUM), *_tip((t(-11, 0)[0], 34.5))]
    items += [_line((6, 4.2), (82, 4.2), width=THIN, dash="axis")]
    items += _named("clear plate", (2, 37), t(-22, 2.6))
    items += _named("fill hole", (19, 45), t(-11, 3.6), anchor="middle")
    items += _named("vent hole at the high edge", (45, 45), t(14.5, 4.4))
    items += _named("grease ring", (86, 38), t(22.5, 0.4), anchor="end")
    items += _named("valve on its seat", (2, 0.6), t(-5, -11.6))
    items += _named("the plug that will be run", (86, 0.6), t(8, -16), anchor="end")
    return items


def _stages() -> list[Item]:
    t = _upright(34.0, 30.0)
    cavity = [(-20, 0), (-12, -14), (-8, -17), (10, -17), (14, -14), (22, 0)]
    items: list[Item] = [_metal(_all(t, (-32, 0), *cavity, (32, 0), (32, -24), (-32, -24)))]
    items += _fluid(_all(t, (-14.9, -9), (-12, -14), (-8, -17), (10, -17), (14, -14), (16.9, -9)), _all(t, (-8, -12), (4, -14)))
    items += [_line(*_all(t, (x, y), (-x + 2, y)), width=THIN, dash="dashed") for x, y in ((-16.6, -6), (-18.3, -3))]
    items += [_box(*t(-28, 0), *t(-24, 6)), _box(*t(24, 0), *t(28, 6)), _box(*t(-28, 6), *t(28, 10))]
    items += [_box(*t(-2, 10), *t(4, 19)), _line(*_all(t, (1, 6), (1, -9)), width=0.7), Disc(t(1, -9), 0.6)]
    items += dimension_up(t(36, 0)[0], t(0, -9)[1], t(0, 0)[1], t(17, 0)[0])
    items += [_says("depth", (72, 25)), _says("depth gauge turned down", (42, 46))]
    items += [_says("until it just touches", (42, 42.3))]
    items += _named("levels filled one by one", (3, 1), t(-10, -9))
    items += _named("face dead level", (2, 49), t(-30, 0))
    return items


def _in_bore() -> list[Item]:
    t = _upright(36.0, 34.0)
    items: list[Item] = [_metal(_all(t, *rectangle((x, -32, x + 9, 0)))) for x in (-27, 18)]
    items += _fluid(_all(t, *rectangle((-18, -14, 18, 0.8))), _all(t, (-13, -4), (-2, -7), (8, -4), (-10, -10), (5, -11)))
    items += _fluid(_all(t, (-9.4, -14), (9.4, -14), (7.4, -16.5), (-7.4, -16.5)))
    items += _piston(_upright(36.0, 20.0), 17.4, 16, crown=2.5)
    items += [_line(*_all(t, (0, -28), (0, -33)), width=2.2)]
    items += [*_plate(t, -24, 24, ((-11, -8), (12, 15))), *_grease(t(-21, 0.4), t(21, 0.4), t(-17.6, -13.6), t(17.6, -13.6))]
    items += [*_tip((t(-9.5, 0)[0], 41.0)), Disc(t(13.5, -0.7), 1.0, "white", MEDIUM)]
    items += dimension_up(t(31, 0)[0], t(0, -14)[1], t(0, 0)[1], t(18, 0)[0])
    items += [_says("drop from", (69, 28)), _says("top dead", (69, 24.3)), _says("centre", (69, 20.6))]
    items += _named("vent hole", (56, 47), t(13.5, 4.4))
    items += _named("edge sealed", (66, 13), t(17.6, -13.6))
    items += [_says("with grease", (66, 9.3)), _says("crank locked", (66, 2))]
    return items


def _on_bench() -> list[Item]:
    items: list[Item] = []
    t = _upright(22.0, 28.0)
    items += _piston(t, 17.0, 18, crown=4.5)
    items += _fluid(_all(t, (-9.3, 0.8), (-9.3, 0), (-7.3, -4.5), (7.3, -4.5), (9.3, 0), (9.3, 0.8)), _all(t, (-5, -2), (2, -3)))
    items += [*_plate(t, -16, 16, ((-5, -2.5), (4, 6.5))), *_grease(t(-12, 0.4), t(12, 0.4))]
    items += [_says("dish: plate on the flat", (22, 49), anchor="middle")]
    items += _named("grease", (4, 39), t(-12, 0.4))
    u = _upright(62.0, 24.0)
    dome = [(-16, 0), (-9, 0), (-5, 6), (5, 6), (9, 0), (16, 0)]
    items += [_metal(_all(u, *dome, (16, -14), (-16, -14)), "falling")]
    items += _fluid(_all(u, (-12, 0), (-9, 0), (-5, 6), (5, 6), (9, 0), (12, 0), (12, 10.8), (-12, 10.8)), _all(u, (-9, 5), (6, 8), (-3, 8.6)), 2.4)
    items += [_metal(_all(u, *rectangle((x, 0, x + 3, 10)))) for x in (-15, 12)]
    items += [*_plate(_upright(62.0, 34.0), -15, 15, ((-6, -3.5), (5, 7.5))), *_grease(u(-13.5, 10.4), u(13.5, 10.4), u(-13.5, 0.2), u(13.5, 0.2))]
    items += dimension_up(u(20, 0)[0], u(0, 0)[1], u(0, 10)[1], u(15, 0)[0])
    items += [_says("dome: ring and plate", (64, 49), anchor="middle"), _says("height", (87, 18.5), anchor="end")]
    items += dimension_across(u(-12, 0), u(12, 0), 6.5, "ring bore")
    return items


def _assembly() -> list[Item]:
    t = _upright(36.0, 22.0)
    items: list[Item] = [_metal(_all(t, *rectangle((x, -20, x + 8, 4)))) for x in (-26, 18)]
    roof = [(-26, 4), (-18, 4), (-6, 10), (-6, 20), (-14, 20), (-26, 12)]
    items += [_metal(_all(t, *roof), "rising"), _metal(_all(t, *((-x, y) for x, y in roof)), "rising")]
    items += _fluid(_all(t, (-18, -1), (18, -1), (18, 4), (6, 10), (6, 14), (-6, 14), (-6, 10), (-18, 4)), _all(t, (-12, 2), (0, 5), (8, 2), (-4, 9)))
    items += _piston(_upright(36.0, 21.0), 17.4, 14, crown=0.0)
    items += [_line(*_all(t, (x, y), (x + 1.2, y)), width=THIN) for x in (-6, 4.8) for y in (14.5, 16, 17.5, 19)]
    tube = _all(t, (3, 30), (2.4, 14), (-3, 6), (-14, 2.2))
    items += [_line(*tube, width=1.5), Stroke(tuple(tube), 0.9, shade="white")]
    items += _named("thin tube to the far end", (42, 50), t(3, 28))
    items += _named("plug seat", (62, 42.5), t(6, 20))
    items += _named("bottom thread", (62, 36), t(6, 14))
    items += [_says("plug hole upright,", (2, 48)), _says("the highest point", (2, 44.3))]
    items += [_says("top dead centre,", (62.5, 13)), _says("both valves shut,", (62.5, 9.3)), _says("crank locked", (62.5, 5.6))]
    return items


# ---- what is delivered, and how it is read -------------------------------------------------------------------------


def _burette() -> list[Item]:
    items: list[Item] = [_box(36, 2, 46, 52), Shape(rectangle((30, 12, 36, 26)), "dark", 0.0), Shape(rectangle((46, 12, 52, 26)), "dark", 0.0)]
    curve = [(36 + 10 * n / 12, 26 + 2.6 * ((n - 6) / 6) ** 2) for n in range(13)]
    items += _fluid([(36, 2), (46, 2), *reversed(curve)], ((38, 8), (41, 14), (38, 20)))
    items += [_line(*curve, width=THICK)]
    items += [_line((36, y), (36 + (5 if n % 5 == 0 else 2.6), y), width=THIN) for n, y in enumerate(range(4, 52, 2))]
    items += [_line((12, 26), (45, 26), width=THIN, dash="dashed"), *_eye((9, 26)), *_eye((9, 44)), *_eye((9, 8))]
    items += [_line((12, 43), (36, 30), width=THIN, dash="dotted"), _line((12, 9), (36, 22), width=THIN, dash="dotted")]
    items += [_says("right", (14, 27.2), bold=True), _says("wrong: too high", (2, 49)), _says("wrong: too low", (2, 1.4))]
    items += _named("read the foot of the", (52, 40), (41, 26)) + [_says("curve, at eye level", (52, 36.3))]
    items += _named("dark card behind it", (56, 9), (50, 14))
    return items


def _eye(at: Point) -> list[Item]:
    x, y = at
    lids = [*_arc((x, y - 2), 4, 45, 135, 8), *_arc((x, y + 2), 4, 225, 315, 8)]
    return [Shape(tuple(lids), "white", MEDIUM), Disc((x + 1.2, y), 1.0)]


def _syringes() -> list[Item]:
    items: list[Item] = []
    for up, filled, words in ((33.0, 46.0, "full, to the same mark each time"), (11.0, 20.0, "the last one: read what it gave")):
        items += [_box(16, up, 66, up + 9), _box(12.5, up + 3.3, 16, up + 5.7), *_fluid(rectangle((16, up, 16 + filled, up + 9)), ((20, up + 3), (27, up + 6)))]
        seal = 16 + filled
        items += [Shape(rectangle((seal, up, seal + 2.6, up + 9)), "black", 0.0), _box(seal + 2.6, up + 3.6, 80, up + 5.4), _box(80, up + 0.5, 82, up + 8.5)]
        items += [_line((16 + 4.6 * n, up + 9), (16 + 4.6 * n, up + (5.5 if n % 5 == 0 else 7)), width=THIN) for n in range(1, 11)]
        items += [_says(words, (14, up - 4.6))]
        items += _named("edge of the seal", (84, up + 12), (seal, up + 9), anchor="end")
    return items


def _weighing() -> list[Item]:
    items: list[Item] = []
    for x, level, shown, words in ((4.0, 18.0, "446.8 g", "before"), (58.0, 11.0, "399.5 g", "after")):
        items += [_box(x, 4, x + 26, 11), _box(x + 3, 11, x + 23, 13), _box(x + 7, 5.5, x + 19, 9.8), centred((x + 13, 7.6), shown)]
        bottle = [(x + 7, 13), (x + 19, 13), (x + 19, 30), (x + 14.2, 34), (x + 14.2, 40), (x + 11.8, 40), (x + 11.8, 34), (x + 7, 30)]
        items += [_metal(bottle, "white"), *_fluid(rectangle((x + 7, 13, x + 19, 13 + level - 3)), ((x + 9, 16), (x + 13, 19)))]
        items += [_says(words, (x + 13, 45), anchor="middle", bold=True)]
    items += [*_pushed((56, 25), (32, 25)), _says("fill the space", (44, 27), anchor="middle")]
    items += [_says("the bottle is weighed, not the part", (44, 0.6), anchor="middle")]
    return items


def _calibrate() -> list[Item]:
    items: list[Item] = [_box(10, 22, 17, 52), *_fluid(rectangle((10, 22, 17, 44)), ((11.5, 30), (12.5, 38)))]
    items += [_line((10, y), (13, y), width=THIN) for y in range(24, 52, 2)]
    items += [Shape(((12.5, 22), (14.5, 22), (14, 18), (13, 18)), "white", MEDIUM), Disc((13.5, 16.6), 0.5)]
    items += [_box(3, 2, 29, 6), _metal([(8, 6), (19, 6), (20, 15), (7, 15)], "white"), *_fluid([(8, 6), (19, 6), (19.5, 11), (7.5, 11)], ((10, 8),))]
    items += [centred((24, 4), "g"), _says("read", (19, 46)), _says("deliver", (22, 30)), _says("weigh", (22, 16))]
    items += [_box(52, 4, 72, 44), *_fluid(rectangle((52, 4, 72, 34)), ((54, 10), (66, 14), (54, 24))), _metal(rectangle((58, 12, 66, 40)))]
    items += [_line((52, 26), (49, 26)), _line((52, 34), (49, 34)), *_pushed((49, 34), (49, 26))]
    items += [_says("or a rod of known", (56, 50)), _says("size dropped in", (56, 46.3)), _says("rise", (42, 29))]
    return items


# ---- lengths ---------------------------------------------------------------------------------------------------------


def _bore() -> list[Item]:
    items: list[Item] = [_metal(rectangle((x, 4, x + 8, 46))) for x in (6, 44)]
    for y, words in ((38.0, "near the top"), (14.0, "low in the travel")):
        items += [*_pushed((14, y), (28, y)), *_pushed((44, y), (30, y)), _says(words, (29, y + 1.6), anchor="middle")]
    items += [_ring((70, 26), 13, THICK), *_pushed((57, 26), (69, 26)), *_pushed((83, 26), (71, 26)), *_pushed((70, 39), (70, 27)), *_pushed((70, 13), (70, 25))]
    items += [_says("on two axes", (70, 43), anchor="middle"), _says("along the crank", (70, 6.5), anchor="middle"), _says("and across it", (70, 2.8), anchor="middle")]
    return items


def _stroke() -> list[Item]:
    items: list[Item] = []
    for x, up, words in ((20.0, 34.0, "top"), (52.0, 22.0, "bottom")):
        items += [_metal(rectangle((a, 4, a + 5, 44))) for a in (x - 15, x + 10)]
        items += [*_piston(_upright(x, up), 9.6, 11), *_dial((x, up), 46.5 - up - 6.5, 4.0)]
        items += [_says(words, (x, 0.4), anchor="middle")]
    items += dimension_up(74.0, 22.0, 34.0, 60.0)
    items += [_line((30, 34), (60, 34), width=THIN, dash="dashed"), _says("stroke", (76, 27))]
    return items


def _rod() -> list[Item]:
    big, small = (22.0, 27.0), (68.0, 27.0)
    items: list[Item] = [_metal([(28, 32), (62, 30), (62, 24), (28, 22)]), Disc(big, 15, "white", MEDIUM), Disc(small, 9, "white", MEDIUM)]
    items += [_metal(_arc(big, 15, 0, 360, 40)), Disc(big, 10, "white", THICK), _metal(_arc(small, 9, 0, 360, 40)), Disc(small, 5, "white", THICK)]
    items += [_line((22, 10), (22, 44), width=THIN, dash="axis"), _box(19, 41, 25, 43, "black"), _box(19, 11, 25, 13, "black")]
    items += dimension_across((32, 27), (63, 27), 49, "near edges")
    items += dimension_across((22, 27), (68, 27), 9.0, "length")
    items += [_says("length = near edges + half of each bore", (44, 2), anchor="middle")]
    items += _named("cap torqued", (2, 47), (19.5, 42))
    return items


def _block() -> list[Item]:
    items: list[Item] = [_metal([(12, 44), (58, 44), (58, 12), (42, 12), *_arc((35, 12), 7, 0, 180, 20), (12, 12)])]
    items += [_box(24, 20, 46, 44), Disc((35, 12), 6.6, "white", THICK), _metal(_arc((35, 12), 5.4, 0, 360, 30), "falling")]
    items += [_metal([(26, 4.2), (44, 4.2), (44, 12), (41.6, 12), *_arc((35, 12), 6.6, 0, -180, 20), (26, 12)])]
    items += dimension_up(66, 17.4, 44, 36)
    items += [_says("measured", (68, 30)), _says("+ half the bar", (68, 26.3)), _says("= deck height", (68, 22.6))]
    items += _named("deck", (4, 49.5), (20, 44))
    items += _named("bar in the mains", (50, 5.4), (38, 10))
    items += [_says("caps torqued", (50, 1.5))]
    return items


def _corners() -> list[Item]:
    items: list[Item] = [_box(12, 12, 76, 42), *(_ring((x, 27), 6.2, THICK) for x in (22, 36.7, 51.3, 66))]
    places = (((15, 39), "front right", (2, 46.5), "start"), ((15, 15), "front left", (2, 4), "start"))
    places += (((73, 39), "rear right", (86, 46.5), "end"), ((73, 15), "rear left", (86, 4), "end"))
    for at, words, place, anchor in places:
        items += [Disc(at, 1.6, "black"), *_named(words, place, at, anchor=anchor)]
    items += [*_pushed((40, 8), (52, 8)), _says("front of the engine", (44, 2.6), anchor="middle")]
    items += [_says("deck from above", (44, 48), anchor="middle")]
    return items


def _pin_height() -> list[Item]:
    t = _upright(32.0, 12.0)
    items: list[Item] = [_metal(rectangle((6, 4, 62, 12))), _metal(_all(t, (-20, 0), (20, 0), (20, 28), (15, 28), (15, 8), (-15, 8), (-15, 28), (-20, 28)), "falling")]
    items += [Disc(t(0, 19), 5.2, "white", THICK), _line(*_all(t, (-9, 19), (9, 19)), width=THIN, dash="axis")]
    items += dimension_up(66, 12, t(0, 13.8)[1], 32)
    items += [_says("plate to pin", (68, 20)), _says("+ half the pin", (68, 16.3)), _says("= height", (68, 12.6))]
    items += _named("pin pushed one way", (30, 48), t(2, 23))
    items += [_says("crown flat on a surface plate", (34, 0.4), anchor="middle")]
    return items


def _deck() -> list[Item]:
    t = _upright(30.0, 24.0)
    items: list[Item] = [_metal(_all(t, *rectangle((x, -22, x + 9, 0)))) for x in (-26, 17)]
    items += _piston(_upright(30.0, 21.5), 16.4, 17)
    items += [_box(*t(-24, 0), *t(-20, 9)), _box(*t(20, 0), *t(24, 9)), _box(*t(-24, 9), *t(24, 12.5))]
    items += _dial((30.0, 21.5), 15.0)
    items += [_line((30, 20), (30, 2), width=THIN, dash="axis")]
    items += dimension_up(60.5, 21.5, 24.0, 46.4)
    items += [_says("below deck", (62, 27)), _ring((72, 13), 9.5, THICK), _line((72, 1.5), (72, 24.5), width=THIN, dash="axis")]
    items += [Disc((72, 18.5), 1.1), Disc((72, 7.5), 1.1), Disc((64.5, 13), 1.0, "white", MEDIUM), Disc((79.5, 13), 1.0, "white", MEDIUM)]
    items += _named("dial on the pin axis, front and rear", (34, 50), (31, 37))
    items += _named("zero on deck", (66, 38), (52, 24))
    return items


def _gasket() -> list[Item]:
    items: list[Item] = [_ring((26, 27), 20, THICK), _ring((26, 27), 16.5, THICK), *_pushed((9.5, 27), (25, 27)), *_pushed((42.5, 27), (27, 27))]
    items += [_says("on two axes", (26, 29), anchor="middle"), *_pushed((26, 43.5), (26, 34)), *_pushed((26, 10.5), (26, 20))]
    items += _named("sealing ring, not the cylinder bore", (30, 50), (31.5, 46.2))
    items += [_says("a shim is a layer", (54, 24)), _says("of its own, with", (54, 20.3)), _says("its own opening", (54, 16.6))]
    return items


def _thickness() -> list[Item]:
    items: list[Item] = [_ring((22, 27), 18, THICK), _ring((22, 27), 14.5, THICK)]
    items += [Disc((22 + 16.2 * math.cos(a), 27 + 16.2 * math.sin(a)), 1.2) for a in (math.radians(90 + 72 * n) for n in range(5))]
    items += [_says("five points", (22, 28.5), anchor="middle"), _says("round the ring", (22, 24.8), anchor="middle")]
    items += [_metal(rectangle((48, 24, 84, 29))), *_pushed((66, 29), (66, 40)), *_pushed((66, 24), (66, 13))]
    items += [_box(62, 40, 70, 47), _box(62, 6, 70, 13), _says("compressed,", (48, 36)), _says("not free", (72, 36))]
    items += [_says("a used one springs back: too thick", (86, 1), anchor="end")]
    return items


def _outline() -> list[Item]:
    left, right = (34.0, 27.0), (48.0, 27.0)
    points = [*_arc(right, 16, -55, 55, 9), *_arc(left, 16, 125, 235, 9)]
    items: list[Item] = [_line((x, 6), (x, 50), width=THIN, dash="dotted") for x in range(12, 76, 5)]
    items += [_line((10, y), (74, y), width=THIN, dash="dotted") for y in range(7, 50, 5)]
    items += [Shape(tuple(points), "", THICK), *(Disc(point, 0.9) for point in points)]
    items += [*_pushed((78, 6), (10, 6)), *_pushed((12, 53), (12, 4)), _says("x", (80, 5)), _says("y", (8, 50))]
    items += [_says("1", (points[0][0] + 1.6, points[0][1] - 2.6), bold=True), _says("2", (points[1][0] + 1.6, points[1][1] - 2.4), bold=True)]
    items += _named("one in every corner", (86, 48), points[9], anchor="end")
    items += [_says("close in bends, all the way round in order", (44, 0.8), anchor="middle")]
    return items


def _cut_out() -> list[Item]:
    shape = [*_arc((28, 33), 10, -60, 60, 12), *_arc((19, 33), 10, 120, 240, 12)]
    items: list[Item] = [Shape(tuple(shape), "sparse", THICK), _metal(rectangle((54, 23, 74, 43)), "sparse")]
    for x, shown in ((11.0, "4.98 g"), (51.0, "8.12 g")):
        items += [_box(x, 4, x + 26, 11), _box(x + 3, 11, x + 23, 13), _box(x + 6, 5.5, x + 20, 9.8), centred((x + 13, 7.6), shown)]
        items += _pushed((x + 13, 14), (x + 13, 21))
    items += [_says("cut-out, several together", (24, 48), anchor="middle"), _says("square of known size", (66, 48), anchor="middle")]
    items += [_says("both of the same sheet: heavy card, plastic or shim", (44, 0.4), anchor="middle")]
    return items


def _land() -> list[Item]:
    items: list[Item] = [_metal([(14, 42), (56, 42), (56, 30), (54, 30), (54, 27), (56, 27), (56, 23), (54, 23), (54, 20), (57, 20), (57, 6), (13, 6), (13, 20), (16, 20), (16, 23), (14, 23), (14, 27), (16, 27), (16, 30), (14, 30)], "falling")]
    items += dimension_across((14, 42), (56, 42), 48, "land diameter")
    items += dimension_up(66, 30, 42, 56)
    items += [_says("crown to", (68, 37)), _says("top ring", (68, 33.3))]
    items += _named("top-ring groove", (61, 18), (55, 28))
    return items


def _lifts() -> list[Item]:
    wheel = (22.0, 26.0)
    items: list[Item] = [_ring(wheel, 18, THICK), _ring(wheel, 15, THIN), Disc(wheel, 1.6)]
    items += [_line(*((22 + r * math.cos(a), 26 + r * math.sin(a)) for r in (15, 18)), width=THIN) for a in (math.radians(15 * n) for n in range(24))]
    items += [*_pushed((22, 44.5), (22, 52)), _says("0 at true TDC", (24, 48.5)), _says("before", (9.5, 30)), _says("after", (27, 30))]
    items += [_says("degree wheel", (22, 1.5), anchor="middle")]
    t = _turned(0.0, (64.0, 8.0))
    items += [Shape(tuple(_all(t, (-9, 0), (9, 0), (6.5, 3), (-6.5, 3))), "falling", MEDIUM), _box(*t(-1, 3), *t(1, 24)), _box(*t(-6, 22), *t(6, 24), "black")]
    items += [_line(*_all(t, *((-5 if n % 2 else 5, 8 + 1.75 * n) for n in range(9)))), _metal(_all(t, *rectangle((-10, 6, -2, 8)))), _metal(_all(t, *rectangle((2, 6, 10, 8))))]
    items += _dial((64.0, 32.0), 6.0, 5.0)
    items += [_says("dial on the retainer,", (86, 50), anchor="end")]
    items += [_says("in line with", (86, 35), anchor="end"), _says("the stem", (86, 31.3), anchor="end"), _says("light spring", (87.5, 24), anchor="end")]
    return items


PICTURES: dict[tuple[str, str], Callable[[], list[Item]]] = {
    ("chamber", ""): _chamber,
    ("stages", ""): _stages,
    ("crown", ""): _in_bore,
    ("crown-bench", ""): _on_bench,
    ("assembly", ""): _assembly,
    ("calibrate", ""): _calibrate,
    ("read", "burette"): _burette,
    ("read", "syringes"): _syringes,
    ("read", "weighing"): _weighing,
    ("bore", ""): _bore,
    ("stack", "stroke"): _stroke,
    ("stack", "rod"): _rod,
    ("stack", "block"): _block,
    ("stack", "corners"): _corners,
    ("stack", "pin_height"): _pin_height,
    ("deck", ""): _deck,
    ("gasket", ""): _gasket,
    ("gasket", "thickness"): _thickness,
    ("gasket", "outline"): _outline,
    ("gasket", "cut-out"): _cut_out,
    ("opening", "outline"): _outline,
    ("opening", "cut-out"): _cut_out,
    ("land", ""): _land,
    ("intake-lifts", ""): _lifts,
    ("exhaust-lifts", ""): _lifts,
}
