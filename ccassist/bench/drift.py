"""What shows only across several series: drift through the day, a wet first fill, one that scatters more."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ccassist.bench.alike import Repeats, Say
from ccassist.bench.outliers import RARE, most_scattered
from ccassist.bench.repeats import mean, pooled
from ccassist.values.coverage import student
from ccassist.values.findings import Finding, note, warning

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
    between = [line for other in others for _, line in other.marks if line]
    gaps = [i for i in range(1, len(own)) if any(own[i - 1][0] < line < own[i][0] for line in between)]
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
