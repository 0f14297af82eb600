"""Uncertain numbers: their causes of doubt, their budget, and the ± stated of them.

Uncertain numbers are those of the ``uncertainties`` library: first-order propagation with correlations kept, because
every cause of doubt is one object made once.  Each cause carries its name and its degrees of freedom, so that any
result can say what made its ± (JCGM 100:2008, 5.1, 5.2, G.4).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import KW_ONLY
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from ccassist.values.number import Number, is_uncertain, nominal, standard
from ccassist.values.statistics import COVERAGE, RECTANGLES, TELLS, interval, student
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

# Half-width over standard deviation: of a normal the one that holds 95 %, of the others the whole.
if TYPE_CHECKING:
    from uncertainties.core import Variable

SHAPES = {Shape.NORMAL: 1.959963984540054, Shape.RECTANGULAR: math.sqrt(3), Shape.TRIANGULAR: math.sqrt(6)}
# Why a cause is without ground: somebody assumed the value, nobody said its ± or its tool, or whence it comes, or what
# should have been read was not.
ASSUMED, SILENT, UNSAID, UNREAD = "assumed", "no ± said", "origin not said", "not read"
GUESSES = (ASSUMED, SILENT, UNSAID, UNREAD)
_RECTANGLES = {Shape.RECTANGULAR: 1, Shape.TRIANGULAR: 2}  # how many alike add up to the shape
_ROUNDING = 1e-26  # of a variance: what is left of a contribution that cancels, 1e-13 of the ±


@record(kw_only=False)
class Cause:
    """One independent cause of doubt.

    rounding : of a scatter, the rounding under which that of its mean cannot fall, however many repeats; standard, SI.
    guess : why it is without ground, one of :data:`GUESSES`; "" where somebody knows (:mod:`ccassist.values.measured`).
    """

    name: str  # in the trade's words, as the budget prints it
    key: str = ""  # the term that it disturbs
    _: KW_ONLY
    dof: float = math.inf  # degrees of freedom of its estimate; infinite where a limit is taken as known
    pool: str = ""  # estimates that share one pooled scatter carry the same pool name
    shape: Shape = Shape.NORMAL  # its distribution
    source: str = ""  # standard, maker's figure, repeat readings, or "common practice, no source"
    remedy: str = ""  # what would make it smaller
    rounding: float = 0.0
    guess: str = ""
    subject: str = ""  # what it is about, in the words in which a guess is listed; the name where empty

    __eq__, __hash__ = object.__eq__, object.__hash__  # each is a cause of its own


@record
class Expanded:
    """An uncertain number as stated: value ± expanded at 95 %, SI.

    value, standard : the number, and its standard uncertainty; NaN where it is not known yet.
    """

    value: float
    standard: float
    dof: float  # effective degrees of freedom; infinite where no cause is an estimate
    factor: float  # coverage factor
    expanded: float  # factor × standard; NaN where it is not known yet

    @property
    def low(self) -> float:
        """Lower end of the interval, SI; the value itself where the ± is not known yet."""
        return self.value - (0.0 if math.isnan(self.expanded) else self.expanded)

    @property
    def high(self) -> float:
        """Upper end of the interval, SI; the value itself where the ± is not known yet."""
        return self.value + (0.0 if math.isnan(self.expanded) else self.expanded)


@record
class Share:
    """One line of a budget: standard contribution (SI, signed) and its share of the variance."""

    cause: Cause
    standard: float
    share: float


def doubt(standard: float, cause: Cause) -> Number:
    """A zero-mean effect of a given standard uncertainty, to be added to a number; both in one SI unit.

    NaN stands for "not known yet" and makes every result that depends on it say so, instead of a ±.
    """
    from uncertainties.core import Variable  # costs start-up time, and many a command needs no uncertain number

    effect: Number = Variable(0.0, standard, tag=cause)
    return effect


def half_width(limit: float, cause: Cause) -> Number:
    """An effect known only to lie within ± limit, by the cause's shape (JCGM 100:2008, 4.3.7)."""
    return doubt(limit / SHAPES[cause.shape], cause)


def budget(number: Number) -> list[Share]:
    """What makes the ±, largest first; contributions of one cause are joined."""
    return _joined(_parts(number), standard(number) ** 2)


def _parts(number: Number) -> list[tuple[Cause, float]]:
    """Every independent effect in a number: the cause it bears and its standard contribution, SI."""
    return [(cause_of(variable), part) for variable, part in components(number).items()]


def components(number: Number) -> Mapping[Variable, float]:
    """Every independent effect in a number, with its standard contribution in the number's own unit."""
    return _components(_known(number))


@lru_cache(maxsize=4096)
def _components(number: Hashable) -> Mapping[Variable, float]:
    """Worked out once for each number: screen, checks and grounds all ask."""
    found: Mapping[Variable, float] = getattr(number, "error_components", dict)()
    return {variable: float(part) for variable, part in found.items()}


def effects_of(number: Number) -> dict[Variable, float]:
    """Each independent effect in a number and how much the number moves with it."""
    return dict(getattr(number, "derivatives", {}))


def limit_of(variable: Variable) -> float:
    """How far an effect goes: its limit where its shape has one, else its ± for 95 %."""
    cause = cause_of(variable)
    factor = student(cause.dof) if cause.shape == Shape.NORMAL else SHAPES[cause.shape]
    return float(variable.std_dev) * factor


def _known(number: Number) -> Hashable:
    """The number as what it is known by: an uncertain one is itself, and equal to no other."""
    known: Any = number
    return known  # type: ignore[no-any-return]


def remade(number: Number, change: Callable[[Cause, float], tuple[Cause, float]]) -> Number:
    """The number with its effects as they would be: ``change`` of each cause and its standard uncertainty (its own
    unit) gives the cause that the effect then bears and the factor by which it grows; none is left of a factor of 0.
    """
    total: Number = nominal(number)
    for variable, part in components(number).items():
        cause, factor = change(cause_of(variable), float(variable.std_dev))
        if factor:
            total = total + doubt(abs(part) * factor, cause)
    return total


def cause_of(variable: Variable) -> Cause:
    """The cause that an independent effect bears; one of its own where it bears none."""
    return variable.tag if isinstance(variable.tag, Cause) else Cause(str(variable.tag or "unnamed"))


def _joined(parts: Iterable[tuple[Cause, float]], total: float) -> list[Share]:
    """Effects of one cause as one line, largest first; ``total`` is the variance that they are shares of.

    What cancels leaves rounding, which is no cause: so small a part of the whole is left out.
    """
    sums: dict[Cause, float] = {}
    for cause, part in parts:
        sums[cause] = sums.get(cause, 0.0) + part**2
    rounding = _ROUNDING * total if total > 0 else 0.0
    rows = [
        Share(cause=c, standard=math.sqrt(v), share=v / total if total > 0 else 0.0)
        for c, v in sums.items()
        if not v <= rounding
    ]
    return sorted(rows, key=lambda r: -math.inf if math.isnan(r.standard) else -r.standard)


def degrees(shares: Iterable[Share]) -> float:
    """Effective degrees of freedom, Welch-Satterthwaite (JCGM 100:2008, eq. G.2b).

    Contributions from one pooled scatter are joined before they are entered, since they share one estimate.
    """
    pools: dict[object, tuple[float, float]] = {}
    for row in shares:
        key: object = row.cause.pool or row.cause
        variance, _ = pools.get(key, (0.0, 0.0))
        pools[key] = (variance + row.standard**2, row.cause.dof)
    total = sum(v for v, _ in pools.values())
    loose = sum(v**2 / dof for v, dof in pools.values() if math.isfinite(dof))
    return total**2 / loose if loose > 0 else math.inf


def expand(number: Number, coverage: float = COVERAGE) -> Expanded:
    """Value ± expanded uncertainty, at 95 % where no other coverage is asked.

    Without limits among its causes the coverage factor is Student's t for the effective degrees of freedom, truncated
    to the next lower whole number (JCGM 100:2008, G.4.1).  Limits taken as known keep their shape: the interval is that
    of their rectangles and triangles joined with a normal for the rest, the rest stretched to Student's t for its own
    degrees of freedom (JCGM 101:2008, 9.2: a sum of limits is narrower than a normal of the same standard uncertainty).
    """
    return _expanded(_known(number), coverage) if is_uncertain(number) else _exact(nominal(number))


def _exact(value: float, standard: float = 0.0) -> Expanded:
    """A number without a ±, or with one that is not known yet (NaN)."""
    factor = math.nan if math.isnan(standard) else 2.0
    return Expanded(value=value, standard=standard, dof=math.inf, factor=factor, expanded=standard)


@lru_cache(maxsize=4096)
def _expanded(known: Hashable, coverage: float) -> Expanded:
    """Worked out once for each uncertain number."""
    number: Any = known
    u, value = standard(number), nominal(number)
    if u == 0 or math.isnan(u):
        return _exact(value, u)
    parts = _parts(number)
    dof = degrees(_joined(parts, u**2))
    edges, rest = _edges_and_rest(parts, u**2)
    factor = student(dof, coverage)
    if edges:
        normals = _joined(rest, u**2)
        sigma = math.sqrt(math.fsum(row.standard**2 for row in normals))
        stretched = sigma * student(degrees(normals), coverage) / student(math.inf, coverage)
        factor = interval(edges, stretched, coverage) / u
    return Expanded(value=value, standard=u, dof=dof, factor=factor, expanded=factor * u)


def differ(one: Number, other: Number, *, hair: float = 0.0) -> bool:
    """Whether two numbers lie apart by more than the ± of their difference at 95 %, what they share cancelled.

    Not where that ± is not known yet.  ``hair`` : what rounding may make of nothing, in their own SI unit.
    """
    apart = expand(one - other)
    return abs(apart.value) > apart.expanded + hair


def _edges_and_rest(parts: list[tuple[Cause, float]], variance: float) -> tuple[list[float], list[tuple[Cause, float]]]:
    """The half-widths of the rectangles that tell, and the effects that are joined as a normal.

    A triangle is two rectangles of half its width.  A limit that is itself doubted (finite degrees of freedom) is none
    to be relied on.
    """
    limits: list[tuple[Cause, float]] = []
    rest: list[tuple[Cause, float]] = []
    for cause, part in parts:
        count = _RECTANGLES.get(cause.shape, 0) if math.isinf(cause.dof) else 0
        limits += [(cause, part / math.sqrt(count))] * count if count else []
        rest += [] if count else [(cause, part)]
    limits.sort(key=lambda one: -abs(one[1]))
    kept = [one for one in limits if one[1] ** 2 >= TELLS * variance][:RECTANGLES]
    return [abs(part) * math.sqrt(3) for _, part in kept], rest + limits[len(kept) :]
