"""What shows only across several series: drift, a wet first fill, one that scatters more, what refutes the declared.

A series that scatters more than its instrument is declared to repeat was read
askew, mistyped, or declared too well: under four degrees of freedom there is
no ± for it, from four on the readings speak for themselves and it is looked at.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.bench.alike import PLACES, Repeats, Say, by_way
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import RARE, Scatter, Source, most_scattered
from ccassist.bench.signatures import SWAPPED
from ccassist.bench.step import Way
from ccassist.values.findings import Finding, note, warning
from ccassist.values.statistics import mean, pooled, student

ENOUGH_THINGS = 4  # series before their first fills are looked at together
APART = "repeats-apart"  # of a pair that nothing else is said of: what was refuted says it better
MOST = 3  # things whose readings are listed, the widest first
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
