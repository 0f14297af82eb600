"""One engine as it stands: crank and ratio, charge, and how it is run; and the figures that a builder can aim at."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from ccassist.boost.burn_case import Case, stacked
from ccassist.boost.cautions import refusals, unsound
from ccassist.boost.charge import charge, pressure_ratio
from ccassist.boost.conditions import Conditions, aspirated, gauge
from ccassist.boost.equivalents import CRITERIA, ROOT, Compressed, compressed, equal_ratio, root_habit
from ccassist.boost.knock import OCTANE_EXPONENT, knock_integrals, octane_over
from ccassist.boost.knock_charge import Habit, case_of
from ccassist.boost.knock_compare import octane_difference, spread_of, spreads
from ccassist.engine.mathematics import plain, step_of
from ccassist.engine.slider_crank import Geometry
from ccassist.values.findings import NotPossible
from ccassist.values.number import Number, nominal, standard
from ccassist.vocabulary import term
from ccassist.vocabulary.record import once, record

GEOMETRY = ("static_ratio", "stroke", "rod_length", "pin_offset", "intake_closing")
RUN = {"burn_phasing": "burn_centre", "burn_duration": "burn_duration", "octane_number": "octane"}


@record
class Stand:
    """An engine as it stands."""

    geometry: Geometry  # what the trapped ratio hangs on
    conditions: Conditions  # of the charge
    habit: Habit | None = None  # how it is run; None where that is not known, and nothing can be said of knock

    @cached_property
    def compressed(self) -> Compressed:
        """Its charge at intake closing and at top dead centre, SI.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.compressed.end.pressure / 1e5, 1)
        23.6
        """
        return compressed(self.geometry, self.conditions)

    @cached_property
    def case(self) -> Case:
        """What its burn is worked out from, in plain numbers; raises ValueError where it is not known how it is run.

        >>> from ccassist.boost.example_engine import STAND
        >>> STAND.case.operating.octane
        95.0
        """
        if self.habit is None:
            raise ValueError("it is not known how the engine is run")
        sure = self.plain()
        return case_of(sure.geometry, charge(sure.conditions, sure.geometry.static_ratio), self.habit)

    def plain(self) -> Stand:
        """The same without uncertainty, SI.

        >>> from ccassist.boost.example_engine import STAND
        >>> STAND.plain() == STAND
        True
        """
        return replace(self, geometry=self.geometry.plain(), conditions=self.conditions.plain())

    def natural(self, static_ratio: Number) -> Stand:
        """The naturally aspirated engine of another ratio on the same crank and closing, at 101.325 kPa.

        Source: definition.

        >>> from ccassist.boost.example_engine import STAND
        >>> STAND.natural(10.0).conditions['manifold_pressure']
        101325.0
        """
        return replace(
            self, geometry=self.geometry.with_static_ratio(static_ratio), conditions=aspirated(self.conditions)
        )

    def but(self, **numbers: Number) -> Stand:
        """The same with other numbers by term key, SI: of the geometry, of the burn, or else of the charge.

        >>> from ccassist.boost.example_engine import STAND
        >>> STAND.but(static_ratio=8.5, boost_gauge=80e3).geometry.static_ratio
        8.5
        """
        geometry = {key: n for key, n in numbers.items() if key in GEOMETRY}
        run = {RUN[key]: plain(n) for key, n in numbers.items() if key in RUN}
        air = {key: n for key, n in numbers.items() if key not in geometry and key not in RUN}
        return Stand(
            geometry=replace(self.geometry, **geometry),
            conditions=self.conditions.but(**air) if air else self.conditions,
            habit=replace(self.habit, **run) if run and self.habit else self.habit,
        )

    def now(self, key: str) -> Number | None:
        """What a term is here, by key, SI; None where it is nothing that is stated or worked out of an engine.

        Source: as stated, or what the engine's geometry makes of it.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.now('boost_gauge'))
        60000
        """
        if key in GEOMETRY:
            stated: Number = getattr(self.geometry, key)
            return stated
        if key in RUN and self.habit is not None:
            run: float = getattr(self.habit, RUN[key])
            return run
        if key == "charge_temperature":
            return self.compressed.charge.charge_temperature
        if key == "boost_gauge":
            return gauge(self.conditions["manifold_pressure"], self.conditions["barometer"])
        one = self.conditions.values.get(key)
        return None if one is None else one.number


OCTANE = "octane_difference"


def _root(stand: Stand) -> Number:
    return root_habit(stand.geometry.static_ratio, pressure_ratio(stand.conditions["manifold_pressure"]))


_DIRECT: Mapping[str, Callable[[Stand], Number]] = {
    "static_ratio": lambda stand: stand.geometry.static_ratio,
    "trapped_ratio": lambda stand: stand.geometry.trapped_ratio,
    "end_pressure": lambda stand: stand.compressed.end.pressure,
    "end_temperature": lambda stand: stand.compressed.end.temperature,
    ROOT.key: _root,
}
FIGURES = (*_DIRECT, *CRITERIA, OCTANE)


def figure(key: str, stand: Stand, baseline: Stand | None = None) -> Number:
    """One figure of an engine, SI; floats give floats, and uncertain numbers stay linked to their inputs.

    key : one of FIGURES.
    baseline : known to run clean; only the octane difference needs it, and is always plain.

    Raises NotPossible: no naturally aspirated engine matches an equivalent; ValueError: no baseline, or it is not known
    how an engine is run, or its numbers are no engine.

    Source: that of each figure.

    >>> from ccassist.boost.example_engine import STAND
    >>> round(figure('trapped_ratio', STAND), 3), round(figure('pressure_equivalent', STAND), 1)
    (7.693, 12.9)
    """
    if key in _DIRECT:
        return _DIRECT[key](stand)
    if key in CRITERIA:
        sure = stand.plain()
        return equal_ratio(
            lambda ratio: CRITERIA[key](stand.natural(ratio).compressed),
            CRITERIA[key](stand.compressed),
            sure=lambda ratio: nominal(CRITERIA[key](sure.natural(ratio).compressed)),
        )
    if baseline is None:
        raise ValueError("an octane difference needs a baseline")
    return octane_difference(baseline.case, stand.case)


# The doubt of an octane difference as one uncertain number: from what was measured, and from the draws.

MEASURED = ("static_ratio", "intake_closing", "manifold_pressure")  # what was read or stated and decides
_CAUSE = "what the engine and its baseline share or differ in without anybody knowing"


def measured_difference(stand: Stand, baseline: Stand, *, but: str) -> Number:
    """The octane difference, linked to the measured inputs of both engines.

    ``but`` : a term taken as exact in the engine, because it is what is looked for.

    Raises NotPossible: a ± reaches beyond what an engine can have.

    Octane numbers.  Source: JCGM 100:2008, 5.1.3 note 2, and :func:`octane_difference`.

    >>> from ccassist.boost.example_engine import STAND
    >>> round(measured_difference(STAND, STAND, but=''), 6)
    0.0
    """
    keys = tuple(key for key in MEASURED if key != ("manifold_pressure" if but == "boost_gauge" else but))
    beyond = too_doubtful(stand, keys) or too_doubtful(baseline, keys)
    if beyond:
        raise NotPossible(beyond)
    return linked_differences([stand], baseline, keys)[0]


def linked_differences(stands: Sequence[Stand], baseline: Stand, keys: Sequence[str] = MEASURED) -> list[Number]:
    """The octane difference of each, linked to what was measured of it and of the baseline; all worked on at once.

    ``keys`` : of the terms so linked.

    Octane numbers.  Source: JCGM 100:2008, 5.1.3 note 2, and :func:`octane_over`.

    >>> from ccassist.boost.example_engine import STAND
    >>> [round(found, 6) for found in linked_differences([STAND, STAND], STAND)]
    [0.0, 0.0]
    """
    known, own = _logarithm(baseline, tuple(keys)), _logarithms(stands, keys)  # apart: their mixtures may differ
    octane = baseline.case.operating.octane
    found: list[Number] = []
    for one in own:
        apart: Number = one - known
        over = nominal(octane_over(octane, math.exp(nominal(apart))))
        found.append(over + (octane + over) / OCTANE_EXPONENT * (apart - nominal(apart)))
    return found


@once
def _logarithm(baseline: Stand, keys: tuple[str, ...]) -> Number:
    """That of the baseline, against which one engine after another is set."""
    return _logarithms([baseline], keys)[0]


def _logarithms(stands: Sequence[Stand], keys: Sequence[str]) -> list[Number]:
    """Of the knock integral of engines of one fuel and mixture, linked to these terms."""
    import numpy as np

    read = [{key: _of(one, key) for key in keys} for one in stands]
    cases = [case for one, numbers in zip(stands, read, strict=True) for case in _moved(one, numbers)]
    rows = np.log(knock_integrals(stacked(cases))).reshape(len(read), -1)
    return [_linked(row.tolist(), numbers) for row, numbers in zip(rows, read, strict=True)]


def _moved(stand: Stand, numbers: Mapping[str, Number]) -> Iterator[Case]:
    """The engine as it stands, then with each number moved up and down."""
    here = {key: float(plain(number)) for key, number in numbers.items()}
    yield _at(stand, here).case
    for key, number in numbers.items():
        for side in (1, -1):
            yield _at(stand, {**here, key: here[key] + side * step_of(number)}).case


def _linked(row: Sequence[float], numbers: Mapping[str, Number]) -> Number:
    """The first of the row by its change with each number."""
    found: Number = row[0]
    for number, up, down in zip(numbers.values(), row[1::2], row[2::2], strict=True):
        found = found + (up - down) / 2 / step_of(number) * (number - nominal(number))
    return found


def octane_differences(stands: Sequence[Stand], baseline: Stand) -> list[Number]:
    """The octane difference of each with all that is in doubt of it: what was measured linked, what is drawn besides.

    Octane numbers.  Source: :func:`linked_differences` and :func:`ccassist.boost.knock_compare.spreads`.

    >>> from ccassist.boost.example_engine import STAND
    >>> octane_differences([STAND], STAND)[0].std_dev > 1
    True
    """
    if not stands:
        return []
    drawn = spreads(baseline.case, [one.case for one in stands])
    linked = linked_differences(stands, baseline)
    return [number + _drawn(spread, OCTANE) for number, spread in zip(linked, drawn, strict=True)]


def too_doubtful(stand: Stand, keys: Sequence[str] = MEASURED) -> str:
    """Why a difference has no ±: within that of one of these terms no engine can be so; nothing where it has one.

    >>> from ccassist.boost.example_engine import STAND
    >>> too_doubtful(STAND)
    ''
    """
    here = {key: float(plain(_of(stand, key))) for key in keys}
    for key, number in here.items():
        spread = standard(_of(stand, key))
        low, high = term(key).possible
        for end in (number - spread, number + spread) if math.isfinite(spread) else ():
            if not low <= end <= high or unsound(_at(stand, {**here, key: end}).case):
                return f"the ± of the {term(key).name} reaches beyond what an engine can have: state it closer"
    return ""


def draws_doubt(case: Case, baseline: Case, key: str) -> Number:
    """Nothing ± the standard deviation of all draws, in octane; ``key`` is the term that it is carried into.

    Source: JCGM 101:2008, 7; what is drawn are planning assumptions.

    >>> from ccassist.boost.example_engine import CASE
    >>> draws_doubt(CASE, CASE, 'octane_number').std_dev > 1
    True
    """
    return _drawn(0.0 if refusals(baseline, case) else spread_of(baseline, case), key)


def _drawn(spread: float, key: str) -> Number:
    """Nothing ± a standard deviation of draws, octane."""
    from ccassist.values.uncertainty import ASSUMED, Cause, doubt

    remedy = "hold cooler, filling, spark and burn of both alike"
    source = "drawn by chance; planning assumptions"
    return doubt(spread, Cause(name=_CAUSE, key=key, source=source, remedy=remedy, guess=ASSUMED))


def _of(stand: Stand, key: str) -> Number:
    return stand.conditions[key] if key == "manifold_pressure" else getattr(stand.geometry, key)


def _at(stand: Stand, numbers: Mapping[str, float]) -> Stand:
    """The engine at other numbers, the pressure put in its place without a word on where it comes from."""
    values, others = dict(stand.conditions.values), dict(numbers)
    if "manifold_pressure" in others:
        values["manifold_pressure"] = replace(values["manifold_pressure"], number=others.pop("manifold_pressure"))
    return replace(stand.but(**others), conditions=replace(stand.conditions, values=values))
