"""The best of very many, taken in a block at a time."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[Any]


@dataclass(kw_only=True)
class Kept:
    """The best so far: distances and flat positions, in order of both; what is infinitely far is never kept."""

    most: int
    distances: Array = field(default_factory=lambda: np.empty(0))
    places: Array = field(default_factory=lambda: np.empty(0, dtype=np.int64))

    def add(self, distances: Array, places: Callable[[Array], Array]) -> None:
        """Take in a block; what cannot come among the best is never looked at again."""
        worst = self.distances[-1] if len(self.distances) == self.most else math.inf
        able = np.flatnonzero((distances <= worst) & np.isfinite(distances))
        if len(able) > self.most:
            border = np.partition(distances[able], self.most - 1)[self.most - 1]
            nearer, level = able[distances[able] < border], able[distances[able] == border]
            able = np.sort(np.concatenate([nearer, level[: self.most - len(nearer)]]))
        if len(able) == 0:
            return
        joined = np.concatenate([self.distances, distances[able]])
        where = np.concatenate([self.places, places(able)])
        order = np.lexsort((where, joined))[: self.most]
        self.distances, self.places = joined[order], where[order]
