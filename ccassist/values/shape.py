"""The interval that holds 95 % of a sum of independent effects: some rectangles and a normal, in closed form.

Several limits of like size add up to no normal and to no rectangle: two equal
ones make a triangle (factor 1.90), four make nearly a normal (1.94, not 1.96),
and one that outweighs the rest stays nearly a rectangle (1.65).  A factor of
1.96 for all of them charges too much.

The chance that such a sum stays under x is a sum over the corners of the box
that the rectangles span, of the normal's distribution function integrated as
many times as there are rectangles.  Source: JCGM 101:2008, 5 and 9.2
(propagation of distributions; clause numbers from memory); the integrals are
the repeated integrals of the error function, Abramowitz & Stegun, Handbook of
Mathematical Functions (1964), 7.2.5 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import product

from ccassist.values.numerics import newton

MOST = 4  # rectangles followed one by one; what more there are is so near a normal that it is joined to it
LEAST = 0.01  # of the variance; a lesser rectangle does not tell from a normal
SHARP = 1e-3  # of the whole; a normal narrower than that only keeps the arithmetic tame (1e-6 of the result)


def interval(edges: Sequence[float], sigma: float, coverage: float) -> float:
    """Half-width that holds a share of rectangles (half-widths ``edges``) joined with a normal (``sigma``).

    Any one unit; at least one edge.

    >>> round(interval([math.sqrt(3)], 0.0, 0.95), 3), round(interval([math.sqrt(1.5)] * 2, 0.0, 0.95), 2)
    (1.645, 1.9)
    """
    whole = math.sqrt(sigma**2 + math.fsum(edge**2 for edge in edges) / 3)
    return whole * _factor(tuple(sorted(round(edge / whole, 9) for edge in edges)), round(sigma / whole, 9), coverage)


@lru_cache(maxsize=4096)
def _factor(edges: tuple[float, ...], sigma: float, coverage: float) -> float:
    """The same for a sum of standard deviation 1, by Newton's steps.

    The chance to lie within ± x rises ever more slowly with x, so that steps
    from a place short of the answer never pass it.
    """
    count, sigma = len(edges), max(sigma, SHARP)

    def too_far(x: float) -> float:
        over = 2 * _repeated(x, edges, sigma, count) - 1 - coverage
        return over / (2 * _repeated(x, edges, sigma, count - 1))

    return newton(too_far, 1.0, close=1e-10)


def _repeated(x: float, edges: tuple[float, ...], sigma: float, times: int) -> float:
    """Chance that the sum stays under x, where ``times`` is the number of edges; its density where it is one less."""
    corners = []
    for signs in product((1, -1), repeat=len(edges)):
        place = x + math.fsum(sign * edge for sign, edge in zip(signs, edges, strict=True))
        corners.append(math.prod(signs) * _integral(place / sigma, times))
    return math.fsum(corners) * sigma**times / math.prod(2 * edge for edge in edges)


def _integral(z: float, times: int) -> float:
    """The normal's distribution function integrated so many times from minus infinity; its own value for 0."""
    before, value = math.exp(-z * z / 2) / math.sqrt(2 * math.pi), 0.5 * math.erfc(-z / math.sqrt(2))
    for n in range(1, times + 1):
        before, value = value, (z * value + before) / n
    return value
