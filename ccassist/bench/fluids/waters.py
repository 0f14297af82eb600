"""Water, from the still and from the tap."""

from __future__ import annotations

from math import hypot, sqrt
from typing import Any

from ccassist.bench.fluids.fluid import Fluid
from ccassist.bench.temperatures import ICE_POINT, celsius
from ccassist.bench.water_density_kell_1975 import LIMITS as WARM
from ccassist.bench.water_density_kell_1975 import STANDARD as WARM_STANDARD
from ccassist.bench.water_density_kell_1975 import warm_water_density
from ccassist.bench.water_density_tanaka_2001 import LIMITS, STANDARD, water_density

_TAP = 0.25  # kg/m³ above pure water: the middle of 0 to 0.5, dissolved salts up to about 0.65 g/kg
_TAP_DOUBT = 0.5 / sqrt(12)
_DETERGENT_DOUBT = 0.5 / sqrt(3)  # "density change below 0.05 % at working strength"
_TAP_SOURCE = (
    "Tanaka et al. 2001, above 40 °C Kell 1975; dissolved salts 0 to +0.5 kg/m³ (computed with TEOS-10, sea salt as "
    "stand-in)"
)


_KELL = "above 40 °C Kell, J. Chem. Eng. Data 20 (1975) 97"


_MEETS = water_density(LIMITS[1] + ICE_POINT) - warm_water_density(LIMITS[1] + ICE_POINT)  # under 0.001 kg/m³


def _water(temperature: Any) -> Any:
    """Pure water: by the closer equation where it holds, warmer by the wider one."""
    degrees = celsius(getattr(temperature, "nominal_value", temperature))
    return water_density(temperature) if degrees <= LIMITS[1] else warm_water_density(temperature) + _MEETS


def _tap_water(temperature: Any) -> Any:
    return _water(temperature) + _TAP


WATERS: tuple[Fluid, ...] = (
    Fluid(
        key="water",
        name="water, distilled or deionised",
        synonyms=("distilled water", "deionised water", "deionized water", "pure water"),
        density=_water,
        doubt=STANDARD,
        limits=WARM,
        warm_doubt=WARM_STANDARD,
        known="seen",
        source=f"Tanaka et al., Metrologia 38 (2001) p. 305; {_KELL}",
        advice="Wets badly: bubbles. Out of the tap it is up to 0.05 % denser: call it tap water then.",
    ),
    Fluid(
        key="water with detergent",
        name="tap water with a drop of detergent",
        synonyms=("soapy water", "water and dye", "dyed water"),
        density=_tap_water,
        doubt=hypot(_TAP_DOUBT, _DETERGENT_DOUBT),
        limits=WARM,
        warm_doubt=WARM_STANDARD,
        source=f"{_TAP_SOURCE}; detergent below 0.05 %, common practice, no source",
        known="common practice",
        advice="A drop only: more foams. Dry iron at once, it rusts.",
    ),
    Fluid(
        key="tap water",
        name="tap water",
        density=_tap_water,
        doubt=_TAP_DOUBT,
        limits=WARM,
        warm_doubt=WARM_STANDARD,
        source=_TAP_SOURCE,
        known="common practice",
        advice="Wets badly without a drop of detergent. Dry iron at once, it rusts.",
    ),
)
