"""One engine as it stands: crank and ratio, charge, and how it is run; and the same engine with something changed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from ccassist.boost.burn_case import Case
from ccassist.boost.charge import charge
from ccassist.boost.conditions import Conditions, aspirated, gauge
from ccassist.boost.equivalents import Compressed, compressed
from ccassist.boost.knock_charge import Habit, case_of
from ccassist.boost.numbers import plain
from ccassist.boost.trapped import Geometry

GEOMETRY = ("static_ratio", "stroke", "rod_length", "pin_offset", "intake_closing")
RUN = {"burn_phasing": "burn_centre", "burn_duration": "burn_duration", "octane_number": "octane"}


@dataclass(frozen=True, kw_only=True)
class Stand:
    """An engine as it stands.

    Attributes
    ----------
    geometry : what the trapped ratio hangs on.
    conditions : of the charge.
    habit : how it is run; None where that is not known, and nothing can be said of knock.
    """

    geometry: Geometry
    conditions: Conditions
    habit: Habit | None = None

    @cached_property
    def compressed(self) -> Compressed:
        """Its charge at intake closing and at top dead centre."""
        return compressed(self.geometry, self.conditions)

    @property
    def case(self) -> Case:
        """What its burn is worked out from, in plain numbers; raises ValueError where it is not known how it is run."""
        if self.habit is None:
            raise ValueError("it is not known how the engine is run")
        sure = self.plain()
        return case_of(sure.geometry, charge(sure.conditions, sure.geometry.static_ratio), self.habit)

    def plain(self) -> Stand:
        """The same without uncertainty."""
        return replace(self, geometry=self.geometry.plain(), conditions=self.conditions.plain())

    def natural(self, static_ratio: Any) -> Stand:
        """The naturally aspirated engine of another ratio on the same crank and closing, at 101.325 kPa."""
        return replace(
            self, geometry=self.geometry.with_static_ratio(static_ratio), conditions=aspirated(self.conditions)
        )

    def but(self, **numbers: Any) -> Stand:
        """The same with other numbers by term key, SI: of the geometry, of the burn, or else of the charge."""
        geometry = {key: n for key, n in numbers.items() if key in GEOMETRY}
        run = {RUN[key]: plain(n) for key, n in numbers.items() if key in RUN}
        air = {key: n for key, n in numbers.items() if key not in geometry and key not in RUN}
        return Stand(
            geometry=replace(self.geometry, **geometry),
            conditions=self.conditions.but(**air) if air else self.conditions,
            habit=replace(self.habit, **run) if run and self.habit else self.habit,
        )

    def now(self, key: str) -> Any:
        """What a term is here, by key, SI; None where it is nothing that is stated or worked out of an engine."""
        if key in GEOMETRY:
            return getattr(self.geometry, key)
        if key in RUN:
            return None if self.habit is None else getattr(self.habit, RUN[key])
        if key == "charge_temperature":
            return self.compressed.charge.charge_temperature
        if key == "boost_gauge":
            return gauge(self.conditions["manifold_pressure"], self.conditions["barometer"])
        one = self.conditions.values.get(key)
        return None if one is None else one.number
