"""What else moves with a cut, in words, with numbers where they can be reckoned.

All common practice, no source, unless said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import degrees

from ccassist.bench.densities import MATERIALS
from ccassist.plan.balance import MARGIN
from ccassist.plan.machining.changes import Machined, Plan, level_by, width_of
from ccassist.plan.machining.cuts import opening_of
from ccassist.plan.valves.cam import Stem, stems
from ccassist.values.display import Formatter, fixed
from ccassist.values.findings import whose
from ccassist.values.number import Number, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record

# Amounts of several cylinders in words, those that go one way together.

_HAIR = 1e-10  # m: no cut; what adding and taking away leaves of nothing


@record
class Move:
    """One amount, or the range of several, of the cylinders for which it has one sign.

    ``whose`` names them, "" where they are all; ``span`` is without sign.
    """

    cylinders: tuple[int, ...]
    positive: bool
    whose: str
    span: str


def moves_of(numbers: Mapping[int, Number], fmt: Formatter, *, of: int | None = None) -> list[Move]:
    """The amounts [m] by cylinder, those of one sign together; nothing of what does not move.

    ``of`` : how many cylinders there are, where not all have an amount.
    """
    found = []
    for positive in (True, False):
        amounts = {
            n: abs(x) for n, number in numbers.items() if (x := nominal(number)) * (1 if positive else -1) > _HAIR
        }
        if not amounts:
            continue
        all_of_them = len(amounts) == (len(numbers) if of is None else of)
        found.append(
            Move(
                cylinders=tuple(amounts),
                positive=positive,
                whose="" if all_of_them else f"{whose(tuple(amounts))}: ",
                span=span(list(amounts.values()), fmt),
            )
        )
    return found


def span(numbers: Sequence[Number], fmt: Formatter) -> str:
    """One amount [m], or the range of several of one sign, without it."""
    amounts = [abs(nominal(number)) for number in numbers]
    low, high = (fmt.show("face_cut", end) for end in (min(amounts), max(amounts)))
    return low if low == high else f"{low} to {high}"


SKIM_CONSEQUENCES = (
    "valve to piston falls by the cut ÷ the cosine of the valve angle to a flat crown, × it to a pocket's floor",
    "squish falls by the cut where the head's squish pads lie back from its face; pads in the face move with it",
    "pushrods, lifter preload and cam timing by chain or belt move",
    "on a V engine the intake manifold no longer lines up by itself",
    "the gasket's fire ring must still stand on metal, and the head keep its least thickness",
)
SHOP_RULE = 0.0175  # of the width, for each degree of a tilted cut; the tangent of one degree is 0.017455


def consequences(plan: Plan, fmt: Formatter) -> list[str]:
    """What must be looked at, one line each."""
    return [*_near(plan, fmt), *_head(plan, fmt), *_tilt(plan, fmt), *_deck(plan, fmt)]


def _near(plan: Plan, fmt: Formatter) -> Iterator[str]:
    """What follows from head and piston coming nearer, or parting."""
    moves = moves_of({row.number: row.cuts.approach for row in plan.rows}, fmt)
    for one in moves:
        if not one.positive:
            yield f"{one.whose}head and piston move apart by {one.span}"
    yield from _valve(plan, moves, fmt)
    yield from _squish(plan, fmt)
    for one in moves:
        way, lies, timed = (
            ("nearer to", "lower", "retarded") if one.positive else ("farther from", "higher", "advanced")
        )
        yield (
            f"{one.whose}the head sits {one.span} {way} the crank: pushrod length, lifter preload and rocker tip "
            f"pattern anew; an overhead cam is {timed} by a chain or belt: time it again and look at the tensioner's "
            "room"
        )
        yield (
            f"{one.whose}V engine: each head sits {one.span} {lies} along its bank, so manifold faces, bolts and ports "
            "no longer line up"
        )
    if moves:
        yield "timing cover and front gaskets: their height must follow head and deck"


def _valve(plan: Plan, moves: Sequence[Move], fmt: Formatter) -> Iterator[str]:
    """How far the room between valve and piston changes, along each valve whose angle is known."""
    if not moves:
        return
    approaches = {row.number: row.cuts.approach + _deep_side(row) for row in plan.rows}
    tilted = ", at the deep edge of the bore" if plan.work.tilt is not None else ""
    known = stems(plan.survey, approaches, plan.work.valve_angle)
    for one in moves_of(approaches, fmt) if not known else ():
        most = "by more than" if one.positive else "by no more than"
        edge = "÷" if one.positive else "×"
        yield (
            f"{one.whose}valve to piston {'falls' if one.positive else 'grows'} {most} {one.span}{tilted}, that {edge} "
            "the cosine of the valve's angle: give --valve-angle, and check with clay"
        )
    for stem in known:
        ways = {number: stem.nearer(approach) for number, approach in approaches.items()}
        for one in moves_of(ways, fmt):
            bore = [approaches[number] for number in one.cylinders]
            way = f"{span(bore, fmt)} along the bore{tilted}"
            yield f"{one.whose}{_along(stem, one, way, fmt)}: check with clay"
            if stem.floor and nominal(stem.angle) > 0:
                yield f"{one.whose}{_pocket_moves(stem, bore, fmt)}"


def _deep_side(row: Machined) -> float:
    """How much deeper a tilted cut is at the deep edge of the bore than at the middle of its opening [m]."""
    bore = row.before.values.get("bore")
    return row.cuts.lean * bore.nominal / 2 if bore is not None else 0.0


def _along(stem: Stem, one: Move, bore: str, fmt: Formatter) -> str:
    """The change along one valve, and to what."""
    over = {
        True: "to the floor of its pocket, × cosine",
        False: "to a flat crown, ÷ cosine",
        None: f"what the crown is there not being known, {'÷' if one.positive else '×'} cosine to be safe",
    }[stem.floor]
    edge = "" if stem.floor is not None else "at most " if one.positive else "at least "
    angle = fmt.show("valve_angle", nominal(stem.angle))
    return (
        f"valve to piston {'falls' if one.positive else 'grows'} by {edge}{one.span} along {stem.named} at {angle} "
        f"({bore}; {over})"
    )


def _pocket_moves(stem: Stem, approaches: Sequence[Number], fmt: Formatter) -> str:
    """Where the pocket that there is comes to stand under its valve."""
    falls = nominal(approaches[0]) > 0
    aside = span([stem.aside(one) for one in approaches], fmt)
    more = span([stem.deeper(one) for one in approaches], fmt)
    way = "deeper" if falls else "shallower"
    return (
        f"the pocket under {stem.named} then stands {aside} aside of it, and is {more} {way} "
        "along the valve's new line: look at the rim's room, and say the new pocket_depth before the gap is worked out"
    )


def _squish(plan: Plan, fmt: Formatter) -> Iterator[str]:
    changes = {row.number: change.number for row in plan.rows if (change := row.change("squish")) is not None}
    for one in moves_of(changes, fmt, of=len(plan.rows)):
        yield f"{one.whose}squish {'grows' if one.positive else 'falls'} by {one.span}"
    heads = moves_of({row.number: row.cuts.head for row in plan.rows}, fmt)
    steps = [row.before.values.get("squish_step") for row in plan.rows]
    if not heads:
        return
    if not any(step is not None and step.nominal > 0 for step in steps):
        for one in heads:
            yield (
                f"{one.whose}squish does not fall by the head's cut where its pads lie in the face; where they "
                f"lie back from it, it falls by {one.span}: give squish_step then"
            )
    elif any(_reaches(row) for row in plan.rows):
        yield "the cut reaches the squish pad: from there on it takes pad and not chamber, so the volumes are rough"


def _reaches(row: Machined) -> bool:
    step = row.before.values.get("squish_step")
    return step is not None and step.nominal > 0 and nominal(row.cuts.head) >= step.nominal


def _head(plan: Plan, fmt: Formatter) -> Iterator[str]:
    if not any(nominal(row.cuts.head) > 0 for row in plan.rows):
        return
    deepest, tilt = max((row.cuts.head for row in plan.rows), key=nominal), plan.work.tilt
    if tilt is not None:
        flat = max((row.cuts.skim for row in plan.rows), key=nominal)
        deepest = flat + tilt.edge_cut(width_of(plan.rows[0].before, tilt))
    yield "the chamber's edge moves: the gasket's fire ring must still stand on metal all round"
    yield (
        f"head thickness falls by {_cut(deepest, fmt)} at most, and by all it was cut before: measure it against "
        "the least the maker states, and ask the machinist"
    )


def _tilt(plan: Plan, fmt: Formatter) -> Iterator[str]:
    tilt = plan.work.tilt
    if tilt is None:
        return
    width = width_of(plan.rows[0].before, tilt)
    lean = degrees(tilt.leans(width))
    said = f"{fixed(lean, 3)} deg"
    depths = [f"cylinder {row.number} {fmt.show('face_cut', nominal(row.cuts.tilt))}" for row in plan.rows]
    rule = _cut(SHOP_RULE * nominal(width) * lean, fmt)
    yield (
        f"the tilted cut leans {said} and is {_cut(tilt.edge_cut(width), fmt)} deep at the far edge (by the "
        f"shop rule, {SHOP_RULE} × width for each degree, {rule}); at the middle of each opening: {', '.join(depths)}"
    )
    deep = span([row.cuts.head + _deep_side(row) for row in plan.rows], fmt)
    yield (
        f"a squish pad at the deep edge of the bore comes nearer by {deep} where it lies back from the face, one at "
        "the other side by less: what is said of squish is that at the middle of the opening"
    )
    yield f"bolt seats, dowels, studs and both manifold faces now lean {said}: spot-face and correct them"


def _deck(plan: Plan, fmt: Formatter) -> Iterator[str]:
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
        f"up to {_cut(max(cuts, key=nominal), fmt)} comes off the deck: the block must keep its least height, and "
        "any corner of the deck, not only the bores, is to be measured for the lowest"
    )
    yield (
        "wet liners: their stand-proud is the maker's figure and must be there again after the cut; the deck plane for "
        "every volume is the liner's top"
    )
    yield "deck after the main bearings are line-bored; tell the piston maker the finished height, not the one before"


def order_of_work(plan: Plan, fmt: Formatter) -> list[str]:
    """The steps, in the order in which metal comes off."""
    opened = [row for row in plan.rows if nominal(row.cuts.opened) > 0]
    lines = [_grind(row, fmt) for row in opened]
    left = [row.number for row in plan.rows if plan.work.equalised and row not in opened]
    if left:
        chambers = "chambers" if len(left) > 1 else "chamber"
        lines.append(f"leave the {chambers} of {whose(left)}: the largest, or not shown to be smaller at this ±")
    if opened:
        lines.append("measure all chambers again before the face is cut")
    if plan.work.deck is not None or plan.work.level:
        lines.append("deck first, then measure every deck clearance again: the cut of the head is reckoned from it")
    lines += _short_of(plan, fmt)
    if any(nominal(row.cuts.head) > 0 for row in plan.rows):
        lines.append("measure every chamber again after the last cut, valves and plug as they will run")
    if plan.work.gasket:
        lines.append("the new gasket's thickness is that after tightening: clamp one and measure it")
    lines.append("mock up once with clay on crown and valves before the engine is closed")
    return lines


def _grind(row: Machined, fmt: Formatter) -> str:
    """How much to grind, and what it weighs."""
    amount = row.cuts.opened
    weights = ", ".join(
        f"{fmt.show('dispenser_mass', metal.density * nominal(amount))} of {metal.name}" for metal in MATERIALS.values()
    )
    short = max(0.0, nominal(amount) - MARGIN)
    return (
        f"cylinder {row.number}: open by {fmt.number('correction', amount)}, at first "
        f"{fmt.show('correction', short)}; all of it weighs {weights}: weigh the head before and after"
    )


def _short_of(plan: Plan, fmt: Formatter) -> Iterator[str]:
    """The first cut, short of the whole one by a little volume."""
    flat = [row for row in plan.rows if nominal(row.cuts.skim) > 0]
    if not flat:
        return
    firsts = []
    for row in flat:
        short = opening_of(plan.survey, row.before).deepest(max(0.0, nominal(row.cuts.taken) - MARGIN))
        firsts.append(max(0.0, short - nominal(row.cuts.tilt)))
    yield (
        f"cut at first {fmt.show('face_cut', min(firsts))}, {fmt.show('correction', MARGIN)} "
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


def _cut(number: Number, fmt: Formatter) -> str:
    return fmt.show("face_cut", nominal(number))
