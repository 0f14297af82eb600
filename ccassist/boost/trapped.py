"""Trapped ratio: what is left of the static ratio once the intake has closed.

Geometry alone, exact with pin or block offset; it is only as good as the lift
at which closing was read.  Intake closing counts from true bottom dead centre.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from ccassist.boost.numbers import mathematics_of, plain
from ccassist.engine import slider_crank


@dataclass(frozen=True, kw_only=True)
class Geometry:
    """What the trapped ratio hangs on; floats, arrays or uncertain numbers.

    Attributes
    ----------
    static_ratio : volume at bottom over volume at top dead centre.
    stroke, rod_length, pin_offset : m; offset as in :mod:`ccassist.engine.slider_crank`.
    intake_closing : rad after true bottom dead centre.
    """

    static_ratio: Any
    stroke: Any
    rod_length: Any
    intake_closing: Any
    pin_offset: Any = 0.0

    @property
    def trapped_ratio(self) -> Any:
        """Volume at intake closing over clearance volume.

        >>> from math import radians
        >>> Geometry(static_ratio=9.5, stroke=0.0917, rod_length=0.1489, intake_closing=0.0).trapped_ratio
        9.5
        """
        crank = self.stroke, self.rod_length, self.pin_offset
        m = mathematics_of(self.static_ratio, self.intake_closing, *crank)
        closing = slider_crank.downstroke_angle(*crank, m=m) + self.intake_closing
        return slider_crank.volume_ratio(closing, self.static_ratio, *crank, m=m)

    def with_static_ratio(self, static_ratio: Any) -> Geometry:
        """The same crank and closing with another static ratio."""
        return replace(self, static_ratio=static_ratio)

    def plain(self) -> Geometry:
        """The same without uncertainty."""
        return Geometry(**{field.name: plain(getattr(self, field.name)) for field in fields(self)})

    def closing_at(self, intake_closing: Any) -> Geometry:
        """The same engine with another intake closing, rad after bottom dead centre."""
        return replace(self, intake_closing=intake_closing)


@dataclass(frozen=True, kw_only=True)
class Point:
    """One point of the curve: intake closing, rad after bottom dead centre, and trapped ratio there."""

    intake_closing: Any
    trapped_ratio: Any


def curve(geometry: Geometry, closings: Sequence[Any]) -> tuple[Point, ...]:
    """Trapped ratio at each of the closings, rad after true bottom dead centre."""
    return tuple(Point(intake_closing=c, trapped_ratio=geometry.closing_at(c).trapped_ratio) for c in closings)
