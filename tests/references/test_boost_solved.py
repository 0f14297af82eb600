"""What is solved for knocks alike by SciPy's solver, and ends at the same pressure by Cantera.

The burn is coded a second time (test_knock_solver); the compression is Cantera's own of the same molecules.
"""

from __future__ import annotations

from math import radians
from typing import Any

import pytest

from ccassist.boost.conditions import aspirated, conditions, value
from ccassist.boost.figures import OCTANE, Stand, figure
from ccassist.boost.knock_charge import builder, natural_ratio
from ccassist.boost.solve_boost import solve_boost
from ccassist.engine.slider_crank import Geometry
from ccassist.values.number import nominal
from tests.boost.test_solve_boost import CLEAN, HABIT, TODAY
from tests.references.sources import cites
from tests.references.test_burn_cantera import gas, molecules
from tests.references.test_knock_solver import Reference

__all__ = ["gas"]  # the fixture


@cites("knock-solver")
@pytest.mark.parametrize("unknown", ["static_ratio", "octane_number", "burn_phasing"])
def test_the_same_knock_integral(unknown: str) -> None:
    """From 9.0 at 0.6 bar to 8.5 at 1.0 bar: the ratio, the fuel or the phasing that brings the integral back."""
    answer = solve_boost(TODAY, unknown=unknown, target=OCTANE, value=0.0, baseline=CLEAN)
    found = TODAY.but(**{unknown: nominal(answer.number)})
    clean, made, unchanged = (Reference(one.case).solve(rtol=1e-8)[2] for one in (CLEAN, found, TODAY))
    assert made == pytest.approx(clean, rel=3e-4)
    assert unchanged > 1.2 * clean


@cites("knock-solver")
def test_the_unboosted_ratio_that_knocks_alike() -> None:
    geometry = Geometry(static_ratio=8.5, stroke=0.084, rod_length=0.145, intake_closing=radians(55), pin_offset=0.0008)
    air = conditions("iso-octane", {"boost_gauge": value("boost_gauge", 1e5, "stated", "")})
    found, findings = natural_ratio(geometry, air, HABIT)
    assert found is not None
    assert findings == ()
    assert found.low < found.ratio < found.high
    boosted, natural = builder(geometry, air, HABIT)(8.5), builder(geometry, aspirated(air), HABIT)(found.ratio)
    assert Reference(natural).solve(rtol=1e-8)[2] == pytest.approx(Reference(boosted).solve(rtol=1e-8)[2], rel=3e-4)


def end_pressure(stand: Stand, gas: Any) -> float:
    """By Cantera: from the state at closing, at the same entropy, to the smaller volume [Pa]."""
    closing, left = stand.compressed.charge.closing, stand.compressed.charge.residual_fraction
    shares = []
    for made in molecules("iso-octane", 1 / 0.88):
        gas.TPX = 300.0, 1e5, made
        shares.append(gas.Y.copy())
    gas.TPY = closing.temperature, closing.pressure, (1 - left) * shares[0] + left * shares[1]
    gas.SV = gas.s, gas.v / stand.geometry.trapped_ratio
    return float(gas.P)


@cites("cantera")
@pytest.mark.parametrize("unknown", ["static_ratio", "boost_gauge", "intake_closing"])
def test_the_same_end_pressure(unknown: str, gas: Any) -> None:
    wanted = figure("end_pressure", CLEAN)
    number = solve_boost(TODAY, unknown=unknown, target="end_pressure", value=wanted).number
    assert end_pressure(TODAY.but(**{unknown: nominal(number)}), gas) == pytest.approx(
        end_pressure(CLEAN, gas), rel=1e-6
    )
    assert end_pressure(CLEAN, gas) == pytest.approx(wanted, rel=1e-6)
