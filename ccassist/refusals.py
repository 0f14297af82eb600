"""What is said of a text that is no quantity: what is wrong with it, and what would be right."""

from __future__ import annotations

import math

from ccassist.findings import InputError
from ccassist.numerals import Numeral, fault
from ccassist.terms import Kind, Term
from ccassist.units import UNITS, conversion, shown_unit, units_of

# A pressure by its basis: what it counts from, and the term of one that counts from the other.
_COUNTS_FROM = {"gauge": ("the air around", "manifold_pressure"), "absolute": ("nothing", "boost_gauge")}


def in_unit(value: float, unit: str) -> float:
    """An SI value in a unit of the closed list."""
    factor = conversion(unit)
    return (value - factor.zero) / factor.scale


def example(wanted: Term) -> str:
    """How a value from the middle of the plausible range may be written, in quotes; both signs where it has one."""
    unit = shown_unit(wanted)
    if math.isinf(wanted.plausible[1]):
        return signed_ways(f"1 {unit}".strip(), wanted)
    return signed_ways(_plain(in_unit(_middle(wanted), unit), unit, 3), wanted)


def _middle(wanted: Term) -> float:
    """An ordinary value of a term, SI."""
    low, high = wanted.plausible
    if wanted.kind is Kind.TEMPERATURE:
        return (low + high) / 2
    return math.sqrt(low * high) if low > 0 else high / 4


def _either(wanted: Term) -> str:
    """An example that shows the words of the sign, those too that may be left out."""
    shown = example(wanted)
    return signed_ways(shown.strip('"'), wanted, both=True) if wanted.sign and wanted.sign.bare_is_plus else shown


def _plain(amount: float, unit: str, digits: int) -> str:
    """An amount to so many significant digits, without an exponent, and its unit."""
    return f"{float(f'{amount:.{digits}g}'):.12g} {unit}".rstrip()


def signed_ways(amount: str, wanted: Term, *, both: bool = False) -> str:
    """An amount as it may be written, with either sign in words where the term has one that must be said."""
    if wanted.sign is None or (wanted.sign.bare_is_plus and not both):
        return f'"{amount}"'
    return f'"{wanted.sign.says_plus.format(amount)}" or "{wanted.sign.says_minus.format(amount)}"'


def usual_units(kind: Kind) -> str:
    """The commonest spelling of each unit of a kind, in words.

    >>> usual_units(Kind.VOLUME)
    'cc, ml, l, mm3 or in3'
    """
    first: dict[str, str] = {}
    for unit in units_of(kind):
        first.setdefault(UNITS[unit][1], unit)
    names = list(first.values())
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def end(value: float, unit: str, wanted: Term) -> str:
    """One end of a range in a unit, its sign in words where the term has one."""
    shown = in_unit(value, unit)
    if wanted.sign is None or shown == 0 or (wanted.sign.bare_is_plus and shown > 0):
        return _plain(shown, unit, 4)
    says = wanted.sign.says_plus if shown > 0 else wanted.sign.says_minus
    return says.format(_plain(abs(shown), unit, 4))


def wrong_unit(unit: str, raw: str, wanted: Term) -> InputError:
    """A unit of another kind."""
    kind = UNITS[unit][0].value
    if wanted.kind in (Kind.COUNT, Kind.RATIO):
        return fault("wrong-unit", raw, f"the {wanted.name} has no unit", f"write e.g. {example(wanted)}")
    return fault(
        "wrong-unit",
        raw,
        f'"{unit}" is a unit of {kind}, not of {wanted.kind.value}',
        f"write the {wanted.name} in {usual_units(wanted.kind)}",
    )


def wrong_basis(said: str, raw: str, wanted: Term) -> InputError:
    """An absolute pressure where a gauge's is meant, or the other way round."""
    origin, other = _COUNTS_FROM[wanted.basis]
    wrong = f"{said} pressure, and the {wanted.name} counts from {origin}"
    return fault("wrong-basis", raw, wrong, f"that is {other}")


def no_difference(unit: str, raw: str, wanted: Term) -> InputError:
    """A reading of a thermometer where a difference is meant."""
    wrong = f"the {wanted.name} is a difference of temperatures, and {unit} has a zero of its own"
    return fault("wrong-unit", raw, wrong, f"write it in K, e.g. {example(wanted)}: a rise by 20 °C is 20 K")


def unknown_unit(word: str, raw: str, wanted: Term) -> InputError:
    """A word where the unit should stand."""
    meant = next((unit for unit in units_of(wanted.kind) if unit.lower() == word.lower()), "")
    right = f'did you mean "{meant}"?' if meant else f"write it in {usual_units(wanted.kind)}"
    wrong = f'"{word}" is not a unit known here'
    if word.lower() in ("mil", "mils"):
        wrong = f'"{word}" is not understood: to some it is a thou, to others a millimetre'
    return fault("unknown-unit", raw, wrong, right)


def no_unit(raw: str, wanted: Term) -> InputError:
    """A bare number where nothing says which unit is meant."""
    return fault(
        "no-unit",
        raw,
        f"the unit of the {wanted.name} is not said",
        f'write it in {usual_units(wanted.kind)}, or say units = "metric" or "imperial" in [job]',
    )


def not_understood(said: str, raw: str, wanted: Term) -> InputError:
    """Words that are neither unit nor sign."""
    if wanted.sign is None:
        wrong = f'"{said}" is not understood after the {wanted.name}'
    else:
        wrong = f'"{said}" does not say the sign of the {wanted.name}'
    return fault("not-understood", raw, wrong, f"write e.g. {_either(wanted)}")


def sign_twice(number: Numeral, raw: str, amount: str, wanted: Term) -> InputError:
    """A sign in words and a bare one."""
    return fault(
        "sign-twice",
        raw,
        f'a word and a bare "{number.sign}" may contradict each other',
        f"leave the {number.sign} out: {signed_ways(amount, wanted, both=True)}",
    )


def unsigned(number: Numeral, raw: str, amount: str, wanted: Term) -> InputError:
    """No sign in words where the trade does not agree on a bare one."""
    bare = f'a bare "{number.sign}" is read both ways in the trade' if number.sign else "the sign is not said"
    return fault("unsigned", raw, f"{bare} for the {wanted.name}", f"write {signed_ways(amount, wanted, both=True)}")


def impossible(raw: str, wanted: Term, unit: str) -> InputError:
    """A value outside what the term can be."""
    low, high = wanted.possible
    if math.isinf(high):
        right = f"it is {end(low, unit, wanted)} or more"
    else:
        right = f"it lies between {end(low, unit, wanted)} and {end(high, unit, wanted)}"
    return fault("impossible", raw, f"no {wanted.name} can be that", right)
