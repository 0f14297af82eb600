"""Against a limit or a band: inside, outside, or cannot tell at this ±.

Decision rule: inside only where the whole 95 % interval lies within the
limits, outside only where none of it does (guarded acceptance and guarded
rejection; JCGM 106:2012, clauses 8.3.2 and 8.3.3, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import Enum

from ccassist.values.band import Band
from ccassist.values.measured import Value


class Verdict(Enum):
    """What may be said of a value against what is wanted."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    CANNOT_TELL = "cannot tell at this ±"


def decide(value: float, spread: float, band: Band) -> Verdict:
    """The verdict for a value ± expanded uncertainty (both SI) against a band.

    An unknown ± (NaN) never decides.  A band without width is taken as an aim:
    inside where the interval holds it.

    >>> from ccassist.values.band import parse_band
    >>> decide(58.4e-6, 0.3e-6, parse_band("at least 58.0 cc", "chamber_volume")).value
    'inside'
    """
    if math.isnan(spread):
        return Verdict.CANNOT_TELL
    low, high = value - spread, value + spread
    if band.low == band.high:
        return Verdict.INSIDE if low <= band.aim <= high else Verdict.OUTSIDE
    if band.low <= low and high <= band.high:
        return Verdict.INSIDE
    if high < band.low or low > band.high:
        return Verdict.OUTSIDE
    return Verdict.CANNOT_TELL


def verdicts(values: Mapping[str, Value], wanted: Mapping[str, Band]) -> dict[str, str]:
    """The verdict in words on every wanted term that is known, by its key."""
    return {
        key: decide(value.nominal, value.expanded, band).value
        for key, band in wanted.items()
        if (value := values.get(key)) is not None
    }
