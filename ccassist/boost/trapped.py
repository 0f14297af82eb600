"""Trapped ratio: what is left of the static ratio once the intake has closed.

Geometry alone, exact with pin or block offset; it is only as good as the lift at which closing was read.  Intake
closing counts from true bottom dead centre.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

from ccassist.engine import slider_crank
from ccassist.engine.mathematics import mathematics_of, plain
from ccassist.values.number import Number
from ccassist.vocabulary.record import record


@record
class Geometry:
    """What the trapped ratio hangs on; floats, arrays or uncertain numbers.

    Attributes
    ----------
    static_ratio : volume at bottom over volume at top dead centre.
    stroke, rod_length, pin_offset : m; offset as in :mod:`ccassist.engine.slider_crank`.
    intake_closing : rad after true bottom dead centre.
    """

    static_ratio: Number
    stroke: Number
    rod_length: Number
    intake_closing: Number
    pin_offset: Number = 0.0

    @property
    def trapped_ratio(self) -> Number:
        """Volume at intake closing over clearance volume.

        Ratio.  Source: slider-crank geometry.

        >>> from math import radians
        >>> Geometry(static_ratio=9.5, stroke=0.0917, rod_length=0.1489, intake_closing=0.0).trapped_ratio
        9.5
        """
        crank = self.stroke, self.rod_length, self.pin_offset
        m = mathematics_of(self.static_ratio, self.intake_closing, *crank)
        closing = slider_crank.downstroke_angle(*crank, m=m) + self.intake_closing
        return slider_crank.volume_ratio(closing, self.static_ratio, *crank, m=m)

    def with_static_ratio(self, static_ratio: Number) -> Geometry:
        """The same crank and closing with another static ratio.

        Source: definition; all else as it is.

        >>> from ccassist.boost.example_engine import GEOMETRY
        >>> GEOMETRY.with_static_ratio(10.0).static_ratio
        10.0
        """
        return replace(self, static_ratio=static_ratio)

    def plain(self) -> Geometry:
        """The same without uncertainty, SI.

        >>> from ccassist.boost.example_engine import GEOMETRY
        >>> GEOMETRY.plain() == GEOMETRY
        True
        """
        return Geometry(**{field.name: plain(getattr(self, field.name)) for field in fields(self)})

    def closing_at(self, intake_closing: Number) -> Geometry:
        """The same engine with another intake closing, rad after bottom dead centre.

        Source: definition; all else as it is.

        >>> from ccassist.boost.example_engine import GEOMETRY
        >>> round(GEOMETRY.closing_at(0.0).trapped_ratio, 6)
        9.0
        """
        return replace(self, intake_closing=intake_closing)


@record
class Point:
    """One point of the curve: intake closing, rad after bottom dead centre, and trapped ratio there."""

    intake_closing: Number
    trapped_ratio: Number


def curve(geometry: Geometry, closings: Sequence[Number]) -> tuple[Point, ...]:
    """Trapped ratio at each of the closings, rad after true bottom dead centre.

    Source: slider-crank geometry.

    >>> from ccassist.boost.example_engine import GEOMETRY
    >>> [round(point.trapped_ratio, 3) for point in curve(GEOMETRY, (0.0, 1.0))]
    [9.0, 7.583]
    """
    return tuple(Point(intake_closing=c, trapped_ratio=geometry.closing_at(c).trapped_ratio) for c in closings)
