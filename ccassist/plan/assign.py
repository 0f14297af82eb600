"""Which piston and which rod belong in which hole, so that the largest and the smallest result lie closest together.

A *cell* is one way to fill one hole: a value, and the hole, piston and rod that give it.  Wanted are cells that use
every hole, piston and rod once and whose values lie in the narrowest window.  The smallest value of the answer is the
value of some cell: so each cell in turn is taken as the smallest, and looked whether a window narrower than the best so
far can be filled above it. What no window can beat is the optimum, and that every window was looked at is the proof.

With pistons alone (or rods alone) a window is a question of matching two sides, answered at once for any number: the
balanced assignment problem of Martello, Pulleyblank, Toth & de Werra, Operations Research Letters 3 (1984) 275 (from
memory).  With both it is an exact cover, which is hard in general; but a narrow window holds few cells, so that the
search is short.  It is given up after a stated number of steps: the answer then says how far below it any other could
lie at the most.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import accumulate, product
from typing import NamedTuple

from ccassist.vocabulary.record import record

# Whether the holes, pistons and rods that are still free can be filled within a window at all, by their sums alone.
#
# Clearance volume is nearly a sum of what the hole, the piston and the rod each give: exactly so where the bores are
# alike.  Then the k largest of the holes still free, even with the k smallest pistons and the k smallest rods, must not
# add up to more than k times the upper end of the window; and so in turn for pistons and rods, and for the lower end.
# How far any cell is off such a sum is allowed for, so that nothing possible is ever excluded.

Table = Sequence[Sequence[Sequence[float]]]
LAST_BITS = 1e-12  # of a value: what sums may be off in the last bits


class Sums:
    """What each hole, piston and rod gives, and how far a cell may be off their sum.

    ``values`` : by hole, piston and rod.  Things are numbered holes first, then pistons, then rods; a set of them is an
    integer of bits.
    """

    def __init__(self, values: Table) -> None:
        count, span = len(values), range(len(values))
        mean = sum(v for pistons in values for rods in pistons for v in rods) / count**3
        holes = [sum(values[h][p][r] for p, r in product(span, span)) / count**2 for h in span]
        pistons = [sum(values[h][p][r] for h, r in product(span, span)) / count**2 for p in span]
        rods = [sum(values[h][p][r] for h, p in product(span, span)) / count**2 for r in span]
        self.gives = [*holes, *(p - mean for p in pistons), *(r - mean for r in rods)]
        self.off = LAST_BITS * abs(mean) + max(
            abs(values[h][p][r] - self.gives[h] - self.gives[count + p] - self.gives[2 * count + r])
            for h, p, r in product(span, span, span)
        )
        kinds = (range(start, start + count) for start in (0, count, 2 * count))
        self.rising = [sorted(kind, key=lambda thing: self.gives[thing]) for kind in kinds]

    def fit(self, free: int, low: float, high: float) -> bool:
        """Whether nothing speaks against filling those still free with values from ``low`` to ``high``."""
        rising = [[self.gives[thing] for thing in kind if free >> thing & 1] for kind in self.rising]
        least = [list(accumulate(kind)) for kind in rising]
        most = [list(accumulate(reversed(kind))) for kind in rising]
        for one, two, three in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
            for k in range(len(rising[0])):
                if most[one][k] + least[two][k] + least[three][k] > (k + 1) * (high + self.off):
                    return False
                if least[one][k] + most[two][k] + most[three][k] < (k + 1) * (low - self.off):
                    return False
        return True


# Filling one window of cells: by matching where two things are joined, by exact cover where three are.
#
# The first cell of a window is always used.


class HoleFilled(NamedTuple):
    """One way to fill one hole: what it gives, and from which hole, piston and rod."""

    value: float
    hole: int
    piston: int
    rod: int


HOLE, PISTON, ROD = 1, 2, 3  # places in a cell


def matched(window: Sequence[HoleFilled], count: int, left: int = HOLE, right: int = PISTON) -> list[HoleFilled] | None:
    """Cells that use each of two things once, or None where there are none.

    ``left`` and ``right`` say which two.  Source: augmenting paths, Kuhn, Naval Research Logistics Quarterly 2 (1955)
    83 (from memory).
    """
    first = window[0]
    ways: dict[int, list[HoleFilled]] = {}
    for cell in window[1:]:
        if cell[left] != first[left] and cell[right] != first[right]:
            ways.setdefault(int(cell[left]), []).append(cell)
    if len(ways) < count - 1:
        return None
    taken: dict[int, HoleFilled] = {}

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

    Always the thing with the fewest cells left is filled next.  Things that are alike in every cell are taken in their
    order: any filling can be changed into one that does so.

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

    def fill(self, window: Sequence[HoleFilled]) -> list[HoleFilled] | None:
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

    def _bits(self, cell: HoleFilled) -> int:
        return 1 << cell.hole | 1 << self.count + cell.piston | 1 << 2 * self.count + cell.rod

    def _search(self, cells: list[tuple[int, HoleFilled]], free: int) -> list[HoleFilled] | None:
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

    def _fewest(self, cells: list[tuple[int, HoleFilled]], free: int) -> list[tuple[int, HoleFilled]]:
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


STEPS = 100_000  # of the search over pistons and rods, all windows together
ROUNDING = 1e-9  # of the best range: an answer must beat it by more than rounding
Fits = Callable[[Sequence[HoleFilled]], list[HoleFilled] | None]


@record
class Assignment:
    """The answer."""

    cells: tuple[HoleFilled, ...]  # one a hole, in the order of the holes
    floor: float  # no assignment has a smaller range; the range itself where it is proved best

    @property
    def range(self) -> float:
        """Largest less smallest value."""
        return _range(self.cells)

    @property
    def proved(self) -> bool:
        """Whether no other assignment can be better."""
        return self.floor >= self.range


def assign_pistons(values: Sequence[Sequence[float]]) -> Assignment:
    """The assignment of one thing to each hole with the smallest range: values by hole and piston.

    >>> best = assign_pistons([[1.0, 2.0], [2.5, 3.0]])
    >>> [cell.piston for cell in best.cells], best.range, best.proved
    ([1, 0], 0.5, True)
    """
    count = len(values)
    cells = sorted(
        HoleFilled(value, hole, piston, hole) for hole, row in enumerate(values) for piston, value in enumerate(row)
    )
    fits = partial(matched, count=count)
    best, _ = _narrowest(cells, [c for c in cells if c.piston == c.hole], fits)
    return _assignment(_settled(best, cells, fits), _range(best))


def assign_both(values: Table, *, part: Callable[[float], float] = float, steps: int = STEPS) -> Assignment:
    """The assignment of pistons and rods with the smallest range.

    values : by hole, piston and rod, of each as many.
    part : a rising or falling function of a value that is nearly a sum of what hole, piston and rod give; the nearer it
        is, the shorter the search, and the answer is the same.
    steps : of the search, before it is given up.
    """
    cells = sorted(
        HoleFilled(value, hole, piston, rod)
        for hole, pistons in enumerate(values)
        for piston, rods in enumerate(pistons)
        for rod, value in enumerate(rods)
    )
    search = Covers(values, part, steps)
    best, unknown = _narrowest(cells, _by_turns(cells, len(values)), search.fill, lambda: search.gave_up)
    floors = (_least_range(cells, place, len(values), _range(best)) for place in unknown)
    return _assignment(_settled(best, cells, search.fill), min(floors, default=_range(best)))


def _assignment(cells: Iterable[HoleFilled], floor: float) -> Assignment:
    return Assignment(cells=tuple(sorted(cells, key=lambda c: c.hole)), floor=floor)


def _range(cells: Iterable[HoleFilled]) -> float:
    values = [cell.value for cell in cells]
    return max(values) - min(values)


def _narrowest(
    cells: Sequence[HoleFilled], best: Sequence[HoleFilled], fits: Fits, gave_up: Callable[[], bool] = lambda: False
) -> tuple[Sequence[HoleFilled], list[int]]:
    """The best filling of any window, and the smallest cells for which the search was given up.

    Cells near the middle come first: there the windows are fullest and the best falls soonest.
    """
    values, unknown = [cell.value for cell in cells], []
    for place in sorted(range(len(cells)), key=lambda n: abs(2 * n - len(cells))):
        while (width := _range(best)) > 0:
            end = bisect_left(values, values[place] + width * (1 - ROUNDING))
            found = fits(cells[place:end]) if end > place else None
            if found is None:
                break
            best = found
        if gave_up():
            unknown.append(place)
    return best, unknown


def _settled(best: Sequence[HoleFilled], cells: Sequence[HoleFilled], fits: Fits) -> Sequence[HoleFilled]:
    """The same window filled with what need not move left where it is."""
    low, high = min(c.value for c in best), max(c.value for c in best)
    able = [c for c in cells if low <= c.value <= high]
    for own in [c for c in able if c.hole == c.piston == c.rod]:
        others = [c for c in able if c.hole != own.hole and c.piston != own.piston and c.rod != own.rod]
        found = fits([own, *others])
        if found is not None:
            best, able = found, [own, *others]
    return best


def _by_turns(cells: Sequence[HoleFilled], count: int) -> Sequence[HoleFilled]:
    """A good start: the best pistons for the rods as they are, then the best rods for these, until neither helps."""
    best: Sequence[HoleFilled] = [c for c in cells if c.hole == c.piston == c.rod]
    while True:
        before = _range(best)
        for kept, moved in ((ROD, PISTON), (PISTON, ROD)):
            now = {c.hole: c[kept] for c in best}
            able = [c for c in cells if c[kept] == now[c.hole]]
            best, _ = _narrowest(able, best, partial(matched, count=count, left=HOLE, right=moved))
        if _range(best) >= before:
            return best


def _least_range(cells: Sequence[HoleFilled], place: int, count: int, best: float) -> float:
    """The least width above a cell at which each two of holes, pistons and rods can be matched; at most the best."""
    values = [cell.value for cell in cells]
    low, high = place + 1, bisect_left(values, values[place] + best)
    while low < high:
        middle = (low + high) // 2
        window = cells[place:middle]
        able = all(matched(window, count, *two) for two in ((HOLE, PISTON), (HOLE, ROD), (PISTON, ROD)))
        low, high = (low, middle) if able else (middle + 1, high)
    return min(best, values[min(low, len(cells)) - 1] - values[place])
