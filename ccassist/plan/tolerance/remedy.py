"""What would do it where a range cannot be kept: which measurement, or which tolerance, closer by how much."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from ccassist.plan.tolerance.expected import reach
from ccassist.values.display import Formatter
from ccassist.values.findings import listed
from ccassist.values.number import Number
from ccassist.values.statement import width_text
from ccassist.values.uncertainty import effects_of, limit_of
from ccassist.vocabulary import term
from ccassist.vocabulary.units import conversion

# The closest that a maker of pistons usually holds, half-widths, SI (common practice, no source).
CLOSEST = {"compression_height": 0.02e-3, "crown_volume": 0.1e-6}
_WAYS = 2  # that are told of those that would do by themselves
_LEAST = 0.1  # of a ±: nobody makes one ten times closer by trying harder


def would_do(number: Number, known: Mapping[str, Number], over: float, fmt: Formatter, held: Sequence[str] = ()) -> str:
    """What closer measuring, or holding, brings a number back by ``over`` at its worst, in words.

    Parameters
    ----------
    number : what a range is wanted of, SI.
    known : the terms that it is worked out from, SI.
    over : by how much less it must move, SI.
    held : terms that a maker holds; the others are measured.
    """
    parts = parts_by_term(number, known)
    alone = [key for key, size in parts.items() if over <= (1 - _LEAST) * size]
    ways = [_closer(key, known, over / parts[key], fmt, held) for key in alone[:_WAYS]]
    if ways:
        return f"what would do it: {', or '.join(ways)}"
    for count in range(2, len(parts) + 1):
        several = list(parts)[:count]
        share = over / math.fsum(parts[key] for key in several)
        if share <= 1 - _LEAST:
            return f"what would do it: {listed([_closer(key, known, share, fmt, held) for key in several])}, together"
    return "no closer measuring does it alone"


def parts_by_term(number: Number, known: Mapping[str, Number]) -> dict[str, float]:
    """How far the ± of each term moves a number at its worst, SI, the largest first."""
    whose = {variable: key for key, one in known.items() for variable in effects_of(one)}
    sizes: dict[str, float] = {}
    for variable, slope in effects_of(number).items():
        key = whose.get(variable, "")
        sizes[key] = sizes.get(key, 0.0) + abs(slope) * limit_of(variable)
    sizes.pop("", None)
    return dict(sorted(sizes.items(), key=lambda one: -one[1]))


def _closer(key: str, known: Mapping[str, Number], share: float, fmt: Formatter, held: Sequence[str]) -> str:
    """One term with the ± that it would need, rounded down, and the one that it has."""
    span, unit = reach(known[key]), fmt.unit(key)
    now = (span.high - span.low) / 2
    scale = conversion(unit).scale
    digits = 1 - math.floor(math.log10((1 - share) * now / scale))
    needed = math.floor((1 - share) * now / scale * 10.0**digits + 1e-9) / 10.0**digits * scale
    how = "held" if key in held else "known"
    return f"the {term(key).name} {how} to ± {width_text(needed, unit)} instead of ± {width_text(now, unit)}"
