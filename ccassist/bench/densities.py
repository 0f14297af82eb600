"""Densities by published formulas, volume from apparent mass, and how metals grow.

Kelvin inside, degrees Celsius where a formula was fitted in them.  Every formula takes and gives floats, uncertain
numbers or arrays, SI, and raises ValueError where it does not hold.
"""

from __future__ import annotations

from functools import lru_cache
from math import e
from typing import Any

from ccassist.values.number import N, Number, nominal
from ccassist.values.numerics import root
from ccassist.vocabulary.record import record

ICE_POINT = 273.15  # K at 0 °C, by definition
REFERENCE = 293.15  # K: 20 °C, the temperature to which lengths and volumes are stated (ISO 1; ISO 4787, from memory)
BENCH = (0.0, 40.0)  # °C within which fluids are described


def celsius(temperature: N) -> N:
    """Temperature [K] in degrees Celsius; floats, uncertain numbers or arrays.

    >>> celsius(293.15)
    20.0
    """
    return temperature - ICE_POINT


def must_lie_within(temperature: Number, limits: tuple[float, float], what: str) -> None:
    """Raise ValueError, in words, where a temperature [K] is outside limits [°C] of what is said to hold."""
    low, high = limits
    degrees = celsius(nominal(temperature))
    if not low - 1e-9 <= degrees <= high + 1e-9:
        raise ValueError(f"{what} holds from {low:g} to {high:g} °C, not at {degrees:g} °C")


def _exp(power: N) -> N:
    """e to a power of whatever kind."""
    base: Any = e
    grown: N = base**power
    return grown


@record
class Material:
    """One metal: cubic expansion and its standard uncertainty [1/K], with the source of the figure.

    ``density`` [kg/m³] of casting alloys is from memory, good to some per cent: for a cross-check by weight.
    """

    name: str
    expansion: float
    uncertainty: float
    density: float
    source: str


MATERIALS: dict[str, Material] = {
    "aluminium": Material(name="aluminium", expansion=67e-6, uncertainty=3e-6, density=2700.0,
                          source="handbook linear 21 to 24 per million and kelvin, × 3"),
    "iron": Material(name="grey cast iron", expansion=32.4e-6, uncertainty=2e-6, density=7200.0,
                     source="handbook linear 10.8, × 3"),
}  # fmt: skip


# ---- water: Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301-309, formula p. 305 (seen as transcribed)
WATER_LIMITS = (0.0, 40.0)  # °C
# The formula is good to about 1e-6; water that is merely "pure" and not known to be free of air is good to about 1e-5
# (Simposio de Metrologia 2004).
WATER_STANDARD = 0.01  # kg/m³

_A1, _A2, _A3, _A4, _A5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950


def water_density(temperature: N) -> N:
    """Density of air-free water of standard isotopic make-up at one atmosphere.

    temperature [K], 273.15 to 313.15 -> density [kg/m³].  Floats or uncertain numbers.  Raises ValueError outside the
    range.  Source: Tanaka et al., Metrologia 38 (2001) p. 305, ITS-90, 101.325 kPa.

    >>> round(water_density(293.15), 4)
    998.2067
    """
    must_lie_within(temperature, WATER_LIMITS, "the density of water")
    t = celsius(temperature)
    return _A5 * (1 - (t + _A1) ** 2 * (t + _A2) / (_A3 * (t + _A4)))


# ---- water warmer than the workshop's: Kell, J. Chem. Eng. Data 20 (1975) 97-105, equation (16) (from memory; checked
# against CoolProp's IAPWS-95)
WARM_LIMITS = (0.0, 100.0)  # °C, of the 150 that it was fitted to
# The fit itself is good to a few 1e-6; its degrees are of 1968, up to 0.026 °C off today's at 100 °C, and water so warm
# gives off air and vapour while it is read.
WARM_STANDARD = 0.05  # kg/m³

_TOP = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_BOTTOM = 16.879850e-3


def warm_water_density(temperature: N) -> N:
    """Density of air-free water at one atmosphere.

    temperature [K], 273.15 to 373.15 -> density [kg/m³].  Floats or uncertain numbers.  Raises ValueError outside the
    range.  Source: Kell (1975) eq. (16).

    >>> round(warm_water_density(333.15), 2)
    983.2
    """
    must_lie_within(temperature, WARM_LIMITS, "the density of water")
    t = celsius(temperature)
    return sum(a * t**power for power, a in enumerate(_TOP)) / (1 + _BOTTOM * t)


# ---- ethanol and water: OIML R 22 (1975), International alcoholometric tables, general formula p. 5, constants p. 13
# (Wagenbreth and Blanke); all 54 reproduce known check values to 1e-7 kg/m³: tests/references/test_ethanol_water.py
ETHANOL_LIMITS = (-20.0, 40.0)  # °C

# fmt: off
_A = (
    998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042, -613838.1234,
    747017.2998, -547846.1354, 223446.0334, -39032.85426,
)
_B = (-0.20618513, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11)
_C = (
    (0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
     -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
     1285.617841998974),
    (-1.193013005057010e-2, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
     109.6355666577570, -142.2753946421155, 108.0435942856230, -44.14153236817392, 7.442971530188783),
    (-6.802995733503803e-4, 1.876837790289664e-2, -0.2002561813734156, 1.022992966719220, -2.895696483903638,
     4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812),
    (4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)
# fmt: on


def _polynomial(coefficients: tuple[float, ...], x: N) -> N:
    """First coefficient + second × x + third × x² …, by Horner's scheme."""
    total = 0 * x
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def ethanol_water_density(temperature: N, mass_fraction: float) -> N:
    """Density of ethanol and water mixed.

    temperature [K], 253.15 to 313.15; mass_fraction of ethanol, 0 to 1 -> density [kg/m³].  Floats or uncertain
    numbers.  Raises ValueError outside the temperature range.  Source: OIML R 22 (1975) p. 5 and p. 13.

    >>> round(ethanol_water_density(293.15, 0.5), 4)
    913.7706
    """
    must_lie_within(temperature, ETHANOL_LIMITS, "the density of ethanol and water")
    p, above = mass_fraction, celsius(temperature) - (REFERENCE - ICE_POINT)
    density = _polynomial(_A, p) + above * _polynomial(_B, above)
    for power, row in enumerate(_C, start=1):
        density = density + p * _polynomial(row, p) * above**power
    return density


@lru_cache(maxsize=256)
def mass_fraction(strength: float) -> float:
    """Mass fraction of ethanol in a mixture of a given strength by volume at 20 °C.

    strength as a share of 1 (0.70 is "70 % by volume").  Raises ValueError outside 0 to 1.  Source: OIML R 22,
    definition of alcoholic strength by volume: strength × density of ethanol = mass fraction × density.

    >>> round(mass_fraction(0.70), 5)
    0.62386
    """
    if not 0 <= strength <= 1:
        raise ValueError(f"a strength by volume lies between 0 and 100 %, not at {strength * 100:g} %")
    pure = ethanol_water_density(REFERENCE, 1.0)
    return root(lambda share: share * ethanol_water_density(REFERENCE, share) / pure - strength, 0.0, 1.0)


# ---- paraffin, white spirit, diesel, light oil: ASTM D1250-80 / API MPMS 11.1, volume correction to 15 °C; constants
# per degree Celsius with densities in kg/m³ (seen as transcribed).  The group goes by the density, whatever the name of
# the product: a light diesel falls among the kerosenes.  The lubricating-oil constant 0.34878 met in some tables is the
# same number per degree Fahrenheit: 1.8 times too small here.
PETROLEUM_BASE = 15.0  # °C
# Densities at 15 °C from which on [kg/m³] -> K0 [kg²/(m⁶ °C)], K1 [kg/(m³ °C)], K2 [1/°C]
FUEL_GROUPS = (
    (838.5, (186.9696, 0.4862, 0.0)),  # fuel oils, diesel
    (787.5, (594.5418, 0.0, 0.0)),  # jet fuels, kerosenes
    (770.5, (2680.3206, 0.0, -0.00336312)),  # between the two
    (0.0, (346.4228, 0.4388, 0.0)),  # gasolines
)
LUBRICATING = (0.0, 0.6278, 0.0)


def petroleum_expansion(density_at_15: float, *, oil: bool = False) -> float:
    """Cubic expansion at 15 °C: K0 / ρ² + K1 / ρ + K2.

    density at 15 °C [kg/m³]; ``oil`` : of a lubricating oil, not a fuel or solvent -> [1/K].  Source: ASTM D1250-80,
    tables 53B and 54B.

    >>> round(petroleum_expansion(850.0, oil=True), 7), round(petroleum_expansion(780.0), 7)
    (0.0007386, 0.0010424)
    """
    k0, k1, k2 = LUBRICATING if oil else next(row for least, row in FUEL_GROUPS if density_at_15 >= least)
    return k0 / density_at_15**2 + k1 / density_at_15 + k2


def petroleum_density(temperature: N, density_at_15: float, *, oil: bool = False) -> N:
    """Density at a temperature: ρ₁₅ exp(−α Δt (1 + 0.8 α Δt)).

    temperature [K], density at 15 °C [kg/m³] -> density [kg/m³].  Floats or uncertain numbers.  Source: ASTM D1250-80 /
    API MPMS 11.1.

    >>> round(petroleum_density(293.15, 850.0, oil=True), 1)
    846.9
    """
    change = petroleum_expansion(density_at_15, oil=oil) * (celsius(temperature) - PETROLEUM_BASE)
    return density_at_15 * _exp(-change * (1 + 0.8 * change))


# ---- moist air, the simplified form of the CIPM equation: ISO 8655-6:2022 and OIML R 111-1 eq. (E.3-1) (coefficients
# seen as transcribed, attributed to ISO 8655-6; the R 111 number from memory) °C; stated for 10 to 30 °C, 900 to 1100
# hPa, humidity below 0.8, and there good to 2 parts in 10,000 (relative standard uncertainty; OIML R 111-1 annex E,
# from memory): nothing beside the uncertainty of the air itself.
AIR_LIMITS = (0.0, 40.0)

# Air of which nothing was read: the reference density of weighing (OIML D 28, from memory) ± a rectangle of 0.1 kg/m³,
# which covers 15 to 25 °C below about 700 m (common practice, no source).  It costs 0.01 % of a weighed volume.
UNREAD_AIR, UNREAD_AIR_HALF_WIDTH = 1.2, 0.1  # kg/m³

_HPA = 1e-2  # the formula takes hectopascal and per cent
_PERCENT = 1e2


def air_density(pressure: Number = 101325.0, humidity: Number = 0.5, temperature: Number = REFERENCE) -> Number:
    """Density of moist air: (0.34848 p − 0.009 h exp(0.061 t)) / (t + 273.15).

    pressure [Pa], at the station and not reduced to sea level; humidity as a share of 1; temperature [K], 273.15 to
    313.15 -> density [kg/m³]. Raises ValueError outside the range.  Source: ISO 8655-6:2022; OIML R 111-1 eq. (E.3-1).

    >>> round(air_density(), 5)
    1.19929
    """
    must_lie_within(temperature, AIR_LIMITS, "the density of air")
    t = celsius(temperature)
    moisture = 0.009 * (humidity * _PERCENT) * _exp(0.061 * t)
    return (0.34848 * (pressure * _HPA) - moisture) / temperature


# ---- volume from apparent mass: ISO 4787:2021 eq. (1), the same in EURAMET cg-19 eq. (1) and ISO 8655-6:2022
# (structure seen as transcribed; numbering from memory) Scales show the mass of a weight of this density that would
# balance the load (conventional mass, OIML D 28 / R 33, from memory).
WEIGHT_DENSITY = 8000.0  # kg/m³


def z_factor(fluid_density: N, air_density: N, weight_density: float = WEIGHT_DENSITY) -> N:
    """Volume held by one unit of apparent mass: (1 − ρair/ρweight) / (ρfluid − ρair).

    All [kg/m³] -> [m³/kg]; times 1000 it is the printed Z in mL/g.  Source: ISO 8655-6:2022; ISO 4787:2021 eq. (1).

    >>> round(z_factor(998.2067, 1.1993) * 1e3, 5)
    1.00285
    """
    return (1 - air_density / weight_density) / (fluid_density - air_density)
