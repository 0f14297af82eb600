"""What the target can reach as the unknown runs over its range, and roots by bracketing.

Only engines that can be are looked at: every term that the unknown moves must
be within its possible range.  Between two neighbouring samples the target is
taken to run one way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ccassist.solve.question import Question, dependents
from ccassist.terms import Kind, term

_EVEN, _GEOMETRIC = 48, 48
_SMALLEST = 1e-6  # of the largest magnitude of the range
_HALVINGS = 60
SLACK = 1e-9  # rounding allowed at the edge of a range, as a part of the usual span

Run = list[tuple[float, float]]  # (unknown, target), unknown rising, all possible


@dataclass(frozen=True, kw_only=True)
class Reach:
    """The lowest and highest target (SI), and the unknown (SI) at which they are met."""

    low: float
    high: float
    low_at: float
    high_at: float


@dataclass(frozen=True, kw_only=True)
class Scan:
    """The target over the range of the unknown, in unbroken runs."""

    runs: tuple[Run, ...]

    def reach(self, limits: tuple[float, float] | None = None) -> Reach | None:
        """The range of the target, with the unknown within limits where they are given."""
        low, high = limits or (-float("inf"), float("inf"))
        points = [point for run in self.runs for point in run if low <= point[0] <= high]
        if not points:
            return None
        least, most = min(points, key=lambda p: p[1]), max(points, key=lambda p: p[1])
        return Reach(low=least[1], high=most[1], low_at=least[0], high_at=most[0])

    def brackets(self, value: float) -> Iterator[tuple[float, float]]:
        """Pairs of neighbouring samples between which the target passes the value."""
        for run in self.runs:
            for (left, before), (right, after) in zip(run, run[1:], strict=False):
                if before != value and (before - value) * (after - value) <= 0:
                    yield left, right
            if run and run[0][1] == value:
                yield run[0][0], run[0][0]


def scan(question: Question) -> Scan:
    """Sample the target over the possible range of the unknown, edges of what is possible included."""
    runs: list[Run] = []
    previous: float | None = None
    inside = False
    for sample in _samples(question):
        value = possible_target(question, sample)
        if (value is not None) != inside and previous is not None:
            edge = _edge(question, previous, sample, inside)
            runs = [*runs[:-1], [*runs[-1], edge]] if inside else [*runs, [edge]]
        elif value is not None and previous is None:
            runs.append([])
        if value is not None:
            runs[-1].append((sample, value))
        previous, inside = sample, value is not None
    return Scan(runs=tuple(_rising(run) for run in runs))


def roots(question: Question, value: float, scanned: Scan) -> list[float]:
    """Every value of the unknown (SI) at which the target is met, by closing in on each bracket."""
    found = [_close_in(question, value, left, right) for left, right in scanned.brackets(value)]
    return sorted(set(found))


def impossible(question: Question, trial: float, values: Mapping[str, float]) -> str | None:
    """The first term that a trial value would force out of its possible range, or None."""
    model = question.model(trial)
    moved = (question.unknown, *(dependents(model, question.unknown) if model else ()))
    for key in moved:
        wanted, number = term(key), values[key]
        slack = SLACK * (wanted.plausible[1] - wanted.plausible[0])
        if not wanted.possible[0] - slack <= number <= wanted.possible[1] + slack:
            return key
        if wanted.kind is Kind.COUNT and key == question.unknown and abs(number - round(number)) > SLACK * number:
            return key
    return None


def possible_target(question: Question, trial: float) -> float | None:
    """The target at a trial value, or None where such an engine cannot be."""
    model = question.model(trial)
    values = question.values(trial, model) if model else None
    if model is None or values is None or question.target not in values:
        return None
    for key in (question.unknown, *dependents(model, question.unknown)):
        low, high = term(key).possible
        if not low <= values[key] <= high:
            return None
    return values[question.target]


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


def _edge(question: Question, left: float, right: float, left_inside: bool) -> tuple[float, float]:
    """The outermost possible point between two samples of which one is possible."""
    inside, outside = (left, right) if left_inside else (right, left)
    for _ in range(_HALVINGS):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if possible_target(question, middle) is not None else (inside, middle)
    target = possible_target(question, inside)
    assert target is not None  # one of the two was possible
    return inside, target


def _rising(run: Run) -> Run:
    """Without the samples met twice at an edge."""
    return [point for point, before in zip(run, [None, *run[:-1]], strict=True) if before is None or point[0] > before[0]]


def _close_in(question: Question, value: float, left: float, right: float) -> float:
    """The root between two samples; the bracket is taken as 0 to 1 so that small volumes lose no digits."""
    if left == right:
        return left
    import mpmath

    def miss(part: Any) -> float:
        found = question.at(left + float(part) * (right - left))
        return (found if found is not None else float("nan")) - value

    if miss(1.0) == 0:
        return right
    part = mpmath.findroot(miss, (0, 1), solver="anderson", tol=1e-30, maxsteps=_HALVINGS, verify=False)
    return left + float(part) * (right - left)


Target = Callable[[float], float | None]
