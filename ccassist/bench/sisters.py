"""What shows only beside the sister cylinders, or by a second route to the same thing.

All the limits are common practice, no source; differences must also be more than chance gives.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, product
from statistics import median

from ccassist.bench.alike import WIDE_FILLS, WIDE_LENGTHS, Say, refills
from ccassist.bench.cell import Reduced
from ccassist.bench.kit import Kit
from ccassist.bench.outliers import by_chance
from ccassist.bench.slips import refill_in, unit_slip
from ccassist.engine.relations import bore_area
from ccassist.values.findings import Finding, question, warning
from ccassist.values.measured import Number, nominal
from ccassist.vocabulary import Kind, term

SWAP = "swap one thing at a time: plate, plug, fluid, instrument"


def sister_slips(reduced: Sequence[Reduced], kit: Kit, say: Say) -> list[Finding]:
    """Cylinders that differ from sisters which agree by a refill, a unit, a decimal point or a sign."""
    groups: dict[tuple[str, ...], list[Reduced]] = {}
    for one in reduced:
        if len(one.cell.cylinders) == 1:
            for key in one.values:
                groups.setdefault((one.cell.step.key, one.cell.state, key), []).append(one)
    found = []
    for (_, _, key), members in groups.items():
        for one in members:
            rest = [m.values[key].nominal for m in members if m is not one]
            if len(rest) > 1:
                found += _odd_sister(one, key, rest, kit, say)
    return found


def _odd_sister(one: Reduced, key: str, rest: Sequence[float], kit: Kit, say: Say) -> list[Finding]:
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


def _at(one: Reduced, finding: Finding) -> Finding:
    counted = one.cell.counted
    return finding.at(line=(counted[-1].line if counted else None) or one.cell.line, place=one.cell.where)


def offsets(reduced: Sequence[Reduced], kit: Kit, say: Say) -> list[Finding]:
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
            f"{_reason(more, less, abs(nominal(average)), kit)}"
        )
        place = ", ".join(a.cell.where for a, _ in pairs)
        found.append(warning("constant-offset", wrong, right=SWAP, line=more.cell.line, place=place))
    return found


def _routes(reduced: Sequence[Reduced]) -> Iterator[tuple[str, list[tuple[Reduced, Reduced]]]]:
    """A term and the pairs of reductions, one by each of two routes, for two cylinders or more."""
    by_route: dict[tuple[object, ...], dict[tuple[object, ...], Reduced]] = {}
    for one in reduced:
        cell = one.cell
        settings = tuple(sorted((n, tuple(q.raw for q in f)) for n, f in cell.settings.items() if n != "temperature"))
        route = (cell.step.key, cell.state, cell.way, settings, tuple(sorted(cell.choices.items())))
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


def _route(one: Reduced) -> str:
    return f"{one.cell.tool} (line {one.cell.line})"


def _reason(more: Reduced, less: Reduced, amount: float, kit: Kit) -> str:
    """The likeliest cause of a constant difference."""
    for one in (more, less):
        hole = _hole(one)
        if hole and abs(amount - hole) <= 0.3 * hole:
            return "about what the plate's hole holds, so it is counted on one side only"
    if less.cell.readings[0].method.key == "weighing":
        return "a plate hole or film counted on one side only, or a scale that swallows a trickle as zero drift"
    return "a plate hole, a grease film or a plug counted on one side only"


def _hole(one: Reduced) -> float:
    """Volume of the plate's hole, m³; nothing where its size is not given."""
    settings = one.cell.settings
    if not {"hole_diameter", "plate_thickness"} <= set(settings):
        return 0.0
    area: float = bore_area(settings["hole_diameter"][0].value)
    return area * settings["plate_thickness"][0].value


def swallowed(reduced: Sequence[Reduced], say: Say) -> list[Finding]:
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


def _by_weight_and_volume(reduced: Sequence[Reduced]) -> Iterator[tuple[float, Number, Reduced]]:
    """Of everything filled both ways: its size [m³], what it reads more by weight [m³], and the weighed fills."""
    for weighed, other in product((r for r in reduced if r.cell.weighed), (r for r in reduced if not r.cell.weighed)):
        if _same_thing(weighed, other):
            for key in weighed.values.keys() & other.values.keys():
                if term(key).kind is Kind.VOLUME:
                    more = weighed.values[key].number - other.values[key].number
                    yield weighed.values[key].nominal, more, weighed


def _same_thing(one: Reduced, other: Reduced) -> bool:
    a, b = one.cell, other.cell
    return (a.step.key, a.cylinders, a.part, a.state) == (b.step.key, b.cylinders, b.part, b.state)
