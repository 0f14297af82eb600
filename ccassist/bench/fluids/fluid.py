"""What a fluid is, and its density and expansion with their doubt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot
from typing import Any

from ccassist.bench.temperatures import BENCH, ICE_POINT, REFERENCE, celsius, must_lie_within
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
