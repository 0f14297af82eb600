"""How much harder one build is on the fuel than another: an octane difference with its interval, and nothing else.

A baseline that the user vouches for, on the same fuel at the same speed, is required: without it there is no figure.
What the two builds have in common cancels, which is why the difference is worth ten times more than either level.
What is common and what is not is drawn by chance, the same draws every time (JCGM 101:2008 sec. 7).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from math import hypot, log, radians

from ccassist.boost.burn_case import Case, stacked
from ccassist.boost.cautions import OCTANE_RANGE, refusals, remarks
from ccassist.boost.charge import mixed_temperature, unmixed_temperature
from ccassist.boost.gas import mixture
from ccassist.boost.knock import Delay, knock_integral, knock_integrals, octane_over
from ccassist.engine.mathematics import Array
from ccassist.values.findings import Finding, warning
from ccassist.values.number import Number, nominal
from ccassist.values.statistics import middle_of
from ccassist.values.uncertainty import SHAPES
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

# What is not known of two builds, drawn by chance: what they share and what is each one's own.
# Sizes are planning assumptions, chosen for pump-fuelled engines with port injection or a carburettor; no source.

DRAWS, SEED = 4000, 3402  # the same draws every time, so that the same builds give the same interval
_STEPS = 8, 12  # of a burn in a draw: an octane to a hundredth, where chance itself is worth a tenth
_SHORTEST = radians(15)  # of a burn
_LONGEST_SHARE = 0.98  # burned at the end


@record
class Common:
    """What both builds share without its value being known: half the width about the stated value, all equally likely.

    burn_duration, burn_centre : rad.
    pressure_exponent, activation : of the delay formula, K.
    """

    burned_at_end: float = 0.05  # share burned to which the integral runs
    burn_duration: float = radians(10)
    burn_centre: float = radians(4)
    heating: float = 10.0  # of the fresh charge on the way in, K
    residual: float = 0.5  # part of the residual
    heat_release: float = 0.07  # part of the fuel's heat
    heat_loss: float = 2.0  # the factor of Woschni's loss lies between this much times more and as many times less
    filling: float = 0.11  # part of the pressure at intake closing
    pressure_exponent: float = 0.2
    activation: float = 500.0


@record
class Own:
    """By how much the candidate may differ from the baseline besides what is stated: standard deviations, normal.

    ``cooler`` of the effectiveness, ``filling`` part of the pressure at intake closing, ``temperature`` K of the
    fresh charge, ``burn_centre`` and ``burn_duration`` rad.
    """

    cooler: float = 0.07
    filling: float = 0.04
    temperature: float = 5.0
    burn_centre: float = radians(2)
    burn_duration: float = radians(3)


COMMON, OWN = Common(), Own()


def own_of(baseline: Case, candidate: Case, own: Own = OWN) -> Own:
    """What may differ between two builds: the assumed burn phasing gives way to one that was measured in both.

    Standard deviations, rad.  Source: JCGM 100:2008, 5.1.2, of a difference of two that share nothing.

    >>> from ccassist.boost.example_engine import CASE
    >>> read = CASE.but(burn_centre_spread=0.003)
    >>> own_of(CASE, read) == OWN, round(own_of(read, read.but(burn_centre_spread=0.004)).burn_centre, 4)
    (True, 0.005)
    """
    one, other = baseline.operating.burn_centre_spread, candidate.operating.burn_centre_spread
    return own if one is None or other is None else replace(own, burn_centre=hypot(one, other))


NOTHING_OWN = Own(cooler=0.0, filling=0.0, temperature=0.0, burn_centre=0.0, burn_duration=0.0)


@record
class Draws:
    """One array (shape (DRAWS,)) for each unknown: parts −1 to 1 of the shared, standard normal of the others."""

    common: Common
    own: Own
    parts: dict[str, Array]
    normals: dict[str, Array]

    @property
    def delay(self) -> Delay:
        """The delay formula with its exponents in doubt; its level cancels in every comparison.

        As :class:`ccassist.boost.knock.Delay`.

        >>> drawn(COMMON, OWN).delay.activation.shape == (DRAWS,)
        True
        """
        mean = Delay()
        return Delay(
            pressure_exponent=mean.pressure_exponent + self._part("pressure_exponent"),
            activation=mean.activation + self._part("activation"),
        )

    def shared(self, case: Case) -> Case:
        """A build with the shared unknowns drawn, SI.

        >>> from ccassist.boost.example_engine import CASE
        >>> drawn(COMMON, OWN).shared(CASE).count == DRAWS
        True
        """
        import numpy as np

        run = case.operating
        factor = np.exp(log(self.common.heat_loss) * self.parts["heat_loss"])
        warmed = _recharged(case, self._part("heating"), 1 + self._part("residual"))
        return warmed.but(
            pressure=run.pressure * (1 + self._part("filling")),
            heat_loss=run.heat_loss * factor,
            heat_release=run.heat_release + self._part("heat_release"),
            burned_at_end=np.minimum(run.burned_at_end + self._part("burned_at_end"), _LONGEST_SHARE),
            burn_centre=run.burn_centre + self._part("burn_centre"),
            burn_duration=np.maximum(run.burn_duration + self._part("burn_duration"), _SHORTEST),
        )

    def unshared(self, case: Case) -> Case:
        """A build with what may be its own drawn, on top of what it has, SI.

        >>> from ccassist.boost.example_engine import CASE
        >>> drawn(COMMON, OWN).unshared(CASE).count == DRAWS
        True
        """
        import numpy as np

        run = case.operating
        warmer = self._normal("temperature") + self._normal("cooler") * run.cooler_span
        return _recharged(case, warmer, 1.0).but(
            pressure=run.pressure * (1 + self._normal("filling")),
            burn_centre=run.burn_centre + self._normal("burn_centre"),
            burn_duration=np.maximum(run.burn_duration + self._normal("burn_duration"), _SHORTEST),
        )

    def integrals(self, case: Case) -> Array:
        """The knock integral of a build in each draw, numbers without unit.

        >>> from ccassist.boost.example_engine import CASE
        >>> draws = drawn(COMMON, OWN).first(7)
        >>> draws.integrals(draws.shared(CASE)).shape
        (7,)
        """
        return knock_integrals(case, delay=self.delay, steps=_STEPS)

    def first(self, count: int) -> Draws:
        """The first of the draws, numbers without unit.

        >>> drawn(COMMON, OWN).first(7).delay.activation.shape
        (7,)
        """
        return self._each(lambda drawn: drawn[:count])

    def times(self, count: int) -> Draws:
        """The same draws so many times, one after the other, numbers without unit.

        >>> drawn(COMMON, OWN).first(7).times(2).delay.activation.shape
        (14,)
        """
        import numpy as np

        return self._each(lambda drawn: np.tile(drawn, count))

    def _each(self, change: Callable[[Array], Array]) -> Draws:
        parts, normals = ({name: change(one) for name, one in of.items()} for of in (self.parts, self.normals))
        return replace(self, parts=parts, normals=normals)

    def _part(self, name: str) -> Array:
        return getattr(self.common, name) * self.parts[name]

    def _normal(self, name: str) -> Array:
        return getattr(self.own, name) * self.normals[name]


@cache
def drawn(common: Common, own: Own) -> Draws:
    """The draws, in the order of the fields.

    Source: JCGM 101:2008, 6.4; the sizes are planning assumptions, no source.

    >>> drawn(COMMON, OWN) is drawn(COMMON, OWN)
    True
    """
    import numpy as np

    chance = np.random.default_rng(SEED)
    return Draws(
        common=common,
        own=own,
        parts={name: chance.uniform(-1, 1, DRAWS) for name in Common.__dataclass_fields__},
        normals={name: chance.standard_normal(DRAWS) for name in Own.__dataclass_fields__},
    )


def _recharged(case: Case, warmer: Number, residual_factor: Number) -> Case:
    """The charge with its fresh part warmer [K] and its residual times a factor, mixed again."""
    run = case.operating
    fresh, hot = mixture(run.fuel, run.equivalence_ratio, 0.0), run.residual_temperature
    before = unmixed_temperature(fresh, run.temperature, hot, run.residual)
    residual = run.residual * residual_factor
    return case.but(residual=residual, temperature=mixed_temperature(fresh, before + warmer, hot, residual))


@record
class OctaneDifference:
    """How many octane more the candidate asks of the fuel than the baseline does; less where negative.

    low, high : the interval that holds 95 of 100 draws, all unknowns counted.

    Wrong chemistry, hot spots, pre-ignition and the spread between cylinders are in none of these.
    """

    octane: float  # the difference at the values as stated
    low: float
    high: float
    common: float  # standard deviation from the unknowns that both builds share
    overall: float  # standard deviation from those and from what may differ between them
    harder: float  # part of the draws in which the candidate asks more, 0 to 1


def compare(
    baseline: Case | None, candidate: Case, *, common: Common = COMMON, own: Own = OWN
) -> tuple[OctaneDifference | None, tuple[Finding, ...]]:
    """The octane difference of a candidate against a baseline that is known to run clean.

    Returns the difference, or None where it is refused, and the findings that say why or what to mind.

    Octane numbers.  Source: JCGM 101:2008, 7.

    >>> from ccassist.boost.example_engine import STAND, CASE
    >>> found, _ = compare(CASE, STAND.but(boost_gauge=80e3).case)
    >>> found.low < found.octane < found.high
    True
    """
    refused = refusals(baseline, candidate)
    if refused or baseline is None:
        return None, refused
    difference = octane_difference(baseline, candidate)
    return _with_interval(baseline, candidate, difference, common, own_of(baseline, candidate, own)), minded(
        baseline, candidate
    )


def minded(baseline: Case, candidate: Case) -> tuple[Finding, ...]:
    """What to mind of the octane difference of two builds; why there is none where it is refused.

    >>> from ccassist.boost.example_engine import CASE
    >>> minded(CASE, CASE)
    ()
    """
    refused = refusals(baseline, candidate)
    if refused:
        return refused
    difference = octane_difference(baseline, candidate)
    if OCTANE_RANGE[0] <= baseline.operating.octane + difference <= OCTANE_RANGE[1]:
        return remarks(baseline, candidate)
    return (*remarks(baseline, candidate), _beyond(difference))


def octane_difference(baseline: Case, candidate: Case) -> float:
    """What octane more the candidate asks for the baseline's knock integral, in octane numbers; refuses nothing.

    Source: :func:`ccassist.boost.knock.octane_over`.

    >>> from ccassist.boost.example_engine import STAND, CASE
    >>> round(octane_difference(CASE, STAND.but(boost_gauge=80e3).case), 1)
    6.3
    """
    return nominal(octane_over(baseline.operating.octane, knock_integral(candidate) / _integral(baseline)))


_integral = lru_cache(maxsize=8)(knock_integral)  # of a baseline, against which one engine after another is set


def _with_interval(baseline: Case, candidate: Case, octane: float, common: Common, own: Own) -> OctaneDifference:
    """The difference with what the draws say of it."""
    import numpy as np

    known, rated = drawn_integrals(baseline, common), baseline.operating.octane
    together: Array = octane_over(rated, drawn_integrals(candidate, common) / known)
    apart = _apart(baseline, candidate, common, own)
    low, high = middle_of(apart)
    return OctaneDifference(
        octane=octane,
        low=low,
        high=high,
        common=float(np.std(together)),
        overall=float(np.std(apart)),
        harder=float(np.mean(apart > 0)),
    )


@lru_cache(maxsize=8)
def _apart(baseline: Case, candidate: Case, common: Common, own: Own) -> Array:
    """The octane difference in each draw, all unknowns counted."""
    return _over(drawn(common, own), candidate, baseline.operating.octane, drawn_integrals(baseline, common))


def spread_of(baseline: Case, candidate: Case) -> float:
    """Standard deviation of the octane difference of two builds that may be compared, all unknowns counted.

    Octane numbers.  Source: JCGM 101:2008, 7.

    >>> from ccassist.boost.example_engine import CASE
    >>> 2 < spread_of(CASE, CASE) < 5
    True
    """
    import numpy as np

    return float(np.std(_apart(baseline, candidate, COMMON, own_of(baseline, candidate))))


@lru_cache(maxsize=8)
def drawn_integrals(case: Case, common: Common = COMMON, count: int = DRAWS) -> Array:
    """The knock integral of a build in each of the first draws of what is shared: worked out once for each build.

    Numbers without unit.

    >>> from ccassist.boost.example_engine import CASE
    >>> drawn_integrals(CASE, count=7).shape
    (7,)
    """
    draws = drawn(common, NOTHING_OWN).first(count)  # the shared are drawn first: the same whatever is each one's own
    return draws.integrals(draws.shared(case))


def _over(draws: Draws, candidate: Case, octane: float, known: Array) -> Array:
    """The octane difference of each draw of all, from the baseline's fuel and its integral in each."""
    return octane_over(octane, draws.integrals(draws.unshared(draws.shared(candidate))) / known)


SURE = 0.95  # of the draws: what "no harder" is held to
_SOME = 1000  # of them: enough for one end to a tenth of itself, and quick enough to be asked several times


def most_above(baseline: Case, candidate: Case) -> float:
    """By how much 95 of 100 draws lie at most above the difference as stated, in octane.

    Source: JCGM 101:2008, 7.

    >>> from ccassist.boost.example_engine import CASE
    >>> 4 < most_above(CASE, CASE) < 9
    True
    """
    import numpy as np

    draws = drawn(COMMON, own_of(baseline, candidate)).first(_SOME)
    known = drawn_integrals(baseline, count=_SOME)
    apart = _over(draws, candidate, baseline.operating.octane, known)
    return float(np.quantile(apart, SURE)) - octane_difference(baseline, candidate)


_FEW = 250  # of them: enough for a spread to a twentieth of itself, for many engines at once


def spreads(baseline: Case, candidates: Sequence[Case]) -> list[float]:
    """The standard deviation of the octane difference of each, all that is drawn counted.

    Octane numbers.  Source: JCGM 101:2008, 7.

    >>> from ccassist.boost.example_engine import CASE
    >>> 2 < spreads(CASE, [CASE])[0] < 5
    True
    """
    import numpy as np

    draws = drawn(COMMON, own_of(baseline, candidates[0])).first(_FEW)
    many, known = draws.times(len(candidates)), drawn_integrals(baseline, count=_FEW)
    found = many.integrals(many.unshared(many.shared(stacked(candidates, _FEW))))
    apart: Array = octane_over(baseline.operating.octane, found.reshape(-1, _FEW) / known)
    return [float(one) for one in np.std(apart, axis=1)]


@record
class Unknown:
    """What one unknown does to an octane difference: its name, its half-width at 95 in 100, what would shrink it."""

    name: str
    half: float
    remedy: str
    shared: bool  # whether both engines have it, so that most of it cancels


_FORMULA = "nothing at the bench: it is in the formula"
_UNKNOWNS = {
    "cooler": ("cooler between them", "measure the charge temperature of both"),
    "filling": ("filling between them", "keep intake, cam, exhaust alike"),
    "temperature": ("charge heating between them", "run both as warm"),
    "burn_centre": ("burn phasing between them", "from cylinder pressure in both"),
    "burn_duration": ("burn duration between them", "from cylinder pressure in both"),
    "shared burn_centre": ("burn phasing of both", "from cylinder pressure"),
    "shared burn_duration": ("burn duration of both", "from cylinder pressure"),
    "shared heating": ("heating of the fresh charge", "state charge_heating"),
    "shared residual": ("residual gas", "state residual_fraction"),
    "shared filling": ("filling of both", "state filling, or the pressure at closing"),
    "shared burned_at_end": ("end of the burn", _FORMULA),
    "shared heat_release": ("heat freed", _FORMULA),
    "shared heat_loss": ("heat loss to the walls", _FORMULA),
    "shared pressure_exponent": ("pressure power of the delay formula", _FORMULA),
    "shared activation": ("temperature power of the delay formula", _FORMULA),
}
_FLAT, _BELL = 3**-0.5, 1.0  # standard deviation of a draw over its size: all equally likely, normal


def unknowns(baseline: Case, candidate: Case) -> tuple[Unknown, ...]:
    """What each unknown that is drawn makes of the interval, the largest first: moved by itself, up and down.

    Octane numbers.  Source: JCGM 100:2008, 5.1.3 note 2.

    >>> from ccassist.boost.example_engine import CASE
    >>> unknowns(CASE, CASE)[0].shared
    False
    """
    import numpy as np

    fields = (("shared ", COMMON.__dataclass_fields__), ("", OWN.__dataclass_fields__))
    names = [(shared, name) for shared, several in fields for name in several]
    moved = np.zeros((len(names), 2 * len(names)))
    for row, (shared, _) in enumerate(names):
        moved[row, 2 * row : 2 * row + 2] = np.array([1, -1]) * (_FLAT if shared else _BELL)
    of: dict[str, dict[str, Array]] = {"shared ": {}, "": {}}
    for row, (shared, name) in enumerate(names):
        of[shared][name] = moved[row]
    draws = Draws(common=COMMON, own=own_of(baseline, candidate), parts=of["shared "], normals=of[""])
    known = draws.integrals(draws.shared(baseline))
    ends = _over(draws, candidate, baseline.operating.octane, known)
    halves = SHAPES[Shape.NORMAL] * np.abs(ends[::2] - ends[1::2]) / 2
    found = [
        Unknown(name=_UNKNOWNS[f"{shared}{name}"][0], half=float(half), remedy=_UNKNOWNS[f"{shared}{name}"][1],
                shared=bool(shared))
        for (shared, name), half in zip(names, halves, strict=True)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: -one.half))


def _beyond(difference: float) -> Finding:
    """The difference leads out of the octane range of the delay."""
    way = "more" if difference > 0 else "less"
    return warning(
        "beyond-the-correlation",
        f"the baseline's fuel with this much octane {way} lies outside the {OCTANE_RANGE[0]:.0f} to "
        f"{OCTANE_RANGE[1]:.0f} for which the delay formula holds",
        right=f"read it as much {'harder' if difference > 0 else 'easier'} on the fuel, not as a fuel to buy",
    )
