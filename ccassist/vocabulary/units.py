"""The kinds of quantity, one row each, the closed list of units in which a person may write them, and words compared.

Factors to SI are exact by definition (NIST SP 811, 2008, appendix B.8; the international yard and pound of 1959, the
litre of 1964, standard gravity, conventional mercury of 13 595.1 kg/m³) and written as exact decimals, or as one whole
number over another: each is rounded once, so that a cubic inch is 16.387064 cm³ and not a float that is nearly so.  The
tests hold each against Pint's own registry; Pint itself is not needed to read or show a number.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field
from enum import Enum, StrEnum

from ccassist.vocabulary.record import record

# The few words that code compares: each a member of an enumeration, and still the text that a file holds.


class System(StrEnum):
    """In which units numbers are shown, and in which bare ones are taken."""

    METRIC = "metric"
    IMPERIAL = "imperial"


class Origin(StrEnum):
    """Where a value comes from.

    The first three are what may be said behind a quantity, and no origin said is false; the others are what the tool
    says of its own.
    """

    MEASURED = "measured"
    MAKER = "maker's figure"
    ASSUMED = "assumed"
    UNSAID = ""
    NOT_SAID = "not said"
    STATED = "stated"
    CHOSEN = "chosen"
    ASKED = "asked"
    COMPUTED = "computed"
    NOT_COUNTED = "not counted"
    AS_THE_ENGINE = "as the engine"
    PLANNED = "planned"
    ORDERED = "ordered"
    WORKED_OUT = "worked out"


class Shape(StrEnum):
    """The distribution of a cause of doubt.

    A limit within which nothing is preferred is rectangular, two such of a size together are triangular.
    """

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"


SYSTEMS = tuple(System)


@record(kw_only=False)
class Unit:
    """One unit, however spelled: SI = number × scale + zero; a difference (a ±) is scaled only.

    ``spellings`` : as people write it, the commonest first.  ``decimals`` : how many are usual in print where no ± asks
    for more or fewer (common practice, no source).
    """

    scale: float
    zero: float = 0.0
    spellings: tuple[str, ...] = field(default=(), compare=False)
    decimals: int = field(default=2, compare=False)
    step: bool = False  # of a difference alone


def unit(spellings: str, scale: float, decimals: int = 2, *, zero: float = 0.0, step: bool = False) -> Unit:
    """A unit from its spellings, commas between, and its factor.

    >>> unit("in3, in³", 0.000016387064).scale
    1.6387064e-05
    """
    return Unit(float(scale), zero, tuple(spellings.split(", ")), decimals, step)


def _pairs(text: str) -> Iterator[list[str]]:
    """The words of what stands for metric and for imperial; nothing of an empty text."""
    return (one.split(" ", 1) for one in text.split(" | ") if one)


class Kind(Enum):
    """What sort of quantity a term is: a row gives its word, its SI unit and the units in which it may be written.

    si : its SI unit, as Pint and the plain data spell it; "" for none.
    shown : units in which it is shown and a bare number is taken, metric and imperial.
    hand : units in which a sum worked by hand needs no factors, and the decimals written; empty where it has none.
    steps : by how much one is moved to show what it does to another, metric and imperial; empty where it is not.
    silent : how well one is known of which no ± is said: measured; by a maker; assumed (common practice, no source).
    units : every unit that may be written, the commonest first.
    """

    value: str
    si: str
    shown: tuple[str, ...]
    hand: tuple[tuple[str, int], ...]
    steps: tuple[tuple[float, str], ...]
    silent: str
    units: tuple[Unit, ...]

    def __new__(cls, word: str, si: str, shown: str, hand: str, steps: str, silent: str, *units: Unit) -> Kind:
        """A row, its two systems of units with a bar between; ``value`` is its word."""
        kind = object.__new__(cls)
        kind._value_, kind.si, kind.silent, kind.units = word, si, silent, units
        kind.shown = tuple(shown.split(" | "))
        kind.hand = tuple((text, int(decimals)) for text, decimals in _pairs(hand))
        kind.steps = tuple((float(number), text) for number, text in _pairs(steps))
        return kind

    # fmt: off
    #       word, SI unit, shown, by hand, step, usual ± where none is said, units
    LENGTH = ("length", "meter", "mm | in", "mm 3 | in 5", "0.1 mm | 5 thou", "0.05 mm; 0.10 mm; 0.3 mm or 2 %",
        # "mil" is left out on purpose: to some it is a thousandth of an inch, to others a millimetre.
        unit("mm, millimetre, millimeter", 0.001), unit("cm", 0.01), unit("m", 1, 0),
        unit("um, µm, μm, micron, microns", 0.000001), unit('in, inch, inches, ", ″', 0.0254, 4),
        unit("thou, thousandths", 0.0000254, 1), unit("ft", 0.3048, 0))
    AREA = ("area", "meter ** 2", "cm² | in²", "mm² 1 | in² 4", "1 cm² | 0.1 in²", "1 %; 2 %; 6 %",
        unit("mm2, mm²", 0.000001), unit("cm2, cm²", 0.0001), unit("in2, in², sq in", 0.00064516, 3))
    VOLUME = ("volume", "meter ** 3", "cc | cc", "cc 3 | in³ 4", "1 cc | 1 cc",
        "0.02 cc or 3 %; 0.05 cc or 5 %; 0.1 cc or 20 %",
        unit("cc, cm3, cm³, ccm", 0.000001), unit("ml, mL", 0.000001),
        unit("l, L, litre, liter, litres, liters", 0.001), unit("mm3, mm³", 0.000000001),
        unit("in3, in³, cu in, ci, cid", 0.000016387064))
    ANGLE = ("angle", "radian", "deg | deg", "", "1 deg | 1 deg", "1 deg; 2 deg; 5 deg",
        unit("deg, °, degrees, degree", 0.017453292519943295769, 1), unit("rad", 1))
    MASS = ("mass", "kilogram", "g | g", "", "", "1 g or 0.1 %; 2 g or 1 %; 2 g or 10 %",
        unit("g, gram, grams", 0.001, 1), unit("kg", 1), unit("oz, ounce, ounces", 0.028349523125),
        unit("lb", 0.45359237))
    TIME = ("time", "second", "s | s", "", "", "1 s or 2 %; 1 s or 5 %; 1 s or 20 %",
        unit("s, sec, seconds", 1, 0), unit("min, minutes", 60))
    TEMPERATURE = ("temperature", "kelvin", "°C | °F", "", "", "2 K; 5 K; 15 K",
        unit("degC, °C, C, celsius", 1, 1, zero=273.15),
        unit("degF, °F, F, fahrenheit", 5/9, 1, zero=45967/180), unit("K", 1, 1),
        unit("F°", 5/9, 1, step=True))  # the textbooks' way to tell it from a temperature
    PRESSURE = ("pressure", "pascal", "kPa | psi", "", "", "0.5 kPa or 2 %; 1 kPa or 3 %; 2 kPa or 10 %",
        unit("bar", 100000), unit("mbar", 100), unit("hPa", 100), unit("kPa", 1000, 1), unit("Pa", 1),
        unit("psi", 8896443230521/1290320000), unit("inHg", 3386.388640341), unit("mmHg", 133.322387415))
    SPEED = ("speed", "meter / second", "m/s | ft/min", "", "", "1 %; 2 %; 5 %",
        unit("m/s", 1, 1), unit("ft/min, fpm", 0.00508, 0))
    ACCELERATION = ("acceleration", "meter / second ** 2", "m/s² | ft/s²", "", "", "1 %; 2 %; 5 %",
        unit("m/s², m/s2", 1, 0), unit("ft/s², ft/s2", 0.3048, 0))
    DENSITY = ("density", "kilogram / meter ** 3", "g/cc | g/cc", "", "", "0.2 %; 0.5 %; 3 %",
        unit("g/cc, g/cm3, g/cm³, g/ml, g/mL", 1000), unit("kg/m3, kg/m³", 1))
    TURNS = ("rotational speed", "turn / second", "rpm | rpm", "", "", "1 %; 2 %; 5 %",
        unit("rpm, rev/min, 1/min", 1/60, 0))
    RATIO = ("ratio", "", " | ", "", "", "1 %; 3 %; 10 %",
        unit(":1, : 1", 1), unit("%", 0.01))
    COUNT = ("count", "", " | ", "", "", "0; 0; 0")  # what is counted is exact
    # fmt: on


def _spelled() -> Iterator[tuple[str, tuple[Kind, Unit]]]:
    for kind in Kind:
        for one in kind.units:
            yield from ((text, (kind, one)) for text in one.spellings)


# As written -> what it is a unit of, and the unit.
UNITS: dict[str, tuple[Kind, Unit]] = dict(_spelled())
_NONE = Unit(1.0)


def conversion(text: str) -> Unit:
    """The unit of a spelling, which leads from it to SI; "" for a bare ratio or count.

    >>> conversion("in3").scale, conversion("°F").zero
    (1.6387064e-05, 255.37222222222223)
    """
    return UNITS[text][1] if text else _NONE


def in_unit(value: float, text: str) -> float:
    """An SI value in a unit of the closed list.

    >>> in_unit(0.0834, "mm"), in_unit(293.15, "degC")
    (83.4, 20.0)
    """
    factor = conversion(text)
    return (value - factor.zero) / factor.scale


# Of a length in mm, as it stands in a sum; a volume in cc has none.
POWER = {Kind.LENGTH: 1, Kind.AREA: 2}


def by_hand(system: str) -> dict[Kind, tuple[str, int]]:
    """Units of a sum worked by hand, and the decimals written.

    Inches go together without a factor; where lengths in mm meet volumes in cc, a thousand stands between them
    (:class:`ccassist.engine.mathematics.Hand`).

    >>> by_hand("imperial")[Kind.VOLUME]
    ('in³', 4)
    """
    return {kind: kind.hand[SYSTEMS.index(System(system))] for kind in Kind if kind.hand}


def units_of(kind: Kind) -> tuple[str, ...]:
    """The spellings that may be written for a kind, commonest first.

    >>> units_of(Kind.TIME)
    ('s', 'sec', 'seconds', 'min', 'minutes')
    """
    return tuple(text for one in kind.units for text in one.spellings)
