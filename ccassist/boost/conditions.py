"""How an engine is run, as far as its charge depends on it: what is stated, what is assumed, and why.

Every number stands under its term key with its origin, so that each figure
can show its assumptions and any of them can be varied.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from ccassist.boost.gas import FUELS
from ccassist.engine.mathematics import chosen, plain
from ccassist.values.findings import Finding, error, warning
from ccassist.values.number import Number, is_array, is_uncertain, nominal
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin, Shape

if TYPE_CHECKING:
    from ccassist.values.measured import Value


REFERENCE_PRESSURE = 101325.0  # Pa: what pressure ratio is counted from, never the local barometer
CUSTOM = "common practice, no source"


@record
class Assumption:
    """What is taken where nothing is stated: SI number, ± within which it may be, and why."""

    key: str
    number: float
    within: float
    why: str


def _assumption(key: str, number: float, within: float, why: str) -> Assumption:
    return Assumption(key=key, number=number, within=within, why=why)


AIR = (
    _assumption("intake_air_temperature", 298.15, 10.0, "a warm day"),
    _assumption("charge_heating", 20.0, 10.0, "port, valve and cylinder walls, evaporation taken off"),
    _assumption("exhaust_ratio", 1.05, 0.1, "the gas left behind stands a little above manifold pressure"),
    _assumption("residual_temperature", 1100.0, 150.0, "exhaust gas when it mixes"),
    _assumption("filling", 1.065, 0.115, "0.95 to 1.18: a well-filled engine stands 12 to 18 % above its manifold"),
    _assumption("mixture_strength", 0.88, 0.05, "full load, rich"),
    # of fuel vapour and air near 345 K
    _assumption("polytropic_exponent", 1.32, 0.03, "fuel vapour and air without heat loss; usually 1.28 to 1.35"),
)
COMPRESSOR = (
    _assumption("exhaust_ratio", 1.4, 0.4, "with a turbine in the way, 1.0 to 1.8"),
    _assumption("inlet_drop", 0.0, 0.0, "nothing lost before the compressor"),
    _assumption("compressor_efficiency", 0.75, 0.06, "usual range 0.65 to 0.78"),
    _assumption("cooler_effectiveness", 0.75, 0.10, "usual range 0.6 to 0.85"),
    _assumption("cooler_drop", 1e4, 5e3, "its usual range"),
)
# What is computed here, in working order, and from what; and what a newly stated term puts in its own place.
_FROM = {
    "barometer": {"altitude"},
    "manifold_pressure": {"boost_gauge", "barometer"},
    "coolant_temperature": {"intake_air_temperature"},
    "filling": {"closing_pressure", "manifold_pressure"},
}
_INSTEAD = {
    "altitude": "barometer",
    "boost_gauge": "manifold_pressure",
    "manifold_pressure": "boost_gauge",
    "filling": "closing_pressure",
}


@record
class Conditions:
    """The charge's side of an engine.

    fuel : one of :data:`ccassist.boost.gas.FUELS`.
    values : by term key, each with its origin; always manifold_pressure, barometer and the terms of
        AIR, with a compressor also coolant_temperature and the terms of COMPRESSOR; besides,
        charge_temperature and residual_fraction where they are stated, which then go before what
        would be computed.  Numbers may be floats, uncertain numbers, or arrays of one shape.
    """

    fuel: str
    values: Mapping[str, Value]

    def __getitem__(self, key: str) -> Number:
        """The number of a term, SI."""
        return self.values[key].number

    @property
    def compressed(self) -> bool:
        """Whether a compressor feeds the engine.

        >>> from ccassist.boost.example_engine import AIR
        >>> AIR.compressed
        True
        """
        return _compressed(self.values)

    def but(self, **numbers: Number) -> Conditions:
        """The same with other numbers, by term key; what was computed from them follows.

        Gauge boost, altitude or absolute manifold pressure so stated takes the place of the manifold
        pressure, barometer or gauge boost that was stated before.

        SI.

        >>> from ccassist.boost.example_engine import AIR
        >>> round(AIR.but(boost_gauge=100e3)['manifold_pressure'])
        201325
        """
        gone = {_INSTEAD[key] for key in numbers if key in _INSTEAD}
        for key, sources in _FROM.items():
            if key in self.values and self.values[key].origin == Origin.COMPUTED and sources & (gone | set(numbers)):
                gone.add(key)
        kept = {key: old for key, old in self.values.items() if key not in gone}
        new = {key: value(key, number, Origin.STATED, "") for key, number in numbers.items()}
        return self._with_exhaust(conditions(self.fuel, {**kept, **new}), numbers.get("boost_gauge", 1.0))

    def _with_exhaust(self, made: Conditions, boost: Number) -> Conditions:
        """What is assumed of the exhaust goes with a compressor: of an array of boosts, with that of each."""
        exhaust = made.values["exhaust_ratio"]
        if exhaust.origin != Origin.ASSUMED or (not is_array(boost) and made.compressed == self.compressed):
            return made
        ways = [_assumed(next(one for one in of if one.key == "exhaust_ratio")) for of in (COMPRESSOR, AIR)]
        if is_array(boost):
            number = chosen(plain(boost) == 0, *(plain(one.number) for one in reversed(ways)))
            now = replace(ways[0], number=number)
        else:
            now = ways[0] if made.compressed else _free_exhaust()
            now = now if is_uncertain(exhaust.number) else replace(now, number=plain(now.number))
        return replace(made, values={**made.values, "exhaust_ratio": now})

    def plain(self) -> Conditions:
        """The same without uncertainty, SI.

        >>> from ccassist.boost.example_engine import AIR
        >>> AIR.plain() == AIR
        True
        """
        sure = {k: replace(v, number=plain(v.number)) for k, v in self.values.items() if is_uncertain(v.number)}
        return replace(self, values={**self.values, **sure}) if sure else self


def conditions(fuel: str, stated: Mapping[str, Value]) -> Conditions:
    """What is stated, completed by what is assumed.

    ``stated`` by term key: ``boost_gauge`` with the air around, or ``manifold_pressure`` absolute, or
    neither for an engine without a compressor; ``barometer``, else ``altitude``, else the standard
    atmosphere at sea level; ``closing_pressure`` sets the filling.  Each assumption becomes one
    uncertain number, made here once.  Raises ValueError for a fuel that is not known.

    SI.  Source of what is assumed: common practice, no source.

    >>> made = conditions('iso-octane', {'boost_gauge': value('boost_gauge', 60e3, Origin.STATED, '')})
    >>> round(nominal(made['manifold_pressure'])), made.values['cooler_effectiveness'].origin.value
    (161325, 'assumed')
    """
    if fuel not in FUELS:
        raise ValueError(f"no such fuel: {fuel}")
    values = dict(stated)
    if "boost_gauge" in values and not is_array(values["boost_gauge"].number) and values["boost_gauge"].nominal == 0:
        del values["boost_gauge"]  # no boost is no compressor
    if "barometer" not in values:
        values["barometer"] = _barometer(values)
    if "manifold_pressure" not in values:
        values["manifold_pressure"] = _manifold(values)
    if "closing_pressure" in values:
        share = values["closing_pressure"].number / values["manifold_pressure"].number
        values["filling"] = _computed("filling", share, "stated pressure at closing ÷ manifold pressure")
    for assumption in (*COMPRESSOR, *AIR) if _compressed(values) else AIR:  # the first of a term counts
        if assumption.key not in values:
            values[assumption.key] = _assumed(assumption)
    if _compressed(values) and "coolant_temperature" not in values:
        air = values["intake_air_temperature"].number
        values["coolant_temperature"] = _computed("coolant_temperature", air, "as the intake air")
    return Conditions(fuel=fuel, values=values)


def aspirated(like: Conditions) -> Conditions:
    """The naturally aspirated engine to compare with: same air, fuel and habits, no compressor, at 101.325 kPa.

    Pa.

    >>> from ccassist.boost.example_engine import AIR
    >>> aspirated(AIR)['manifold_pressure'], aspirated(AIR).compressed
    (101325.0, False)
    """
    kept = {key: like.values[key] for key in (*(a.key for a in AIR), "residual_fraction") if key in like.values}
    if like.compressed and like.values["exhaust_ratio"].origin == Origin.ASSUMED:
        free = _free_exhaust()
        sure = not is_uncertain(like["exhaust_ratio"])
        kept["exhaust_ratio"] = replace(free, number=plain(free.number)) if sure else free
    for key in ("barometer", "manifold_pressure"):
        kept[key] = _computed(key, REFERENCE_PRESSURE, "what the pressure ratio is counted from")
    return Conditions(fuel=like.fuel, values=kept)


@cache
def _free_exhaust() -> Value:
    """Of every engine without a compressor, so that what two of them share cancels."""
    return _assumed(next(one for one in AIR if one.key == "exhaust_ratio"))


def remarks(stated: Mapping[str, Value]) -> tuple[Finding, ...]:
    """What does not fit together among the stated conditions (SI).

    >>> stated = {key: value(key, 1.6e5, Origin.STATED, '') for key in ('boost_gauge', 'manifold_pressure')}
    >>> [finding.code for finding in remarks(stated)]
    ['boost-twice']
    """
    found = []
    if "boost_gauge" in stated and "manifold_pressure" in stated:
        wrong = "boost is stated both as gauge and as absolute manifold pressure"
        found.append(error("boost-twice", wrong, right="keep the one that was read", place="boost_gauge"))
    if "altitude" in stated and "barometer" in stated:
        standard, read = standard_pressure(stated["altitude"].nominal), stated["barometer"].nominal
        if abs(read / nominal(standard) - 1) > 0.05:
            wrong = "the barometer does not fit the altitude: it looks reduced to sea level"
            found.append(warning("barometer-reduced", wrong, right="read it on site", place="barometer"))
    barometer = (stated.get("barometer") or _barometer(stated)).nominal
    if "manifold_pressure" in stated and stated["manifold_pressure"].nominal < 0.95 * barometer:
        wrong = "the absolute manifold pressure is below the air around it: a gauge figure?"
        right = "gauge boost goes under boost_gauge"
        found.append(warning("gauge-for-absolute", wrong, right=right, place="manifold_pressure"))
    return tuple(found)


def absolute(boost_gauge: Number, barometer: Number) -> Number:
    """Absolute manifold pressure from gauge boost and the air around.  [Pa], [Pa] -> [Pa].

    Source: definition.

    >>> absolute(60e3, 101e3)
    161000.0
    """
    return boost_gauge + barometer


def gauge(manifold_pressure: Number, barometer: Number) -> Number:
    """Gauge boost from absolute manifold pressure and the air around.  [Pa], [Pa] -> [Pa].

    Source: definition.

    >>> gauge(161e3, 101e3)
    60000.0
    """
    return manifold_pressure - barometer


def _compressed(values: Mapping[str, Value]) -> bool:
    return "boost_gauge" in values or values["manifold_pressure"].origin != Origin.COMPUTED


def _barometer(values: Mapping[str, Value]) -> Value:
    """The standard atmosphere, with the weather of the day as its doubt."""
    altitude: Number = values["altitude"].number if "altitude" in values else 0.0
    standard = standard_pressure(altitude)
    day = _doubt("barometer", 0.02 * plain(standard), "weather of the day, ± 2 %", "read a barometer on site")
    where = "altitude, geometric" if "altitude" in values else "sea level"
    return _computed("barometer", standard + day, f"standard atmosphere, ISO 2533, {where}")


def _manifold(values: Mapping[str, Value]) -> Value:
    barometer = values["barometer"].number
    if "boost_gauge" in values:
        number = absolute(values["boost_gauge"].number, barometer)
        return _computed("manifold_pressure", number, "gauge boost + barometer")
    return _computed("manifold_pressure", barometer, "the air around, nothing lost")


def value(key: str, number: Number, origin: Origin, how: str) -> Value:
    """A number with its story; loads the uncertain numbers only now.

    SI.  Source: as ``how`` says.

    >>> value('filling', 1.0, Origin.STATED, '').nominal
    1.0
    """
    from ccassist.values.measured import Value

    return Value(key=key, number=number, origin=origin, how=how)


def _computed(key: str, number: Number, how: str) -> Value:
    return value(key, number, Origin.COMPUTED, how)


def _assumed(assumption: Assumption) -> Value:
    number: Number = assumption.number
    if assumption.within:
        number = number + _doubt(
            assumption.key, assumption.within, assumption.why, f"state {assumption.key}", assumed=True
        )
    return value(assumption.key, number, Origin.ASSUMED, assumption.why)


def _doubt(key: str, within: float, why: str, remedy: str, *, assumed: bool = False) -> Number:
    """What is without ground: assumed, or not read."""
    from ccassist.values.uncertainty import ASSUMED, UNREAD, Cause, half_width

    guess = ASSUMED if assumed else UNREAD
    return half_width(
        within, Cause(name=why, key=key, shape=Shape.RECTANGULAR, source=CUSTOM, remedy=remedy, guess=guess)
    )


# The standard atmosphere: pressure and temperature of the air by altitude.  Source: ISO 2533:1975, Standard Atmosphere
# (the ICAO standard atmosphere is the same to 32 km), lowest layer, up to 11 km geopotential.
#
# Two altitudes, never mixed: *geometric* is height in metres as a map gives it; *geopotential* is the altitude at which
# gravity is taken as constant, 3 m less at 4 km.  The figures of a real day differ by ± 3 % and more: a barometer read
# on site is better.

SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
LAPSE = 0.0065  # K per metre of geopotential altitude
GRAVITY = 9.80665  # m/s²
AIR_CONSTANT = 287.05287  # J/(kg K), of ISO 2533
EARTH_RADIUS = 6_356_766.0  # m, of ISO 2533


def geopotential(altitude: Number) -> Number:
    """Geopotential of a geometric altitude.  [m] -> [m].

    Source: ISO 2533:1975, 2.3.

    >>> round(geopotential(4000.0), 1)
    3997.5
    """
    return EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)


def geometric(altitude: Number) -> Number:
    """Geometric altitude of a geopotential one.  [m] -> [m].

    Source: ISO 2533:1975, 2.3.

    >>> round(geometric(geopotential(4000.0)), 6)
    4000.0
    """
    return EARTH_RADIUS * altitude / (EARTH_RADIUS - altitude)


def standard_pressure(altitude: Number) -> Number:
    """Standard air pressure at a geometric altitude.  [m] -> [Pa].

    Source: ISO 2533:1975, lowest layer.

    >>> round(standard_pressure(1000.0), 1)
    89876.3
    """
    return pressure_geopotential(geopotential(altitude))


def standard_temperature(altitude: Number) -> Number:
    """Standard air temperature at a geopotential altitude.  [m] -> [K].

    Source: ISO 2533:1975, lowest layer.

    >>> standard_temperature(2000.0)
    275.15
    """
    return SEA_LEVEL_TEMPERATURE - LAPSE * altitude


def pressure_geopotential(altitude: Number) -> Number:
    """Standard air pressure at a geopotential altitude.  [m] -> [Pa].

    Source: ISO 2533:1975, lowest layer.

    >>> round(pressure_geopotential(2000.0))
    79495
    """
    part = standard_temperature(altitude) / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * part ** (GRAVITY / AIR_CONSTANT / LAPSE)
