"""The piston against what stands over it: head, gasket, and the side of the chamber."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

from ccassist.analysis.gasket_checks import openings
from ccassist.analysis.wording import whose
from ccassist.plan.piston.crown import DISHES, DOMES
from ccassist.plan.piston.fits.case import Case, Fault, Told, Unseen
from ccassist.plan.tolerance.worst import reach
from ccassist.values.measured import nominal
from ccassist.vocabulary import term


def gap(case: Case) -> Iterator[Told]:
    """The flat of the crown against the head."""
    met = {
        c.number: span.low for c in case.cylinders if (span := case.worst(c.number, "squish")) and span.low <= 0
    }  # fmt: skip
    if met:
        least = case.told("squish", min(met.values()))
        yield Fault(key="head_contact", wrong=f"piston and head may meet in {whose(list(met))}: {least} at the worst")


def gasket(case: Case) -> Iterator[Told]:
    """The gasket's opening against bore and dish; and against a piston that comes up into it."""
    over: list[int] = []
    met: list[int] = []
    for planned, one in zip(case.cylinders, case.spec.survey.cylinders, strict=True):
        if any(reach(opening.number - bore.number).high < 0 for opening, bore in openings(one)):
            over.append(one.number)
            deck = case.worst(planned.number, "deck_clearance")
            if deck is not None and deck.low < 0:
                met.append(one.number)
    if met:
        wrong = f"the gasket stands over the bore and the piston comes up to it in {whose(met)}"
        yield Fault(key="gasket_contact", wrong=wrong)
    elif over:
        yield Fault(key="gasket_edge", wrong=f"the gasket's opening is narrower than the bore in {whose(over)}")
    dish, area = case.spec.shape.sizes.get("dish_diameter"), case.span("gasket_area")
    if dish is not None and area is not None and dish > 2 * sqrt(max(area.low, 0.0) / pi):
        wrong = f"the dish, {case.said('dish_diameter', dish)} across, is wider than the gasket's opening at its least"
        yield Fault(key="gasket_edge", wrong=wrong)


def chamber(case: Case) -> Iterator[Told]:
    """Dome and dish against the opening of the chamber.

    A circle of more area than the opening cannot lie within it, whatever its
    outline: a dome so wide above the gap meets the face of the head.
    """
    sizes, shape = case.spec.shape.sizes, case.spec.shape.shape
    if shape not in (*DISHES, *DOMES):
        return
    areas = [reach(number) for number in case.all("chamber_area")]
    if len(areas) < len(case.cylinders):
        what = "dome against the side of the chamber" if shape in DOMES else "dish against the chamber"
        yield Unseen(what=what, lacks=f"not given: {term('chamber_area').name}")
    else:
        radius = sqrt(max(min(area.low for area in areas), 0.0) / pi)
        yield from _dish(case, radius) if shape in DISHES else _dome(case, radius) if "dome_height" in sizes else ()
    if shape in DOMES:
        yield Unseen(what="dome against roof and plug", lacks="the shape of the chamber: check with clay at mock-up")


def _dome(case: Case, opening: float) -> Iterator[Told]:
    wish = case.number("dome_clearance")
    gaps = [span.low for c in case.cylinders if (span := case.worst(c.number, "squish")) is not None]
    room = min(gaps, default=0.0)
    reach_of = _radius_at(case, room)
    across = [case.said("dome_diameter", 2 * size) for size in (reach_of, opening)]
    if reach_of >= opening:
        wrong = (
            f"where it stands above the gap the dome is {across[0]} across: no chamber whose opening has the area of a "
            f"circle of {across[1]} takes it in"
        )
        yield Fault(key="chamber_contact", wrong=wrong)
    elif wish is not None and opening - reach_of < nominal(wish):
        left = case.short("dome_clearance", opening - reach_of, nominal(wish))
        wanted = case.said("dome_clearance", nominal(wish))
        wrong = f"a round chamber leaves {left} beside the dome at most; at least {wanted} is wanted"
        yield Fault(key="dome_gap", wrong=wrong)


def _radius_at(case: Case, height: float) -> float:
    """The dome's radius at a height above the crown flat, SI; nothing above its top."""
    sizes = case.spec.shape.sizes
    base, top, most = sizes["dome_diameter"] / 2, sizes.get("dome_top", 0.0) / 2, sizes["dome_height"]
    at = max(height, 0.0)
    if at >= most:
        return 0.0
    if case.spec.shape.shape == "ball dome":
        ball = (base**2 + most**2) / (2 * most)
        return sqrt(max(ball**2 - (ball - most + at) ** 2, 0.0))
    return base - (base - top) * at / most


def _dish(case: Case, opening: float) -> Iterator[Told]:
    dish = case.spec.shape.sizes.get("dish_diameter")
    if dish is not None and dish / 2 > opening:
        wrong = (
            f"the dish, {case.said('dish_diameter', dish)} across, is wider than a round chamber opening of the same "
            f"area, {case.said('dish_diameter', 2 * opening)}"
        )
        yield Fault(key="squish_pads", wrong=wrong)
