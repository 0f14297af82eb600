"""The fluids of the bench: density with its uncertainty, expansion, what they do to people and plates.

Density matters where a fill is weighed; expansion wherever the fluid is not at 20 °C.  A density known only by the
fluid's name is a wide one: weighing a known volume on the day and saying so (:func:`own_fluid`) is worth far more.
"""

from __future__ import annotations

from dataclasses import replace
from math import isfinite, sqrt

from ccassist.bench import names
from ccassist.bench.densities import BENCH, ICE_POINT, REFERENCE
from ccassist.bench.fluids.rows import (
    FLAMMABLE,
    HIGHLY_FLAMMABLE,
    NOT_CLASSED,
    OILS,
    SPIRITS,
    UNKNOWN,
    WATERS,
    Fluid,
    constant,
    density_of,
    ethanol,
    expansion_of,
)
from ccassist.bench.step import SAFE
from ccassist.values.findings import Finding, InputError, error
from ccassist.vocabulary import TERMS

GREATEST_EXPANSION = 3e-3  # 1/K, twice that of the fluids that expand most (acetone 1.4e-3, computed)
UNKNOWN_EXPANSION = 1.3e-3  # 1/K: somewhere from none to this, which holds every fluid of the catalogue

FLUIDS: dict[str, Fluid] = {fluid.key: fluid for fluid in (*WATERS, *SPIRITS, *OILS)}
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

    density and its standard uncertainty [kg/m³] at temperature [K]; cubic expansion [1/K], good to a tenth, else that
    of the fluid it is like, else somewhere from none to 1.3e-3.  Flash point and cautions are those of the fluid it is
    like, else the safe side.  Raises InputError with every fault.
    """
    base = find(like) if like else None
    faults = _faults(density, standard, temperature, expansion)
    if like and base is None:
        faults.append(
            error(
                "unknown-fluid",
                "no such fluid to be like",
                read=like,
                right=f'did you mean "{nearest(like) or "water"}"?',
            )
        )
    if faults:
        raise InputError([fault.at(place=f"fluid {name}") for fault in faults])
    cubic, uncertainty = (
        (UNKNOWN_EXPANSION / 2, UNKNOWN_EXPANSION / sqrt(12)) if base is None else expansion_of(base, temperature)
    )
    if expansion is not None:
        cubic, uncertainty = expansion, 0.1 * expansion
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


def _faults(density: float, standard: float, temperature: float, expansion: float | None) -> list[Finding]:
    low, high = TERMS["density"].possible
    celsius = temperature - ICE_POINT
    found = []
    if not low <= density <= high:
        found.append(("not the density of a bench fluid", f"{density:g} kg/m³", "water is near 998 kg/m³"))
    if not (isfinite(standard) and standard >= 0):
        found.append(("a standard uncertainty is nought or more", f"{standard:g} kg/m³", ""))
    if not BENCH[0] <= celsius <= BENCH[1]:
        found.append(("not a bench temperature", f"{celsius:g} °C", f"{BENCH[0]:g} to {BENCH[1]:g} °C"))
    if expansion is not None and not 0 <= expansion <= GREATEST_EXPANSION:
        right = f"nought to {GREATEST_EXPANSION:g} per K"
        found.append(("not the cubic expansion of a fluid", f"{expansion:g} per K", right))
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

__all__ = [
    "FLAMMABLE",
    "FLUIDS",
    "HIGHLY_FLAMMABLE",
    "NOT_CLASSED",
    "SAFE",
    "UNKNOWN",
    "Fluid",
    "density_of",
    "ethanol",
    "expansion_of",
    "find",
    "nearest",
    "own_fluid",
]
