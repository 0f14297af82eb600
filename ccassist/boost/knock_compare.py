"""How much harder one build is on the fuel than another: an octane difference with its interval, and nothing else.

A baseline that the user vouches for, on the same fuel at the same speed, is required: without it there is no figure.
What the two builds have in common cancels, which is why the difference is worth ten times more than either level.
What is common and what is not is drawn by chance, the same draws every time (JCGM 101:2008 sec. 7).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from ccassist.boost.burn_case import Case, stacked
from ccassist.boost.cautions import OCTANE_RANGE, refusals, remarks
from ccassist.boost.draws import COMMON, DRAWS, NOTHING_OWN, OWN, Common, Draws, Own, drawn, own_of
from ccassist.boost.knock import knock_integral, octane_over
from ccassist.engine.mathematics import Array
from ccassist.values.findings import Finding, warning
from ccassist.values.number import nominal
from ccassist.values.statistics import middle_of
from ccassist.values.uncertainty import SHAPES
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape


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
