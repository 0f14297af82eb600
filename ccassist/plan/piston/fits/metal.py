"""Metal that dish and pockets leave: over the pin bore, and to the top-ring groove.

Source: plane geometry; that the metal to the groove is held to the least
thickness of the crown is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import cos, hypot, inf, sin, sqrt, tan

from ccassist.analysis.wording import listed
from ccassist.plan.piston.crown import DISHES, Crown
from ccassist.plan.piston.fits.case import Case, Fault, Told, Unseen
from ccassist.plan.piston.pockets import Pocket
from ccassist.plan.tolerance.worst import reach
from ccassist.values.measured import nominal
from ccassist.vocabulary import term

Wall = Callable[[float], float]  # depth below the crown flat [m] -> how far from the bore axis the cut reaches there


def over_the_pin(case: Case) -> Iterator[Told]:
    """What stands between the deepest point of the crown and the pin bore: crown and small end together."""
    pin, height = case.number("pin_diameter"), case.first.get("compression_height")
    deepest = case.spec.shape.deepest
    if pin is None or height is None:
        yield Unseen(what="metal over the pin", lacks=f"not given: {term('pin_diameter').name}")
        return
    least = reach(height.number - pin / 2).low - deepest
    wish = case.number("crown_thickness")
    left = f"{case.said('dish_depth', deepest)} below the crown flat" if deepest > 0 else "the crown flat"
    if least <= 0:
        yield Fault(key="crown_through", wrong=f"{left} cuts into the pin bore by {case.said('dish_depth', -least)}")
    elif wish is not None and least < nominal(wish):
        there = case.short("crown_thickness", least, nominal(wish))
        wrong = (
            f"from {left} to the pin bore are {there} at the least, for crown and small end together; at "
            f"least {case.said('crown_thickness', nominal(wish))} of crown is wanted"
        )
        yield Fault(key="crown_thickness", wrong=wrong)
    lacks = "the underside of the crown is the maker's" if wish is not None else "no least crown thickness is stated"
    yield Unseen(what="crown thickness", lacks=lacks)


def at_the_groove(case: Case) -> Iterator[Told]:
    """Dish and pockets against the back of the top-ring groove."""
    crown = case.spec.shape
    cuts = [*_dish(crown), *((f"the {kind} pocket", p.deepest, _pocket_wall(p)) for kind, p in crown.pockets.items())]
    if not cuts:
        return
    keys = ("land_diameter", "land_height", "ring_radial_depth")
    if lacks := case.lacking(*keys):
        yield Unseen(what="dish and pockets against the ring groove", lacks=f"not given: {lacks}")
        return
    land, height, ring = (span for key in keys if (span := case.span(key)) is not None)
    wish = case.number("crown_thickness")
    placeless = [name for name, _, wall in cuts if wall is None]
    if placeless:
        yield Unseen(what=f"{listed(placeless)} against the ring groove", lacks="not given: pocket offset")
    for name, deepest, wall in cuts:
        if wall is None:
            continue
        metal = _metal(deepest, wall, root=land.low / 2 - ring.high, groove=height.low)
        if metal <= 0:
            yield Fault(key="crown_through", wrong=f"{name} cuts into the top-ring groove")
        elif wish is not None and metal < nominal(wish):
            there = case.short("crown_thickness", metal, nominal(wish))
            wrong = (
                f"between {name} and the top-ring groove stand {there} at the least; "
                f"at least {case.said('crown_thickness', nominal(wish))} of metal is wanted in the crown"
            )
            yield Fault(key="groove_metal", wrong=wrong)


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
