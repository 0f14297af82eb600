"""Water, from the still and from the tap."""

from __future__ import annotations

from math import hypot, sqrt
from typing import Any

from ccassist.bench.fluids.fluid import Fluid
from ccassist.bench.water_density_tanaka_2001 import STANDARD, water_density

_TAP = 0.25  # kg/m³ above pure water: the middle of 0 to 0.5, dissolved salts up to about 0.65 g/kg
_TAP_DOUBT = 0.5 / sqrt(12)
_DETERGENT_DOUBT = 0.5 / sqrt(3)  # "density change below 0.05 % at working strength"
_TAP_SOURCE = "Tanaka et al. 2001; dissolved salts 0 to +0.5 kg/m³ (computed with TEOS-10, sea salt as stand-in)"


def _tap_water(temperature: Any) -> Any:
    return water_density(temperature) + _TAP


WATERS: tuple[Fluid, ...] = (
    Fluid(
        key="water",
        name="water, distilled or deionised",
        synonyms=("distilled water", "deionised water", "deionized water", "pure water"),
        density=water_density,
        doubt=STANDARD,
        known="seen",
        source="Tanaka et al., Metrologia 38 (2001) p. 305",
        advice="Wets badly: bubbles. Out of the tap it is up to 0.05 % denser: call it tap water then.",
    ),
    Fluid(
        key="water with detergent",
        name="tap water with a drop of detergent",
        synonyms=("soapy water", "water and dye", "dyed water"),
        density=_tap_water,
        doubt=hypot(_TAP_DOUBT, _DETERGENT_DOUBT),
        source=f"{_TAP_SOURCE}; detergent below 0.05 %, common practice, no source",
        known="common practice",
        advice="A drop only: more foams. Dry iron at once, it rusts.",
    ),
    Fluid(
        key="tap water",
        name="tap water",
        density=_tap_water,
        doubt=_TAP_DOUBT,
        source=_TAP_SOURCE,
        known="common practice",
        advice="Wets badly without a drop of detergent. Dry iron at once, it rusts.",
    ),
)
