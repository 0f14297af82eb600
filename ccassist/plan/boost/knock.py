"""The octane difference of an engine from its baseline, with what the shared, the unshared and the measured make of it.

No baseline that the user vouches for, no figure.  The draws of the boost room
carry what nobody measured; the ± of what was measured or stated (ratio,
closing, manifold pressure, of both engines) is carried by the slopes, with the
correlations between the two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from ccassist.boost.burn_case import Case
from ccassist.boost.charge import charge
from ccassist.boost.conditions import Conditions
from ccassist.boost.knock_charge import Habit, NaturalRatio, case_of, natural_ratio
from ccassist.boost.knock_compare import OctaneDifference, compare, octane_difference
from ccassist.boost.knock_doubt import MEASURED, too_doubtful
from ccassist.boost.numbers import propagate
from ccassist.boost.trapped import Geometry
from ccassist.findings import Finding, error, note
from ccassist.measured import Number, Value, expand
from ccassist.plan.boost.stated import Running, vouched
from ccassist.terms import term

_SIGMA = 1.959963984540054  # of a normal, from standard deviation to the half-width that holds 95 %


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


@dataclass(frozen=True, kw_only=True)
class _Side:
    """One of the two engines, ready for its case."""

    geometry: Geometry
    conditions: Conditions
    habit: Habit

    @property
    def case(self) -> Case:
        return case_of(self.geometry, charge(self.conditions, self.geometry.static_ratio), self.habit)

    @property
    def doubtful(self) -> tuple[Number, Number, Number]:
        """Static ratio, intake closing and manifold pressure: what was measured or stated and decides."""
        return self.geometry.static_ratio, self.geometry.intake_closing, self.conditions["manifold_pressure"]

    def beyond(self, section: str) -> tuple[Finding, ...]:
        """What is so doubtful that no difference can be said."""
        wrong = too_doubtful(MEASURED, self.doubtful, self.at)
        return (error("knock-too-doubtful", wrong, place=section),) if wrong else ()

    def at(self, ratio: float, closing: float, pressure: float) -> Case:
        """The case at plain numbers of these three."""
        geometry = replace(self.geometry.plain(), static_ratio=ratio, intake_closing=closing)
        values = {**self.conditions.values}
        values["manifold_pressure"] = replace(values["manifold_pressure"], number=pressure)
        return replace(self, geometry=geometry, conditions=replace(self.conditions, values=values).plain()).case


def knock_against(
    geometry: Geometry, own: Running, bore: Value | None, base_geometry: Geometry | None, base: Running | None
) -> Knock:
    """The comparison of an engine with its baseline, or why there is none."""
    refused = unready(own, bore, base_geometry, base)
    if refused or base is None or base_geometry is None or bore is None:
        return Knock(refused=refused)
    here, there = _side(geometry, own, bore), _side(base_geometry, base, bore)
    if here is None or there is None:
        return Knock()
    difference, findings = compare(there.case, here.case)
    refused = (*(findings if difference is None else ()), *here.beyond("charge"), *there.beyond("baseline"))
    if difference is None or refused:
        return Knock(refused=refused, case=here.case, baseline=there.case)
    measured = _measured(here, there)
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


def _side(geometry: Geometry, running: Running, bore: Value) -> _Side | None:
    habit = habit_of(running, bore)
    if habit is None or running.conditions is None:
        return None
    return _Side(geometry=geometry, conditions=running.conditions, habit=habit)


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


def _measured(here: _Side, there: _Side) -> float:
    """Half-width at 95 % of the difference from what was measured or stated; NaN where a ± is not known yet."""

    def difference(*numbers: float) -> float:
        return octane_difference(there.at(*numbers[3:]), here.at(*numbers[:3]))

    carried = propagate(difference, *here.doubtful, *there.doubtful)
    return expand(carried).expanded


def _natural(side: _Side, centre: float) -> NaturalRatio | None:
    return natural_ratio(side.geometry, side.conditions, side.habit, natural_centre=centre)[0]


__all__ = ["Knock", "habit_of", "knock_against", "unready"]
