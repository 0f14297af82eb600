"""The section at top dead centre as shapes, before anything is drawn.

Radii from the cylinder axis and heights above the deck face, SI.  What is
known only as a volume (chamber, crown) is shown as half an ellipsoid of equal
volume, a chamfer as a triangle turned about the axis.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from ccassist.analysis.cylinder import Cylinder
from ccassist.report.scene import THICK, Item, Point, Shape, Stroke
from ccassist.values.numerics import root
from ccassist.vocabulary.record import record

Line = tuple[Point, ...]
NEEDED = ("bore", "chamber_volume", "gasket_thickness", "gasket_area", "deck_clearance")
CROWNS = ("crown_volume", "crown_and_deck_volume")  # either will do
CROWN_SHARE = 0.86  # of the crown's radius that the equal dish or dome takes up: a rim of flat stays
ARC = 48  # straight pieces of a drawn curve
EQUAL = "drawn as an equal volume"
# The series of ISO 5455:1979 (from memory), and steps between that fill the page better.
SCALES = (20, 10, 5, 2.5, 2, 1, 0.5, 0.4, 0.2, 0.1, 0.05, 0.02, 0.01)


@record
class HalfSection:
    """Half of the section; the other half mirrors it.

    Attributes
    ----------
    bore, gasket, chamber, crown : radii of bore, gasket opening, chamber opening and equal crown shape.
    land : radius of the top land; the bore's where it is not given.
    thickness : of the compressed gasket.
    deck : deck clearance, positive below the deck.
    rise : height of the equal chamber above the head face.
    dip : depth of the equal dish below the crown flat; negative for a dome.
    land_height : crown flat to top ring, 0 where not given.
    chamfer : leg of the equal chamfer at the top of the bore.
    """

    bore: float
    gasket: float
    chamber: float
    crown: float
    land: float
    thickness: float
    deck: float
    rise: float
    dip: float
    land_height: float = 0.0
    chamfer: float = 0.0

    @property
    def ring(self) -> float:
        """Height of the top ring [m], by convention: only its upper face is measured."""
        return 0.03 * self.bore

    def chamber_line(self) -> list[Point]:
        """From the edge of the chamber opening up to the axis."""
        return [(r, self.thickness + h) for r, h in half_ellipse(self.chamber, self.rise)]

    def crown_line(self) -> list[Point]:
        """From the outer edge of the crown flat over dish or dome to the axis."""
        return [(self.land, -self.deck), *((r, -self.deck - h) for r, h in half_ellipse(self.crown, self.dip))]

    def bore_line(self) -> list[Point]:
        """From the deck face over the chamfer into the bore."""
        if not self.chamfer:
            return [(self.bore, 0.0)]
        return [(self.bore + self.chamfer, 0.0), (self.bore, -self.chamfer)]


def half_ellipse(radius: float, height: float) -> list[Point]:
    """A quarter of an ellipse, from its edge to the axis, in straight pieces.  [m], [m] -> points [m]."""
    angles = (math.pi / 2 * i / ARC for i in range(ARC + 1))
    return [(radius * math.cos(a), height * math.sin(a)) for a in angles]


def turned(line: Sequence[Point]) -> float:
    """Volume between the axis and a line of points (radius, height), turned about the axis, SI.

    Positive where the line runs upward.  Source: cone frustum, Machinery's
    Handbook 31st ed. (2020), volumes of solids (from memory).
    """
    return sum(math.pi / 3 * (r1 * r1 + r1 * r2 + r2 * r2) * (h2 - h1) for (r1, h1), (r2, h2) in pairwise(line))


def equal_height(volume: float, radius: float) -> float:
    """Height of the drawn half ellipsoid that holds a volume over a circle.  [m³], [m] -> [m], of the volume's sign."""
    return volume / turned(half_ellipse(radius, 1.0))


def chamfer_leg(volume: float, bore: float) -> float:
    """Leg of the 45° chamfer of a given volume at the top of a bore of a given radius.

    A triangle turned about the axis: π a² (R + a/3) (Pappus).
    """
    return root(lambda leg: math.pi * leg**2 * (bore + leg / 3) - volume, 0.0, bore) if volume > 0 else 0.0


def lacking(cylinder: Cylinder) -> list[str]:
    """The terms that a drawing needs and that this cylinder does not have."""
    missing = [key for key in NEEDED if key not in cylinder.values]
    return missing if any(key in cylinder.values for key in CROWNS) else [*missing, CROWNS[0]]


def section_of(cylinder: Cylinder) -> HalfSection:
    """The shapes of a cylinder that lacks nothing needed."""
    value = {key: v.nominal for key, v in cylinder.values.items()}
    bore = value["bore"] / 2
    land = min(value.get("land_diameter", value["bore"]) / 2, bore)
    chamber = math.sqrt(value["chamber_area"] / math.pi) if "chamber_area" in value else bore
    crown = CROWN_SHARE * land
    return HalfSection(
        bore=bore,
        gasket=math.sqrt(value["gasket_area"] / math.pi),
        chamber=chamber,
        crown=crown,
        land=land,
        thickness=value["gasket_thickness"],
        deck=value["deck_clearance"],
        rise=equal_height(value["chamber_volume"], chamber),
        dip=equal_height(_crown_volume(value, bore), crown),
        land_height=value.get("land_height", 0.0),
        chamfer=chamfer_leg(value.get("chamfer_volume", 0.0), bore),
    )


def _crown_volume(value: Mapping[str, float], bore: float) -> float:
    """Net crown volume; where crown and deck were measured as one, what the deck clearance leaves of it."""
    if "crown_volume" in value:
        return value["crown_volume"]
    return value["crown_and_deck_volume"] - turned([(bore, 0.0), (bore, value["deck_clearance"])])


def largest_scale(extent: tuple[float, float], room: tuple[float, float], scales: Sequence[float] = SCALES) -> float:
    """The largest of the scales at which an extent (m) fits the room (mm).

    >>> largest_scale((0.1, 0.05), (100, 100), (2, 1, 0.5))
    1
    """
    fits = [s for s in scales if all(1000 * e * s <= r for e, r in zip(extent, room, strict=True))]
    return max(fits, default=min(scales))


def scale_words(scale: float) -> str:
    """A scale as it is stated on drawings.

    >>> scale_words(5), scale_words(0.5)
    ('5:1', '1:2')
    """
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


@record(kw_only=False)
class View:
    """From metres (radius, height above the deck) to millimetres of a drawing."""

    scale: float
    axis: float
    deck: float

    def at(self, point: Point, side: int = 1) -> Point:
        """Where a point of the section lies; ``side`` −1 mirrors it about the axis."""
        return self.axis + side * point[0] * 1000 * self.scale, self.deck + point[1] * 1000 * self.scale

    def line(self, points: Sequence[Point], side: int = 1) -> Line:
        """The same for a line of points."""
        return tuple(self.at(p, side) for p in points)

    def across(self, points: Sequence[Point]) -> Line:
        """A line to the axis and on, mirrored, to the other side."""
        return (*self.line(points), *reversed(self.line(points, -1)))


def cut(edge: Line, rest: Line = (), fill: str = "rising") -> list[Item]:
    """A body cut through: hatched, its true edge drawn, left open where it goes on beyond the drawing (``rest``)."""
    return [Shape((*edge, *rest), fill, 0.0), Stroke(edge, THICK)]
