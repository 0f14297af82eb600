"""Units against their exact definitions.

Source: NIST SP 811 (2008), appendix B.8 (the printed factors, as in public
transcriptions), and the exact definitions behind them: international yard and
pound (1959), standard gravity (CGPM 1901), litre (CGPM 1964).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import pi

import pytest
from pint import UnitRegistry

from ccassist.values.findings import InputError
from ccassist.values.quantity import parse
from ccassist.vocabulary import Kind
from ccassist.vocabulary.units import UNITS, Unit, conversion, in_unit, units_of
from tests.each import each
from tests.references.sources import cites, promise

pytestmark = cites("sp811")


@cache
def whole_library() -> UnitRegistry:
    """Pint with all of its own definitions."""
    return UnitRegistry(non_int_type=Decimal)


INCH = Fraction("0.0254")
POUND = Fraction("0.45359237")
GRAVITY = Fraction("9.80665")
MERCURY = Fraction("13595.1")  # conventional, kg/m³

EXACT: dict[str, Fraction] = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "um": Fraction(1, 10**6),
    "in": INCH,
    '"': INCH,
    "thou": INCH / 1000,
    "ft": 12 * INCH,
    "mm2": Fraction(1, 10**6),
    "cm2": Fraction(1, 10**4),
    "in2": INCH**2,
    "cc": Fraction(1, 10**6),
    "cm3": Fraction(1, 10**6),
    "ml": Fraction(1, 10**6),
    "mL": Fraction(1, 10**6),
    "l": Fraction(1, 1000),
    "mm3": Fraction(1, 10**9),
    "in3": INCH**3,
    "cu in": INCH**3,
    "g": Fraction(1, 1000),
    "kg": Fraction(1),
    "oz": POUND / 16,
    "lb": POUND,
    "s": Fraction(1),
    "min": Fraction(60),
    "Pa": Fraction(1),
    "hPa": Fraction(100),
    "mbar": Fraction(100),
    "kPa": Fraction(1000),
    "bar": Fraction(10**5),
    "psi": POUND * GRAVITY / INCH**2,
    "inHg": INCH * MERCURY * GRAVITY,
    "mmHg": Fraction(1, 1000) * MERCURY * GRAVITY,
    "m/s": Fraction(1),
    "ft/min": 12 * INCH / 60,
    "rpm": Fraction(1, 60),
    "m/s²": Fraction(1),
    "ft/s²": 12 * INCH,
    "g/cc": Fraction(1000),
    "kg/m3": Fraction(1),
    "%": Fraction(1, 100),
}


@each("unit", EXACT)
def test_factor_is_the_exact_one_to_the_last_bit(unit: str) -> None:
    assert conversion(unit).scale == float(EXACT[unit])
    assert conversion(unit).zero == 0.0


PRINTED = [  # SP 811 B.8: unit, factor as printed
    ("in", "2.54 E-02"),
    ("thou", "2.54 E-05"),
    ("ft", "3.048 E-01"),
    ("in2", "6.4516 E-04"),
    ("in3", "1.638706 E-05"),
    ("oz", "2.834952 E-02"),
    ("lb", "4.535924 E-01"),
    ("psi", "6.894757 E+03"),
    ("inHg", "3.386389 E+03"),
    ("mmHg", "1.333224 E+02"),
    ("bar", "1.0 E+05"),
    ("ft/min", "5.08 E-03"),
    ("deg", "1.745329 E-02"),
]


@pytest.mark.parametrize(("unit", "printed"), PRINTED)
def test_factor_as_printed(unit: str, printed: str) -> None:
    digits = printed.replace(" ", "")
    decimals = len(digits.partition("E")[0].partition(".")[2])
    assert f"{conversion(unit).scale:.{decimals}E}" == digits


def test_degree_and_radian() -> None:
    assert conversion("deg").scale == pytest.approx(pi / 180, rel=1e-15)
    assert conversion("rad").scale == 1.0


@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        ("20 degC", 293.15),
        ("20 °C", 293.15),
        ("68 degF", 293.15),
        ("32 °F", 273.15),
        ("176 °F", 353.15),
        ("-20 degC", 253.15),
        ("293.15 K", 293.15),
    ],
)
def test_temperature_scales(text: str, kelvin: float) -> None:
    """SP 811 B.8: t/°C = (t/°F − 32) ÷ 1.8; T/K = t/°C + 273.15."""
    assert parse(text, "temperature").value == pytest.approx(kelvin, rel=1e-15)


def test_fahrenheit_to_the_last_bit() -> None:
    assert conversion("degF").scale == float(Fraction(5, 9))
    assert conversion("degF").zero == float(Fraction("459.67") * Fraction(5, 9))


@pytest.mark.parametrize(("text", "kelvin"), [("20 +/- 2 degC", 2.0), ("68 +/- 3.6 degF", 2.0)])
def test_a_temperature_difference_has_no_zero(text: str, kelvin: float) -> None:
    assert parse(text, "temperature").spread == pytest.approx(kelvin, rel=1e-15)


def test_one_cubic_inch() -> None:
    """16.387064 cm³ exactly (2048383/125000), not the float product 16.387063999999995."""
    assert conversion("in3").scale == float(Fraction(2048383, 125000) / 10**6) == 1.6387064e-5
    assert in_unit(1e-3, "in3") == pytest.approx(61.02374409473, rel=1e-13)  # in³ in a litre


def test_psi_as_a_fraction() -> None:
    assert conversion("psi").scale == float(Fraction(8896443230521, 1290320000))
    assert 1e5 / conversion("psi").scale == pytest.approx(14.503773773, rel=1e-10)


def test_inch_of_mercury_is_the_conventional_one() -> None:
    """3386.388640341 Pa; the inch at 32 °F (3386.38) and at 60 °F (3376.85) are other units."""
    assert conversion("inHg").scale == pytest.approx(3386.388640341, rel=1e-15)


def test_handbook_wedge() -> None:
    """Machinery's Handbook, 31st ed., p. 89: 29.25 in³ = 479.32162 cm³."""
    assert in_unit(parse("29.25 in3", "chamber_volume").value, "cc") == pytest.approx(479.32162, abs=6e-6)


def test_cc_and_ml_are_one_unit() -> None:
    """1 cm³ = 1 mL exactly since 1964; the litre of 1901 was 28 ppm larger."""
    assert conversion("cc") == conversion("ml") == conversion("cm³")


@promise()
@pytest.mark.parametrize("text", ["5 mil", "5 mils", "0.5 mil"])
@pytest.mark.parametrize("key", ["gasket_thickness", "bore"])
def test_mil_is_refused(text: str, key: str) -> None:
    """To some a thou, to others a millimetre, and to the unit library an angle."""
    with pytest.raises(InputError, match=r"mil.* is not understood"):
        parse(text, key)


@promise()
def test_mil_is_an_angle_in_the_unit_library() -> None:
    """Why it must not come from there: Pint reads it so."""
    pint = whole_library()
    assert pint("1 mil").dimensionality == pint("1 radian").dimensionality
    assert "mil" not in UNITS


# What each unit is called in Pint, by its commonest spelling here.
IN_PINT: dict[str, str] = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "um": "micrometer",
    "in": "inch",
    "thou": "thou",
    "ft": "foot",
    "mm2": "millimeter ** 2",
    "cm2": "centimeter ** 2",
    "in2": "inch ** 2",
    "cc": "centimeter ** 3",
    "ml": "milliliter",
    "l": "liter",
    "mm3": "millimeter ** 3",
    "in3": "inch ** 3",
    "deg": "degree",
    "rad": "radian",
    "g": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "lb": "pound",
    "s": "second",
    "min": "minute",
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    "K": "kelvin",
    "F°": "delta_degree_Fahrenheit",  # so told from a temperature in textbooks, such as Halliday & Resnick, Physics
    "bar": "bar",
    "mbar": "millibar",
    "hPa": "hectopascal",
    "kPa": "kilopascal",
    "Pa": "pascal",
    "psi": "psi",
    "inHg": "inch_Hg",
    "mmHg": "mmHg",
    "m/s": "meter / second",
    "ft/min": "foot / minute",
    "m/s²": "meter / second ** 2",
    "ft/s²": "foot / second ** 2",
    "g/cc": "gram / centimeter ** 3",
    "kg/m3": "kilogram / meter ** 3",
    "rpm": "turn / minute",
    ":1": "dimensionless",
    "%": "percent",
}
EVERY = [(kind, unit) for kind in Kind for unit in kind.units]


@cites("pint")
@each(("kind", "unit"), EVERY)
def test_every_factor_is_that_of_the_unit_library(kind: Kind, unit: Unit) -> None:
    """Pint's own definitions, in exact decimals, give the same float for every unit that may be written."""
    make, name = whole_library().Quantity, IN_PINT[unit.spellings[0]]
    if kind is Kind.TEMPERATURE:
        step = name if name == "kelvin" or name.startswith("delta_") else f"delta_{name}"
        scale = make(Decimal(1), step).to("kelvin")
        zero = make(Decimal(0), name).to("kelvin")
        assert (unit.scale, unit.zero) == (float(scale.magnitude), float(zero.magnitude))
    else:
        si = make(Decimal(1), name).to(kind.si or "dimensionless")
        assert (unit.scale, unit.zero) == (float(si.magnitude), 0.0)


@promise()
def test_no_spelling_stands_for_two_units() -> None:
    spelled = [text for _, unit in EVERY for text in unit.spellings]
    assert sorted(spelled) == sorted(UNITS)


@promise()
@pytest.mark.parametrize("kind", [k for k in Kind if k is not Kind.COUNT])
def test_every_kind_can_be_written(kind: Kind) -> None:
    assert units_of(kind)


@promise()
@pytest.mark.parametrize("kind", [k for k in Kind if k is not Kind.COUNT])
def test_every_unit_that_is_shown_can_be_written(kind: Kind) -> None:
    shown = {text for text in (*kind.shown, *(unit for unit, _ in kind.hand)) if text}
    assert shown <= set(units_of(kind))
