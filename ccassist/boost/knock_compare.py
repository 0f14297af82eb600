"""How much harder one build is on the fuel than another: an octane difference with its interval, and nothing else.

A baseline that the user vouches for, on the same fuel at the same speed, is
required: without it there is no figure.  What the two builds have in common
cancels, which is why the difference is worth ten times more than either
level.  What is common and what is not is drawn by chance, the same draws every
time (JCGM 101:2008 sec. 7).
"""

from __future__ import annotations

from dataclasses import dataclass

from ccassist.boost.burn_case import Case
from ccassist.boost.knock import knock_integral, knock_integrals, octane_over
from ccassist.boost.knock_draws import COMMON, OWN, Common, Own, drawn
from ccassist.boost.knock_refusals import OCTANE_RANGE, refusals, remarks
from ccassist.values.coverage import middle_of
from ccassist.values.findings import Finding, warning


@dataclass(frozen=True, kw_only=True)
class OctaneDifference:
    """How many octane more the candidate asks of the fuel than the baseline does; less where negative.

    Attributes
    ----------
    octane : the difference at the values as stated.
    low, high : the interval that holds 95 of 100 draws, all unknowns counted.
    common : standard deviation from the unknowns that both builds share.
    overall : standard deviation from those and from what may differ between the two.
    harder : part of the draws in which the candidate asks more, 0 to 1.

    Wrong chemistry, hot spots, pre-ignition and the spread between cylinders are in none of these.
    """

    octane: float
    low: float
    high: float
    common: float
    overall: float
    harder: float


def compare(
    baseline: Case | None, candidate: Case, *, common: Common = COMMON, own: Own = OWN
) -> tuple[OctaneDifference | None, tuple[Finding, ...]]:
    """The octane difference of a candidate against a baseline that is known to run clean.

    Returns the difference, or None where it is refused, and the findings that say why or what to mind.
    """
    refused = refusals(baseline, candidate)
    if refused or baseline is None:
        return None, refused
    difference = octane_difference(baseline, candidate)
    findings = remarks(baseline, candidate)
    if not OCTANE_RANGE[0] <= baseline.operating.octane + difference <= OCTANE_RANGE[1]:
        findings += (_beyond(difference),)
    return _with_interval(baseline, candidate, difference, common, own), findings


def octane_difference(baseline: Case, candidate: Case) -> float:
    """What octane more the candidate asks for the baseline's knock integral, in octane numbers; refuses nothing."""
    return float(octane_over(baseline.operating.octane, knock_integral(candidate) / knock_integral(baseline)))


def _with_interval(baseline: Case, candidate: Case, octane: float, common: Common, own: Own) -> OctaneDifference:
    """The difference with what the draws say of it."""
    import numpy as np

    draws = drawn(common, own)
    known = knock_integrals(draws.shared(baseline), delay=draws.delay)
    fuel = baseline.operating.octane

    def differences(build: Case) -> np.ndarray:
        return np.asarray(octane_over(fuel, knock_integrals(build, delay=draws.delay) / known))

    together = differences(draws.shared(candidate))
    apart = differences(draws.unshared(draws.shared(candidate)))
    low, high = middle_of(apart)
    return OctaneDifference(
        octane=octane,
        low=low,
        high=high,
        common=float(np.std(together)),
        overall=float(np.std(apart)),
        harder=float(np.mean(apart > 0)),
    )


def _beyond(difference: float) -> Finding:
    """The difference leads out of the octane range of the delay."""
    way = "more" if difference > 0 else "less"
    return warning(
        "beyond-the-correlation",
        f"the baseline's fuel with this much octane {way} lies outside the {OCTANE_RANGE[0]:.0f} to "
        f"{OCTANE_RANGE[1]:.0f} for which the delay formula holds",
        right=f"read it as much {'harder' if difference > 0 else 'easier'} on the fuel, not as a fuel to buy",
    )
