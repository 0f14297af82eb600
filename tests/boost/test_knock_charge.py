"""From the charge to the burn, and the unboosted ratio that knocks alike."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from ccassist.boost.charge import charge
from ccassist.boost.conditions import conditions, value
from ccassist.boost.equivalents import compressed
from ccassist.boost.knock_charge import (
    Habit,
    boost_map,
    builder,
    case_of,
    end_of_compression,
    map_builder,
    natural_ratio,
)
from ccassist.engine.slider_crank import Geometry

GEOMETRY = Geometry(static_ratio=8.5, stroke=0.084, rod_length=0.145, intake_closing=radians(55), pin_offset=0.0008)
HABIT = Habit(bore=0.0853, speed=2500 / 60, burn_centre=radians(8), burn_duration=radians(50), octane=95.0)


def boosted(gauge=1e5):
    """Conditions at a gauge boost, all else assumed by the tool; its assumptions are uncertain numbers."""
    return conditions("iso-octane", {"boost_gauge": value("boost_gauge", gauge, "stated", "")})


def test_the_case_is_the_charge():
    """What the charge says at intake closing is where the burn begins; doubts are left behind."""
    air = charge(boosted(), 8.5)
    case = case_of(GEOMETRY, air, HABIT)
    run = case.operating
    for got, said in (
        (run.pressure, air.closing.pressure),
        (run.temperature, air.closing.temperature),
        (run.residual, air.residual_fraction),
    ):
        assert isinstance(got, float)
        assert got == getattr(said, "nominal_value", said)
    assert 1 + case.cylinder.swept_volume() / case.cylinder.clearance_volume == pytest.approx(8.5, rel=1e-12)
    assert case.cylinder.pin_offset == 0.0008
    assert 60 < run.cooler_span < 120


def test_the_end_of_compression_is_the_rooms_own():
    """The map shows the same end state as the other figures of the room."""
    case, other = builder(GEOMETRY, boosted(), HABIT)(8.5), compressed(GEOMETRY, boosted().plain())
    assert end_of_compression(case).pressure == pytest.approx(other.end.pressure, rel=1e-9)
    assert end_of_compression(case).temperature == pytest.approx(other.end.temperature, rel=1e-9)


def test_ratios_as_arrays():
    """Many ratios at once are the single ones."""
    build = builder(GEOMETRY, boosted(), HABIT)
    many = build(np.array([8.0, 10.0]))
    for place, ratio in enumerate((8.0, 10.0)):
        for name in ("clearance_volume", "temperature", "residual"):
            assert many.numbers()[name][place] == pytest.approx(build(ratio).numbers()[name], rel=1e-12)


def test_a_map_from_the_charge():
    """Boost in Pa over the air around; at the baseline's own place there is no difference."""
    baseline = builder(GEOMETRY, boosted(6e4), HABIT)(9.0)
    found, findings = boost_map(baseline, map_builder(GEOMETRY, boosted(), HABIT), [3e4, 6e4, 1e5], [8.0, 9.0, 10.0])
    assert findings == ()
    assert found.octane_difference[1, 1] == pytest.approx(0, abs=1e-8)
    assert found.octane_difference[0, 0] < 0 < found.octane_difference[2, 2]


def test_natural_ratio_of_an_unboosted_engine():
    """Limit: without a compressor, at 101.325 kPa, it is the engine's own, beyond doubt."""
    found, _ = natural_ratio(GEOMETRY, conditions("iso-octane", {}), HABIT)
    assert found is not None
    assert (found.low, found.ratio, found.high) == pytest.approx((8.5, 8.5, 8.5), rel=1e-7)


def test_retard_brings_the_natural_ratio_down():
    """Burn phasing decides: against an unboosted engine that is not retarded, some 0.3 of a ratio a degree."""
    late = replace(HABIT, burn_centre=radians(16))
    found, _ = natural_ratio(GEOMETRY, boosted(), late, natural_centre=radians(8))
    same, _ = natural_ratio(GEOMETRY, boosted(), HABIT)
    assert found is not None
    assert same is not None
    assert 1.5 < same.ratio - found.ratio < 3.5


def test_refused_like_any_comparison():
    """A fuel beyond the correlation has no equivalent either."""
    found, findings = natural_ratio(GEOMETRY, boosted(), replace(HABIT, ethanol=0.85))
    assert found is None
    assert "knock-ethanol" in [f.code for f in findings]
