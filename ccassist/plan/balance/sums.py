"""Whether the holes, pistons and rods that are still free can be filled within a window at all, by their sums alone.

Clearance volume is nearly a sum of what the hole, the piston and the rod each
give: exactly so where the bores are alike.  Then the k largest of the holes
still free, even with the k smallest pistons and the k smallest rods, must not
add up to more than k times the upper end of the window; and so in turn for
pistons and rods, and for the lower end.  How far any cell is off such a sum
is allowed for, so that nothing possible is ever excluded.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, product

Table = Sequence[Sequence[Sequence[float]]]
HAIR = 1e-12  # of a value: what sums may be off in the last bits


class Sums:
    """What each hole, piston and rod gives, and how far a cell may be off their sum.

    ``values`` : by hole, piston and rod.  Things are numbered holes first,
    then pistons, then rods; a set of them is an integer of bits.
    """

    def __init__(self, values: Table) -> None:
        count, span = len(values), range(len(values))
        mean = sum(v for pistons in values for rods in pistons for v in rods) / count**3
        holes = [sum(values[h][p][r] for p, r in product(span, span)) / count**2 for h in span]
        pistons = [sum(values[h][p][r] for h, r in product(span, span)) / count**2 for p in span]
        rods = [sum(values[h][p][r] for h, p in product(span, span)) / count**2 for r in span]
        self.gives = [*holes, *(p - mean for p in pistons), *(r - mean for r in rods)]
        self.off = HAIR * abs(mean) + max(
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
