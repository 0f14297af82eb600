"""How an equivalent is shown: as a ratio up to 14:1, above it only as harder than the baseline."""

from __future__ import annotations

from dataclasses import dataclass

from ccassist.boost.equivalents import HARDEST_RUN, Convention, Equivalent
from ccassist.boost.knock_charge import NaturalRatio
from ccassist.plan.boost.build import Build
from ccassist.plan.boost.knock import Knock
from ccassist.values.coverage import middle_of
from ccassist.values.measured import Value, computed


@dataclass(frozen=True, kw_only=True)
class Line:
    """One convention's line.

    ``figure`` the ratio, None above 14:1 or where there is none; ``beyond`` whether it is above; ``harder`` by how many
    ratios it is above the baseline's, less where negative, None without one; ``reason`` why there is no figure.
    """

    convention: Convention
    figure: Value | None
    beyond: bool
    harder: Value | None
    reason: str


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A figure with the interval that holds 95 of 100 draws of what the two engines share."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class NaturalLine:
    """The same of the knock integral: ``figure`` None above 14:1, ``harder`` None without the baseline's."""

    figure: Drawn | None
    beyond: bool
    harder: Drawn | None


def equivalent_lines(build: Build, baseline: Build | None) -> tuple[Line, ...]:
    """Every convention of a build, against the baseline's of the same convention."""
    others = {} if baseline is None or baseline is build else {e.convention.key: e for e in baseline.equivalents}
    return tuple(_line(one, others.get(one.convention.key)) for one in build.equivalents)


def natural_line(knock: Knock) -> NaturalLine | None:
    """The unboosted ratio of equal knock integral; None where knock is not compared or no such engine is there."""
    found, other = knock.natural, knock.natural_baseline
    if found is None:
        return None
    beyond = found.ratio > HARDEST_RUN
    return NaturalLine(
        figure=None if beyond else Drawn(value=found.ratio, low=found.low, high=found.high),
        beyond=beyond,
        harder=None if other is None else _difference(found, other),
    )


def _difference(found: NaturalRatio, other: NaturalRatio) -> Drawn:
    """Draw by draw, so that what both share cancels."""
    low, high = middle_of(found.draws - other.draws)
    return Drawn(value=found.ratio - other.ratio, low=low, high=high)


def _line(one: Equivalent, other: Equivalent | None) -> Line:
    key, number = one.convention.key, one.number
    harder = None if other is None else one.harder_than(other)
    shown = None if number is None or one.beyond else computed(key, number, one.convention.meaning)
    return Line(
        convention=one.convention,
        figure=shown,
        beyond=one.beyond,
        harder=None if harder is None else computed(key, harder, "less the baseline's"),
        reason=one.reason,
    )
