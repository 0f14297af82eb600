"""Paraffin, white spirit, diesel and oils: ASTM D1250-80 / API MPMS 11.1, correction to 15 °C.

Examples: ASTM D1250-04 / API MPMS 11.1-2004, 11.1.6.1, examples 3 to 6, volume correction (CTL) from 60 °F, as
transcribed in the tests of the open library API11_1VCF (seen).  The edition of 2004 has its constants per degree
Fahrenheit and corrects the scale of temperature: within 5 parts in 100,000 of the edition used here.

Measured densities: NOAA, ADIOS Oil Database (open data; seen), records as named, whole kg/m³ ± 0.5 where so printed.
"""

from __future__ import annotations

import pytest

from ccassist.bench.densities import petroleum_density
from tests.references.sources import cites, promise

INCH_POUND = 999.016  # kg/m³: water at 60 °F, as the standard takes it


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8 + 273.15


def from_api(gravity: float) -> float:
    """Density at 60 °F from the degree API: 141.5 / (131.5 + °API)."""
    return 141.5 / (131.5 + gravity) * INCH_POUND


def from_sixty(density: float, at: float) -> float:
    """Density at a temperature [°F] over that at 60 °F, the density at 60 °F being given."""
    base = density
    for _ in range(20):
        base *= density / petroleum_density(kelvin(60), base)
    return float(petroleum_density(kelvin(at), base)) / density


EXAMPLES = [  # density at 60 °F, °F, printed volume correction
    pytest.param(from_api(19.4), 48.04, 1.004858068990, id="3: fuel oils"),
    pytest.param(0.7943 * INCH_POUND, 85.0, 0.986832406683, id="4: kerosene"),
    pytest.param(from_api(48.0015), 55.9, 1.002182725702, id="5: between gasoline and kerosene"),
    pytest.param(657.3, 27.3, 1.026475833518, id="6: gasoline"),
]


@cites("d1250")
@pytest.mark.parametrize(("density", "at", "printed"), EXAMPLES)
def test_examples_of_the_standard(density: float, at: float, printed: float) -> None:
    assert from_sixty(density, at) == pytest.approx(printed, abs=5e-5)


MEASURED = [  # record, density at 15 °C, °C, density there [kg/m³], how near
    ("EC00567 diesel", 831.0, 0.0, 842.3, 0.8),
    ("EC01001 diesel, low sulphur", 827.5, 0.0, 838.1, 0.8),
    ("EC01487 diesel, summer", 818.7, 0.0, 829.5, 0.8),
    ("EC03720 marine diesel", 834.3, 0.0, 844.8, 0.8),
    ("EC04024 marine diesel, 5 % ester", 859.5, 0.0, 869.9, 0.8),
    ("AD02082 diesel", 825.0, 40.0, 806.0, 1.5),
    ("AD02193 jet fuel", 816.0, 0.0, 827.0, 1.0),
    ("AD00413 jet fuel", 804.0, 0.0, 816.0, 1.5),
    ("AD02258 mineral spirits", 793.0, 0.0, 804.0, 1.0),
    ("AD02270 Stoddard solvent", 776.0, 25.0, 768.0, 1.0),
    ("AD02015 aviation gasoline 100", 715.0, 0.0, 728.0, 1.3),
    ("AD02017 aviation gasoline 80", 695.0, 0.0, 708.0, 1.3),
    ("AD02150 casinghead gasoline", 673.0, 0.0, 686.0, 1.5),
    ("AD02154 alkylate", 709.0, 38.0, 689.0, 1.7),
    ("AD00473 reformate", 795.0, 38.0, 779.0, 1.7),
]


@cites("adios")
@pytest.mark.parametrize(("record", "at_15", "celsius", "there", "near"), MEASURED)
def test_measured_densities(record: str, at_15: float, celsius: float, there: float, near: float) -> None:
    assert petroleum_density(celsius + 273.15, at_15) == pytest.approx(there, abs=near)


@cites("adios")
@pytest.mark.parametrize(("at_15", "celsius", "there"), [(858.7, 0.0, 868.2), (858.7, 5.0, 865.0), (873.0, 0.0, 883.0)])
def test_measured_oils(at_15: float, celsius: float, there: float) -> None:
    """EC03097 light lubricating oil, AD02220 compressor oil."""
    assert petroleum_density(celsius + 273.15, at_15, oil=True) == pytest.approx(there, abs=0.7)


@promise()
@pytest.mark.parametrize("limit", [770.5, 787.5, 838.5])
def test_no_step_where_a_group_begins(limit: float) -> None:
    """The groups meet: 10 K off, less than 0.1 kg/m³ from one side to the other."""
    low, high = (petroleum_density(298.15, limit + side * 1e-9) for side in (-1, 1))
    assert low == pytest.approx(high, abs=0.1)
