"""Trapped ratio: limits, kinds of number, curve and phaser range; trade examples stand in tests/references.

Geometry of rod and throw, by Pythagoras; the rest is consistency.
"""

from __future__ import annotations

from math import asin, cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.engine import slider_crank
from ccassist.engine.slider_crank import Geometry

ENGINE = Geometry(static_ratio=9.5, stroke=0.084, rod_length=0.145, intake_closing=radians(55))
DESAXE = Geometry(static_ratio=9.5, stroke=0.084, rod_length=0.145, pin_offset=0.010, intake_closing=radians(55))


@pytest.mark.parametrize("engine", [ENGINE, DESAXE])
def test_closing_at_bottom_gives_the_static_ratio(engine: Geometry) -> None:
    """Limit: nothing is pushed back out."""
    assert engine.closing_at(0.0).trapped_ratio == pytest.approx(9.5, rel=1e-12)


def test_closing_at_top_traps_nothing() -> None:
    """Limit, no offset: half a turn after bottom the piston is at the top again."""
    assert ENGINE.closing_at(radians(180)).trapped_ratio == pytest.approx(1.0, rel=1e-12)


def test_an_endless_rod_is_a_cosine() -> None:
    """Limit: the piston is then r (1 + cos 55°) below the top; the real rod leaves over 0.4 of a ratio more."""
    endless = Geometry(static_ratio=9.5, stroke=0.084, rod_length=1e4, intake_closing=radians(55))
    assert endless.trapped_ratio == pytest.approx(1 + 8.5 * (1 + cos(radians(55))) / 2, rel=1e-5)
    assert ENGINE.trapped_ratio > endless.trapped_ratio + 0.4


def test_closing_counts_from_true_bottom() -> None:
    """Pythagoras, with the dead centres where rod and throw are in line (d = 10 mm)."""
    throw, rod, offset = 0.042, 0.145, 0.010
    turned = pi + asin(offset / (rod - throw)) + radians(55)
    top, bottom = (sqrt((rod + side * throw) ** 2 - offset**2) for side in (1, -1))
    pin = throw * cos(turned) + sqrt(rod**2 - (throw * sin(turned) - offset) ** 2)
    assert DESAXE.trapped_ratio == pytest.approx(1 + 8.5 * (top - pin) / (top - bottom), rel=1e-11)
    from_half_a_turn = slider_crank.volume_ratio(radians(235), 9.5, 0.084, 0.145, 0.010)
    assert from_half_a_turn - DESAXE.trapped_ratio > 0.05


def test_ten_degrees_are_four_to_five_tenths_of_a_ratio() -> None:
    """Recomputed rule: ± 10° of closing is ∓ 0.4 to 0.5 of a ratio near 55°."""
    early, late = (ENGINE.closing_at(radians(55 + turn)).trapped_ratio for turn in (-10, 10))
    assert 0.35 < early - ENGINE.trapped_ratio < 0.5
    assert 0.4 < ENGINE.trapped_ratio - late < 0.55


def test_curve_falls_with_later_closing() -> None:
    closings = [radians(angle) for angle in range(0, 101, 10)]
    ratios = [ENGINE.closing_at(closing).trapped_ratio for closing in closings]
    assert ratios == sorted(ratios, reverse=True)
    together = ENGINE.closing_at(np.array(closings)).trapped_ratio
    assert together == pytest.approx(ratios, rel=1e-13)


def test_doubt_comes_from_closing_and_ratio() -> None:
    closing, ratio = ufloat(radians(55), radians(2)), ufloat(9.5, 0.1)
    found = ENGINE.closing_at(closing).with_static_ratio(ratio).trapped_ratio
    slope = (ENGINE.closing_at(radians(56)).trapped_ratio - ENGINE.closing_at(radians(54)).trapped_ratio) / 2
    along = (ENGINE.trapped_ratio - 1) / 8.5
    assert found.nominal_value == pytest.approx(ENGINE.trapped_ratio, rel=1e-13)
    assert found.std_dev == pytest.approx(((2 * slope) ** 2 + (0.1 * along) ** 2) ** 0.5, rel=1e-3)


def test_plain_takes_the_doubt_off() -> None:
    assert ENGINE.closing_at(ufloat(radians(55), 0.1)).plain() == ENGINE
