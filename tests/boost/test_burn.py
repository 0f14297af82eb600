"""The burn against exact limits of its own equations.

First and second law of thermodynamics, Simpson's rule (SciPy) and geometry; outside sources stand in
tests/references.
"""

from __future__ import annotations

import math
from math import asin, log, pi, radians

import numpy as np
import pytest
from scipy.integrate import simpson

from ccassist.boost.burn import burn_progress, burn_start, trace, wiebe
from ccassist.boost.burn_case import CHUNK, ROWS, arrays, floats, gases, parts, row_at
from ccassist.boost.charge import GasState, isentropic
from ccassist.boost.gas import mixture
from tests.each import each
from tests.knock_builds import build

MOTORED = {"heat_release": 0.0, "heat_loss": 0.0}


@pytest.mark.parametrize("offset", [0.0, 0.0008, -0.010])
def test_without_heat_it_is_the_isentrope(offset):
    """First and second law: no heat in or out leaves the isentrope, whatever the steps do."""
    case = build(9.5, 1.0, pin_offset=offset, **MOTORED)
    nodes = [node for node in trace(case) if not node.burning]
    gas = mixture("iso-octane", 1 / 0.88, case.operating.residual)
    start = GasState(pressure=case.operating.pressure, temperature=case.operating.temperature)
    for node in nodes[1:]:
        exact = isentropic(gas, start, nodes[0].volume / node.volume)
        assert node.pressure == pytest.approx(exact.pressure, rel=2e-5)
        assert node.temperature == pytest.approx(exact.temperature, rel=2e-5)


@pytest.mark.parametrize(("boost", "fuel", "strength"), [(0.0, "iso-octane", 1.136), (1.5, "ethanol", 0.9)])
def test_the_first_law_holds(boost, fuel, strength):
    """Without loss to the walls the internal energy falls by the work alone, whatever burns (Simpson's rule)."""
    case = build(9.0, boost, fuel=fuel, equivalence_ratio=strength, heat_loss=0.0, heat_release=1.0)
    nodes = [node for node in trace(case, steps=(40, 400)) if node.burning]
    first, last = nodes[0], nodes[-1]
    run, before = case.operating, mixture(fuel, strength, case.operating.residual)
    mass = run.pressure * next(trace(case)).volume / (before.gas_constant * run.temperature)
    after = mixture(fuel, strength, run.residual + (1 - run.residual) * run.burned_at_end)
    gained = mass * (after.internal_energy(last.temperature) - before.internal_energy(first.temperature))
    work = simpson([n.pressure for n in nodes], x=[n.volume for n in nodes])
    assert gained == pytest.approx(-work, rel=1e-4)


def test_the_burn_ends_at_the_share_asked_for():
    """By the Wiebe curve itself."""
    case = build(9.5, burned_at_end=0.8)
    run, last = case.operating, list(trace(case))[-1]
    start = burn_start(run.burn_centre, run.burn_duration)
    assert wiebe((last.angle - start) / run.burn_duration) == pytest.approx(0.8, rel=1e-12)
    assert wiebe((run.burn_centre - start) / run.burn_duration) == pytest.approx(0.5, rel=1e-12)


def test_steepness_is_the_slope_of_the_pressure():
    """Numerical differentiation of the trace itself."""
    nodes = [node for node in trace(build(9.5, 1.0), steps=(14, 400)) if node.burning]
    for before, here, after in zip(nodes[100::60], nodes[101::60], nodes[102::60], strict=False):
        slope = log(after.pressure / before.pressure) / (after.angle - before.angle)
        assert here.steepness == pytest.approx(slope, abs=2e-4)


def test_more_loss_less_pressure():
    """Sign: heat leaves a gas hotter than the wall."""
    peaks = [max(n.pressure for n in trace(build(9.5, 1.0, heat_loss=loss))) for loss in (0.0, 1.0, 2.0)]
    assert peaks == sorted(peaks, reverse=True)
    assert peaks[0] - peaks[2] > 1e5


def test_a_cold_wall_takes_from_a_motored_charge_and_a_hot_one_gives():
    """Sign of the heat loss before the burn."""

    def before_burn(wall: float) -> float:
        nodes = [n for n in trace(build(9.5, wall_temperature=wall)) if not n.burning]
        return float(nodes[-1].temperature)

    assert before_burn(300.0) < before_burn(450.0) < before_burn(900.0)


def test_arrays_are_the_plain_sum():
    """Both kinds of mathematics go through the same formulas."""
    ratios, boosts = np.array([7.0, 9.5, 12.0]), np.array([1.8, 0.0, 0.6])
    many = list(trace(build(ratios, boosts), m=arrays()))
    for place, (ratio, boost) in enumerate(zip(ratios, boosts, strict=True)):
        for node, one in zip(many, trace(build(float(ratio), float(boost))), strict=True):
            assert node.pressure[place] == pytest.approx(one.pressure, rel=1e-11)
            assert node.temperature[place] == pytest.approx(one.temperature, rel=1e-11)


@each("fuel", ["iso-octane", "toluene", "ethanol"])
@each("temperature", [250.0, 333.3, 671.0, 995.0, 1004.0, 2477.0, 4000.0])
def test_the_table_is_the_polynomial(fuel, temperature):
    """The gas data of the tool: NASA TM-4513 polynomials."""
    for share in (0.0, 0.37, 1.0):
        got = gases(fuel, 1.1, floats()).heat_capacity(row_at(temperature, m=floats()), share)
        assert got == pytest.approx(mixture(fuel, 1.1, share).cp(temperature), rel=3e-5)


def test_beyond_the_table_it_goes_on():
    """No index runs off either end."""
    charge = gases("iso-octane", 1.0, floats())
    assert charge.heat_capacity(row_at(150.0, m=floats()), 0.0) < charge.heat_capacity(row_at(200.0, m=floats()), 0.0)
    assert charge.heat_capacity(row_at(6000.0, m=floats()), 1.0) > 0


def test_progress_undoes_the_curve():
    """Inverse functions."""
    for share in (0.01, 0.1, 0.5, 0.9, 0.98):
        assert wiebe(burn_progress(share)) == pytest.approx(share, rel=1e-12)


def test_closing_counts_from_true_bottom():
    """With offset the two dead centres are not half a turn apart (asin(d/(L − r)) − asin(d/(L + r)))."""
    assert build(9.5).closing_angle() == pytest.approx(radians(55) - pi)
    asymmetry = build(9.5, pin_offset=0.010).closing_angle() - build(9.5).closing_angle()
    assert asymmetry == pytest.approx(asin(0.010 / (0.145 - 0.042)) - asin(0.010 / (0.145 + 0.042)), abs=1e-10)


def test_parts_cover_everything_once():
    """Bounded memory must lose no case."""
    seen = np.zeros(2 * CHUNK + 5)
    for part in parts(len(seen)):
        seen[part] += 1
        assert len(seen[part]) <= CHUNK
    assert np.all(seen == 1)


def test_the_row_of_a_table_is_found_alike_for_one_case_and_for_many() -> None:
    """Below the table its first row, above it its last."""
    places = [-3.0, 0.0, 0.7, 1.0, 41.9, ROWS - 1.5, ROWS - 1.0, ROWS + 0.5, 1e6]
    alone = [floats().row(place) for place in places]
    assert list(arrays().row(np.array(places))) == alone
    assert alone == [min(max(math.floor(place), 0), ROWS - 1) for place in places]
