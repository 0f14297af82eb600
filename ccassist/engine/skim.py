"""What a cut of the head face does: flat and tilted cuts, the volume they take, and how far it can be out.

Plain functions in the manner of the relations.  Lengths [m], areas [m²], angles [rad], volumes [m³]; a cut is positive.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import atan, pi, sqrt

from ccassist.engine.mathematics import FLOATS, Mathematics
from ccassist.values.number import N


def skim_volume(opening: N, cut: N) -> N:
    """Volume taken from a chamber by a flat cut: opening × cut.

    [m²], [m] -> [m³].  Exact for upright walls; a sloped wall loses less the deeper the cut. Source: prism; common
    practice.

    >>> round(skim_volume(46e-4, 0.00025) * 1e6, 3)
    1.15
    """
    return opening * cut


def wall_limit(opening: float, cut: float, chamber: float | None, uneven: float = 0.0) -> float:
    """How far opening × cut can be out where nobody knows how walls lean: ½ (cut² + uneven) × the area lost a depth.

    [m²], [m], chamber volume [m³] or None, mean square by which a tilted cut is uneven round the edge [m²] -> [m³]. A
    chamber of volume V that closes in from its opening A as (1 − depth ÷ height)ⁿ loses n ÷ (n + 1) × A² ÷ V of area a
    depth at its face: nothing with upright walls, half of A² ÷ V for a pent roof or a dome, two thirds for a cone, all
    of it never.  At least a wall at 45 degrees all round a round opening, as a broken edge has. Source: plane geometry;
    that no wall leans more is common practice, no source.

    >>> round(wall_limit(46e-4, 0.00025, 46e-6) * 1e6, 4)
    0.0144
    """
    lost = max(opening**2 / chamber if chamber else 0.0, 2 * sqrt(pi * opening))
    return (cut**2 + uneven) * lost / 2


def unevenness(opening: float, lean: float) -> float:
    """Mean square by which the depth of a tilted cut differs round the edge of a round opening [m²].

    Opening [m²], slope of the cut (edge cut ÷ width) -> slope² × radius² ÷ 2.  Source: plane geometry.

    >>> round(unevenness(50e-4, 0.01) * 1e9, 3)
    79.577
    """
    return lean**2 * opening / (2 * pi)


def skim_for(volume: N, opening: N) -> N:
    """Flat cut that takes a volume from a chamber: volume ÷ opening.

    [m³], [m²] -> [m].  Source: trade example C4 (common practice, recomputed).

    >>> round(skim_for(2.4e-6, 46e-4) * 1e3, 3)
    0.522
    """
    return volume / opening


def skimmed(known: Mapping[str, N], *, least: Callable[[N, float], N]) -> dict[str, N]:
    """The inputs of a cylinder after the flat cut ``face_cut`` among them: less chamber, less depth to a squish pad.

    By term, SI: floats, arrays or uncertain numbers; the same where there is no cut.  ``least(number, 0.0)`` keeps a
    number from falling under nothing: a pad that the cut reaches is flush from then on. Source: volume as
    :func:`skim_volume`.

    >>> after = skimmed({"chamber_volume": 46e-6, "chamber_area": 46e-4, "face_cut": 0.00025}, least=max)
    >>> round(after["chamber_volume"] * 1e6, 3)
    44.85
    """
    left = {key: number for key, number in known.items() if key != "face_cut"}
    if "face_cut" not in known:
        return left
    if "chamber_volume" in left:
        left["chamber_volume"] = left["chamber_volume"] - skim_volume(left["chamber_area"], known["face_cut"])
    if "squish_step" in left:
        left["squish_step"] = least(left["squish_step"] - known["face_cut"], 0.0)
    return left


def depth_at(place: N, *, edge_cut: N, width: N) -> N:
    """Depth of a tilted cut at a distance from the edge where it is nothing: edge cut × distance ÷ width.

    All [m] -> [m]; ``width`` from the zero edge to the deep one.  At the centroid of an opening it is the depth by
    which the volume taken goes, exactly so for upright walls.  Source: similar triangles; trade example C6 (common
    practice, recomputed).

    >>> round(depth_at(0.0834, edge_cut=0.0015, width=0.150) * 1e3, 3)
    0.834
    """
    return edge_cut * place / width


def edge_cut(width: N, angle: N, *, m: Mathematics = FLOATS) -> N:
    """Cut at the deep edge of a tilted cut: width × tan(angle).

    [m], [rad] -> [m].  Source: plane geometry.  The shop rule of 0.0175 × width for each degree gives 0.3 % more at one
    degree.

    >>> from math import radians
    >>> round(edge_cut(6 * 25.4e-3, radians(2)) / 25.4e-3, 4)
    0.2095
    """
    return width * m.sin(angle) / m.cos(angle)


def angle_of(edge_cut: float, *, width: float) -> float:
    """Angle of a tilted cut: arctangent of edge cut ÷ width.

    [m], [m] -> [rad].  Source: plane geometry.

    >>> from math import degrees
    >>> round(degrees(angle_of(0.0015, width=0.150)), 3)
    0.573
    """
    return atan(edge_cut / width)
