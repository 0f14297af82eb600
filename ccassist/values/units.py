"""The closed list of units a person may write, and the one registry (Pint).

Pint is given only names from this list, never a user's text, and is loaded
when the first quantity is converted.  Factors are taken from Pint in exact
decimal arithmetic, so that one cubic inch is 16.387064 cm³ and not a float
that is nearly so (NIST SP 811, 2008, appendix B.8).

Pint's own file defines a thousand units, and reading it takes longer than all
else that a command does: the registry is given the few that are written here.
The tests hold each against Pint's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from ccassist.vocabulary import Kind, Term

SI: dict[Kind, str] = {
    Kind.LENGTH: "meter",
    Kind.AREA: "meter ** 2",
    Kind.VOLUME: "meter ** 3",
    Kind.ANGLE: "radian",
    Kind.MASS: "kilogram",
    Kind.TIME: "second",
    Kind.TEMPERATURE: "kelvin",
    Kind.PRESSURE: "pascal",
    Kind.SPEED: "meter / second",
    Kind.TURNS: "turn / second",
    Kind.DENSITY: "kilogram / meter ** 3",
}

# As written -> (kind, name in the registry).  "mil" is left out on purpose:
# to some it is a thousandth of an inch, to others a millimetre.
UNITS: dict[str, tuple[Kind, str]] = {
    **dict.fromkeys(("mm", "millimetre", "millimeter"), (Kind.LENGTH, "millimeter")),
    "cm": (Kind.LENGTH, "centimeter"),
    "m": (Kind.LENGTH, "meter"),
    **dict.fromkeys(("um", "µm", "μm", "micron", "microns"), (Kind.LENGTH, "micrometer")),
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), (Kind.LENGTH, "inch")),
    **dict.fromkeys(("thou", "thousandths"), (Kind.LENGTH, "thou")),
    "ft": (Kind.LENGTH, "foot"),
    **dict.fromkeys(("mm2", "mm²"), (Kind.AREA, "millimeter ** 2")),
    **dict.fromkeys(("cm2", "cm²"), (Kind.AREA, "centimeter ** 2")),
    **dict.fromkeys(("in2", "in²", "sq in"), (Kind.AREA, "inch ** 2")),
    **dict.fromkeys(("cc", "cm3", "cm³", "ccm"), (Kind.VOLUME, "centimeter ** 3")),
    **dict.fromkeys(("ml", "mL"), (Kind.VOLUME, "milliliter")),
    **dict.fromkeys(("l", "L", "litre", "liter", "litres", "liters"), (Kind.VOLUME, "liter")),
    **dict.fromkeys(("mm3", "mm³"), (Kind.VOLUME, "millimeter ** 3")),
    **dict.fromkeys(("in3", "in³", "cu in", "ci", "cid"), (Kind.VOLUME, "inch ** 3")),
    **dict.fromkeys(("deg", "°", "degrees", "degree"), (Kind.ANGLE, "degree")),
    "rad": (Kind.ANGLE, "radian"),
    **dict.fromkeys(("g", "gram", "grams"), (Kind.MASS, "gram")),
    "kg": (Kind.MASS, "kilogram"),
    **dict.fromkeys(("oz", "ounce", "ounces"), (Kind.MASS, "ounce")),
    "lb": (Kind.MASS, "pound"),
    **dict.fromkeys(("s", "sec", "seconds"), (Kind.TIME, "second")),
    **dict.fromkeys(("min", "minutes"), (Kind.TIME, "minute")),
    **dict.fromkeys(("degC", "°C", "C", "celsius"), (Kind.TEMPERATURE, "degree_Celsius")),
    **dict.fromkeys(("degF", "°F", "F", "fahrenheit"), (Kind.TEMPERATURE, "degree_Fahrenheit")),
    "K": (Kind.TEMPERATURE, "kelvin"),
    "bar": (Kind.PRESSURE, "bar"),
    "mbar": (Kind.PRESSURE, "millibar"),
    "hPa": (Kind.PRESSURE, "hectopascal"),
    "kPa": (Kind.PRESSURE, "kilopascal"),
    "Pa": (Kind.PRESSURE, "pascal"),
    "psi": (Kind.PRESSURE, "psi"),
    "inHg": (Kind.PRESSURE, "inch_Hg"),
    "mmHg": (Kind.PRESSURE, "mmHg"),
    "m/s": (Kind.SPEED, "meter / second"),
    **dict.fromkeys(("ft/min", "fpm"), (Kind.SPEED, "foot / minute")),
    **dict.fromkeys(("g/cc", "g/cm3", "g/cm³", "g/ml", "g/mL"), (Kind.DENSITY, "gram / centimeter ** 3")),
    **dict.fromkeys(("kg/m3", "kg/m³"), (Kind.DENSITY, "kilogram / meter ** 3")),
    **dict.fromkeys(("rpm", "rev/min", "1/min"), (Kind.TURNS, "turn / minute")),
    **dict.fromkeys((":1", ": 1"), (Kind.RATIO, "")),
    "%": (Kind.RATIO, "percent"),
}

_SHOWN: dict[Kind, tuple[str, str]] = {
    Kind.LENGTH: ("mm", "in"),
    Kind.AREA: ("cm²", "in²"),
    Kind.VOLUME: ("cc", "cc"),
    Kind.ANGLE: ("deg", "deg"),
    Kind.MASS: ("g", "g"),
    Kind.TIME: ("s", "s"),
    Kind.TEMPERATURE: ("°C", "°F"),
    Kind.PRESSURE: ("kPa", "psi"),
    Kind.SPEED: ("m/s", "ft/min"),
    Kind.TURNS: ("rpm", "rpm"),
    Kind.DENSITY: ("g/cc", "g/cc"),
    Kind.RATIO: ("", ""),
    Kind.COUNT: ("", ""),
}
SYSTEMS = ("metric", "imperial")


# What the units above are made of, in Pint's form; exact by definition (NIST SP 811, 2008, appendix B.8).
_DEFINITIONS = (
    "micro- = 1e-6",
    "milli- = 1e-3",
    "centi- = 1e-2",
    "hecto- = 1e2",
    "kilo- = 1e3",
    "meter = [length]",
    "inch = 0.0254 * meter",
    "thou = inch / 1000",
    "foot = 12 * inch",
    "liter = 0.001 * meter ** 3",
    "gram = [mass]",
    "pound = 0.45359237 * kilogram",
    "ounce = pound / 16",
    "second = [time]",
    "minute = 60 * second",
    "radian = []",
    "degree = 3.141592653589793238462643383279502884 / 180 * radian",
    "turn = 360 * degree",
    "kelvin = [temperature]; offset: 0",
    "degree_Celsius = kelvin; offset: 273.15",
    "degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",
    "pascal = kilogram / meter / second ** 2",
    "bar = 100000 * pascal",
    "standard_gravity = 9.80665 * meter / second ** 2",
    "psi = pound * standard_gravity / inch ** 2",
    "mercury_column = 13595.1 * kilogram / meter ** 3 * standard_gravity",
    "mmHg = millimeter * mercury_column",
    "inch_Hg = inch * mercury_column",
)


@dataclass(frozen=True)
class Conversion:
    """SI = number × scale + zero; a difference (a ±) is scaled only."""

    scale: float
    zero: float = 0.0


@cache
def registry() -> Any:
    """The one Pint registry of the program, in exact decimals."""
    from decimal import Decimal

    from pint import UnitRegistry

    return UnitRegistry(_DEFINITIONS, non_int_type=Decimal)


@cache
def conversion(unit: str) -> Conversion:
    """From a unit of the closed list to SI.

    >>> conversion("in3").scale
    1.6387064e-05
    """
    if unit == "":
        return Conversion(1.0)
    kind, name = UNITS[unit]
    if not name:
        return Conversion(1.0)
    if name == "percent":
        return Conversion(0.01)
    from decimal import Decimal

    make, target = registry().Quantity, SI[kind]
    if kind is Kind.TEMPERATURE:
        step = "kelvin" if name == "kelvin" else f"delta_{name}"
        scale = float(make(Decimal(1), step).to("kelvin").magnitude)
        return Conversion(scale, float(make(Decimal(0), name).to(target).magnitude))
    return Conversion(float(make(Decimal(1), name).to(target).magnitude))


def shown_unit(term: Term, system: str = "metric") -> str:
    """The unit in which a term is shown and in which bare numbers are taken."""
    index = SYSTEMS.index(system)
    if term.units is not None:
        return term.units[index]
    if term.small and term.kind is Kind.LENGTH and system == "imperial":
        return "thou"
    return _SHOWN[term.kind][index]


def units_of(kind: Kind) -> tuple[str, ...]:
    """The spellings that may be written for a kind, commonest first."""
    return tuple(text for text, (k, _) in UNITS.items() if k is kind)
