"""Finding fluids, stating their density, and a user's own.

Consistency, no physics: the densities stand beside their sources in tests/references.
"""

from __future__ import annotations

import math
from contextlib import nullcontext

import pytest

from ccassist.bench.cautions import CAUTIONS
from ccassist.bench.fluids import (
    FLUIDS,
    UNKNOWN,
    density_of,
    ethanol,
    expansion_of,
    find,
    nearest,
    own_fluid,
)
from ccassist.values.findings import InputError
from ccassist.vocabulary import TERMS
from tests.each import each


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("Water", "water"),
        ("distilled water", "water"),
        (" TAP   water", "tap water"),
        ("Kerosene", "paraffin"),
        ("mineral spirits", "white spirit"),
        ("rubbing alcohol", "isopropanol 70 %"),
        ("IPA 99%", "isopropanol 99 %"),
        ("ATF", "transmission fluid"),
        ("Paraffin/oil 50/50", "paraffin and oil 50/50"),
        ("ethanol 70 percent", "ethanol 70 %"),
        ("Water & detergent", "water with detergent"),
        ("Ethanol 83,5 %", "ethanol 83.5 %"),
        ("methylated spirits", "methylated spirit"),
    ],
)
def test_found_as_people_write_it(written, key):
    found = find(written)
    assert found is not None
    assert found.key == key


def test_not_found_but_suggested():
    assert find("isopropanol") is None
    assert find("ethanol 140 %") is None
    assert find("") is None
    assert nearest("isopropnol 70 %") == "isopropanol 70 %"
    assert nearest("parafin") == "paraffin"
    assert nearest("zzzz") is None


@pytest.mark.parametrize("key", FLUIDS)
def test_every_fluid_is_complete(key):
    fluid = FLUIDS[key]
    density, standard = density_of(fluid, 295.15)
    assert fluid.key == key
    assert find(key) is fluid
    assert 700 < density < 1010
    assert 0 < standard < 0.03 * density
    assert fluid.source
    assert fluid.known in {"seen", "memory", "common practice"}
    assert all(caution in CAUTIONS for caution in fluid.cautions)
    assert 1e-4 < expansion_of(fluid, 295.15)[0] < 1.3e-3


@pytest.mark.parametrize("key", FLUIDS)
def test_lighter_when_warmer(key):
    fluid = FLUIDS[key]
    assert density_of(fluid, 303.15)[0] < density_of(fluid, 288.15)[0]


def test_the_same_strength_is_the_same_fluid():
    """One bottle, one density: the doubt must be shared by every fill."""
    assert ethanol(0.70) is FLUIDS["ethanol 70 %"] is find("ethanol 70%")


def test_label_strength_is_in_the_doubt():
    """OIML R 22: 70 % ± 1 % by volume is about ± 2.5 kg/m³, a rectangle."""
    assert density_of(ethanol(0.70), 293.15)[1] == pytest.approx(2.5 / math.sqrt(3), rel=0.05)


def test_doubt_grows_away_from_where_the_density_is_known():
    """By hand: √(2² + (ρ × 15 × uncertainty of the expansion)²), with ρ = 800 / (1 + expansion × 15)."""
    fluid = own_fluid("blend", 800.0, 2.0, 288.15)
    cubic, uncertainty = expansion_of(fluid, 288.15)
    assert density_of(fluid, 288.15) == (800.0, 2.0)
    density, standard = density_of(fluid, 303.15)
    assert density == pytest.approx(800 / (1 + 15 * cubic))
    assert standard == pytest.approx(math.hypot(2.0, density * 15 * uncertainty))


def test_own_fluid_like_another_takes_its_expansion_and_cautions():
    own = own_fluid("drum no. 3", 803.0, 0.5, 291.15, like="Kerosene")
    assert own.flash == FLUIDS["paraffin"].flash
    assert own.cautions == FLUIDS["paraffin"].cautions
    assert expansion_of(own, 291.15)[0] == pytest.approx(expansion_of(FLUIDS["paraffin"], 291.15)[0], rel=1e-6)
    assert (own.name, own.known) == ("drum no. 3", "own figure")
    assert density_of(own, 291.15) == (803.0, 0.5)


def test_own_fluid_of_unknown_make_is_treated_with_care():
    own = own_fluid("mystery", 900.0, 1.0)
    assert own.flash == UNKNOWN
    assert own.crazes_acrylic
    cubic, doubt = expansion_of(own)
    assert cubic - 1.8 * doubt <= 0 < 1.3e-3 <= cubic + 1.8 * doubt


def test_own_fluid_says_all_that_is_wrong():
    with pytest.raises(InputError, match="bench fluid") as caught:
        own_fluid("meths", 0.81, -1.0, 400.0, like="watre")
    assert len(caught.value.findings) == 4
    assert all(finding.place == "fluid meths" for finding in caught.value.findings)
    assert 'did you mean "water"?' in str(caught.value)


def test_outside_bench_temperatures_it_says_so():
    with pytest.raises(ValueError, match="density of paraffin holds from 0 to 40 °C, not at 60 °C"):
        density_of(FLUIDS["paraffin"], 333.15)
    with pytest.raises(ValueError, match="expansion of paraffin holds"):
        expansion_of(FLUIDS["paraffin"], 263.15)


def test_expansion_at_the_ends_of_the_range():
    assert expansion_of(FLUIDS["water"], 273.15)[0] < 0  # water shrinks on warming below 4 °C
    assert expansion_of(FLUIDS["water"], 313.15)[0] == pytest.approx(3.85e-4, rel=0.01)


@each(
    ("density", "doubt", "celsius", "faults"),
    [
        (998.0, 0.0, 20.0, 0), (998.0, 0.1, 0.0, 0), (998.0, 0.1, 40.0, 0), (998.0, 0.1, -0.1, 1),
        (998.0, 0.1, 40.1, 1), (998.0, -0.1, 20.0, 1), (998.0, math.inf, 20.0, 1), (1.0, 0.1, 20.0, 1),
        (TERMS["density"].possible[0], 0.1, 20.0, 0), (TERMS["density"].possible[1], 0.1, 20.0, 0),
        (TERMS["density"].possible[1] + 1, 0.1, 20.0, 1), (1.0, -0.1, 50.0, 3),
    ],
)  # fmt: skip
def test_an_own_fluid_may_be_what_a_bench_fluid_can(density: float, doubt: float, celsius: float, faults: int) -> None:
    """The ends belong to it; all that is wrong is said at once."""
    with pytest.raises(InputError) if faults else nullcontext() as fault:
        own_fluid("drum", density, doubt, celsius + 273.15)
    assert not faults or len(fault.value.findings) == faults
