"""The least-squares straight line, stated about its middle, and whether a set of points bends away from it.

About the middle of the points height and slope are uncorrelated, so that each
is one independent cause of doubt.  Plain floats.  Source: JCGM 100:2008, H.3;
NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ccassist.bench.repeats import mean
from ccassist.values.coverage import COVERAGE, student

_ROUNDING = 1e-12  # of the heights: residuals below it are arithmetic, not scatter


@dataclass(frozen=True, kw_only=True)
class StraightLine:
    """y = height + slope (x − middle).

    Attributes
    ----------
    middle, height, slope : the line, in the units of the points.
    weights : what each y weighs in the slope, Σ weight × y; in the height each weighs 1/n.
    spread : Σ (x − middle)².
    scatter : standard deviation of one point about the line; NaN with two points.
    """

    middle: float
    height: float
    slope: float
    weights: tuple[float, ...]
    spread: float
    scatter: float

    @property
    def dof(self) -> int:
        """Degrees of freedom of the scatter: points less two."""
        return len(self.weights) - 2

    @property
    def height_doubt(self) -> float:
        """Standard uncertainty of the height, s/√n."""
        return self.scatter / math.sqrt(len(self.weights))

    @property
    def slope_doubt(self) -> float:
        """Standard uncertainty of the slope, s/√Σ(x − middle)²."""
        return self.scatter / math.sqrt(self.spread)

    def at(self, x: float) -> float:
        """The line's y at x."""
        return self.height + self.slope * (x - self.middle)


def fit(x: Sequence[float], y: Sequence[float]) -> StraightLine:
    """The least-squares line through points, all of equal weight and x without error.

    Raises ValueError unless there are two points or more, not all at one x.

    >>> line = fit([30, 60, 120], [52.9, 53.2, 53.8]); round(line.slope, 4), round(line.at(0), 4)
    (0.01, 52.6)
    """
    if len(set(x)) < 2:
        raise ValueError("a line needs points at two places at least")
    middle, height = mean(x), mean(y)
    spread = math.fsum((a - middle) ** 2 for a in x)
    weights = tuple((a - middle) / spread for a in x)
    slope = math.fsum(w * (b - height) for w, b in zip(weights, y, strict=True))
    squares = math.fsum((b - height - slope * (a - middle)) ** 2 for a, b in zip(x, y, strict=True))
    scatter = math.sqrt(squares / (len(x) - 2)) if len(x) > 2 else math.nan
    return StraightLine(middle=middle, height=height, slope=slope, weights=weights, spread=spread, scatter=scatter)


@dataclass(frozen=True, kw_only=True)
class Bend:
    """The square term that points ask for beyond their straight line.

    Attributes
    ----------
    sag : how far the curve bows from the line between the ends, y at its largest; signed.
    t, limit : its size in standard uncertainties, and what chance alone stays under at 95 %.
    """

    sag: float
    t: float
    limit: float

    @property
    def shown(self) -> bool:
        """Whether the points show a bend at all."""
        return abs(self.t) > self.limit


def bend(x: Sequence[float], y: Sequence[float]) -> Bend | None:
    """Student's test of a square term; None with fewer than four points, or at fewer than three places.

    The square of (x − middle) is freed of its straight part first, so that its
    coefficient is found alone.  Source: Draper & Smith, Applied Regression
    Analysis, extra sum of squares for one term (from memory; checked against
    NumPy's polynomial fit).
    """
    if len(x) < 4 or len(set(x)) < 3:
        return None
    coefficient, size, squares = _square_term(x, y)
    dof = len(x) - 3
    least = _ROUNDING * max(abs(b) for b in y)
    doubt = max(math.sqrt(squares / dof), least) / math.sqrt(size)
    sag = coefficient * ((max(x) - min(x)) / 2) ** 2
    t = coefficient / doubt if doubt > 0 else 0.0
    return Bend(sag=sag, t=t, limit=student(dof, COVERAGE))


def left_by_bend(x: Sequence[float], y: Sequence[float]) -> float:
    """Standard deviation of one point about a line with a square term; at four points and three places or more."""
    return math.sqrt(_square_term(x, y)[2] / (len(x) - 3))


def _square_term(x: Sequence[float], y: Sequence[float]) -> tuple[float, float, float]:
    """The coefficient of the square term, what it weighs, and the sum of squares that it leaves."""
    line = fit(x, y)
    square = [(a - line.middle) ** 2 for a in x]
    own = fit(x, square)
    free = [q - own.at(a) for a, q in zip(x, square, strict=True)]
    left = [b - line.at(a) for a, b in zip(x, y, strict=True)]
    size = math.fsum(q * q for q in free)
    coefficient = math.fsum(q * r for q, r in zip(free, left, strict=True)) / size
    return coefficient, size, math.fsum((r - coefficient * q) ** 2 for q, r in zip(free, left, strict=True))
