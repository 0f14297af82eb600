"""Readings that cannot come of what was declared, and one fill that cannot show anything.

A series that scatters more than its instrument is declared to repeat was read
askew, mistyped, or declared too well: under four degrees of freedom there is
no ± for it, from four on the readings speak for themselves and it is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ccassist.bench.alike import Repeats, Say
from ccassist.bench.cell import Way
from ccassist.bench.declared import PLACES
from ccassist.bench.kit import Kit
from ccassist.bench.odd import SWAPPED
from ccassist.bench.repeats import Scatter
from ccassist.values.findings import Finding, warning

APART = "repeats-apart"  # of a pair that nothing else is said of: what was refuted says it better
MOST = 3  # things whose readings are listed, the widest first


def with_refuted(found: Sequence[Finding], series: Sequence[Repeats], kit: Kit, say: Say) -> list[Finding]:
    """What was found, and what cannot come of what was declared: one finding a thing, that which names a cause."""
    told = list(found)
    for members, scatter in _groups(series, kit):
        uneven = members[0].key in PLACES and scatter.source != "refuted"
        if not scatter.beyond or uneven or all(one.within_steps for one in members):
            continue
        lines = {line for one in members for line in (one.line, *(mark for _, mark in one.marks))}
        plain = [f for f in told if f.code == APART and f.line in lines]
        told = [f for f in told if f not in plain]
        own = [f for f in told if f.line in lines] if len(members) == 1 else []
        if own and scatter.source == "refuted":
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
    if scatter.source == "refuted":
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
    ways: dict[Way, list[Repeats]] = {}
    for repeats in series:
        if repeats.fills and len(repeats.values) == 1:
            ways.setdefault(repeats.way, []).append(repeats)
    found = []
    for once in ways.values():
        place = ", ".join(dict.fromkeys(one.where for one in once))
        wrong, right = "one fill cannot show a bubble", "fill it again, three times in all"
        found.append(warning("one-fill", wrong, right=right, line=once[0].line_of(0), place=place))
    return found
