"""The least-squares straight line, stated about its middle, and whether a set of points bends away from it.

About the middle of the points height and slope are uncorrelated, so that each is one independent component of
uncertainty.  Plain floats.  Source: JCGM 100:2008, H.3; NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1 (from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import Any

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.repeats import Declared, Source
from ccassist.values.measured import known
from ccassist.values.number import Number, nominal
from ccassist.values.statistics import COVERAGE, mean, student
from ccassist.values.uncertainty import expand
from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record

_ROUNDING = 1e-12  # of the heights: residuals below it are arithmetic, not scatter


@record
class StraightLine:
    """y = height + slope (x − middle).

    middle, height, slope : the line, in the units of the points.
    """

    middle: float
    height: float
    slope: float
    weights: tuple[float, ...]  # what each y weighs in the slope, Σ weight × y; in the height each weighs 1/n
    spread: float  # Σ (x − middle)²
    scatter: float  # standard deviation of one point about the line; NaN with two points

    @property
    def dof(self) -> int:
        """Degrees of freedom of the scatter: points less two."""
        return len(self.weights) - 2

    @property
    def height_uncertainty(self) -> float:
        """Standard uncertainty of the height, s/√n, in the unit of y."""
        return self.scatter / math.sqrt(len(self.weights))

    @property
    def slope_uncertainty(self) -> float:
        """Standard uncertainty of the slope, s/√Σ(x − middle)², in the unit of y for one of x."""
        return self.scatter / math.sqrt(self.spread)

    def at(self, x: float) -> float:
        """The line's y at x, in the units of the points."""
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


@record
class Bend:
    """The square term that points ask for beyond their straight line.

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
    """Student's test of a square term, in the units of the points; None with under four points or three places.

    The square of (x − middle) is freed of its straight part first, so that its coefficient is found alone.
    Source: Draper & Smith, Applied Regression Analysis, extra sum of squares for one term (from memory; checked against
    NumPy's polynomial fit).
    """
    if len(x) < 4 or len(set(x)) < 3:
        return None
    coefficient, size, squares = _square_term(x, y)
    dof = len(x) - 3
    least = _ROUNDING * max(abs(b) for b in y)
    standard = max(math.sqrt(squares / dof), least) / math.sqrt(size)
    sag = coefficient * ((max(x) - min(x)) / 2) ** 2
    t = coefficient / standard if standard > 0 else 0.0
    return Bend(sag=sag, t=t, limit=student(dof, COVERAGE))


def left_by_bend(x: Sequence[float], y: Sequence[float]) -> float:
    """Standard deviation of one point about a line with a square term, in the unit of y; from four points on."""
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


@record
class Calibration:
    """One instrument's scale as calibrated.

    instrument : its name in the job; cells : the readings it was made from.
    steps : what was delivered, step by step, set aside ones left out.
    line, bend : the straight line of true volume over what the scale says [m³], and its bend if that can be told.
    height, slope : true volume at the middle [m³], and per amount the scale says; with everything in doubt.
    scatter : standard deviation of one delivery [m³].
    rises : whether the scale was read upwards; None where both ways.
    made, due : day of it and day until which it is good, None where not known.
    """

    instrument: str
    cells: tuple[Cell, ...]
    steps: tuple[Calibrated, ...]
    line: StraightLine
    bend: Bend | None
    height: Number
    slope: Number
    scatter: float
    rises: bool | None
    made: date | None
    due: date | None

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI: its steps, the line about their middle, and the range for which it holds."""
        height, slope = expand(self.height), expand(self.slope)
        return {
            "instrument": self.instrument,
            "date": str(self.made) if self.made else None,
            "due": str(self.due) if self.due else None,
            "steps": [
                {
                    "says": step.says,
                    "true": step.volume,
                    "error": step.volume - step.says,
                    "off_the_line": off,
                    "line": step.reading.line,
                }
                for step, off in zip(self.steps, self.residuals, strict=True)
            ],
            "unit": Kind.VOLUME.si,
            "middle": self.line.middle,
            "height": height.value,
            "height_expanded_uncertainty": known(height.expanded),
            "slope": slope.value,
            "slope_expanded_uncertainty": known(slope.expanded),
            "scatter": self.scatter,
            "degrees_of_freedom": self.line.dof,
            "bend_shown": None if self.bend is None else self.bend.shown,
            "range": [self.low, self.high],
            "read_upwards": self.rises,
        }

    @property
    def low(self) -> float:
        """The smallest step, m³; below it nothing is known."""
        return min(step.says for step in self.steps)

    @property
    def high(self) -> float:
        """The largest step, m³; above it nothing is known."""
        return max(step.says for step in self.steps)

    @property
    def residuals(self) -> tuple[float, ...]:
        """How far each step lies off the line, m³."""
        return tuple(step.volume - self.line.at(step.says) for step in self.steps)

    def true(self, says: float, deliveries: float = 1.0) -> Number:
        """True volume at 20 °C of what the scale says in all, m³, in so many deliveries (a mean may hold a part)."""
        return deliveries * self.height + self.slope * (says - deliveries * self.line.middle)

    def repeatability(self, deliveries: float = 1.0) -> Declared:
        """Scatter of one fill [m³] made of so many deliveries: what was left about the line."""
        return Declared(
            standard=self.scatter * math.sqrt(deliveries),
            words=f"the scatter of {self.instrument} when it was calibrated",
            dof=float(self.line.dof),
            source=Source.CALIBRATION,
            pool=pool_of(self.instrument),
        )


def pool_of(instrument: str) -> str:
    """The name under which everything that rests on one residual scatter is joined."""
    return f"calibration of {instrument}"


@record
class Calibrated:
    """One step.

    reading : the row; says : amount by the scale, m³.
    """

    reading: Reading
    says: float
    true: Number  # true volume delivered, as the scale has it at 20 °C, m³, with what all steps share in doubt
    rises: bool  # whether the scale was read upwards

    @property
    def volume(self) -> float:
        """The true volume, plain, m³."""
        return nominal(self.true)


def says(row: Reading) -> float:
    """The amount that a row's scale readings say, m³, signed: up the scale is positive."""
    return row.one("to") - (row.one("from") if "from" in row.fields else 0.0)
