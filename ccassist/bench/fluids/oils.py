"""Paraffin, white spirit and light oils.

Their density is known only by the spread of what is sold under the name.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import Any

from ccassist.bench.fluids.fluid import FLAMMABLE, NOT_CLASSED, Fluid
from ccassist.bench.petroleum_density_astm_d1250 import petroleum_density

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
