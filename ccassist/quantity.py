"""Text as people write it <-> SI numbers.

The number is read by the grammar below, with a length limit; nothing of the
text is evaluated.  ``"87.02 +/- 0.01 mm, measured"``, ``"87.02(1) mm"``,
``"1 5/16 in"``, ``"dish 12.4 cc"``, ``"0.20 mm below deck"``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from ccassist.findings import Finding, InputError, error, warning
from ccassist.terms import Kind, Term, term
from ccassist.units import UNITS, conversion, shown_unit, units_of

LONGEST = 120
ORIGINS = ("measured", "maker's figure", "assumed")

# Plain digits only: \d would also take those of other scripts, which the comma rule does not know.
_DIGITS = r"[0-9]{1,15}(?:[.,][0-9]{1,15})?"
_NUMBER = re.compile(
    rf"(?P<sign>[+\-−]\s?)?(?:(?P<whole>[0-9]{{1,6}})[ \-])?(?P<top>[0-9]{{1,6}})\s?/\s?(?P<bottom>[0-9]{{1,6}})"
    rf"|(?P<sign2>[+\-−]\s?)?(?P<plain>{_DIGITS}|[.,][0-9]{{1,15}})(?P<exponent>[eE][+\-]?[0-9]{{1,4}})?(?:\((?P<last>[0-9]{{1,6}})\))?"
)
_DOUBT = re.compile(rf"\s*(?:\+/-|\+-|±)\s*(?P<number>{_DIGITS}(?:[eE][+\-]?[0-9]{{1,3}})?)\s*")
_ORIGIN = re.compile(r",?\s*\b(?P<origin>measured|maker[’']?s figure|makers figure|assumed)\s*$", re.IGNORECASE)
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


@dataclass(frozen=True, kw_only=True)
class Band:
    """What is wanted of a term: a value, a limit or a range, SI.

    ``low`` and ``high`` are the permitted limits (infinite where open);
    ``aim`` is the value to solve for.
    """

    key: str
    low: float
    high: float
    aim: float
    raw: str


def _fault(code: str, text: str, wrong: str, right: str = "") -> InputError:
    return InputError(error(code, wrong, read=text, right=right))


def _example(wanted: Term) -> str:
    unit = shown_unit(wanted)
    amount = {Kind.LENGTH: "86.50", Kind.VOLUME: "43.2", Kind.RATIO: "9.5", Kind.COUNT: "4"}.get(wanted.kind, "20")
    if wanted.sign is not None:
        amount = "8.7" if wanted.kind is Kind.VOLUME else "0.20"
    text = f"{amount} {unit}".strip()
    if wanted.sign is None:
        return f'"{text}"'
    says = (wanted.sign.says_plus.format(text), wanted.sign.says_minus.format(text))
    return f'"{says[0]}" or "{says[1]}"'


def _decimal(text: str, raw: str) -> float:
    """A decimal number with point or unmistakable comma."""
    if "," in text:
        if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
            raise _fault(
                "ambiguous-comma",
                raw,
                f"{text} could be a decimal comma or a thousand",
                f"write {text.replace(',', '.')} or {text.replace(',', '')}",
            )
        text = text.replace(",", ".")
    return float(text)


def _number(match: re.Match[str], raw: str) -> tuple[float, float, float | None, str]:
    """Value, size of the last digit, standard uncertainty of (n), sign text."""
    sign = (match["sign"] or match["sign2"] or "").strip().replace("−", "-")
    if match["top"]:
        if int(match["bottom"]) == 0:
            raise _fault("not-a-number", raw, "a fraction over nothing", 'write e.g. "5/16 in"')
        part = Fraction(int(match["top"]), int(match["bottom"])) + int(match["whole"] or 0)
        return float(part), 0.0, None, sign
    exponent = match["exponent"] or ""
    digits = match["plain"]
    value = _decimal(digits, raw) * _power(exponent)
    decimals = len(re.split("[.,]", digits)[1]) if re.search("[.,]", digits) else 0
    step = 10.0**-decimals * _power(exponent)
    if not math.isfinite(value) or not math.isfinite(step):
        raise _fault("not-finite", raw, "the number is too large to be a measurement")
    standard = int(match["last"]) * step if match["last"] else None
    return value, step, standard, sign


def _power(exponent: str) -> float:
    if not exponent:
        return 1.0
    power = int(exponent[1:])
    return math.inf if power > 300 else 10.0**power


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
    system : "metric" or "imperial", for bare numbers.

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
    key = wanted.key
    _check_length(text, wanted)
    body, origin = _origin_of(text.strip())
    zero = _zero_words(body, wanted)
    if zero:
        return Quantity(key=key, value=0.0, raw=text, unit=shown_unit(wanted, system), origin=origin)
    match = _NUMBER.search(body)
    if not match or re.search(r"\b(nan|inf|infinity)\b", body, re.IGNORECASE):
        raise _fault("not-a-number", text, f"no number for the {wanted.name}", f"write e.g. {_example(wanted)}")
    amount, step, standard, sign = _number(match, text)
    unit, spread, words = _after_number(body[match.end() :], text, wanted, system)
    words = f"{body[: match.start()]} {words}".strip()
    factor = conversion(unit)
    value = _signed(amount, sign, words, text, wanted)
    si = value * factor.scale + factor.zero
    if wanted.kind is Kind.COUNT and amount != int(amount):
        raise _fault("not-whole", text, f"the {wanted.name} is a whole number", 'write e.g. "4"')
    _check_possible(si, text, wanted, unit)
    return Quantity(
        key=key,
        value=si,
        raw=text,
        unit=unit,
        origin=origin,
        step=step * factor.scale,
        spread=None if spread is None else spread,
        standard=None if standard is None else standard * factor.scale,
    )


def _check_length(text: str, wanted: Term) -> None:
    if len(text) > LONGEST:
        raise _fault(
            "too-long", text, f"longer than {LONGEST} characters for one quantity", f"write {_example(wanted)}"
        )


def _after_number(rest: str, raw: str, wanted: Term, system: str) -> tuple[str, float | None, str]:
    """Unit, SI half-width of a ±, and the words left, from the text after the number."""
    spread_text = spread_unit = ""
    doubt = _DOUBT.match(rest)
    if doubt:
        spread_text, rest = doubt["number"], rest[doubt.end() :]
    unit, rest = _take_unit(rest)
    if not doubt:
        doubt = _DOUBT.match(rest)
        if doubt:
            spread_text = doubt["number"]
            spread_unit, rest = _take_unit(rest[doubt.end() :])
    if unit and UNITS[unit][0] is not wanted.kind:
        usual = ", ".join(units_of(wanted.kind)[:4]) or "no unit"
        raise _fault(
            "wrong-unit",
            raw,
            f"{unit} is a {UNITS[unit][0].value}, but the {wanted.name} is a {wanted.kind.value}",
            f"write it in {usual}",
        )
    unit = unit or shown_unit(wanted, system)
    spread = None
    if spread_text:
        spread = _decimal(spread_text, raw) * conversion(spread_unit or unit).scale
        if not math.isfinite(spread) or spread < 0 or (spread_unit and UNITS[spread_unit][0] is not wanted.kind):
            raise _fault("wrong-spread", raw, "the ± is not of the same kind as the value")
    return unit, spread, rest.strip()


def _words(text: str) -> str:
    plain = re.sub(r"\bof space\b|\(|\)|,|\bof the deck\b", " ", text.lower())
    return " ".join(plain.split())


def _zero_words(body: str, wanted: Term) -> bool:
    return wanted.sign is not None and _words(body) in wanted.sign.zero


def _signed(amount: float, sign: str, words: str, raw: str, wanted: Term) -> float:
    """The amount with its sign, from words; never from a bare + or − where the trade disagrees."""
    said = _words(words)
    if wanted.sign is None:
        if said:
            raise _fault(
                "not-understood",
                raw,
                f'"{said}" is not understood after the {wanted.name}',
                f"write e.g. {_example(wanted)}",
            )
        return -amount if sign == "-" else amount
    plus = _matches(said, wanted.sign.plus)
    minus = _matches(said, wanted.sign.minus)
    if plus != minus and sign:
        raise _fault(
            "sign-twice",
            raw,
            f'a word and a bare "{sign}" may contradict each other',
            f"leave the {sign} out: {_example(wanted)}",
        )
    if plus != minus:
        return amount if plus else -amount
    if said and not _matches(said, wanted.sign.zero):
        raise _fault(
            "not-understood", raw, f'"{said}" does not say the sign of the {wanted.name}', f"write {_example(wanted)}"
        )
    if amount == 0:
        return 0.0
    if wanted.sign.bare_is_plus:
        return -amount if sign == "-" else amount
    bare = f'a bare "{sign}" is read both ways in the trade' if sign else "the sign is not said"
    raise _fault("unsigned", raw, f"{bare} for the {wanted.name}", f"write {_example(wanted)}")


def _matches(said: str, words: tuple[str, ...]) -> bool:
    """Whether what was said is one of the words, or two of them together ("dish adds")."""
    return said in words or (bool(said) and all(part in words for part in said.split(" ")))


def _check_possible(value: float, raw: str, wanted: Term, unit: str) -> None:
    low, high = wanted.possible
    hair = 1e-12 * max(abs(low), abs(high))  # 212 °F is 373.15 K, though not to the last bit
    if not low - hair <= value <= high + hair:
        raise _fault(
            "impossible",
            raw,
            f"no {wanted.name} can be that",
            f"it lies between {in_unit(low, unit):g} and {in_unit(high, unit):g} {unit}".rstrip(),
        )


def in_unit(value: float, unit: str) -> float:
    """An SI value in a unit of the closed list."""
    factor = conversion(unit)
    return (value - factor.zero) / factor.scale


def doubtful(quantity: Quantity) -> Finding | None:
    """The "are you sure?" for a value outside the plausible range, or None."""
    wanted = term(quantity.key)
    low, high = wanted.plausible
    if low <= quantity.value <= high:
        return None
    span = f"{in_unit(low, quantity.unit):.4g} to {in_unit(high, quantity.unit):.4g} {quantity.unit}".rstrip()
    return warning("unusual", f"an unusual {wanted.name}: most are {span}", read=quantity.raw, right="are you sure?")


def read_amount(text: str, kind: Kind, *, system: str = "metric") -> float:
    """A plain amount of a kind that no one term names, such as an instrument's smallest step, SI, not negative.

    Raises
    ------
    InputError : as :func:`parse`.

    >>> read_amount("0.1 ml", Kind.VOLUME)
    1e-07
    """
    anything = Term(
        key="amount", name="amount", symbol="", kind=kind, meaning="", possible=(0.0, 1e6), plausible=(0.0, 1e6)
    )
    return _read(text, anything, system).value


def parse_band(text: str, key: str, *, system: str = "metric") -> Band:
    """What is wanted: ``"8.8"``, ``"8.8 +/- 0.1"``, ``"8.7 to 8.9"``, ``"at least 58 cc"``, ``"at most 1.1 mm"``.

    Limits and ranges go by the amount as said: ``"at most 0.2 mm proud"`` permits any clearance from −0.2 mm up.

    Raises
    ------
    InputError : as :func:`parse`, and where the limits are the wrong way round.

    >>> band = parse_band("0.9 to 1.1 mm gap", "squish"); (round(band.low * 1e3, 6), round(band.high * 1e3, 6))
    (0.9, 1.1)
    """
    wanted = term(key)
    _check_length(text, wanted)
    body = text.strip()
    limit = re.match(r"at (least|most)\s+(.*)$", body, re.IGNORECASE)
    if limit:
        value = parse(limit[2], key, system=system).value
        upward = (limit[1].lower() == "least") != _counts_down(body, wanted)
        low, high = (value, math.inf) if upward else (-math.inf, value)
        return Band(key=key, low=low, high=high, aim=value, raw=text)
    ends = re.match(r"(.+?)\s+to\s+(.+)$", body)
    if ends and _NUMBER.search(ends[1]):
        first, last = (parse(end, key, system=system).value for end in _range_ends(ends[1], ends[2]))
        if first > last and not _counts_down(body, wanted):
            raise _fault(
                "wrong-order",
                text,
                "the lower limit is above the upper one",
                f"write {_example(wanted)} in rising order",
            )
        return Band(key=key, low=min(first, last), high=max(first, last), aim=(first + last) / 2, raw=text)
    one = parse(body, key, system=system)
    spread = one.spread or 0.0
    return Band(key=key, low=one.value - spread, high=one.value + spread, aim=one.value, raw=text)


def _counts_down(body: str, wanted: Term) -> bool:
    """Whether a larger amount is a smaller value: "at most 0.2 mm proud" is a lower limit of the clearance."""
    words = wanted.sign.minus if wanted.sign else ()
    return any(re.search(rf"\b{re.escape(word)}\b", _words(body)) for word in words)


def _range_ends(first: str, last: str) -> tuple[str, str]:
    """Both ends as text; each takes from the other the words before and the unit and words after its number."""
    one, other = _NUMBER.search(first), _NUMBER.search(last)
    if not one or not other:
        return first, last
    before = first[: one.start()], last[: other.start()]
    after = first[one.end() :], last[other.end() :]
    return (
        (before[0] or before[1]) + one[0] + (after[0] or after[1]),
        (before[1] or before[0]) + other[0] + (after[1] or after[0]),
    )
