"""The piston to be ordered, drawn to scale: where its crown adds space and where it takes it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

from ccassist.plan.piston.crown import DISHES, DOMES, hollow_texts
from ccassist.plan.piston.fields import ordered_text, said_tolerance
from ccassist.plan.piston.specification import CROWN, HEIGHT, Specification
from ccassist.report.placing import Label, column, named, room_for
from ccassist.report.scene import (
    BODY,
    LARGE,
    MEDIUM,
    THIN,
    Box,
    Disc,
    Item,
    Point,
    Scene,
    Shape,
    Stroke,
    Words,
    dimension_across,
    dimension_up,
    rectangle,
)
from ccassist.report.section import (
    ARC,
    CROWN_SHARE,
    EQUAL,
    View,
    cut,
    equal_height,
    half_ellipse,
    largest_scale,
    scale_words,
)
from ccassist.values.display import Formatter
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

LEFT_COLUMN, RIGHT_COLUMN, ROOM, FOOT, HEAD = 37.0, 52.0, 81.0, 12.0, 10.0  # mm


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


@record
class PistonView:
    """The piston cut along its axis, square to the pin, with the datum, the two heights and the crown.

    ``width`` : of the drawing, mm.
    """

    spec: Specification
    fmt: Formatter
    width: float

    def given(self, key: str, usual: float = 0.0) -> float:
        """A length of the first cylinder [m], or what is drawn where it is not given."""
        values = self.spec.planned.cylinders[0].values
        return values[key].nominal if key in values else usual

    @cached_property
    def radius(self) -> float:
        """Of the top land [m]."""
        return self.given("land_diameter", self.given("bore")) / 2

    @cached_property
    def land(self) -> float:
        """Height of the top land [m]."""
        return self.given("land_height")

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
    def crown(self) -> tuple[list[Point], bool]:
        """Its line, and whether that is the true shape."""
        return crown_line(self.spec, self.radius)

    @cached_property
    def ends(self) -> tuple[float, float]:
        """How far down and up it is drawn [m]."""
        low = -(self.pin_at + self.pin + 0.09 * self.given("bore"))
        return low, max(0.0, *(h for _, h in self.crown[0]))

    @cached_property
    def scale(self) -> float:
        """As large as there is room."""
        low, top = self.ends
        return largest_scale((2 * self.radius, top - low), (self.width - LEFT_COLUMN - RIGHT_COLUMN - 0.7, ROOM))

    def scene(self) -> Scene:
        """Body, crown, pin, ring, datum, dimensions, labels, legend."""
        low, top = self.ends
        middle = LEFT_COLUMN + (self.width - LEFT_COLUMN - RIGHT_COLUMN) / 2
        needed = room_for(self._right(View(self.scale, middle, 0.0)), RIGHT_COLUMN - 0.7)
        height = max((top - low) * 1000 * self.scale + FOOT + HEAD, needed + FOOT)
        view = View(self.scale, middle, height - HEAD - top * 1000 * self.scale)
        (left, foot), (right, head) = view.at((self.radius, low), -1), view.at((self.radius, top))
        box = (left, foot, right, head)
        items = [*self._body(view), *self._pin(view), *self._datum(view, box), *self._left(view, box, height)]
        items += column(self._right(view), self.width - RIGHT_COLUMN, RIGHT_COLUMN - 0.7, height, FOOT)
        return Scene(self.width, height, (*items, *self._legend()))

    def _body(self, view: View) -> list[Item]:
        """Metal hatched one way, the crown's space both ways."""
        line, low = self.crown[0], self.ends[0]
        feet = view.at((self.radius, low)), view.at((self.radius, low), -1)
        items = cut((feet[0], *view.across([(self.radius, 0.0), *line]), feet[1]), fill="falling")
        if len(line) > 1:
            items += space(view.across(line))
        if self.land:
            ring = self.spec.order.get("top_ring_width")
            high = ring.nominal if ring else 0.03 * self.radius
            groove = rectangle((self.radius * 0.93, -self.land - high, self.radius, -self.land))
            items += [Shape(view.line(groove, side), "black", THIN) for side in (1, -1)]
        return items

    def _pin(self, view: View) -> list[Item]:
        x, y = view.at((0, -self.pin_at))
        size = self.pin * 1000 * view.scale
        return [Disc((x, y), size, "white", MEDIUM), Stroke(((x - size - 2.5, y), (x + size + 2.5, y)), THIN, "axis")]

    def _datum(self, view: View, box: Box) -> list[Item]:
        """The crown flat, from which everything is measured, and the bore axis."""
        line, true = self.crown
        y = view.at((0, 0))[1]
        items: list[Item] = [
            Stroke(((view.axis, box[1] - 1.4), (view.axis, box[3] + 1.8)), THIN, "axis"),
            Stroke(((box[0] - 4.2, y), (box[2] + 3.5, y)), MEDIUM, "dashed"),
        ]
        if len(line) == 1 or not true:
            return items
        key = "dish_diameter" if "dish_diameter" in self.spec.shape.sizes else "dome_diameter"
        left, right = (view.at((line[0][0], 0), side) for side in (-1, 1))
        said = f"{term(key).name.split()[0]} {self._said(key, self.spec.shape.sizes[key])}"
        return [*items, *dimension_across(left, right, box[3] + 5, said)]

    def _said(self, key: str, value: float) -> str:
        return self.fmt.show(key, value)

    def _left(self, view: View, box: Box, height: float) -> list[Item]:
        """Heights from the datum: compression height, top land, depth or height of the crown."""
        spec = self.spec
        found: list[Label] = []
        items: list[Item] = []
        spans: list[tuple[str, float, str]] = []
        if spec.height is not None:
            tolerance = said_tolerance(HEIGHT, spec.height.tolerance.size, self.fmt)
            spans.append((HEIGHT, -spec.height.value, tolerance))
        if self.land:
            spans.append(("land_height", -self.land, ""))
        for place, (key, to, tolerance) in enumerate(spans):
            x = box[0] - (8.5 if place == 0 else 3.5)
            ends = sorted((view.at((0, 0))[1], view.at((0, to))[1]))
            items += dimension_up(x, ends[0], ends[1], box[0] if place else view.at((self.pin, 0), -1)[0] - 2.8)
            text = ordered_text(spec.height, self.fmt) if key == HEIGHT and spec.height else self._said(key, -to)
            found.append(named((x, sum(ends) / 2), term(key).name, text, tolerance, dot=False))
        return [*items, *column(found, box[0] - 13.4, box[0] - 14, height - 1.4, FOOT, right=True)]

    def _right(self, view: View) -> list[Label]:
        """What the crown does, in large; sizes; the datum."""
        spec, fmt = self.spec, self.fmt
        found = []
        words = crown_words(spec, fmt)
        if words:
            line, true = self.crown
            size = spec.crown.tolerance.size if spec.crown else None
            at = view.at((line[0][0] * 0.55, line[-1][1] * 0.5))
            more = (said_tolerance(CROWN, size, fmt), *self._parts(), "" if true else EQUAL)
            lines = [Words(at, text) for text in ("net, measured from the crown flat", *more) if text]
            found.append(Label(at, (Words(at, words, bold=True, size=LARGE), *lines)))
        flat = view.at((self.radius * 0.97, 0.0))
        found.append(named(flat, "crown flat", "the datum of every height"))
        pin = spec.order.get("pin_diameter")
        said = self._said("pin_diameter", pin.nominal) if pin else "diameter not given"
        found.append(named(view.at((self.pin * 0.5, -self.pin_at)), "pin", said))
        body = view.at((self.radius * 0.8, self.ends[0] * 0.88))
        found.append(named(body, "piston", "its underside is the maker's"))
        return found

    def _parts(self) -> list[str]:
        """What dish, dome and pockets do each, and the size between crown flat and floor or top."""
        spec, fmt = self.spec, self.fmt
        said = [f"{name}: {words}" for name, words in hollow_texts(spec.shape, fmt).items()]
        for key in ("dish_depth", "dish_corner", "dome_height", "dome_top"):
            if key in spec.shape.sizes:
                said.append(f"{term(key).name} {self._said(key, spec.shape.sizes[key])}")
        return said

    def _legend(self) -> list[Item]:
        """What the hatches mean, and the scale."""
        adds = self.spec.crown.value if self.spec.crown else 0.0
        x, y = LEFT_COLUMN - 14, 2.4
        metal, other = ((left, 1.4, left + 7.8, 5.6) for left in (x, x + 46))
        items: list[Item] = [Shape(rectangle(metal), "falling", THIN), Words((x + 10, y), "metal of the piston")]
        if adds:
            said = f"space that the crown {'ADDS' if adds > 0 else 'TAKES'}"
            items += [*space(rectangle(other)), Words((x + 56, y), said, bold=True)]
        return [*items, Words((self.width, y), f"Scale {scale_words(self.scale)}", True, BODY, "end")]


def space(outline: Sequence[Point]) -> list[Item]:
    """Close lines both ways on white, unlike any cut metal."""
    points = tuple(outline)
    return [Shape(points, "white", THIN), Shape(points, "crossed")]
