"""Quantities of Pint: taken wherever Python may give a text, and given where they are asked for.

Pint is loaded only then, and converts nothing else.  A quantity is signed by the term's own rule, as an SI number is: a
dish is positive, a dome negative.
"""

from __future__ import annotations

import math
import sys
from typing import TYPE_CHECKING, Any, TypeAlias, TypeGuard

from ccassist.values.grammar import fault
from ccassist.values.number import Number, nominal, standard
from ccassist.values.parse_errors import wrong_quantity
from ccassist.vocabulary import Kind, Meant, Term, term
from ccassist.vocabulary.units import conversion, in_unit

if TYPE_CHECKING:
    from pint import Quantity as PintQuantity

Pints: TypeAlias = "PintQuantity[Any]"
Written: TypeAlias = "str | float | Pints"  # as people write it, an SI number, or a quantity of Pint


def is_pint(given: object) -> TypeGuard[Pints]:
    """Whether it is a quantity of Pint, or a measurement; whoever holds one has loaded Pint."""
    pint = sys.modules.get("pint")
    return pint is not None and isinstance(given, (pint.Quantity, pint.Measurement))


def text_of(given: Pints) -> str:
    """A quantity of Pint as a refusal shows it."""
    return f"{given.magnitude} {given.units}"


def as_text(given: Pints, one: Meant) -> str:
    """A quantity of Pint as a text that is read as the same under a name, which may say its sign.

    >>> import pint
    >>> from ccassist.vocabulary import term
    >>> as_text(pint.Quantity(-4.2, "milliliter"), Meant(term=term("crown_volume")))
    'dome, takes 4.2 cc of space'

    Raises InputError: as :func:`si_of`.
    """
    wanted, unit = one.term, one.term.shown()
    value, deviation = si_of(given, wanted)
    sign = None if one.says or value == 0 else wanted.sign
    number = in_unit(abs(value) if sign else value, unit)
    text = f"{number:.12g}"
    if deviation is not None:  # the digits in brackets are a standard uncertainty
        spread = deviation / conversion(unit).scale
        decimals = max(0, 3 - math.floor(math.log10(spread)))
        text = f"{number:.{decimals}f}({round(spread * 10**decimals)})"
    text = f"{text} {unit}".rstrip()
    return text if sign is None else (sign.says_minus if value < 0 else sign.says_plus).format(text)


def si_of(given: Pints, wanted: Term) -> tuple[float, float | None]:
    """Value and standard uncertainty (None where it has none) of a quantity of Pint, SI.

    >>> import pint
    >>> si_of(pint.Quantity(84, "millimeter"), term("bore"))
    (0.084, None)

    Raises InputError: it is a quantity of another kind, or none at all.
    """
    if not _fits(given, wanted):
        raise wrong_quantity(text_of(given), wanted)
    number = given.to(wanted.kind.si or "dimensionless").magnitude
    value = nominal(number)
    if not math.isfinite(value):
        raise fault("not-finite", text_of(given), f"the {wanted.name} is no number")
    return value, standard(number) or None


def _fits(given: Pints, wanted: Term) -> bool:
    """Whether it is of the term's kind; an angle is no bare number, as it is to Pint, and hertz no speed."""
    if not given.is_compatible_with(wanted.kind.si or "dimensionless"):
        return False
    if wanted.kind is Kind.TEMPERATURE:
        stepped = str(given.units).startswith("delta_")  # such a one says a difference and no temperature
        has_zero = not stepped and type(given)(0.0, given.units).to("kelvin").magnitude != 0
        return not (has_zero if wanted.difference else stepped)
    return ("radian" in str(given.to_base_units().units)) == (wanted.kind in (Kind.ANGLE, Kind.TURNS))


def pint_quantity(key: str, number: Number) -> Pints:
    """A number of a term, SI, as a quantity of Pint's application registry; an uncertain one keeps its causes.

    >>> f"{pint_quantity('chamber_volume', 46.3e-6).to('inch ** 3').magnitude:.4f}"
    '2.8254'
    """
    import pint

    made: Pints = pint.Quantity(number, term(key).kind.si or "dimensionless")
    return made
