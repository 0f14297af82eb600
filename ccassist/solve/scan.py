"""What the target can reach as the unknown runs over its range, and roots by bracketing.

Only engines that can be are looked at: every term that the unknown moves must
be within its possible range.  Between two neighbouring samples the target is
taken to run one way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import inf, nan
from typing import Any

from ccassist.engine.mathematics import uncertain
from ccassist.engine.model import Model
from ccassist.solve.question import Question, dependents
from ccassist.vocabulary import Kind, term

_EVEN = _GEOMETRIC = 48
_SMALLEST = 1e-6  # of the largest magnitude of the range
_HALVINGS = 60
_SLACK = 1e-9  # rounding allowed at the edge of a range, as a part of the usual span

Point = tuple[float, float | None]  # unknown, target; None where no such engine can be


@dataclass(frozen=True, kw_only=True)
class Reach:
    """The lowest and highest target (SI), and the unknown (SI) at which they are met."""

    low: float
    high: float
    low_at: float
    high_at: float


@dataclass(frozen=True, kw_only=True)
class Scan:
    """Runs of (unknown, target), SI, the unknown rising; a run ends where engines can no longer be."""

    runs: tuple[tuple[tuple[float, float], ...], ...]

    def reach(self, limits: tuple[float, float] = (-inf, inf)) -> Reach | None:
        """The range of the target with the unknown within limits, or None where no engine can be."""
        points = [point for run in self.runs for point in run if limits[0] <= point[0] <= limits[1]]
        if not points:
            return None
        least, most = min(points, key=lambda p: p[1]), max(points, key=lambda p: p[1])
        return Reach(low=least[1], high=most[1], low_at=least[0], high_at=most[0])

    def flat(self, room: float) -> bool:
        """Whether the target stays where it is, within room, over all the samples."""
        targets = [target for run in self.runs for _, target in run]
        return len(targets) > 1 and max(targets) - min(targets) <= room

    def brackets(self, value: float) -> Iterator[tuple[float, float]]:
        """Pairs of neighbouring samples between which the target meets the value."""
        for run in self.runs:
            if run[0][1] == value:
                yield run[0][0], run[0][0]
            for (left, before), (right, after) in pairwise(run):
                if before != value and (before - value) * (after - value) <= 0:
                    yield left, right


def scan(question: Question) -> Scan:
    """Sample the target over the possible range of the unknown, the edges of what can be included."""
    points: list[Point] = []
    for sample in _samples(question):
        here = (sample, _target(question, sample))
        if points and (points[-1][1] is None) != (here[1] is None):
            points.append(_edge(question, points[-1], here))
        points.append(here)
    runs = (dict(run) for blank, run in groupby(points, key=lambda point: point[1] is None) if not blank)
    return Scan(runs=tuple(tuple((x, y) for x, y in run.items() if y is not None) for run in runs))


def roots(question: Question, value: float, scanned: Scan) -> list[float]:
    """Every value of the unknown (SI) at which the target is met, by closing in on each bracket."""
    return [_close_in(question, value, left, right) for left, right in scanned.brackets(value)]


def impossible(question: Question, model: Model, values: Mapping[str, float], slack: float = _SLACK) -> str | None:
    """The first term that the unknown moves out of its possible range (or off a whole number), or None."""
    for key in (question.unknown, *dependents(model, question.unknown)):
        wanted, number = term(key), values[key]
        room = slack * (wanted.plausible[1] - wanted.plausible[0])
        if not wanted.possible[0] - room <= number <= wanted.possible[1] + room:
            return key
        if slack and wanted.kind is Kind.COUNT and abs(number - round(number)) > slack * number:
            return key
    return None


def _target(question: Question, trial: float) -> float | None:
    model = question.model(trial)
    values = question.values(trial, model) if model else None
    if model is None or values is None or impossible(question, model, values, slack=0.0):
        return None
    return values.get(question.target)


def _samples(question: Question) -> list[float]:
    """Evenly over the usual range, by equal ratios over the possible one, and the present value."""
    wanted = term(question.unknown)
    low, high = wanted.possible
    first, last = wanted.plausible
    even = [first + (last - first) * step / _EVEN for step in range(_EVEN + 1)]
    largest = max(abs(low), abs(high))
    ratios = [largest * _SMALLEST ** (step / _GEOMETRIC) for step in range(_GEOMETRIC + 1)]
    present = [] if question.present is None else [question.present]
    points = {low, high, 0.0, *even, *present, *ratios, *(-size for size in ratios)}
    return sorted(point for point in points if low <= point <= high)


def _edge(question: Question, left: Point, right: Point) -> Point:
    """The outermost possible point between two samples of which one is possible."""
    inside, outside = (right, left[0]) if left[1] is None else (left, right[0])
    for _ in range(_HALVINGS):
        middle = (inside[0] + outside) / 2
        target = _target(question, middle)
        inside, outside = (inside, middle) if target is None else ((middle, target), outside)
    return inside


def _close_in(question: Question, value: float, left: float, right: float) -> float:
    """The root between two samples; the bracket is taken as 0 to 1 so that small volumes lose no digits."""
    import mpmath

    def miss(part: Any) -> float:
        found = question.at(left + float(part) * (right - left))
        return (nan if found is None else found) - value

    for end, at in ((0.0, left), (1.0, right)):
        if miss(end) == 0:
            return at
    part = mpmath.findroot(miss, (0, 1), solver="anderson", tol=1e-30, maxsteps=_HALVINGS, verify=False)
    return left + float(part) * (right - left)


# How much a target moves with each of the inputs it is made of.


def slopes(model: Model, plain: Mapping[str, float], target: str) -> dict[str, float]:
    """The target's change per unit of each input term, all SI, other inputs kept.

    Parameters
    ----------
    model : the relations of the cylinder.
    plain : term key -> SI float.
    target : term key.

    Exact derivatives, carried through the relations themselves by the
    uncertain-number library (the sensitivity coefficients of JCGM 100:2008,
    5.1.3).  An input with several paths, such as the bore, counts them all.
    """
    from uncertainties import Variable

    inputs = {key: Variable(plain[key], 1.0) for key in model.inputs_of(target) if key in plain}
    result = model.evaluate({**plain, **inputs}, uncertain())[target]
    derivatives = result.derivatives
    return {key: float(derivatives.get(variable, 0.0)) for key, variable in inputs.items()}
