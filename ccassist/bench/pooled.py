"""The repeats of one thing, beside the scatter of the *other* things read the same way.

A series is never judged by its own scatter: a wild reading would widen the very scatter that it is judged by.  The
usual scatter here is pooled over the other series made the same way, those with a gross slip in them left out, and is
never taken to be finer than the steps in which the readings were read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Hashable, Iterable, Sequence
from dataclasses import replace
from functools import cached_property

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.fills import counted_results, per_mass
from ccassist.bench.instruments import Instrument
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import Several, drop_of
from ccassist.bench.repeats import RARE, UNKNOWN, Declared, Scatter, Source, scatter_of
from ccassist.bench.rows import arithmetic, deliveries
from ccassist.bench.step import Method, Way
from ccassist.values.statistics import chance_of, mean, pooled, pooled_squares, squares
from ccassist.values.uncertainty import SHAPES
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin, Shape

LEAST_DOF = 2  # of the others' scatter; with less there is nothing to judge by
WIDE_FILLS = 2e-6  # m³; repeats farther apart are looked at even where no scatter is known (common practice, no source)
WIDE_LENGTHS = 0.1e-3  # m; the same for lengths
ROUND_REFILLS = (10e-6, 25e-6, 50e-6)  # m³; what burettes and syringes hold
CLOSE = 0.3e-6  # m³; how near a jump comes to a refill
Say = Callable[[str, float], str]  # term key, SI amount -> the amount in words
NEVER_EVEN = frozenset({"gasket_thickness"})  # however true the part: its own repeats say how uneven it is
# Read at different places of a part: they scatter as it is out of round, tapered or uneven, not as the tool alone.
PLACES = frozenset(
    {"bore", "land_diameter", "block_deck_height", "gasket_bore", "gasket_long", "gasket_short", "gasket_thickness"}
)


def declared_of(tool: Instrument | None, step: float, times: float = 1.0) -> Declared | None:
    """What an instrument says of one reading of it, or of what so many times one reading is; ``step`` [SI] of it."""
    if tool is None or tool.repeatability is None:
        return None
    return Declared(standard=tool.repeatability * times, words=f"the declared repeatability of {tool.key}", step=step)


def usual_hand(key: str, values: Sequence[float], step: float) -> Declared:
    """What is usual of one reading [SI] where no instrument is named: half of what the usual tool is known to.

    The half that is the hand's; the tool's own error is charged besides.  Common practice, no source.
    """
    wanted = term(key)
    half = wanted.silent_width(Origin.MEASURED, mean(values)) / SHAPES[Shape.NORMAL] / 2
    words = f"what is usual for the {wanted.name} where no instrument is named"
    return Declared(standard=half, words=words, step=step)


def declared(cell: Cell, kit: Kit, step: float) -> Declared | None:
    """What is known before of one row of a cell, read to a ``step`` [SI of its result]; None where nothing is.

    A gasket is not equally thick all round: where its points lie farther apart than the instrument repeats, the
    instrument's own figure says nothing of it. What was left about the line of a calibrated scale serves as well, if it
    is known no worse than a declared figure.
    """
    if not cell.counted:
        return None
    tool = declared_of(kit.instruments.get(cell.instrument), step, _times(cell, kit))
    if not (cell.instrument or cell.weighed or cell.kind is Kind.AREA):
        tool = usual_hand(cell.key, counted_results(cell, kit), step)
    if cell.key in NEVER_EVEN and tool is not None:
        own, freedom = pooled([counted_results(cell, kit)])
        tool = None if freedom and own > tool.standard else tool
    made = kit.calibration_of(cell)
    if made is None:
        return tool
    left = made.repeatability(max(len(deliveries(row)) for row in cell.counted))
    return left if tool is None or left.dof >= tool.dof else tool


def _times(cell: Cell, kit: Kit) -> float:
    """What one unit of an instrument's reading is in a row's result."""
    unit, each = arithmetic(cell.method).unit, per_mass(cell, kit)
    return mean([unit(row, each) for row in cell.counted])


def joined(all_of_them: Iterable[Declared | None]) -> Declared | None:
    """One figure for the series made one way: the largest; none where one of them has none."""
    found = list(all_of_them)
    known = [one for one in found if one is not None]
    return max(known, key=lambda one: one.standard) if known and len(known) == len(found) else None


@record
class Repeats:
    """The counted readings of one thing, in the order of the file: rows of a series, a setting, or a stated list.

    way, name : what makes others "made the same way"; what tells it from those.
    where, line : the thing in words, and its line in the file.
    method, state : of the series; None and "" of what is stated.
    marks : of each its number among all readings of the thing, those set aside too, and its line.
    values, texts : the result of each, SI, and as it was read; no text where it was worked out.
    """

    way: Way
    name: str
    key: str  # the term whose unit and name they bear
    where: str
    line: int | None = None
    method: Method | None = None
    state: str = ""
    rows: tuple[Reading, ...] = ()  # the readings themselves, where they are rows
    marks: tuple[tuple[int, int | None], ...] = ()
    values: tuple[float, ...]
    texts: tuple[str, ...] = ()
    grain: float  # step to which a result is read, SI
    rounding: float  # standard deviation that reading to such steps alone gives one result, SI
    declared: Declared | None = None  # what is known of one reading before, None where nothing is
    refills: tuple[float, ...] = ()  # the amounts by which refilling can go wrong, m³
    usual: Scatter = UNKNOWN  # scatter of the others made the same way; NaN where it is not known

    @property
    def fills(self) -> bool:
        """Whether they are fills read at the bench."""
        return self.method is not None and self._volumes

    @property
    def noun(self) -> str:
        """What one of them is called."""
        return "fill" if self.fills else "reading"

    @property
    def _volumes(self) -> bool:
        return term(self.key).kind is Kind.VOLUME

    def number(self, i: int) -> int:
        """The number of one of them among all readings of the thing: by it the guide names it."""
        return self.marks[i][0] if self.marks else i + 1

    def line_of(self, i: int) -> int | None:
        """The line of one of them."""
        return (self.marks[i][1] if self.marks else None) or self.line

    @cached_property
    def lines(self) -> list[int]:
        """The lines of the file on which they stand, in order."""
        return sorted(line for _, line in self.marks if line)

    @cached_property
    def span(self) -> float:
        """How far apart the farthest two lie, SI."""
        return max(self.values) - min(self.values)

    @property
    def within_steps(self) -> bool:
        """Whether they lie within two steps of the scale, which show nothing."""
        return self.span <= 2 * self.grain * (1 + 1e-6)

    @property
    def wide(self) -> float:
        """How far apart repeats may lie before common practice looks at them twice, SI."""
        return max(WIDE_FILLS if self._volumes else WIDE_LENGTHS, 6 * self.grain)

    def agree(self, values: Sequence[float]) -> bool:
        """Whether values of this series [SI] lie no farther apart than readings made this way do.

        Two steps of the scale show nothing.  Beyond that the range is set against the studentized range for so many
        readings and the degrees of freedom of the usual scatter; where that is not known, against what common practice
        would look at twice.
        """
        span = max(values) - min(values)
        if span <= 2 * self.grain * (1 + 1e-6):
            return True
        if not self.usual.standard > 0:
            return span <= self.wide
        return chance_of(span / self.usual.standard, min(len(values), 48), self.usual.dof) >= RARE


def repeats_of(cells: Sequence[Cell], kit: Kit) -> list[Repeats]:
    """What is read and repeated in each cell: its rows, and a depth that stands as a list of readings."""
    found = []
    for cell in (c for c in cells if c.counted):
        drop = drop_of(cell)
        found += [_of_rows(cell, kit), *([of_several(drop, kit)] if drop else [])]
    return found


def _of_rows(cell: Cell, kit: Kit) -> Repeats:
    """The rows of a cell with the steps they were read to."""
    grain, readings = _grain(cell, kit)
    counted = [(n, row) for n, row in enumerate(cell.readings, start=1) if not row.set_aside]
    return Repeats(
        way=cell.way,
        name=cell.name,
        key=cell.key,
        where=cell.where,
        line=cell.line,
        method=cell.method,
        state=cell.state,
        rows=tuple(row for _, row in counted),
        marks=tuple((n, row.line) for n, row in counted),
        values=counted_results(cell, kit),
        texts=() if cell.kind is Kind.VOLUME else tuple(row.said for _, row in counted),
        grain=grain,
        rounding=grain * math.sqrt(readings / 12),
        declared=declared(cell, kit, grain),
        refills=refills(cell, kit),
    )


def of_several(several: Several, kit: Kit) -> Repeats:
    """A list of readings with the steps they were read to."""
    tool = kit.instruments.get(several.instrument)
    grain = tool.resolution if tool and tool.resolution > 0 else several.step
    return Repeats(
        way=several.way,
        name=several.name,
        key=several.key,
        where=several.where,
        line=several.line,
        values=several.values,
        texts=tuple(q.raw for q in several.quantities),
        grain=grain,
        rounding=grain / math.sqrt(12),
        declared=declared_of(tool, grain) if tool else usual_hand(several.key, several.values, grain),
    )


def _grain(cell: Cell, kit: Kit) -> tuple[float, float]:
    """Step of the scale in the result's own unit, and how many such readings one result holds."""
    row, sums, tool = cell.counted[0], arithmetic(cell.method), kit.instruments.get(cell.instrument)
    step = max(cell.written_step, tool.resolution if tool else 0.0)  # the coarser of what it shows and what was written
    return step * sums.unit(row, per_mass(cell, kit)), sums.read(row)


def by_way(series: Sequence[Repeats]) -> dict[Way, list[int]]:
    """The places of what was read one way, way by way."""
    return together((repeats.way, i) for i, repeats in enumerate(series))


def beside(bare: Sequence[Repeats], lending: Sequence[bool]) -> list[Repeats]:
    """Each with the usual scatter of the others made the same way that may lend their own: no gross slip is in it."""
    ways, seen = by_way(bare), [squares(repeats.values) for repeats in bare]
    others = ([seen[j] for j in ways[own.way] if lending[j] and j != i] for i, own in enumerate(bare))
    return [_beside(own, *pooled_squares(rest)) for own, rest in zip(bare, others, strict=True)]


def _beside(own: Repeats, s: float, dof: int) -> Repeats:
    """One with the scatter of the others that lend theirs, and its degrees of freedom."""
    if dof >= LEAST_DOF:
        usual = Scatter(standard=max(s, own.rounding), dof=float(dof), source=Source.POOLED)
    else:
        usual = scatter_of([], own.declared)
    return replace(own, usual=usual)


def scatters(series: Sequence[Repeats], apart: Collection[int]) -> dict[Hashable, Scatter]:
    """The scatter of every way of reading, pooled over what was so read but for what stands ``apart``.

    What stands apart leaves the others' pool, and has a scatter of its own: by the same rule, the others' being known
    before.
    """
    found: dict[Hashable, Scatter] = {}
    for way, places in by_way(series).items():
        known = joined(series[i].declared for i in places)
        found[way] = scatter_of([series[i].values for i in places if i not in apart], known)
        for repeats in (series[i] for i in places if i in apart):
            usual = _as_known(found[way], repeats) or known
            found[way, repeats.name] = scatter_of([repeats.values], usual, f"{way} {repeats.name}")
    return found


def _as_known(others: Scatter, repeats: Repeats) -> Declared | None:
    """The scatter of the others as what is known before of one that stands apart; None where they show none."""
    if others.source is not Source.POOLED:
        return None
    words = "the scatter of the others made this way"
    return Declared(standard=others.standard, words=words, dof=others.dof, step=repeats.grain, source=Source.OTHERS)


def refills(cell: Cell, kit: Kit) -> tuple[float, ...]:
    """The amounts by which refilling can go wrong in a series, m³: the usual ones, and what its own tool holds."""
    if cell.kind is not Kind.VOLUME:
        return ()
    tool = kit.instruments.get(cell.instrument)
    own = (tool.capacity,) if tool is not None and tool.fills else ()
    syringes = (row.one("each") for row in cell.readings if "each" in row.fields)
    found: list[float] = []
    for size in dict.fromkeys((*ROUND_REFILLS, *own, *syringes)):
        if 0 < size < 1e-3 and all(abs(size - other) > CLOSE for other in found):
            found.append(size)
    return tuple(found)
