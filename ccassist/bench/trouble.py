"""When the numbers disagree: the error signatures of the bench, recognised and explained.

Gross slips first (a refill, a unit, a sign), then drift, then the repeats of
each thing, then the sister cylinders, then the deck.  Everything here is a
finding with the likeliest cause and what to do about it; nothing is ever
taken out of a mean but by the user, with a reason that is kept and printed.

A pattern is spoken of only where clean readings would show it by chance about
once in two hundred series (``outliers.RARE``): ranges are set against the
studentized range, means against Student's t, both with the scatter pooled
over the other series made the same way and its degrees of freedom, and
nothing under two steps of the scale counts.  Rising timed readings have a
room of their own: :mod:`ccassist.bench.fills`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from ccassist.bench.alike import Repeats, Say, beside, scatters
from ccassist.bench.areas import finds_area
from ccassist.bench.cell import Cell, Reading, Reduced, Way
from ccassist.bench.drift import (
    asked_too,
    drift_of,
    first_fills,
    lone_fills,
    said_of_uneven,
    sharing,
    uneven,
    with_refuted,
)
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import Scatter
from ccassist.bench.signatures import is_gross, repeats_findings, stands_apart
from ccassist.bench.sisters import deck_findings, offsets, sister_slips, swallowed
from ccassist.values.findings import Finding, error, question
from ccassist.values.measured import nominal
from ccassist.vocabulary import term

# Fills read along a scale the other way than it runs, or than the fills before: start and end changed over.

_WAYS = {True: "up", False: "down"}


def other_way(cells: Sequence[Cell], kit: Kit) -> list[Finding]:
    """One question for each thing filled the other way, by instrument.

    Which way a burette's scale runs is known (nought at the top, ISO 385,
    from memory), and a calibrated one is spoken of by its calibration; of any
    other scale, the way of most fills before counts.
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
    return [row for row in cell.counted if row.method.key == "burette"] if cell.step.part else []


def _rises(row: Reading) -> bool:
    return row.fields["end"][0].value > row.fields["start"][0].value


def _finding(cell: Cell, rows: Sequence[Reading], scale: bool | None) -> Finding:
    way = _WAYS[_rises(rows[0])]
    than = "its scale: a burette's nought is at the top" if scale is not None else "the fills before"
    wrong = f"a fill read {way} the scale of {cell.tool}, the other way than {than}"
    right = "look for start and end changed over, or a figure of another fill"
    return question("other-way", wrong, read=rows[0].said, right=right, line=rows[0].line, place=cell.where)


LOOK = "look at the readings as they were taken"


def judged(bare: Sequence[Repeats]) -> tuple[list[Repeats], dict[object, Scatter]]:
    """All that was read in a job beside the others made the same way, and the scatter of every way of reading."""
    series = beside(bare, is_gross)
    odd = {i for i, repeats in enumerate(series) if stands_apart(repeats)}
    for places in _by_way(series):
        worst = uneven([series[i] for i in places])
        odd |= set() if worst is None else {places[worst]}
    apart = {id(series[i]) for i in odd}
    return series, scatters(series, lambda repeats: id(repeats) in apart)


def troubles(
    reduced: Sequence[Reduced], series: Sequence[Repeats], kit: Kit, banks: Sequence[Sequence[int]], say: Say
) -> list[Finding]:
    """Everything that the readings of a job say against themselves.

    Parameters
    ----------
    reduced : every reduction of the job, of all states.
    series : all that was read, as :func:`judged` gives it.
    kit : the instruments they were read with, and the scatter of every way.
    banks : the cylinders of each bank, front to back.
    say : puts an SI amount of a term into words.
    """
    found, said = _each(series, say)
    found = with_refuted([*found, *_ways(series, said, say)], series, kit, say)
    found += [*sister_slips(reduced, kit, say), *offsets(reduced, kit, say), *swallowed(reduced, say)]
    found += _decks(reduced, kit, banks, say)
    found += other_way([one.cell for one in reduced], kit)
    unusual = _unusual(reduced, {f.line for f in found}, say)
    return list(dict.fromkeys([*found, *unusual, *lone_fills(series)]))


def _unusual(reduced: Sequence[Reduced], said: set[int | None], say: Say) -> list[Finding]:
    """Fills and areas that find what cannot be, or what hardly any engine has, though each value read may well be."""
    found: list[Finding] = []
    for one in (r for r in reduced if r.cell.counted and (r.cell.step.fills or finds_area(r.cell))):
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


def _decks(reduced: Sequence[Reduced], kit: Kit, banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Patterns of the deck, state by state; what is only a slip of the pen makes none."""
    decks = [r for r in reduced if r.cell.step.key == "deck"]
    slipped = {f.place for f in sister_slips(decks, kit, say)}
    found: list[Finding] = []
    for state in dict.fromkeys(r.cell.state for r in decks):
        sound = [r for r in decks if r.cell.state == state and r.cell.where not in slipped]
        found += deck_findings(sound, banks, say)
    return found


def _each(series: Sequence[Repeats], say: Say) -> tuple[list[Finding], set[int]]:
    """What each series says by itself, and which of them said something."""
    found: list[Finding] = []
    said: set[int] = set()
    for i, repeats in enumerate(series):
        drift = None if is_gross(repeats) else drift_of(repeats, sharing(repeats, series), say)
        own = asked_too(repeats, [drift] if drift else repeats_findings(repeats, say), say)
        found += own
        if own:
            said.add(i)
    return found, said


def _by_way(series: Sequence[Repeats]) -> list[list[int]]:
    """The places of what was read one way, way by way."""
    ways: dict[Way, list[int]] = {}
    for i, repeats in enumerate(series):
        ways.setdefault(repeats.way, []).append(i)
    return list(ways.values())


def _ways(series: Sequence[Repeats], said: set[int], say: Say) -> list[Finding]:
    """What all series made one way say together."""
    found: list[Finding] = []
    for places in _by_way(series):
        alike = [series[i] for i in places]
        first, worst = first_fills(alike, say), uneven(alike)
        found += [first] if first else []
        if worst is not None and places[worst] not in said:
            found.append(said_of_uneven(alike, worst, say))
    return found
