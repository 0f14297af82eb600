"""One of several that should be alike, and is not: a slip of the finger, or a part that does not belong.

The rule, for chambers, crowns, decks and whatever else :mod:`ccassist.vocabulary.alike` names, and for the repeats
of one reading: questioned is what lies off the median of the others by more than the amount and the share that
its term declares, and by more than six times the median absolute deviation of the others, so that sisters which
scatter widely among themselves are left in peace.  Of volumes and areas, what is more than 5 % off is questioned
too where exchanging two digits of what was typed brings it among the others.  With one other only, neither is
called the odd one: they differ.  A chamber that was welded up or a piston of another make is possible: it is a
question, never a refusal.

All the limits are common practice, no source; the median absolute deviation: Hampel, J. Am. Stat. Assoc. 69
(1974) 383 (from memory).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from statistics import median

from ccassist.bench.alike import Repeats, Say
from ccassist.bench.cell import Reading
from ccassist.values.findings import Finding, Level, question
from ccassist.values.numerals import NUMBER
from ccassist.values.quantity import Quantity
from ccassist.values.units import conversion
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.alike import ALIKE, Alike

DEVIATIONS = 6.0  # median absolute deviations
SWAPPED = "two digits may have changed places"
SWAPPED_SHARE = 0.05  # of the usual: from here on two exchanged digits are looked for
TAKEN_OFF = ("start", "after")  # fields of which the reading at the other end is counted
TIMED = ("fill_time", "settle", "settle_at")  # no part of the volume
Signed = tuple[Quantity, int]
_PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*")


def is_odd(value: float, others: Sequence[float], alike: Alike) -> bool:
    """Whether one value is off the others by more than the rule allows.

    >>> volumes = Alike(least=1.0, share=0.08)
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
    noun = "fill" if repeats.fills else "reading"
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


def exchanged(value: float, others: Sequence[float], alike: Alike, read: Sequence[Signed]) -> str:
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
