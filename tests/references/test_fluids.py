"""The fluid catalogue against handbooks, safety guides and measured records."""

from __future__ import annotations

import pytest

from ccassist.bench.densities import ICE_POINT
from ccassist.bench.fluids import FLAMMABLE, FLUIDS, HIGHLY_FLAMMABLE, NOT_CLASSED, SAFE, density_of, expansion_of
from tests.references.sources import cites

RANGES = [  # key, lowest and highest density at 20 °C that the source allows [kg/m³]
    pytest.param("water", 998.18, 998.23, marks=cites("tanaka"), id="water, 1e-5 standard in practice"),
    pytest.param("isopropanol 70 %", 871.0, 882.0, marks=cites("usp"), id="isopropanol 70, sg 0.872 to 0.883"),
    pytest.param("isopropanol 99 %", 785.5, 789.5, marks=cites("crc"), id="isopropanol 99, 785.5 and 1 % of water"),
    pytest.param("ethanol 96 %", 803.2, 811.4, marks=cites("r22"), id="ethanol, label 96 ± 1 %"),
    pytest.param("methylated spirit", 805.0, 830.0, marks=cites("r22"), id="as ethanol of 90 to 96 %"),
    pytest.param("paraffin", 771.0, 836.5, marks=cites("niosh"), id="paraffin, sg 0.81 (775 to 840 from memory)"),
    pytest.param(
        "white spirit", 755.5, 796.3, marks=cites("ehc187"), id="white spirit, 0.765 to 0.795 at 15 °C, ± 0.005"
    ),
    pytest.param("transmission fluid", 836.5, 877.0, marks=cites("practice"), id="840 to 880 at 15 °C"),
]


@pytest.mark.parametrize(("key", "low", "high"), RANGES)
def test_density_is_within_its_source(key, low, high):
    """The stated centre lies in the source's range, and its rectangle is no wider than that range."""
    density, standard = density_of(FLUIDS[key], 293.15)
    assert low <= density <= high
    assert 2 * standard * 3**0.5 <= (high - low) * 1.01


EXPANDS = [  # key, lowest and highest cubic expansion at 20 °C of its sort, ± 50 as read [1e-6/K]
    pytest.param("paraffin", 843, 1038, marks=cites("adios"), id="two jet fuels: 893 and 988"),
    pytest.param("white spirit", 868, 1086, marks=cites("adios"), id="mineral spirits, Stoddard solvent: 918 to 1036"),
    pytest.param("transmission fluid", 681, 809, marks=cites("adios"), id="two light oils: 731 to 759"),
]


@pytest.mark.parametrize(("key", "low", "high"), EXPANDS)
def test_expansion_is_as_measured(key, low, high):
    """What was measured of such liquids at two temperatures, and that the ± reaches all of it."""
    expansion, standard = (1e6 * number for number in expansion_of(FLUIDS[key]))
    assert low < expansion < high
    assert standard > 0


@cites("clp", "niosh")
@pytest.mark.parametrize("key", [key for key, fluid in FLUIDS.items() if fluid.flash_point is not None])
def test_flash_points_and_classes(key):
    """Below 23 °C, 23 to 60 °C, above 93 °C; of what is measured: alcohols 12 °C, kerosene 38 °C and up."""
    fluid = FLUIDS[key]
    low, high = {HIGHLY_FLAMMABLE: (11, 23), FLAMMABLE: (23, 60), NOT_CLASSED: (93, 400)}[fluid.flash]
    assert low <= fluid.flash_point - ICE_POINT < high


@cites("practice")
def test_what_burns_is_flagged():
    """Common practice, no source: alcohol, white spirit and paraffin burn; alcohol crazes acrylic."""
    for key, fluid in FLUIDS.items():
        assert ("flammable" in fluid.cautions) == (fluid.flash in {HIGHLY_FLAMMABLE, FLAMMABLE}), key
        assert fluid.crazes_acrylic == ("acrylic" in fluid.cautions) == (fluid.flash == HIGHLY_FLAMMABLE), key
        assert (fluid.flash == SAFE) == ("water" in key), key


@cites("practice")
def test_tap_water_is_not_half_a_per_cent_denser():
    """Trap: 0.1 to 0.5 % is claimed; 0.5 g of salts in a litre can add no more than their own mass, 0.05 %."""
    excess = density_of(FLUIDS["tap water"], 293.15)[0] / density_of(FLUIDS["water"], 293.15)[0] - 1
    assert 0 < excess < 5e-4
