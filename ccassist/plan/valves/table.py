"""The table of lift, piston drop and gap about top dead centre at overlap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ccassist.plan.valves.place import Place


@dataclass(frozen=True, kw_only=True)
class TableRow:
    """One crank angle [rad]: piston drop [m], lift and gap as read, and the least gap over the phasing [m].

    None where the lift curve does not reach.
    """

    crank: float
    drop: float
    lift: float | None
    gap: float | None
    worst: float | None


def table_of(place: Place, angles: Sequence[float]) -> tuple[TableRow, ...]:
    """One row for each crank angle after top dead centre [rad]."""
    return tuple(_row(place, angle) for angle in angles)


def _row(place: Place, angle: float) -> TableRow:
    lift = place.curve.at(angle) if place.covers(angle) else None
    return TableRow(
        crank=angle,
        drop=place.drop(angle),
        lift=lift,
        gap=None if lift is None else place.gap_at(angle, lift),
        worst=place.worst_at(angle),
    )


def angles_about(around: float, every: float) -> list[float]:
    """Angles either side of top dead centre, with it among them [rad]."""
    count = int(around / every + 1e-9)
    return [every * i for i in range(-count, count + 1)]
