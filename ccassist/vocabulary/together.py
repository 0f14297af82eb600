"""What belongs to the same, together."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


def together(pairs: Iterable[tuple[K, V]]) -> dict[K, list[V]]:
    """What is said of each, in the order met.

    >>> together([("dish", 1), ("dome", 2), ("dish", 3)])
    {'dish': [1, 3], 'dome': [2]}
    """
    found: dict[K, list[V]] = {}
    for one, of_it in pairs:
        found.setdefault(one, []).append(of_it)
    return found
