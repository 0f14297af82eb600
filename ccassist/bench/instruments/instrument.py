"""What a measuring instrument is: the step it is read to and how far it may be out."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite, nan

from ccassist.vocabulary import Kind

KNOWN = ("seen", "memory", "common practice", "own figure")


@dataclass(frozen=True, kw_only=True)
class Limit:
    """Permissible error, either way, up to an amount: fixed + share × amount.  All SI; share of 1."""

    up_to: float = inf
    fixed: float = 0.0
    share: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """One instrument, or one member of a family of them.

    Attributes
    ----------
    key, name, synonyms : as the job file writes it, as a page shows it, other names.
    kind : length, volume or mass; decides what SI unit the rest is in.
    resolution : smallest step read; for glass and syringes half a division.
    limits : permissible errors by amount, smallest amount first; none where nothing is known.  They hold between
        any two points of a scale, and are charged once a delivery or net load, or once for a length.
    repeatability : standard deviation of one reading in a usual hand (common practice, no source); None where the
        user's own repeats must show it, as with every fill, whose scatter is of plate and seal more than of the tool.
    capacity : largest amount it measures at once.
    expansion, expansion_doubt : cubic, with its standard uncertainty [1/K]; of length
        instruments that of their scale, 0 for scales.
    rises : whether its scale grows as fluid leaves it; None where it may be read either way.
    source, known : where the limits are from; "seen", "memory", "common practice" or "own figure".
    advice : what to mind when it is used.
    """

    key: str
    name: str
    kind: Kind
    resolution: float
    limits: tuple[Limit, ...]
    capacity: float
    source: str
    known: str
    repeatability: float | None = None
    expansion: float = 0.0
    expansion_doubt: float = 0.0
    synonyms: tuple[str, ...] = ()
    advice: str = ""
    rises: bool | None = None

    @property
    def fills(self) -> bool:
        """Whether fluid is delivered or contained by it."""
        return self.kind is Kind.VOLUME

    def holds(self, amount: float) -> bool:
        """Whether an amount (SI, of either sign) is within its range, one step over allowed."""
        return abs(amount) <= self.capacity * (1 + 1e-9) + self.resolution


def permissible(instrument: Instrument, amount: float) -> float:
    """Permissible error, as a half-width in SI, for an amount delivered, weighed or measured.

    The amount's sign does not matter.  NaN ("not known") where the instrument
    has no stated limit, or none for so large an amount.

    >>> from ccassist.bench.instruments import INSTRUMENTS
    >>> round(permissible(INSTRUMENTS["syringe 10 ml"], 4e-6) * 1e6, 3)
    0.19
    """
    size = abs(amount)
    if not (isfinite(size) and instrument.holds(size)):
        return nan
    for limit in instrument.limits:
        if size <= limit.up_to * (1 + 1e-9):
            return limit.fixed + limit.share * size
    last = instrument.limits[-1] if instrument.limits else Limit(fixed=nan)
    return last.fixed + last.share * size
