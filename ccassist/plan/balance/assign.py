"""Which piston and which rod belong in which hole, so that the largest and the smallest result lie closest together.

A *cell* is one way to fill one hole: a value, and the hole, piston and rod
that give it.  Wanted are cells that use every hole, piston and rod once and
whose values lie in the narrowest window.  The smallest value of the answer is
the value of some cell: so each cell in turn is taken as the smallest, and
looked whether a window narrower than the best so far can be filled above it.
What no window can beat is the optimum, and that every window was looked at is
the proof.

With pistons alone (or rods alone) a window is a question of matching two
sides, answered at once for any number: the balanced assignment problem of
Martello, Pulleyblank, Toth & de Werra, Operations Research Letters 3 (1984)
275 (from memory).  With both it is an exact cover, which is hard in general;
but a narrow window holds few cells, so that the search is short.  It is given
up after a stated number of steps: the answer then says how far below it any
other could lie at the most.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from ccassist.plan.balance.sums import Table
from ccassist.plan.balance.window import HOLE, PISTON, ROD, Cell, Covers, matched

STEPS = 100_000  # of the search over pistons and rods, all windows together
HAIR = 1e-9  # of the best range: an answer must beat it by more than rounding
Fits = Callable[[Sequence[Cell]], list[Cell] | None]


@dataclass(frozen=True, kw_only=True)
class Assignment:
    """The answer.

    Attributes
    ----------
    cells : one a hole, in the order of the holes.
    floor : no assignment has a smaller range; the range itself where it is proved best.
    """

    cells: tuple[Cell, ...]
    floor: float

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
        Cell(value, hole, piston, hole) for hole, row in enumerate(values) for piston, value in enumerate(row)
    )
    fits = partial(matched, count=count)
    best, _ = _narrowest(cells, [c for c in cells if c.piston == c.hole], fits)
    return _assignment(_settled(best, cells, fits), _range(best))


def assign_both(values: Table, *, part: Callable[[float], float] = float, steps: int = STEPS) -> Assignment:
    """The assignment of pistons and rods with the smallest range.

    Parameters
    ----------
    values : by hole, piston and rod, of each as many.
    part : a rising or falling function of a value that is nearly a sum of what hole, piston and rod give;
        the nearer it is, the shorter the search, and the answer is the same.
    steps : of the search, before it is given up.
    """
    cells = sorted(
        Cell(value, hole, piston, rod)
        for hole, pistons in enumerate(values)
        for piston, rods in enumerate(pistons)
        for rod, value in enumerate(rods)
    )
    search = Covers(values, part, steps)
    best, unknown = _narrowest(cells, _by_turns(cells, len(values)), search.fill, lambda: search.gave_up)
    floors = (_least_range(cells, place, len(values), _range(best)) for place in unknown)
    return _assignment(_settled(best, cells, search.fill), min(floors, default=_range(best)))


def _assignment(cells: Iterable[Cell], floor: float) -> Assignment:
    return Assignment(cells=tuple(sorted(cells, key=lambda c: c.hole)), floor=floor)


def _range(cells: Iterable[Cell]) -> float:
    values = [cell.value for cell in cells]
    return max(values) - min(values)


def _narrowest(
    cells: Sequence[Cell], best: Sequence[Cell], fits: Fits, gave_up: Callable[[], bool] = lambda: False
) -> tuple[Sequence[Cell], list[int]]:
    """The best filling of any window, and the smallest cells for which the search was given up.

    Cells near the middle come first: there the windows are fullest and the
    best falls soonest.
    """
    values, unknown = [cell.value for cell in cells], []
    for place in sorted(range(len(cells)), key=lambda n: abs(2 * n - len(cells))):
        while (width := _range(best)) > 0:
            end = bisect_left(values, values[place] + width * (1 - HAIR))
            found = fits(cells[place:end]) if end > place else None
            if found is None:
                break
            best = found
        if gave_up():
            unknown.append(place)
    return best, unknown


def _settled(best: Sequence[Cell], cells: Sequence[Cell], fits: Fits) -> Sequence[Cell]:
    """The same window filled with what need not move left where it is."""
    low, high = min(c.value for c in best), max(c.value for c in best)
    able = [c for c in cells if low <= c.value <= high]
    for own in [c for c in able if c.hole == c.piston == c.rod]:
        others = [c for c in able if c.hole != own.hole and c.piston != own.piston and c.rod != own.rod]
        found = fits([own, *others])
        if found is not None:
            best, able = found, [own, *others]
    return best


def _by_turns(cells: Sequence[Cell], count: int) -> Sequence[Cell]:
    """A good start: the best pistons for the rods as they are, then the best rods for these, until neither helps."""
    best: Sequence[Cell] = [c for c in cells if c.hole == c.piston == c.rod]
    while True:
        before = _range(best)
        for kept, moved in ((ROD, PISTON), (PISTON, ROD)):
            now = {c.hole: c[kept] for c in best}
            able = [c for c in cells if c[kept] == now[c.hole]]
            best, _ = _narrowest(able, best, partial(matched, count=count, left=HOLE, right=moved))
        if _range(best) >= before:
            return best


def _least_range(cells: Sequence[Cell], place: int, count: int, best: float) -> float:
    """The least width above a cell at which each two of holes, pistons and rods can be matched; at most the best."""
    values = [cell.value for cell in cells]
    low, high = place + 1, bisect_left(values, values[place] + best)
    while low < high:
        middle = (low + high) // 2
        window = cells[place:middle]
        able = all(matched(window, count, *two) for two in ((HOLE, PISTON), (HOLE, ROD), (PISTON, ROD)))
        low, high = (low, middle) if able else (middle + 1, high)
    return min(best, values[min(low, len(cells)) - 1] - values[place])
