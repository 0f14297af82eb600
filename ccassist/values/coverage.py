"""How much every stated interval holds, 95 %, and what gives it: Student's factor, or the middle of many draws.

Fisher's F stands beside Student's t: whether a scatter seen can be the one that was declared.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

from ccassist.values.numerics import bracket, places, root

COVERAGE = 0.95


@lru_cache(maxsize=4096)
def student(dof: float, coverage: float = COVERAGE) -> float:
    """Two-sided Student quantile for whole degrees of freedom (truncated, at least 1).

    Degrees of freedom, share of 1 -> how many standard uncertainties to either side.
    Source: Abramowitz & Stegun, Handbook of Mathematical Functions (1964),
    eq. 26.7.3 and 26.7.4, and 26.7.5 above 200 degrees of freedom (numbers
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

    The incomplete beta function, by the sine of an angle.  Source: Abramowitz
    & Stegun (1964), 26.6.2 and 6.6.1 (from memory; checked against SciPy).
    """
    if ratio <= 0:
        return 1.0
    angle = math.asin(math.sqrt(lower / (lower + upper * ratio)))
    top = math.log(2) + math.lgamma((upper + lower) / 2) - math.lgamma(upper / 2) - math.lgamma(lower / 2)
    half = angle / 2
    return math.fsum(
        half * weight * math.exp(top + (lower - 1) * math.log(math.sin(a)) + (upper - 1) * math.log(math.cos(a)))
        for a, weight in ((half * (x + 1), w) for x, w in places(-1.0, 1.0, 64))
    )


@lru_cache(maxsize=256)
def fisher(upper: int, lower: int, below: float) -> float:
    """The ratio of two variances of alike scatter that stays below it with a chance of ``below`` (Fisher's F).

    Degrees of freedom of the upper and the lower variance, share of 1 -> ratio.
    Source: as :func:`variance_chance`.

    >>> round(fisher(1, 8, 0.99), 2), round(fisher(3, 8, 0.99), 2)
    (11.26, 7.59)
    """

    def beyond(ratio: float) -> float:
        return variance_chance(ratio, upper, lower) - (1 - below)

    return root(beyond, *bracket(beyond, 0.0, 1.0))


def middle_of(draws: Any) -> tuple[float, float]:
    """The ends between which 95 of 100 draws lie, as many beyond the one as beyond the other.

    An array of one dimension, in any unit -> its unit.  Source: JCGM 101:2008, 7.7.
    """
    import numpy as np

    low, high = np.quantile(draws, [(1 - COVERAGE) / 2, (1 + COVERAGE) / 2])
    return float(low), float(high)
