"""Engines that a job does not have yet, builds and combinations of parts, against its baseline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.figures import OCTANE, Stand, octane_differences, too_doubtful
from ccassist.boost.knock_compare import octane_difference
from ccassist.engine.slider_crank import Geometry
from ccassist.plan.boost.build import as_run, by_speed, geometry_of, known_of, unready
from ccassist.plan.boost.stated import (
    GEOMETRY,
    Running,
    baseline_geometry,
    baseline_stated,
    bore_of,
    charge_stated,
)
from ccassist.plan.boost.story import STATED, closings_looked_at
from ccassist.plan.valves.cam_card import cam_card
from ccassist.values.findings import Finding, InputError, error, errors
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number, nominal
from ccassist.values.uncertainty import ASSUMED, Cause, half_width
from ccassist.vocabulary import term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Shape

BOOST, NEEDS = "boost_gauge", ("static_ratio", "bore", "stroke", "rod_length")
NO_CHARGE = "no-charge"
ANY_SPEED = "against the baseline, from 2000 to 6000 rpm: no engine speed is stated"
_ANY = 10.0  # a static ratio to put where the baseline's own stands
NO_BOOST = f'no boost is stated: {BOOST} = "0.8 bar" in [charge], or "0 bar" for none'


@record
class Against:
    """A baseline as the job's own engine leaves it, and the charge of what is set against it.

    bases : the baseline at each position of the intake cam, by intake closing; the hardest counts, as for the engine.
    """

    survey: Survey  # of the job
    own: Running  # the charge and how the engine is run
    bases: tuple[tuple[Value, Stand], ...]

    def run(self, boost: Value | None = None) -> Running | None:
        """How an engine with a boost of its own is run, else as [charge] states; None where no boost is stated."""
        charge = self.survey.stated["charge"]
        if boost is None:
            return self.own if {BOOST, "manifold_pressure"} & charge.keys() else None
        stated = {**{key: one for key, one in charge.items() if key != "manifold_pressure"}, BOOST: boost}
        return charge_stated(replace(self.survey, stated={**self.survey.stated, "charge": stated}))

    def compared(self, engines: Sequence[Mapping[str, Value]]) -> list[Value | str]:
        """The octane difference of each with its ±, in octane, or why it has none.

        ``engines`` : term -> value; one may state its own boost.
        """
        found: list[Value | str] = []
        ready: dict[int, list[tuple[int, Stand]]] = {}
        for row, values in enumerate(engines):
            place, stand = self._hardest(values)
            found.append(stand if isinstance(stand, str) else "")
            if not isinstance(stand, str):
                ready.setdefault(place, []).append((row, stand))
        for place, some in ready.items():
            base = self.bases[place][1]
            numbers = octane_differences([stand for _, stand in some], base)
            for (row, stand), number in zip(some, numbers, strict=True):
                ends = by_speed(self.own, stand, base)
                how = ANY_SPEED if ends else "against the baseline"
                found[row] = computed(OCTANE, number + _of_speed(ends or (), nominal(number)), how)
        return found

    def _hardest(self, values: Mapping[str, Value]) -> tuple[int, Stand | str]:
        """The engine at the position of its cam that is hardest on the fuel; or why it cannot be compared."""
        lacking = [term(key).name for key in NEEDS if key not in values]
        running = self.run(values.get(BOOST))
        if lacking or running is None:
            return 0, f"not given: {', '.join(lacking)}" if lacking else NO_BOOST
        numbers = {key: values[key].number for key in (*GEOMETRY, "pin_offset") if key in values}
        stands = []
        for closing, base in self.bases:
            made = Geometry(**{**numbers, "intake_closing": closing.number})
            stand = as_run(made, running, values["bore"])
            why = "its charge contradicts itself" if stand is None else unsound(stand.case) or too_doubtful(stand)
            if stand is None or why:
                return 0, why
            if refused := refusals(base.case, stand.case):
                return 0, refused[0].wrong
            stands.append(stand)
        if len(stands) == 1:
            return 0, stands[0]
        hard = [octane_difference(base.case, one.case) for (_, base), one in zip(self.bases, stands, strict=True)]
        return hard.index(max(hard)), stands[hard.index(max(hard))]


def _of_speed(ends: Sequence[float], octane: float) -> Number:
    """What an engine speed that nobody states adds to an octane difference: nothing, within the farther end."""
    limit = max((abs(end - octane) for end in ends), default=0.0)
    name, remedy = "engine speed, from 2000 to 6000 rpm", "state engine_speed"
    return half_width(limit, Cause(name=name, key=OCTANE, shape=Shape.RECTANGULAR, remedy=remedy, guess=ASSUMED))


def against(survey: Survey) -> Against | Finding:
    """What others are set against, or the first reason why they cannot be."""
    try:
        return _against(survey)
    except InputError as refused:
        return refused.findings[0]


def _against(survey: Survey) -> Against:
    """Raises InputError where the job has no baseline to be used."""
    own = charge_stated(survey)
    if own is None:
        right = f'add [charge] with {BOOST} = "0.8 bar", and a [baseline] known to run clean'
        raise _refused(NO_CHARGE, "no octane difference without the charge", right)
    card, base, cylinder = cam_card(survey), baseline_stated(survey, own), survey.cylinders[0]
    _raise_first((*card.findings, *own.findings, *(() if base is None else base.findings)))
    looked_at = closings_looked_at(survey, card)
    closings = (looked_at[STATED],) if STATED in looked_at else tuple(looked_at.values())
    bases = []
    for closing in closings or (card.intake_closing,):
        geometry, bore = geometry_of(cylinder, closing, ratio=_ANY), cylinder.values.get("bore")
        if geometry is None or closing is None:
            known = {**known_of(cylinder, closing), "static_ratio": _ANY}
            lacking = ", ".join(term(key).name for key in GEOMETRY if key not in known)
            raise _refused("missing-value", f"no octane difference, not given: {lacking}", "state what is lacking")
        there = baseline_geometry(geometry, base)
        _raise_first(unready(own, bore, there, base), every=True)
        assert base is not None
        assert there is not None
        assert bore is not None
        stand, like = as_run(there, base, bore_of(base, bore)), as_run(there, own, bore)
        assert stand is not None
        assert like is not None
        _raise_first((*refusals(stand.case, like.case), *_doubtful(stand)))
        bases.append((closing, stand))
    return Against(survey=survey, own=own, bases=tuple(bases))


def _doubtful(base: Stand) -> tuple[Finding, ...]:
    why = too_doubtful(base)
    return (error("knock-too-doubtful", why, place="baseline"),) if why else ()


def _raise_first(found: Sequence[Finding], *, every: bool = False) -> None:
    """Raises the first that is an error, or the first of all."""
    for one in found if every else errors(found):
        raise _refused(one.code, one.wrong, one.right, one.place)


def _refused(code: str, wrong: str, right: str, place: str = "") -> InputError:
    return InputError(error(code, wrong, right=right, place=place))
