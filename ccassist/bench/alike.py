"""The repeats of one thing, beside the scatter of the *other* things read the same way.

A series is never judged by its own scatter: a wild reading would widen the
very scatter that it is judged by.  The usual scatter here is pooled over the
other series made the same way, those with a gross slip in them left out, and
is never taken to be finer than the steps in which the readings were read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ccassist.bench.areas import finds_area, slope, written_step
from ccassist.bench.cell import Reading, Reduced
from ccassist.bench.declared import declared
from ccassist.bench.fills import volume_per_mass
from ccassist.bench.fills import way_of as fill_way
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import way_of as length_way
from ccassist.bench.outliers import RARE
from ccassist.bench.repeats import UNKNOWN, Scatter, pooled, scatter_of
from ccassist.measured import nominal
from ccassist.studentized import chance_of

LEAST_DOF = 2  # of the others' scatter; with less there is nothing to judge by
WIDE_FILLS = 2e-6  # m³; repeats farther apart are looked at even where no scatter is known (common practice, no source)
WIDE_LENGTHS = 0.1e-3  # m; the same for lengths
Say = Callable[[str, float], str]  # term key, SI amount -> the amount in words


def way_of(one: Reduced) -> tuple[str, ...]:
    """What makes two series "made the same way"."""
    return fill_way(one.cell) if one.cell.step.fills else length_way(one.cell)


@dataclass(frozen=True, kw_only=True)
class Repeats:
    """The counted readings of one thing, in the order of the file.

    Attributes
    ----------
    one : the reduction they belong to.
    rows, values : each reading and its result, SI.
    grain : step to which a result is read, SI.
    rounding : standard deviation that reading to such steps alone gives one result, SI.
    usual : scatter of the other series made the same way; NaN where it is not known.
    """

    one: Reduced
    rows: tuple[Reading, ...]
    values: tuple[float, ...]
    grain: float
    rounding: float
    usual: Scatter = UNKNOWN

    def number(self, i: int) -> int:
        """The number of one of them among all readings of the thing, those set aside too: by it the guide names it."""
        return next(n for n, row in enumerate(self.one.cell.readings, start=1) if row is self.rows[i])

    @property
    def fills(self) -> bool:
        """Whether they are volumes; else lengths."""
        return self.one.cell.step.fills

    @property
    def key(self) -> str:
        """The term whose unit and name they bear."""
        return "fill_volume" if self.fills or not self.one.values else next(iter(self.one.values))

    @property
    def wide(self) -> float:
        """How far apart repeats may lie before common practice looks at them twice, SI."""
        return max(WIDE_FILLS if self.fills else WIDE_LENGTHS, 6 * self.grain)

    def agree(self, values: Sequence[float]) -> bool:
        """Whether values of this series lie no farther apart than readings made this way do.

        Two steps of the scale show nothing.  Beyond that the range is set
        against the studentized range for so many readings and the degrees of
        freedom of the usual scatter; where that is not known, against what
        common practice would look at twice.
        """
        span = max(values) - min(values)
        if span <= 2 * self.grain * (1 + 1e-6):
            return True
        if not self.usual.standard > 0:
            return span <= self.wide
        return chance_of(span / self.usual.standard, min(len(values), 48), self.usual.dof) >= RARE


def series_of(reduced: Sequence[Reduced], kit: Kit, gross: Callable[[Repeats], bool]) -> list[Repeats]:
    """Every series with the usual scatter of the others; ``gross`` tells a series that must not lend its own."""
    bare = [_bare(one, kit) for one in reduced if one.cell.counted]
    lending = [not gross(repeats) for repeats in bare]
    return [_beside(i, bare, lending, kit) for i in range(len(bare))]


def _bare(one: Reduced, kit: Kit) -> Repeats:
    """One series with the steps it was read to."""
    pairs = [(r, v) for r, v in zip(one.cell.readings, one.rows, strict=True) if not r.set_aside and v is not None]
    grain, readings = _grain(one, kit)
    return Repeats(
        one=one,
        rows=tuple(r for r, _ in pairs),
        values=tuple(v for _, v in pairs),
        grain=grain,
        rounding=grain * math.sqrt(readings / 12),
    )


def _grain(one: Reduced, kit: Kit) -> tuple[float, float]:
    """Step of the scale in the result's own unit, and how many such readings one result holds."""
    cell, row = one.cell, one.cell.counted[0]
    tool = kit.instruments.get(cell.instrument)
    if finds_area(cell):
        return slope(row) * max(written_step(cell), tool.resolution if tool else 0.0), 1
    written = min((q.step for q in cell.quantities if q.key != "elapsed" and q.step > 0), default=0.0)
    step = max(written, tool.resolution if tool else 0.0)  # coarser of what the scale shows and what was written
    if row.method.key == "weighing":
        return step * nominal(volume_per_mass(cell, kit)), 2
    if row.method.key == "burette":
        return step, 2 * len(row.fields["start"])
    return step, 1


def _beside(i: int, bare: Sequence[Repeats], lending: Sequence[bool], kit: Kit) -> Repeats:
    """A series with the scatter pooled over the others made the same way."""
    own = bare[i]
    way = way_of(own.one)
    others = [b.values for j, b in enumerate(bare) if j != i and lending[j] and way_of(b.one) == way]
    s, dof = pooled(others)
    if dof >= LEAST_DOF:
        usual = Scatter(standard=max(s, own.rounding), dof=float(dof), source="pooled")
    else:
        usual = scatter_of([], declared(own.one.cell, kit))
    return replace(own, usual=usual)
