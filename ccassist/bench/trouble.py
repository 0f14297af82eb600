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
room of their own: :mod:`ccassist.bench.leak`.
"""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.bench.alike import Repeats, Say, series_of, way_of
from ccassist.bench.cell import Reduced
from ccassist.bench.deck_patterns import deck_findings
from ccassist.bench.directions import other_way
from ccassist.bench.drift import drift_of, first_fills, sharing, uneven
from ccassist.bench.kit import Kit
from ccassist.bench.odd import asked_too
from ccassist.bench.signatures import is_gross, repeats_findings
from ccassist.bench.sisters import offsets, sister_slips, swallowed
from ccassist.findings import Finding, warning
from ccassist.measured import nominal
from ccassist.terms import term

LOOK = "look at the readings as they were taken"


def troubles(reduced: Sequence[Reduced], kit: Kit, banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Everything that the readings of a job say against themselves.

    Parameters
    ----------
    reduced : every reduction of the job, of all states.
    kit : the instruments they were read with.
    banks : the cylinders of each bank, front to back.
    say : puts an SI amount of a term into words.
    """
    series = series_of(reduced, kit, lambda repeats: is_gross(repeats, kit))
    found, said = _each(series, kit, say)
    found += _ways(series, said, say)
    found += [*sister_slips(reduced, kit, say), *offsets(reduced, kit, say), *swallowed(reduced, say)]
    found += _decks(reduced, kit, banks, say)
    found += other_way([one.cell for one in reduced], kit)
    return list(dict.fromkeys([*found, *_unusual(reduced, {f.line for f in found}, say)]))


def _unusual(reduced: Sequence[Reduced], said: set[int | None], say: Say) -> list[Finding]:
    """Fills that find what hardly any engine has, though each value read may well be: where nothing else is said."""
    found: list[Finding] = []
    for one in (r for r in reduced if r.cell.step.fills and r.cell.counted):
        lines = {one.cell.line, *(row.line for row in one.cell.readings)}
        for key, value in one.values.items():
            low, high = term(key).plausible
            if not low <= nominal(value.number) <= high and not lines & said:
                most = "" if term(key).sign else f": most are {say(key, low)} to {say(key, high)}"
                remark = warning("unusual-result", f"an unusual {term(key).name}{most}", right=LOOK)
                found.append(remark.at(line=one.cell.counted[0].line or one.cell.line, place=one.cell.where))
    return found


def _decks(reduced: Sequence[Reduced], kit: Kit, banks: Sequence[Sequence[int]], say: Say) -> list[Finding]:
    """Patterns of the deck, state by state; what is only a slip of the pen makes none."""
    decks = [r for r in reduced if r.cell.step.key == "deck"]
    slipped = {f.line for f in sister_slips(decks, kit, say)}
    found: list[Finding] = []
    for state in dict.fromkeys(r.cell.state for r in decks):
        sound = [r for r in decks if r.cell.state == state and r.cell.line not in slipped]
        found += deck_findings(sound, banks, say)
    return found


def _each(series: Sequence[Repeats], kit: Kit, say: Say) -> tuple[list[Finding], set[int]]:
    """What each series says by itself, and which of them said something."""
    found: list[Finding] = []
    said: set[int] = set()
    for i, repeats in enumerate(series):
        drift = None if is_gross(repeats, kit) else drift_of(repeats, sharing(repeats, series), say)
        own = asked_too(repeats, [drift] if drift else repeats_findings(repeats, kit, say), say)
        found += own
        if own:
            said.add(i)
    return found, said


def _ways(series: Sequence[Repeats], said: set[int], say: Say) -> list[Finding]:
    """What all series made one way say together."""
    found: list[Finding] = []
    for way in dict.fromkeys(way_of(r.one) for r in series):
        places = [i for i, r in enumerate(series) if way_of(r.one) == way]
        first = first_fills([series[i] for i in places], say)
        worst = uneven([series[i] for i in places], say)
        found += [first] if first else []
        if worst and places[worst[0]] not in said:
            found.append(worst[1])
    return found
