"""What a fluid is, and its density and expansion with their doubt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import hypot, sqrt
from typing import Any

from ccassist.bench.densities import (
    BENCH,
    ICE_POINT,
    REFERENCE,
    WARM_LIMITS,
    WARM_STANDARD,
    WATER_LIMITS,
    WATER_STANDARD,
    celsius,
    ethanol_water_density,
    mass_fraction,
    must_lie_within,
    petroleum_density,
    warm_water_density,
    water_density,
)
from ccassist.values.findings import clean

SAFE = "does not burn"
HIGHLY_FLAMMABLE = "highly flammable (flash point below 23 °C)"
FLAMMABLE = "flammable (flash point 23 to 60 °C)"
NOT_CLASSED = "not classed as flammable (flash point above 93 °C); it still burns on a rag or a hot part"
UNKNOWN = "flash point not known: treat it as highly flammable"


@dataclass(frozen=True, kw_only=True)
class Fluid:
    """One fluid.

    Attributes
    ----------
    key, name, synonyms : as the job file writes it, as a page shows it, other names.
    density : temperature [K] -> density [kg/m³], floats or uncertain numbers.
    doubt : standard uncertainty of the density at ``reference`` [kg/m³].
    expansion_doubt : standard uncertainty of the cubic expansion [1/K].
    reference : temperature [K] at which ``doubt`` holds.
    limits : °C within which the density is known; ``warm_doubt`` : standard uncertainty [kg/m³] above the workshop's.
    flash : flash-point class in words; flash_point : lowest usual one [K], None where there is none known.
    cautions : keys of the cautions that apply.
    crazes_acrylic : whether it cracks an acrylic plate at holes and edges.
    source, known : where the figures are from; "seen", "memory", "common practice" or "own figure".
    advice : what to mind when it is used.
    """

    key: str
    name: str
    density: Callable[[Any], Any]
    doubt: float
    source: str
    known: str
    synonyms: tuple[str, ...] = ()
    expansion_doubt: float = 0.0
    reference: float = REFERENCE
    limits: tuple[float, float] = BENCH
    warm_doubt: float = 0.0
    flash: str = SAFE
    flash_point: float | None = None
    cautions: tuple[str, ...] = ()
    crazes_acrylic: bool = False
    advice: str = ""


def density_of(fluid: Fluid, temperature: float) -> tuple[float, float]:
    """Density and its standard uncertainty [kg/m³] at a temperature [K], 0 to 40 °C (of water to 100 °C).

    Make one uncertain number of the pair per fluid and job: all fills share
    one bottle.  The doubt of the temperature itself is the caller's, by
    :func:`expansion_of`.  Raises ValueError outside the range.
    """
    must_lie_within(temperature, fluid.limits, f"the density of {clean(fluid.name, 60)}")
    density = float(fluid.density(temperature))
    warm = fluid.warm_doubt if celsius(temperature) > BENCH[1] else 0.0
    return density, hypot(fluid.doubt, warm, density * (temperature - fluid.reference) * fluid.expansion_doubt)


def expansion_of(fluid: Fluid, temperature: float = REFERENCE) -> tuple[float, float]:
    """Cubic expansion and its standard uncertainty [1/K]: −(dρ/dt)/ρ, from the density itself.

    Raises ValueError where the density is not known.

    >>> from ccassist.bench.fluids import find
    >>> round(expansion_of(find("water"))[0] * 1e6)
    207
    """
    must_lie_within(temperature, fluid.limits, f"the expansion of {clean(fluid.name, 60)}")
    least, most = (end + ICE_POINT for end in fluid.limits)
    low, high = max(temperature - 0.05, least), min(temperature + 0.05, most)
    fall = float(fluid.density(low) - fluid.density(high)) / (high - low)
    return fall / float(fluid.density(temperature)), fluid.expansion_doubt


def constant(density: float, expansion: float, reference: float = REFERENCE) -> Callable[[Any], Any]:
    """Density known at one temperature [K], with a constant cubic expansion [1/K], as a function of temperature."""
    return lambda temperature: density / (1 + expansion * (temperature - reference))


# Water, from the still and from the tap.

_TAP = 0.25  # kg/m³ above pure water: the middle of 0 to 0.5, dissolved salts up to about 0.65 g/kg
_TAP_DOUBT = 0.5 / sqrt(12)
_DETERGENT_DOUBT = 0.5 / sqrt(3)  # "density change below 0.05 % at working strength"
_TAP_SOURCE = (
    "Tanaka et al. 2001, above 40 °C Kell 1975; dissolved salts 0 to +0.5 kg/m³ (computed with TEOS-10, sea salt as "
    "stand-in)"
)


_KELL = "above 40 °C Kell, J. Chem. Eng. Data 20 (1975) 97"


_MEETS = water_density(WATER_LIMITS[1] + ICE_POINT) - warm_water_density(
    WATER_LIMITS[1] + ICE_POINT
)  # under 0.001 kg/m³


def _water(temperature: Any) -> Any:
    """Pure water: by the closer equation where it holds, warmer by the wider one."""
    degrees = celsius(getattr(temperature, "nominal_value", temperature))
    return water_density(temperature) if degrees <= WATER_LIMITS[1] else warm_water_density(temperature) + _MEETS


def _tap_water(temperature: Any) -> Any:
    return _water(temperature) + _TAP


WATERS: tuple[Fluid, ...] = (
    Fluid(
        key="water",
        name="water, distilled or deionised",
        synonyms=("distilled water", "deionised water", "deionized water", "pure water"),
        density=_water,
        doubt=WATER_STANDARD,
        limits=WARM_LIMITS,
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
        limits=WARM_LIMITS,
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
        limits=WARM_LIMITS,
        warm_doubt=WARM_STANDARD,
        source=_TAP_SOURCE,
        known="common practice",
        advice="Wets badly without a drop of detergent. Dry iron at once, it rusts.",
    ),
)


# Alcohols: all of them burn and craze acrylic.

_R22 = "OIML R 22 (1975), general formula"
_CAUTIONS = ("flammable", "acrylic")
_DRIES = "Dries away: cover it, work fast, or weigh the bottle."
FLASH = 285.15  # K, 12 °C: closed cup, of pure ethanol and of pure isopropanol alike (from memory); the safe end


def _isopropanol(
    percent: int, density: float, half: float, expansion: float, spread: float, source: str, known: str, *synonyms: str
) -> Fluid:
    strength = f"isopropanol {percent} %"
    return Fluid(
        key=strength,
        name=f"{strength} by volume",
        synonyms=(f"isopropyl alcohol {percent}", f"IPA {percent}", *synonyms),
        density=constant(density, expansion),
        doubt=half / sqrt(3),
        expansion_doubt=spread / sqrt(3),
        source=source,
        known=known,
        flash=HIGHLY_FLAMMABLE,
        flash_point=FLASH,
        cautions=_CAUTIONS,
        crazes_acrylic=True,
        advice=_DRIES,
    )


@lru_cache(maxsize=64)
def ethanol(strength: float) -> Fluid:
    """Ethanol and water of a strength by volume at 20 °C (0.70 is 70 %), label ± 1 %.

    The same strength gives the same object.  The flash point is that of pure
    ethanol, the safe end.  Raises ValueError outside 0 to 1.
    """
    fraction = mass_fraction(strength)

    def at(share: float) -> float:
        return float(ethanol_water_density(REFERENCE, mass_fraction(min(max(share, 0.0), 1.0))))

    return Fluid(
        key=f"ethanol {strength * 100:g} %",
        name=f"ethanol {strength * 100:g} % by volume",
        density=lambda temperature: ethanol_water_density(temperature, fraction),
        doubt=(at(strength - 0.01) - at(strength + 0.01)) / 2 / sqrt(3),
        expansion_doubt=1e-5,
        source=f"{_R22}; label ± 1 % by volume (common practice, no source)",
        known="seen",
        flash=HIGHLY_FLAMMABLE,
        flash_point=FLASH,
        cautions=_CAUTIONS,
        crazes_acrylic=True,
        advice=_DRIES,
    )


SPIRITS: tuple[Fluid, ...] = (
    _isopropanol(
        70,
        876.5,  # the source gives specific gravities, of water at 20 °C: 871 to 882 kg/m³
        5.5,
        9.5e-4,
        2.0e-4,
        "USP isopropyl rubbing alcohol, 0.872 to 0.883 at 20 °C (seen); expansion by likeness to ethanol 70 %",
        "seen",
        "rubbing alcohol",
    ),
    _isopropanol(91, 815.0, 8.0, 1.08e-3, 1.0e-4, "between 70 % and pure, from memory", "memory"),
    _isopropanol(
        99,
        787.5,
        2.0,
        1.15e-3,
        0.8e-4,
        "785.5 at 20 °C accepted (memory), libraries 786.3 to 786.7, to 1 % of water; expansion 1.07e-3 to 1.23e-3",
        "memory",
        "pure isopropanol",
    ),
    ethanol(0.70),
    ethanol(0.90),
    ethanol(0.96),
    Fluid(
        key="methylated spirit",
        name="methylated spirit",
        synonyms=("meths", "denatured alcohol"),
        density=constant(817.5, 1.06e-3),
        doubt=12.5 / sqrt(3),
        expansion_doubt=2e-5,
        source=f"{_R22}, as ethanol of 90 to 96 %; its make-up is common practice, no source",
        known="common practice",
        flash=HIGHLY_FLAMMABLE,
        flash_point=FLASH,
        cautions=_CAUTIONS,
        crazes_acrylic=True,
        advice="Dries away; poisonous; density known only to 1.5 %: weigh a known volume.",
    ),
)


# Paraffin, white spirit and light oils.
#
# Their density is known only by the spread of what is sold under the name.

_D1250 = "ASTM D1250-80; density range 15 °C"
_BURNS = ("flammable",)
PARAFFIN_FLASH, OIL_FLASH = 311.15, 423.15  # K: 38 °C and 150 °C, the least usual in trade (common practice, no source)


def _petroleum(density_at_15: float, group: str) -> Callable[[Any], Any]:
    return lambda temperature: petroleum_density(temperature, density_at_15, group)


def _half_and_half(temperature: Any) -> Any:
    """Paraffin and oil mixed by volume without shrinking."""
    return (_PARAFFIN(temperature) + _OIL(temperature)) / 2


_PARAFFIN, _OIL = _petroleum(807.5, "paraffin"), _petroleum(855.0, "lubricating oil")
_SLOW = "Thick: drains slowly down the burette and bubbles rise slowly. Wait before reading."

OILS: tuple[Fluid, ...] = (
    Fluid(
        key="paraffin",
        name="paraffin",
        synonyms=("kerosene", "lamp oil"),
        density=_PARAFFIN,
        doubt=32.5 / sqrt(3),
        expansion_doubt=4e-5,
        source=f"{_D1250} 775 to 840 kg/m³",
        known="memory",
        flash=FLAMMABLE,
        flash_point=PARAFFIN_FLASH,
        cautions=_BURNS,
        advice="Density known only to 4 %: weigh a known volume if the fill is weighed.",
    ),
    Fluid(
        key="white spirit",
        name="white spirit",
        synonyms=("mineral spirits", "turpentine substitute"),
        density=_petroleum(780.0, "paraffin"),
        doubt=20 / sqrt(3),
        expansion_doubt=4e-5,
        source=f"{_D1250} 760 to 800 kg/m³",
        known="memory",
        flash=FLAMMABLE,
        flash_point=PARAFFIN_FLASH,
        cautions=_BURNS,
        advice="Softens some greases: check the seal. Weigh a known volume.",
    ),
    Fluid(
        key="light oil",
        name="light mineral oil",
        synonyms=("thin oil",),
        density=_OIL,
        doubt=25 / sqrt(3),
        expansion_doubt=3e-5,
        source=f"{_D1250} 830 to 880 kg/m³",
        known="memory",
        flash=NOT_CLASSED,
        flash_point=OIL_FLASH,
        advice=_SLOW,
    ),
    Fluid(
        key="transmission fluid",
        name="automatic transmission fluid",
        synonyms=("ATF",),
        density=_petroleum(860.0, "lubricating oil"),
        doubt=20 / sqrt(3),
        expansion_doubt=3e-5,
        source=f"{_D1250} 840 to 880 kg/m³",
        known="memory",
        flash=NOT_CLASSED,
        flash_point=OIL_FLASH,
        advice=_SLOW,
    ),
    Fluid(
        key="paraffin and oil 50/50",
        name="paraffin and light oil, half and half",
        synonyms=("kerosene and oil 50/50", "paraffin/oil 50/50", "paraffin and oil"),
        density=_half_and_half,
        doubt=29 / sqrt(3),
        expansion_doubt=4e-5,
        source=f"{_D1250}, mean of the two",
        known="memory",
        flash=FLAMMABLE,
        flash_point=PARAFFIN_FLASH,
        cautions=_BURNS,
        advice="Burns as the paraffin in it does. Seals better past rings; drains slowly, wait before reading.",
    ),
)
