"""The section at top dead centre: its shapes, then drawn to scale from the numbers, with an enlarged detail.

Radii from the cylinder axis and heights above the deck face, SI.  What is
known only as a volume (chamber, crown) is shown as half an ellipsoid of equal
volume, a chamfer as a triangle turned about the axis.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import pairwise

from ccassist.analysis.cylinder import Cylinder
from ccassist.report.axes import Label, column, named
from ccassist.report.scene import (
    THICK,
    THIN,
    Area,
    Box,
    Clip,
    Item,
    Lettering,
    Point,
    Scene,
    Stroke,
    dimension_across,
    dimension_up,
    rectangle,
)
from ccassist.values.display import Formatter
from ccassist.values.numerics import root
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import System

Outline = tuple[Point, ...]
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

    bore, gasket, chamber, crown : radii of bore, gasket opening, chamber opening and equal crown shape.
    """

    bore: float
    gasket: float
    chamber: float
    crown: float
    land: float  # radius of the top land; the bore's where it is not given
    thickness: float  # of the compressed gasket
    deck: float  # deck clearance, positive below the deck
    rise: float  # height of the equal chamber above the head face
    dip: float  # depth of the equal dish below the crown flat; negative for a dome
    land_height: float = 0.0  # crown flat to top ring, 0 where not given
    chamfer: float = 0.0  # leg of the equal chamfer at the top of the bore

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

    A triangle turned about the axis: π a² (R + a/3) (Pappus); a bore of no width would need the longest leg.
    """
    longest = 2 * math.cbrt(3 * volume / math.pi)
    return root(lambda leg: math.pi * leg**2 * (bore + leg / 3) - volume, 0.0, longest) if volume > 0 else 0.0


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

    def line(self, points: Sequence[Point], side: int = 1) -> Outline:
        """The same for a line of points."""
        return tuple(self.at(p, side) for p in points)

    def across(self, points: Sequence[Point]) -> Outline:
        """A line to the axis and on, mirrored, to the other side."""
        return (*self.line(points), *reversed(self.line(points, -1)))


def cut(edge: Outline, rest: Outline = (), fill: str = "rising") -> list[Item]:
    """A body cut through: hatched, its true edge drawn, left open where it goes on beyond the drawing (``rest``)."""
    return [Area((*edge, *rest), fill, 0.0), Stroke(edge, THICK)]


DETAIL_SCALES = (100, 50, 20, 10, 8, 5, 4, 2.5, 2, 1, 0.5, 0.2, 0.1)
MAIN_ROOM, LEAST_MAIN = 72.0, 42.0  # mm: heights; the least is that of the labels
DETAIL_ROOM, LEAST_DETAIL = 103.0, 42.0
BELOW_MAIN, BELOW_DETAIL = 16.0, 18.5  # dimension, caption, check bar
COLUMN, SIDE = 52.0, 45.0  # widths of the label columns right and left
WINDOW = 69.0  # width of the detail
NAMES, LEAST_SMALL, BELOW_SMALL = 24.0, 22.0, 6.0  # of the small section: labels, height, caption
GAP = 5.6  # between drawing and labels
WALL = 0.16  # of the bore's radius: block drawn beside it


@record
class Views:
    """What both drawings of a cylinder share: the shapes, how much of them is drawn, and the scales.

    ``width`` : of each drawing, mm; ``room`` : the greatest height of the section itself.
    """

    cylinder: Cylinder
    fmt: Formatter
    width: float
    room: float = MAIN_ROOM

    @cached_property
    def shape(self) -> HalfSection:
        """The section in SI."""
        return section_of(self.cylinder)

    @cached_property
    def wall(self) -> float:
        """How far out the block is drawn [m]."""
        s = self.shape
        return max(s.bore * (1 + WALL), s.gasket + 0.06 * s.bore)

    @cached_property
    def ends(self) -> tuple[float, float]:
        """How far down and up the section is drawn [m]."""
        s = self.shape
        foot = -s.deck - max(s.land_height + s.ring, s.dip, 0.0) - 0.22 * s.bore
        return foot, s.thickness + s.rise + 0.12 * s.bore

    @cached_property
    def close(self) -> tuple[float, float]:
        """How far down and up the detail shows [m]."""
        s = self.shape
        edge = s.land_height + s.ring if s.land_height else 0.12 * s.bore
        return -s.deck - edge - 0.015 * s.bore, max(s.thickness, -s.deck) + 0.03 * s.bore

    @cached_property
    def scale(self) -> float:
        """Of the section."""
        foot, head = self.ends
        return largest_scale((2 * self.wall, head - foot), (self.width - COLUMN - GAP, self.room))

    @cached_property
    def detail_scale(self) -> float:
        """Of the detail."""
        s, (low, high) = self.shape, self.close
        aside = max(s.gasket - s.bore, s.bore - s.land, s.chamfer)
        return largest_scale((aside, high - low), (0.3 * WINDOW, DETAIL_ROOM), DETAIL_SCALES)

    def said(self, key: str) -> str:
        """A value of the cylinder as printed."""
        return self.fmt.value(self.cylinder.values[key])

    def not_counted(self, key: str) -> str:
        """Why a space that is drawn does not enter the sum, "" where it does."""
        return self.cylinder.model.fixed.get(key, "")


# -- the whole section ---------------------------------------------------------------------
def section_scene(views: Views) -> Scene:
    """The whole section of one cylinder, the bore upright, with the frame of what is enlarged."""
    s, scale, (foot, head) = views.shape, views.scale, views.ends
    height = max((head - foot) * 1000 * scale, LEAST_MAIN) + BELOW_MAIN
    wide = views.wall * 1000 * scale
    view = View(scale, wide + 0.7, BELOW_MAIN - foot * 1000 * scale)
    top = view.at((0, head))[1]
    items: list[Item] = bodies(s, view, views.wall, head, foot)
    items.append(Stroke(((view.axis, BELOW_MAIN - 2.8), (view.axis, top + 0.7)), THIN, "axis"))
    left, right = ((view.at((s.bore, 0), side)[0], BELOW_MAIN) for side in (-1, 1))
    items += dimension_across(left, right, BELOW_MAIN - 5.6, f"bore {views.said('bore')}")
    shown = _main_labels(views, view)
    half = WINDOW / views.detail_scale * scale / 2
    low, high = (view.at((0, h))[1] for h in views.close)
    items.append(Area(rectangle((right[0] - half, low, right[0] + half, high))))
    shown.append(named((right[0] + half, (low + high) / 2), "detail A", "gasket, deck and top land"))
    words = f"Section at top dead centre, cylinder {views.cylinder.number}. Scale {scale_words(scale)}."
    items.append(Lettering((0, 1.8), words, bold=True))
    items += column(shown, view.axis + wide + GAP, COLUMN - 1.4, height, BELOW_MAIN - 5)
    return Scene(views.width, height, tuple(items))


def small_scene(views: Views) -> Scene:
    """The section by itself in a corner of a page, its parts named; the figures stand elsewhere."""
    s, (foot, head) = views.shape, views.ends
    scale = largest_scale((2 * views.wall, head - foot), (views.width - NAMES - GAP, views.room))
    high, wide = (head - foot) * 1000 * scale, views.wall * 1000 * scale
    height = max(high, LEAST_SMALL) + BELOW_SMALL
    view = View(scale, wide + 0.7, BELOW_SMALL + (height - BELOW_SMALL - high) / 2 - foot * 1000 * scale)
    items: list[Item] = bodies(s, view, views.wall, head, foot)
    crown = view.at((s.crown * 0.5, -s.deck - s.dip * 0.5))
    found = [
        named(view.at((s.chamber * 0.45, s.thickness + s.rise * 0.45)), "chamber"),
        named(view.at((views.wall, s.thickness / 2)), "gasket"),
        named(crown, f"crown ({'dish' if s.dip > 0 else 'dome' if s.dip < 0 else 'flat'})"),
        named(view.at((s.bore + (views.wall - s.bore) / 2, foot / 2)), "block"),
    ]
    words = f"Cylinder {views.cylinder.number} at top dead centre, in proportion."  # its page may be made smaller
    items.append(Lettering((0, 0.9), words, shade="grey"))
    items += column(found, view.axis + wide + GAP, NAMES - 1.4, height, BELOW_SMALL - 1)
    return Scene(views.width, height, tuple(items))


def _main_labels(views: Views, view: View) -> list[Label]:
    s, (foot, _), (lower, _) = views.shape, views.ends, views.close
    chamber = view.at((s.chamber * 0.45, s.thickness + s.rise * 0.45))
    crown = view.at((s.crown * 0.5, -s.deck - (s.dip * 0.5 if s.dip > 0 else 0.02 * s.bore)))
    if s.dip < 0:
        crown = view.at((s.crown * 0.3, -s.deck - s.dip * 0.4))
    key = "crown_volume"
    name = "crown"
    if key not in views.cylinder.values:  # crown and deck were measured as one fill
        key = "crown_and_deck_volume"
        name = term(key).name
    return [
        named(chamber, "chamber", views.said("chamber_volume"), EQUAL),
        named(crown, name, views.said(key), EQUAL if s.dip else ""),
        named(view.at((s.bore + (views.wall - s.bore) / 2, (foot + lower) / 2)), "block"),
    ]


# -- the detail ------------------------------------------------------------------------------
def detail_scene(views: Views) -> Scene:
    """The edge of the bore at the deck, enlarged: gasket, deck clearance, top land; a check bar below."""
    s, scale, (lower, upper) = views.shape, views.detail_scale, views.close
    high, foot, left = (upper - lower) * 1000 * scale, BELOW_DETAIL - 2.8, SIDE + 2.8
    height = max(high, LEAST_DETAIL) + BELOW_DETAIL
    view = View(scale, left + WINDOW / 2 - s.bore * 1000 * scale, foot - lower * 1000 * scale)
    box = (left, foot, left + WINDOW, foot + high)
    out = s.bore + WINDOW / scale / 1000
    within = bodies(s, view, out, s.thickness + s.rise + s.bore, lower - s.bore)
    items: list[Item] = [Clip(box, tuple(within)), Area(rectangle(box))]
    items += _levels(views, view, box, height)
    aside = box[2] + GAP
    items += column(_detail_labels(views, view), aside, views.width - aside, height, foot - 2)
    items.append(Lettering((left, foot - 5.4), f"Detail A. Scale {scale_words(scale)}.", bold=True))
    return Scene(views.width, height, (*items, *check_bar(views.fmt.system)))


def _levels(views: Views, view: View, box: Box, top: float) -> list[Item]:
    """Heights dimensioned at the left of the window."""
    s = views.shape
    spans = [
        ("gasket, compressed", "gasket_thickness", 0.0, s.thickness),
        ("deck clearance", "deck_clearance", -s.deck, 0.0),
    ]
    if s.land_height:
        spans.append(("top land", "land_height", -s.deck - s.land_height, -s.deck))
    found: list[Label] = []
    items: list[Item] = []
    for place, (words, key, low, high) in enumerate(spans):
        x = box[0] - (7.8 if place % 2 else 3.2)
        ends = sorted((view.at((0, low))[1], view.at((0, high))[1]))
        items += dimension_up(x, ends[0], ends[1], box[0])
        found.append(named((x, sum(ends) / 2), words, views.said(key), dot=False))
    return [*items, *column(found, box[0] - 14, SIDE - 14, top, box[1] - 2, right=True)]


def _detail_labels(views: Views, view: View) -> list[Label]:
    s, (lower, upper) = views.shape, views.close
    middle = WINDOW / 4 / view.scale / 1000
    edge = max(s.gasket, s.bore)
    gasket = view.at((edge + 0.4 * (s.bore + 2 * middle - edge), s.thickness / 2))
    bore = views.cylinder.values.get("gasket_bore")
    opening = views.fmt.value(bore) if bore else views.fmt.show("gasket_bore", 2 * s.gasket)
    found = [
        named(view.at((s.bore + middle, upper - (upper - s.thickness) * 0.4)), "head"),
        named(gasket, "gasket", f"opening {opening}", f"holds {views.said('gasket_volume')}"),
        named(view.at((s.land - 1.4 * middle, lower * 0.55)), "piston"),
    ]
    if s.land_height:
        at = view.at(((s.bore + s.land) / 2, -s.deck - s.land_height * 0.45))
        words = views.said("crevice_volume") if s.land < s.bore else "no gap given"
        found.append(named(at, "top-land crevice", words, views.not_counted("crevice_counted")))
        ring = view.at((s.bore - 0.3 * middle, -s.deck - s.land_height - s.ring / 2))
        found.append(named(ring, "top ring", "thickness by convention"))
    if s.chamfer:
        at = view.at((s.bore + s.chamfer * 0.3, -s.chamfer * 0.3))
        left_out = views.not_counted("chamfer_counted")
        found.append(named(at, "bore chamfer", views.said("chamfer_volume"), left_out, EQUAL))
    return found


def check_bar(system: System) -> list[Item]:
    """A bar to hold a rule to, since printers shrink pages."""
    length, words = (2 * 25.4, "2 in") if system == System.IMPERIAL else (50.0, "50 mm")
    ends: list[Item] = [Stroke(((x, 0.7), (x, 3.5)), THICK) for x in (0.2, length + 0.2)]
    said = f"This bar is {words} long where the page is printed at full size."
    return [Stroke(((0.2, 2.1), (length + 0.2, 2.1)), THICK), *ends, Lettering((length + 3, 1), said, shade="grey")]


def bodies(s: HalfSection, view: View, wall: float, head: float, foot: float) -> list[Item]:
    """The cut bodies of a section: head, gasket, block, piston, top ring.

    ``wall``, ``head`` and ``foot`` say how far out, up and down (m) they are drawn.
    """
    roof = view.across(s.chamber_line())
    face = view.at((wall, s.thickness)), view.at((wall, s.thickness), -1)
    items = cut((face[0], *roof, face[1]), (view.at((wall, head), -1), view.at((wall, head))))
    for side in (1, -1):
        edge = view.line([(wall, 0.0), *s.bore_line(), (s.bore, foot)], side)
        items += cut(edge, view.line([(wall, foot)], side))
    feet = view.at((s.land, foot)), view.at((s.land, foot), -1)
    items += cut((feet[0], *view.across(s.crown_line()), feet[1]), fill="falling")
    for side in (1, -1):
        items.append(Area(view.line(rectangle((s.gasket, 0.0, wall, s.thickness)), side), "dark", THIN))
        if s.land_height:
            top = -s.deck - s.land_height
            ring = rectangle((s.land - 0.07 * s.bore, top - s.ring, s.bore, top))
            items.append(Area(view.line(ring, side), "black", THIN))
    return items
