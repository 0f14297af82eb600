"""What band a target is to be expected in, from what the maker holds and what was measured.

Three answers side by side: linear (root of the sum of squares, JCGM 100:2008, 5.1), worst case (everything at its
limit, the same way), and drawn (propagation of distributions, JCGM 101:2008: many engines put together by chance).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING, Any, TypeAlias

from ccassist.engine.mathematics import Mathematics, arrays, uncertain
from ccassist.engine.model import Choices, Model, chosen
from ccassist.solve.question import FILL_READINGS, held_terms
from ccassist.values.findings import InputError, error
from ccassist.values.number import Number, is_uncertain, nominal
from ccassist.values.statistics import middle_of
from ccassist.values.uncertainty import (
    SHAPES,
    Cause,
    budget,
    cause_of,
    effects_of,
    expand,
    half_width,
    limit_of,
    remade,
)
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

if TYPE_CHECKING:
    from uncertainties.core import Variable


# Engines put together by chance: draws of every cause by its own shape, through the model as arrays.
#
# Source: JCGM 101:2008, 6.4.2 (rectangle), 6.4.5 (triangle), 6.4.7 (normal), 6.4.9 (Student's t where the scatter
# itself is only estimated), 7.7 (the interval that leaves equal parts on either side).

OF_THE_ORDER = "tolerance of the order"  # source of a cause: a maker holds it, and nobody can measure it yet
DRAWS, SEED = 20_000, 8_800  # the same draws every time, so that the same job gives the same band
Evaluate: TypeAlias = "Callable[[Mapping[Variable, Any], Mathematics], Any]"


def drawn_band(variables: Sequence[Variable], evaluate: Evaluate) -> tuple[float, float]:
    """The band that holds 95 of 100 draws, SI; NaN where one draw in a hundred is no engine.

    variables : the independent effects, each tagged with its cause.
    evaluate : from effects as arrays (one entry a draw) to the target as an array.
    """
    import numpy as np

    with np.errstate(all="ignore"):
        got = np.broadcast_to(np.asarray(evaluate(draws(variables), arrays()), dtype=float), (DRAWS,))
    kept = got[np.isfinite(got)]
    if len(kept) < 0.99 * DRAWS:
        return math.nan, math.nan
    return middle_of(kept)


def draws(variables: Sequence[Variable]) -> dict[Variable, Any]:
    """One array of draws (shape (DRAWS,), SI) for each effect."""
    import numpy as np

    chance = np.random.default_rng(SEED)
    looseness: dict[object, Any] = {}
    found: dict[Variable, Any] = {}
    for variable in sorted(variables, key=_order):
        cause = cause_of(variable)
        size = float(variable.std_dev)
        if cause.shape == Shape.RECTANGULAR:
            found[variable] = size * SHAPES[cause.shape] * chance.uniform(-1, 1, DRAWS)
        elif cause.shape == Shape.TRIANGULAR:
            found[variable] = size * SHAPES[cause.shape] * chance.triangular(-1, 0, 1, DRAWS)
        else:
            found[variable] = size * chance.standard_normal(DRAWS)
            if math.isfinite(cause.dof):  # estimates of one pool share the doubt of their scatter
                key: object = cause.pool or cause
                if key not in looseness:
                    looseness[key] = np.sqrt(cause.dof / chance.chisquare(cause.dof, DRAWS))
                found[variable] = found[variable] * looseness[key]
    return found


def _order(variable: Variable) -> tuple[str, float]:
    """The order of drawing, which must not hang on how the variables happen to be stored."""
    cause = cause_of(variable)
    return f"{cause.key} {cause.name} {cause.pool}", float(variable.std_dev)


# How far a number can go with everything in doubt at its limit at once, and which cause takes it farthest.
#
# What has a limit counts at its limit; what has only a scatter counts at its ± for 95 %.  Nothing is squared: this is
# the end that nobody may fall beyond, not the one that 95 of 100 stay within.


@record
class Span:
    """Lower and upper end of a band, SI; NaN where it cannot be stated."""

    low: float
    high: float


@record
class Portion:
    """How far one cause can move a number to either side, in the number's own SI unit."""

    cause: Cause
    size: float


def parts_of(number: Number) -> list[Portion]:
    """What moves a number and how far, the largest first; effects of one cause are added."""
    sizes: dict[Cause, float] = {}
    for variable, slope in effects_of(number).items():
        cause = cause_of(variable)
        sizes[cause] = sizes.get(cause, 0.0) + abs(slope) * limit_of(variable)
    made = [Portion(cause=cause, size=size) for cause, size in sizes.items() if size != 0]
    return sorted(made, key=lambda part: -math.inf if math.isnan(part.size) else -part.size)


def reach(number: Number) -> Span:
    """From its lowest to its highest, in a straight line; NaN where a part of it is not known yet."""
    size = math.fsum(part.size for part in parts_of(number))
    return Span(low=nominal(number) - size, high=nominal(number) + size)


MOST_HELD = 8  # terms; the worst case tries every corner of them


@record
class Help:
    """What improving one cause would do: its share of the variance now, and the ± with it halved and gone, SI."""

    cause: Cause
    held: bool
    share: float
    halved: float
    gone: float


@record
class HeldCylinder:
    """One cylinder with the held terms put in.

    choices, model : what is counted, and the relations that hold at the nominal.
    """

    target: str  # term key
    known: Mapping[str, Number]  # term key -> SI number; held terms at their nominal with their limits
    choices: Choices
    model: Model
    limits: Mapping[str, Variable]  # held term -> its effect, a variable within ± the limit
    number: Number  # the target, SI, with the doubt of what is held and what was measured

    @cached_property
    def plain(self) -> dict[str, float]:
        """The known numbers as plain floats."""
        return {key: nominal(number) for key, number in self.known.items()}

    @cached_property
    def doubtful(self) -> dict[str, dict[Variable, float]]:
        """Of each known number that is not exact how it moves with every effect in it."""
        return {key: effects_of(number) for key, number in self.known.items() if is_uncertain(number)}

    def inputs(self, effects: Mapping[Variable, Any]) -> dict[str, Any]:
        """The known numbers with every effect at a value (floats or arrays); what is not among them stays nominal."""
        moved = {
            key: sum((slope * effects[v] for v, slope in slopes.items() if v in effects), self.plain[key])
            for key, slopes in self.doubtful.items()
        }
        return {**self.plain, **moved}


@record
class Expected:
    """The band of a target to expect: nominal and ± (95 %), SI, by three ways, and what would make it smaller."""

    stand: HeldCylinder
    value: float
    expanded: float
    linear: Span
    worst: Span
    drawn: Span
    helps: tuple[Help, ...]

    @property
    def best_reading(self) -> Help | None:
        """The measured cause whose going would help most; None where nothing measured is in doubt."""
        measured = [one for one in self.helps if not one.held and one.cause.source != OF_THE_ORDER]
        return min(measured, key=lambda one: (not math.isnan(one.gone), one.gone), default=None)


def stand(known: Mapping[str, Number], choices: Choices, *, target: str, holds: Mapping[str, float]) -> HeldCylinder:
    """A cylinder with the held terms put in.

    known : term key -> SI number of one cylinder, floats or uncertain numbers.
    choices : what the builder counts, and the seal of the crown fill.
    target : term key.
    holds : term key -> half-width within which the maker holds it, SI; the limit takes the place of the term's own
        doubt, since it is of parts yet to be made.

    Raises InputError: the target cannot be worked out, or does not depend on a held term.
    """
    _check(target, holds)
    asked = [target, *holds]
    found = {} if any(key in FILL_READINGS for key in holds) else held_terms(known, choices, asked)
    kept = {key: value for key, value in {**known, **found}.items() if key != target}
    plain = {key: nominal(value) for key, value in kept.items()}
    try:
        now = chosen(plain, choices).evaluate(plain)
    except (ValueError, ZeroDivisionError):
        raise InputError(error("no-such-engine", "with what is given no engine can be drawn")) from None
    missing = [term(key).name for key in asked if key not in now]
    if missing:
        raise InputError(error("not-given", f"not given: {', '.join(missing)}", right="give it, measured or assumed"))
    full = {**kept, **{key: now[key] for key in holds}}
    model = chosen({key: nominal(value) for key, value in full.items()}, choices)
    _check_influence(model, target, holds)
    bare = HeldCylinder(target=target, known=full, choices=choices, model=model, limits={}, number=now[target])
    return held_to(bare, holds)


def held_to(stood: HeldCylinder, holds: Mapping[str, float]) -> HeldCylinder:
    """The same cylinder with its terms held to other limits, SI; those that are not named are exact."""
    exact = {**stood.known, **{key: nominal(stood.known[key]) for key in (*stood.limits, *holds)}}
    causes = {key: Cause(f"{term(key).name} as held", key, shape=Shape.RECTANGULAR) for key in holds}
    limits = {key: half_width(limit, causes[key]) for key, limit in holds.items()}
    known = {**exact, **{key: exact[key] + effect for key, effect in limits.items()}}
    number = stood.model.upto([stood.target]).evaluate(known, uncertain())[stood.target]
    return replace(stood, known=known, limits=limits, number=number)


def expect(stood: HeldCylinder) -> Expected:
    """The band of the target by all three ways, and what would make it smaller."""
    stated = expand(stood.number)
    return Expected(
        stand=stood,
        value=stated.value,
        expanded=stated.expanded,
        linear=Span(low=stated.value - stated.expanded, high=stated.value + stated.expanded),
        worst=worst_case(stood),
        drawn=drawn(stood),
        helps=helps(stood),
    )


def worst_case(stood: HeldCylinder, sizes: Mapping[str, float] | None = None) -> Span:
    """Every corner of what is held, with all that was measured at its limit the same way.

    What has no limit but a scatter counts at its ± for 95 %.  ``sizes`` : the held terms' limits, SI, if not those that
    they have; a term without one is exact.
    """
    slopes, held = effects_of(stood.number), set(stood.limits.values())
    measured = {v: math.copysign(limit_of(v), slope) for v, slope in slopes.items() if v not in held}
    limits = {v: limit_of(v) if sizes is None else sizes.get(key, 0.0) for key, v in stood.limits.items()}
    corners = product(*((-size, size) if size else (0.0,) for size in limits.values()))
    sides = (-1, 1) if any(measured.values()) else (1,)
    places = [
        {**dict(zip(limits, corner, strict=True)), **{v: side * size for v, size in measured.items()}}
        for corner in corners
        for side in sides
    ]
    return _over([_target_at(stood, effects) for effects in places])


def drawn(stood: HeldCylinder) -> Span:
    """95 of 100 engines put together by chance, each cause by its own shape."""
    variables = list(effects_of(stood.number))
    if any(math.isnan(v.std_dev) for v in variables):
        return Span(low=math.nan, high=math.nan)
    needed = stood.model.upto([stood.target])
    low, high = drawn_band(variables, lambda effects, m: needed.evaluate(stood.inputs(effects), m)[stood.target])
    return Span(low=low, high=high)


def helps(stood: HeldCylinder) -> tuple[Help, ...]:
    """What improving each cause would do, the largest first."""
    held = {v.tag for v in stood.limits.values()}
    return tuple(
        Help(
            cause=share.cause,
            held=share.cause in held,
            share=share.share,
            halved=expand(eased(stood.number, share.cause, 0.5)).expanded,
            gone=expand(eased(stood.number, share.cause, 0.0)).expanded,
        )
        for share in budget(stood.number)
    )


def eased(number: Number, cause: Cause, factor: float) -> Number:
    """The number as doubtful as it would be with one cause made smaller by a factor."""
    return remade(number, lambda one, _: (one, factor if one is cause else 1.0))


def envelope(spans: Sequence[Span]) -> Span:
    """From the lowest end to the highest of several bands."""
    return _over([end for span in spans for end in (span.low, span.high)])


def _over(ends: Sequence[float]) -> Span:
    broken = any(math.isnan(end) for end in ends)
    return Span(low=math.nan, high=math.nan) if broken else Span(low=min(ends), high=max(ends))


def _check(target: str, holds: Mapping[str, float]) -> None:
    if not holds or len(holds) > MOST_HELD:
        right = "--holds 'crown_volume=0.5 cc'"
        raise InputError(
            error("how-many-held", f"1 to {MOST_HELD} terms can be held", read=str(len(holds)), right=right)
        )
    for key, limit in holds.items():
        if key == target:
            wrong = f"the {term(key).name} is the target: what it is made of must be held"
            raise InputError(error("same-term", wrong, right="hold another term"))
        if term(key).kind is Kind.COUNT:
            raise InputError(error("whole-number", f"the {term(key).name} is a whole number: it has no tolerance"))
        if not 0 <= limit < math.inf:
            raise InputError(error("wrong-limit", f"the limits of the {term(key).name} must be nothing or more"))


def _check_influence(model: Model, target: str, holds: Mapping[str, float]) -> None:
    inputs = [key for key in model.inputs_of(target) if key not in model.fixed or key in holds]
    if model.relation_of(target) is None:
        raise InputError(error("not-computed", f"the {term(target).name} is not worked out from other terms here"))
    for key in holds:
        if key not in inputs:
            names = ", ".join(term(one).name for one in inputs)
            wrong = f"the {term(target).name} does not depend on the {term(key).name} here"
            raise InputError(error("no-influence", wrong, right=f"it depends on: {names}"))


def _target_at(stood: HeldCylinder, effects: Mapping[Variable, float]) -> float:
    """The target with every effect at a value, SI; the relations are chosen anew; NaN where no engine can be."""
    plain = stood.inputs(effects)
    try:
        return float(chosen(plain, stood.choices).evaluate(plain)[stood.target])
    except (ValueError, ZeroDivisionError):
        return math.nan
