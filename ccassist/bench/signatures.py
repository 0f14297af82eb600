"""What the repeats of one thing say of how they were made: the likeliest cause, and what to do.

Each pattern is looked for only where the readings lie farther apart than
readings made this way do.  Source of causes: common practice, no source.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from statistics import median

from ccassist.bench.cell import Reading
from ccassist.bench.pooled import CLOSE, Repeats, Say
from ccassist.bench.repeats import GRUBBS_FROM, grubbs, grubbs_limit
from ccassist.bench.step import Slips
from ccassist.values.findings import Finding, Level, question, warning
from ccassist.values.grammar import NUMBER
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import ALIKE, Kind, Width, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import conversion


def refill_in(jump: float, sizes: tuple[float, ...], near: float = 0.0) -> float | None:
    """The refill that a jump (m³, either way) amounts to, or None.

    ``near`` [m³] is how far apart the rest lie; never more than a tenth of the refill.
    """
    return next((s for s in sizes if abs(abs(jump) - s) <= min(s / 10, max(CLOSE, near))), None)


def unit_slip(ratio: float, key: str, near: float) -> str:
    """What slip makes a value so many times the usual one, in words; "" for none.

    Slips that have a size of their own, a refill, a unit, a decimal point, a sign, are looked for before anything
    else; most differences that look like an engine are one of them (common practice, no source).

    ratio : the odd value over the usual one.
    key : the term.
    near : how close the ratio must come, as a share of itself.
    """
    wanted = term(key)
    for words, factor in _factors(wanted.kind, key):
        for times in (factor, 1 / factor):
            if abs(ratio - times) <= near * abs(times):
                return words
    if wanted.sign is not None and abs(ratio + 1) <= near:
        return "the sign is the other way about"
    return ""


def _factors(kind: Kind, key: str) -> list[tuple[str, float]]:
    point = ("the decimal point is one place out", 10.0)
    if kind is Kind.VOLUME:
        inches = conversion("in3").scale / conversion("cc").scale
        return [("cubic inches and cc are mixed up", inches), point]
    if kind is Kind.LENGTH:
        inch, thou = conversion("in").scale / conversion("mm").scale, conversion("thou").scale / conversion("um").scale
        found = [("inches and mm are mixed up", inch), point]
        if key in ("deck_clearance", "dial_reading"):
            found.append(("thou and hundredths of a mm are mixed up", thou / 10))
        return found
    return []


DEVIATIONS = 6.0  # median absolute deviations
SWAPPED = "two digits may have changed places"
SWAPPED_SHARE = 0.05  # of the usual: from here on two exchanged digits are looked for
TAKEN_OFF = ("start", "after")  # fields of which the reading at the other end is counted
TIMED = ("fill_time", "settle", "settle_at")  # no part of the volume
Signed = tuple[Quantity, int]
_PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*")
APART = 3.0  # one end of the range this many times farther out than the other: that end is the odd one
LONE_FROM = 4  # readings of the only thing read this way: they are all there is to judge by
MISTYPED = 2.0  # times what is looked at twice: no bubble is so large
RANGE_ONLY = "of fewer than six no test is sure"

# (how it is read, pattern) -> likeliest cause, what to do; what stands not here is as of _MORE_WIDELY.
_CAUSES: dict[tuple[Slips, str], tuple[str, str]] = {
    (Slips.FILL, "falling"): ("fluid left from the fill before",
                              "blow the space dry each time; the first fill is the good one"),
    (Slips.FILL, "rising"): ("seats or plug leak more each time, or the fluid evaporates",
                             "grease the seats, cover the fluid, work at an even temperature"),
    (Slips.FILL, "low"): ("a bubble under the plate", "tilt the vent hole high, tap, and fill again"),
    (Slips.FILL, "high"): ("a leak, a plate not pressed down, or a start misread",
                           "look for wet ports and a lifted plate, and fill again"),
    (Slips.WEIGHING, "low"): ("a bubble under the plate, or a scale that swallowed a slow trickle as zero drift",
                              "lift the bottle off while you fill, and fill again"),
    (Slips.WEIGHING, "high"): ("drops that missed the space, a leak, or a draught on the scale", "fill again"),
    (Slips.DIAL, "falling"): ("the dial's base moves",
                              "set the zero on the deck again before and after each reading"),
    (Slips.DIAL, "rising"): ("the dial's base moves", "set the zero on the deck again before and after each reading"),
    (Slips.DIAL, "low"): ("dirt on the crown, or a lost zero", "wipe the crown, set the zero, read again"),
    (Slips.DIAL, "high"): ("dirt under the dial's base, or a lost zero", "wipe the deck, set the zero, read again"),
    (Slips.LENGTH, "falling"): ("the tool's zero moves, or it warms in the hand", "check its zero, read again"),
    (Slips.LENGTH, "rising"): ("the tool's zero moves, or it warms in the hand", "check its zero, read again"),
    (Slips.LENGTH, "low"): ("a tool held askew, or a misread scale", "read again"),
    (Slips.LENGTH, "high"): ("dirt, a burr, or a misread scale", "wipe, stone, read again"),
}  # fmt: skip
_MORE_WIDELY = {Slips.WEIGHING: Slips.FILL, Slips.DIAL: Slips.LENGTH}
_STEADY = {
    "first": "the first {noun} reads high and the rest agree",
    "falling": "the {nouns} fall from one to the next",
    "rising": "the {nouns} rise from one to the next",
}


@record
class Odd:
    """A pattern found in a series: its name, and the place of the reading it points at (or None)."""

    pattern: str
    at: int | None = None


def repeats_findings(repeats: Repeats, slip: Finding | None, say: Say) -> list[Finding]:
    """What the repeats of one thing show; at most one thing, the grossest, which is a ``slip`` where there is one."""
    if len(repeats.values) < 2:
        return []
    if slip:
        return [slip]
    if len(repeats.values) >= GRUBBS_FROM:
        return _many(repeats, say)
    lone = len(repeats.values) >= LONE_FROM and not repeats.usual.standard > 0
    apart = _outlier(repeats, say) if lone else None
    if apart or repeats.agree(repeats.values):
        return [apart] if apart else []
    odd = shape(repeats)
    return [_told(repeats, odd, say)]


def gross_slip(repeats: Repeats, say: Say) -> Finding | None:
    """One reading that is a refill, or a unit, away from the rest, which agree."""
    if len(repeats.values) < 2:
        return None
    values, sizes = repeats.values, repeats.refills
    if repeats.span < min((repeats.wide, *(0.9 * size for size in sizes))):  # nearer than any such slip
        return None
    for i, (value, (usual, near)) in enumerate(zip(values, _rests(values), strict=True)):
        size = refill_in(value - usual, sizes, near)
        if size is not None and near < size / 2:
            wrong = f"{_named(repeats, i)} lies {say('fill_volume', size)} from the rest: a refill counted wrongly"
            return _at(repeats, i, question("refill-jump", wrong, right="look at the starts and ends of its refills"))
        far = abs(value - usual) > repeats.wide and near <= 0.1 * abs(usual)
        slip = unit_slip(value / usual, repeats.key, 0.05) if far and usual else ""
        if slip:
            wrong = f"{_named(repeats, i)} does not fit the rest: it looks as if {slip}"
            return _at(repeats, i, question("unit-slip", wrong, right="look at its unit as it was read"))
    return None


def _rests(values: Sequence[float]) -> list[tuple[float, float]]:
    """For each of the values, at least two: the median of the others, and their range; sorted once for all of them.

    >>> _rests([1.0, 5.0, 3.0, 4.0])
    [(4.0, 2.0), (3.0, 3.0), (4.0, 4.0), (3.0, 4.0)]
    """
    order = sorted(range(len(values)), key=lambda i: values[i])
    found = [(0.0, 0.0)] * len(values)
    for place, i in enumerate(order):

        def other(rank: int, place: int = place) -> float:
            return values[order[rank if rank < place else rank + 1]]

        last = len(values) - 2
        found[i] = ((other(last // 2) + other((last + 1) // 2)) / 2, other(last) - other(0))
    return found


def shape(repeats: Repeats) -> Odd:
    """The pattern of readings that lie too far apart."""
    values = repeats.values
    if len(values) == 2:
        return Odd(pattern="two")
    order = sorted(range(len(values)), key=lambda i: values[i])
    low, high = order[0], order[-1]
    without_low = repeats.agree([v for i, v in enumerate(values) if i != low])
    without_high = repeats.agree([v for i, v in enumerate(values) if i != high])
    below, above = values[order[1]] - values[low], values[high] - values[order[-2]]
    if without_low == without_high:
        without_low, without_high = below >= APART * above, above >= APART * below
    if without_low and not without_high:
        return Odd(pattern="low", at=low)
    if without_high and not without_low:
        first = high == 0 and repeats.fills
        return Odd(pattern="first") if first else Odd(pattern="high", at=high)
    return Odd(pattern=_way(values) or "apart")


def _way(values: Sequence[float]) -> str:
    """ "falling" or "rising" where every reading goes on from the one before; else ""."""
    steps = [b - a for a, b in pairwise(values)]
    return "falling" if max(steps) < 0 else "rising" if min(steps) > 0 else ""


def _many(repeats: Repeats, say: Say) -> list[Finding]:
    """Six readings and more: a steady drift, or Grubbs' test, which suggests and never rejects."""
    values = repeats.values
    way = _way(values)
    if way and abs(values[-1] - values[0]) > 2 * repeats.grain:
        return [_told(repeats, Odd(pattern=way), say)]
    apart = _outlier(repeats, say)
    return [apart] if apart else []


def _outlier(repeats: Repeats, say: Say) -> Finding | None:
    """One reading that stands apart by the scatter of its own series."""
    values = repeats.values
    far, distance = grubbs(values, repeats.rounding)
    if distance <= grubbs_limit(len(values)) or repeats.within_steps:
        return None
    rest = [v for i, v in enumerate(values) if i != far]
    pattern = "low" if values[far] < min(rest) else "high"
    cause, remedy = _cause(repeats, pattern)
    away, side = _say(repeats, say, values[far] - median(rest)), "less" if pattern == "low" else "more"
    wrong = (
        f"{_named(repeats, far)} is {away} {side} than the other {len(rest)}, which agree (Grubbs' test); "
        f"likeliest {cause}"
    )
    return _at(repeats, far, warning("stands-apart", wrong, right=f"{remedy}; set it aside only with a reason"))


def _told(repeats: Repeats, odd: Odd, say: Say) -> Finding:
    """The pattern in words, at the line of the reading it points at."""
    span, noun = _say(repeats, say, repeats.span), _noun(repeats)
    if odd.pattern in ("two", "apart"):
        which = "a third tells which is wrong" if odd.pattern == "two" else "no single one is to blame"
        wrong = f"the {_plural(noun)} lie {span} apart, more than others made this way do: {which}"
        right = "repeat with care, one thing changed at a time"
        return _at(repeats, None, warning("repeats-apart", wrong, right=right))
    cause, remedy = _cause(repeats, odd.pattern)
    if repeats.span > MISTYPED * repeats.wide:
        cause, remedy = "a figure misread or mistyped", "look at the reading as it was taken"
    if odd.at is None:
        wrong = f"{_STEADY[odd.pattern].format(noun=noun, nouns=_plural(noun))}, {span} in all; likeliest {cause}"
        code = "rising-repeats" if odd.pattern == "rising" else "falling-repeats"
        return _at(repeats, None, warning(code, wrong, right=remedy))
    rest = [v for i, v in enumerate(repeats.values) if i != odd.at]
    away = _say(repeats, say, repeats.values[odd.at] - median(rest))
    side = "less" if odd.pattern == "low" else "more"
    wrong = f"{_named(repeats, odd.at)} is {away} {side} than the others, which agree ({RANGE_ONLY}); likeliest {cause}"
    right = f"{remedy}; set it aside only with a reason"
    return _at(repeats, odd.at, warning(f"one-{odd.pattern}", wrong, right=right))


def _cause(repeats: Repeats, pattern: str) -> tuple[str, str]:
    slips = repeats.method.slips if repeats.method is not None else Slips.LENGTH
    named = "falling" if pattern == "first" else pattern
    return _CAUSES.get((slips, named)) or _CAUSES[_MORE_WIDELY.get(slips, slips), named]


def _noun(repeats: Repeats) -> str:
    return repeats.noun if repeats.fills else f"{repeats.noun} of the {term(repeats.key).name}"


def _named(repeats: Repeats, i: int) -> str:
    """One of the repeats by its number among all readings of the thing."""
    return f"{_noun(repeats)} {repeats.number(i)}"


def _plural(noun: str) -> str:
    return noun.replace("reading", "readings", 1) if noun.startswith("reading") else f"{noun}s"


def _say(repeats: Repeats, say: Say, amount: float) -> str:
    return say(repeats.key, abs(amount))


def _at(repeats: Repeats, i: int | None, finding: Finding) -> Finding:
    """The finding at its reading, or at the first reading of the series."""
    return finding.at(line=repeats.line_of(0 if i is None else i), place=repeats.where)


def is_odd(value: float, others: Sequence[float], alike: Width) -> bool:
    """Whether one of several that should be alike is not: a slip of the finger, or a part that does not belong.

    For chambers, crowns, decks and whatever else :data:`ccassist.vocabulary.ALIKE` names, and for repeats of one
    reading: off the median of the others by more than the amount and the share that its term declares, and by more
    than six times their median absolute deviation, so that sisters which scatter widely are left in peace.  A chamber
    welded up or a piston of another make is possible: it is a question, never a refusal.

    Source: the limits are common practice, no source; the median absolute deviation: Hampel, J. Am. Stat. Assoc. 69
    (1974) 383 (from memory).

    >>> volumes = Width(least=1.0, share=0.08)
    >>> is_odd(24.0, [42.0, 42.1, 41.9], volumes), is_odd(44.0, [42.0, 42.1, 41.9], volumes)
    (True, False)
    """
    usual = median(others)
    off = abs(value - usual) / (1 + 1e-9)
    if off <= max(alike.least, alike.share * abs(usual)):
        return False
    return off > DEVIATIONS * median([abs(other - usual) for other in others])


def asked_too(repeats: Repeats, found: Sequence[Finding], say: Say) -> list[Finding]:
    """What the repeats of one thing showed, made a question where one of them is off as by a slip of the finger."""
    alike = term(repeats.key).alike_within if repeats.key in ALIKE else None
    if alike is None or max(repeats.values, default=0.0) - min(repeats.values, default=0.0) <= alike.least:
        return list(found)  # none of them is as far from the others as an odd one is; spares long series
    for i, value in reversed(list(enumerate(repeats.values))):  # of two the later is asked about
        others = [v for j, v in enumerate(repeats.values) if j != i]
        swap = exchanged(value, others, alike, terms_of(repeats.rows[i]) if repeats.rows else ())
        if (swap and alike.share) or is_odd(value, others, alike):
            return _asked(repeats, i, found, swap, say)
    return list(found)


def _asked(repeats: Repeats, i: int, found: Sequence[Finding], swap: str, say: Say) -> list[Finding]:
    """The findings as questions; where there were none, one that names the odd reading, or both of two."""
    swapped = f"; {SWAPPED}: {swap}" if swap else ""
    line = repeats.line_of(i)
    if found:
        level = max(found[0].level, Level.WARNING)
        return [replace(found[0], wrong=found[0].wrong + swapped, asks=True, level=level, line=line), *found[1:]]
    noun = repeats.noun
    off = say(repeats.key, abs(repeats.values[i] - median([v for j, v in enumerate(repeats.values) if j != i])))
    numbers, apart = f"{noun} {repeats.number(i)} lies", "from the others"
    if len(repeats.values) == 2:
        numbers, apart = f"{noun}s {repeats.number(0)} and {repeats.number(1)} lie", "apart"
    one = question("odd-reading", f"{numbers} {off} {apart}{swapped}", right="look at it as it was read")
    return [one.at(line=line, place=repeats.where)]


def terms_of(row: Reading) -> list[Signed]:
    """The quantities of one reading with the sign by which they enter what it finds."""
    counted = {name: found for name, found in row.fields.items() if name not in TIMED}
    return [(q, -1 if name in TAKEN_OFF else 1) for name, found in counted.items() for q in found]


def far_off(value: float, usual: float, alike: Width) -> bool:
    """Whether a value is so far off what is usual that two digits exchanged are looked for."""
    return abs(value - usual) > max(alike.least, SWAPPED_SHARE * abs(usual)) * (1 + 1e-9)


def exchanged(value: float, others: Sequence[float], alike: Width, read: Sequence[Signed]) -> str:
    """What was typed that, with two digits exchanged, brings a value more than 5 % off among the others; else "".

    ``read`` : the quantities of one reading, with their signs.
    """
    usual = median(others)
    if not far_off(value, usual, alike):
        return ""
    for quantity, sign in read:
        times = sign * _worth(quantity, value, read)
        for text, step in _exchanges(quantity):
            if abs(value + step * times - usual) <= alike.least:
                return text
    return ""


def _worth(quantity: Quantity, value: float, read: Sequence[Signed]) -> float:
    """What one unit of a quantity is worth in the value: a gram weighed out is a volume."""
    if term(quantity.key).kind is not Kind.MASS:
        return 1.0
    weighed = sum(sign * q.value for q, sign in read if term(q.key).kind is Kind.MASS)
    return abs(value) / weighed if weighed > 0 else 0.0


def _exchanges(quantity: Quantity) -> Iterator[tuple[str, float]]:
    """Every "24.0 ml for 42.0 ml" of two different digits exchanged, and by how much that changes the value, SI."""
    found = NUMBER.search(quantity.raw)
    plain = found["plain"] if found else None
    if found is None or not plain or not _PLAIN.fullmatch(plain):
        return
    scale, side = conversion(quantity.unit).scale, math.copysign(1, quantity.value)
    digits = [i for i, c in enumerate(plain) if c.isdigit()]
    for i, j in combinations(digits, 2):
        if plain[i] == plain[j]:
            continue
        swapped = list(plain)
        swapped[i], swapped[j] = plain[j], plain[i]
        text = "".join(swapped)
        step = (float(text.replace(",", ".")) - float(plain.replace(",", "."))) * scale * side
        if math.isfinite(step):
            yield f"{plain} {quantity.unit} for {text} {quantity.unit}", step
