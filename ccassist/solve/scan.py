"""What the target can reach as the unknown runs over its range, and where targets are met.

One unknown is bracketed, several are closed in on together by Newton's steps.

Only engines that can be are looked at: every term that the unknown moves must be within its possible range.  Between
two neighbouring samples the target is taken to run one way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from itertools import groupby, product
from math import inf, nan

from ccassist.engine.model import Model
from ccassist.solve.question import Place, Problem, dependents, starts
from ccassist.values.number import nominal
from ccassist.values.numerics import edge, linear
from ccassist.values.numerics import roots as roots_between
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record

_EVEN = _GEOMETRIC = 48
_SMALLEST = 1e-6  # of the largest magnitude of the range
_USUAL, _WIDE = 12, 8  # samples of a figure over the usual range, and over the possible one: each costs much
_SPANS: Mapping[str, tuple[float, float]] = {"static_ratio": (3.0, 40.0), "manifold_pressure": (0.5e5, 7e5)}
"""Where figures are looked for, SI, if not over all that is possible (common practice, no source)."""
_NEAR_NOTHING = 1e-3  # of the usual span: a target below this is judged against it
_SAME = 1e-6  # of the usual span: roots found together that are closer than this are one
_STEP = 1e-6  # of the usual span: how far each unknown is moved to see what it does
_STEPS, _SHORTER = 60, 30
_MET, _CLOSE = 1e-13, 1e-10  # of the targets: met, and met where rounding lets it come no nearer
_SLACK = 1e-9  # rounding allowed at the edge of a range, as a part of the usual span

Point = tuple[float, float | None]  # unknown, target; None where no such engine can be


@record
class TargetRange:
    """The lowest and highest target (SI), and the unknown (SI) at which they are met."""

    low: float
    high: float
    low_at: float
    high_at: float


@record
class Scan:
    """Runs of (unknown, target), SI, the unknown rising; a run ends where engines can no longer be."""

    runs: tuple[tuple[tuple[float, float], ...], ...]

    def reach(self, limits: tuple[float, float] = (-inf, inf)) -> TargetRange | None:
        """The range of the target (SI) with the unknown within limits (SI), or None where no engine can be.

        >>> Scan(runs=(((0.0, 8.0), (1.0, 9.5)),)).reach()
        TargetRange(low=8.0, high=9.5, low_at=0.0, high_at=1.0)
        """
        points = [point for run in self.runs for point in run if limits[0] <= point[0] <= limits[1]]
        if not points:
            return None
        least, most = min(points, key=lambda p: p[1]), max(points, key=lambda p: p[1])
        return TargetRange(low=least[1], high=most[1], low_at=least[0], high_at=most[0])

    def flat(self, room: float) -> bool:
        """Whether the target stays where it is, within room (SI), over all the samples.

        >>> Scan(runs=(((0.0, 8.0), (1.0, 9.5)),)).flat(0.1)
        False
        """
        targets = [target for run in self.runs for _, target in run]
        return len(targets) > 1 and max(targets) - min(targets) <= room


def scan(question: Problem) -> Scan:
    """Sample the target (SI) over the range of the unknown; of what is no figure, the edges of what can be included.

    >>> from ccassist.engine.model import Choices
    >>> wanted = {"swept_volume": 4e-4}
    >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
    >>> reach = scan(question).reach()
    >>> reach.low_at < 0.08 < reach.high_at
    True
    """
    figure = question.target in question.figures
    points: list[Point] = []
    for sample in _few(question) if figure else _samples(question):
        here = (sample, _target(question, sample))
        if points and not figure and (points[-1][1] is None) != (here[1] is None):
            points.append(_edge(question, points[-1], here))
        points.append(here)
    runs = (dict(run) for blank, run in groupby(points, key=lambda point: point[1] is None) if not blank)
    return Scan(runs=tuple(tuple((x, y) for x, y in run.items() if y is not None) for run in runs))


def roots(question: Problem, scanned: Scan) -> list[float]:
    """Every value of the unknown (SI) at which the target is met, by closing in on each bracket.

    >>> from ccassist.engine.model import Choices
    >>> wanted = {"swept_volume": 4e-4}
    >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
    >>> [round(root, 6) for root in roots(question, scan(question))]
    [0.079788]
    """

    def miss(trial: float) -> float:
        found = question.at(trial)
        return (nan if found is None else found) - question.value

    runs = ([(trial, target - question.value) for trial, target in run] for run in scanned.runs)
    return [root for run in runs for root in roots_between(miss, run)]


def impossible(question: Problem, model: Model, values: Mapping[str, float], slack: float = _SLACK) -> str | None:
    """The first term whose value (SI) the unknowns move out of what is possible (or off a whole number), or None.

    >>> from ccassist.engine.model import Choices
    >>> wanted = {"swept_volume": 4e-4}
    >>> question = Problem(known={"stroke": 0.08}, choices=Choices(), unknowns=("bore",), targets=wanted)
    >>> impossible(question, *question.worked({"bore": -0.08}))
    'bore'
    """
    for key, low, high, usual, whole in _limits(model, question.unknowns):
        number, room = values[key], slack * usual
        if not low - room <= number <= high + room:
            return key
        if slack and whole and abs(number - round(number)) > slack * number:
            return key
    return None


@lru_cache(maxsize=1000)
def _limits(model: Model, unknowns: tuple[str, ...]) -> tuple[tuple[str, float, float, float, bool], ...]:
    """What the unknowns move: the term, its possible range, the width of the usual one, and whether it is counted."""
    moved = dict.fromkeys(key for one in unknowns for key in (one, *dependents(model, one)))
    wide = spans(moved)
    return tuple((key, *term(key).possible, wide[key], term(key).kind is Kind.COUNT) for key in moved)


def _target(question: Problem, trial: float) -> float | None:
    place = {question.unknown: trial}
    worked = question.worked(place)
    if worked is None or impossible(question, *worked, slack=0.0):
        return None
    return worked[1][question.target]


def _samples(question: Problem) -> list[float]:
    """Evenly over the usual range, by equal ratios over the possible one, and the present value."""
    wanted = term(question.unknown)
    low, high = wanted.possible
    largest = max(abs(low), abs(high))
    ratios = [largest * _SMALLEST ** (step / _GEOMETRIC) for step in range(_GEOMETRIC + 1)]
    points = {low, high, 0.0, *_even(*wanted.plausible, _EVEN), *ratios, *(-size for size in ratios)}
    return _within(points, question, (low, high))


def _few(question: Problem) -> list[float]:
    """Evenly over the usual range and over all that is looked at, and the present value."""
    low, high = _SPANS.get(question.unknown, term(question.unknown).possible)
    points = {*_even(*term(question.unknown).plausible, _USUAL), *_even(low, high, _WIDE)}
    return _within(points, question, (low, high))


def _even(low: float, high: float, steps: int) -> list[float]:
    return [low + (high - low) * step / steps for step in range(steps + 1)]


def _within(points: set[float], question: Problem, limits: tuple[float, float]) -> list[float]:
    now = question.present.get(question.unknown)
    return sorted(p for p in points | (set() if now is None else {now}) if limits[0] <= p <= limits[1])


def _edge(question: Problem, left: Point, right: Point) -> Point:
    """The outermost possible point between two samples of which one is possible."""
    inside, outside = (right[0], left[0]) if left[1] is None else (left[0], right[0])
    there = edge(lambda trial: _target(question, trial) is not None, inside, outside)
    return there, _target(question, there)


def size_of(key: str, value: float) -> float:
    """What a miss of a target is measured by, SI: the value, or a part of its usual span where that is near nothing.

    >>> size_of("static_ratio", 9.5)
    9.5
    """
    low, high = term(key).plausible
    return max(abs(value), _NEAR_NOTHING * (high - low))


def spans(keys: Iterable[str]) -> dict[str, float]:
    """The width of what is usual of each term, SI.

    >>> round(spans(["static_ratio"])["static_ratio"], 3) > 0
    True
    """
    return {key: term(key).plausible[1] - term(key).plausible[0] for key in keys}


def roots_together(question: Problem) -> list[Place]:
    """Every place (SI) at which all targets are met, closed in on from starts all over the usual ranges.

    >>> from ccassist.engine.model import Choices
    >>> wanted = {"swept_volume": 4e-4, "bore_stroke_ratio": 1.0}
    >>> two = Problem(known={}, choices=Choices(), unknowns=("bore", "stroke"), targets=wanted)
    >>> [{key: round(number, 5) for key, number in place.items()} for place in roots_together(two)]
    [{'bore': 0.07986, 'stroke': 0.07986}]
    """
    scales, found = spans(question.unknowns), list[Place]()
    for start in product(*(starts(key, question.present.get(key)) for key in question.unknowns)):
        place = _zero(_miss(question), dict(zip(question.unknowns, start, strict=True)), scales)
        near = (all(abs(place[k] - old[k]) <= _SAME * scales[k] for k in scales) for old in found if place)
        if place is not None and not any(near):
            found.append(place)
    return found


Miss = Callable[[Place], list[float] | None]


def _miss(question: Problem) -> Miss:
    """What is missing of each target, as a part of it; None where no engine can be."""
    sizes = {key: size_of(key, nominal(value)) for key, value in question.targets.items()}

    def miss(place: Place) -> list[float] | None:
        values = question.values(place)
        return None if values is None else [(values[k] - nominal(v)) / sizes[k] for k, v in question.targets.items()]

    return miss


def _zero(miss: Miss, start: Place, scales: Mapping[str, float]) -> Place | None:
    """Where every miss vanishes, by Newton's steps, shortened where they overshoot; None where they come to no rest.

    miss : what is missing of each target, as a part of it; None where no engine can be.
    start : the unknowns, SI.
    scales : what a small step of each is measured by, SI.
    """
    place, here = start, miss(start)
    for _ in range(_STEPS):
        if here is None:
            return None
        if max(map(abs, here)) <= _MET:
            return place
        close = max(map(abs, here)) <= _CLOSE
        move = _move(miss, place, here, scales)
        nearer = None if move is None else _shortened(miss, place, here, move, tries=1 if close else _SHORTER)
        if nearer is None:
            return place if close else None
        place, here = nearer
    return place if here is not None and max(map(abs, here)) <= _CLOSE else None


def _move(miss: Miss, place: Place, here: list[float], scales: Mapping[str, float]) -> Place | None:
    """Newton's step, by central differences."""
    columns = []
    for key, scale in scales.items():
        after, before = (miss({**place, key: place[key] + way * _STEP * scale}) for way in (1, -1))
        if after is None or before is None:
            return None
        columns.append([(up - down) / (2 * _STEP) for up, down in zip(after, before, strict=True)])
    moved = linear(list(zip(*columns, strict=True)), [-lack for lack in here])
    return None if moved is None else {key: step * scales[key] for key, step in zip(scales, moved, strict=True)}


def _shortened(
    miss: Miss, place: Place, here: list[float], move: Place, *, tries: int
) -> tuple[Place, list[float]] | None:
    """The longest of the step, its half, its quarter ... that comes nearer; None where none does."""
    part = 1.0
    for _ in range(tries):
        there = {key: number + part * move[key] for key, number in place.items()}
        missing = miss(there)
        if missing is not None and max(map(abs, missing)) < max(map(abs, here)):
            return there, missing
        part /= 2
    return None
