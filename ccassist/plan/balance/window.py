"""Filling one window of cells: by matching where two things are joined, by exact cover where three are.

The first cell of a window is always used.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from ccassist.plan.balance.sums import Sums, Table


class Cell(NamedTuple):
    """One way to fill one hole: what it gives, and from which hole, piston and rod."""

    value: float
    hole: int
    piston: int
    rod: int


HOLE, PISTON, ROD = 1, 2, 3  # places in a cell


def matched(window: Sequence[Cell], count: int, left: int = HOLE, right: int = PISTON) -> list[Cell] | None:
    """Cells that use each of two things once, or None where there are none.

    ``left`` and ``right`` say which two.  Source: augmenting paths, Kuhn,
    Naval Research Logistics Quarterly 2 (1955) 83 (from memory).
    """
    first = window[0]
    ways: dict[int, list[Cell]] = {}
    for cell in window[1:]:
        if cell[left] != first[left] and cell[right] != first[right]:
            ways.setdefault(int(cell[left]), []).append(cell)
    if len(ways) < count - 1:
        return None
    taken: dict[int, Cell] = {}

    def placed(thing: int, seen: set[int]) -> bool:
        for cell in ways[thing]:
            to = int(cell[right])
            if to not in seen:
                seen.add(to)
                if to not in taken or placed(int(taken[to][left]), seen):
                    taken[to] = cell
                    return True
        return False

    return [first, *taken.values()] if all(placed(thing, set()) for thing in ways) else None


class Covers:
    """Exact cover of holes, pistons and rods, with a number of steps for all windows together.

    Always the thing with the fewest cells left is filled next.  Things that
    are alike in every cell are taken in their order: any filling can be
    changed into one that does so.

    Parameters
    ----------
    values : by hole, piston and rod.
    part : a rising or falling function of a value that is nearly a sum of what hole, piston and rod give.
    steps : of the search, for all windows together.
    """

    def __init__(self, values: Table, part: Callable[[float], float], steps: int) -> None:
        self.count, self.part, self.steps = len(values), part, steps
        self.sums = Sums([[[part(value) for value in rods] for rods in pistons] for pistons in values])
        self.alike = _alike(values)
        self.gave_up = False
        self.failed: set[int] = set()
        self.ends = (0.0, 0.0)

    def fill(self, window: Sequence[Cell]) -> list[Cell] | None:
        """Cells that use everything once; None where there are none or, with ``gave_up``, none was found in time."""
        self.failed, self.gave_up = set(), False
        low, high = sorted(self.part(end(cell.value for cell in window)) for end in (min, max))
        self.ends = (low, high)
        first = self._bits(window[0])
        free = (1 << 3 * self.count) - 1 & ~first
        if not self.sums.fit(free, low, high):
            return None
        rest = [(bits, cell) for cell in window[1:] if not (bits := self._bits(cell)) & first]
        found = self._search(rest, free)
        return None if found is None else [window[0], *found]

    def _bits(self, cell: Cell) -> int:
        return 1 << cell.hole | 1 << self.count + cell.piston | 1 << 2 * self.count + cell.rod

    def _search(self, cells: list[tuple[int, Cell]], free: int) -> list[Cell] | None:
        if not free:
            return []
        if free in self.failed or not self.sums.fit(free, *self.ends):
            return None
        if self.steps <= 0:
            self.gave_up = True
            return None
        self.steps -= 1
        for bits, cell in self._fewest(cells, free):
            found = self._search([other for other in cells if not other[0] & bits], free & ~bits)
            if found is not None:
                return [cell, *found]
        if not self.gave_up:
            self.failed.add(free)
        return None

    def _fewest(self, cells: list[tuple[int, Cell]], free: int) -> list[tuple[int, Cell]]:
        """The cells of the thing that has fewest."""
        reach = 0
        for bits, _ in cells:
            reach |= bits
        if reach != free:
            return []  # something can no longer be used at all
        later = 0
        for alike in self.alike:
            among = alike & free
            later |= among & (among - 1)  # all but the first of them
        able = [pair for pair in cells if not pair[0] & later]
        counts: dict[int, int] = {}
        for _, cell in able:
            for thing in (cell.hole, self.count + cell.piston, 2 * self.count + cell.rod):
                counts[thing] = counts.get(thing, 0) + 1
        if len(counts) < (free & ~later).bit_count():
            return []
        bit = 1 << min(counts, key=lambda thing: (counts[thing], thing))
        return [pair for pair in able if pair[0] & bit]


def _alike(values: Table) -> list[int]:
    """Things that give the same in every cell, as bits: several holes, pistons or rods each."""
    count = len(values)
    span = range(count)
    looks = [
        *((HOLE, tuple(values[h][p][r] for p in span for r in span)) for h in span),
        *((PISTON, tuple(values[h][p][r] for h in span for r in span)) for p in span),
        *((ROD, tuple(values[h][p][r] for h in span for p in span)) for r in span),
    ]
    groups: dict[object, int] = {}
    for thing, look in enumerate(looks):
        groups[look] = groups.get(look, 0) | 1 << thing
    return [group for group in groups.values() if group & (group - 1)]
