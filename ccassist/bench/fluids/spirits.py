"""Alcohols: all of them burn and craze acrylic."""

from __future__ import annotations

from functools import lru_cache
from math import sqrt

from ccassist.bench.ethanol_water_oiml_r22 import ethanol_water_density, mass_fraction
from ccassist.bench.fluids.fluid import HIGHLY_FLAMMABLE, Fluid, constant
from ccassist.bench.temperatures import REFERENCE

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
