"""The studentized range: how far the largest and the smallest of several lie apart by chance alone.

A pair that was picked *because* it lies furthest apart must not be judged by
Student's t, which is for a pair named beforehand.  The range of k results of
standard deviation σ, over an estimate s of σ with ν degrees of freedom, has
its own distribution:

    P(range ≤ q s) = ∫ f(x; ν) P(range ≤ q x σ) dx,   x = s/σ
    P(range ≤ w σ) = k ∫ φ(z) [Φ(z) − Φ(z − w)]^(k−1) dz

Source: Harter, Annals of Mathematical Statistics 31 (1960) 1122; Copenhaver &
Holland, J. Statist. Comput. Simul. 30 (1988) 1 (both from memory; checked
against SciPy and against printed tables).
"""

from __future__ import annotations

import math
from functools import lru_cache

from ccassist.values.coverage import COVERAGE
from ccassist.values.numerics import bracket, places, root

WIDEST = 10.0  # σ; a range wider than this has no weight that counts (under 1e-8 for 48 things)
TAIL = 6.5  # σ; how far out a single thing is followed
MANY = 400.0  # degrees of freedom; from there to infinity q is a straight line in 1/ν
MOST = 48  # things; beyond it the quadrature is no longer good to 1e-4


@lru_cache(maxsize=64)
def _beyond(things: int) -> tuple[tuple[float, float], ...]:
    """Ranges w [σ], and the chance that the range of so many things is wider, times the weight of the place."""
    inner = [
        (_below(z), z, weight * math.exp(-z * z / 2) / math.sqrt(2 * math.pi)) for z, weight in places(-TAIL, TAIL, 44)
    ]
    found = []
    for w, weight in places(0.0, WIDEST, 160):
        within = math.fsum(density * (below - _below(z - w)) ** (things - 1) for below, z, density in inner)
        found.append((w, weight * max(0.0, 1 - things * within)))
    return tuple(found)


def _below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def chance_of(ratio: float, things: int, dof: float = math.inf) -> float:
    """Chance that the range of so many alike things, over their standard deviation, is wider than a ratio.

    Parameters
    ----------
    ratio : range ÷ standard deviation of one thing.
    things : how many there are, 2 to 48.
    dof : degrees of freedom of the standard deviation; truncated to a whole number, as for Student's t.

    Raises
    ------
    ValueError : fewer than two things, or more than 48.
    """
    if not 2 <= things <= MOST:
        raise ValueError(f"a range needs 2 to {MOST} things, not {things}")
    if ratio <= 0:
        return 1.0
    nu = max(1.0, float(math.floor(dof + 1e-9))) if math.isfinite(dof) else math.inf
    if nu <= MANY:
        return _chance(ratio, things, nu)
    return _known_scatter(ratio, things) + MANY / nu * (_chance(ratio, things, MANY) - _known_scatter(ratio, things))


def _known_scatter(ratio: float, things: int) -> float:
    """The chance where the standard deviation is known for certain."""
    within = math.fsum(
        weight * math.exp(-z * z / 2) * (_below(z) - _below(z - ratio)) ** (things - 1)
        for z, weight in places(-TAIL, TAIL, 44)
    )
    return max(0.0, 1 - things * within / math.sqrt(2 * math.pi))


def _chance(ratio: float, things: int, nu: float) -> float:
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

    Raises
    ------
    ValueError : as :func:`chance_of`.

    >>> round(studentized_range(8), 2), round(studentized_range(3, 10), 2)
    (4.29, 3.88)
    """

    def beyond(ratio: float) -> float:
        return chance_of(ratio, things, dof) - (1 - coverage)

    return root(beyond, *bracket(beyond, 0.0, 4.0))
