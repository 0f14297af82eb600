"""The crown drawn against the volume ordered: its sign, its size, and where the drawing does not tell the volume."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import combinations
from math import asin, cos, floor, hypot, inf, pi, sin, sqrt, tan

from ccassist.plan.expected import reach
from ccassist.plan.piston.crown import DISHES, DOMES, Crown, Pocket, crown_of
from ccassist.plan.piston.fits_case import Fault, FitCase, Told, Unseen
from ccassist.plan.piston.specification import ordering_step
from ccassist.values.display import places
from ccassist.values.findings import InputError, clean, listed
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.quantity import parse
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion

_ROUNDING = 1e-12  # m³; what rounding of floats may make


def shape(case: FitCase) -> Iterator[Told]:
    """Faults of the shape, its sign and its volume."""
    crown, ordered = case.spec.shape, case.spec.crown
    for fault in crown.faults:
        room = "" if crown.corner is None else f": the largest that fits is {_rounded_down(case, crown.corner)}"
        yield Fault("crown_shape", f"the crown's shape: {fault}{room}")
    if ordered is None or not crown.shape:
        return
    net = case.told("crown_volume", ordered.value)
    if (drawn := _other_way(crown, ordered.value)) is not None:
        flat = 'crown_volume = "flat" under [order] for a flat crown, or draw the shape that the volume asks for'
        right = flat if crown.shape == "flat" and not crown.pockets else ""
        yield Fault("crown_sign", f"{drawn} is drawn, but what is ordered is: {net}", right=right)
        return
    if crown.net is None or crown.solved:
        return
    allowed = half_digits(case)
    if abs(crown.net - ordered.value) > allowed + _ROUNDING:
        drawn = "pockets" if crown.shape == "flat" and crown.pockets else f"the {crown.shape} crown"
        wrong = (
            f"{drawn} as drawn: {case.told('crown_volume', crown.net)}; ordered: {net}; "
            f"the digits stated explain {case.said('crown_volume', allowed)}"
        )
        yield Fault("shape_volume", wrong)


def _rounded_down(case: FitCase, corner: float) -> str:
    """A corner radius as printed and no larger than it is, so that the one said fits."""
    unit = case.fmt.unit("dish_corner")
    step = conversion(unit).scale * 10.0 ** -places(unit, None)
    return case.said("dish_corner", floor(corner / step + 1e-9) * step)


def _other_way(crown: Crown, volume: float) -> str | None:
    """What is drawn, where it cannot do to the space what the volume says; pockets in a dome may outweigh it."""
    if crown.shape in DISHES and volume < 0:
        return f"a {crown.shape}"
    if crown.shape in DOMES and volume > 0 and not crown.pockets:
        return f"a {crown.shape}"
    if crown.shape == "flat" and (volume < 0 or (volume > 0 and not crown.pockets)):
        return "a flat crown without pockets" if not crown.pockets else "a flat crown with pockets"
    return None


def half_digits(case: FitCase) -> float:
    """What half the last digit of every size stated, and of the volume, can make of the volume, added; SI."""
    total = _of_the_volume(case)
    net = case.spec.shape.net
    stated = case.spec.survey.stated
    for section in ("order.crown", "order.pocket.intake", "order.pocket.exhaust", "order"):
        for key, value in stated.get(section, {}).items():
            half = 0.0 if term(key).counted else _half(value, case)
            if not half or net is None or (section == "order" and key != "land_diameter"):
                continue
            moved = [_net(case, section, {key: replace(value, number=value.nominal + side * half)}) for side in (-1, 1)]
            total += max((abs(other - net) for other in moved if other is not None), default=0.0)
    return total


def _of_the_volume(case: FitCase) -> float:
    """Half the last digit of the volume ordered."""
    ordered, stated = case.spec.crown, case.spec.survey.stated.get("order", {})
    if "crown_volume" in stated:
        return _half(stated["crown_volume"], case)
    return 0.0 if ordered is None else ordering_step("crown_volume", case.spec.survey.fmt) / 2


def _half(value: Value, case: FitCase) -> float:
    """Half the last digit as written, SI; nothing for a mean."""
    if len(value.raw) != 1:
        return 0.0
    try:
        return parse(value.raw[0], value.key, system=case.spec.survey.job.bare).step / 2
    except InputError:
        return 0.0


def _net(case: FitCase, section: str, instead: Mapping[str, Value]) -> float | None:
    """The volume of the crown drawn with another size in it."""
    stated = case.spec.survey.stated
    other = {**stated, section: {**stated.get(section, {}), **instead}}
    land = other.get("order", {}).get("land_diameter") or case.first.get("land_diameter")
    bore = min((nominal(size) for size in case.all("bore")), default=None)
    return crown_of(other, case.spec.shape.shape, None, None if land is None else land.nominal, bore).net


def pockets(case: FitCase) -> Iterator[Told]:
    """Where the pockets' volume is not known exactly, and whether they stand clear of one another."""
    crown = case.spec.shape
    if crown.faults or not crown.pockets:
        return
    if "dish" in crown.hollow and any(one.offset is None for one in crown.pockets.values()):
        wrong = "the pockets are counted in full, as if they lay outside the dish"
        yield Fault("pocket_shape", wrong)
    elif "dome" in crown.hollow and any(one.offset is None for one in crown.pockets.values()):
        wrong = "the pockets are counted from the crown flat down, as if they lay outside the dome"
        yield Fault("pocket_shape", wrong)
    if all(one.places for one in crown.pockets.values()):
        yield from _on_one_another(case)
        return  # what they share is counted once
    if _crowded(crown):
        yield Fault("pocket_shape", "the pockets run into one another: what they share is counted twice")
    elif sum(one.count for one in crown.pockets.values()) > 1:
        yield Unseen("pockets against one another", "their angle round the bore is said in words only")


def _on_one_another(case: FitCase) -> Iterator[Told]:
    """Two pockets of which one holds the other's middle: no two valves, each hardly smaller, stand there."""
    placed = [(kind, one.radius, place) for kind, one in case.spec.shape.pockets.items() for place in one.places]
    met = {
        f"the {first} and the {second} pocket" if first != second else f"two {first} pockets": apart
        for (first, r1, a), (second, r2, b) in combinations(placed, 2)
        if (apart := hypot(a[0] - b[0], a[1] - b[1])) < max(r1, r2)
    }
    for which, apart in met.items():
        middles = case.said("pocket_offset", apart)
        yield Fault("pocket_place", f"{which} lie on one another: their middles stand {middles} apart")


def _crowded(crown: Crown) -> bool:
    """Whether the pockets run into one another however they are placed round the bore."""
    angles = [
        one.count * 2 * asin(min(one.radius / one.offset, 1.0)) if one.offset > one.radius else pi * one.count
        for one in crown.pockets.values()
        if one.offset is not None and one.offset > 0
    ]
    return sum(angles) > 2 * pi + 1e-9


def edge(case: FitCase) -> Iterator[Told]:
    """Dish, dome and pockets against the edge of the crown."""
    land = case.span("land_diameter") or case.least_bore
    sizes, stated_land = case.spec.shape.sizes, case.number("land_diameter")
    what = "bore" if stated_land is None else "land"
    if land is None:
        return
    for key in ("dish_diameter", "dome_diameter"):
        if sizes.get(key, 0.0) >= land.low:
            wrong = (
                f"the {key.partition('_')[0]}, {case.said(key, sizes[key])} across, reaches the edge of the crown: "
                f"the {what} is {case.said('land_diameter', land.low)} at its least"
            )
            yield Fault("crown_edge", wrong)
    band, dish = sizes.get("squish_band"), sizes.get("dish_diameter")
    stated = case.spec.survey.stated.get("order.crown", {})
    if (
        band is not None
        and dish is not None
        and {"squish_band", "dish_diameter"} <= set(stated)
        and stated_land is not None
    ):
        off = abs(dish + 2 * band - nominal(stated_land))
        most = sum(_half(stated[key], case) * by for key, by in (("squish_band", 2), ("dish_diameter", 1)))
        if off > most + (land.high - land.low) / 2 + 1e-9:
            wrong = f"dish and squish band together miss the land by {case.said('squish_band', off)}"
            yield Fault("crown_shape", wrong, right="state one of the two and leave the other out")
    for kind, one in case.spec.shape.pockets.items():
        if one.reach is not None and one.reach > land.low / 2:
            reach = case.said("pocket_offset", one.reach)
            yield Fault("pocket_edge", f"the {kind} pockets reach {reach} from the bore axis: beyond the {what}")


# Metal that dish and pockets leave: over the pin bore, and to the top-ring groove.
#
# Source: plane geometry; that the metal to the groove is held to the least thickness of the crown is common practice,
# no source.

Wall = Callable[[float], float]  # depth below the crown flat [m] -> how far from the bore axis the cut reaches there


def over_the_pin(case: FitCase) -> Iterator[Told]:
    """What stands between the deepest point of the crown and the pin bore: crown and small end together."""
    pin, height = case.number("pin_diameter"), case.first.get("compression_height")
    deepest = case.spec.shape.deepest
    if pin is None or height is None:
        yield Unseen("metal over the pin", f"not given: {term('pin_diameter').name}")
        return
    least = reach(height.number - pin / 2).low - deepest
    wish = case.number("crown_thickness")
    left = f"{case.said('dish_depth', deepest)} below the crown flat" if deepest > 0 else "the crown flat"
    if least <= 0:
        cuts = f"the crown's deepest point, {left}," if deepest > 0 else left
        yield Fault("crown_through", f"{cuts} cuts into the pin bore by {case.said('dish_depth', -least)}")
    elif wish is not None and least < nominal(wish):
        there = case.short("crown_thickness", least, nominal(wish))
        wrong = (
            f"from {left} to the pin bore are {there} at the least, for crown and small end together; at "
            f"least {case.said('crown_thickness', nominal(wish))} of crown is wanted"
        )
        yield Fault("crown_thickness", wrong)
    lacks = "the underside of the crown is the maker's" if wish is not None else "no least crown thickness is stated"
    yield Unseen("crown thickness", lacks)


def at_the_groove(case: FitCase) -> Iterator[Told]:
    """Dish and pockets against the back of the top-ring groove."""
    crown = case.spec.shape
    cuts = [*_dish(crown), *((f"the {kind} pocket", p.deepest, _pocket_wall(p)) for kind, p in crown.pockets.items())]
    if not cuts:
        return
    keys = ("land_diameter", "land_height", "ring_radial_depth")
    if lacks := case.lacking(*keys):
        yield Unseen("dish and pockets against the ring groove", f"not given: {lacks}")
        return
    land, height, ring = (span for key in keys if (span := case.span(key)) is not None)
    wish = case.number("crown_thickness")
    placeless = [name for name, _, wall in cuts if wall is None]
    if placeless:
        yield Unseen(f"{listed(placeless)} against the ring groove", "not given: pocket offset")
    for name, deepest, wall in cuts:
        if wall is None:
            continue
        metal = _metal(deepest, wall, root=land.low / 2 - ring.high, groove=height.low)
        if metal <= 0:
            yield Fault("crown_through", f"{name} cuts into the top-ring groove")
        elif wish is not None and metal < nominal(wish):
            there = case.short("crown_thickness", metal, nominal(wish))
            wrong = (
                f"between {name} and the top-ring groove stand {there} at the least; "
                f"at least {case.said('crown_thickness', nominal(wish))} of metal is wanted in the crown"
            )
            yield Fault("groove_metal", wrong)


def _metal(deepest: float, wall: Wall, *, root: float, groove: float) -> float:
    """From a cut to the groove, whose back stands at ``root`` from the bore axis and its top at depth ``groove``."""
    aside = root - wall(min(deepest, groove))
    below = groove - deepest
    if aside <= 0:
        return max(below, 0.0)
    return aside if below <= 0 else hypot(aside, below)


def _dish(crown: Crown) -> Iterator[tuple[str, float, Wall | None]]:
    if crown.shape not in DISHES or not {"dish_diameter", "dish_depth"} <= set(crown.sizes):
        return
    radius, depth = crown.sizes["dish_diameter"] / 2, crown.sizes["dish_depth"]
    if crown.shape == "ball-cut dish" and depth > 0:
        ball = (radius**2 + depth**2) / (2 * depth)
        yield "the dish", depth, lambda at: sqrt(max(ball**2 - (ball - depth + at) ** 2, 0.0))
    else:
        yield "the dish", depth, lambda at: radius


def _pocket_wall(one: Pocket) -> Wall | None:
    """The outer wall of a pocket, which leans outward going up; nothing where its place is not known."""
    if one.offset is None:
        return None
    middle, r, t = one.offset + one.depth * sin(one.tilt), one.radius, one.tilt
    return lambda at: middle + r / cos(t) - at * tan(t) if at < inf else middle


# Pin, rings and lands against one another and against the bore.

_STACK = ("land_height", "top_ring_width", "second_ring_width", "oil_ring_width")


def pin(case: FitCase) -> Iterator[Told]:
    """The pin bore against the lowest ring groove."""
    size, height = case.number("pin_diameter"), case.first.get("compression_height")
    if size is None or height is None:
        yield Unseen("pin against the rings", f"not given: {term('pin_diameter').name}")
        return
    pack, stack = case.number("ring_pack_depth"), [case.number(key) for key in _STACK]
    known = [one for one in stack if one is not None]
    if pack is None and len(known) < len(stack):
        yield Unseen("pin against the rings", f"not given: {term('ring_pack_depth').name}")
        return
    lowest = pack if pack is not None else sum(known)  # without the lands between the rings, which are not known
    room = reach(height.number - size / 2 - lowest).low
    if room < 0:
        yield _cut(case, -room)
    elif pack is None:
        lacks = (
            f"not given: {term('ring_pack_depth').name}; without the lands {case.said('land_height', room)} are left"
        )
        yield Unseen("pin against the rings", lacks)


def _cut(case: FitCase, by: float) -> Fault:
    """The pin bore cuts into the grooves: a rail over the oil ring's settles it, where it goes no farther."""
    oil, rail = case.number("oil_ring_width"), case.spec.said.get("support_rail", "")
    within = oil is not None and by <= nominal(oil)
    what = "the oil-ring groove" if within or oil is None else "the land above the oil-ring groove"
    wrong = f"the pin bore cuts into {what} by {case.short('land_height', by, 0.0)} at its worst"
    return Fault("pin_groove", wrong, settled=f"support rail: {clean(rail, 200)}" if rail and within else "")


def ring_pack(case: FitCase) -> Iterator[Told]:
    """Land and rings within the depth of the ring pack."""
    pack = case.number("ring_pack_depth")
    known = {key: number for key in _STACK if (number := case.number(key)) is not None}
    if pack is None or not known:
        return
    over = -reach(pack - sum(known.values())).low
    if over > 0:
        names = " + ".join(term(key).name for key in known)
        depth = case.said("ring_pack_depth", nominal(pack))
        wrong = f"{names} exceed the ring pack depth of {depth} by {case.short('land_height', over, 0.0)} at the worst"
        yield Fault("ring_pack", wrong)


def pin_length(case: FitCase) -> Iterator[Told]:
    """The pin shorter than the bore, and longer than the small end is wide."""
    pin, bore, rod = case.span("pin_length"), case.least_bore, case.span("rod_width")
    if pin is None:
        return
    if bore is not None and pin.high >= bore.low:
        yield Fault("pin_length", f"the pin, {case.said('pin_length', pin.high)} long, is not shorter than the bore")
    if rod is not None and rod.high >= pin.low:
        yield Fault("pin_length", f"the small end, {case.said('rod_width', rod.high)} wide, takes the whole pin")


def land(case: FitCase) -> Iterator[Told]:
    """The top land against the smallest bore, and against the room that the skirt has."""
    number, bore = case.number("land_diameter"), case.least_bore
    if number is None or bore is None:
        yield Unseen("top land against the bore", f"not given: {term('land_diameter').name}")
        return
    gap = min(reach(one - number).low for one in case.all("bore"))
    skirt = case.number("wall_clearance")
    if gap <= 0:
        size, by = case.said("land_diameter", nominal(number)), case.short("land_height", -gap, 0.0)
        yield Fault("land_bore", f"the top land, {size}, is larger than the smallest bore by {by} at its worst")
    elif skirt is not None and gap <= nominal(skirt):
        room, wanted = case.short("wall_clearance", gap, nominal(skirt)), case.said("wall_clearance", nominal(skirt))
        yield Fault("land_clearance", f"the top land has {room} of room at its worst, the skirt {wanted}")
