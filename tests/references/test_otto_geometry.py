"""Displacement and compression ratio against textbook examples.

Sources, each named beside its case (data and printed answers as in companion
notebooks of the books): Mathur & Sharma, Gupta, Rajput, Keswani, Internal
Combustion Engines; Arasu, Thermal Engineering; Agrawal & Agrawal, Basic
Mechanical Engineering; Solberg, Cromer & Spalding, Elementary Heat Power.
"""

from __future__ import annotations

from math import log

import pytest

from ccassist.engine import relations as r
from ccassist.engine.model import Choices, build

MM, CC = 1e-3, 1e-6


def test_mathur_sharma_1_1() -> None:
    """Ex. 1.1 p. 3: four cylinders 68 × 75 mm, ratio 8: printed 1089.5 cm³; clearance 38.91 cm³ each."""
    swept = r.swept_volume(68 * MM, 75 * MM)
    assert r.displacement(4, swept) / CC == pytest.approx(1089.5, abs=0.051)
    assert r.static_ratio(swept, 38.91 * CC) == pytest.approx(8, abs=1e-3)


RATIOS = [  # bore, stroke mm, clearance cm³ -> ratio
    pytest.param(170, 300, 1025, 7.6433, id="Mathur & Sharma ex. 2.3 p. 48"),
    pytest.param(80, 80, 50, 9.0425, id="Mathur & Sharma ex. 2.9 p. 78"),
    pytest.param(200, 250, 1570, 6.0025, id="Gupta ex. 2.1 p. 44"),
    pytest.param(200, 450, 2000, 8.068583, id="Agrawal & Agrawal ex. 14.7 p. 309 (printed 8.07)"),
    pytest.param(80, 85, 60, 8.120943, id="Arasu ex. 2.2 p. 57"),
    pytest.param(82.55, 101.6, 98.322384, 6.530512, id="Solberg, Cromer & Spalding ex. 3.2 p. 132, inches (6.531)"),
]
PRINTED_EFFICIENCY = [  # bore, stroke mm, clearance cm³ -> air-standard efficiency [%] as printed, γ 1.4
    pytest.param(250, 450, 5000, 49.1, id="Keswani ex. 3.2 p. 24"),
    pytest.param(75, 100, 100, 49.13, id="Rajput ex. 17.45 p. 602"),
    pytest.param(200, 450, 2000, 56.6, id="Agrawal & Agrawal ex. 14.7 p. 309"),
    pytest.param(200, 300, 1730, 52.5, id="Arasu ex. 3.1 p. 139, as corrected by the companion"),
]


@pytest.mark.parametrize(("bore", "stroke", "clearance", "efficiency"), PRINTED_EFFICIENCY)
def test_ratio_through_the_printed_efficiency(bore: float, stroke: float, clearance: float, efficiency: float) -> None:
    """1 − r^(1 − γ) hangs on the ratio alone: the ratio worked out gives the percentage that is printed."""
    ratio = r.static_ratio(r.swept_volume(bore * MM, stroke * MM), clearance * CC)
    assert 100 * (1 - ratio**-0.4) == pytest.approx(efficiency, abs=0.051)


@pytest.mark.parametrize(("bore", "stroke", "clearance", "ratio"), RATIOS)
def test_ratio_of_bore_stroke_and_clearance(bore: float, stroke: float, clearance: float, ratio: float) -> None:
    assert r.static_ratio(r.swept_volume(bore * MM, stroke * MM), clearance * CC) == pytest.approx(ratio, abs=6e-5)


def test_mathur_sharma_2_3_efficiency() -> None:
    """The same example prints an air-standard efficiency of 55.7 % (γ 1.4), which depends on the ratio alone."""
    ratio = r.static_ratio(r.swept_volume(170 * MM, 300 * MM), 1025 * CC)
    assert 100 * (1 - ratio**-0.4) == pytest.approx(55.7, abs=0.051)


def test_mathur_sharma_2_9_mean_pressure() -> None:
    """The same example: 50 kW of four such cylinders at 4800 rpm is 7.77 bar of mean effective pressure."""
    displacement = r.displacement(4, r.swept_volume(80 * MM, 80 * MM))
    assert 50e3 / (displacement * 4800 / 60 / 2) / 1e5 == pytest.approx(7.77, abs=0.006)


def test_gupta_2_1_end_of_compression() -> None:
    """1 bar and 300 K before compression, γ 1.4: printed 341.3 °C and 12.29 bar."""
    ratio = r.static_ratio(r.swept_volume(200 * MM, 250 * MM), 1570 * CC)
    assert 300 * ratio**0.4 - 273.15 == pytest.approx(341.3, abs=0.051)
    assert ratio**1.4 == pytest.approx(12.29, abs=0.006)


PRESSURES = [  # pressure at a share of the compression stroke, twice; exponent -> ratio, and as computed
    pytest.param((1.2, 0.05), (4.8, 0.75), 1.3, 9.5, 9.512, id="Gupta ex. 2.2 p. 46"),
    pytest.param((1.4, 0.25), (3.6, 0.75), 1.3, 5.58, 5.5823, id="Rajput ex. 17.26 p. 587"),
    pytest.param((1.33, 0.30), (2.66, 0.70), 1.33, 4.51, 4.5111, id="Mathur & Sharma ex. 2.10 p. 83"),
]


@pytest.mark.parametrize(("first", "second", "n", "printed", "exact"), PRESSURES)
def test_ratio_of_two_pressures(
    first: tuple[float, float], second: tuple[float, float], n: float, printed: float, exact: float
) -> None:
    """One polytropic through two points: with that ratio the volumes of the two points must give the exponent back."""
    swept, clearance = 1.0, 1 / (exact - 1)
    assert r.static_ratio(swept, clearance) == pytest.approx(printed, abs=0.02)
    volumes = [r.bdc_volume(swept * (1 - share), clearance) for _, share in (first, second)]
    exponent = log(second[0] / first[0]) / log(volumes[0] / volumes[1])
    assert exponent == pytest.approx(n, rel=1e-4)


def test_an_advertised_litre_figure_may_be_cut_short() -> None:
    """Four of 83.9 × 90.4 mm: 1999.1 cm³, which rounds to 2.00 l and not 1.99."""
    litres = r.displacement(4, r.swept_volume(83.9 * MM, 90.4 * MM)) * 1e3
    assert litres == pytest.approx(1.9991, abs=6e-5)


def test_top_land_crevice_of_a_piston() -> None:
    """Land 5 mm, 0.35 mm radial gap: π × 84.05 × 0.35 × 5 = 0.462 cm³, 0.8 % of 58.7 (common practice, recomputed)."""
    crevice = r.crevice_volume(84.4 * MM, (84.4 - 0.7) * MM, 5 * MM)
    assert crevice / CC == pytest.approx(0.462, abs=6e-4)
    assert 100 * crevice / (58.7 * CC) == pytest.approx(0.8, abs=0.051)


def test_the_model_gives_the_textbook_ratio() -> None:
    """Ex. 2.9 once more, through the model: the whole clearance volume given as a chamber."""
    known = {
        "bore": 80 * MM,
        "stroke": 80 * MM,
        "chamber_volume": 50 * CC,
        "gasket_volume": 0.0,
        "deck_volume": 0.0,
        "crown_volume": 0.0,
    }
    assert build(known, Choices(crevice=False)).evaluate(known)["static_ratio"] == pytest.approx(9.0425, abs=6e-5)
