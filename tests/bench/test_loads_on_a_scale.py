"""The error of a weighing scale at loads each put on it by itself: one error for one load, its own for another.

What is checked is the law of propagation with correlated inputs (JCGM 100:2008,
5.2.2: fully correlated effects add up plainly, unrelated ones in squares) for a
scale of known limits: OIML R 76-1:2006, Table 6, class III, e = 0.1 g, doubled
as not verified: 0.3 g either way between 200 g and 1 kg, a rectangle.
"""

from __future__ import annotations

import math

import pytest

from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.values.measured import ground_of
from ccassist.values.number import Number, standard
from ccassist.values.uncertainty import SHAPES
from ccassist.vocabulary import term

SCALE = "scale 0.1 g"
ONE = 0.3e-3 / math.sqrt(3)  # kg


@pytest.fixture
def kit() -> Kit:
    """A kit with one scale."""
    return Kit(instruments={SCALE: INSTRUMENTS[SCALE]})


def error(kit: Kit, load: float) -> Number:
    """Its error at a load [kg], loads within 2 g taken as one."""
    return kit.load_error(SCALE, "fill_volume", load, 2e-3, f"{load * 1e3:g} g", read="dispenser_mass")


def test_one_load_errs_one_way(kit: Kit) -> None:
    """It doubles in the sum of two fills from the same full bottle, and is gone from their difference."""
    first, second = error(kit, 0.430), error(kit, 0.4315)
    assert standard(first + second) == pytest.approx(2 * ONE)
    assert standard(first - second) == pytest.approx(0, abs=1e-15)


def test_two_loads_err_on_their_own(kit: Kit) -> None:
    """A cut-out and its square: neither is known from the other."""
    square, cut_out = error(kit, 0.430), error(kit, 0.385)
    assert standard(square - cut_out) == pytest.approx(math.sqrt(2) * ONE)
    assert standard(square + cut_out) == pytest.approx(math.sqrt(2) * ONE)


def test_load_over_its_capacity_is_not_known(kit: Kit) -> None:
    """Beyond 1 kg nothing is stated of it, so no ± is."""
    assert math.isnan(standard(error(kit, 1.5)))


def test_scale_not_named_is_taken_as_the_usual_one(kit: Kit) -> None:
    """At the half-width that the term declares for what was measured, a normal; a guess, and said."""
    found = kit.load_error("", "fill_volume", 0.4, 2e-3, "400 g", read="dispenser_mass")
    usual = term("dispenser_mass").silent_width("measured", 0.4)
    assert standard(found) == pytest.approx(usual / SHAPES["normal"])
    assert not ground_of(found).sure
