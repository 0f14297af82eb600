"""The fluid catalogue against handbooks, safety sheets and reference libraries."""

from __future__ import annotations

import pytest

from ccassist.bench.densities import ICE_POINT
from ccassist.bench.fluids import FLAMMABLE, FLUIDS, HIGHLY_FLAMMABLE, NOT_CLASSED, SAFE, density_of, expansion_of

# fmt: off
# key -> lowest and highest density at 20 °C that the source allows [kg/m³].
RANGES = {
    "water": (998.18, 998.23),  # Tanaka et al. 2001; 1e-5 standard in practice
    "tap water": (998.20, 998.71),  # 0 to 0.5 g/L of salts: up to +0.38, computed with gsw 3.6.23 (TEOS-10)
    "isopropanol 70 %": (871.0, 882.0),  # USP isopropyl rubbing alcohol, sg 0.872 to 0.883 at 20 °C (seen)
    "isopropanol 99 %": (785.5, 789.5),  # 785.5 accepted (memory), libraries 786.3 to 786.7, one per cent of water
    "ethanol 96 %": (803.2, 811.4),  # OIML R 22: 811.380 at 95 %, 807.420 at 96 %; label ± 1 %
    "methylated spirit": (805.0, 830.0),  # as ethanol of 90 to 96 % by volume (computed from OIML R 22)
    "paraffin": (771.0, 836.5),  # 775 to 840 at 15 °C (memory); sg 0.81 (NIOSH, seen)
    "transmission fluid": (836.5, 877.0),  # 840 to 880 at 15 °C (memory)
}
# key -> cubic expansion at 20 °C [1/K] and how near it must be; computed unless said.
EXPANSION = {
    "water": (2.069e-4, 1e-7), "ethanol 70 %": (9.39e-4, 1e-6), "isopropanol 99 %": (1.15e-3, 8e-5),
    "paraffin": (9.29e-4, 4e-5), "transmission fluid": (7.39e-4, 2e-5),
}
# Flash points, closed cup [°C]: IEC 60079-20-1 and NFPA 497 by chemicals 1.5.2; paraffin NIOSH (seen); oil memory.
FLASH = {
    "isopropanol 99 %": (12, HIGHLY_FLAMMABLE), "ethanol 96 %": (12, HIGHLY_FLAMMABLE),
    "methylated spirit": (12, HIGHLY_FLAMMABLE), "paraffin": (38, FLAMMABLE), "white spirit": (38, FLAMMABLE),
    "paraffin and oil 50/50": (38, FLAMMABLE), "light oil": (150, NOT_CLASSED),
}
# fmt: on


@pytest.mark.parametrize(("key", "span"), RANGES.items())
def test_density_is_within_its_source(key, span):
    """The stated centre lies in the source's range, and its rectangle is no wider than that range."""
    low, high = span
    density, standard = density_of(FLUIDS[key], 293.15)
    assert low <= density <= high
    assert 2 * standard * 3**0.5 <= (high - low) * 1.01


@pytest.mark.parametrize(("key", "row"), EXPANSION.items())
def test_expansion_is_within_its_source(key, row):
    expansion, near = row
    assert expansion_of(FLUIDS[key])[0] == pytest.approx(expansion, abs=near)


@pytest.mark.parametrize(("key", "row"), FLASH.items())
def test_flash_points_and_classes(key, row):
    """UN GHS chapter 2.6, CLP annex I Table 2.6.1 (seen): below 23 °C, 23 to 60 °C, above 93 °C."""
    celsius, words = row
    fluid = FLUIDS[key]
    assert fluid.flash_point == pytest.approx(ICE_POINT + celsius)
    assert fluid.flash == words
    low, high = {HIGHLY_FLAMMABLE: (-50, 23), FLAMMABLE: (23, 60), NOT_CLASSED: (93, 400)}[words]
    assert low <= celsius < high


def test_what_burns_is_flagged():
    """Common practice, no source: alcohol, white spirit and paraffin burn; alcohol crazes acrylic."""
    for key, fluid in FLUIDS.items():
        assert ("flammable" in fluid.cautions) == (fluid.flash in {HIGHLY_FLAMMABLE, FLAMMABLE}), key
        assert fluid.crazes_acrylic == ("acrylic" in fluid.cautions) == (fluid.flash == HIGHLY_FLAMMABLE), key
        assert (fluid.flash == SAFE) == ("water" in key), key


def test_tap_water_is_not_half_a_per_cent_denser():
    """Trap: 0.1 to 0.5 % is claimed for tap water; TEOS-10 (gsw 3.6.23) gives +0.04 % for 0.5 g/L of salts."""
    excess = density_of(FLUIDS["tap water"], 293.15)[0] / density_of(FLUIDS["water"], 293.15)[0] - 1
    assert 0 < excess < 5e-4


# fmt: off
# One temperature error of 5 K in 60 cm³ [cm³], computed; paraffin, oil and alcohol expansions from memory.
SLIPS = {
    "water": (0.062, 0.002), "isopropanol 99 %": (0.35, 0.02), "paraffin": (0.285, 0.015), "light oil": (0.24, 0.03),
}
# fmt: on


@pytest.mark.parametrize(("key", "row"), SLIPS.items())
def test_five_degrees_in_sixty(key, row):
    """Trade figures: 60 cm³ and 5 K, water 0.06, isopropanol 0.33 to 0.37, paraffin 0.27 to 0.30, light oil 0.24."""
    change, near = row
    assert expansion_of(FLUIDS[key])[0] * 5 * 60 == pytest.approx(change, abs=near)
