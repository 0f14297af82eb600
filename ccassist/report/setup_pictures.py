"""How each bench step is set up, as drawings: the one place of them for the forms, the guide and the worksheet.

A hand wide, in black and white: metal is hatched, fluid is a pale shade with dashes, grease is black, and every part
that matters is named.  Shapes are those of no engine.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from ccassist.report import setup_fills
from ccassist.report.scene import (
    MEDIUM,
    THICK,
    Area,
    Disc,
    Item,
    Point,
    Scene,
    centred,
    dimension_across,
    dimension_up,
    rectangle,
)
from ccassist.report.setup_fills import (
    FINE,
    arc,
    box,
    dial,
    line,
    metal,
    named,
    piston,
    placed,
    pushed,
    ring,
    says,
    turned,
    upright,
)

WIDE, HIGH = 88.0, 54.0  # mm, a hand


def picture(step: str, method: str = "") -> Scene | None:
    """The drawing of a step's set-up by one way of reading; that of the step where the way has none, else None."""
    made = PICTURES.get((step, method)) or PICTURES.get((step, ""))
    return None if made is None else Scene(WIDE, HIGH, tuple(made()))


# ---- lengths ---------------------------------------------------------------------------------------------------------


def _bore() -> list[Item]:
    items: list[Item] = [metal(rectangle((x, 4, x + 8, 46))) for x in (6, 44)]
    for y, words in ((38.0, "near the top"), (14.0, "low in the travel")):
        items += [*pushed((14, y), (28, y)), *pushed((44, y), (30, y)), says(words, (29, y + 1.6), anchor="middle")]
    items += [
        ring((70, 26), 13, THICK),
        *pushed((57, 26), (69, 26)),
        *pushed((83, 26), (71, 26)),
        *pushed((70, 39), (70, 27)),
        *pushed((70, 13), (70, 25)),
    ]
    items += [
        says("on two axes", (70, 43), anchor="middle"),
        says("along the crank", (70, 6.5), anchor="middle"),
        says("and across it", (70, 2.8), anchor="middle"),
    ]
    return items


def _stroke() -> list[Item]:
    items: list[Item] = []
    for x, up, words in ((20.0, 34.0, "top"), (52.0, 22.0, "bottom")):
        items += [metal(rectangle((a, 4, a + 5, 44))) for a in (x - 15, x + 10)]
        items += [*piston(upright(x, up), 9.6, 11), *dial((x, up), 46.5 - up - 6.5, 4.0)]
        items += [says(words, (x, 0.4), anchor="middle")]
    items += dimension_up(74.0, 22.0, 34.0, 60.0)
    items += [line((30, 34), (60, 34), width=FINE, dash="dashed"), says("stroke", (76, 27))]
    return items


def _rod() -> list[Item]:
    big, small = (22.0, 27.0), (68.0, 27.0)
    items: list[Item] = [
        metal([(28, 32), (62, 30), (62, 24), (28, 22)]),
        Disc(big, 15, "white", MEDIUM),
        Disc(small, 9, "white", MEDIUM),
    ]
    items += [
        metal(arc(big, 15, 0, 360, 40)),
        Disc(big, 10, "white", THICK),
        metal(arc(small, 9, 0, 360, 40)),
        Disc(small, 5, "white", THICK),
    ]
    items += [
        line((22, 10), (22, 44), width=FINE, dash="axis"),
        box(19, 41, 25, 43, "black"),
        box(19, 11, 25, 13, "black"),
    ]
    items += dimension_across((32, 27), (63, 27), 49, "near edges")
    items += dimension_across((22, 27), (68, 27), 9.0, "length")
    items += [says("length = near edges + half of each bore", (44, 2), anchor="middle")]
    items += named("cap torqued", (2, 47), (19.5, 42))
    return items


def _block() -> list[Item]:
    items: list[Item] = [metal([(12, 44), (58, 44), (58, 12), (42, 12), *arc((35, 12), 7, 0, 180, 20), (12, 12)])]
    items += [
        box(24, 20, 46, 44),
        Disc((35, 12), 6.6, "white", THICK),
        metal(arc((35, 12), 5.4, 0, 360, 30), "falling"),
    ]
    items += [metal([(26, 4.2), (44, 4.2), (44, 12), (41.6, 12), *arc((35, 12), 6.6, 0, -180, 20), (26, 12)])]
    items += dimension_up(66, 17.4, 44, 36)
    items += [says("measured", (68, 30)), says("+ half the bar", (68, 26.3)), says("= deck height", (68, 22.6))]
    items += named("deck", (4, 49.5), (20, 44))
    items += named("bar in the mains", (50, 5.4), (38, 10))
    items += [says("caps torqued", (50, 1.5))]
    return items


def _corners() -> list[Item]:
    items: list[Item] = [box(12, 12, 76, 42), *(ring((x, 27), 6.2, THICK) for x in (22, 36.7, 51.3, 66))]
    places: list[tuple[Point, str, Point, str]] = [
        ((15, 39), "front right", (2, 46.5), "start"),
        ((15, 15), "front left", (2, 4), "start"),
        ((73, 39), "rear right", (86, 46.5), "end"),
        ((73, 15), "rear left", (86, 4), "end"),
    ]
    for at, words, place, anchor in places:
        items += [Disc(at, 1.6, "black"), *named(words, place, at, anchor=anchor)]
    items += [*pushed((40, 8), (52, 8)), says("front of the engine", (44, 2.6), anchor="middle")]
    items += [says("deck from above", (44, 48), anchor="middle")]
    return items


def _pin_height() -> list[Item]:
    t = upright(32.0, 12.0)
    items: list[Item] = [
        metal(rectangle((6, 4, 62, 12))),
        metal(placed(t, (-20, 0), (20, 0), (20, 28), (15, 28), (15, 8), (-15, 8), (-15, 28), (-20, 28)), "falling"),
    ]
    items += [Disc(t(0, 19), 5.2, "white", THICK), line(*placed(t, (-9, 19), (9, 19)), width=FINE, dash="axis")]
    items += dimension_up(66, 12, t(0, 13.8)[1], 32)
    items += [says("plate to pin", (68, 20)), says("+ half the pin", (68, 16.3)), says("= height", (68, 12.6))]
    items += named("pin pushed one way", (30, 48), t(2, 23))
    items += [says("crown flat on a surface plate", (34, 0.4), anchor="middle")]
    return items


def _deck() -> list[Item]:
    t = upright(30.0, 24.0)
    items: list[Item] = [metal(placed(t, *rectangle((x, -22, x + 9, 0)))) for x in (-26, 17)]
    items += piston(upright(30.0, 21.5), 16.4, 17)
    items += [box(*t(-24, 0), *t(-20, 9)), box(*t(20, 0), *t(24, 9)), box(*t(-24, 9), *t(24, 12.5))]
    items += dial((30.0, 21.5), 15.0)
    items += [line((30, 20), (30, 2), width=FINE, dash="axis")]
    items += dimension_up(60.5, 21.5, 24.0, 46.4)
    items += [
        says("below deck", (62, 27)),
        ring((72, 13), 9.5, THICK),
        line((72, 1.5), (72, 24.5), width=FINE, dash="axis"),
    ]
    items += [
        Disc((72, 18.5), 1.1),
        Disc((72, 7.5), 1.1),
        Disc((64.5, 13), 1.0, "white", MEDIUM),
        Disc((79.5, 13), 1.0, "white", MEDIUM),
    ]
    items += named("dial on the pin axis, front and rear", (34, 50), (31, 37))
    items += named("zero on deck", (66, 38), (52, 24))
    return items


def _gasket() -> list[Item]:
    items: list[Item] = [
        ring((26, 27), 20, THICK),
        ring((26, 27), 16.5, THICK),
        *pushed((9.5, 27), (25, 27)),
        *pushed((42.5, 27), (27, 27)),
    ]
    items += [
        says("on two axes", (26, 29), anchor="middle"),
        *pushed((26, 43.5), (26, 34)),
        *pushed((26, 10.5), (26, 20)),
    ]
    items += named("sealing ring, not the cylinder bore", (30, 50), (31.5, 46.2))
    items += [
        says("a shim is a layer", (54, 24)),
        says("of its own, with", (54, 20.3)),
        says("its own opening", (54, 16.6)),
    ]
    return items


def _thickness() -> list[Item]:
    items: list[Item] = [ring((22, 27), 18, THICK), ring((22, 27), 14.5, THICK)]
    items += [
        Disc((22 + 16.2 * math.cos(a), 27 + 16.2 * math.sin(a)), 1.2)
        for a in (math.radians(90 + 72 * n) for n in range(5))
    ]
    items += [says("five points", (22, 28.5), anchor="middle"), says("round the ring", (22, 24.8), anchor="middle")]
    items += [metal(rectangle((48, 24, 84, 29))), *pushed((66, 29), (66, 40)), *pushed((66, 24), (66, 13))]
    items += [box(62, 40, 70, 47), box(62, 6, 70, 13), says("compressed,", (48, 36)), says("not free", (72, 36))]
    items += [says("a used one springs back: too thick", (86, 1), anchor="end")]
    return items


def _outline() -> list[Item]:
    left, right = (34.0, 27.0), (48.0, 27.0)
    points = [*arc(right, 16, -55, 55, 9), *arc(left, 16, 125, 235, 9)]
    items: list[Item] = [line((x, 6), (x, 50), width=FINE, dash="dotted") for x in range(12, 76, 5)]
    items += [line((10, y), (74, y), width=FINE, dash="dotted") for y in range(7, 50, 5)]
    items += [Area(tuple(points), "", THICK), *(Disc(point, 0.9) for point in points)]
    items += [*pushed((78, 6), (10, 6)), *pushed((12, 53), (12, 4)), says("x", (80, 5)), says("y", (8, 50))]
    items += [
        says("1", (points[0][0] + 1.6, points[0][1] - 2.6), bold=True),
        says("2", (points[1][0] + 1.6, points[1][1] - 2.4), bold=True),
    ]
    items += named("one in every corner", (86, 48), points[9], anchor="end")
    items += [says("close in bends, all the way round in order", (44, 0.8), anchor="middle")]
    return items


def _cut_out() -> list[Item]:
    shape = [*arc((28, 33), 10, -60, 60, 12), *arc((19, 33), 10, 120, 240, 12)]
    items: list[Item] = [Area(tuple(shape), "sparse", THICK), metal(rectangle((54, 23, 74, 43)), "sparse")]
    for x, shown in ((11.0, "4.98 g"), (51.0, "8.12 g")):
        items += [
            box(x, 4, x + 26, 11),
            box(x + 3, 11, x + 23, 13),
            box(x + 6, 5.5, x + 20, 9.8),
            centred((x + 13, 7.6), shown),
        ]
        items += pushed((x + 13, 14), (x + 13, 21))
    items += [
        says("cut-out, several together", (24, 48), anchor="middle"),
        says("square of known size", (66, 48), anchor="middle"),
    ]
    items += [says("both of the same sheet: heavy card, plastic or shim", (44, 0.4), anchor="middle")]
    return items


def _land() -> list[Item]:
    items: list[Item] = [
        metal(
            [
                (14, 42),
                (56, 42),
                (56, 30),
                (54, 30),
                (54, 27),
                (56, 27),
                (56, 23),
                (54, 23),
                (54, 20),
                (57, 20),
                (57, 6),
                (13, 6),
                (13, 20),
                (16, 20),
                (16, 23),
                (14, 23),
                (14, 27),
                (16, 27),
                (16, 30),
                (14, 30),
            ],
            "falling",
        )
    ]
    items += dimension_across((14, 42), (56, 42), 48, "land diameter")
    items += dimension_up(66, 30, 42, 56)
    items += [says("crown to", (68, 37)), says("top ring", (68, 33.3))]
    items += named("top-ring groove", (61, 18), (55, 28))
    return items


def _lifts() -> list[Item]:
    wheel = (22.0, 26.0)
    items: list[Item] = [ring(wheel, 18, THICK), ring(wheel, 15, FINE), Disc(wheel, 1.6)]
    items += [
        line(*((22 + r * math.cos(a), 26 + r * math.sin(a)) for r in (15, 18)), width=FINE)
        for a in (math.radians(15 * n) for n in range(24))
    ]
    items += [
        *pushed((22, 44.5), (22, 52)),
        says("0 at true TDC", (24, 48.5)),
        says("before", (9.5, 30)),
        says("after", (27, 30)),
    ]
    items += [says("degree wheel", (22, 1.5), anchor="middle")]
    t = turned(0.0, (64.0, 8.0))
    items += [
        Area(tuple(placed(t, (-9, 0), (9, 0), (6.5, 3), (-6.5, 3))), "falling", MEDIUM),
        box(*t(-1, 3), *t(1, 24)),
        box(*t(-6, 22), *t(6, 24), "black"),
    ]
    items += [
        line(*placed(t, *((-5 if n % 2 else 5, 8 + 1.75 * n) for n in range(9)))),
        metal(placed(t, *rectangle((-10, 6, -2, 8)))),
        metal(placed(t, *rectangle((2, 6, 10, 8)))),
    ]
    items += dial((64.0, 32.0), 6.0, 5.0)
    items += [says("dial on the retainer,", (86, 50), anchor="end")]
    items += [
        says("in line with", (86, 35), anchor="end"),
        says("the stem", (86, 31.3), anchor="end"),
        says("light spring", (87.5, 24), anchor="end"),
    ]
    return items


PICTURES: dict[tuple[str, str], Callable[[], list[Item]]] = {
    ("chamber", ""): setup_fills.chamber,
    ("stages", ""): setup_fills.stages,
    ("crown", ""): setup_fills.in_bore,
    ("crown-bench", ""): setup_fills.on_bench,
    ("assembly", ""): setup_fills.assembly,
    ("calibrate", ""): setup_fills.calibrate,
    ("read", "burette"): setup_fills.burette,
    ("read", "syringes"): setup_fills.syringes,
    ("read", "weighing"): setup_fills.weighing,
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
