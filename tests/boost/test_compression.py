"""Compression: its limits, kinds of number, and how doubt is carried through the isentrope.

Outside checks stand in tests/references (textbooks, Cantera, CoolProp).
"""

from __future__ import annotations

import numpy as np
import pytest
from uncertainties import ufloat

from ccassist.boost.charge import GasState, effective_exponent, isentropic, polytropic
from ccassist.boost.gas import mixture

START = GasState(pressure=1e5, temperature=350.0)
GAS = mixture("iso-octane", 1.1, 0.04)


@pytest.mark.parametrize("ratio", [1.0, 1.0001, 7.3, 30.0, 100.0])
def test_entropy_stays_as_it_was(ratio: float) -> None:
    """Gibbs: s°(T₂) − s°(T₁) = R ln(p₂/p₁) on an isentrope of an ideal gas."""
    end = isentropic(GAS, START, ratio)
    rise = GAS.entropy_function(end.temperature) - GAS.entropy_function(350.0)
    assert rise == pytest.approx(GAS.gas_constant * np.log(end.pressure / 1e5), abs=1e-6)
    assert end.pressure * 350.0 == pytest.approx(1e5 * ratio * end.temperature, rel=1e-14)


def test_expansion_undoes_compression() -> None:
    back = isentropic(GAS, isentropic(GAS, START, 9.0), 1 / 9.0)
    assert back.temperature == pytest.approx(350.0, rel=1e-9)
    assert back.pressure == pytest.approx(1e5, rel=1e-9)


def test_arrays_agree_with_floats() -> None:
    shares, starts, ratios = np.array([0.0, 0.05, 0.1]), np.array([320.0, 350.0, 420.0]), np.array([5.0, 8.0, 40.0])
    start = GasState(pressure=np.array([1e5, 2e5, 3e5]), temperature=starts)
    together = isentropic(mixture("iso-octane", 1.1, shares), start, ratios)
    for i in range(3):
        gas = mixture("iso-octane", 1.1, float(shares[i]))
        singly = isentropic(
            gas, GasState(pressure=float(start.pressure[i]), temperature=float(starts[i])), float(ratios[i])
        )
        assert together.temperature[i] == pytest.approx(singly.temperature, rel=1e-12)
        assert together.pressure[i] == pytest.approx(singly.pressure, rel=1e-12)


def temperature_after(strength: float, residual: float, start: float, ratio: float) -> float:
    gas = mixture("iso-octane", 1 / strength, residual)
    return float(isentropic(gas, GasState(pressure=1e5, temperature=start), ratio).temperature)


INPUTS = {"strength": (0.9, 0.02), "residual": (0.05, 0.01), "start": (350.0, 5.0), "ratio": (8.0, 0.1)}


@pytest.mark.parametrize("name", INPUTS)
def test_doubt_of_the_isentrope_is_its_slope(name: str) -> None:
    """Against central differences of the plain compression, input by input."""
    at = {key: value for key, (value, _) in INPUTS.items()}
    value, spread = INPUTS[name]
    nudge = value * 1e-4
    slope = temperature_after(**{**at, name: value + nudge}) - temperature_after(**{**at, name: value - nudge})
    doubtful = {**at, name: ufloat(value, spread)}
    gas = mixture("iso-octane", 1 / doubtful["strength"], doubtful["residual"])
    end = isentropic(gas, GasState(pressure=1e5, temperature=doubtful["start"]), doubtful["ratio"])
    assert end.temperature.nominal_value == pytest.approx(temperature_after(**at), rel=1e-12)
    assert end.temperature.std_dev == pytest.approx(abs(slope) / 2 / nudge * spread, rel=1e-3)


def test_doubts_shared_by_two_compressions_cancel() -> None:
    """The difference of two equal builds is nothing, with no doubt: the inputs are linked, not copied."""
    start = GasState(pressure=ufloat(1e5, 1e3), temperature=ufloat(350.0, 10.0))
    ends = [isentropic(GAS, start, ufloat(8.0, 0.1) * 0 + 8.0) for _ in range(2)]
    apart = ends[0].temperature - ends[1].temperature
    assert apart.nominal_value == 0
    assert apart.std_dev == pytest.approx(0.0, abs=1e-12)
    assert ends[0].temperature.std_dev > 10


def test_polytropic_is_the_isentrope_at_the_effective_exponent() -> None:
    end = isentropic(GAS, START, 8.0)
    same = polytropic(START, 8.0, effective_exponent(START, end, 8.0))
    assert same.pressure == pytest.approx(end.pressure, rel=1e-12)
    assert same.temperature == pytest.approx(end.temperature, rel=1e-12)
