"""Text as people write it <-> SI numbers.

The number is read by the grammar below, with a length limit; nothing of the text is evaluated.  ``"83.40 +/- 0.01 mm,
measured"``, ``"83.40(1) mm"``, ``"1 5/16 in"``, ``"dish 12.4 cc"``, ``"0.20 mm below deck"``.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from ccassist.values.findings import Finding, warning
from ccassist.values.grammar import Numeral, TextRead, fault, matches, sign_words, taken_apart, without_origin
from ccassist.values.parse_errors import (
    bare_fraction,
    end,
    example,
    impossible,
    no_difference,
    no_unit,
    not_understood,
    only_difference,
    share_of,
    sign_twice,
    too_wide,
    two_units,
    unknown_unit,
    unsigned,
    wrong_basis,
    wrong_unit,
)
from ccassist.values.pint_bridge import Pints, is_pint, si_of, text_of
from ccassist.vocabulary import Kind, Term, term
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import UNITS, Origin, System, conversion, in_unit, units_of

LEAST_THOU = 0.2  # a fine tolerance is as much, nothing measured is less (common practice, no source)
MOST_GUESSES = 3  # a ± of as many guesses is a slip (common practice, no source)
LONGEST = 120
UNSAID = ""  # the system of a job that does not say its units: a bare number is refused

# What a pressure counts from, said behind its unit: "12 psig", "1.8 bar absolute".
_BASIS = r"(?<=psi|bar|kPa|hPa)\s*\(?\b(?P<how>g|gauge|a|abs|absolute)\b\)?|(?<=psi|bar)(?P<short>[ga])\b"


@record
class Quantity:
    """One quantity as read.

    origin : measured, maker's figure, assumed; ``Origin.UNSAID``, which is false, where not said.
    """

    key: str  # the term it is
    value: float  # SI value, signed by the term's own rule
    raw: str  # the text, for ever
    unit: str  # the unit as written, or the one a bare number took
    spread: float | None = None  # SI half-width of a stated ±, or None
    standard: float | None = None  # SI standard uncertainty of the ``(n)`` notation, or None
    step: float = 0.0  # SI size of the last digit written
    origin: Origin = Origin.UNSAID


def parse(text: str | Pints, key: str, *, system: str = "metric", sight: str = "", raw: str = "") -> Quantity:
    """Read one quantity.

    text : as written, e.g. ``"0.20 mm below deck, measured"``; or a quantity of Pint, signed by the term's own rule.
    key : the term expected; it fixes the kind of unit and the sign words.
    system : "metric" or "imperial", the unit of bare numbers; :data:`UNSAID` refuses them.  One that would be in thou
        is refused too: it is written in inches as often.
    sight : the unit that stands where the text is typed, in a prompt, a box or the head of a column: bare numbers take
        it.
    raw : what a refusal shows, where the text is only a part of it.

    Raises InputError: with one finding that says what is wrong and what would be right.

    >>> parse("1 5/16 in", "gasket_bore").value
    0.0333375
    >>> round(parse("dome 4.2 cc", "crown_volume").value * 1e6, 6)
    -4.2
    """
    if not isinstance(text, str):
        return _of_pint(text, term(key))
    return _read_before(text, raw or text, key, system, sight)


@lru_cache(maxsize=4096)
def _read_before(text: str, raw: str, key: str, system: str, sight: str) -> Quantity:
    """One text of a term, read once: at the bench many a reading is what another was, and each is asked for often."""
    return _read(text, raw, term(key), system, sight)


def _read(text: str, raw: str, wanted: Term, system: str, sight: str = "") -> Quantity:
    check_length(text, wanted)
    body, origin = without_origin(text)
    if wanted.basis:
        body = _without_basis(body, raw, wanted)
    said = taken_apart(body, raw, origin)
    number = said.number or _nothing(said, raw, wanted)
    unit = _unit(said, number, raw, wanted, system, sight)
    value = _signed(number, unit, said.words, raw, wanted)
    factor = conversion(unit)
    quantity = Quantity(
        key=wanted.key,
        value=value * factor.scale + factor.zero,
        raw=raw,
        unit=unit,
        origin=origin,
        step=number.step * factor.scale,
        spread=_spread(said, number, unit, raw, wanted),
        standard=None if number.standard is None else number.standard * factor.scale,
    )
    return _checked(quantity, wanted)


def _of_pint(given: Pints, wanted: Term) -> Quantity:
    """A quantity of Pint, which says its own unit and may have a standard uncertainty."""
    if not is_pint(given):
        raise fault(
            "not-understood", repr(given), "neither a text nor a quantity of Pint", f"give e.g. {example(wanted)}"
        )
    value, standard = si_of(given, wanted)
    quantity = Quantity(key=wanted.key, value=value, standard=standard, raw=text_of(given), unit=wanted.shown())
    return _checked(quantity, wanted)


def _checked(quantity: Quantity, wanted: Term) -> Quantity:
    """The quantity, where it can be one of its term."""
    if wanted.kind is Kind.COUNT and quantity.value != int(quantity.value):
        raise fault("not-whole", quantity.raw, f"the {wanted.name} is a whole number", 'write e.g. "4"')
    _check_possible(quantity, wanted)
    _check_width(quantity, wanted)
    return quantity


def _nothing(said: TextRead, raw: str, wanted: Term) -> Numeral:
    """Nought, where the word for it stands instead of a number."""
    if wanted.sign is None or sign_words(said.words) not in wanted.sign.zero:
        raise fault("not-a-number", raw, f"no number for the {wanted.name}", f"write e.g. {example(wanted)}")
    return Numeral(value=0.0, step=0.0, standard=None, sign="", text="0")


def _without_basis(body: str, raw: str, wanted: Term) -> str:
    """The text without the words for what a pressure counts from; one that counts from something else is refused."""
    for found in re.finditer(_BASIS, body):
        said = "gauge" if (found["how"] or found["short"]).startswith("g") else "absolute"
        if said != wanted.basis:
            raise wrong_basis(said, raw, wanted)
    return re.sub(_BASIS, "", body)


def check_length(text: str, wanted: Term) -> None:
    """Refuse a text too long for a quantity, before any pattern is looked for in it; raises InputError."""
    if len(text) > LONGEST:
        wrong = f"longer than {LONGEST} characters for one quantity"
        raise fault("too-long", text, wrong, f"write e.g. {example(wanted)}")


def _unit(said: TextRead, number: Numeral, raw: str, wanted: Term, system: str, sight: str) -> str:
    """The unit of the number: its own, the one behind its ±, or the one that a bare number takes."""
    if said.doubt_unit == "%" and (wanted.kind is not Kind.RATIO or not _both_in_percent(said, number, wanted)):
        raise share_of(said, number, raw, wanted)
    unit = said.unit or said.doubt_unit
    if unit and UNITS[unit][0] is not wanted.kind:
        raise wrong_unit(unit, raw, wanted)
    if unit and wanted.difference and conversion(unit).zero:
        raise no_difference(unit, raw, wanted)
    if unit and conversion(unit).step and not wanted.difference:
        raise only_difference(unit, raw, wanted)
    if unit:
        return unit
    _check_no_stranger(said.stranger, raw, wanted)
    if wanted.sign is None and sign_words(said.words):
        raise not_understood(sign_words(said.words), raw, wanted)
    return _bare_unit(said, number, raw, wanted, system, sight)


def _both_in_percent(said: TextRead, number: Numeral, wanted: Term) -> bool:
    """Whether the % behind the ± is the unit of both: "75 ± 2 %", and neither "0.75 ± 2 %" nor "9.5 ± 2 %"."""
    low, high = wanted.possible
    return said.unit == "%" or (not said.unit and number.value > 1 and low <= number.value / 100 <= high)


def _check_no_stranger(word: str, raw: str, wanted: Term) -> None:
    """Refuse a word that stands where the unit should, unless it says the sign."""
    if not word or wanted.kind in (Kind.RATIO, Kind.COUNT):
        return
    sign = wanted.sign
    phrases = (*sign.plus, *sign.minus, *sign.zero, "of space", "of the deck") if sign else ()
    if not any(word.lower() in phrase.split() for phrase in phrases):
        raise unknown_unit(word, raw, wanted)


def _bare_unit(said: TextRead, number: Numeral, raw: str, wanted: Term, system: str, sight: str) -> str:
    """The unit of a bare number; nothing needs none, except of a temperature."""
    needs = units_of(wanted.kind) and wanted.kind is not Kind.RATIO
    something = number.value != 0 or bool(number.standard) or (said.doubt is not None and said.doubt.value != 0)
    if not sight and system == UNSAID and needs and (something or wanted.kind is Kind.TEMPERATURE):
        raise no_unit(raw, wanted)
    unit = sight or wanted.shown(system if system != UNSAID else System.METRIC)
    if not sight and unit == "thou" and something:
        raise two_units(number, raw, wanted)
    if number.fraction and wanted.kind is Kind.LENGTH and conversion(unit) != conversion("in"):
        raise bare_fraction(number, unit, raw, wanted)
    return unit


def _spread(said: TextRead, number: Numeral, unit: str, raw: str, wanted: Term) -> float | None:
    """SI half-width of the ±, or None."""
    if said.doubt is None:
        return None
    if wanted.kind is Kind.COUNT:
        raise fault("wrong-spread", raw, f"the {wanted.name} is counted: it has no ±", f'write "{number.text}"')
    if said.doubt_unit and UNITS[said.doubt_unit][0] is not wanted.kind:
        raise fault("wrong-spread", raw, "the ± is not of the same kind as the value")
    spread = said.doubt.value * conversion(said.doubt_unit or unit).scale
    if not math.isfinite(spread):
        raise fault("wrong-spread", raw, "the ± is too large to be one")
    return spread


def _signed(number: Numeral, unit: str, words: str, raw: str, wanted: Term) -> float:
    """The amount with its sign, from words; never from a bare + or − where the trade disagrees."""
    said, sign = sign_words(words), wanted.sign
    if sign is None:
        if said:
            raise not_understood(said, raw, wanted)
        return -number.value if number.sign == "-" else number.value
    plus, minus = matches(said, sign.plus), matches(said, sign.minus)
    amount = f"{number.text} {unit}"
    if plus != minus and number.sign:
        raise sign_twice(number, raw, amount, wanted)
    if plus != minus:
        return number.value if plus else -number.value
    if said and not matches(said, sign.zero):
        raise not_understood(said, raw, wanted)
    if number.value == 0:
        return 0.0
    if not sign.bare_is_plus or number.sign == "-":
        raise unsigned(number, raw, amount, wanted)
    return number.value


def _check_possible(quantity: Quantity, wanted: Term) -> None:
    low, high = wanted.possible
    hair = 1e-12 * abs(quantity.value)  # 212 °F is 373.15 K, though not to the last bit
    if not low - hair <= quantity.value <= high + hair:
        raise impossible(quantity.raw, wanted, quantity.unit)


def _check_width(quantity: Quantity, wanted: Term) -> None:
    """Refuse a ± that says nothing: one that reaches to nothing, or holds all that is usual.

    What may be nothing, such as a grease film, may be stated as "0.02 ± 0.02 mm", as long as a guess of it would be
    known no better; what has two signs, such as a deck clearance, may be nearly nothing at any ±, up to the whole width
    of what is usual.
    """
    spread, value = quantity.spread, quantity.value
    if spread is None and quantity.standard is not None:
        spread = quantity.standard
    if not spread or wanted.kind is Kind.TEMPERATURE:
        return
    (low, high), positive = wanted.plausible, wanted.possible[0] >= 0
    nearly_nothing = low == 0 and spread <= wanted.silent_width(Origin.ASSUMED, value)
    if positive and not nearly_nothing and spread >= value * (1 - 1e-9):
        raise too_wide(quantity.raw, "as large as the value itself", wanted)
    if positive and value > 0 and spread > value * (1 + 1e-9):
        raise too_wide(quantity.raw, "larger than the value, which cannot be less than nothing", wanted)
    if not positive and spread > high - low:
        raise too_wide(quantity.raw, "wider than all that is usual", wanted)


def doubtful(quantity: Quantity) -> Finding | None:
    """The "are you sure?" for a value outside the plausible range, or for a ± or a thou that is a slip; or None.

    >>> doubtful(parse("834 mm", "bore")).wrong
    'an unusual bore: most are 20 mm to 300 mm'
    """
    wanted = term(quantity.key)
    low, high = wanted.plausible
    if not low <= quantity.value <= high:
        span = f"{end(low, quantity.unit, wanted)} to {end(high, quantity.unit, wanted)}"
        wrong = f"an unusual {wanted.name}: most are {span}"
        return warning("unusual", wrong, read=quantity.raw, right="are you sure?")
    if quantity.unit == "thou" and 0 < abs(quantity.value) < LEAST_THOU * conversion("thou").scale:
        wrong = f"so little of a thou is not measured: is the {wanted.name} meant in inches?"
        return warning("unusual", wrong, read=quantity.raw, right='write "in" then; are you sure?')
    most = MOST_GUESSES * wanted.silent_width(Origin.ASSUMED, quantity.value)
    if 0 < most < (quantity.spread or quantity.standard or 0.0):
        wrong = f"an unusual ± of the {wanted.name}: a mere guess would be known better"
        return warning("unusual", wrong, read=quantity.raw, right="are you sure?")
    return None


def read_amount(text: str, kind: Kind, *, name: str = "amount", system: str = "metric") -> float:
    """A plain amount of a kind that no one term names, such as an instrument's smallest step, SI, not negative.

    Raises InputError: as :func:`parse`.

    >>> read_amount("0.1 ml", Kind.VOLUME)
    1e-07
    """
    anything = f"{in_unit(0.0, kind.shown[0])} to inf {kind.shown[0]}".strip()
    small = kind is Kind.LENGTH  # an instrument's lengths are said in thou as often as in inches
    wanted = Term("amount", "", "", anything, anything, called=name, small=small, counted=kind is Kind.COUNT)
    amount = _read(text, text, wanted, system)
    if amount.spread is not None or amount.standard is not None:
        raise fault("wrong-spread", text, f"the {name} has no ±", "write the amount alone")
    return amount.value
