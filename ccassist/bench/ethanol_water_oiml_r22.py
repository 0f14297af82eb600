"""Density of ethanol and water mixtures by the general formula of OIML R 22.

Source: OIML R 22 (1975), International alcoholometric tables, general formula
p. 5, constants p. 13 (Wagenbreth and Blanke); all 54 constants reproduce the
known check values to 1e-7 kg/m³ (tests/references/test_ethanol_water.py).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from ccassist.bench.temperatures import ICE_POINT, REFERENCE, celsius, must_lie_within

LIMITS = (-20.0, 40.0)  # °C

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


def _polynomial(coefficients: tuple[float, ...], x: Any) -> Any:
    """First coefficient + second × x + third × x² …, by Horner's scheme."""
    total: Any = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def ethanol_water_density(temperature: Any, mass_fraction: Any) -> Any:
    """Density of ethanol and water mixed.

    temperature [K], 253.15 to 313.15; mass_fraction of ethanol, 0 to 1 ->
    density [kg/m³].  Floats or uncertain numbers.  Raises ValueError outside
    the temperature range.  Source: OIML R 22 (1975) p. 5 and p. 13.

    >>> round(ethanol_water_density(293.15, 0.5), 4)
    913.7706
    """
    must_lie_within(temperature, LIMITS, "the density of ethanol and water")
    p, above = mass_fraction, celsius(temperature) - (REFERENCE - ICE_POINT)
    density = _polynomial(_A, p) + above * _polynomial(_B, above)
    for power, row in enumerate(_C, start=1):
        density = density + p * _polynomial(row, p) * above**power
    return density


@lru_cache(maxsize=256)
def mass_fraction(strength: float) -> float:
    """Mass fraction of ethanol in a mixture of a given strength by volume at 20 °C.

    strength as a share of 1 (0.70 is "70 % by volume").  Raises ValueError
    outside 0 to 1.  Source: OIML R 22, definition of alcoholic strength by
    volume: strength × density of ethanol = mass fraction × density.

    >>> round(mass_fraction(0.70), 5)
    0.62386
    """
    if not 0 <= strength <= 1:
        raise ValueError(f"a strength by volume lies between 0 and 100 %, not at {strength * 100:g} %")
    pure = ethanol_water_density(REFERENCE, 1.0)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        held = middle * ethanol_water_density(REFERENCE, middle) / pure
        low, high = (middle, high) if held < strength else (low, middle)
    return (low + high) / 2
