"""Compressors and compression of textbook examples, with the constant heat capacities that they take."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest

from ccassist.boost.charge import GasState, compressor_outlet, effective_exponent, isentropic, polytropic
from ccassist.boost.gas import Mixture, mixture
from ccassist.values.numerics import root
from tests.references.sources import cites


def gas_of(gamma: float) -> Mixture:
    """Dry air whose heat capacities stand in one ratio at every temperature."""
    dry = mixture("none", 0.0, 0.0)
    row = (gamma / (gamma - 1) * float(dry.gas_constant), *[0.0] * 6)
    return replace(dry, cool=row, hot=row)


OUTLETS = [  # K, pressure ratio, efficiency, γ or n; printed outlet [K], how near
    pytest.param(288, 1.6, 0.74, 1.4, 343.93, 0.006, marks=cites("gupta"), id="Gupta 15.1"),
    pytest.param(290, 1.8, 0.90, 1.4, 348.92, 0.006, marks=cites("gupta"), id="Gupta 15.5"),
    pytest.param(290, 1.8 / 0.98, 0.80, 1 / (1 - 0.286), 86 + 273, 0.5, marks=cites("gupta"), id="Gupta 15.6"),
    pytest.param(288, 1.3, 0.75, 1.4, 317, 1.0, marks=cites("gupta"), id="Gupta 15.7, approx"),
    pytest.param(
        300, 1.7, 0.75, 1.4, 366.67, 1.2, marks=cites("mathur"), id="Mathur & Sharma 17.1, 349.11 taken as 350"
    ),
    pytest.param(325, 1.6, 0.70, 1.4, 391.73, 0.01, marks=cites("rajput"), id="Rajput 16.1"),
]


@pytest.mark.parametrize(("start", "ratio", "efficiency", "gamma", "printed", "near"), OUTLETS)
def test_compressors(start: float, ratio: float, efficiency: float, gamma: float, printed: float, near: float) -> None:
    assert compressor_outlet(start, ratio, efficiency, gas_of(gamma)) == pytest.approx(printed, abs=near)


@cites("gupta")
def test_filling_over_free_air() -> None:
    """15.1: 288 K, ratio 1.6, efficiency 0.74: 134 % of free air."""
    assert 1.6 * 288 / compressor_outlet(288.0, 1.6, 0.74, gas_of(1.4)) == pytest.approx(1.34, abs=0.005)


@cites("gupta")
def test_power_of_a_compressor_after_the_carburettor() -> None:
    """15.7: 265 K, 1.3, 0.75, γ 1.33: 27.0 kW a kg of air a second; 15/14 of it, 1.05 kJ/(kg K), rounded upwards."""
    hot = compressor_outlet(265.0, 1.3, 0.75, gas_of(1.33))
    assert 15 / 14 * 1.05 * (hot - 265) == pytest.approx(27.0, abs=0.3)


COOLERS = [  # K, ratio, γ or n; flow [kg/s]; printed heat [kW]
    pytest.param(290, 1.8, 0.90, 1.4, 1.5 * 4.5e-3 * 2000 / 60 * 1e5 / (287 * 290), 330, 5.14, marks=cites("gupta"),
                 id="Gupta 15.5: 4.5 l, 4000 rpm, filling 1.5, to 330 K"),
    pytest.param(289, sqrt(7), 1.0, 1.25, 0.2 * 1e5 / (287 * 289), 289, 15.04, marks=cites("rajput"),
                 id="Rajput 20.18: two stages, back to the start"),
    pytest.param(300, 4, 1.0, 1.3, 10.5 / 60, 300, 19.89, marks=cites("rajput"), id="Rajput 20.26"),
]  # fmt: skip


@pytest.mark.parametrize(("start", "ratio", "efficiency", "gamma", "flow", "cold", "printed"), COOLERS)
def test_heat_taken_by_coolers(
    start: float, ratio: float, efficiency: float, gamma: float, flow: float, cold: float, printed: float
) -> None:
    """Heat capacity 1.005 kJ/(kg K): what it takes to bring the compressor's outlet where the book has it."""
    hot = compressor_outlet(float(start), ratio, efficiency, gas_of(gamma))
    assert flow * 1.005 * (hot - cold) == pytest.approx(printed, abs=0.006)


@cites("rajput")
def test_pressure_between_two_stages() -> None:
    """20.18: 1 to 7 bar; the least work, both stages ending alike, asks for 0.26 MPa between."""
    gas = gas_of(1.25)

    def apart(bar: float) -> float:
        return float(compressor_outlet(289.0, bar, 1.0, gas) - compressor_outlet(289.0, 7 / bar, 1.0, gas))

    assert root(apart, 1.5, 5.0) == pytest.approx(2.6, abs=0.05)


CYCLES = [  # r, start [K], [Pa], exponent; printed end [K], [Pa], how near
    pytest.param(6.0, 300, 1e5, 1.4, 341.3 + 273, 12.29e5, 0.2, marks=cites("gupta"), id="Gupta 2.1"),
    pytest.param(6.5, 292, 1e5, 1.4, 617.4, 13.7e5, 0.1, marks=cites("bhatt"), id="Bhatt & Mehta 6.13"),
    pytest.param(16.0, 290, 1e5, 1.4, 879.1, 48.5e5, 0.1, marks=cites("bhatt"), id="Bhatt & Mehta 6.15"),
    pytest.param(15.0, 300, 1e5, 1.4, 886.3, 4431.3e3, 0.1, marks=cites("bhatt"), id="Bhatt & Mehta 6.25"),
    pytest.param(
        8.0, 529.67 / 1.8, 14.7, 1.4, 1217 / 1.8, 270, 0.3, marks=cites("balmer"), id="Balmer 13.14, °R, psia"
    ),
    pytest.param(
        6.0, 333, 1e5, 1.32, 590, 10.65e5, 1.0, marks=cites("mathur"), id="Mathur & Sharma 3.2, power rounded"
    ),
    pytest.param(
        1 / 6, 1842, 1e5, 1.4, 899.558, None, 1e-3, marks=cites("rajput-computer"), id="Rajput 13.10, expansion"
    ),
]


@pytest.mark.parametrize(("ratio", "start", "pressure", "exponent", "kelvin", "end_pressure", "near"), CYCLES)
def test_compression(
    ratio: float, start: float, pressure: float, exponent: float, kelvin: float, end_pressure: float | None, near: float
) -> None:
    """By the polytropic and, for air of that γ, by the isentrope of the gas."""
    begin = GasState(pressure=pressure, temperature=float(start))
    ends = [polytropic(begin, ratio, exponent), isentropic(gas_of(exponent), begin, ratio)]
    for end in ends:
        assert end.temperature == pytest.approx(kelvin, abs=near)
        assert end_pressure is None or end.pressure == pytest.approx(end_pressure, rel=4e-3)
    assert effective_exponent(begin, ends[1], ratio) == pytest.approx(exponent, rel=1e-6)
