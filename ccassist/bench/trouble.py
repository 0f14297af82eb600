"""When the numbers disagree: the error signatures of the bench, recognised and explained.

Gross slips first (a refill, a unit, a sign), then drift, then the repeats of
each thing, then the sister cylinders, then the deck.  Everything here is a
finding with the likeliest cause and what to do about it; nothing is ever
taken out of a mean but by the user, with a reason that is kept and printed.

A pattern is spoken of only where clean readings would show it by chance about
once in two hundred series (``repeats.RARE``): ranges are set against the
studentized range, means against Student's t, both with the scatter pooled
over the other series made the same way and its degrees of freedom, and
nothing under two steps of the scale counts.  Rising timed readings have a
room of their own: :mod:`ccassist.bench.fills`.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import accumulate

from ccassist.bench.alike import Repeats, Say, beside, by_way, scatters
from ccassist.bench.cell import Cell, Reading, Reduced
from ccassist.bench.drift import drift_of, first_fills, lone_fills, said_of_uneven, sharing, uneven, with_refuted
from ccassist.bench.kit import Kit
from ccassist.bench.repeats import Scatter
from ccassist.bench.signatures import asked_too, gross_slip, repeats_findings
from ccassist.bench.sisters import deck_findings, offsets, sister_slips, swallowed
from ccassist.values.findings import Finding, error, question
from ccassist.values.number import nominal
from ccassist.vocabulary import Kind, term

DECK_TERM = "deck_clearance"
LOOK = "look at the readings as they were taken"


@dataclass(frozen=True, kw_only=True)
class JudgedReadings:
    """All that was read in a job, each thing beside the others made the same way: looked at once.

    Attributes
    ----------
    series : what was read.
    slips : of each the gross slip among its readings, or None.
    shown : of each what its readings show by themselves.
    ways : by way of reading, the places of its things in the series, and of the one that scatters more than the rest.
    scatter : of every way of reading, and by (way, name) of what stands apart.
    """

    series: tuple[Repeats, ...]
    slips: tuple[Finding | None, ...]
    shown: tuple[list[Finding], ...]
    ways: tuple[tuple[list[int], int | None], ...]
    scatter: dict[Hashable, Scatter]


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
    reduced: Sequence[Reduced], read: JudgedReadings, kit: Kit, banks: Sequence[Sequence[int]], say: Say
) -> list[Finding]:
    """Everything that the readings of a job say against themselves.

    Parameters
    ----------
    reduced : every reduction of the job, of all states.
    read : all that was read, judged.
    kit : the instruments they were read with, and the scatter of every way.
    banks : the cylinders of each bank, front to back.
    say : puts an SI amount of a term into words.
    """
    found, said = _each(read, say)
    found = with_refuted([*found, *_ways(read, said, say)], read.series, kit, say)
    found += [*sister_slips(reduced, kit, say), *offsets(reduced, kit, say), *swallowed(reduced, say)]
    found += _decks(reduced, kit, banks, say)
    found += other_way([one.cell for one in reduced], kit)
    unusual = _unusual(reduced, {f.line for f in found}, say)
    return list(dict.fromkeys([*found, *unusual, *lone_fills(read.series)]))


def _unusual(reduced: Sequence[Reduced], said: set[int | None], say: Say) -> list[Finding]:
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


def _decks(reduced: Sequence[Reduced], kit: Kit, banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
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
    return [row for row in cell.counted if row.method.along]


def _rises(row: Reading) -> bool:
    return row.fields["end"][0].value > row.fields["start"][0].value


def _finding(cell: Cell, rows: Sequence[Reading], scale: bool | None) -> Finding:
    way = "up" if _rises(rows[0]) else "down"
    than = "its scale: a burette's nought is at the top" if scale is not None else "the fills before"
    wrong = f"a fill read {way} the scale of {cell.tool}, the other way than {than}"
    right = "look for start and end changed over, or a figure of another fill"
    return question("other-way", wrong, read=rows[0].said, right=right, line=rows[0].line, place=cell.where)
