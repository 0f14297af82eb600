"""One engine under boost, worked out: its geometry, its charge compressed, and what its ratio is worth.

The engine of a cylinder and the baseline it is set against are both such.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import field
from functools import cached_property

from ccassist.analysis.cylinder import Cylinder
from ccassist.boost.burn_case import Case
from ccassist.boost.cautions import refusals
from ccassist.boost.conditions import Conditions
from ccassist.boost.draws import OWN, Own, own_of
from ccassist.boost.equivalents import HARDEST_RUN, Compressed, Convention, Equivalent, compressed, equivalents
from ccassist.boost.figures import Stand, measured_difference, too_doubtful
from ccassist.boost.knock_charge import Habit, NaturalRatio, natural_ratio
from ccassist.boost.knock_compare import OctaneDifference, Unknown, compare, octane_difference, unknowns
from ccassist.engine.slider_crank import Geometry
from ccassist.plan.boost.stated import GEOMETRY, Running, bore_of, vouched
from ccassist.values.findings import Finding, error, note
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal, standard
from ccassist.values.statistics import middle_of
from ccassist.values.uncertainty import SHAPES, Cause, budget, expand
from ccassist.vocabulary import TERMS, term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin, Shape


@record
class Build:
    """One engine: its geometry, its charge compressed, and what its ratio is worth."""

    geometry: Geometry  # what the trapped ratio hangs on
    conditions: Conditions | None = None  # of its charge, where they are known

    @cached_property
    def compressed(self) -> Compressed | None:
        """Its charge at closing and at top dead centre; None without conditions."""
        return None if self.conditions is None else compressed(self.geometry, self.conditions)

    @cached_property
    def equivalents(self) -> tuple[Equivalent, ...]:
        """By what each holds equal; none without conditions."""
        return () if self.conditions is None else equivalents(self.geometry, self.conditions)

    @property
    def values(self) -> dict[str, Value]:
        """Static and trapped ratio and what follows, by term, in working order."""
        found = {
            "static_ratio": computed("static_ratio", self.geometry.static_ratio, "as measured"),
            "trapped_ratio": computed("trapped_ratio", self.geometry.trapped_ratio, "slider-crank at intake closing"),
        }
        if self.compressed is not None:
            state = self.compressed
            found |= {value.key: value for value in state.charge.computed}
            isentrope = "isentrope of this charge, heat capacity by temperature"
            found |= {
                "end_pressure": computed("end_pressure", state.end.pressure, isentrope),
                "end_temperature": computed("end_temperature", state.end.temperature, isentrope),
            }
            if nominal(state.trapped_ratio) > 1:
                how = "constant exponent that ends at the same pressure"
                found["effective_exponent"] = computed("effective_exponent", state.effective_exponent, how)
        return found

    @property
    def polytropic(self) -> dict[str, Value]:
        """End pressure and temperature by the stated or assumed constant exponent, to stand beside the isentrope."""
        if self.compressed is None:
            return {}
        end = self.compressed.polytropic
        return {
            "end_pressure": computed("end_pressure", end.pressure, "constant exponent"),
            "end_temperature": computed("end_temperature", end.temperature, "constant exponent"),
        }


def geometry_of(cylinder: Cylinder, closing: Value | None, ratio: float | None = None) -> Geometry | None:
    """What the trapped ratio of a cylinder hangs on; None where something is not known.

    ``ratio`` : the static ratio to begin with where the cylinder has none yet.
    """
    known = known_of(cylinder, closing)
    if ratio is not None:
        known.setdefault("static_ratio", ratio)
    if any(key not in known for key in GEOMETRY):
        return None
    offset = cylinder.values.get("pin_offset")
    return Geometry(pin_offset=0.0 if offset is None else offset.number, **known)


def known_of(cylinder: Cylinder, closing: Value | None) -> dict[str, Number]:
    """What is known of it, by term, SI: of the terms of :data:`GEOMETRY`."""
    found = {key: cylinder.values[key].number for key in GEOMETRY if key in cylinder.values}
    if nominal(found.get("static_ratio", 0.0)) <= 1:  # no engine; the survey says so
        found.pop("static_ratio", None)
    return found if closing is None else {**found, "intake_closing": closing.number}


# The octane difference of an engine from its baseline, with what the shared, the unshared and the measured make of it.
#
# No baseline that the user vouches for, no figure.  The draws of the boost room
# carry what nobody measured; the ± of what was measured or stated (ratio,
# closing, manifold pressure, of both engines) is carried by the slopes, with the
# correlations between the two.

_SIGMA = SHAPES[Shape.NORMAL]  # from standard deviation to the half-width that holds 95 %


@record
class Knock:
    """How much more octane the engine asks of the fuel than its baseline.

    difference : from the draws; None where it is refused.
    low, high : the interval that holds it with 95 %, the ± of what was measured in it too.
    shared, unshared, measured : half-widths at 95 % from what nobody knows of either engine, from what may differ
        between them unsaid, and from what was measured or stated.
    by_speed : octane differences at the ends of :data:`SPEEDS`, where no engine speed is stated; the interval holds
        them too.
    unknowns : what makes the interval one by one, the largest first.
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
    by_speed: tuple[float, float] | None = None
    unknowns: tuple[Unknown, ...] = ()
    natural: NaturalRatio | None = None
    natural_baseline: NaturalRatio | None = None
    case: Case | None = None
    baseline: Case | None = None
    refused: tuple[Finding, ...] = ()
    findings: tuple[Finding, ...] = field(default=())

    @property
    def own(self) -> Own:
        """What is taken to differ between the two besides what is stated."""
        return OWN if self.case is None or self.baseline is None else own_of(self.baseline, self.case)


def knock_against(
    geometry: Geometry, own: Running, bore: Value | None, base_geometry: Geometry | None, base: Running | None
) -> Knock:
    """The comparison of an engine with its baseline, or why there is none."""
    refused = unready(own, bore, base_geometry, base)
    if refused or base is None or base_geometry is None or bore is None:
        return Knock(refused=refused)
    here, there = as_run(geometry, own, bore), as_run(base_geometry, base, bore_of(base, bore))
    if here is None or there is None:
        return Knock()
    difference, findings = compare(there.case, here.case)
    refused = (*(findings if difference is None else ()), *_beyond(here, "charge"), *_beyond(there, "baseline"))
    if difference is None or refused:
        return Knock(refused=refused, case=here.case, baseline=there.case)
    # The half-width at 95 % from what was measured or stated; NaN where a ± is not known yet.
    linked = measured_difference(here, there, but="")
    measured = expand(linked).expanded
    speeds = by_speed(own, here, there)
    ends = (difference.octane, *(speeds or ()))
    return Knock(
        difference=difference,
        low=min(ends) - math.hypot(difference.octane - difference.low, measured),
        high=max(ends) + math.hypot(difference.high - difference.octane, measured),
        shared=_SIGMA * difference.common,
        unshared=_SIGMA * math.sqrt(max(0.0, difference.overall**2 - difference.common**2)),
        measured=measured,
        by_speed=speeds,
        unknowns=tuple(sorted((*unknowns(there.case, here.case), *_read(linked)), key=lambda one: -one.half)),
        natural=_natural(here, nominal(there.case.operating.burn_centre)),
        natural_baseline=_natural(there, nominal(there.case.operating.burn_centre)),
        case=here.case,
        baseline=there.case,
        findings=findings,
    )


SPEEDS = (2000 / 60, 6000 / 60)  # rev/s: from where a turbocharger is up to near the end (common practice, no source)


def by_speed(own: Running, here: Stand, there: Stand) -> tuple[float, float] | None:
    """The octane difference at a low and at a high engine speed, where none is stated; None where one is."""
    if own.run["engine_speed"].origin != Origin.ASSUMED:
        return None
    low, high = (octane_difference(there.case.but(speed=speed), here.case.but(speed=speed)) for speed in SPEEDS)
    return low, high


def _read(linked: Number) -> Iterator[Unknown]:
    """What each measurement or statement makes of the interval; of one term together."""
    known = (part for part in budget(linked) if math.isfinite(part.standard))
    for name, parts in together((cause_name(part.cause), part) for part in known).items():
        half = _SIGMA * math.hypot(*(part.standard for part in parts))
        yield Unknown(name=name, half=half, remedy=parts[0].cause.remedy, shared=False)


def cause_name(cause: Cause) -> str:
    """What is in doubt, in words: the term, and whether it is the baseline's."""
    name = TERMS[cause.key].name if cause.key in TERMS else cause.subject or cause.name
    return f"the baseline's {name}" if "(baseline." in cause.name else name


def habit_of(running: Running, bore: Value) -> Habit:
    """How an engine is run, as the burn takes it."""
    run = running.run

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
        burn_centre_spread=_read_spread(running),
    )


def _read_spread(running: Running) -> float | None:
    """How well the burn phasing is known where it was measured with a ±: its standard deviation, rad."""
    read = running.stated.get("burn_phasing")
    if read is None or read.origin != Origin.MEASURED:
        return None
    spread = standard(read.number)
    return spread if math.isfinite(spread) and spread > 0 else None


def as_run(geometry: Geometry, running: Running, bore: Value | None) -> Stand | None:
    """One of the two engines as it stands; None without its bore or its charge."""
    if bore is None or running.conditions is None:
        return None
    return Stand(geometry=geometry, conditions=running.conditions, habit=habit_of(running, bore))


def octane_at(
    geometry: Geometry, own: Running, bore: Value | None, base_geometry: Geometry | None, base: Running | None
) -> float | None:
    """The octane difference as worked out, without its interval; None where it is refused."""
    if unready(own, bore, base_geometry, base) or base is None or base_geometry is None:
        return None
    here, there = as_run(geometry, own, bore), as_run(base_geometry, base, bore_of(base, bore))
    if here is None or there is None or refusals(there.case, here.case):
        return None
    return octane_difference(there.case, here.case)


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
    found = [] if bore is not None else [_lacks("bore", "engine")]
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


# How an equivalent is shown: as a ratio up to 14:1, above it only as harder than the baseline.


@record
class EquivalentLine:
    """One convention's line.

    ``figure`` the ratio, None above 14:1 or where there is none; ``beyond`` whether it is above; ``harder`` by how many
    ratios it is above the baseline's, less where negative, None without one; ``reason`` why there is no figure.
    """

    convention: Convention
    figure: Value | None
    beyond: bool
    harder: Value | None
    reason: str


@record
class Drawn:
    """A figure with the interval that holds 95 of 100 draws of what the two engines share."""

    value: float
    low: float
    high: float


@record
class NaturalLine:
    """The same of the knock integral: ``figure`` None above 14:1, ``harder`` None without the baseline's."""

    figure: Drawn | None
    beyond: bool
    harder: Drawn | None


def equivalent_lines(build: Build, baseline: Build | None) -> tuple[EquivalentLine, ...]:
    """Every convention of a build, against the baseline's of the same convention."""
    others = {} if baseline is None or baseline is build else {e.convention.key: e for e in baseline.equivalents}
    return tuple(_line(one, others.get(one.convention.key)) for one in build.equivalents)


def natural_line(knock: Knock) -> NaturalLine | None:
    """The unboosted ratio of equal knock integral; None where knock is not compared or no such engine is there."""
    found, other = knock.natural, knock.natural_baseline
    if found is None:
        return None
    beyond = found.ratio > HARDEST_RUN
    return NaturalLine(
        figure=None if beyond else Drawn(value=found.ratio, low=found.low, high=found.high),
        beyond=beyond,
        harder=None if other is None else _difference(found, other),
    )


def _difference(found: NaturalRatio, other: NaturalRatio) -> Drawn:
    """Draw by draw, so that what both share cancels."""
    low, high = middle_of(found.draws - other.draws)
    return Drawn(value=found.ratio - other.ratio, low=low, high=high)


def _line(one: Equivalent, other: Equivalent | None) -> EquivalentLine:
    key, number = one.convention.key, one.number
    harder = None if other is None else one.harder_than(other)
    shown = None if number is None or one.beyond else computed(key, number, one.convention.meaning)
    return EquivalentLine(
        convention=one.convention,
        figure=shown,
        beyond=one.beyond,
        harder=None if harder is None else computed(key, harder, "less the baseline's"),
        reason=one.reason,
    )
