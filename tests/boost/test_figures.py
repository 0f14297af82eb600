"""A figure linked to what it was worked out from: as it stands, then by its change with each number.

JCGM 100:2008, 5.1.2 and 5.1.3 note 2; the rest is consistency, no physics.
"""

from __future__ import annotations

import pytest

from ccassist.boost.example_engine import STAND
from ccassist.boost.figures import MEASURED, _linked, _moved, _of, linked_differences, too_doubtful
from ccassist.boost.knock import knock_integral
from ccassist.boost.knock_compare import octane_difference
from ccassist.engine.mathematics import step_of
from ccassist.values.number import nominal, standard
from ccassist.values.uncertainty import Cause, budget, doubt


def test_a_figure_follows_each_number_by_half_of_what_both_its_steps_bring() -> None:
    one, two = (value + doubt(0.01 * value, Cause(name, "bore")) for value, name in ((8.0, "one"), (0.5, "two")))
    steps = [step_of(number) for number in (one, two)]
    row = [3.0, 3.0 + 2 * steps[0], 3.0 - 4 * steps[0], 3.0 - steps[1], 3.0 + steps[1]]  # slopes 3 and −1
    made = _linked(row, {"a": one, "b": two})
    assert nominal(made) == pytest.approx(3.0)
    assert {share.cause.name: share.standard for share in budget(made)} == pytest.approx({"one": 0.24, "two": 0.005})
    assert standard(made - 3 * one + two) == pytest.approx(0.0, abs=1e-12)


def test_each_number_is_moved_up_and_then_down_from_where_it_stands() -> None:
    """More ratio and more pressure are harder on the fuel, a later closing is easier."""
    numbers = {key: _of(STAND, key) for key in MEASURED}
    here, *moved = (float(knock_integral(case)) for case in _moved(STAND, numbers))
    assert here == pytest.approx(float(knock_integral(STAND.case)))
    harder = {"static_ratio": 1, "intake_closing": -1, "manifold_pressure": 1}
    for key, up, down in zip(MEASURED, moved[::2], moved[1::2], strict=True):
        assert harder[key] * (up - here) > 0 > harder[key] * (down - here)


def test_a_doubt_that_reaches_beyond_an_engine_leaves_none() -> None:
    assert too_doubtful(STAND) == ""
    wide = STAND.but(static_ratio=9.0 + doubt(8.5, Cause("guessed", "static_ratio")))
    assert "static compression ratio" in too_doubtful(wide)


def test_each_number_goes_to_the_part_of_an_engine_that_it_is_of() -> None:
    geometry, burn = STAND.but(static_ratio=8.5), STAND.but(octane_number=98.0)
    assert geometry.conditions == burn.conditions == STAND.conditions
    assert (geometry.habit, burn.geometry) == (STAND.habit, STAND.geometry)
    air = STAND.but(charge_temperature=330.0)
    assert (air.geometry, air.habit) == (STAND.geometry, STAND.habit)
    assert air.conditions != STAND.conditions


def test_an_octane_difference_follows_the_ratio_by_its_slope_there() -> None:
    """Far from the baseline, by two engines to either side (JCGM 100:2008, 5.1.3 note 2)."""
    hot = STAND.but(boost_gauge=80e3)
    ratio = nominal(hot.geometry.static_ratio)
    ends = [octane_difference(STAND.case, hot.but(static_ratio=ratio + step).case) for step in (0.01, -0.01)]
    (made,) = linked_differences([hot.but(static_ratio=ratio + doubt(0.05, Cause("ratio", "static_ratio")))], STAND)
    assert nominal(made) == pytest.approx(sum(ends) / 2, abs=1e-3)
    assert standard(made) == pytest.approx(abs(ends[0] - ends[1]) / 0.02 * 0.05, rel=1e-3)
