"""What is to be machined or changed, in plain records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ccassist.engine.mathematics import uncertain
from ccassist.engine.skim import angle_of, depth_at, edge_cut
from ccassist.values.band import Band
from ccassist.values.measured import Number, nominal


@dataclass(frozen=True, kw_only=True)
class Tilt:
    """A tilted cut: nothing at one edge of the head, deepest at the other.

    Attributes
    ----------
    edge : cut at the deep edge [m]; or ``angle`` [rad].
    width : from the zero edge to the deep one [m]; None where the job states it.
    centroids : centroid of each opening from the zero edge [m], by cylinder; 0 stands for all others.
    """

    edge: Number | None = None
    angle: Number | None = None
    width: Number | None = None
    centroids: Mapping[int, Number] = field(default_factory=dict)

    def edge_cut(self, width: Number) -> Number:
        """Cut at the deep edge [m] of a head of that width [m]."""
        return self.edge if self.edge is not None else edge_cut(width, self.angle, m=uncertain())

    def leans(self, width: Number) -> float:
        """Its angle [rad]."""
        return angle_of(nominal(self.edge_cut(width)), width=nominal(width))

    def depth(self, place: Number, width: Number) -> Number:
        """Depth [m] at a distance from the zero edge."""
        return depth_at(place, edge_cut=self.edge_cut(width), width=width)


@dataclass(frozen=True, kw_only=True)
class Work:
    """Everything planned at once; what is None, or empty, is left as it is.

    Attributes
    ----------
    skim : flat cut from every head face [m].
    skim_to : what such a cut is to reach, of a term that it moves; the cut is then found.
    tilt : a tilted cut from every head face.
    deck : cut from the block's deck [m], at its lowest corner where it is levelled too.
    level : take the deck down to its lowest corner first.
    gasket : thickness [m], and bore [m] where it changes, of the gasket fitted then.
    equalised : every chamber first opened to the largest, where it is shown to be smaller.
    valve_angle : valve stem to cylinder axis [rad].
    """

    skim: Number | None = None
    skim_to: Band | None = None
    tilt: Tilt | None = None
    deck: Number | None = None
    level: bool = False
    gasket: Mapping[str, Number] = field(default_factory=dict)
    equalised: bool = False
    valve_angle: Number | None = None

    @property
    def empty(self) -> bool:
        """Whether nothing at all is to be done."""
        asked = (self.skim, self.skim_to, self.tilt, self.deck)
        return all(one is None for one in asked) and not (self.level or self.gasket or self.equalised)
