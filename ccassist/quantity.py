"""Text as people write it <-> SI numbers.

The number is read by the grammar below, with a length limit; nothing of the
text is evaluated.  ``"83.40 +/- 0.01 mm, measured"``, ``"83.40(1) mm"``,
``"1 5/16 in"``, ``"dish 12.4 cc"``, ``"0.20 mm below deck"``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from ccassist.findings import Finding, warning
from ccassist.numerals import DOUBT, NUMBER, Numeral, decimal, fault, numeral
from ccassist.refusals import (
    end,
    example,
    impossible,
    in_unit,
    no_difference,
    no_unit,
    not_understood,
    sign_twice,
    unknown_unit,
    unsigned,
    wrong_basis,
    wrong_unit,
)
from ccassist.terms import Kind, Term, term
from ccassist.units import SYSTEMS, UNITS, conversion, shown_unit, units_of

LONGEST = 120
UNSAID = ""  # the system of a job that does not say its units: a bare number is refused
ORIGINS = ("measured", "maker's figure", "assumed")

_ORIGIN = re.compile(r",?\s*\b(?P<origin>measured|maker[’']?s figure|makers figure|assumed)\s*$", re.IGNORECASE)
# What a pressure counts from, said behind its unit: "12 psig", "1.8 bar absolute".
_BASIS = re.compile(r"(?<=psi|bar|kPa|hPa)\s*\(?\b(?P<how>g|gauge|a|abs|absolute)\b\)?|(?<=psi|bar)(?P<short>[ga])\b")
_UNIT_TEXTS = sorted(UNITS, key=len, reverse=True)


@dataclass(frozen=True, kw_only=True)
class Quantity:
    """One quantity as read.

    Attributes
    ----------
    key : the term it is.
    value : SI value, signed by the term's own rule.
    spread : SI half-width of a stated ±, or None.
    standard : SI standard uncertainty of the ``(n)`` notation, or None.
    step : SI size of the last digit written.
    raw : the text, for ever.
    unit : the unit as written, or the one a bare number took.
    origin : measured, maker's figure, assumed; "" where not said.
    """

    key: str
    value: float
    raw: str
    unit: str
    spread: float | None = None
    standard: float | None = None
    step: float = 0.0
    origin: str = ""


def _take_unit(text: str) -> tuple[str, str]:
    """The unit at the start of the text, and what follows."""
    text = text.lstrip()
    for unit in _UNIT_TEXTS:
        if text.startswith(unit):
            rest = text[len(unit) :]
            if not rest or not (rest[0].isalnum() and unit[-1].isalnum()):
                return unit, rest
    return "", text


def _origin_of(text: str) -> tuple[str, str]:
    found = _ORIGIN.search(text)
    if not found:
        return text, ""
    word = found["origin"].lower()
    return text[: found.start()], "maker's figure" if word.startswith("maker") else word


def parse(text: str, key: str, *, system: str = "metric") -> Quantity:
    """Read one quantity.

    Parameters
    ----------
    text : as written, e.g. ``"0.20 mm below deck, measured"``.
    key : the term expected; it fixes the kind of unit and the sign words.
    system : "metric" or "imperial", the unit of bare numbers; :data:`UNSAID` refuses them.

    Raises
    ------
    InputError : with one finding that says what is wrong and what would be right.

    >>> parse("1 5/16 in", "gasket_bore").value
    0.0333375
    >>> round(parse("dome 4.2 cc", "crown_volume").value * 1e6, 6)
    -4.2
    """
    return _read(text, term(key), system)


def _read(text: str, wanted: Term, system: str) -> Quantity:
    check_length(text, wanted)
    body, origin = _origin_of(text.strip())
    if wanted.basis:
        body = _without_basis(body, text, wanted)
    if wanted.sign is not None and sign_words(body) in wanted.sign.zero:
        return Quantity(key=wanted.key, value=0.0, raw=text, unit=shown_unit(wanted), origin=origin)
    match = NUMBER.search(body)
    if not match or re.search(r"\b(nan|inf|infinity)\b", body, re.IGNORECASE):
        raise fault("not-a-number", text, f"no number for the {wanted.name}", f"write e.g. {example(wanted)}")
    number = numeral(match, text)
    unit, spread, rest = _after_number(body[match.end() :], number, text, wanted, system)
    value = _signed(number, unit, f"{body[: match.start()]} {rest}", text, wanted)
    if wanted.kind is Kind.COUNT and value != int(value):
        raise fault("not-whole", text, f"the {wanted.name} is a whole number", 'write e.g. "4"')
    factor = conversion(unit)
    si = value * factor.scale + factor.zero
    _check_possible(si, text, wanted, unit)
    return Quantity(
        key=wanted.key,
        value=si,
        raw=text,
        unit=unit,
        origin=origin,
        step=number.step * factor.scale,
        spread=spread,
        standard=None if number.standard is None else number.standard * factor.scale,
    )


def _without_basis(body: str, raw: str, wanted: Term) -> str:
    """The text without the word for what a pressure counts from; one that counts from something else is refused."""
    found = _BASIS.search(body)
    if found is None:
        return body
    said = "gauge" if (found["how"] or found["short"]).startswith("g") else "absolute"
    if said != wanted.basis:
        raise wrong_basis(said, raw, wanted)
    return body[: found.start()] + body[found.end() :]


def check_length(text: str, wanted: Term) -> None:
    """Refuse a text too long for a quantity, before any pattern is looked for in it; raises InputError."""
    if len(text) > LONGEST:
        wrong = f"longer than {LONGEST} characters for one quantity"
        raise fault("too-long", text, wrong, f"write e.g. {example(wanted)}")


def _after_number(rest: str, number: Numeral, raw: str, wanted: Term, system: str) -> tuple[str, float | None, str]:
    """Unit, SI half-width of a ±, and the words left, from the text after the number."""
    unit, spread_text, spread_unit, rest = _unit_and_spread(rest)
    if unit and UNITS[unit][0] is not wanted.kind:
        raise wrong_unit(unit, raw, wanted)
    if unit and wanted.difference and conversion(unit).zero:
        raise no_difference(unit, raw, wanted)
    if not unit:
        _check_no_stranger(rest, raw, wanted)
    unit = unit or _bare_unit(number, raw, wanted, system)
    if not spread_text:
        return unit, None, rest
    spread = decimal(spread_text, raw) * conversion(spread_unit or unit).scale
    if spread_unit and UNITS[spread_unit][0] is not wanted.kind:
        raise fault("wrong-spread", raw, "the ± is not of the same kind as the value")
    if not math.isfinite(spread):
        raise fault("wrong-spread", raw, "the ± is too large to be one")
    return unit, spread, rest


def _unit_and_spread(rest: str) -> tuple[str, str, str, str]:
    """Unit, number of a ± and the unit of its own, and what follows; the ± stands before the unit or behind it."""
    before = DOUBT.match(rest)
    unit, rest = _take_unit(rest[before.end() :] if before else rest)
    if before:
        return unit, before["number"], "", rest
    behind = DOUBT.match(rest)
    if not behind:
        return unit, "", "", rest
    own, rest = _take_unit(rest[behind.end() :])
    return unit, behind["number"], own, rest


def _check_no_stranger(rest: str, raw: str, wanted: Term) -> None:
    """Refuse a word that stands where the unit should, unless it says the sign."""
    word = re.match(r"\s*([^\W\d_][^\s,;()]*)", rest)
    if not word or wanted.kind in (Kind.RATIO, Kind.COUNT):
        return
    sign = wanted.sign
    phrases = (*sign.plus, *sign.minus, *sign.zero, "of space", "of the deck") if sign else ()
    if not any(word[1].lower() in phrase.split() for phrase in phrases):
        raise unknown_unit(word[1], raw, wanted)


def _bare_unit(number: Numeral, raw: str, wanted: Term, system: str) -> str:
    """The unit of a bare number; nothing needs none, except of a temperature."""
    needs = units_of(wanted.kind) and wanted.kind is not Kind.RATIO
    if system == UNSAID and needs and (number.value != 0 or wanted.kind is Kind.TEMPERATURE):
        raise no_unit(raw, wanted)
    return shown_unit(wanted, system if system != UNSAID else SYSTEMS[0])


def sign_words(text: str) -> str:
    """What a text says of the sign: in small letters, without brackets, commas and the words that say nothing."""
    plain = re.sub(r"\bof space\b|\(|\)|,|\bof the deck\b", " ", text.lower())
    return " ".join(plain.split())


def _signed(number: Numeral, unit: str, words: str, raw: str, wanted: Term) -> float:
    """The amount with its sign, from words; never from a bare + or − where the trade disagrees."""
    said, sign = sign_words(words), wanted.sign
    if sign is None:
        if said:
            raise not_understood(said, raw, wanted)
        return -number.value if number.sign == "-" else number.value
    plus, minus = _matches(said, sign.plus), _matches(said, sign.minus)
    amount = f"{number.text} {unit}"
    if plus != minus and number.sign:
        raise sign_twice(number, raw, amount, wanted)
    if plus != minus:
        return number.value if plus else -number.value
    if said and not _matches(said, sign.zero):
        raise not_understood(said, raw, wanted)
    if number.value == 0:
        return 0.0
    if not sign.bare_is_plus or number.sign == "-":
        raise unsigned(number, raw, amount, wanted)
    return number.value


def _matches(said: str, words: tuple[str, ...]) -> bool:
    """Whether what was said is one of the words, or two of them together ("dish adds")."""
    return said in words or (bool(said) and all(part in words for part in said.split(" ")))


def _check_possible(value: float, raw: str, wanted: Term, unit: str) -> None:
    low, high = wanted.possible
    hair = 1e-12 * abs(value)  # 212 °F is 373.15 K, though not to the last bit
    if not low - hair <= value <= high + hair:
        raise impossible(raw, wanted, unit)


def doubtful(quantity: Quantity) -> Finding | None:
    """The "are you sure?" for a value outside the plausible range or a ± larger than the value, or None."""
    wanted = term(quantity.key)
    low, high = wanted.plausible
    if not low <= quantity.value <= high:
        span = f"{end(low, quantity.unit, wanted)} to {end(high, quantity.unit, wanted)}"
        wrong = f"an unusual {wanted.name}: most are {span}"
        return warning("unusual", wrong, read=quantity.raw, right="are you sure?")
    if quantity.spread is not None and wanted.sign is None and quantity.spread > abs(quantity.value) > 0:
        return warning("unusual", "the ± is larger than the value", read=quantity.raw, right="are you sure?")
    return None


def read_amount(text: str, kind: Kind, *, name: str = "amount", system: str = "metric") -> float:
    """A plain amount of a kind that no one term names, such as an instrument's smallest step, SI, not negative.

    Raises
    ------
    InputError : as :func:`parse`.

    >>> read_amount("0.1 ml", Kind.VOLUME)
    1e-07
    """
    anything = (0.0, math.inf)
    wanted = Term(key="amount", name=name, symbol="", kind=kind, meaning="", possible=anything, plausible=anything)
    return _read(text, wanted, system).value


__all__ = [
    "LONGEST",
    "ORIGINS",
    "UNSAID",
    "Quantity",
    "check_length",
    "doubtful",
    "in_unit",
    "parse",
    "read_amount",
    "sign_words",
]
