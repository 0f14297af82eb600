"""The piston to be ordered, drawn to scale: the crown in section, square to the pin, and from above with pockets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from math import cos, pi, sin, sqrt, tan

from ccassist.engine.pocket_cut import Bare, Cut
from ccassist.plan.piston.crown import DISHES, DOMES, Pocket
from ccassist.plan.piston.fields import ordered_text, said_tolerance
from ccassist.plan.piston.specification import CROWN, Specification
from ccassist.report.blocks import Figure
from ccassist.report.scene import (
    BODY,
    LARGE,
    MEDIUM,
    SMALL,
    THICK,
    THIN,
    Area,
    Disc,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    centred,
    dimension_across,
    dimension_up,
    rectangle,
)
from ccassist.report.section import ARC, CROWN_SHARE, EQUAL, View, cut, equal_height, half_ellipse, largest_scale
from ccassist.values.display import Formatter
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

WIDTH, ROOM = 73.0, 150.0  # mm: of the drawing, and how high it may be unless it is said
_SIDE, _LINE, _APART = 4.6, 4.3, 9.0  # mm: beside the piston, a line of words, between the views
_FRONT, _DIMENSION = 7.0, 10.0  # mm: the mark of the front, the width above the section
# Full size or as near to it as the page allows; the other steps are those of large engines.
_SCALES = (2.5, 2, 1.5, 1.25, 1, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.15, 0.1, 0.05, 0.02)
_ACROSS = 240  # pieces of the line of a crown with pockets in it
_HAIR = 1e-9


def crown_figure(spec: Specification, fmt: Formatter, room: float = ROOM) -> Figure:
    """Section and plan of the crown, no higher than there is room [mm], with what the marks mean."""
    view = CrownView(spec=spec, fmt=fmt, room=room)
    heights = [high for _, high in view.line[0]]
    does = [
        words for words, met in (("ADDS, below it", min(heights) < 0), ("TAKES, above it", max(heights) > 0)) if met
    ]
    crossed = f" Crossed lines: space that the crown {' or '.join(does)}." if does else ""
    axes = ": x along the pin, y across it" if view.placed else ""
    caption = f"Broken line: the crown flat, the datum.{crossed} From above, the front is up{axes}."
    words = crown_words(spec, fmt)
    return Figure(view.scene(), caption=caption, instead=(words,) if words else ())


def crown_words(spec: Specification, fmt: Formatter) -> str:
    """What the crown does, as nobody can misread it: "DISH: adds 8.7 cc of space"."""
    if spec.crown is None:
        return ""
    text = ordered_text(spec.crown, fmt)
    name, _, rest = text.partition(", ")
    if spec.shape.shape == "flat" and spec.crown.value > 0:
        name = "pockets"
    elif spec.shape.shape in DOMES and spec.crown.value > 0:
        name = "dome and deeper pockets"  # never "dish" over a drawn dome
    return f"{name.upper()}: {rest}"


def crown_line(spec: Specification, radius: float) -> tuple[list[Point], bool]:
    """From the edge of dish or dome to the bore axis, (radius, height), and whether it is the true shape.

    Where the sizes are not known an ellipsoid of the same volume is drawn; a flat crown has no line but its flat.
    """
    shape, sizes = spec.shape, spec.shape.sizes
    if shape.shape in DISHES and not shape.faults:
        edge, depth = sizes["dish_diameter"] / 2, sizes["dish_depth"]
        if shape.shape == "ball-cut dish":
            return [(r, -h) for r, h in _ball(edge, depth)], True
        corner = sizes.get("dish_corner", 0.0)
        turns = (math.pi / 2 * i / ARC for i in range(ARC + 1))
        arc = [(edge - corner + corner * math.cos(t), -depth + corner - corner * math.sin(t)) for t in turns]
        return [(edge, 0.0), *arc, (0.0, -depth)], True
    if shape.shape in DOMES and not shape.faults:
        edge, height = sizes["dome_diameter"] / 2, sizes["dome_height"]
        if shape.shape == "ball dome":
            return _ball(edge, height), True
        return [(edge, 0.0), (sizes["dome_top"] / 2, height), (0.0, height)], True
    if spec.crown is None or shape.shape == "flat":
        return [(0.0, 0.0)], True
    edge = CROWN_SHARE * radius
    height = -equal_height(spec.crown.value, edge)
    return half_ellipse(edge, height), False


def _ball(edge: float, height: float) -> list[Point]:
    """The cap of a ball from its edge to its middle."""
    ball = (edge**2 + height**2) / (2 * height)
    half = math.atan2(edge, ball - height)
    turns = (half * (1 - i / ARC) for i in range(ARC + 1))
    return [(ball * math.sin(t), ball * math.cos(t) - (ball - height)) for t in turns]


def surface(x: float, y: float, bare: Bare, cuts: Sequence[Cut]) -> float:
    """Depth of the crown below its flat at a place of the plan [m]: dish or dome, and what pockets take away there."""
    depth = bare.depth_at(math.hypot(x, y))
    for one in cuts:
        along = (x - one.x) * cos(one.lean) + (y - one.y) * sin(one.lean)
        aside = -(x - one.x) * sin(one.lean) + (y - one.y) * cos(one.lean)
        if abs(aside) >= one.radius:
            continue
        half, up = (
            sqrt(one.radius**2 - aside**2),
            -along * tan(one.tilt),
        )  # up: from the floor's middle to the floor here
        if one.tilt > _HAIR:
            low, high = ((along * cos(one.tilt) + way * half) / sin(one.tilt) for way in (-1, 1))
            if high < one.floor - depth:
                continue
            up = max(up, low)
        elif abs(along) > half:
            continue
        depth = max(depth, one.floor - up)
    return depth


def rim(one: Cut, edge: float) -> list[Point]:
    """Where the wall of a pocket meets the crown flat, within the edge of the crown, in the plan [m]."""
    middle, along = one.floor * tan(one.tilt), one.radius / cos(one.tilt)
    found = []
    for n in range(2 * ARC + 1):
        e, f = middle + along * cos(pi * n / ARC), one.radius * sin(pi * n / ARC)
        x, y = one.x + e * cos(one.lean) - f * sin(one.lean), one.y + e * sin(one.lean) + f * cos(one.lean)
        inward = min(1.0, edge / max(math.hypot(x, y), _HAIR))
        found.append((x * inward, y * inward))
    return found


def hidden(one: Cut) -> list[Point]:
    """Floor and walls of a pocket as seen through the metal, square to the pin, (y, height) [m]."""
    ends = [(one.y + way * one.radius, way * one.radius * sin(one.lean) * tan(one.tilt)) for way in (-1, 1)]
    (left, low), (right, high) = ((y, -one.floor - deeper) for y, deeper in ends)
    return [(left, max(low, 0.0)), (left, low), (right, high), (right, max(high, 0.0))]


@record
class CrownView:
    """The piston of an order on a drawing of fixed width: section above, plan below it, both at one scale."""

    spec: Specification
    fmt: Formatter
    room: float = ROOM

    def given(self, key: str, usual: float = 0.0) -> float:
        """A length of the first cylinder [m], or what is drawn where it is not given."""
        values = self.spec.planned.cylinders[0].values
        return values[key].nominal if key in values else usual

    @cached_property
    def radius(self) -> float:
        """Of the top land [m]."""
        return self.given("land_diameter", self.given("bore")) / 2

    @cached_property
    def pin(self) -> float:
        """Radius of the pin [m]."""
        pin = self.spec.order.get("pin_diameter")
        return pin.nominal / 2 if pin else 0.125 * self.given("bore")

    @cached_property
    def pin_at(self) -> float:
        """Crown flat to pin axis [m]."""
        return self.spec.height.value if self.spec.height else 0.36 * self.given("bore")

    @cached_property
    def placed(self) -> list[tuple[str, Pocket, Cut]]:
        """Every pocket whose place is known, with its kind."""
        pockets = self.spec.shape.pockets.items()
        return [(kind, one, one.cut(*at)) for kind, one in pockets for at in one.places]

    @cached_property
    def line(self) -> tuple[list[Point], bool]:
        """The crown from the right edge to the left, (y, height), and whether that is its true shape."""
        half, true = crown_line(self.spec, self.radius)
        mirrored = [*half, *((-y, high) for y, high in reversed(half))]
        cuts = [one for _, _, one in self.placed]
        if not cuts or not true or self.spec.shape.faults:
            return mirrored, true
        bare = bare_of(self.spec, self.radius)
        places = (self.radius * (1 - 2 * n / _ACROSS) for n in range(_ACROSS + 1))
        return [(y, -surface(0.0, y, bare, cuts)) for y in places], True

    @cached_property
    def ends(self) -> tuple[float, float]:
        """How far down and up the section is drawn [m]."""
        low = -(self.pin_at + self.pin + 0.05 * self.given("bore"))
        return low, max(0.0, *(h for _, h in self.line[0]))

    @cached_property
    def scale(self) -> float:
        """Full size, or as near to it as there is room."""
        low, top = self.ends
        high = self.room - _APART - _FRONT - _DIMENSION - (1 + len(self._words())) * _LINE
        return largest_scale((2 * self.radius, top - low + 2 * self.radius), (WIDTH - 2 * _SIDE, high), _SCALES)

    def scene(self) -> Scene:
        """What the crown does in large letters, the section, the plan."""
        low, top = self.ends
        size, plan = 1000 * self.scale, 2000 * self.scale * self.radius
        words = self._words()
        foot = _LINE + plan + _FRONT + _APART
        height = foot + (top - low) * size + _DIMENSION + len(words) * _LINE
        section = View(self.scale, WIDTH / 2, foot - low * size)
        above = View(self.scale, WIDTH / 2, _LINE + plan / 2)
        items: list[Item] = []
        for n, (text, large) in enumerate(words, 1):
            items.append(Lettering((0.0, height - n * _LINE), text, large, LARGE if large else SMALL))
        items += [*self._body(section), *self._datum(section), *self._heights(section), *self._plan(above)]
        scale = f"Scale {self.scale:g}:1" if self.scale != 1 else "Scale 1:1"
        return Scene(WIDTH, height, (*items, Lettering((WIDTH, 1.0), scale, True, BODY, "end")))

    def _words(self) -> list[tuple[str, bool]]:
        """What the crown does, and the sizes that the section shows."""
        spec, sizes = self.spec, self.spec.shape.sizes
        said = [(crown_words(spec, self.fmt), True)] if spec.crown else []
        tolerance = said_tolerance(CROWN, spec.crown.tolerance.size, self.fmt) if spec.crown else ""
        said += [(f"{tolerance} net, pockets in, from the crown flat".strip(), False)] if said else []
        found = [
            f"{term(key).name} {self.fmt.show(key, sizes[key])}"
            for key in ("dish_depth", "dish_corner", "dome_height", "dome_top")
            if key in sizes
        ]
        said += [(text, False) for text in found]
        return [*said, *([] if self.line[1] else [(EQUAL, False)])]

    def _body(self, view: View) -> list[Item]:
        """Metal hatched one way, the crown's space both ways; ring grooves, pin."""
        line, low = self.line[0], self.ends[0]
        outer = [(self.radius, 0.0), *line, (-self.radius, 0.0)]
        items = cut((view.at((self.radius, low)), *view.line(outer), view.at((-self.radius, low))), fill="falling")
        if any(high for _, high in line):
            items += space(view.line([(line[0][0], 0.0), *line, (line[-1][0], 0.0)]))
        items += [Stroke(view.line(hidden(one)), THIN, "dashed") for _, _, one in self.placed]
        for top, high in self._grooves():
            groove = rectangle((self.radius * 0.93, -top - high, self.radius, -top))
            items += [Area(view.line(groove, side), "black", THIN) for side in (1, -1)]
        x, y = view.at((0, -self.pin_at))
        size = self.pin * 1000 * view.scale
        items += [Disc((x, y), size, "white", MEDIUM), Stroke(((x - size - 2.5, y), (x + size + 2.5, y)), THIN, "axis")]
        pin = self.spec.order.get("pin_diameter")
        said = self.fmt.show("pin_diameter", pin.nominal) if pin else "not given"
        return [
            *items,
            centred((x, y + 0.55 * SMALL), "pin", cleared=True),
            centred((x, y - 0.65 * SMALL), said, cleared=True),
        ]

    def _grooves(self) -> Iterator[tuple[float, float]]:
        """Top face and height of the ring grooves as far as they are given [m]."""
        at = self.given("land_height")
        lands = ("second_land_height", "third_land_height", "")
        for ring, land in zip(("top_ring_width", "second_ring_width", "oil_ring_width"), lands, strict=True):
            if not at:
                return
            width = self.spec.order.get(ring)
            high = width.nominal if width else 0.03 * self.radius
            yield at, high
            between = self.spec.order.get(land)
            at = at + high + between.nominal if between else 0.0

    def _datum(self, view: View) -> list[Item]:
        """The crown flat, from which everything is measured, the bore axis, and how wide dish or dome is."""
        low, top = self.ends
        x, y, edge = view.axis, view.at((0, 0))[1], self.radius * 1000 * view.scale
        head = view.at((0, top))[1]
        items: list[Item] = [
            Stroke(((x, view.at((0, low))[1] - 1.4), (x, head + 1.8)), THIN, "axis"),
            Stroke(((x - edge - 4.2, y), (x + edge + 4.2, y)), MEDIUM, "dashed"),
        ]
        sizes, true = self.spec.shape.sizes, self.line[1]
        key = next((key for key in ("dish_diameter", "dome_diameter") if key in sizes), "")
        if not key or not true:
            return items
        left, right = (view.at((sizes[key] / 2, 0), side) for side in (-1, 1))
        said = f"{term(key).name.split()[0]} {self.fmt.show(key, sizes[key])}"
        return [*items, *dimension_across(left, right, head + 5, said)]

    def _heights(self, view: View) -> list[Item]:
        """Compression height at the left of the pin, top land at the right, both within the metal."""
        spec, items = self.spec, list[Item]()
        if spec.height is not None:
            x, (low, high) = view.at((-0.62 * self.radius, 0))[0], (view.at((0, h))[1] for h in (-self.pin_at, 0.0))
            items += dimension_up(x, low, high, view.at((-self.pin, 0))[0])
            said = [
                ordered_text(spec.height, self.fmt),
                said_tolerance(spec.height.key, spec.height.tolerance.size, self.fmt),
            ]
            middle = low + 0.36 * (high - low)
            items += [
                centred((x, middle - 1.25 * n * SMALL), text, bold=not n, cleared=True)
                for n, text in enumerate(said)
                if text
            ]
        if land := self.given("land_height"):
            y = view.at((0, -land))[1]
            text = f"top land {self.fmt.show('land_height', land)}"
            right = view.at((0.9 * self.radius, 0))[0]
            items.append(Lettering((right, y - 1.5 * SMALL), text, anchor="end", cleared=True))
        return items

    def _plan(self, view: View) -> list[Item]:
        """The crown from above, the front up: land, dish or dome, pin axis, pockets, the mark of the front."""
        size, sizes = 1000 * view.scale, self.spec.shape.sizes
        middle, edge = view.at((0.0, 0.0)), self.radius * 1000 * view.scale
        items: list[Item] = [Disc(middle, edge, "white", THICK)]
        for key in ("dish_diameter", "dome_diameter", "dome_top"):
            if key in sizes and self.line[1] and not self.spec.shape.faults:
                items.append(Disc(middle, min(sizes[key] / 2 * size, edge), "", MEDIUM))
        for x, y in ((edge + 2.0, 0.0), (0.0, edge + 2.0)):
            items.append(Stroke(((middle[0] - x, middle[1] - y), (middle[0] + x, middle[1] + y)), THIN, "axis"))
        tip = middle[1] + edge + 4.6
        items.append(Area(((middle[0], tip), (middle[0] - 1.4, tip - 2.4), (middle[0] + 1.4, tip - 2.4)), "black", 0.0))
        items.append(Lettering((middle[0] + 2.4, tip - 2.2), "FRONT", True))
        items.append(Lettering((middle[0] + 0.8, middle[1] - edge + 1.2), "pin axis", cleared=True))
        for kind, pocket, one in self.placed:
            items += self._pocket(kind, pocket, one, view)
        missing = [kind for kind, one in self.spec.shape.pockets.items() if not one.places]
        if missing:
            items.append(Lettering((0.0, 1.0), f"{' and '.join(missing)} pockets: place not given"))
        return items

    def _pocket(self, kind: str, pocket: Pocket, one: Cut, view: View) -> list[Item]:
        """One pocket: its rim in the crown flat, its middle, and of the first of a kind x (up) and y (right)."""
        outline = view.line([(y, x) for x, y in rim(one, self.radius)])
        at = view.at((one.y, one.x))
        items: list[Item] = [Area(outline, "", MEDIUM), Disc(at, 0.5)]
        first = (one.x, one.y) == pocket.places[0]
        x, y = (
            self.fmt.show(key, v).split(" level")[0]
            for key, v in (("pocket_along_pin", one.x), ("pocket_across_pin", one.y))
        )
        said = [kind, *((f"x {_bare(x)}", f"y {_bare(y)}") if first else ())]
        return [
            *items,
            *(
                centred((at[0], at[1] - (1.4 + 1.2 * n) * SMALL), text, bold=not n, cleared=True)
                for n, text in enumerate(said)
            ),
        ]


def _bare(text: str) -> str:
    """A place and to which side, in short."""
    amount, _, way = text.partition(" to")
    return f"{amount} {way.split()[-1]}" if way else "0"


def bare_of(spec: Specification, edge: float) -> Bare:
    """The crown without its pockets."""
    shape, sizes = spec.shape.shape, spec.shape.sizes
    ball = "ball" in shape
    if shape in DISHES:
        corner = 0.0 if ball else sizes.get("dish_corner", 0.0)
        return Bare(depth=sizes["dish_depth"], radius=sizes["dish_diameter"] / 2, corner=corner, ball=ball, edge=edge)
    if shape in DOMES:
        top = sizes.get("dome_top", 0.0) / 2
        return Bare(depth=-sizes["dome_height"], radius=sizes["dome_diameter"] / 2, top=top, ball=ball, edge=edge)
    return Bare(edge=edge)


def space(outline: Sequence[Point]) -> list[Item]:
    """Close lines both ways on white, unlike any cut metal."""
    points = tuple(outline)
    return [Area(points, "white", THIN), Area(points, "crossed")]
