"""What deck clearances say of the block, the rods and the dial.

All the limits are common practice, no source; each pattern must also be more
than the readings' own doubt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from statistics import median

from ccassist.bench.alike import Say
from ccassist.bench.cell import Reduced
from ccassist.bench.outliers import RARE, by_chance
from ccassist.bench.repeats import mean, pooled
from ccassist.values.coverage import student
from ccassist.values.findings import Finding, question, warning
from ccassist.values.measured import Number, nominal
from ccassist.vocabulary import term
from ccassist.vocabulary.alike import ALIKE

ONE_OUT = 0.1e-3  # m; one cylinder apart from neighbours that agree
EVEN = 0.05e-3  # m; front to rear of one piston, end to end of a deck, bank to bank
Clearances = dict[int, tuple[Number, Reduced]]


def deck_findings(reduced: Sequence[Reduced], banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Findings on the deck clearances of one state.

    Parameters
    ----------
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


def _front_and_rear(reduced: Sequence[Reduced], say: Say) -> list[Finding]:
    """Front and rear of the pin axis must agree: there a rocking piston does not show."""
    both = [r for r in reduced if r.cell.counted and r.cell.counted[0].method.key == "pin axis"]
    tilts = [[row.one("front") - row.one("rear") for row in r.cell.counted] for r in both]
    sigma, dof = pooled(tilts)
    found = []
    for one, tilt in zip(both, tilts, strict=True):
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


def _rock(reduced: Sequence[Reduced], say: Say) -> list[Finding]:
    """A piston that rocks farther than any usual one between its thrust sides: one of the two was misread."""
    found, (_, most) = [], term("piston_rock").plausible
    for one in reduced:
        for row in one.cell.counted:
            if row.method.key != "both sides" or abs(row.one("thrust") - row.one("away")) <= most * (1 + 1e-9):
                continue
            rocks = say("piston_rock", abs(row.one("thrust") - row.one("away")))
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
        asks = abs(out) > ALIKE["deck_clearance"].least
        line = cell.counted[-1].line
        found.append(warning("one-deck-out", wrong, right=right, line=line, place=cell.where, asks=asks))
    return found


def _slope(bank: Sequence[int], read: Clearances, say: Say) -> list[Finding]:
    """A steady slope front to back, in the scatter of the cylinders about their own line."""
    count = len(bank)
    if count < 4:
        return []
    places = [i - (count - 1) / 2 for i in range(count)]
    square = math.fsum(p * p for p in places)
    slope: Number = sum(p * read[c][0] for p, c in zip(places, bank, strict=True)) / square
    plain = [nominal(read[c][0]) for c in bank]
    left = [v - mean(plain) - nominal(slope) * p for p, v in zip(places, plain, strict=True)]
    scatter = math.sqrt(math.fsum(v * v for v in left) / (count - 2) / square)
    end_to_end = abs(nominal(slope)) * (count - 1)
    if end_to_end <= EVEN or abs(nominal(slope)) <= max(student(count - 2, 1 - RARE) * scatter, _doubt(slope)):
        return []
    way = "lower" if nominal(slope) > 0 else "higher"
    wrong = f"pistons stand steadily {way} from front to back, {say('deck_clearance', end_to_end)} end to end"
    right = "the deck is not parallel to the crank: measure the block at its corners before it is cut"
    place = f"cylinders {', '.join(str(c) for c in bank)}"
    return [warning("deck-slope", wrong, right=right, line=read[bank[0]][1].cell.line, place=place)]


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
            f"on cylinders {_listed(low)} the pistons stand {say('deck_clearance', abs(nominal(apart)))} lower than on "
            f"{_listed(high)}: the banks differ in deck height"
        )
        right = "measure both decks from the crank; a gasket of its own for each bank, or decking, evens it"
        line = read[low[0]][1].cell.line
        found.append(warning("bank-offset", wrong, right=right, line=line, place="banks"))
    return found


def _average(bank: Sequence[int], read: Clearances) -> Number:
    return sum(read[c][0] for c in bank) / len(bank)


def _listed(bank: Sequence[int]) -> str:
    return ", ".join(str(c) for c in bank)


def _doubt(number: Number) -> float:
    """How far a difference may be from nothing by chance; nothing where its ± is not known."""
    far = by_chance(number)
    return 0.0 if math.isnan(far) else far
