"""What shows only beside the sister cylinders, or by a second route to the same thing.

All the limits are common practice, no source; differences must also be more than chance gives.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, product
from statistics import median

from ccassist.bench.calibrated import fit
from ccassist.bench.cell import Reduction
from ccassist.bench.kit import Kit
from ccassist.bench.pooled import WIDE_FILLS, WIDE_LENGTHS, Say, refills
from ccassist.bench.repeats import RARE, by_chance
from ccassist.bench.signatures import refill_in, unit_slip
from ccassist.engine.relations import bore_area
from ccassist.values.findings import Finding, question, runs, warning, whose
from ccassist.values.number import Number, nominal
from ccassist.values.statistics import mean, pooled, student
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import together

SWAP = "swap one thing at a time: plate, plug, fluid, instrument"


def sister_slips(reduced: Sequence[Reduction], kit: Kit, say: Say) -> list[Finding]:
    """Cylinders that differ from sisters which agree by a refill, a unit, a decimal point or a sign."""
    alone = [one for one in reduced if len(one.cell.cylinders) == 1]
    groups = together(((one.cell.step.key, one.cell.state, key), one) for one in alone for key in one.values)
    found = []
    for (_, _, key), members in groups.items():
        for one in members:
            rest = [m.values[key].nominal for m in members if m is not one]
            if len(rest) > 1:
                found += _odd_sister(one, key, rest, kit, say)
    return found


def _odd_sister(one: Reduction, key: str, rest: Sequence[float], kit: Kit, say: Say) -> list[Finding]:
    value, usual, near = one.values[key].nominal, median(rest), max(rest) - min(rest)
    jump, name = value - usual, term(key).name
    size = refill_in(jump, refills(one.cell, kit), near) if term(key).kind is Kind.VOLUME else None
    if size is not None and near < size / 4:
        wrong = f"its {name} lies {say(key, abs(jump))} from its sisters, which agree"
        likely = f"likeliest a refill of {say(key, size)} counted wrongly"
        right = "look at the starts and ends of its refills"
        return [_at(one, question("sister-refill", f"{wrong}: {likely}", right=right))]
    wide = WIDE_FILLS if term(key).kind is Kind.VOLUME else WIDE_LENGTHS
    if abs(jump) <= wide or usual == 0 or near > abs(usual) / 4:
        return []
    slip = unit_slip(value / usual, key, 0.05 + near / abs(usual) / 2)
    if not slip:
        return []
    wrong = f"its {name} does not fit its sisters, which agree: it looks as if {slip}"
    return [_at(one, question("sister-slip", wrong, right="look at the unit, point and sign of its readings"))]


def _at(one: Reduction, finding: Finding) -> Finding:
    counted = one.cell.counted
    return finding.at(line=(counted[-1].line if counted else None) or one.cell.line, place=one.cell.where)


def offsets(reduced: Sequence[Reduction], kit: Kit, say: Say) -> list[Finding]:
    """Two routes to the same things that differ by the same amount on each of them."""
    found = []
    for key, pairs in _routes(reduced):
        apart = [a.values[key].number - b.values[key].number for a, b in pairs]
        plain = [nominal(d) for d in apart]
        average: Number = sum(apart) / len(apart)
        if max(plain) - min(plain) > abs(nominal(average)) or not _shown(average):
            continue
        more, less = pairs[0] if nominal(average) > 0 else (pairs[0][1], pairs[0][0])
        amount = say(key, abs(nominal(average)))
        wrong = (
            f"by {_route(more)} the {term(key).name} reads {amount} more than by {_route(less)}, the same on each: "
            f"{_reason(more, less, abs(nominal(average)))}"
        )
        place, both = ", ".join(a.cell.where for a, _ in pairs), tuple(n for a, _ in pairs for n in a.cell.cylinders)
        found.append(warning("constant-offset", wrong, right=SWAP, line=more.cell.line, place=place, together=both))
    return found


def _routes(reduced: Sequence[Reduction]) -> Iterator[tuple[str, list[tuple[Reduction, Reduction]]]]:
    """A term and the pairs of reductions, one by each of two routes, for two cylinders or more."""
    by_route: dict[tuple[object, ...], dict[tuple[object, ...], Reduction]] = {}
    for one in reduced:
        cell = one.cell
        route = (cell.step.key, cell.state, cell.same_way.route)
        by_route.setdefault(route, {})[cell.cylinders] = one
    for (first, ones), (second, others) in combinations(by_route.items(), 2):
        common = [c for c in ones if c in others]
        if first[:2] != second[:2] or len(common) < 2:  # of another step, or in another state
            continue
        pairs = [(ones[c], others[c]) for c in common]
        for key in pairs[0][0].values:
            if all(key in a.values and key in b.values for a, b in pairs):
                yield key, pairs


def _shown(number: Number) -> bool:
    """Whether a difference is more than chance would give clean readings; not where its ± is not known."""
    return abs(nominal(number)) > by_chance(number)


def _route(one: Reduction) -> str:
    return f"{one.cell.tool} (line {one.cell.line})"


def _reason(more: Reduction, less: Reduction, amount: float) -> str:
    """The likeliest cause of a constant difference."""
    for one in (more, less):
        hole = _hole(one)
        if hole and abs(amount - hole) <= 0.3 * hole:
            return "about what the plate's hole holds, so it is counted on one side only"
    if less.cell.weighed:
        return "a plate hole or film counted on one side only, or a scale that swallows a trickle as zero drift"
    return "a plate hole, a grease film or a plug counted on one side only"


def _hole(one: Reduction) -> float:
    """Volume of the plate's hole, m³; nothing where its size is not given."""
    settings = one.cell.settings
    if not {"hole_diameter", "plate_thickness"} <= set(settings):
        return 0.0
    area: float = bore_area(settings["hole_diameter"][0].value)
    return area * settings["plate_thickness"][0].value


def swallowed(reduced: Sequence[Reduction], say: Say) -> list[Finding]:
    """Small weighed fills that read low where large ones are right: auto-zero takes a trickle for drift."""
    points = list(_by_weight_and_volume(reduced))
    largest = max((size for size, _, _ in points), default=0.0)
    small = [(d, one) for size, d, one in points if size <= largest / 2]
    large = [d for size, d, _ in points if size > largest / 2]
    if not small or not large:
        return []
    low: Number = sum(d for d, _ in small) / len(small)
    right: Number = sum(large) / len(large)
    if nominal(low) >= 0 or not _shown(low) or _shown(right) or nominal(right - low) <= 0 or not _shown(right - low):
        return []
    wrong = f"small weighed fills read {say('fill_volume', abs(nominal(low)))} low and large ones right: auto-zero"
    remedy = "the scale swallows a slow trickle as zero drift: lift the bottle off, fill, put it back"
    return [_at(small[0][1], warning("auto-zero", wrong, right=remedy))]


def _by_weight_and_volume(reduced: Sequence[Reduction]) -> Iterator[tuple[float, Number, Reduction]]:
    """Of everything filled both ways: its size [m³], what it reads more by weight [m³], and the weighed fills."""
    for weighed, other in product((r for r in reduced if r.cell.weighed), (r for r in reduced if not r.cell.weighed)):
        if _same_thing(weighed, other):
            for key in weighed.values.keys() & other.values.keys():
                if term(key).kind is Kind.VOLUME:
                    more = weighed.values[key].number - other.values[key].number
                    yield weighed.values[key].nominal, more, weighed


def _same_thing(one: Reduction, other: Reduction) -> bool:
    a, b = one.cell, other.cell
    return (a.step.key, a.cylinders, a.part, a.state) == (b.step.key, b.cylinders, b.part, b.state)


# ---- what a bore says of its wear, and the corners of a block of its deck
TAPER = 0.03e-3  # m; a bore wider at one end by more is worn, or honed so (common practice, no source)


def taper_and_tilt(reduced: Sequence[Reduction], say: Say) -> list[Finding]:
    """Bores that are wider at the top than low down, and decks whose corners lie at different heights."""
    found = []
    for one in (r for r in reduced if r.cell.counted):
        cell, ends = one.cell, one.cell.method.tapers
        if ends is not None:
            taper = mean([row.one(ends[0]) - row.one(ends[1]) for row in cell.counted])
            if abs(taper) > TAPER * (1 + 1e-9):
                side = "wider near the top than low down" if taper > 0 else "wider low down than near the top"
                wrong = f"the bore is {side} by {say('bore', abs(taper))}: the mean counts as its size"
                right = "hone it, or say the finished size; a ring gap is set where the bore is narrowest"
                found.append(warning("taper", wrong, right=right, line=cell.counted[-1].line, place=cell.where))
        corners = {name: mean([row.one(name) for row in cell.counted]) for name in cell.method.even}
        if corners and max(corners.values()) - min(corners.values()) > EVEN * (1 + 1e-9):
            found.append(_tilted(one, corners, say))
    return found


def _tilted(one: Reduction, corners: dict[str, float], say: Say) -> Finding:
    low, high = min(corners, key=lambda n: corners[n]), max(corners, key=lambda n: corners[n])
    apart = say("block_deck_height", corners[high] - corners[low])
    wrong = f"the {low.replace('_', ' ')} corner is {apart} lower than the {high.replace('_', ' ')}: the mean counts"
    right = "the deck is not parallel to the crank: read each deck clearance, or have it decked to the lowest corner"
    line = one.cell.counted[-1].line
    return warning("deck-tilted", wrong, right=right, line=line, place=one.cell.where)


# ---- what deck clearances say of the block, the rods and the dial: each pattern must be more than the readings' doubt
ONE_OUT = 0.1e-3  # m; one cylinder apart from neighbours that agree
EVEN = 0.05e-3  # m; front to rear of one piston, end to end of a deck, bank to bank
Clearances = dict[int, tuple[Number, Reduction]]


def deck_findings(reduced: Sequence[Reduction], banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Findings on the deck clearances of one state.

    reduced : reductions of the deck step.
    banks : the cylinders of each bank, front to back.
    """
    found = [*_front_and_rear(reduced, say), *_rock(reduced, say)]
    read: Clearances = {
        r.cell.cylinders[0]: (r.values["deck_clearance"].number, r)
        for r in reduced
        if len(r.cell.cylinders) == 1 and "deck_clearance" in r.values
    }
    split = [[c for c in bank if c in read] for bank in banks]
    for bank in split:
        found += _one_out(bank, read, say) or _slope(bank, read, say)
    return found + _banks_apart([bank for bank in split if len(bank) > 1], read, say)


def _front_and_rear(reduced: Sequence[Reduction], say: Say) -> list[Finding]:
    """Front and rear of the pin axis must agree: there a rocking piston does not show."""
    both = [(r, r.cell.method.level) for r in reduced if r.cell.counted]
    level = [(r, ends) for r, ends in both if ends is not None]
    tilts = [[row.one(front) - row.one(rear) for row in r.cell.counted] for r, (front, rear) in level]
    sigma, dof = pooled(tilts)
    found = []
    for (one, _), tilt in zip(level, tilts, strict=True):
        doubt = student(dof, 1 - RARE) * sigma / math.sqrt(len(tilt)) if dof > 1 else 0.0
        if abs(mean(tilt)) <= max(EVEN, doubt):
            continue
        ends = "front further below deck than the rear" if mean(tilt) > 0 else "rear further below deck than the front"
        wrong = f"{ends} by {say('deck_clearance', abs(mean(tilt)))}: the dial is not square, or the deck not flat"
        right = "turn the dial about and read again; straight-edge the deck"
        cell = one.cell
        asks = abs(mean(tilt)) > term("piston_rock").plausible[1]
        found.append(warning("front-rear", wrong, right=right, line=cell.counted[-1].line, place=cell.where, asks=asks))
    return found


def _rock(reduced: Sequence[Reduction], say: Say) -> list[Finding]:
    """A piston that rocks farther than any usual one between its thrust sides: one of the two was misread."""
    found, (_, most) = [], term("piston_rock").plausible
    rocked = ((one, row, row.method.rocks) for one in reduced for row in one.cell.counted)
    for one, row, sides in rocked:
        if sides is not None and abs(row.one(sides[0]) - row.one(sides[1])) > most * (1 + 1e-9):
            rocks = say("piston_rock", abs(row.one(sides[0]) - row.one(sides[1])))
            usual = say("piston_rock", most)
            wrong = f"its piston would rock by {rocks} between the thrust sides; most rock by {usual} at most"
            right = "look at both readings, and at the words below and proud"
            found.append(question("piston-rocks", wrong, right=right, line=row.line, place=one.cell.where))
    return found


def _one_out(bank: Sequence[int], read: Clearances, say: Say) -> list[Finding]:
    """One cylinder apart from the rest of its bank, which agree."""
    found = []
    for cylinder in bank:
        rest = [c for c in bank if c != cylinder]
        plain = [nominal(read[c][0]) for c in rest]
        if len(rest) < 2 or max(plain) - min(plain) > ONE_OUT:
            continue
        apart = read[cylinder][0] - sum(read[c][0] for c in rest) / len(rest)
        out = nominal(read[cylinder][0]) - median(plain)
        if abs(out) <= max(ONE_OUT, _doubt(apart)) or max(plain) - min(plain) > abs(out) / 2:
            continue
        side = "lower" if out > 0 else "higher"
        wrong = f"its piston stands {say('deck_clearance', abs(out))} {side} than its neighbours', which agree"
        right = "look for dirt under the dial first, then a bent or short rod, a wrong piston, a bearing"
        cell = read[cylinder][1].cell
        asks = abs(out) > term("deck_clearance").alike_within.least
        line = cell.counted[-1].line
        found.append(warning("one-deck-out", wrong, right=right, line=line, place=cell.where, asks=asks))
    return found


def _slope(bank: Sequence[int], read: Clearances, say: Say) -> list[Finding]:
    """A steady slope front to back, in the scatter of the cylinders about their own line."""
    count = len(bank)
    if count < 4:
        return []
    line = fit(range(count), [nominal(read[c][0]) for c in bank])
    slope: Number = sum((weight * read[c][0] for weight, c in zip(line.weights, bank, strict=True)), 0.0)
    end_to_end = abs(line.slope) * (count - 1)
    if end_to_end <= EVEN or abs(line.slope) <= max(
        student(line.dof, 1 - RARE) * line.slope_uncertainty, _doubt(slope)
    ):
        return []
    way = "lower" if line.slope > 0 else "higher"
    wrong = f"pistons stand steadily {way} from front to back, {say('deck_clearance', end_to_end)} end to end"
    right = "the deck is not parallel to the crank: measure the block at its corners before it is cut"
    line_read = read[bank[0]][1].cell.line
    return [warning("deck-slope", wrong, right=right, line=line_read, place=whose(bank), together=tuple(bank))]


def _banks_apart(banks: Sequence[Sequence[int]], read: Clearances, say: Say) -> list[Finding]:
    """One bank higher than another, in the scatter within the banks."""
    found = []
    for one, other in combinations(banks, 2):
        apart: Number = _average(one, read) - _average(other, read)
        sigma, dof = pooled([[nominal(read[c][0]) for c in bank] for bank in (one, other)])
        scatter = student(dof, 1 - RARE) * sigma * math.sqrt(1 / len(one) + 1 / len(other))
        if abs(nominal(apart)) <= max(EVEN, scatter, _doubt(apart)):
            continue
        low, high = (one, other) if nominal(apart) > 0 else (other, one)
        wrong = (
            f"on cylinders {runs(low)} the pistons stand {say('deck_clearance', abs(nominal(apart)))} lower than on "
            f"{runs(high)}: the banks differ in deck height"
        )
        right = "measure both decks from the crank; a gasket of its own for each bank, or decking, evens it"
        line = read[low[0]][1].cell.line
        found.append(warning("bank-offset", wrong, right=right, line=line, place="banks", together=(*one, *other)))
    return found


def _average(bank: Sequence[int], read: Clearances) -> Number:
    return sum(read[c][0] for c in bank) / len(bank)


def _doubt(number: Number) -> float:
    """How far a difference may be from nothing by chance; nothing where its ± is not known."""
    far = by_chance(number)
    return 0.0 if math.isnan(far) else far
