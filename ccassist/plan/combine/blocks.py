"""A large table of combinations cut into blocks that fit into memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product


def blocks(lengths: Sequence[int], most: int) -> Iterator[tuple[slice, ...]]:
    """Blocks of a table, in the order of its cells, none with more than ``most`` of them.

    The last axes are kept whole as long as they fit, the next one is cut into
    pieces, and of the first ones each place is taken by itself.

    >>> [tuple((s.start, s.stop) for s in block) for block in blocks([2, 3], 4)]
    [((0, 1), (0, 3)), ((1, 2), (0, 3))]
    """
    steps: list[int] = []
    room = max(1, most)
    for length in reversed(lengths):
        step = min(length, room)
        steps.append(step)
        room = room // length if step == length else 1
    ranges = [range(0, length, step) for length, step in zip(lengths, reversed(steps), strict=True)]
    for starts in product(*ranges):
        ends = (min(s + r.step, n) for s, r, n in zip(starts, ranges, lengths, strict=True))
        yield tuple(slice(start, end) for start, end in zip(starts, ends, strict=True))
