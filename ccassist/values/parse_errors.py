"""What is said of a text that is no quantity: what is wrong with it, and what would be right."""

from __future__ import annotations

import math
import re

from ccassist.values.findings import InputError
from ccassist.values.grammar import NUMBER, Numeral, TextRead, fault, without_origin
from ccassist.vocabulary import Kind, Term
from ccassist.vocabulary.units import UNITS, conversion, in_unit, units_of

_LEAST_THOU = 0.5  # less is not said in thou: what a bare number under it means is inches

# A pressure by its basis: what it counts from, and the term of one that counts from the other.
_COUNTS_FROM = {"gauge": ("the air around", "manifold_pressure"), "absolute": ("nothing", "boost_gauge")}


def example(wanted: Term) -> str:
    """How a value from the middle of the plausible range may be written, in quotes; both signs where it has one."""
    unit = wanted.shown()
    if math.isinf(wanted.plausible[1]):
        return signed_ways(f"1 {unit}".strip(), wanted)
    return signed_ways(_plain(in_unit(_middle(wanted), unit), unit, 3), wanted)


def _middle(wanted: Term) -> float:
    """An ordinary value of a term, SI."""
    low, high = wanted.plausible
    if wanted.typical is not None:
        return wanted.typical
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
    """An amount as it may be written, with either sign in words where the term has one that must be said.

    >>> from ccassist.vocabulary import term
    >>> signed_ways("0.2 mm", term("deck_clearance"))
    '"0.2 mm below deck" or "0.2 mm proud of the deck"'
    """
    if wanted.sign is None or (wanted.sign.bare_is_plus and not both):
        return f'"{amount}"'
    return f'"{wanted.sign.says_plus.format(amount)}" or "{wanted.sign.says_minus.format(amount)}"'


def usual_units(wanted: Term) -> str:
    """The commonest spelling of each unit in which a term may be written, in words.

    >>> from ccassist.vocabulary import term
    >>> usual_units(term("chamber_volume")), usual_units(term("charge_heating")), usual_units(term("temperature"))
    ('cc, ml, l, mm3 or in3', 'K or F°', 'degC, degF or K')
    """
    fits = (one for one in wanted.kind.units if not (one.zero if wanted.difference else one.step))
    names = [one.spellings[0] for one in fits]
    return "".join(names) if len(names) < 2 else f"{', '.join(names[:-1])} or {names[-1]}"


def end(value: float, unit: str, wanted: Term) -> str:
    """One end (SI) of a range in a unit, its sign in words where the term can have either.

    >>> from ccassist.vocabulary import term
    >>> end(-0.001, "mm", term("deck_clearance")), end(1.0, "deg", term("intake_closing"))
    ('1 mm proud of the deck', '57.3 deg after BDC')
    """
    shown = in_unit(value, unit)
    if wanted.sign is None or shown == 0 or (wanted.sign.bare_is_plus and wanted.possible[0] >= 0):
        return _plain(shown, unit, 4)
    says = wanted.sign.says_plus if shown > 0 else wanted.sign.says_minus
    return says.format(_plain(abs(shown), unit, 4))


def wrong_unit(unit: str, raw: str, wanted: Term) -> InputError:
    """A unit of another kind."""
    kind = UNITS[unit][0].value
    if wanted.kind in (Kind.COUNT, Kind.RATIO):
        return fault("wrong-unit", raw, f"the {wanted.name} has no unit", f"write e.g. {example(wanted)}")
    wrong = f'"{unit}" is a unit of {kind}, not of {wanted.kind.value}'
    return fault("wrong-unit", raw, wrong, f"write the {wanted.name} in {usual_units(wanted)}")


def wrong_quantity(raw: str, wanted: Term) -> InputError:
    """A quantity of Pint that is of another kind."""
    if not usual_units(wanted) or wanted.kind is Kind.RATIO:
        return fault("wrong-unit", raw, f"the {wanted.name} has no unit", "give a dimensionless quantity")
    what = "difference of temperatures" if wanted.difference else wanted.kind.value
    wrong = f"the {wanted.name} is a {what}, and this is none"
    return fault("wrong-unit", raw, wrong, f"give it in {usual_units(wanted)}")


def wrong_basis(said: str, raw: str, wanted: Term) -> InputError:
    """An absolute pressure where a gauge's is meant, or the other way round."""
    origin, other = _COUNTS_FROM[wanted.basis]
    wrong = f"{said} pressure, and the {wanted.name} counts from {origin}"
    return fault("wrong-basis", raw, wrong, f"that is {other}")


def no_difference(unit: str, raw: str, wanted: Term) -> InputError:
    """A reading of a thermometer where a difference is meant."""
    wrong = f"the {wanted.name} is a difference of temperatures, and {unit} has a zero of its own"
    return fault("wrong-unit", raw, wrong, f"write it in K or F°, e.g. {example(wanted)}: a rise by 20 °C is 20 K")


def only_difference(unit: str, raw: str, wanted: Term) -> InputError:
    """A difference where a reading of a thermometer is meant."""
    wrong = f"{unit} says a difference, and the {wanted.name} is a temperature"
    return fault("wrong-unit", raw, wrong, "write °F or °C")


def unknown_unit(word: str, raw: str, wanted: Term) -> InputError:
    """A word where the unit should stand."""
    meant = next((unit for unit in units_of(wanted.kind) if unit.lower() == word.lower()), "")
    right = f'did you mean "{meant}"?' if meant else f"write it in {usual_units(wanted)}"
    wrong = f'"{word}" is not a unit known here'
    if word.lower() in ("mil", "mils"):
        wrong = f'"{word}" is not understood: to some it is a thou, to others a millimetre'
    return fault("unknown-unit", raw, wrong, right)


def no_unit(raw: str, wanted: Term) -> InputError:
    """A bare number where nothing says which unit is meant."""
    right = f'write it in {usual_units(wanted)}, or say units = "metric" or "imperial" in [job]'
    return fault("no-unit", raw, f"the unit of the {wanted.name} is not said", right)


def not_understood(said: str, raw: str, wanted: Term) -> InputError:
    """Words that are neither unit nor sign, nor where a value is from."""
    behind = raw.rpartition(",")[2].strip()
    if "," in raw and behind and not any(c.isdigit() for c in behind):
        wrong = f'"{behind}" does not say where the {wanted.name} is from'
        return fault("not-understood", raw, wrong, "behind a comma write measured, maker's figure or assumed")
    if wanted.sign is None:
        wrong = f'"{said}" is not understood after the {wanted.name}'
    else:
        wrong = f'"{said}" does not say the sign of the {wanted.name}'
    return fault("not-understood", raw, wrong, f"write e.g. {_either(wanted)}")


def sign_twice(number: Numeral, raw: str, amount: str, wanted: Term) -> InputError:
    """A sign in words and a bare one."""
    wrong = f'a word and a bare "{number.sign}" may contradict each other'
    right = f"leave the {number.sign} out: {signed_ways(amount, wanted, both=True)}"
    return fault("sign-twice", raw, wrong, right)


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


def share_of(said: TextRead, number: Numeral, raw: str, wanted: Term) -> InputError:
    """A ± in per cent, which may be of the value or in the unit of the value."""
    doubt = said.doubt.value if said.doubt else 0.0
    unit = said.unit or ("" if wanted.kind is Kind.RATIO else wanted.shown())
    amount = f"{number.value * doubt / 100:.4g} {unit}".strip()
    wrong = "it is not said what the ± is a percentage of"
    return fault("wrong-spread", raw, wrong, f"{doubt:g} % of the value is written ± {amount}")


def too_wide(raw: str, why: str, wanted: Term) -> InputError:
    """A ± that says nothing of the value."""
    right = 'leave the ± out and add ", assumed" where it is a guess'
    return fault("wrong-spread", raw, f"the ± of the {wanted.name} is {why}", right)


def bare_fraction(number: Numeral, unit: str, raw: str, wanted: Term) -> InputError:
    """A fraction where a bare number is not in inches."""
    wrong = f"a fraction is of an inch, and a bare {wanted.name} is in {unit} here"
    return fault("no-unit", raw, wrong, f'write "{number.text} in"')


def two_units(number: Numeral, raw: str, wanted: Term) -> InputError:
    """A bare number that may be in thou or in inches; names the lines to type instead."""
    inches, thou = (_is_usual(number.value, unit, wanted) for unit in ("in", "thou"))
    if number.fraction or (inches and not thou):
        lines = respelled(raw, "in"), respelled(raw, "thou", 1000)
    elif (thou and not inches) or number.value * conversion("in").scale > wanted.possible[1]:
        lines = respelled(raw, "thou"), respelled(raw, "in", over=1000)
    else:
        lines = respelled(raw, "in"), respelled(raw, "thou")
    wrong = f"it is not said whether the {wanted.name} is in inches or in thou"
    return fault("no-unit", raw, wrong, f'write "{lines[0]}" or "{lines[1]}"')


def _is_usual(amount: float, unit: str, wanted: Term) -> bool:
    most = max(abs(end) for end in wanted.plausible)
    return amount * conversion(unit).scale <= most and (unit != "thou" or amount >= _LEAST_THOU)


def respelled(text: str, unit: str, times: int = 1, *, over: int = 1) -> str:
    """A text with all its numbers times a whole number, or over one, and a unit behind the last of them.

    >>> respelled("0.040 to 0.045, measured", "thou", 1000)
    '40 to 45 thou, measured'
    """
    body, _ = without_origin(text)
    found = list(NUMBER.finditer(body))
    ends = {match.end(): f" {unit}" for match in found[-1:]}
    parts, at = [], 0
    for match in found:
        parts += [
            body[at : match.start()],
            match[0] if times == over else _times(match, times, over),
            ends.get(match.end(), ""),
        ]
        at = match.end()
    rest = body[at:]
    return "".join(parts) + (" " if rest[:1].isalpha() else "") + rest + text.strip()[len(body) :]


def _times(match: re.Match[str], times: int, over: int) -> str:
    """A number times a whole number, or over one, in plain decimals."""
    from decimal import Decimal
    from fractions import Fraction

    sign = match["sign"] or match["sign2"] or ""
    if match["top"]:
        value = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    else:
        value = Fraction(Decimal(match["plain"].replace(",", ".") + (match["exponent"] or "")))
    last = f"({match['last']})" if match["last"] else ""
    product = value * times / over
    shown = f"{Decimal(product.numerator) / Decimal(product.denominator):.9f}".rstrip("0")
    point = shown.index(".")
    shown = shown.ljust(point + 4, "0") if times < over else shown.rstrip(".")  # inches are said to the thou
    return f"{sign}{shown}{last}"
