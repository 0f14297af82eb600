"""Numerical mathematics, each thing once: roots, least places, linear equations, integrals, a curve through points.

Plain floats, but where said otherwise; what depends only on the order of an integral is worked out once.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Any, Generic

from ccassist.values.number import N, Number, is_array, is_uncertain, nominal, standard
from ccassist.vocabulary.record import record

_LAST_DIGIT = 2.0**-52
_NOTHING = 1e-24  # of a bracket: a root so near nothing is nothing
_STEPS = 200
_GOLDEN = 60
_UNSOLVED = 1e-12  # of the products that make it: a determinant so small is rounding


class NoBracket(ValueError):
    """A function has one sign at both ends, so that nothing says there is a root between."""


def root(
    function: Callable[[float], float], low: float, high: float, *, ends: tuple[float, float] | None = None
) -> float:
    """Where a function is nothing between two places at which its signs differ, to the last digits.

    Through the last three places where the function runs smoothly there, else by halving, so that it always closes in.
    Source: Chandrupatla, Advances in Engineering Software 28 (1997) 145 (from memory; checked against SciPy).

    low, high : the places, in the unit of the argument, in any order.
    ends : what the function is at them, where that is known already.

    Raises NoBracket: its signs do not differ.

    >>> round(root(lambda x: x**2 - 2, 0.0, 2.0), 12)
    1.414213562373
    """
    at_low, at_high = ends or (function(low), function(high))
    if at_low == 0 or at_high == 0:
        return low if at_low == 0 else high
    if not at_low * at_high < 0:
        raise NoBracket(f"no change of sign between {low:g} and {high:g}")
    near, other, at_near, at_other = high, low, at_high, at_low
    part = 0.5
    for _ in range(_STEPS):
        trial = near + part * (other - near)
        here = function(trial)
        if (here < 0) == (at_near < 0):
            before, at_before = near, at_near
        else:
            before, at_before, other, at_other = other, at_other, near, at_near
        near, at_near = trial, here
        best = near if abs(at_near) < abs(at_other) else other
        room = (2 * _LAST_DIGIT * abs(best) + _NOTHING * abs(high - low)) / abs(other - near)
        if room > 0.5 or at_near == 0:
            return best
        part = min(1 - room, max(room, _part((near, other, before), (at_near, at_other, at_before))))
    return best


def _part(at: tuple[float, float, float], values: tuple[float, float, float]) -> float:
    """How far from the nearer end to the other one to look next: by inverse quadratic, or half."""
    (a, b, c), (fa, fb, fc) = at, values
    if fb == fc or fa == fc:
        return 0.5
    place, rise = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if not (rise**2 < place and (1 - rise) ** 2 < 1 - place):
        return 0.5
    return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)


def roots(function: Callable[[float], float], seen: Sequence[tuple[float, float]]) -> list[float]:
    """Every root between samples of which the function is known, rising: one in each gap where its sign changes.

    >>> [round(x, 12) for x in roots(lambda x: x**2 - 2, [(-2, 2), (0, -2), (2, 2)])]
    [-1.414213562373, 1.414213562373]
    """
    gaps = [(one, two) for one, two in pairwise(seen) if one[1] * two[1] < 0]
    between = [root(function, low, high, ends=(below, above)) for (low, below), (high, above) in gaps]
    return sorted([*(place for place, value in seen if value == 0), *between])


def bracket(
    function: Callable[[float], float], low: float, high: float, *, factor: float = 2.0, most: float = math.inf
) -> tuple[float, float]:
    """Two places at which the signs of a function differ: the far one is multiplied until they do.

    Raises NoBracket: they do not up to ``most``.

    >>> bracket(lambda x: x - 5, 0.0, 1.0)
    (4.0, 8.0)
    """
    start = function(low)
    while function(high) * start > 0:
        low, high = high, factor * high
        if high > most:
            raise NoBracket(f"no change of sign up to {most:g}")
    return low, high


def edge(holds: Callable[[float], bool], inside: float, outside: float) -> float:
    """The last place at which something holds, on the way from where it does to where it does not; by halving.

    >>> round(edge(lambda x: x * x < 2, 0.0, 2.0), 9)
    1.414213562
    """
    for _ in range(_STEPS):
        middle = (inside + outside) / 2
        if middle in (inside, outside):
            break
        inside, outside = (middle, outside) if holds(middle) else (inside, middle)
    return inside


def newton(
    step: Callable[[N], N],
    start: N,
    *,
    keep: Callable[[N], N] = lambda place: place,
    steps: int = 60,
    close: float = 2 * _LAST_DIGIT,
) -> N:
    """Newton's steps until two places agree: floats, or arrays of which each place goes its own way.

    step : how far a place is off: the function there over its slope; :func:`secant` makes one without the slope.
    keep : brings a place back into the range in which the root lies.
    steps : how many at most.
    close : what two places may differ by, as a part of them.

    >>> round(newton(lambda x: (x**2 - 2) / (2 * x), 1.0), 12)
    1.414213562373
    """
    here = start
    for _ in range(steps):
        before, here = here, keep(here - step(here))
        settled: Any = abs(here - before) <= close * abs(here)  # type: ignore[arg-type]
        if settled.all() if is_array(settled) else settled:
            break
    return here


def secant(function: Callable[[Any], Any], before: Any) -> Callable[[Any], Any]:
    """Steps for :func:`newton` on arrays whose slope is that from the place before; where nothing changed, none."""
    import numpy as np

    last = [before, function(before)]

    def step(here: Any) -> Any:
        value = function(here)
        change, way = value - last[1], here - last[0]
        last[:] = here, value
        return np.where(change == 0, 0.0, value * way / np.where(change == 0, 1.0, change))

    return step


def uncertain_root(root: float, miss: Number, slope: float) -> Number:
    """A root with the uncertainty of all that the function hangs on (implicit differentiation).

    root : where the plain function is nothing.
    miss : the function there as an uncertain number; a plain one leaves the root as it is.
    slope : its change per unit of the root.

    The same variables, so that correlations are kept.  Source: JCGM 100:2008, 5.1.2, the slopes by the implicit
    function theorem.

    >>> uncertain_root(2.0, 0.0, 4.0)
    2.0
    """
    if not is_uncertain(miss):
        return root
    found = root - (miss - nominal(miss)) / slope
    standard(found)  # gathers what it hangs on, once: else whatever is worked out of it walks through all that again
    return found


def uncertain_roots(
    roots: Sequence[float], misses: Sequence[Number], slopes: Sequence[Sequence[float]]
) -> list[Number] | None:
    """The same of several roots found together; ``slopes`` : of each miss (row) by each root.

    None where the rows say the same.

    >>> uncertain_roots([2.0, 3.0], [0.0, 0.0], [[1.0, 0.0], [1.0, 1.0]])
    [2.0, 3.0]
    """
    moved = linear(slopes, [miss - nominal(miss) for miss in misses])
    return None if moved is None else [root - off for root, off in zip(roots, moved, strict=True)]


Row = tuple[list[float], N]  # factors of the unknowns, and what their sum is


def linear(factors: Sequence[Sequence[float]], totals: Sequence[N]) -> list[N] | None:
    """The unknowns of as many linear equations; None where these do not fix them.

    >>> linear([[1.0, 1.0], [1.0, -1.0]], [3.0, 1.0])
    [2.0, 1.0]
    """
    sizes = [max((abs(factor) for factor in row), default=0.0) or 1.0 for row in factors]
    rows = [
        ([factor / size for factor in row], total / size)
        for row, total, size in zip(factors, totals, sizes, strict=True)
    ]
    solved = reduced(rows, _UNSOLVED)
    return [total for _, total in solved] if len(solved) == len(rows) else None


def reduced(rows: Sequence[Row[N]], nothing: float) -> list[Row[N]]:
    """Linear equations reduced so that each holds one unknown that no other does (Gauss-Jordan).

    Factors no larger than ``nothing`` are rounding.  What follows from the others is left out.

    >>> reduced([([2.0, 0.0], 4.0), ([1.0, 1.0], 5.0)], 1e-9)
    [([1.0, 0.0], 2.0), ([0.0, 1.0], 3.0)]
    """
    left, solved = list(rows), list[Row[N]]()
    for column in range(len(rows[0][0]) if rows else 0):
        pivot = max(left, key=lambda row: abs(row[0][column]), default=None)
        if pivot is None or abs(pivot[0][column]) <= nothing:
            continue
        by = pivot[0][column]
        whole = [factor / by for factor in pivot[0]], pivot[1] / by
        left = [_less(row, whole, row[0][column]) for row in left if row is not pivot]
        solved = [*(_less(row, whole, row[0][column]) for row in solved), whole]
    return solved


def _less(row: Row[N], other: Row[N], times: float) -> Row[N]:
    return [a - times * b for a, b in zip(row[0], other[0], strict=True)], row[1] - times * other[1]


def least(function: Callable[[float], float], low: float, high: float, *, step: float) -> float:
    """Where a function is least on low … high: a scan, then golden sections about the best of it.

    All in the unit of its argument; ``step`` must be finer than half the width of the narrowest dip.

    >>> round(least(lambda x: (x - 0.3) ** 2, -1.0, 1.0, step=0.1), 6)
    0.3
    """
    count = max(2, round((high - low) / step))
    grid = [low + (high - low) * i / count for i in range(count + 1)]
    best = min(range(count + 1), key=lambda i: function(grid[i]))
    left, right = grid[max(best - 1, 0)], grid[min(best + 1, count)]
    golden = (5**0.5 - 1) / 2
    first, last = right - golden * (right - left), left + golden * (right - left)
    at_first, at_last = function(first), function(last)
    for _ in range(_GOLDEN):  # each keeps one of the two places between
        if at_first < at_last:
            right, last, at_last = last, first, at_first
            first = right - golden * (right - left)
            at_first = function(first)
        else:
            left, first, at_first = first, last, at_last
            last = left + golden * (right - left)
            at_last = function(last)
    return min((grid[best], (left + right) / 2), key=function)


@lru_cache(maxsize=16)
def gauss_legendre(order: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on −1 … 1, exact for polynomials up to degree 2 × order − 1.

    The nodes are the roots of the Legendre polynomial, found by Newton's steps from the usual cosine.
    Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 25.4.29 (from memory; checked against
    NumPy).

    >>> round(sum(w * x**4 for x, w in gauss_legendre(3)), 12)
    0.4
    """
    upper = []
    for i in range(order // 2):  # the others are the same below nothing
        x = newton(lambda x: math.prod(_legendre(order, x)), math.cos(math.pi * (i + 0.75) / (order + 0.5)))
        upper.append((x, _weight(order, x)))
    middle = [(0.0, _weight(order, 0.0))] if order % 2 else []
    return (*((-x, weight) for x, weight in upper), *middle, *reversed(upper))


def _weight(order: int, node: float) -> float:
    return 2 * _legendre(order, node)[1] ** 2 / (1 - node * node)


def _legendre(order: int, x: float) -> tuple[float, float]:
    """The Legendre polynomial of an order, and one over its slope, by the three-term recurrence."""
    before, value = 1.0, x
    for n in range(2, order + 1):
        before, value = value, ((2 * n - 1) * x * value - (n - 1) * before) / n
    return value, (x * x - 1) / (order * (x * value - before))


@lru_cache(maxsize=16)
def nodes(low: float, high: float, order: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on low … high, both in the unit of the ends; as :func:`gauss_legendre`."""
    middle, half = (low + high) / 2, (high - low) / 2
    return tuple((middle + half * x, half * w) for x, w in gauss_legendre(order))


@record(kw_only=False)
class Curve(Generic[N]):
    """A smooth curve through points that rises where they rise and falls where they fall, and never overshoots.

    Piecewise cubic Hermite interpolation with the slopes of Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5, 1984,
    300; three-point slopes at the ends as in Moler, Numerical Computing with MATLAB, 2004, sec. 3.6; both from memory,
    checked against SciPy).  Plain arithmetic only, so that uncertain numbers go through it as they are; which way they
    run is told by the plain ones.

    >>> Curve((0.0, 1.0), (0.0, 2.0)).value(0.25)
    0.5
    """

    x: tuple[N, ...]  # the places, rising strictly, two or more
    y: tuple[N, ...]  # the curve there

    @cached_property
    def slopes(self) -> tuple[N, ...]:
        """Slope at each point.

        >>> Curve((0.0, 1.0, 3.0), (0.0, 2.0, 6.0)).slopes
        (2.0, 2.0, 2.0)
        """
        wide = [b - a for a, b in pairwise(self.x)]
        steep = [(b - a) / h for (a, b), h in zip(pairwise(self.y), wide, strict=True)]
        if len(steep) == 1:
            return steep[0], steep[0]
        inner = (_middle(wide[i : i + 2], steep[i : i + 2]) for i in range(len(steep) - 1))
        return _end(wide[:2], steep[:2]), *inner, _end(wide[:-3:-1], steep[:-3:-1])

    def interval(self, at: float) -> int:
        """Which interval holds a place; the first or last one beyond the ends.

        >>> Curve((0.0, 1.0, 3.0), (0.0, 2.0, 6.0)).interval(1.5)
        1
        """
        return max(0, min(len(self.x) - 2, bisect_right(self._plain, at) - 1))

    @cached_property
    def _plain(self) -> list[float]:
        return [nominal(place) for place in self.x]

    def value(self, at: float) -> N:
        """The curve at a place."""
        i, h, t, u = self._part(at)
        ends = (1 + 2 * t) * u**2 * self.y[i] + t**2 * (3 - 2 * t) * self.y[i + 1]
        return ends + h * t * u * (u * self.slopes[i] - t * self.slopes[i + 1])

    def slope(self, at: float) -> N:
        """Its slope at a place.

        >>> Curve((0.0, 1.0), (0.0, 2.0)).slope(0.25)
        2.0
        """
        i, h, t, u = self._part(at)
        straight = 6 * t * u * (self.y[i + 1] - self.y[i]) / h
        return straight + u * (1 - 3 * t) * self.slopes[i] + t * (3 * t - 2) * self.slopes[i + 1]

    def _part(self, at: float) -> tuple[int, N, N, N]:
        """The interval of a place, its width, and how far the place is from its beginning and its end."""
        i = self.interval(at)
        h = self.x[i + 1] - self.x[i]
        return i, h, (at - self.x[i]) / h, (self.x[i + 1] - at) / h


def _middle(wide: Sequence[N], steep: Sequence[N]) -> N:
    """Weighted harmonic mean of the slopes on either side; nothing where these differ in sign."""
    if nominal(steep[0]) * nominal(steep[1]) <= 0:
        return 0 * steep[0]
    first, last = 2 * wide[1] + wide[0], wide[1] + 2 * wide[0]
    return (first + last) / (first / steep[0] + last / steep[1])


def _end(wide: Sequence[N], steep: Sequence[N]) -> N:
    """Three-point slope at an end, the nearer interval first; never against it, nor so steep that it overshoots."""
    found = ((2 * wide[0] + wide[1]) * steep[0] - wide[0] * steep[1]) / (wide[0] + wide[1])
    slope, near, far = nominal(found), nominal(steep[0]), nominal(steep[1])
    if slope * near <= 0:
        return 0 * found
    return 3 * steep[0] if near * far < 0 and abs(slope) > 3 * abs(near) else found
