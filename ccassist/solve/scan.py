"""What the target can reach as the unknown runs over its range, and roots by bracketing.

Only engines that can be are looked at: every term that the unknown moves must
be within its possible range.  Between two neighbouring samples the target is
taken to run one way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby
from math import inf, nan

from ccassist.engine.model import Model
from ccassist.solve.question import Question, dependents
from ccassist.values.numerics import edge
from ccassist.values.numerics import roots as roots_between
from ccassist.vocabulary import Kind, term

_EVEN = _GEOMETRIC = 48
_SMALLEST = 1e-6  # of the largest magnitude of the range
_USUAL, _WIDE = 12, 8  # samples of a figure over the usual range, and over the possible one: each costs much
_SPANS: Mapping[str, tuple[float, float]] = {"static_ratio": (3.0, 40.0), "manifold_pressure": (0.5e5, 7e5)}
"""Where figures are looked for, SI, if not over all that is possible (common practice, no source)."""
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


def scan(question: Question) -> Scan:
    """Sample the target over the range of the unknown; of what is no figure, the edges of what can be included."""
    figure = question.target in question.figures
    points: list[Point] = []
    for sample in _few(question) if figure else _samples(question):
        here = (sample, _target(question, sample))
        if points and not figure and (points[-1][1] is None) != (here[1] is None):
            points.append(_edge(question, points[-1], here))
        points.append(here)
    runs = (dict(run) for blank, run in groupby(points, key=lambda point: point[1] is None) if not blank)
    return Scan(runs=tuple(tuple((x, y) for x, y in run.items() if y is not None) for run in runs))


def roots(question: Question, scanned: Scan) -> list[float]:
    """Every value of the unknown (SI) at which the target is met, by closing in on each bracket."""

    def miss(trial: float) -> float:
        found = question.at(trial)
        return (nan if found is None else found) - question.value

    runs = ([(trial, target - question.value) for trial, target in run] for run in scanned.runs)
    return [root for run in runs for root in roots_between(miss, run)]


def impossible(question: Question, model: Model, values: Mapping[str, float], slack: float = _SLACK) -> str | None:
    """The first term that the unknowns move out of its possible range (or off a whole number), or None."""
    for key in dict.fromkeys(k for one in question.unknowns for k in (one, *dependents(model, one))):
        wanted, number = term(key), values[key]
        room = slack * (wanted.plausible[1] - wanted.plausible[0])
        if not wanted.possible[0] - room <= number <= wanted.possible[1] + room:
            return key
        if slack and wanted.kind is Kind.COUNT and abs(number - round(number)) > slack * number:
            return key
    return None


def _target(question: Question, trial: float) -> float | None:
    place = {question.unknown: trial}
    model = question.model(place)
    values = question.values(place, model) if model else None
    if model is None or values is None or impossible(question, model, values, slack=0.0):
        return None
    return values[question.target]


def _samples(question: Question) -> list[float]:
    """Evenly over the usual range, by equal ratios over the possible one, and the present value."""
    wanted = term(question.unknown)
    low, high = wanted.possible
    largest = max(abs(low), abs(high))
    ratios = [largest * _SMALLEST ** (step / _GEOMETRIC) for step in range(_GEOMETRIC + 1)]
    points = {low, high, 0.0, *_even(*wanted.plausible, _EVEN), *ratios, *(-size for size in ratios)}
    return _within(points, question, (low, high))


def _few(question: Question) -> list[float]:
    """Evenly over the usual range and over all that is looked at, and the present value."""
    low, high = _SPANS.get(question.unknown, term(question.unknown).possible)
    points = {*_even(*term(question.unknown).plausible, _USUAL), *_even(low, high, _WIDE)}
    return _within(points, question, (low, high))


def _even(low: float, high: float, steps: int) -> list[float]:
    return [low + (high - low) * step / steps for step in range(steps + 1)]


def _within(points: set[float], question: Question, limits: tuple[float, float]) -> list[float]:
    now = question.present.get(question.unknown)
    return sorted(p for p in points | (set() if now is None else {now}) if limits[0] <= p <= limits[1])


def _edge(question: Question, left: Point, right: Point) -> Point:
    """The outermost possible point between two samples of which one is possible."""
    inside, outside = (right[0], left[0]) if left[1] is None else (left[0], right[0])
    there = edge(lambda trial: _target(question, trial) is not None, inside, outside)
    return there, _target(question, there)
