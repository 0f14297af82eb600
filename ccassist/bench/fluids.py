"""The fluids of the bench: density with its uncertainty, expansion, what they do to people and plates.

Density matters where a fill is weighed; expansion wherever the fluid is not at 20 °C.  A density known only by the
fluid's name is a wide one: weighing a known volume on the day and saying so (:func:`own_fluid`) is worth far more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, lru_cache
from math import hypot, isfinite, sqrt

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
from ccassist.bench.step import SAFE
from ccassist.values.findings import Finding, InputError, clean, error
from ccassist.vocabulary import TERMS, names
from ccassist.vocabulary.record import record

# What a fluid is, its density and expansion with their uncertainty, and the table of those the bench uses.
#
# One row adds a fluid: to :data:`WATERS`, :data:`SPIRITS` or :data:`OILS`.

Density = Callable[[float], float]  # temperature [K] -> density [kg/m³]
HIGHLY_FLAMMABLE = "highly flammable (flash point below 23 °C)"
FLAMMABLE = "flammable (flash point 23 to 60 °C)"
NOT_CLASSED = "not classed as flammable (flash point above 93 °C); it still burns on a rag or a hot part"
UNKNOWN = "flash point not known: treat it as highly flammable"


@record
class Fluid:
    """One fluid.

    key, name, synonyms : as the job file writes it, as a page shows it, other names.
    flash : flash-point class in words; flash_point : lowest usual one [K], None where there is none known.
    source, known : where the figures are from; "seen", "memory", "common practice" or "own figure".
    """

    key: str
    name: str
    density: Density  # by the temperature
    uncertainty: float  # standard uncertainty of the density at ``reference`` [kg/m³]
    source: str
    known: str
    synonyms: tuple[str, ...] = ()
    expansion_uncertainty: float = 0.0  # standard uncertainty of the cubic expansion [1/K]
    reference: float = REFERENCE  # temperature [K] at which ``uncertainty`` holds
    limits: tuple[float, float] = BENCH  # °C within which the density is known
    warm_uncertainty: float = 0.0  # standard uncertainty [kg/m³] above the temperatures of a workshop
    flash: str = SAFE
    flash_point: float | None = None
    cautions: tuple[str, ...] = ()  # keys of the cautions that apply
    thick: bool = False  # whether piston rings hold it
    crazes_acrylic: bool = False  # whether it cracks an acrylic plate at holes and edges
    advice: str = ""  # what to mind when it is used


def density_of(fluid: Fluid, temperature: float) -> tuple[float, float]:
    """Density and its standard uncertainty [kg/m³] at a temperature [K], 0 to 40 °C (of water to 100 °C).

    Make one uncertain number of the pair per fluid and job: all fills share one bottle.  The uncertainty of the
    temperature itself is the caller's, by :func:`expansion_of`.  Raises ValueError outside the range.
    """
    must_lie_within(temperature, fluid.limits, f"the density of {clean(fluid.name, 60)}")
    density = float(fluid.density(temperature))
    warm = fluid.warm_uncertainty if celsius(temperature) > BENCH[1] else 0.0
    return density, hypot(
        fluid.uncertainty, warm, density * (temperature - fluid.reference) * fluid.expansion_uncertainty
    )


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
    return fall / float(fluid.density(temperature)), fluid.expansion_uncertainty


def constant(density: float, expansion: float, reference: float = REFERENCE) -> Density:
    """Density known at one temperature [K], with a constant cubic expansion [1/K], as a function of temperature."""
    return lambda temperature: density / (1 + expansion * (temperature - reference))


# ---- waters: from the still and from the tap ----------------------------------------------------------------------
_TAP = 0.25  # kg/m³ above pure water: the middle of 0 to 0.5, dissolved salts up to about 0.65 g/kg
_TAP_UNCERTAINTY = 0.5 / sqrt(12)
_DETERGENT_UNCERTAINTY = 0.5 / sqrt(3)  # "density change below 0.05 % at working strength"
_TAP_SOURCE = (
    "Tanaka et al. 2001, above 40 °C Kell 1975; dissolved salts 0 to +0.5 kg/m³ (computed with TEOS-10, sea salt as "
    "stand-in)"
)
_JOINT = WATER_LIMITS[1] + ICE_POINT  # K
_MEETS = water_density(_JOINT) - warm_water_density(_JOINT)  # under 0.001 kg/m³


def _water(temperature: float) -> float:
    """Pure water: by the closer equation where it holds, warmer by the wider one."""
    degrees = celsius(temperature)
    return water_density(temperature) if degrees <= WATER_LIMITS[1] else warm_water_density(temperature) + _MEETS


def _tap_water(temperature: float) -> float:
    return _water(temperature) + _TAP


def _of_water(
    key: str, name: str, density: Density, uncertainty: float, source: str, known: str, advice: str, *synonyms: str
) -> Fluid:
    return Fluid(
        key=key,
        name=name,
        density=density,
        uncertainty=uncertainty,
        source=source,
        known=known,
        synonyms=synonyms,
        advice=advice,
        limits=WARM_LIMITS,
        warm_uncertainty=WARM_STANDARD,
    )


# fmt: off
# key, name, density, its standard uncertainty [kg/m³], source, known, advice, other names
WATERS: tuple[Fluid, ...] = (
    _of_water("water", "water, distilled or deionised", _water, WATER_STANDARD,
              "Tanaka et al., Metrologia 38 (2001) p. 305; above 40 °C Kell, J. Chem. Eng. Data 20 (1975) 97", "seen",
              "Wets badly: bubbles. Out of the tap it is up to 0.05 % denser: call it tap water then.",
              "distilled water", "deionised water", "deionized water", "pure water"),
    _of_water("water with detergent", "tap water with a drop of detergent", _tap_water,
              hypot(_TAP_UNCERTAINTY, _DETERGENT_UNCERTAINTY),
              f"{_TAP_SOURCE}; detergent below 0.05 %, common practice, no source", "common practice",
              "A drop only: more foams. Dry iron at once, it rusts.", "soapy water", "water and dye", "dyed water"),
    _of_water("tap water", "tap water", _tap_water, _TAP_UNCERTAINTY, _TAP_SOURCE, "common practice",
              "Wets badly without a drop of detergent. Dry iron at once, it rusts."),
)
# fmt: on

# ---- spirits: all of them burn and craze acrylic ------------------------------------------------------------------
_R22 = "OIML R 22 (1975), general formula"
_DRIES = "Dries away: cover it, work fast, or weigh the bottle."
FLASH = 285.15  # K, 12 °C: closed cup, of pure ethanol and of pure isopropanol alike (from memory); the safe end


def _spirit(
    key: str, name: str, density: Density, uncertainty: float, expansion: float, source: str, known: str,
    *synonyms: str, advice: str = _DRIES,
) -> Fluid:  # fmt: skip
    return Fluid(
        key=key,
        name=name,
        density=density,
        uncertainty=uncertainty,
        expansion_uncertainty=expansion,
        source=source,
        known=known,
        synonyms=synonyms,
        flash=HIGHLY_FLAMMABLE,
        flash_point=FLASH,
        cautions=("flammable", "acrylic"),
        crazes_acrylic=True,
        advice=advice,
    )


def _isopropanol(
    percent: int, density: float, half: float, expansion: float, spread: float, source: str, known: str, *synonyms: str
) -> Fluid:
    """Of a strength: density [kg/m³] and expansion [1/K], both either way."""
    key, others = f"isopropanol {percent} %", (f"isopropyl alcohol {percent}", f"IPA {percent}", *synonyms)
    at, rate = half / sqrt(3), spread / sqrt(3)
    return _spirit(key, f"{key} by volume", constant(density, expansion), at, rate, source, known, *others)


@lru_cache(maxsize=64)
def ethanol(strength: float) -> Fluid:
    """Ethanol and water of a strength by volume at 20 °C (0.70 is 70 %), label ± 1 %.

    The same strength gives the same object.  The flash point is that of pure ethanol, the safe end.  Raises ValueError
    outside 0 to 1.
    """
    fraction, key = mass_fraction(strength), f"ethanol {strength * 100:g} %"

    def at(share: float) -> float:
        return float(ethanol_water_density(REFERENCE, mass_fraction(min(max(share, 0.0), 1.0))))

    def density(temperature: float) -> float:
        return ethanol_water_density(temperature, fraction)

    uncertainty = (at(strength - 0.01) - at(strength + 0.01)) / 2 / sqrt(3)
    source = f"{_R22}; label ± 1 % by volume (common practice, no source)"
    return _spirit(key, f"{key} by volume", density, uncertainty, 1e-5, source, "seen")


# fmt: off
# Of isopropanol: strength [%], density and half-width [kg/m³], expansion and half-width [1/K], source, known, others;
# of 70 % the source gives specific gravities, of water at 20 °C: 871 to 882 kg/m³.
SPIRITS: tuple[Fluid, ...] = (
    _isopropanol(70, 876.5, 5.5, 9.5e-4, 2.0e-4,
                 "USP isopropyl rubbing alcohol, 0.872 to 0.883 at 20 °C (seen); expansion by likeness to ethanol 70 %",
                 "seen", "rubbing alcohol"),
    _isopropanol(91, 815.0, 8.0, 1.08e-3, 1.0e-4, "between 70 % and pure, from memory", "memory"),
    _isopropanol(99, 787.5, 2.0, 1.15e-3, 0.8e-4,
                 "785.5 at 20 °C accepted (memory), libraries 786.3 to 786.7, to 1 % of water; expansion 1.07e-3 to "
                 "1.23e-3", "memory", "pure isopropanol"),
    ethanol(0.70), ethanol(0.90), ethanol(0.96),
    _spirit("methylated spirit", "methylated spirit", constant(817.5, 1.06e-3), 12.5 / sqrt(3), 2e-5,
            f"{_R22}, as ethanol of 90 to 96 %; its make-up is common practice, no source", "common practice",
            "meths", "denatured alcohol",
            advice="Dries away; poisonous; density known only to 1.5 %: weigh a known volume."),
)
# fmt: on

# ---- paraffin, white spirit and light oils: known only by the spread of what is sold under the name -----------------
PARAFFIN_FLASH, OIL_FLASH = 311.15, 423.15  # K: 38 °C and 150 °C, the least usual in trade (common practice, no source)
_SLOW = "Thick: drains slowly down the burette and bubbles rise slowly. Wait before reading."


def _petroleum(density_at_15: float, *, oil: bool = False) -> Density:
    return lambda temperature: petroleum_density(temperature, density_at_15, oil=oil)


_PARAFFIN, _OIL = _petroleum(807.5), _petroleum(855.0, oil=True)


def _half_and_half(temperature: float) -> float:
    """Paraffin and oil mixed by volume without shrinking."""
    return (_PARAFFIN(temperature) + _OIL(temperature)) / 2


def _oil(
    key: str, name: str, density: Density, half: float, expansion: float, spread: str, burns: bool, advice: str,
    *synonyms: str,
) -> Fluid:  # fmt: skip
    return Fluid(
        key=key,
        name=name,
        density=density,
        uncertainty=half / sqrt(3),
        expansion_uncertainty=expansion,
        source=f"ASTM D1250-80; density range 15 °C{spread}",
        known="memory",
        synonyms=synonyms,
        flash=FLAMMABLE if burns else NOT_CLASSED,
        flash_point=PARAFFIN_FLASH if burns else OIL_FLASH,
        cautions=("flammable",) if burns else (),
        thick=not burns or "oil" in key,
        advice=advice,
    )


# fmt: off
# key, name, density, its half-width [kg/m³], standard uncertainty of the expansion [1/K], spread, whether it burns,
# advice, other names
OILS: tuple[Fluid, ...] = (
    _oil("paraffin", "paraffin", _PARAFFIN, 32.5, 7.5e-5, " 775 to 840 kg/m³", True,
         "Density known only to 4 %: weigh a known volume if the fill is weighed.", "kerosene", "lamp oil"),
    _oil("white spirit", "white spirit", _petroleum(780.0), 20, 6.5e-5, " 760 to 800 kg/m³", True,
         "Softens some greases: check the seal. Weigh a known volume.", "mineral spirits", "turpentine substitute"),
    _oil("light oil", "light mineral oil", _OIL, 25, 3e-5, " 830 to 880 kg/m³", False, _SLOW, "thin oil"),
    _oil("transmission fluid", "automatic transmission fluid", _petroleum(860.0, oil=True), 20, 3e-5,
         " 840 to 880 kg/m³", False, _SLOW, "ATF"),
    _oil("paraffin and oil 50/50", "paraffin and light oil, half and half", _half_and_half, 29, 4e-5,
         ", mean of the two", True,
         "Burns as the paraffin in it does. Seals better past rings; drains slowly, wait before reading.",
         "kerosene and oil 50/50", "paraffin/oil 50/50", "paraffin and oil"),
)
# fmt: on

# ---- the catalogue, and whoever has a fluid of their own ------------------------------------------------------------

UNKNOWN_EXPANSION = 1.3e-3  # 1/K: somewhere from none to this, which holds every fluid of the catalogue

FLUIDS: dict[str, Fluid] = {fluid.key: fluid for fluid in (*WATERS, *SPIRITS, *OILS)}
# What chambers are mostly filled with (common practice, no source).
COMMON = ("water", "water with detergent", "isopropanol 70 %", "methylated spirit", "paraffin", "light oil")


def find(name: str) -> Fluid | None:
    """The fluid of that name or synonym, or None; case, order and spacing do not matter.

    Ethanol is found in any strength.

    >>> find("Ethanol 85%").key
    'ethanol 85 %'
    """
    if name in FLUIDS:
        return FLUIDS[name]
    words = names.words(name)
    if len(words) == 2 and words[1] == "ethanol" and words[0][0].isdecimal() and 0 < float(words[0]) <= 100:
        return ethanol(float(words[0]) / 100)
    return _by_words().get(words)


@cache
def _by_words() -> dict[tuple[str, ...], Fluid]:
    return names.index(FLUIDS, {key: fluid.synonyms for key, fluid in FLUIDS.items()})


def nearest(name: str) -> str | None:
    """The key of the catalogue most like a mistyped name, or None."""
    return names.closest_name(name, FLUIDS)


def own_fluid(name: str, density: float, standard: float, temperature: float = REFERENCE, like: str = "") -> Fluid:
    """A fluid whose density the user found, by weighing a known volume or from its data sheet.

    density and its standard uncertainty [kg/m³] at temperature [K]; cubic expansion that of the fluid it is
    like, else somewhere from none to 1.3e-3 1/K.  Flash point and cautions are those of the fluid it is like, else the
    safe side.  Raises InputError with every fault.
    """
    base = find(like) if like else None
    faults = _faults(density, standard, temperature)
    if like and base is None:
        right = f'did you mean "{nearest(like) or "water"}"?'
        faults.append(error("unknown-fluid", "no such fluid to be like", read=like, right=right))
    if faults:
        raise InputError([fault.at(place=f"fluid {name}") for fault in faults])
    cubic, uncertainty = (
        (UNKNOWN_EXPANSION / 2, UNKNOWN_EXPANSION / sqrt(12)) if base is None else expansion_of(base, temperature)
    )
    return replace(
        base or _STRANGER,
        key=name,
        name=name,
        synonyms=(),
        density=constant(density, cubic, temperature),
        uncertainty=standard,
        expansion_uncertainty=uncertainty,
        reference=temperature,
        limits=BENCH,
        warm_uncertainty=0.0,
        source="the user's own figure",
        known="own figure",
    )


def _faults(density: float, standard: float, temperature: float) -> list[Finding]:
    low, high = TERMS["density"].possible
    celsius = temperature - ICE_POINT
    found = []
    if not low <= density <= high:
        found.append(("not the density of a bench fluid", f"{density:g} kg/m³", "water is near 998 kg/m³"))
    if not (isfinite(standard) and standard >= 0):
        found.append(("a standard uncertainty is nought or more", f"{standard:g} kg/m³", ""))
    if not BENCH[0] <= celsius <= BENCH[1]:
        found.append(("not a bench temperature", f"{celsius:g} °C", f"{BENCH[0]:g} to {BENCH[1]:g} °C"))
    return [error("own-fluid", wrong, read=read, right=right) for wrong, read, right in found]


_STRANGER = Fluid(
    key="",
    name="",
    density=constant(1000.0, 0.0),
    uncertainty=0.0,
    source="",
    known="",
    flash=UNKNOWN,
    cautions=("flammable", "acrylic"),
    crazes_acrylic=True,
    advice="What it does to skin, paint and plates is not known here: try it on an offcut.",
)
