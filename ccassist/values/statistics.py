"""Statistics: how much a stated interval holds, and what chance alone does to scatters, ranges and sums of limits.

Plain floats.  Student's t, Fisher's F, the studentized range, the interval of a sum of limits, the pooled scatter of
repeats, the middle of many draws.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import product
from operator import mul
from typing import Any

from ccassist.values.numerics import bracket, newton, nodes, root

COVERAGE = 0.95


def _bell(z: float) -> float:
    """Density of the normal distribution of standard deviation 1."""
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def _below(z: float) -> float:
    """Chance that it stays under z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


@lru_cache(maxsize=4096)
def student(dof: float, coverage: float = COVERAGE) -> float:
    """Two-sided Student quantile for whole degrees of freedom (truncated, at least 1).

    Degrees of freedom, share of 1 -> how many standard uncertainties to either side. Source: Abramowitz & Stegun,
    Handbook of Mathematical Functions (1964), eq. 26.7.3 and 26.7.4, and 26.7.5 above 200 degrees of freedom (numbers
    from memory; checked against SciPy).

    >>> round(student(16), 4)
    2.1199
    """
    from statistics import NormalDist

    z = NormalDist().inv_cdf(0.5 + coverage / 2)
    if math.isinf(dof):
        return z
    nu = max(1, math.floor(dof + 1e-9))
    if nu > 200:
        return z + (
            (z**3 + z) / 4 / nu
            + (5 * z**5 + 16 * z**3 + 3 * z) / 96 / nu**2
            + (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384 / nu**3
            + (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160 / nu**4
        )
    angle = root(lambda angle: _student_within(angle, nu) - coverage, 0.0, math.pi / 2)
    return math.sqrt(nu) * math.tan(angle)


def _student_within(angle: float, nu: int) -> float:
    """Share of Student's distribution within ± √ν tan(angle)."""
    cosine = math.cos(angle)
    odd = nu % 2
    term, total = (cosine, 0.0) if odd else (1.0, 0.0)
    for step in range(1 + odd, nu, 2):
        total += term
        term *= cosine**2 * step / (step + 1)
    inside = math.sin(angle) * total
    return 2 / math.pi * (angle + inside) if odd else inside


def variance_chance(ratio: float, upper: int, lower: int) -> float:
    """Chance that a ratio of two variances of alike scatter is larger (upper tail of Fisher's F).

    The incomplete beta function, by the sine of an angle.  Source: Abramowitz & Stegun (1964), 26.6.2 and 6.6.1 (from
    memory; checked against SciPy).
    """
    if ratio <= 0:
        return 1.0
    angle = math.asin(math.sqrt(lower / (lower + upper * ratio)))
    top = math.log(2) + math.lgamma((upper + lower) / 2) - math.lgamma(upper / 2) - math.lgamma(lower / 2)
    half = angle / 2
    return math.fsum(
        half * weight * math.exp(top + (lower - 1) * math.log(math.sin(a)) + (upper - 1) * math.log(math.cos(a)))
        for a, weight in ((half * (x + 1), w) for x, w in nodes(-1.0, 1.0, 64))
    )


@lru_cache(maxsize=256)
def fisher(upper: int, lower: int, below: float) -> float:
    """The ratio of two variances of alike scatter that stays below it with a chance of ``below`` (Fisher's F).

    Degrees of freedom of the upper and the lower variance, share of 1 -> ratio. Source: as :func:`variance_chance`.

    >>> round(fisher(1, 8, 0.99), 2), round(fisher(3, 8, 0.99), 2)
    (11.26, 7.59)
    """

    def beyond(ratio: float) -> float:
        return variance_chance(ratio, upper, lower) - (1 - below)

    return root(beyond, *bracket(beyond, 0.0, 1.0))


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean, summed exactly."""
    return math.fsum(values) / len(values)


def pooled(groups: Iterable[Sequence[float]]) -> tuple[float, int]:
    """Pooled standard deviation and its degrees of freedom.

    √(Σ(n−1)s² ÷ Σ(n−1)) over groups whose means may differ.  Source: JCGM 100:2008, H.3.6 note and H.5.

    >>> s, dof = pooled([[1.0, 1.2], [5.0, 5.2]]); (round(s, 6), dof)
    (0.141421, 2)
    """
    return pooled_squares(squares(group) for group in groups)


def squares(values: Sequence[float]) -> tuple[float, int]:
    """Sum of the squares about the mean, and its degrees of freedom; of a single value, or of none, nothing."""
    if len(values) < 2:
        return 0.0, 0
    centre = mean(values)
    return math.fsum([(v - centre) ** 2 for v in values]), len(values) - 1


def pooled_squares(groups: Iterable[tuple[float, int]]) -> tuple[float, int]:
    """As :func:`pooled`, of what :func:`squares` makes of each group."""
    total, dof = 0.0, 0
    for part, freedom in groups:
        total, dof = total + part, dof + freedom
    return (math.sqrt(total / dof) if dof else math.nan), dof


def middle_of(draws: Any) -> tuple[float, float]:
    """The ends between which 95 of 100 draws lie, as many beyond the one as beyond the other.

    An array of one dimension, in any unit -> its unit.  Source: JCGM 101:2008, 7.7.
    """
    import numpy as np

    low, high = np.quantile(draws, [(1 - COVERAGE) / 2, (1 + COVERAGE) / 2])
    return float(low), float(high)


# The interval that holds 95 % of a sum of independent effects: some rectangles and a normal, in closed form.
#
# Several limits of like size add up to no normal and to no rectangle: two equal ones make a triangle (factor 1.90),
# four make nearly a normal (1.94, not 1.96), and one that outweighs the rest stays nearly a rectangle (1.65).  A factor
# of 1.96 for all of them charges too much.
#
# The chance that such a sum stays under x is a sum over the corners of the box that the rectangles span, of the
# normal's distribution function integrated as many times as there are rectangles.  Source: JCGM 101:2008, 5 and 9.2
# (propagation of distributions; clause numbers from memory); the integrals are the repeated integrals of the error
# function, Abramowitz & Stegun, Handbook of Mathematical Functions (1964), 7.2.5 (from memory).

RECTANGLES = 4  # rectangles followed one by one; what more there are is so near a normal that it is joined to it
TELLS = 0.01  # of the variance; a lesser rectangle does not tell from a normal
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

    The chance to lie within ± x rises ever more slowly with x, so that steps from a place short of the answer never
    pass it.
    """
    count, sigma = len(edges), max(sigma, SHARP)

    def too_far(x: float) -> float:
        over = 2 * _repeated(x, edges, sigma, count) - 1 - coverage
        return over / (2 * _repeated(x, edges, sigma, count - 1))

    return newton(too_far, 1.0, close=1e-10)


def _repeated(x: float, edges: tuple[float, ...], sigma: float, times: int) -> float:
    """Chance that the sum stays under x, where ``times`` is the number of edges; its density where it is one less."""
    corners = [sign * _integral((x + place) / sigma, times) for sign, place in _corners(edges)]
    return math.fsum(corners) * sigma**times / math.prod([2 * edge for edge in edges])


@lru_cache(maxsize=64)
def _corners(edges: tuple[float, ...]) -> tuple[tuple[int, float], ...]:
    """Of the box that rectangles span: the sign of each corner in the sum, and how far it lies from the middle."""
    every = product((1, -1), repeat=len(edges))
    return tuple((math.prod(signs), math.fsum(map(mul, signs, edges))) for signs in every)


def _integral(z: float, times: int) -> float:
    """The normal's distribution function integrated so many times from minus infinity; its own value for 0."""
    before, value = _bell(z), _below(z)
    for n in range(1, times + 1):
        before, value = value, (z * value + before) / n
    return value


# The studentized range: how far the largest and the smallest of several lie apart by chance alone.
#
# A pair that was picked *because* it lies furthest apart must not be judged by Student's t, which is for a pair named
# beforehand.  The range of k results of standard deviation σ, over an estimate s of σ with ν degrees of freedom, has
# its own distribution:
#
#     P(range ≤ q s) = ∫ f(x; ν) P(range ≤ q x σ) dx,   x = s/σ
#     P(range ≤ w σ) = k ∫ φ(z) [Φ(z) − Φ(z − w)]^(k−1) dz
#
# Source: Harter, Annals of Mathematical Statistics 31 (1960) 1122; Copenhaver & Holland, J. Statist. Comput. Simul. 30
# (1988) 1 (both from memory; checked against SciPy and against printed tables).

WIDEST = 10.0  # σ; a range wider than this has no weight that counts (under 1e-8 for 48 things)
TAIL = 6.5  # σ; how far out a single thing is followed
MANY = 400.0  # degrees of freedom; from there to infinity q is a straight line in 1/ν
LARGEST = 48  # things; beyond it the quadrature is no longer good to 1e-4


@lru_cache(maxsize=64)
def _beyond(things: int) -> tuple[tuple[float, float], ...]:
    """Ranges w [σ], and the chance that the range of so many things is wider, times the weight of the place."""
    inner = [(_below(z), z, weight * _bell(z)) for z, weight in nodes(-TAIL, TAIL, 44)]
    found = []
    for w, weight in nodes(0.0, WIDEST, 160):
        within = math.fsum(density * (below - _below(z - w)) ** (things - 1) for below, z, density in inner)
        found.append((w, weight * max(0.0, 1 - things * within)))
    return tuple(found)


def chance_of(ratio: float, things: int, dof: float = math.inf) -> float:
    """Chance that the range of so many alike things, over their standard deviation, is wider than a ratio.

    ratio : range ÷ standard deviation of one thing.
    things : how many there are, 2 to 48.
    dof : degrees of freedom of the standard deviation; truncated to a whole number, as for Student's t.

    Raises ValueError: fewer than two things, or more than 48.
    """
    if not 2 <= things <= LARGEST:
        raise ValueError(f"a range needs 2 to {LARGEST} things, not {things}")
    if ratio <= 0:
        return 1.0
    nu = max(1.0, float(math.floor(dof + 1e-9))) if math.isfinite(dof) else math.inf
    if nu <= MANY:
        return _doubtful_scatter(ratio, things, nu)
    known = _known_scatter(ratio, things)
    return known + MANY / nu * (_doubtful_scatter(ratio, things, MANY) - known)


def _known_scatter(ratio: float, things: int) -> float:
    """The chance where the standard deviation is known for certain."""
    within = math.fsum(
        weight * _bell(z) * (_below(z) - _below(z - ratio)) ** (things - 1) for z, weight in nodes(-TAIL, TAIL, 44)
    )
    return max(0.0, 1 - things * within)


def _doubtful_scatter(ratio: float, things: int, nu: float) -> float:
    """The chance where the standard deviation has ν degrees of freedom: a χ ÷ √ν, summed over w = ratio × x."""
    top = math.log(2) + nu / 2 * math.log(nu / 2) - math.lgamma(nu / 2)
    return math.fsum(
        weighted / ratio * math.exp(top + (nu - 1) * math.log(w / ratio) - nu / 2 * (w / ratio) ** 2)
        for w, weighted in _beyond(things)
    )


@lru_cache(maxsize=1024)
def studentized_range(things: int, dof: float = math.inf, coverage: float = COVERAGE) -> float:
    """Range ÷ standard deviation that so many alike things stay within, with the coverage asked.

    For two things it is √2 times Student's t.

    Raises ValueError: as :func:`chance_of`.

    >>> round(studentized_range(8), 2), round(studentized_range(3, 10), 2)
    (4.29, 3.88)
    """

    def beyond(ratio: float) -> float:
        return chance_of(ratio, things, dof) - (1 - coverage)

    return root(beyond, *bracket(beyond, 0.0, 4.0))
