"""What is not known of two builds, drawn by chance: what they share, and what is each one's own.

The same draws every time (JCGM 101:2008, 6.4).  Sizes are planning assumptions, chosen for pump-fuelled engines with
port injection or a carburettor; no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import hypot, log, radians

from ccassist.boost.burn_case import Case
from ccassist.boost.charge import mixed_temperature, unmixed_temperature
from ccassist.boost.gas import mixture
from ccassist.boost.knock import Delay, knock_integrals
from ccassist.engine.mathematics import Array
from ccassist.values.number import Number
from ccassist.vocabulary.record import record

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
