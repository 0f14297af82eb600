"""The map point by point against single cases, which tests/references holds against other libraries.

Consistency, no physics.
"""

from __future__ import annotations

import numpy as np
import pytest

from ccassist.boost.burn_case import CHUNK
from ccassist.boost.charge import GasState, isentropic
from ccassist.boost.gas import mixture
from ccassist.boost.knock import knock_integral, knock_integrals
from ccassist.boost.knock_charge import boost_map
from ccassist.boost.knock_compare import octane_difference
from ccassist.engine.slider_crank import Geometry
from tests.knock_builds import build

BASE = build(9.0, 0.6)
BOOSTS, RATIOS = (0.0, 0.6, 1.4), (7.5, 9.0, 10.0, 12.0)


def made(boost, ratio):
    """A build of the grid."""
    return build(ratio, boost)


def test_every_point_is_a_single_case():
    """Rows are boosts, columns ratios; each point what the one case gives."""
    found, findings = boost_map(BASE, made, BOOSTS, RATIOS)
    assert findings == ()
    assert found.octane_difference.shape == (3, 4)
    for row, boost in enumerate(BOOSTS):
        for column, ratio in enumerate(RATIOS):
            case = build(ratio, boost)
            assert found.octane_difference[row, column] == pytest.approx(octane_difference(BASE, case), abs=1e-9)
            run = case.operating
            trapped = Geometry(static_ratio=ratio, stroke=0.084, rod_length=0.145, intake_closing=run.closing)
            end = isentropic(
                mixture(run.fuel, run.equivalence_ratio, run.residual),
                GasState(pressure=run.pressure, temperature=run.temperature),
                trapped.trapped_ratio,
            )
            assert found.end_pressure[row, column] == pytest.approx(end.pressure, rel=1e-10)
            assert found.end_temperature[row, column] == pytest.approx(end.temperature, rel=1e-10)


def test_the_baseline_lies_at_nothing():
    """Where the grid meets the baseline the difference is nothing, and it rises both ways."""
    found, _ = boost_map(BASE, made, BOOSTS, RATIOS)
    assert found.octane_difference[1, 1] == pytest.approx(0, abs=1e-9)
    assert np.all(np.diff(found.octane_difference, axis=0) > 0)
    assert np.all(np.diff(found.octane_difference, axis=1) > 0)
    assert np.all(np.diff(found.end_pressure, axis=1) > 0)


def test_without_a_baseline_there_is_no_knock_in_it():
    """Pressure and temperature stay."""
    found, findings = boost_map(None, made, BOOSTS, RATIOS)
    assert found.octane_difference is None
    assert [f.code for f in findings] == ["no-baseline"]
    assert found.end_pressure.shape == (3, 4)


def test_a_map_at_another_speed_is_refused():
    """Never across speeds."""
    found, findings = boost_map(BASE, lambda b, r: build(r, b, 5000.0), BOOSTS, RATIOS)
    assert found.octane_difference is None
    assert [f.code for f in findings] == ["other-speed"]


def test_more_cases_than_are_worked_on_at_once():
    """No seam between the parts."""
    count = CHUNK + 3
    ratios = np.linspace(7, 12, count)
    found = knock_integrals(build(ratios, 0.6))
    assert found.shape == (count,)
    for place in (0, CHUNK - 1, CHUNK, count - 1):
        assert found[place] == pytest.approx(knock_integral(build(float(ratios[place]), 0.6)), rel=1e-10)


def test_a_single_row():
    """A grid of one boost is a curve."""
    found, _ = boost_map(BASE, made, [1.0], RATIOS)
    assert found.octane_difference.shape == (1, 4)
