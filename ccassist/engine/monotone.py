"""A smooth curve through points that rises where they rise and falls where they fall, and never overshoots.

Piecewise cubic Hermite interpolation with the slopes of Fritsch and Butland
(SIAM J. Sci. Stat. Comput. 5, 1984, 300; three-point slopes at the ends as in
Moler, Numerical Computing with MATLAB, 2004, sec. 3.6; both from memory,
checked against SciPy).  Plain arithmetic only, so that numbers with their
doubt go through it as they are; which way they run is told by the plain ones.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Any


def slopes(x: Sequence[Any], y: Sequence[Any]) -> list[Any]:
    """Slope of the curve at each point; x rises strictly, two points or more.

    >>> slopes([0.0, 1.0, 3.0], [0.0, 2.0, 6.0])
    [2.0, 2.0, 2.0]
    """
    wide = [b - a for a, b in pairwise(x)]
    steep = [(b - a) / h for (a, b), h in zip(pairwise(y), wide, strict=True)]
    if len(steep) == 1:
        return [steep[0], steep[0]]
    inner = [_middle(wide[i : i + 2], steep[i : i + 2]) for i in range(len(steep) - 1)]
    return [_end(wide[:2], steep[:2]), *inner, _end(wide[:-3:-1], steep[:-3:-1])]


def _middle(wide: Sequence[Any], steep: Sequence[Any]) -> Any:
    """Weighted harmonic mean of the slopes on either side; nothing where these differ in sign."""
    if _plain(steep[0]) * _plain(steep[1]) <= 0:
        return 0 * steep[0]
    first, last = 2 * wide[1] + wide[0], wide[1] + 2 * wide[0]
    return (first + last) / (first / steep[0] + last / steep[1])


def _end(wide: Sequence[Any], steep: Sequence[Any]) -> Any:
    """Three-point slope at an end, the nearer interval first; never against it, nor so steep that it overshoots."""
    found = ((2 * wide[0] + wide[1]) * steep[0] - wide[0] * steep[1]) / (wide[0] + wide[1])
    slope, near, far = _plain(found), _plain(steep[0]), _plain(steep[1])
    if slope * near <= 0:
        return 0 * found
    return 3 * steep[0] if near * far < 0 and abs(slope) > 3 * abs(near) else found


def _plain(number: Any) -> float:
    return float(getattr(number, "nominal_value", number))


def place_of(x: Sequence[float], at: float) -> int:
    """Which interval holds a place; the last one beyond the end.

    >>> place_of([0.0, 1.0, 3.0], 1.5)
    1
    """
    return max(0, min(len(x) - 2, bisect_right(x, at) - 1))


def value_at(x: Sequence[Any], y: Sequence[Any], slope: Sequence[Any], at: Any, i: int) -> Any:
    """The curve at a place of interval ``i``.

    >>> value_at([0.0, 1.0], [0.0, 2.0], [2.0, 2.0], 0.25, 0)
    0.5
    """
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    u = 1 - t
    ends = (1 + 2 * t) * u**2 * y[i] + t**2 * (3 - 2 * t) * y[i + 1]
    return ends + h * t * u * (u * slope[i] - t * slope[i + 1])


def slope_at(x: Sequence[Any], y: Sequence[Any], slope: Sequence[Any], at: Any, i: int) -> Any:
    """The slope of the curve at a place of interval ``i``.

    >>> slope_at([0.0, 1.0], [0.0, 2.0], [2.0, 2.0], 0.25, 0)
    2.0
    """
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    return 6 * t * (1 - t) * (y[i + 1] - y[i]) / h + (1 - t) * (1 - 3 * t) * slope[i] + t * (3 * t - 2) * slope[i + 1]
