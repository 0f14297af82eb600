"""What a boosted engine's ratio is worth without boost: one figure for each thing that may be held equal.

There is no single "effective" ratio.  Each convention says what it holds equal
and when it misleads; the number is the static ratio that a naturally aspirated
engine of the same crank and intake closing would need, breathing the same air
at 101.325 kPa.  Above about 14:1 no such engine exists to compare with: such a
figure only says how much harder one build is than another.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from ccassist.boost.charge import Charge, GasState, charge, effective_exponent, isentropic, polytropic, pressure_ratio
from ccassist.boost.conditions import Conditions, aspirated
from ccassist.engine.slider_crank import Geometry
from ccassist.values.findings import NotPossible
from ccassist.values.number import Number, is_uncertain, nominal
from ccassist.values.numerics import NoBracket, root, uncertain_root
from ccassist.vocabulary.record import record

HARDEST_RUN = 14.0  # static ratio above which no naturally aspirated engine is there to compare with (common practice)
LOWEST, HIGHEST = 3.0, 150.0  # static ratios between which an equivalent is looked for
_NUDGE = 1e-4  # of a ratio, for the slope of a criterion


@record
class Convention:
    """One meaning of "equivalent"."""

    key: str  # the term of its figure
    name: str  # as shown
    meaning: str  # what it holds equal
    misleads: str  # when it misleads
    source: str = "definition"  # where it is from


DENSITY = Convention(
    key="density_equivalent",
    name="same charge density",
    meaning="as much charge in each cc at top dead centre",
    misleads="says nothing of pressure or knock, and is always the highest of the plain ones",
)
PRESSURE = Convention(
    key="pressure_equivalent",
    name="same end-of-compression pressure",
    meaning="the same motored pressure at top dead centre",
    misleads="hides temperature: a bad cooler or a hot day does not show in it",
)
TEMPERATURE = Convention(
    key="temperature_equivalent",
    name="same end-of-compression temperature",
    meaning="the same motored temperature at top dead centre",
    misleads="hides pressure: with a good cooler it hardly moves however much boost is put in",
)
KNOCK = Convention(
    key="knock_equivalent",
    name="same knock integral",
    meaning="the same knock integral, same fuel and speed, the unboosted engine burning as the baseline does",
    misleads="burn phasing decides it, and it must never be compared across speeds",
)
ROOT = Convention(
    key="root_equivalent",
    name="square-root habit",
    meaning="static ratio × √ pressure ratio: holds nothing equal, a fit to what people run",
    misleads="read as compression: it fits boosted engines that run a retarded spark, and flatters one that does not",
    source="common practice, no source",
)


@record
class Equivalent:
    """One figure by one convention.

    number : static ratio; a float, or an uncertain number linked to the inputs; None where there is none.
    """

    convention: Convention  # what it holds equal, and when it misleads
    number: Number | None
    reason: str = ""  # why there is none

    @property
    def beyond(self) -> bool:
        """Whether it is above 14:1, where it is shown as harder than a baseline, not as a ratio to build.

        >>> Equivalent(convention=ROOT, number=15.2).beyond
        True
        """
        return self.number is not None and nominal(self.number) > HARDEST_RUN

    def harder_than(self, baseline: Equivalent) -> Number | None:
        """How many ratios harder than a baseline by the same convention; None where either has no figure.

        Raises ValueError for another convention.

        Static ratios.  Source: definition.

        >>> round(Equivalent(convention=ROOT, number=12.0).harder_than(Equivalent(convention=ROOT, number=10.5)), 3)
        1.5
        """
        if baseline.convention is not self.convention:
            raise ValueError("only figures of one convention can be compared")
        if self.number is None or baseline.number is None:
            return None
        return self.number - baseline.number


@record
class Compressed:
    """An engine's charge at intake closing and at top dead centre.

    ``charge`` the record, ``trapped_ratio``, ``end`` pressure and temperature by the isentrope, ``density``
    kg/m³ at top.
    """

    charge: Charge
    trapped_ratio: Number
    end: GasState
    density: Number

    @property
    def polytropic(self) -> GasState:
        """The end by the stated or assumed constant exponent, to be shown beside the isentrope.

        Pa and K.  Source: :func:`ccassist.boost.charge.polytropic`.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.compressed.polytropic.pressure / 1e5, 1)
        23.8
        """
        return polytropic(self.charge.closing, self.trapped_ratio, self.charge.conditions["polytropic_exponent"])

    @property
    def effective_exponent(self) -> Number:
        """The constant exponent that gives the isentrope's end pressure; the trapped ratio must not be 1.

        Without unit.  Source: :func:`ccassist.boost.charge.effective_exponent`.

        >>> from ccassist.boost.example_engine import STAND
        >>> round(STAND.compressed.effective_exponent, 3)
        1.314
        """
        return effective_exponent(self.charge.closing, self.end, self.trapped_ratio)


Criterion = Callable[[Compressed], Number]
CRITERIA: Mapping[str, Criterion] = {
    DENSITY.key: lambda state: state.density,
    PRESSURE.key: lambda state: state.end.pressure,
    TEMPERATURE.key: lambda state: state.end.temperature,
}


def compressed(geometry: Geometry, conditions: Conditions) -> Compressed:
    """The charge of an engine and its isentropic compression to top dead centre.

    SI.  Source: :func:`ccassist.boost.charge.isentropic`.

    >>> from ccassist.boost.example_engine import AIR, GEOMETRY
    >>> round(compressed(GEOMETRY, AIR).end.temperature)
    688
    """
    there = charge(conditions, geometry.static_ratio)
    ratio = geometry.trapped_ratio
    end = isentropic(there.mixture, there.closing, ratio)
    return Compressed(charge=there, trapped_ratio=ratio, end=end, density=there.density * ratio)


def equal_ratio(
    criterion: Callable[[float], Number], wanted: Number, *, sure: Callable[[float], float] | None = None
) -> Number:
    """The static ratio at which a criterion has the wanted value.

    ``criterion`` takes a static ratio and gives what is to be held equal (the knock integral too) of the
    naturally aspirated engine; it must rise with the ratio.  ``sure`` is the same on plain numbers, where
    that is quicker.  Found on plain numbers; doubt in the criterion or in ``wanted`` is
    carried through the slope there.  Raises NotPossible where no ratio from 3 to 150 meets it.

    Source: definition; what is held equal says its own.

    >>> round(equal_ratio(lambda ratio: ratio**1.3, 20.0), 4)
    10.0183
    """

    def certain(ratio: float) -> float:
        return sure(ratio) if sure else nominal(criterion(ratio))

    try:
        found = root(lambda ratio: certain(ratio) - nominal(wanted), LOWEST, HIGHEST)
    except NoBracket:
        raise NotPossible("no naturally aspirated engine from 3:1 to 150:1 matches it") from None
    lacking = criterion(found) - wanted
    if not is_uncertain(lacking):
        return found
    slope = (certain(found + _NUDGE) - certain(found - _NUDGE)) / (2 * _NUDGE)
    return uncertain_root(found, lacking, slope)


def root_habit(static_ratio: Number, ratio: Number) -> Number:
    """The trade's square-root habit: static ratio × √ pressure ratio, absolute over 101.325 kPa.

    Ratios -> ratio.  Source: common practice, no source.

    >>> round(root_habit(7.0, 2.0), 1)
    9.9
    """
    return static_ratio * ratio**0.5


def equivalents(geometry: Geometry, conditions: Conditions) -> tuple[Equivalent, ...]:
    """Every equivalent that needs no burn, for one engine; the doubts that both engines share cancel.

    A convention that no naturally aspirated engine meets has no figure, and says why.

    The knock integral's stands in its own room and is put beside them through :func:`equal_ratio`.

    Static ratios.  Source: definitions.

    >>> from ccassist.boost.example_engine import AIR, GEOMETRY
    >>> [round(one.number, 1) for one in equivalents(GEOMETRY, AIR)]
    [13.4, 12.9, 10.8, 11.4]
    """
    boosted = compressed(geometry, conditions)
    plain_air = aspirated(conditions)
    found = [_equivalent(one, geometry, plain_air, boosted) for one in (DENSITY, PRESSURE, TEMPERATURE)]
    habit = root_habit(geometry.static_ratio, pressure_ratio(conditions["manifold_pressure"]))
    return (*found, Equivalent(convention=ROOT, number=habit))


def _equivalent(convention: Convention, geometry: Geometry, air: Conditions, boosted: Compressed) -> Equivalent:
    """The figure of one convention, or why there is none."""
    try:
        number = _equal(geometry, air, CRITERIA[convention.key], boosted)
    except NotPossible as none:
        return Equivalent(convention=convention, number=None, reason=str(none))
    return Equivalent(convention=convention, number=number)


def _equal(geometry: Geometry, air: Conditions, criterion: Criterion, boosted: Compressed) -> Number:
    """Static ratio of the naturally aspirated engine with the same value of a criterion."""
    sure_geometry, sure_air = geometry.plain(), air.plain()

    def there(ratio: float) -> Number:
        return criterion(compressed(geometry.with_static_ratio(ratio), air))

    def certain(ratio: float) -> float:
        return nominal(criterion(compressed(sure_geometry.with_static_ratio(ratio), sure_air)))

    return equal_ratio(there, criterion(boosted), sure=certain)
