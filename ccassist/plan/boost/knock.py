"""The octane difference of an engine from its baseline, with what the shared, the unshared and the measured make of it.

No baseline that the user vouches for, no figure.  The draws of the boost room
carry what nobody measured; the ± of what was measured or stated (ratio,
closing, manifold pressure, of both engines) is carried by the slopes, with the
correlations between the two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from ccassist.boost.burn_case import Case
from ccassist.boost.knock_charge import Habit, NaturalRatio, natural_ratio
from ccassist.boost.knock_compare import OctaneDifference, compare
from ccassist.boost.knock_doubt import measured_difference, too_doubtful
from ccassist.boost.stand import Stand
from ccassist.boost.trapped import Geometry
from ccassist.plan.boost.stated import Running, vouched
from ccassist.values.findings import Finding, error, note
from ccassist.values.measured import SHAPES, Value, expand
from ccassist.vocabulary import term

_SIGMA = SHAPES["normal"]  # from standard deviation to the half-width that holds 95 %


@dataclass(frozen=True, kw_only=True)
class Knock:
    """How much more octane the engine asks of the fuel than its baseline.

    Attributes
    ----------
    difference : from the draws; None where it is refused.
    low, high : the interval that holds it with 95 %, the ± of what was measured in it too.
    shared, unshared, measured : half-widths at 95 % from what nobody knows of either engine, from what may differ
        between them unsaid, and from what was measured or stated.
    natural : the ratio of equal knock integral of the unboosted engine, which burns as the baseline does; None where
        refused or where none does it.
    natural_baseline : the same of the baseline, to compare with.
    case, baseline : what was compared, to work on with.
    refused : why there is no figure.
    findings : what to mind where there is one.
    """

    difference: OctaneDifference | None = None
    low: float = math.nan
    high: float = math.nan
    shared: float = math.nan
    unshared: float = math.nan
    measured: float = math.nan
    natural: NaturalRatio | None = None
    natural_baseline: NaturalRatio | None = None
    case: Case | None = None
    baseline: Case | None = None
    refused: tuple[Finding, ...] = ()
    findings: tuple[Finding, ...] = field(default=())


def knock_against(
    geometry: Geometry, own: Running, bore: Value | None, base_geometry: Geometry | None, base: Running | None
) -> Knock:
    """The comparison of an engine with its baseline, or why there is none."""
    refused = unready(own, bore, base_geometry, base)
    if refused or base is None or base_geometry is None or bore is None:
        return Knock(refused=refused)
    here, there = _stand(geometry, own, bore), _stand(base_geometry, base, bore)
    if here is None or there is None or there.habit is None:
        return Knock()
    difference, findings = compare(there.case, here.case)
    refused = (*(findings if difference is None else ()), *_beyond(here, "charge"), *_beyond(there, "baseline"))
    if difference is None or refused:
        return Knock(refused=refused, case=here.case, baseline=there.case)
    # The half-width at 95 % from what was measured or stated; NaN where a ± is not known yet.
    measured = expand(measured_difference(here, there, but="")).expanded
    return Knock(
        difference=difference,
        low=difference.octane - math.hypot(difference.octane - difference.low, measured),
        high=difference.octane + math.hypot(difference.high - difference.octane, measured),
        shared=_SIGMA * difference.common,
        unshared=_SIGMA * math.sqrt(max(0.0, difference.overall**2 - difference.common**2)),
        measured=measured,
        natural=_natural(here, there.habit.burn_centre),
        natural_baseline=_natural(there, there.habit.burn_centre),
        case=here.case,
        baseline=there.case,
        findings=findings,
    )


def habit_of(running: Running, bore: Value) -> Habit | None:
    """How an engine is run, as the burn takes it; None where something that is never assumed is not stated."""
    run = running.run
    if running.lacking:
        return None

    def plain(key: str) -> float:
        return run[key].nominal if key in run else 0.0

    return Habit(
        bore=bore.nominal,
        speed=plain("engine_speed"),
        burn_centre=plain("burn_phasing"),
        burn_duration=plain("burn_duration"),
        octane=plain("octane_number"),
        ethanol=plain("ethanol_share"),
        methanol=plain("methanol_share"),
        direct_injection=running.direct_injection,
    )


def _stand(geometry: Geometry, running: Running, bore: Value | None) -> Stand | None:
    """One of the two engines as it stands; None where something that is never assumed is not stated of it."""
    habit = None if bore is None else habit_of(running, bore)
    if habit is None or running.conditions is None:
        return None
    return Stand(geometry=geometry, conditions=running.conditions, habit=habit)


def _beyond(stand: Stand, section: str) -> tuple[Finding, ...]:
    """What is so doubtful that no difference can be said."""
    wrong = too_doubtful(stand)
    return (error("knock-too-doubtful", wrong, place=section),) if wrong else ()


def unready(
    own: Running, bore: Value | None, base_geometry: Geometry | None, base: Running | None
) -> tuple[Finding, ...]:
    """What must be there before anything is compared."""
    if base is None or base_geometry is None or not vouched(base):
        return (_no_baseline(base),)
    found = []
    if bore is None:
        found.append(_lacks("bore", "engine"))
    found += [_lacks(key, "charge") for key in own.lacking]
    habits = own.said.get("spark"), base.said.get("spark")
    if None not in habits and habits[0] != habits[1]:
        wrong = "knock can only be compared under the same spark habit"
        right = "name a baseline whose spark was set in the same way"
        found.append(error("other-spark", wrong, right=right, place="baseline.spark"))
    return tuple(found)


def _no_baseline(base: Running | None) -> Finding:
    wrong = "knock is only ever shown as a difference from an engine known to run clean, and none is named"
    right = "add a [baseline]: its ratio, boost, burn phasing, and that it runs clean"
    if base is not None:
        right = "complete [baseline]: see what is asked of it"
    return note("no-baseline", wrong, right=right, place="baseline")


def _lacks(key: str, section: str) -> Finding:
    wrong = f"no comparison of knock without the {term(key).name}: it decides, and is never assumed"
    return note("knock-lacks", wrong, right=f"state {key} in [{section}]", place=f"{section}.{key}")


def _natural(stand: Stand, centre: float) -> NaturalRatio | None:
    assert stand.habit is not None  # looked at before
    return natural_ratio(stand.geometry, stand.conditions, stand.habit, natural_centre=centre)[0]


__all__ = ["Knock", "habit_of", "knock_against", "unready"]
