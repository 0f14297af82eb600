"""What shows only across several series: drift through the day, a wet first fill, one that scatters more."""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from statistics import median

from ccassist.bench.alike import PLACES, Repeats, Say, by_way
from ccassist.bench.cell import Reading
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import RARE, Scatter, Source, most_scattered
from ccassist.bench.step import Way
from ccassist.values.findings import Finding, Level, note, question, warning
from ccassist.values.grammar import NUMBER
from ccassist.values.quantity import Quantity
from ccassist.values.statistics import mean, pooled, student
from ccassist.vocabulary import ALIKE, Kind, Width, term
from ccassist.vocabulary.units import conversion

ENOUGH_THINGS = 4  # series before their first fills are looked at together
UNEVEN = 0.01  # chance; ISO 5725-2:1994, 7.3.3 calls what is rarer an outlier


def drift_of(repeats: Repeats, others: Sequence[Repeats], say: Say) -> Finding | None:
    """A thing measured again after others: late readings against early ones, in the usual scatter."""
    parts = _early_and_late(repeats, others)
    if parts is None:
        return None
    early, late = parts
    apart = mean(late) - mean(early)
    if math.isnan(repeats.usual.standard):
        least = repeats.wide
    else:
        sigma = repeats.usual.standard * math.sqrt(1 / len(early) + 1 / len(late))
        least = max(student(repeats.usual.dof, 1 - RARE) * sigma, repeats.grain * (1 + 1e-6))
    if abs(apart) <= least:
        return None
    way = "more" if apart > 0 else "less"
    wrong = f"measured again after the others it reads {say(repeats.key, abs(apart))} {way}: something drifts"
    right = "the fluid's temperature, evaporation, grease, the zero: measure a suspect and a known-good one in turn"
    last = max((line or 0 for _, line in repeats.marks), default=0) or None
    return warning("series-drift", wrong, right=right, line=last, place=repeats.where)


def _early_and_late(repeats: Repeats, others: Sequence[Repeats]) -> tuple[list[float], list[float]] | None:
    """The readings before and after those of other things in between; None where nothing was read in between."""
    own = sorted((line, value) for (_, line), value in zip(repeats.marks, repeats.values, strict=False) if line)
    between = sorted(line for other in others for _, line in other.marks if line)
    gaps = [i for i in range(1, len(own)) if bisect_right(between, own[i - 1][0]) < bisect_left(between, own[i][0])]
    if not gaps:
        return None
    return [value for _, value in own[: gaps[0]]], [value for _, value in own[gaps[-1] :]]


def sharing(repeats: Repeats, series: Sequence[Repeats]) -> list[Repeats]:
    """The other series made the same way, in the same state."""
    alike = (r for r in series if r is not repeats and r.way == repeats.way)
    return [r for r in alike if r.state == repeats.state]


def first_fills(series: Sequence[Repeats], say: Say) -> Finding | None:
    """Series made one way whose first fills read high as a rule, each perhaps too little to be noticed alone.

    A paired t test, one-sided, with the differences' own scatter.
    """
    filled = [r for r in series if r.fills and len(r.values) > 1]
    if len(filled) < ENOUGH_THINGS:
        return None
    higher = [r.values[0] - mean(r.values[1:]) for r in filled]
    sigma = max(pooled([higher])[0], max(r.rounding for r in filled))
    if not mean(higher) > student(len(higher) - 1, 1 - 2 * RARE) * sigma / math.sqrt(len(higher)) > 0:
        return None
    amount = say("fill_volume", mean(higher))
    wrong = f"first fills read {amount} more than later ones, as a rule: fluid left from the fill before"
    right = 'blow each space dry; or say it, residue = "…", and it is put back'
    place = ", ".join(r.where for r in filled[:3]) + (" …" if len(filled) > 3 else "")
    return warning("first-fills-high", wrong, right=right, line=filled[0].line, place=place)


def uneven(series: Sequence[Repeats]) -> int | None:
    """Of things read one way, the one that scatters more than the rest (Cochran's test), by its place among them."""
    groups = [r.values for r in series]
    i, chance = most_scattered(groups, max((r.rounding for r in series), default=0.0))
    return None if i < 0 or chance >= UNEVEN or series[i].within_steps else i


def said_of_uneven(series: Sequence[Repeats], i: int, say: Say) -> Finding:
    """What is said of the one that scatters more."""
    groups = [r.values for r in series]
    own, rest = pooled([groups[i]])[0], pooled([g for j, g in enumerate(groups) if j != i])[0]
    key = series[i].key
    wrong = (
        f"its repeats scatter more than the rest made this way, {say(key, own)} against {say(key, rest)} "
        "(Cochran's test): the ± of the others is theirs alone"
    )
    right = "look for what is different there"
    return note("scatters-more", wrong, right=right, line=series[i].line, place=series[i].where)


# One of several that should be alike, and is not: a slip of the finger, or a part that does not belong.
#
# The rule, for chambers, crowns, decks and whatever else :data:`ccassist.vocabulary.ALIKE` names, and for the repeats
# of one reading: questioned is what lies off the median of the others by more than the amount and the share that
# its term declares, and by more than six times the median absolute deviation of the others, so that sisters which
# scatter widely among themselves are left in peace.  Of volumes and areas, what is more than 5 % off is questioned
# too where exchanging two digits of what was typed brings it among the others.  With one other only, neither is
# called the odd one: they differ.  A chamber that was welded up or a piston of another make is possible: it is a
# question, never a refusal.
#
# All the limits are common practice, no source; the median absolute deviation: Hampel, J. Am. Stat. Assoc. 69
# (1974) 383 (from memory).

DEVIATIONS = 6.0  # median absolute deviations
SWAPPED = "two digits may have changed places"
SWAPPED_SHARE = 0.05  # of the usual: from here on two exchanged digits are looked for
TAKEN_OFF = ("start", "after")  # fields of which the reading at the other end is counted
TIMED = ("fill_time", "settle", "settle_at")  # no part of the volume
Signed = tuple[Quantity, int]
_PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*")


def is_odd(value: float, others: Sequence[float], alike: Width) -> bool:
    """Whether one value is off the others by more than the rule allows.

    >>> volumes = Width(least=1.0, share=0.08)
    >>> is_odd(24.0, [42.0, 42.1, 41.9], volumes), is_odd(44.0, [42.0, 42.1, 41.9], volumes)
    (True, False)
    """
    usual = median(others)
    scatter = median([abs(other - usual) for other in others])
    return abs(value - usual) > max(alike.least, alike.share * abs(usual), DEVIATIONS * scatter) * (1 + 1e-9)


def asked_too(repeats: Repeats, found: Sequence[Finding], say: Say) -> list[Finding]:
    """What the repeats of one thing showed, made a question where one of them is off as by a slip of the finger."""
    alike = ALIKE.get(repeats.key)
    if alike is None or len(repeats.values) < 2:
        return list(found)
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
    numbers = (
        f"{noun}s {repeats.number(0)} and {repeats.number(1)} lie"
        if len(repeats.values) == 2
        else (f"{noun} {repeats.number(i)} lies")
    )
    apart = "apart" if len(repeats.values) == 2 else "from the others"
    one = question("odd-reading", f"{numbers} {off} {apart}{swapped}", right="look at it as it was read")
    return [one.at(line=line, place=repeats.where)]


def terms_of(row: Reading) -> list[Signed]:
    """The quantities of one reading with the sign by which they enter what it finds."""
    counted = {name: found for name, found in row.fields.items() if name not in TIMED}
    return [(q, -1 if name in TAKEN_OFF else 1) for name, found in counted.items() for q in found]


def exchanged(value: float, others: Sequence[float], alike: Width, read: Sequence[Signed]) -> str:
    """What was typed that, with two digits exchanged, brings a value among the others; "" for nothing.

    ``read`` : the quantities of one reading, with their signs.
    """
    usual = median(others)
    if abs(value - usual) <= max(alike.least, SWAPPED_SHARE * abs(usual)) * (1 + 1e-9):
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


# Readings that cannot come of what was declared, and one fill that cannot show anything.
#
# A series that scatters more than its instrument is declared to repeat was read
# askew, mistyped, or declared too well: under four degrees of freedom there is
# no ± for it, from four on the readings speak for themselves and it is looked at.

APART = "repeats-apart"  # of a pair that nothing else is said of: what was refuted says it better
MOST = 3  # things whose readings are listed, the widest first


def with_refuted(found: Sequence[Finding], series: Sequence[Repeats], kit: Kit, say: Say) -> list[Finding]:
    """What was found, and what cannot come of what was declared: one finding a thing, that which names a cause."""
    told = list(found)
    for members, scatter in _groups(series, kit):
        uneven = members[0].key in PLACES and scatter.source is not Source.REFUTED
        if not scatter.beyond or uneven or all(one.within_steps for one in members):
            continue
        lines = {line for one in members for line in (one.line, *(mark for _, mark in one.marks))}
        plain = [f for f in told if f.code == APART and f.line in lines]
        told = [f for f in told if f not in plain]
        own = [f for f in told if f.line in lines] if len(members) == 1 else []
        if own and scatter.source is Source.REFUTED:
            also = f"; the readings refute {_limit(scatter, members[0].key, say)}: no ± is stated"
            told = [replace(f, wrong=f.wrong + also) if f is own[0] else f for f in told]
        elif not own:
            told.append(_as_asked(_told(members, scatter, say), [f for f in plain if f.asks]))
    return told


def _as_asked(told: Finding, asked: Sequence[Finding]) -> Finding:
    """What is said, as the question that it stands for: at the reading asked about, with the digits exchanged."""
    if not asked:
        return told
    swapped = next((f"; {f.wrong[f.wrong.index(SWAPPED) :]}" for f in asked if SWAPPED in f.wrong), "")
    return replace(told, wrong=told.wrong + swapped, asks=True, line=asked[0].line)


def _limit(scatter: Scatter, key: str, say: Say) -> str:
    """What was known before, with its size."""
    known = scatter.declared
    assert known is not None
    return f"{known.words}, {say(key, known.standard)}"


def _groups(series: Sequence[Repeats], kit: Kit) -> Iterator[tuple[list[Repeats], Scatter]]:
    """What shares one scatter: the things read one way, and by itself each that stands apart from them."""
    ways: dict[Way, list[Repeats]] = {}
    for repeats in (r for r in series if len(r.values) > 1):
        if (repeats.way, repeats.name) in kit.scatter:
            yield [repeats], kit.scatter_of(repeats.way, repeats.name)
        else:
            ways.setdefault(repeats.way, []).append(repeats)
    for way, members in ways.items():
        yield members, kit.scatter_of(way)


def _told(members: Sequence[Repeats], scatter: Scatter, say: Say) -> Finding:
    """The readings, what they refute, and what to do."""
    widest = sorted(members, key=lambda one: -one.span)[:MOST]
    first, key = widest[0], members[0].key
    limit = _limit(scatter, key, say)
    read = "; ".join(_readings(one, say) for one in widest) + (" …" if len(members) > MOST else "")
    place = ", ".join(one.where for one in widest)
    right = "read again with care" + (": a third tells which is wrong" if len(first.values) == 2 else "")
    if key in PLACES:
        right += "; a part that is out of round, tapered or uneven needs five readings, all round"
    if scatter.source is Source.REFUTED:
        wrong = f"the readings refute {limit}: read again; no ± is stated ({read})"
        return warning("refuted", wrong, right=right, line=first.line_of(0), place=place)
    wrong = f"the readings scatter by {say(key, scatter.seen)}: they refute {limit}, and their own counts ({read})"
    right += ", or declare the repeatability that they show"
    return warning("refuted", wrong, right=right, line=first.line_of(0), place=place)


def _readings(one: Repeats, say: Say) -> str:
    """The readings of one thing as they were read, or what they come to."""
    return ", ".join(one.texts or [say(one.key, value) for value in one.values])


def lone_fills(series: Sequence[Repeats]) -> list[Finding]:
    """Things filled once only, all of one way together: nothing shows whether a bubble stood in it."""
    lone = [repeats for repeats in series if repeats.fills and len(repeats.values) == 1]
    found = []
    for once in ([lone[i] for i in places] for places in by_way(lone).values()):
        place = ", ".join(dict.fromkeys(one.where for one in once))
        wrong, right = "one fill cannot show a bubble", "fill it again, three times in all"
        found.append(warning("one-fill", wrong, right=right, line=once[0].line_of(0), place=place))
    return found
