"""Prints what became of each mutant, and the share that died."""

from __future__ import annotations

import sys
from collections import Counter

from .run import DIED, LIVED, SLOW, run


def main(count: int = 200, seed: int = 1, first: int = 0) -> None:
    """One line a mutant, and the sums."""
    ends: Counter[str] = Counter()
    for number, (place, end) in enumerate(run(count, seed, first), first):
        ends[end] += 1
        where = f"{place.file}:{place.line}: {place.old!r} -> {place.new!r} in {place.text}"
        print(f"{number:4} {end:12} {where}", flush=True)
    counted = ends[DIED] + ends[LIVED] + ends[SLOW]
    share = f", {100 * ends[DIED] / counted:.0f} % of those judged died" if counted else ""
    print(f"{sum(ends.values())} mutants: {', '.join(f'{n} {end}' for end, n in ends.most_common())}{share}")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:4]))
