"""The depth of a pocket counts from the crown flat, whatever the crown is under the valve without it.

Gaps against each other, by plane geometry (common practice, no source).
"""

from __future__ import annotations

from math import cos, radians

import pytest

from ccassist.plan.piston.fits_valves import ordered_rooms
from tests.order_job import DISH, changed, order_from, pocket, valve

PLACED = 'valve_pockets = "over the valve"'


def gap(crown: str, *, depth: float | None = None) -> float:
    """Least gap of the valve over a dished crown [mm]."""
    more = pocket(depth=depth, diameter=42.0, tilt=12.0) if depth is not None else ""
    order = order_from(changed(PLACED, crown=DISH, more=more + valve(1.0, crown)))
    worst = ordered_rooms(order.spec.planned)["intake"].worst
    assert worst is not None
    return worst.gap.nominal * 1e3


BELOW = 'crown_at_valve = "{} +/- 0.05 mm below the flat, measured"\n'
ABOVE = BELOW.replace("below", "above")


def test_a_pocket_deeper_than_the_hollow_has_one_floor_whatever_was_hollowed() -> None:
    assert gap(BELOW.format("1.5"), depth=5.0) == pytest.approx(gap("", depth=5.0), abs=1e-9)


def test_a_pocket_through_raised_metal_has_the_same_floor_too() -> None:
    assert gap(ABOVE.format("2.0"), depth=5.0) == pytest.approx(gap("", depth=5.0), abs=1e-9)


def test_a_pocket_shallower_than_the_hollow_adds_nothing() -> None:
    assert gap(BELOW.format("4.0"), depth=0.3) == pytest.approx(gap(BELOW.format("4.0")), abs=1e-9)


def test_a_hollow_alone_adds_what_it_is_along_the_stem() -> None:
    """Way to a flat crown along a stem leaning 12 degrees: ÷ cosine (plane geometry)."""
    assert gap(BELOW.format("1.5")) - gap("") == pytest.approx(1.5 / cos(radians(12)), rel=0.02)
