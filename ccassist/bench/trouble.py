"""When the numbers disagree: the error signatures of the bench, recognised and explained.

Gross slips first (a refill, a unit, a sign), then drift, then the repeats of each thing, then the sister cylinders,
then the deck.  Everything here is a finding with the likeliest cause and what to do about it; nothing is ever taken out
of a mean but by the user, with a reason that is kept and printed.

A pattern is spoken of only where clean readings would show it by chance about once in two hundred series
(``repeats.RARE``): ranges are set against the studentized range, means against Student's t, both with the scatter
pooled over the other series made the same way and its degrees of freedom, and nothing under two steps of the scale
counts.  Rising timed readings have a room of their own: :mod:`ccassist.bench.fills`.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import replace
from itertools import accumulate

from ccassist.bench.cell import Cell, Reading, Reduction
from ccassist.bench.kit import Kit
from ccassist.bench.other_cylinders import deck_findings, offsets, sister_slips, swallowed, taper_and_tilt
from ccassist.bench.pooled import PLACES, Repeats, Say, beside, by_way, scatters
from ccassist.bench.repeats import RARE, Scatter, Source, most_scattered
from ccassist.bench.signatures import SWAPPED, asked_too, gross_slip, repeats_findings
from ccassist.bench.step import Way
from ccassist.values.findings import Finding, error, note, question, warning
from ccassist.values.number import nominal
from ccassist.values.statistics import mean, pooled, student
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record

ENOUGH_THINGS = 4  # series before their first fills are looked at together
APART = "repeats-apart"  # of a pair that nothing else is said of: what was refuted says it better
MOST = 3  # things whose readings are listed, the widest first
UNEVEN = 0.01  # chance; ISO 5725-2:1994, 7.3.3 calls what is rarer an outlier
DECK_TERM = "deck_clearance"
LOOK = "look at the readings as they were taken"


@record
class JudgedReadings:
    """All that was read in a job, each thing beside the others made the same way: looked at once.

    ways : by way of reading, the places of its things in the series, and of the one that scatters more than the rest.
    """

    series: tuple[Repeats, ...]  # what was read
    slips: tuple[Finding | None, ...]  # of each the gross slip among its readings, or None
    shown: tuple[list[Finding], ...]  # of each what its readings show by themselves
    ways: tuple[tuple[list[int], int | None], ...]
    scatter: dict[Hashable, Scatter]  # of every way of reading, and by (way, name) of what stands apart


def judged(bare: Sequence[Repeats], say: Say) -> JudgedReadings:
    """All that was read in a job, judged; ``say`` puts an SI amount of a term into words."""
    slips = tuple(gross_slip(repeats, say) for repeats in bare)
    series = beside(bare, [slip is None for slip in slips])
    shown = tuple(repeats_findings(repeats, slip, say) for repeats, slip in zip(series, slips, strict=True))
    ways = tuple((places, _uneven(series, places)) for places in by_way(series).values())
    apart = {i for i, found in enumerate(shown) if found} | {worst for _, worst in ways if worst is not None}
    return JudgedReadings(series=tuple(series), slips=slips, shown=shown, ways=ways, scatter=scatters(series, apart))


def _uneven(series: Sequence[Repeats], places: Sequence[int]) -> int | None:
    worst = uneven([series[i] for i in places])
    return None if worst is None else places[worst]


def troubles(
    reduced: Sequence[Reduction], read: JudgedReadings, kit: Kit, banks: Sequence[Sequence[int]], say: Say
) -> list[Finding]:
    """Everything that the readings of a job say against themselves.

    reduced : every reduction of the job, of all states.
    read : all that was read, judged.
    kit : the instruments they were read with, and the scatter of every way.
    banks : the cylinders of each bank, front to back.
    say : puts an SI amount of a term into words.
    """
    found, said = _each(read, say)
    found = with_refuted([*found, *_ways(read, said, say)], read.series, kit, say)
    found += [*sister_slips(reduced, kit, say), *offsets(reduced, kit, say), *swallowed(reduced, say)]
    found += [*_decks(reduced, kit, banks, say), *taper_and_tilt(reduced, say)]
    found += other_way([one.cell for one in reduced], kit)
    unusual = _unusual(reduced, {f.line for f in found}, say)
    return list(dict.fromkeys([*found, *unusual, *lone_fills(read.series)]))


def _unusual(reduced: Sequence[Reduction], said: set[int | None], say: Say) -> list[Finding]:
    """Fills and areas that find what cannot be, or what hardly any engine has, though each value read may well be."""
    found: list[Finding] = []
    for one in (r for r in reduced if r.cell.counted and r.cell.kind in (Kind.VOLUME, Kind.AREA)):
        lines = {one.cell.line, *(row.line for row in one.cell.readings)}
        for key, value in one.values.items():
            remark = _out_of_range(key, nominal(value.number), say)
            if remark is not None and not lines & said:
                found.append(remark.at(line=one.cell.counted[-1].line or one.cell.line, place=one.cell.where))
    return found


def _out_of_range(key: str, value: float, say: Say) -> Finding | None:
    """What cannot be is an error, what is unusual a question; said only where no slip of the pen was."""
    wanted = term(key)
    (least, most), (low, high) = wanted.possible, wanted.plausible
    if not least <= value <= most:
        return error("impossible-result", f"no {wanted.name} can be so: {_signed(value, key, say)}", right=LOOK)
    if not low <= value <= high:
        usual = "" if wanted.sign else f"; most are {say(key, low)} to {say(key, high)}"
        return question("unusual-result", f"an unusual {wanted.name}, {_signed(value, key, say)}{usual}", right=LOOK)
    return None


def _signed(value: float, key: str, say: Say) -> str:
    return say(key, value) if value >= 0 or term(key).sign else f"{say(key, -value)} less than nothing"


def _decks(reduced: Sequence[Reduction], kit: Kit, banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Patterns of the deck, state by state; what is only a slip of the pen makes none."""
    decks = [r for r in reduced if DECK_TERM in r.cell.step.gives]
    slipped = {f.place for f in sister_slips(decks, kit, say)}
    found: list[Finding] = []
    for state in dict.fromkeys(r.cell.state for r in decks):
        sound = [r for r in decks if r.cell.state == state and r.cell.where not in slipped]
        found += deck_findings(sound, banks, say)
    return found


def _each(read: JudgedReadings, say: Say) -> tuple[list[Finding], set[int]]:
    """What each series says by itself, and which of them said something."""
    found: list[Finding] = []
    said: set[int] = set()
    for i, repeats in enumerate(read.series):
        drift = drift_of(repeats, sharing(repeats, read.series), say) if read.slips[i] is None else None
        own = asked_too(repeats, [drift] if drift else read.shown[i], say)
        found += own
        if own:
            said.add(i)
    return found, said


def _ways(read: JudgedReadings, said: set[int], say: Say) -> list[Finding]:
    """What all series made one way say together."""
    found: list[Finding] = []
    for places, worst in read.ways:
        alike = [read.series[i] for i in places]
        first = first_fills(alike, say)
        found += [first] if first else []
        if worst is not None and worst not in said:
            found.append(said_of_uneven(alike, places.index(worst), say))
    return found


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
    lines = repeats.lines
    near = [other.lines for other in others if lines and other.lines]
    between = sorted(line for other in near if other[0] < lines[-1] and other[-1] > lines[0] for line in other)
    if not between:
        return None
    own = sorted((line, value) for (_, line), value in zip(repeats.marks, repeats.values, strict=False) if line)
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
    place = ", ".join(r.where for r in filled[:3]) + " …"
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


# ---- what refutes the declared: a series that scatters more than its instrument is declared to repeat was read askew,
# mistyped, or declared too well: under four degrees of freedom there is no ± for it, from four on they speak for
# themselves and it is looked at


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
    first = widest[0]
    limit = _limit(scatter, first.key, say)
    read = "; ".join(_readings(one, say) for one in widest) + (" …" if len(members) > MOST else "")
    place = ", ".join(one.where for one in widest)
    right = "read again with care" + (": a third tells which is wrong" if len(first.values) == 2 else "")
    if first.key in PLACES:
        right += "; a part that is out of round, tapered or uneven needs five readings, all round"
    if scatter.source is Source.REFUTED:
        wrong = f"the readings refute {limit}: read again; no ± is stated ({read})"
        return warning("refuted", wrong, right=right, line=first.line_of(0), place=place)
    wrong = (
        f"the readings scatter by {say(first.key, scatter.seen)}: they refute {limit}, and their own counts ({read})"
    )
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


def other_way(cells: Sequence[Cell], kit: Kit) -> list[Finding]:
    """One question for each thing filled the other way, by instrument.

    Which way a burette's scale runs is known (nought at the top, ISO 385, from memory), and a calibrated one is spoken
    of by its calibration; of any other scale, the way of most fills before counts.
    """
    found: list[Finding] = []
    for name in dict.fromkeys(cell.instrument for cell in cells):
        if name in kit.calibrations:
            continue
        tool = kit.instruments.get(name)
        scale = tool.rises if tool is not None else None
        rows = [(cell, row) for cell in cells if cell.instrument == name for row in _read_along(cell)]
        rows.sort(key=lambda pair: pair[1].line or 0)
        before = [0, *accumulate(1 if _rises(row) else -1 for _, row in rows)]
        odd = [
            (cell, row)
            for (cell, row), balance in zip(rows, before, strict=False)
            if _rises(row) is not (scale if scale is not None else balance > 0 or (balance == 0 and _rises(row)))
        ]
        found += [_finding(one, [r for c, r in odd if c is one], scale) for one in _each_cell(odd)]
    return found


def _each_cell(odd: Sequence[tuple[Cell, Reading]]) -> list[Cell]:
    return [cell for i, (cell, _) in enumerate(odd) if all(cell is not other for other, _ in odd[:i])]


def _read_along(cell: Cell) -> list[Reading]:
    """The fills that were read on a scale before and after; a calibration has its own rules."""
    return [row for row in cell.counted if row.method.along]


def _rises(row: Reading) -> bool:
    return row.fields["end"][0].value > row.fields["start"][0].value


def _finding(cell: Cell, rows: Sequence[Reading], scale: bool | None) -> Finding:
    way = "up" if _rises(rows[0]) else "down"
    than = "its scale: a burette's nought is at the top" if scale is not None else "the fills before"
    wrong = f"a fill read {way} the scale of {cell.tool}, the other way than {than}"
    right = "look for start and end changed over, or a figure of another fill"
    return question("other-way", wrong, read=rows[0].said, right=right, line=rows[0].line, place=cell.where)
