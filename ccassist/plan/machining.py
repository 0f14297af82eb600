"""What a cut does to a volume, and the consequences to look at each time.

Lengths [m], areas [m²], angles [rad], volumes [m³]; a cut is positive.
"""

from __future__ import annotations

from math import tan
from typing import Any

SKIM_CONSEQUENCES = (
    "valve to piston falls by about the cut times the cosine of the valve angle",
    "squish falls by the cut where the head has squish pads",
    "pushrods, lifter preload and cam timing by chain or belt move",
    "on a V engine the intake manifold no longer lines up by itself",
    "the gasket's fire ring must still stand on metal, and the head keep its least thickness",
)
DECK_CONSEQUENCES = (
    "deck clearance and squish fall by the cut",
    "valve to piston falls by about the cut times the cosine of the valve angle",
    "the block must keep its least deck height; front cover and manifolds move",
    "tell the piston maker the finished height, not the one before",
)


def skim_volume(opening: Any, cut: Any) -> Any:
    """Volume taken from a chamber by a flat cut: opening × cut.

    Exact for upright walls; a sloped wall loses less the deeper the cut.
    Source: prism; common practice.

    >>> round(skim_volume(46e-4, 0.00025) * 1e6, 3)
    1.15
    """
    return opening * cut


def skim_for(volume: Any, opening: Any) -> Any:
    """Flat cut that takes a volume from a chamber: volume ÷ opening.

    Source: trade example C4 (common practice, recomputed).

    >>> round(skim_for(2.4e-6, 46e-4) * 1e3, 3)
    0.522
    """
    return volume / opening


def angle_skim_volume(opening: Any, *, edge_cut: Any, width: Any, centroid: Any) -> Any:
    """Volume taken by a cut that is nothing at one edge: opening × depth at its centroid.

    ``edge_cut`` at the deep edge, ``width`` from the zero edge to it, ``centroid``
    of the opening from the zero edge.  Source: trade example C6 (common
    practice, recomputed); the depth at the centroid is exact for upright walls.

    >>> round(angle_skim_volume(46e-4, edge_cut=0.0015, width=0.150, centroid=0.080) * 1e6, 2)
    3.68
    """
    return opening * edge_cut * centroid / width


def edge_cut(width: float, angle: float) -> float:
    """Cut at the deep edge of an angled skim: width × tan(angle).

    >>> from math import radians
    >>> round(edge_cut(6 * 25.4e-3, radians(2)) / 25.4e-3, 4)
    0.2095
    """
    return width * tan(angle)
