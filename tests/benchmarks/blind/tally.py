"""Jobs through the real pipeline, and how often the stated interval holds the truth."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import ccassist
from ccassist.analysis import compare
from tests.benchmarks.blind.jobs import invent
from tests.benchmarks.blind.population import POPULATIONS
from tests.benchmarks.blind.truth import Truth

_ML, _MM = 1e-6, 1e-3
# Line -> term, unit of the truth in SI, truth of a cylinder, whether two sister cylinders are compared as well.
LINES: dict[str, tuple[str, float, Callable[[Truth, int], float], bool]] = {
    "chamber": ("chamber_volume", _ML, lambda t, n: t.chambers[n], True),
    "crown": ("crown_volume", _ML, lambda t, n: t.crowns[n], True),
    "deck": ("deck_clearance", _MM, lambda t, n: t.decks[n], True),
    "gasket": ("gasket_volume", _ML, lambda t, n: t.gasket(), False),
    "ratio": ("static_ratio", 1.0, lambda t, n: t.ratio(n), True),
}


@dataclass(kw_only=True)
class Line:
    """Sums over the jobs of one line."""

    jobs: int = 0
    unstated: int = 0
    held: int = 0
    doubt: float = 0.0
    error: float = 0.0
    size: float = 0.0
    squares: float = 0.0
    rectangle: float = 0.0

    def add(self, error: float, number: object, doubt: float) -> None:
        """One job, in the unit of the truth."""
        if math.isnan(doubt) or doubt <= 0:
            self.unstated += 1
            return
        self.jobs += 1
        self.held += abs(error) <= doubt
        self.doubt += doubt
        self.error += error
        self.size += abs(error)
        self.squares += error * error
        shares = ccassist.budget(number)
        self.rectangle += max((one.share for one in shares if one.cause.shape == "rectangular"), default=0.0)

    def join(self, other: Line) -> None:
        """The same line of other jobs."""
        for name in vars(self):
            setattr(self, name, getattr(self, name) + getattr(other, name))


@dataclass(kw_only=True)
class Tally:
    """All lines of one method, and what the tool remarked."""

    lines: dict[str, Line] = field(default_factory=dict)
    said: Counter[str] = field(default_factory=Counter)

    def line(self, name: str) -> Line:
        """The line of that name."""
        return self.lines.setdefault(name, Line())

    def join(self, other: Tally) -> None:
        """The same method, other jobs."""
        for name, line in other.lines.items():
            self.line(name).join(line)
        self.said.update(other.said)


def run(work: tuple[str, str, range]) -> Tally:
    """Some jobs of one method and one crowd."""
    method, crowd, numbers = work
    tally = Tally()
    for number in numbers:
        text, truth = invent(method, POPULATIONS[crowd], number)
        loaded = ccassist.parse_job(text)
        survey = ccassist.survey(loaded.job)
        tally.said.update({f"{f.level.name.lower()}: {f.code}" for f in (*loaded.findings, *survey.findings)})
        for name, error, uncertain, doubt in _judged(survey, truth):
            tally.line(name).add(error, uncertain, doubt)
    return tally


def _judged(survey: ccassist.Survey, truth: Truth) -> Iterator[tuple[str, float, object, float]]:
    """Line, error, uncertain number and stated ± of each thing the tool says of a job."""
    first, second = survey.cylinders[:2]
    for name, (key, unit, true, sisters) in LINES.items():
        if key not in first.values:
            yield name, math.nan, None, math.nan
            continue
        number = first.values[key].number
        stated = ccassist.expand(number)
        yield name, stated.value / unit - true(truth, 0), number, stated.expanded / unit
        if not sisters or key not in second.values:
            continue
        difference = compare.between_cylinders(survey, key, 1, 2).difference
        apart = ccassist.expand(difference)
        error = apart.value / unit - (true(truth, 0) - true(truth, 1))
        yield f"{name} 1-2", error, difference, apart.expanded / unit
