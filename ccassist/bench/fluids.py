"""The fluids of the bench: density with its doubt, expansion, what they do to people and plates.

Density matters where a fill is weighed; expansion wherever the fluid is not
at 20 °C.  A density known only by the fluid's name is a wide one: weighing a
known volume on the day and saying so (:func:`own_fluid`) is worth far more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import hypot, isfinite, sqrt
from typing import Any

from ccassist.bench import names
from ccassist.bench.ethanol_water_oiml_r22 import ethanol_water_density, mass_fraction
from ccassist.bench.petroleum_density_astm_d1250 import petroleum_density
from ccassist.bench.temperatures import BENCH, ICE_POINT, REFERENCE, must_lie_within
from ccassist.bench.water_density_tanaka_2001 import STANDARD, water_density
from ccassist.findings import InputError, clean, error
from ccassist.terms import TERMS

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
    flash: str = SAFE
    flash_point: float | None = None
    cautions: tuple[str, ...] = ()
    crazes_acrylic: bool = False
    advice: str = ""


def density_of(fluid: Fluid, temperature: float) -> tuple[float, float]:
    """Density and its standard uncertainty [kg/m³] at a temperature [K], 0 to 40 °C.

    Make one uncertain number of the pair per fluid and job: all fills share
    one bottle.  The doubt of the temperature itself is the caller's, by
    :func:`expansion_of`.  Raises ValueError outside the range.
    """
    must_lie_within(temperature, BENCH, f"the density of {clean(fluid.name, 60)}")
    density = float(fluid.density(temperature))
    return density, hypot(fluid.doubt, density * (temperature - fluid.reference) * fluid.expansion_doubt)


def expansion_of(fluid: Fluid, temperature: float = REFERENCE) -> tuple[float, float]:
    """Cubic expansion and its standard uncertainty [1/K]: −(dρ/dt)/ρ, from the density itself.

    Raises ValueError outside 0 to 40 °C.

    >>> round(expansion_of(FLUIDS["water"])[0] * 1e6)
    207
    """
    must_lie_within(temperature, BENCH, f"the expansion of {clean(fluid.name, 60)}")
    low, high = (max(temperature - 0.05, BENCH[0] + ICE_POINT), min(temperature + 0.05, BENCH[1] + ICE_POINT))
    fall = float(fluid.density(low) - fluid.density(high)) / (high - low)
    return fall / float(fluid.density(temperature)), fluid.expansion_doubt


def _constant(density: float, expansion: float, reference: float = REFERENCE) -> Callable[[Any], Any]:
    """Density known at one temperature, with a constant cubic expansion."""
    return lambda temperature: density / (1 + expansion * (temperature - reference))


def _petroleum(density_at_15: float, group: str) -> Callable[[Any], Any]:
    return lambda temperature: petroleum_density(temperature, density_at_15, group)


_TAP = 0.25  # kg/m³ above pure water: the middle of 0 to 0.5, dissolved salts up to about 0.65 g/kg
_TAP_DOUBT = 0.5 / sqrt(12)
_DETERGENT_DOUBT = 0.5 / sqrt(3)  # "density change below 0.05 % at working strength"
_TAP_SOURCE = "Tanaka et al. 2001; dissolved salts 0 to +0.5 kg/m³ (computed with TEOS-10, sea salt as stand-in)"
_R22 = "OIML R 22 (1975), general formula"
_D1250 = "ASTM D1250-80; density range 15 °C"
_BURNS, _CRAZES = ("flammable",), ("flammable", "acrylic")


def _tap_water(temperature: Any) -> Any:
    return water_density(temperature) + _TAP


def _waters() -> tuple[Fluid, ...]:
    return (
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


def _isopropanol(
    percent: int, density: float, half: float, expansion: float, spread: float, source: str, known: str, *synonyms: str
) -> Fluid:
    strength = f"isopropanol {percent} %"
    return Fluid(
        key=strength,
        name=f"{strength} by volume",
        synonyms=(f"isopropyl alcohol {percent}", f"IPA {percent}", *synonyms),
        density=_constant(density, expansion),
        doubt=half / sqrt(3),
        expansion_doubt=spread / sqrt(3),
        source=source,
        known=known,
        flash=HIGHLY_FLAMMABLE,
        flash_point=285.15,
        cautions=_CRAZES,
        crazes_acrylic=True,
        advice="Dries away: cover it, work fast, or weigh the bottle.",
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
        flash_point=285.15,
        cautions=_CRAZES,
        crazes_acrylic=True,
        advice="Dries away: cover it, work fast, or weigh the bottle.",
    )


def _spirits() -> tuple[Fluid, ...]:
    return (
        _isopropanol(
            70,
            876.5,
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
            787.0,
            3.0,
            1.15e-3,
            0.8e-4,
            "785.5 at 20 °C accepted (from memory), general libraries 786.3 to 786.7; expansion 1.07e-3 to 1.23e-3",
            "memory",
            "pure isopropanol",
        ),
        ethanol(0.70),
        ethanol(0.90),
        ethanol(0.96),
        Fluid(
            key="methylated spirit",
            name="methylated spirit",
            synonyms=("meths", "denatured alcohol", "methylated spirits"),
            density=_constant(817.5, 1.06e-3),
            doubt=12.5 / sqrt(3),
            expansion_doubt=2e-5,
            source=f"{_R22}, as ethanol of 90 to 96 %; its make-up is common practice, no source",
            known="common practice",
            flash=HIGHLY_FLAMMABLE,
            flash_point=285.15,
            cautions=_CRAZES,
            crazes_acrylic=True,
            advice="Dries away; poisonous; density known only to 1.5 %: weigh a known volume.",
        ),
    )


def _oils() -> tuple[Fluid, ...]:
    def half_and_half(temperature: Any) -> Any:
        return (_petroleum(807.5, "paraffin")(temperature) + _petroleum(855.0, "lubricating oil")(temperature)) / 2

    slow = "Thick: drains slowly down the burette and bubbles rise slowly. Wait before reading."
    return (
        Fluid(
            key="paraffin",
            name="paraffin",
            synonyms=("kerosene", "lamp oil"),
            density=_petroleum(807.5, "paraffin"),
            doubt=32.5 / sqrt(3),
            expansion_doubt=4e-5,
            source=f"{_D1250} 775 to 840 kg/m³",
            known="memory",
            flash=FLAMMABLE,
            flash_point=311.15,
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
            flash_point=311.15,
            cautions=_BURNS,
            advice="Softens some greases: check the seal. Weigh a known volume.",
        ),
        Fluid(
            key="light oil",
            name="light mineral oil",
            synonyms=("thin oil",),
            density=_petroleum(855.0, "lubricating oil"),
            doubt=25 / sqrt(3),
            expansion_doubt=3e-5,
            source=f"{_D1250} 830 to 880 kg/m³",
            known="memory",
            flash=NOT_CLASSED,
            flash_point=423.15,
            advice=slow,
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
            flash_point=423.15,
            advice=slow,
        ),
        Fluid(
            key="paraffin and oil 50/50",
            name="paraffin and light oil, half and half",
            synonyms=("kerosene and oil 50/50", "paraffin/oil 50/50", "paraffin and oil"),
            density=half_and_half,
            doubt=29 / sqrt(3),
            expansion_doubt=4e-5,
            source=f"{_D1250}, mean of the two",
            known="memory",
            flash=FLAMMABLE,
            flash_point=311.15,
            cautions=_BURNS,
            advice="Burns as the paraffin in it does. Seals better past rings; drains slowly, wait before reading.",
        ),
    )


FLUIDS: dict[str, Fluid] = {fluid.key: fluid for fluid in (*_waters(), *_spirits(), *_oils())}
_BY_WORDS = names.index(FLUIDS, {key: fluid.synonyms for key, fluid in FLUIDS.items()})


def find(name: str) -> Fluid | None:
    """The fluid of that name or synonym, or None; case, order and spacing do not matter.

    Ethanol is found in any strength.

    >>> find("Ethanol 85%").key
    'ethanol 85 %'
    """
    words = names.words(name)
    if len(words) == 2 and words[1] == "ethanol" and words[0][0].isdecimal() and 0 < float(words[0]) <= 100:
        return ethanol(float(words[0]) / 100)
    return _BY_WORDS.get(words)


def nearest(name: str) -> str | None:
    """The key of the catalogue most like a mistyped name, or None."""
    return names.closest(name, FLUIDS)


def own_fluid(
    name: str,
    density: float,
    standard: float,
    temperature: float = REFERENCE,
    expansion: float | None = None,
    like: str = "",
) -> Fluid:
    """A fluid whose density the user found, by weighing a known volume or from its data sheet.

    density and its standard uncertainty [kg/m³] at temperature [K]; cubic
    expansion [1/K], good to a tenth, else that of the fluid it is like, else
    somewhere from none to 1.3e-3.  Flash point and cautions are those of the
    fluid it is like, else the safe side.  Raises InputError with every fault.
    """
    base = find(like) if like else None
    faults = [
        error("own-fluid", wrong, read=read, right=right)
        for wrong, read, right, fine in (
            (
                "no such fluid to be like",
                like,
                f'did you mean "{nearest(like) or "water"}"?',
                base is not None or not like,
            ),
            (
                "not the density of a bench fluid",
                f"{density:g} kg/m³",
                "water is near 998 kg/m³",
                TERMS["density"].possible[0] <= density <= TERMS["density"].possible[1],
            ),
            (
                "a standard uncertainty is nought or more",
                f"{standard:g} kg/m³",
                "",
                isfinite(standard) and standard >= 0,
            ),
            (
                "not a bench temperature",
                f"{temperature - ICE_POINT:g} °C",
                "0 to 40 °C",
                BENCH[0] <= temperature - ICE_POINT <= BENCH[1],
            ),
            (
                "not the cubic expansion of a fluid",
                f"{expansion or 0:g} per K",
                "0 to 0.003 per K",
                expansion is None or 0 <= expansion <= 3e-3,
            ),
        )
        if not fine
    ]
    if faults:
        raise InputError([fault.at(place=f"fluid {name}") for fault in faults])
    cubic, doubt = (0.65e-3, 0.65e-3 / sqrt(3)) if base is None else expansion_of(base, temperature)
    if expansion is not None:
        cubic, doubt = expansion, 0.1 * expansion
    return replace(
        base or _STRANGER,
        key=name,
        name=name,
        synonyms=(),
        density=_constant(density, cubic, temperature),
        doubt=standard,
        expansion_doubt=doubt,
        reference=temperature,
        source="the user's own figure",
        known="own figure",
    )


_STRANGER = Fluid(
    key="",
    name="",
    density=_constant(1000.0, 0.0),
    doubt=0.0,
    source="",
    known="",
    flash=UNKNOWN,
    cautions=_CRAZES,
    crazes_acrylic=True,
    advice="What it does to skin, paint and plates is not known here: try it on an offcut.",
)
