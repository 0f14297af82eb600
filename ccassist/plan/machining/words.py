"""What else moves with a cut, in words, with numbers where they can be reckoned.

All common practice, no source, unless said.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from ccassist.bench.materials import MATERIALS
from ccassist.display import show, show_number
from ccassist.engine.mathematics import uncertain
from ccassist.engine.skim import valve_fall
from ccassist.measured import Number, nominal
from ccassist.plan.balance.alike import SHY
from ccassist.plan.machining.changes import Machined, Plan, level_by, width_of
from ccassist.plan.machining.opening import opening_of
from ccassist.terms import term

SKIM_CONSEQUENCES = (
    "valve to piston falls by about the cut times the cosine of the valve angle",
    "squish falls by the cut where the head's squish pads lie back from its face; pads in the face move with it",
    "pushrods, lifter preload and cam timing by chain or belt move",
    "on a V engine the intake manifold no longer lines up by itself",
    "the gasket's fire ring must still stand on metal, and the head keep its least thickness",
)
SHOP_RULE = 0.0175  # of the width, for each degree of a tilted cut; the tangent of one degree is 0.017455


def consequences(plan: Plan, system: str) -> list[str]:
    """What must be looked at, one line each."""
    return [*_near(plan, system), *_head(plan, system), *_tilt(plan, system), *_deck(plan, system)]


def _near(plan: Plan, system: str) -> Iterator[str]:
    """What follows from head and piston coming nearer."""
    span = _span([row.cuts.approach for row in plan.rows], system)
    nearer = any(nominal(row.cuts.approach) > 0 for row in plan.rows)
    if span is None:
        return
    if not nearer:
        yield f"head and piston move apart by {span}: valve to piston grows, cam timing by chain or belt moves"
        return
    yield _valve(plan, system, span)
    yield from _squish(plan, system)
    yield (
        f"the head sits {span} nearer to the crank: pushrod length, lifter preload and rocker tip pattern anew; an "
        "overhead cam is retarded by a chain or belt: time it again and look at the tensioner's room"
    )
    yield f"V engine: each head sits {span} lower along its bank, so manifold faces, bolts and ports no longer line up"
    yield "timing cover and front gaskets: their height must follow head and deck"


def _valve(plan: Plan, system: str, span: str) -> str:
    """How far the room between valve and piston falls, along each valve whose angle is known."""
    stated = [v["valve_angle"].number for v in plan.survey.stated.values() if "valve_angle" in v]
    stems = [plan.work.valve_angle] if plan.work.valve_angle is not None else stated
    if not stems:
        return (
            f"valve to piston falls by roughly the cut, {span} (times the cosine of the valve's angle): check with clay"
        )
    falls = []
    for stem in {nominal(stem): stem for stem in stems}.values():
        fall = _span([valve_fall(row.cuts.approach, stem, m=uncertain()) for row in plan.rows], system)
        falls.append(f"{fall} along a valve at {show('valve_angle', nominal(stem), system=system)}")
    return f"valve to piston falls by {' and '.join(falls)} ({span} × cosine): check with clay"


def _squish(plan: Plan, system: str) -> Iterator[str]:
    moves = [change.number for row in plan.rows if (change := row.change("squish")) is not None]
    fall = _span([-1 * move for move in moves], system)
    if fall is not None:
        yield f"squish falls by {fall}"
    head = _span([row.cuts.head for row in plan.rows], system)
    steps = [row.before.values.get("squish_step") for row in plan.rows]
    if head is None:
        return
    if not any(step is not None and step.nominal > 0 for step in steps):
        yield (
            f"squish does not fall by the head's cut where its pads lie in the face; where they lie back from it, "
            f"it falls by {head}: give squish_step then"
        )
    elif any(_reaches(row) for row in plan.rows):
        yield "the cut reaches the squish pad: from there on it takes pad and not chamber, so the volumes are rough"


def _reaches(row: Machined) -> bool:
    step = row.before.values.get("squish_step")
    return step is not None and step.nominal > 0 and nominal(row.cuts.head) >= step.nominal


def _head(plan: Plan, system: str) -> Iterator[str]:
    if not any(nominal(row.cuts.head) > 0 for row in plan.rows):
        return
    deepest, tilt = max((row.cuts.head for row in plan.rows), key=nominal), plan.work.tilt
    if tilt is not None:
        flat = max((row.cuts.skim for row in plan.rows), key=nominal)
        deepest = flat + tilt.edge_cut(width_of(plan.survey, plan.rows[0].before, tilt))
    yield "the chamber's edge moves: the gasket's fire ring must still stand on metal all round"
    yield (
        f"head thickness falls by {_cut(deepest, system)} at most, and by all it was cut before: measure it against "
        "the least the maker states, and ask the machinist"
    )


def _tilt(plan: Plan, system: str) -> Iterator[str]:
    tilt = plan.work.tilt
    if tilt is None:
        return
    width = width_of(plan.survey, plan.rows[0].before, tilt)
    lean = degrees(tilt.leans(width))
    depths = [f"cylinder {row.number} {show('face_cut', nominal(row.cuts.tilt), system=system)}" for row in plan.rows]
    rule = _cut(SHOP_RULE * nominal(width) * lean, system)
    yield (
        f"the tilted cut leans {lean:.3f} deg and is {_cut(tilt.edge_cut(width), system)} deep at the far edge (by the "
        f"shop rule, {SHOP_RULE} × width for each degree, {rule}); at the middle of each opening: {', '.join(depths)}"
    )
    yield "a squish pad at the deep side comes nearer than one at the other: reckon it by the depth where it lies"
    yield f"bolt seats, dowels, studs and both manifold faces now lean {lean:.3f} deg: spot-face and correct them"


def _deck(plan: Plan, system: str) -> Iterator[str]:
    work = plan.work
    if work.deck is None and not work.level:
        return
    cuts = [row.cuts.deck for row in plan.rows]
    if work.level:
        low = next(row.number for row in plan.rows if row.cuts.deck is min(cuts, key=nominal))
        by = level_by(plan.survey)
        why = "" if by == "block_deck_height" else ", as long as pistons and rods are alike: swap two to see"
        yield f"the deck is lowest at cylinder {low} by its {term(by).name}{why}: all others come down to it"
    yield (
        f"up to {_cut(max(cuts, key=nominal), system)} comes off the deck: the block must keep its least height, and "
        "any corner of the deck, not only the bores, is to be measured for the lowest"
    )
    yield (
        "wet liners: their stand-proud is the maker's figure and must be there again after the cut; the deck plane for "
        "every volume is the liner's top"
    )
    yield "deck after the main bearings are line-bored; tell the piston maker the finished height, not the one before"


def order_of_work(plan: Plan, system: str) -> list[str]:
    """The steps, in the order in which metal comes off."""
    opened = [row for row in plan.rows if nominal(row.cuts.opened) > 0]
    lines = [_grind(row, system) for row in opened]
    left = [str(row.number) for row in plan.rows if plan.work.equalised and row not in opened]
    if left:
        whose = f"chambers of cylinders {', '.join(left)}" if len(left) > 1 else f"chamber of cylinder {left[0]}"
        lines.append(f"leave the {whose}: the largest, or not shown to be smaller at this ±")
    if opened:
        lines.append("measure all chambers again before the face is cut")
    if plan.work.deck is not None or plan.work.level:
        lines.append("deck first, then measure every deck clearance again: the cut of the head is reckoned from it")
    lines += _short_of(plan, system)
    if any(nominal(row.cuts.head) > 0 for row in plan.rows):
        lines.append("measure every chamber again after the last cut, valves and plug as they will run")
    if plan.work.gasket:
        lines.append("the new gasket's thickness is that after tightening: clamp one and measure it")
    lines.append("mock up once with clay on crown and valves before the engine is closed")
    return lines


def _grind(row: Machined, system: str) -> str:
    """How much to grind, and what it weighs."""
    amount = row.cuts.opened
    weights = ", ".join(
        f"{show('dispenser_mass', metal.density * nominal(amount), system=system)} of {metal.name}"
        for metal in MATERIALS.values()
    )
    short = max(0.0, nominal(amount) - SHY)
    return (
        f"cylinder {row.number}: open by {show_number('correction', amount, system=system)}, at first "
        f"{show('correction', short, system=system)}; all of it weighs {weights}: weigh the head before and after"
    )


def _short_of(plan: Plan, system: str) -> Iterator[str]:
    """The first cut, short of the whole one by a little volume."""
    flat = [row for row in plan.rows if nominal(row.cuts.skim) > 0]
    if not flat:
        return
    firsts = []
    for row in flat:
        short = opening_of(plan.survey, row.before).deepest(max(0.0, nominal(row.cuts.taken) - SHY))
        firsts.append(max(0.0, short - nominal(row.cuts.tilt)))
    yield (
        f"cut at first {show('face_cut', min(firsts), system=system)}, {show('correction', SHY, system=system)} "
        "short of the whole, measure the chambers again and creep up"
    )


def caution_keys(plan: Plan) -> tuple[str, ...]:
    """The cautions that apply."""
    grinds = any(nominal(row.cuts.opened) > 0 for row in plan.rows)
    cuts = any(nominal(cut) > 0 for row in plan.rows for cut in (row.cuts.head, row.cuts.deck))
    return (
        *(("metal",) if cuts or grinds else ()),
        *(("grinding",) if grinds else ()),
        *(("swarf", "thin", "bolt-holes") if cuts else ()),
        "contact",
        "planning",
    )


def _span(numbers: list[Number], system: str) -> str | None:
    """One amount, or the range of several, without their sign; None where nothing moves."""
    ends = min(numbers, key=nominal, default=0.0), max(numbers, key=nominal, default=0.0)
    low, high = (show("face_cut", abs(nominal(end)), system=system) for end in ends)
    if nominal(ends[0]) == 0 == nominal(ends[1]):
        return None
    return low if low == high else f"{low} to {high}"


def _cut(number: Number, system: str) -> str:
    return show("face_cut", nominal(number), system=system)
