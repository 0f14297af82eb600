"""The crown to be cut: the shape asked for, its volume, and the one dimension left open that makes it right.

Volumes add space where positive.  The depth of a pocket counts from the crown flat; where its place is known, what it
shares with a dish is counted once, what it takes away of a dome is counted too, and nothing beyond the edge of the
crown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import atan2, cos, hypot, inf, sin

from ccassist.engine import crown_shapes as shapes
from ccassist.engine.pocket_cut import Bare, Cut, cut_volumes
from ccassist.values.display import Formatter
from ccassist.values.measured import Value
from ccassist.values.numerics import NoBracket, bracket, root
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion

# Valve pockets of one crown: their volume, and what of it a dish has cut already or a dome adds.

KINDS = ("intake", "exhaust")
NEEDED = ("pocket_diameter", "pocket_depth")
_LEAST = 1e-6  # m; the shallowest dish
_ROUNDING = 1e-9  # m; what the cosine of a right angle may leave


@record
class Pocket:
    """Pockets of one kind, SI: how many, floor radius, tilt, depth along the valve, distance from the bore axis.

    ``offset`` is that of the floor's middle; None where it is not stated.  ``edge`` is the radius of the crown, beyond
    which there is no metal to cut; infinite where it is not known.  ``places`` : of every floor's middle in the plan,
    toward the front and to the right of the bore axis; none where its angle round that is not stated.
    """

    count: int
    radius: float
    tilt: float
    depth: float
    offset: float | None
    edge: float = inf
    places: tuple[tuple[float, float], ...] = ()

    @property
    def volume(self) -> float:
        """Volume of one below the crown flat and within its edge, SI."""
        return self.taken(Bare(edge=self.edge))

    def taken(self, bare: Bare) -> float:
        """What one takes of a crown, SI; where its place is not stated, what lies below the crown flat."""
        if self.offset is None:
            return shapes.pocket(radius=self.radius, tilt=self.tilt, depth=self.depth)
        return sum(cut_volumes([self.cut(self.offset, 0.0)], bare))

    def cut(self, x: float, y: float) -> Cut:
        """One at its place.  The stem leans straight outward going up, so the floor is deepest on that side."""
        floor = self.depth * cos(self.tilt)
        return Cut(radius=self.radius, tilt=self.tilt, floor=floor, x=x, y=y, lean=atan2(y, x))

    @property
    def deepest(self) -> float:
        """Its deepest point below the crown flat, along the bore, SI; 0 where it does not cut the crown."""
        return max(shapes.deepest_point(radius=self.radius, tilt=self.tilt, depth=self.depth), 0.0)

    @property
    def reach(self) -> float | None:
        """Farthest point of its rim in the crown flat from the bore axis, SI; None where its place is not stated."""
        return None if self.offset is None else self.offset + self.depth * sin(self.tilt) + self.radius / cos(self.tilt)


def pockets_of(stated: Mapping[str, Mapping[str, Value]]) -> tuple[dict[str, Pocket], tuple[str, ...]]:
    """The pockets stated in the order, and what is wrong with them in words."""
    found: dict[str, Pocket] = {}
    faults: list[str] = []
    for kind in KINDS:
        given = {key: value.nominal for key, value in stated.get(f"order.pocket.{kind}", {}).items()}
        if not given:
            continue
        lacks = [term(key).name for key in NEEDED if key not in given]
        if lacks:
            faults.append(f"of the {kind} pockets the {' and the '.join(lacks)} is not stated")
            continue
        count = round(given.get("pockets", 1))
        if wrong := _misplaced(given, count):
            faults.append(f"the {kind} pockets: {wrong}")
            continue
        places = _places(given, count)
        one = Pocket(
            count=count,
            radius=given["pocket_diameter"] / 2,
            tilt=given.get("pocket_tilt", 0.0),
            depth=given["pocket_depth"],
            offset=hypot(*places[0]) if places else given.get("pocket_offset"),
            places=places,
        )
        if one.count:
            found[kind] = one
    return found, tuple(faults)


def _misplaced(given: Mapping[str, float], count: int) -> str:
    """What is wrong with the place said of pockets, in words; "" where nothing is."""
    level, turned = (
        {"pocket_along_pin", "pocket_across_pin"} & set(given),
        {"pocket_offset", "pocket_angle"} & set(given),
    )
    if level and turned:
        return (
            "their place is said twice: say pocket_along_pin and pocket_across_pin, or pocket_offset and pocket_angle"
        )
    if len(level) == 1:
        return "of pocket_along_pin and pocket_across_pin the one says nothing without the other"
    if turned == {"pocket_angle"}:
        return "pocket_angle says nothing without pocket_offset"
    places = _places(given, count)
    if places and len(set(places)) != count:
        return f"one place said is that of 1, 2 or 4, reflected from it; {count} do not fit there: leave the angle out"
    return ""


def _places(given: Mapping[str, float], count: int) -> tuple[tuple[float, float], ...]:
    """Where every pocket lies: the first as stated, a second reflected along the pin, four to both sides of it too."""
    if "pocket_along_pin" in given and "pocket_across_pin" in given:
        x, y = given["pocket_along_pin"], given["pocket_across_pin"]
    elif "pocket_angle" in given and "pocket_offset" in given:
        away, angle = given["pocket_offset"], given["pocket_angle"]
        x, y = (0.0 if abs(part) < _ROUNDING else part for part in (away * cos(angle), away * sin(angle)))
    else:
        return ()
    if count == 2:
        return ((x, y), (-x, y)) if x else ((x, y), (x, -y))
    return ((x, y), (-x, y), (x, -y), (-x, -y))[: 4 if count == 4 else 1 if count else 0]


DISHES = ("flat dish", "dish inside a squish band", "ball-cut dish")
DOMES = ("dome with sloped sides", "ball dome")
GUARDED = 3  # decimals of the parts of a crown as printed


@record
class Crown:
    """A crown as ordered.

    corner : the largest corner radius that the dish has room for, SI, where the one stated is larger.
    """

    shape: str  # its word
    sizes: Mapping[str, float]  # its dimensions by term, SI; that of ``solved`` among them
    solved: str = ""  # the term that was worked out from the volume, "" where all were stated
    pockets: Mapping[str, Pocket]  # the valve pockets, by "intake" and "exhaust"
    hollow: Mapping[str, float]  # what dish, dome and pockets each add (positive) or take, SI, by name
    faults: tuple[str, ...] = ()  # why the shape cannot be, or what it lacks, in words
    corner: float | None = None

    @property
    def net(self) -> float | None:
        """Net volume of the shape with its pockets, SI; None where the dimensions do not give it."""
        return None if self.faults or not self.shape else sum(self.hollow.values())

    @property
    def deepest(self) -> float:
        """The deepest point of dish or pocket below the crown flat, SI."""
        return max([self.sizes.get("dish_depth", 0.0), *(p.deepest for p in self.pockets.values())])


def crown_of(
    stated: Mapping[str, Mapping[str, Value]],
    shape: str,
    wanted: float | None,
    land: float | None,
    bore: float | None = None,
) -> Crown:
    """The crown from what is stated.

    stated : the sections of the order by their name.
    shape : the word of the shape, "" where none is stated.
    wanted : net crown volume to be met, SI; None where it is not known.
    land : top-land diameter, SI; a squish band is measured from it, and the crown ends at it.
    bore : SI; where the land is not known, nothing of the crown can lie beyond it.
    """
    sizes = {key: value.nominal for key, value in stated.get("order.crown", {}).items()}
    pockets, faults = pockets_of(stated)
    ends = land or bore
    edge = inf if ends is None else ends / 2
    pockets = {kind: replace(one, edge=edge) for kind, one in pockets.items()}
    if "squish_band" in sizes and "dish_diameter" not in sizes:
        if land is None:
            faults = (*faults, f"the {term('squish_band').name} is measured from the land: state the land diameter")
        else:
            sizes["dish_diameter"] = land - 2 * sizes["squish_band"]
    elif "dish_diameter" in sizes and land is not None:
        sizes.setdefault("squish_band", (land - sizes["dish_diameter"]) / 2)
    lacks = [key for key in needed(shape) if key not in sizes]
    faults = (*faults, *(f"the {term(key).name} is not stated" for key in lacks))
    if faults or not shape:
        return Crown(shape=shape, sizes=sizes, pockets=pockets, hollow={}, faults=faults)
    try:
        return _made(_SizedCrown(shape=shape, sizes=sizes, pockets=pockets, edge=edge), wanted)
    except ValueError as wrong:
        most = wrong.most if isinstance(wrong, CornerTooLarge) else None
        return Crown(shape=shape, sizes=sizes, pockets=pockets, hollow={}, faults=(str(wrong),), corner=most)


class CornerTooLarge(ValueError):
    """A dish has no room for its corner radius; ``most`` : the largest for which it has [m]."""

    def __init__(self, most: float) -> None:
        super().__init__("no room for the corner radius between the wall of the dish and its floor")
        self.most = most


def needed(shape: str) -> tuple[str, ...]:
    """What must be stated; depth and height may be left to be worked out."""
    if shape in DISHES:
        return ("dish_diameter",)
    return {"dome with sloped sides": ("dome_diameter", "dome_top"), "ball dome": ("dome_diameter",)}.get(shape, ())


@record
class _SizedCrown:
    """A shape with its sizes and its pockets, and the radius at which it ends, SI."""

    shape: str
    sizes: Mapping[str, float]
    pockets: Mapping[str, Pocket]
    edge: float

    @property
    def bare(self) -> Bare:
        """The crown without its pockets."""
        size, ball = self.sizes.get, "ball" in self.shape
        if self.shape in DISHES:
            corner = 0.0 if ball else size("dish_corner", 0.0)
            radius = self.sizes["dish_diameter"] / 2
            return Bare(depth=self.sizes["dish_depth"], radius=radius, corner=corner, ball=ball, edge=self.edge)
        if self.shape in DOMES:
            radius, top = self.sizes["dome_diameter"] / 2, size("dome_top", 0.0) / 2
            return Bare(depth=-self.sizes["dome_height"], radius=radius, top=top, ball=ball, edge=self.edge)
        return Bare(edge=self.edge)

    @property
    def parts(self) -> dict[str, float]:
        """What dish or dome and the pockets each add, SI."""
        bare, parts = self.bare, dict[str, float]()
        if self.shape in (*DISHES, *DOMES):
            parts["dish" if self.shape in DISHES else "dome"] = bare.volume
        placed = {(kind, at): one.cut(*at) for kind, one in self.pockets.items() for at in one.places}
        taken = dict(zip(placed, cut_volumes(list(placed.values()), bare), strict=True))
        for kind, one in self.pockets.items():
            own = sum(taken[kind, at] for at in one.places) if one.places else one.count * one.taken(bare)
            parts[f"{kind} pockets"] = own
        return parts

    @property
    def net(self) -> float:
        """The net volume, SI."""
        return sum(self.parts.values())

    @property
    def alone(self) -> float:
        """What the pockets add in a crown that is flat but for them, SI."""
        return replace(self, shape="flat").net

    @property
    def plain(self) -> bool:
        """Whether dish or dome and pockets share nothing that is known of, and the whole of it lies on the crown."""
        across = self.sizes["dish_diameter" if self.shape in DISHES else "dome_diameter"]
        return across <= 2 * self.edge and all(one.offset is None for one in self.pockets.values())

    def at(self, key: str, size: float) -> _SizedCrown:
        """The same with another size."""
        return replace(self, sizes={**self.sizes, key: size})


def _made(drawn: _SizedCrown, wanted: float | None) -> Crown:
    """The shape with all its sizes; the open one worked out from the volume wanted."""
    open_size = "dish_depth" if drawn.shape in DISHES else "dome_height" if drawn.shape in DOMES else ""
    solved = ""
    most = _largest_corner(drawn, wanted) if drawn.shape in DISHES[:2] else inf
    if drawn.sizes.get("dish_corner", 0.0) > most:
        raise CornerTooLarge(most)
    if open_size and open_size not in drawn.sizes:
        if wanted is None:
            raise ValueError(f"the {term(open_size).name} can only be worked out once the crown volume is known")
        drawn = drawn.at(open_size, (_depth if drawn.shape in DISHES else _height)(drawn, wanted))
        solved = open_size
    return Crown(shape=drawn.shape, sizes=drawn.sizes, solved=solved, pockets=drawn.pockets, hollow=drawn.parts)


def _largest_corner(drawn: _SizedCrown, wanted: float | None) -> float:
    """The largest corner radius of a dish: as large as its radius, and as its depth; of an open one, as it then is."""
    radius, depth = drawn.sizes["dish_diameter"] / 2, drawn.sizes.get("dish_depth")
    if depth is not None:
        return min(radius, depth)

    def over(corner: float) -> float:
        return drawn.at("dish_corner", corner).at("dish_depth", corner).net - (wanted or 0.0)

    if wanted is None or wanted <= 0 or radius <= _LEAST or "dish_corner" not in drawn.sizes:
        return inf  # what is wrong then is not the corner
    if over(_LEAST) >= 0:
        return inf
    return root(over, _LEAST, radius) if over(radius) > 0 else radius


def _depth(drawn: _SizedCrown, wanted: float) -> float:
    """Depth of the dish that brings the net volume to what is wanted: it grows with the depth, so that there is one."""
    if wanted <= 0:
        flat = "what is wanted is flat, and a dish is drawn"
        raise ValueError("what is wanted takes space: that is a dome, not a dish" if wanted else flat)
    if drawn.plain:
        if wanted - drawn.alone <= 0:
            raise ValueError("the pockets alone add more than is wanted: no dish is left, a dome would be needed")
        return _dish_depth(drawn, wanted - drawn.alone)

    def over(depth: float) -> float:
        return drawn.at("dish_depth", depth).net - wanted

    least = max(drawn.sizes.get("dish_corner", 0.0), _LEAST)
    if over(least) >= 0:
        raise ValueError("the pockets with the shallowest dish add more than is wanted")
    return _brought_to(over, max(_dish_depth(drawn, wanted), least), least, drawn.sizes["dish_diameter"])


def _height(drawn: _SizedCrown, wanted: float) -> float:
    """Height of the dome that does so: it takes more space the higher it is, whatever pockets cut into it."""
    if drawn.alone - wanted <= 0:
        raise ValueError("the pockets alone do not add what is wanted: no dome is needed, but a dish")
    least = _dome_height(drawn, drawn.alone - wanted)
    if drawn.plain:
        return least

    def over(height: float) -> float:
        return drawn.at("dome_height", height).net - wanted

    if over(least) <= 0:
        return least
    try:
        return root(over, *bracket(over, least, 1.5 * least, factor=1.5, most=drawn.sizes["dome_diameter"]))
    except NoBracket:
        raise ValueError("the pockets take so much of the dome that no height makes up for it: a wider one") from None


def _brought_to(over: Callable[[float], float], near: float, least: float, most: float) -> float:
    """A depth between the least and, where the land cuts the dish, even more than would do without the land."""
    if over(near) >= 0:
        return root(over, least, near)
    try:
        return root(over, *bracket(over, near, 1.5 * near, factor=1.5, most=most))
    except NoBracket:
        raise ValueError("no depth of a dish that the land cuts adds what is wanted: a narrower one") from None


def _dish_depth(drawn: _SizedCrown, volume: float) -> float:
    radius = drawn.sizes["dish_diameter"] / 2
    if drawn.shape == "ball-cut dish":
        return shapes.cap_height(volume, radius=radius)
    return shapes.flat_dish_depth(volume, radius=radius, corner=drawn.sizes.get("dish_corner", 0.0))


def _dome_height(drawn: _SizedCrown, volume: float) -> float:
    radius = drawn.sizes["dome_diameter"] / 2
    if drawn.shape == "ball dome":
        return shapes.cap_height(volume, radius=radius)
    return shapes.frustum_height(volume, base=radius, top=drawn.sizes["dome_top"] / 2)


def hollow_texts(crown: Crown, fmt: Formatter) -> dict[str, str]:
    """What each part adds or takes and the net of it, in words, with a guard digit; they add exactly as printed."""
    unit = conversion(fmt.unit("deck_volume")).scale
    rounded = {name: round(size / unit, GUARDED) for name, size in crown.hollow.items()}
    if len(rounded) < 2 or crown.net is None:
        return {name: _said(size * unit, fmt) for name, size in rounded.items()}
    net = round(crown.net / unit, GUARDED)
    first, *rest = rounded
    rounded[first] = net - sum(rounded[name] for name in rest)  # the dish or dome takes up what rounding leaves
    return {name: _said(size * unit, fmt) for name, size in {**rounded, "net": net}.items()}


def _said(size: float, fmt: Formatter) -> str:
    return fmt.show("deck_volume", size, decimals=GUARDED).removesuffix(" of space")
