"""What the ± of an answer rests on, in a line: what 95 % waits for, or what makes most of it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from ccassist.report.blocks import Text
from ccassist.values.findings import clean
from ccassist.values.measured import WITHHELD, Result, ground_of, withheld
from ccassist.values.uncertainty import budget
from ccassist.vocabulary import term

# The place of a value in the job file, of which the part or the cylinder is told.
PLACE = re.compile(r" \((?:part\.([^.()]+)|cylinder\.(\d+)|[a-z]{3,})\.[^()]*\)")


def without_place(words: str) -> str:
    """A cause or finding without its key of the job file, which whoever works on the job finds with ``check``.

    >>> without_place("gasket bore (part.shim.gasket_bore): stated ±")
    'gasket bore (shim): stated ±'
    >>> without_place("stroke (engine.stroke): stated ±")
    'stroke: stated ±'
    >>> without_place("chamber volume (cylinder.2.chamber_volume): stated ±")
    'chamber volume (cylinder 2): stated ±'
    """

    def whose(found: re.Match[str]) -> str:
        part, cylinder = found.groups()
        return f" ({part.strip(chr(34))})" if part else f" (cylinder {cylinder})" if cylinder else ""

    return PLACE.sub(whose, words)


def ground_lines(results: Sequence[Result]) -> Iterator[Text]:
    """What to do first where 95 % cannot be said of the results; else what makes most of the ± of the first."""
    unsure = withheld(results)
    for _, value in unsure[:1]:
        yield Text(f"{WITHHELD} first {clean(ground_of(value.number).guesses[0].cause.remedy, 200)}.")
    if unsure or not results:
        return
    whose, value = results[0]
    name = f"the ± of {f'{whose}, ' if whose else 'the '}{term(value.key).name}"
    made = budget(value.number)
    if not made:
        yield Text(f"Nothing makes {name}: every figure is taken as exact.")
    elif waits := [row.cause for row in made if math.isnan(row.standard)]:
        first = f": first {clean(waits[0].remedy, 200)}" if waits[0].remedy else ""
        yield Text(f"Not known yet is {name}{first}.")
    else:
        yield Text(f"Largest cause of {name}: {clean(made[0].cause.name, 160)}, {100 * made[0].share:.0f} %.")
