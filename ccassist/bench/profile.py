"""The top of a chamber as stages of a fill show it: volume against depth below the face, and area against depth.

Between the levels the volume follows a curve that never falls, exact through
every reading; its slope is the open area at that depth.  Nothing is said of
what lies deeper than the deepest level that every run reached.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ccassist.engine.monotone import place_of, slope_at, slopes, value_at
from ccassist.values.measured import Cause, Number, half_width, nominal


@dataclass(frozen=True, kw_only=True)
class Run:
    """One fill from the lowest level to the face.

    ``depths`` [m] from 0 at the face downwards; ``volumes`` [m³] from the face to each, from 0.
    """

    depths: tuple[Number, ...]
    volumes: tuple[Number, ...]

    @property
    def deepest(self) -> float:
        """Its deepest level [m]."""
        return nominal(self.depths[-1])

    def volume(self, depth: float) -> Number:
        """Volume from the face to a depth [m³]."""
        return value_at(self.depths, self.volumes, self._slopes, depth, self._place(depth))

    def area(self, depth: float) -> Number:
        """Open area at a depth [m²]."""
        return slope_at(self.depths, self.volumes, self._slopes, depth, self._place(depth))

    def straight(self, depth: float) -> float:
        """Volume to a depth were the wall straight up between the levels [m³]: what the curve is held against."""
        i = self._place(depth)
        x, y = [nominal(d) for d in self.depths], [nominal(v) for v in self.volumes]
        return y[i] + (y[i + 1] - y[i]) * (depth - x[i]) / (x[i + 1] - x[i])

    @property
    def _slopes(self) -> list[Number]:
        return slopes(self.depths, self.volumes)

    def _place(self, depth: float) -> int:
        return place_of([nominal(d) for d in self.depths], depth)


@dataclass(frozen=True, kw_only=True)
class Profile:
    """The runs on one chamber together.

    ``where`` is the chamber in words, ``state`` that of the head when it was filled.
    """

    where: str
    state: str
    runs: tuple[Run, ...]
    _made: dict[float, Number] = field(default_factory=dict, repr=False, compare=False)

    @property
    def deepest(self) -> float:
        """The depth that every run reached [m]."""
        return min(run.deepest for run in self.runs)

    def volume(self, depth: Number) -> Number:
        """Volume from the face to a depth [m³]; the depth, from 0 to the deepest, may be in doubt itself."""
        at = nominal(depth)
        if at not in self._made:
            self._made[at] = self._volume(at)
        return self._made[at] + nominal(self.area(at)) * (depth - at)

    def _volume(self, at: float) -> Number:
        curved = sum(run.volume(at) for run in self.runs) / len(self.runs)
        straight = sum(run.straight(at) for run in self.runs) / len(self.runs)
        half = abs(nominal(curved) - straight) / 2
        return curved + half_width(half, self._between) if half > 0 else curved

    @property
    def _between(self) -> Cause:
        return Cause(
            name=f"{self.where}: the wall between the levels",
            key="staged_volume",
            shape="rectangular",
            source="common practice, no source: half of what the curve adds to a straight line",
            remedy="more levels near the depth of the cut",
        )

    def area(self, depth: float) -> Number:
        """Open area at a depth [m²]: the slope of the volume."""
        return sum(run.area(depth) for run in self.runs) / len(self.runs)

    def depth_for(self, volume: float) -> float:
        """The depth down to which a volume [m³] lies; that of the deepest level for more.

        The volume never falls with depth, so halving finds the one place.
        """
        low, high = 0.0, self.deepest
        for _ in range(60):
            middle = (low + high) / 2
            less = sum(nominal(run.volume(middle)) for run in self.runs) / len(self.runs) < volume
            low, high = (middle, high) if less else (low, middle)
        return (low + high) / 2

    def cut_for(self, volume: Number) -> Number:
        """The cut [m] that takes a volume [m³], with the ± of both: depth + (volume − that to the depth) ÷ area.

        The volume lies from nothing to that of the deepest level.
        """
        at = self.depth_for(nominal(volume))
        return at + (volume - self.volume(at)) / nominal(self.area(at))
