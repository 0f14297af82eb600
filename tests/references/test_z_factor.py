"""Volume from apparent mass: ISO 8655-6 / ISO 4787 eq. (1)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from uncertainties import ufloat

from ccassist.bench.densities import ICE_POINT, air_density, water_density, z_factor
from ccassist.bench.fills import instrument_growth
from ccassist.bench.instruments import INSTRUMENTS
from ccassist.bench.kit import Kit
from ccassist.values.number import nominal


def z_of_water(t, pascal, humidity=0.5, weight=8000.0):
    """Z in mL/g, as printed."""
    return 1e3 * z_factor(water_density(ICE_POINT + t), air_density(pascal, humidity, ICE_POINT + t), weight)


# Table of Z [mL/g] of ISO 8655-6, as commonly reproduced (reproduction seen, the standard itself not).
KILOPASCAL = (95, 100, 101.3, 105)
# fmt: off
PRINTED = {
    20.0: (1.0028, 1.0028, 1.0029, 1.0029), 20.5: (1.0029, 1.0029, 1.0030, 1.0030),
    21.0: (1.0030, 1.0031, 1.0031, 1.0031), 21.5: (1.0031, 1.0032, 1.0032, 1.0032),
    22.0: (1.0032, 1.0033, 1.0033, 1.0033), 22.5: (1.0033, 1.0034, 1.0034, 1.0034),
    23.0: (1.0034, 1.0035, 1.0035, 1.0036), 23.5: (1.0036, 1.0036, 1.0036, 1.0037),
}
# fmt: on
CELLS = [(t, p, z) for t, row in PRINTED.items() for p, z in zip(KILOPASCAL, row, strict=True)]

# fmt: off
# 50 % humidity, 1013.25 hPa; Tanaka and simplified CIPM in double precision [mL/g].
COMPUTED = {
    10: 1.00139, 15: 1.00197, 18: 1.00247, 20: 1.00285, 22: 1.00328, 25: 1.00400, 28: 1.00481, 30: 1.00539,
    35: 1.00701,
}
# fmt: on
# Steel-adjusted scale, ordinary air, as the trade uses it (trade example, recomputed) [cm³ per apparent gram].
TRADE = {15: 1.0020, 18: 1.0025, 20: 1.0029, 22: 1.0033, 25: 1.0040, 30: 1.0054}


@pytest.mark.parametrize(("t", "kilopascal", "z"), CELLS)
def test_printed_table(t, kilopascal, z):
    """Table after ISO 8655-6; two of its cells differ by one in the last digit, hence 6e-5."""
    assert z_of_water(t, kilopascal * 1e3) == pytest.approx(z, abs=6e-5)


@pytest.mark.parametrize(("t", "z"), COMPUTED.items())
def test_by_temperature(t, z):
    """ISO 8655-6:2022 equation, double precision."""
    assert z_of_water(t, 101325.0) == pytest.approx(z, abs=6e-6)


@pytest.mark.parametrize(("t", "z"), TRADE.items())
def test_the_trade_figures(t, z):
    """Common practice, recomputed: what a gram of water is worth at the bench."""
    assert z_of_water(t, 101325.0) == pytest.approx(z, abs=6e-5)


# fmt: off
# mass [g], °C, hPa, humidity, cubic expansion of the vessel [1e-6/K] -> Z [mL/g], V20 [mL]; double precision.
WORKED = [
    (50.000, 22, 1000.0, 0.45, 9.9, 1.0032666449, 50.162339013),
    (49.8502, 20, 1013.25, 0.50, 9.9, 1.0028511692, 49.992331356),
    (64.25, 25, 980.0, 0.40, 450.0, 1.0039666108, 64.359718823),
]
# fmt: on


def growth(expansion, kelvin):
    """Share by which a vessel of a cubic expansion [1/K] holds more than at 20 °C."""
    vessel = replace(INSTRUMENTS["burette 50 ml class A"], expansion=expansion)
    return nominal(instrument_growth("vessel", Kit(instruments={"vessel": vessel}), kelvin))


@pytest.mark.parametrize(("grams", "t", "hectopascal", "humidity", "expansion", "z", "at_20"), WORKED)
def test_worked_points(grams, t, hectopascal, humidity, expansion, z, at_20):
    """ISO 4787:2021 eq. (1): V20 = m Z [1 − γ (t − 20 °C)]."""
    water = water_density(ICE_POINT + t)
    air = air_density(hectopascal * 100, humidity, ICE_POINT + t)
    volume = grams * 1e-3 * z_factor(water, air)
    vessel = volume * (1 - growth(expansion * 1e-6, ICE_POINT + t))
    assert z_factor(water, air) * 1e3 == pytest.approx(z, abs=1e-10)
    assert vessel * 1e6 == pytest.approx(at_20, abs=1e-8)


def test_sensitivities():
    """At 20 °C and 1013 hPa: +2.04e-4 per K, +1.05e-6 per hPa, −2.1e-5 for weights of 7000 kg/m³ (computed)."""
    assert (z_of_water(20.5, 101300.0) - z_of_water(19.5, 101300.0)) == pytest.approx(2.04e-4, abs=1e-6)
    assert (z_of_water(20, 101800.0) - z_of_water(20, 100800.0)) / 10 == pytest.approx(1.05e-6, abs=1e-8)
    assert z_of_water(20, 101325.0, weight=7000.0) - z_of_water(20, 101325.0) == pytest.approx(-2.1e-5, abs=1e-6)
    assert z_of_water(20, 101325.0, 1.0) - z_of_water(20, 101325.0, 0.0) == pytest.approx(-9.2e-6, abs=2e-7)


# fluid density [kg/m³] -> buoyancy correction over 1/ρ, computed at 20 °C, 1013.25 hPa, 50 %.
BUOYANCY = {998.2067: 0.00105, 800.0: 0.00135, 785.0: 0.00138, 850.0: 0.00126}


@pytest.mark.parametrize(("density", "share"), BUOYANCY.items())
def test_size_of_the_buoyancy_correction(density, share):
    """Water +0.105 %, paraffin +0.135 %, alcohol +0.138 %, light oil +0.126 % (computed)."""
    assert z_factor(density, air_density()) * density - 1 == pytest.approx(share, abs=6e-6)


def test_bottle_weighed_before_and_after():
    """Trade example B2: 612 g to 568 g, 22 °C, 1013.25 hPa: 44.14432 mL (GTC 1.5.1).

    Permissible error ± 0.5 g and a step of 1 g at each reading give u = 0.5793 mL.
    """
    water, air = water_density(295.15), air_density(101325.0, 0.5, 295.15)
    each = (0.5e-3**2 / 3 + 1e-3**2 / 12) ** 0.5
    volume = (ufloat(0.612, each) - ufloat(0.568, each)) * z_factor(water, air)
    assert volume.nominal_value * 1e6 == pytest.approx(44.14432, abs=1e-5)
    assert volume.std_dev * 1e6 == pytest.approx(0.5793, abs=1e-4)


def test_a_vessel_is_what_it_is_at_20_degrees():
    """ISO 4787:2021 eq. (1): 60 ml of polypropylene, 450e-6 per K, hold 60.27 ml at 30 °C and no more at 20 °C."""
    assert 60 * (1 + growth(450e-6, 303.15)) == pytest.approx(60.27, abs=1e-9)
    assert growth(450e-6, 293.15) == 0
