"""How a term is named and its quantity asked for: what a name means, what is usual, an example to copy, its unit."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from ccassist.values.findings import Finding, InputError, error
from ccassist.values.grammar import without_origin
from ccassist.values.parse_errors import signed_ways
from ccassist.values.quantity import UNSAID, Quantity, parse
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS, Meant, Term, find, meant, otherwise, suggested, term
from ccassist.vocabulary.units import in_unit


def example(key: str, system: str = "metric") -> str:
    """How a value of the term may be written: as its row does, else its usual value, else the middle of its range.

    >>> example("crown_volume"), example("piston_rock", "imperial")
    ('dish 11.3 cc', '9.84 thou')
    """
    wanted = term(key)
    if wanted.examples:
        return wanted.example(system)
    unit = wanted.shown(system)
    ordinary = sum(wanted.plausible) / 2 if wanted.typical is None else wanted.typical
    amount = f"{_round(in_unit(ordinary, unit))} {unit}".rstrip()
    return wanted.sign.says_plus.format(amount) if wanted.sign else amount


def usual(key: str, system: str = "metric", unit: str = "") -> str:
    """The plausible range in a unit, by default the shown one: "20 to 300 mm"; sign words where it has a sign.

    >>> usual("bore"), usual("intake_opening")
    ('20 to 300 mm', '40 deg after TDC to 70 deg before TDC')
    """
    wanted = term(key)
    unit = unit or wanted.shown(system)
    low, high = (_round(in_unit(end, unit)) for end in wanted.plausible)
    if wanted.sign is not None and (wanted.plausible[0] < 0 or not wanted.sign.bare_is_plus):
        ends = (
            wanted.sign.says_minus.format(f"{low.lstrip('-')} {unit}"),
            wanted.sign.says_plus.format(f"{high} {unit}"),
        )
        return " to ".join(ends)
    return f"{low} to {high} {unit}".rstrip()


def _round(number: float) -> str:
    """Three figures, never with an exponent."""
    return f"{float(f'{number:.3g}'):.10g}"


def with_unit(text: str, key: str, *, system: str = "metric", sight: str = "") -> str:
    """The text with the unit that a bare number takes written out, so that it means the same for ever.

    ``sight`` : that unit, where it stands in the place that the text was typed in.

    >>> with_unit("46.15", "burette_reading"), with_unit("8 below", "dial_reading", sight="thou")
    ('46.15 cc', '8 thou below')
    >>> with_unit("2.8", "burette_reading", sight="in3"), with_unit("46 cc", "burette_reading", sight="in3")
    ('2.8 in3', '46 cc')

    Raises InputError: as :func:`ccassist.values.quantity.parse`.
    """
    return quantity_with_unit(text, key, system=system, sight=sight).raw


def quantity_with_unit(text: str, key: str, *, system: str = "metric", sight: str = "") -> Quantity:
    """The same as a quantity, whose ``raw`` text has its unit.

    Raises InputError: as :func:`ccassist.values.quantity.parse`.
    """
    read = parse(text, key, system=system, sight=sight)
    unit = sight or term(key).shown(system)
    ends = [i + 1 for i, c in enumerate(text) if unit and (c.isdigit() or c == ")")]
    for end in ends:
        rest = text[end:]
        said = f"{text[:end]} {unit}{' ' if rest[:1].isalpha() else ''}{rest}"
        if not rest[:1].isdigit() and (same := _same(said, read)):
            return same
    return read


def band_with_unit(text: str, key: str, *, sight: str) -> str:
    """What is wanted of a term, with the unit that its bare numbers take written behind it.

    >>> band_with_unit("60 to 62", "chamber_volume", sight="cc"), band_with_unit("9.5", "static_ratio", sight="")
    ('60 to 62 cc', '9.5')

    Raises InputError: as :func:`ccassist.values.verdict.parse_band`.
    """
    band = parse_band(text, key, sight=sight)
    tried = f"{text} {sight}"
    if not sight or not text[-1:].isdigit():
        return text
    try:
        again = parse_band(tried, key)
    except InputError:
        return text
    return tried if (again.low, again.high, again.aim) == (band.low, band.high, band.aim) else text


def _same(text: str, wanted: Quantity) -> Quantity | None:
    """The quantity of a text that means the same by itself, in any job; else None."""
    try:
        read = parse(text, wanted.key, system=UNSAID)
    except InputError:
        return None
    same = (read.value, read.spread, read.standard, read.origin)
    return read if same == (wanted.value, wanted.spread, wanted.standard, wanted.origin) else None


# -- names --------------------------------------------------------------------------------------------------


def named(text: str, place: str = "", *, among: Collection[str] | None = None, none: str = "no such term") -> Meant:
    """The term of a name; ``among`` are the keys that have a place there, ``none`` what is said where it is none.

    >>> named("head cc").term.key, named("dome").says
    ('chamber_volume', 'dome')

    Raises InputError: there is none, or it may be several; says which, or which is near.
    """
    name = text.strip()
    found = meant(name, among)
    if len(found) == 1:
        return found[0]
    by_symbol = find(name)
    if not found and by_symbol is not None and (among is None or by_symbol.key in among):
        return Meant(term=by_symbol)
    if found:
        raise InputError(several(name, found).at(place=place))
    right = instead(name, among) or (", ".join(among) if among is not None else "")
    raise InputError(error("unknown-term", none, read=text, place=place, right=right))


def several(name: str, found: Iterable[Meant]) -> Finding:
    """A word that may mean several terms here: each is explained."""
    right = "; or ".join(f'write "{one.term.key}" for {explained(one.term)}' for one in found)
    return error("several-meanings", "in the trade this means several things", read=name, right=right)


def explained(term: Term) -> str:
    """A term by its name and its meaning."""
    return f"the {term.name} ({term.meaning})"


def instead(name: str, among: Collection[str] | None = None) -> str:
    """What to write instead of a name that has no place: how the thing is said here, or what was mistyped; else "".

    >>> instead("stoke"), instead("throw")
    ('did you mean "stroke"?', 'write "stroke": it is twice the throw of the crank')
    """
    alone = name.partition("=")[0].strip()
    if alone != name and meant(alone, among):
        return f'did you mean "{alone}"?'
    other = otherwise(name)
    if other is not None:
        return f'write "{other[0].key}": {other[1]}'
    return suggested(name, TERMS if among is None else among)


def with_sign(text: str, one: Meant) -> str:
    """A value under a name that says its sign, such as a dish: the sign put into the value.

    Raises InputError: the value says another sign.

    >>> with_sign("8 cc, measured", named("dish"))
    'dish 8 cc, measured'
    """
    sign = one.term.sign
    if not one.says or sign is None:
        return text
    own, other = (sign.plus, sign.minus) if one.says in sign.plus else (sign.minus, sign.plus)
    body, _ = without_origin(text.lower())
    if any(_says(body, word) for word in (*other, *sign.zero)):
        wrong = f'"{one.says}" says the sign already, and the value says another'
        right = f'write "{one.term.key}" with the sign in the value, such as "{sign.says_plus.format("…")}"'
        raise InputError(error("contradiction", wrong, read=text, right=right))
    return text if any(_says(body, word) for word in own) else f"{one.says} {text.strip()}"


def signed(number: float, one: Meant) -> float:
    """A number (SI) under a name that says its sign: an amount, to which the name gives the sign.

    >>> signed(8e-6, named("dome")), signed(8e-6, named("crown_volume"))
    (-8e-06, 8e-06)

    Raises InputError: the number has a sign of its own that is not that of the name.
    """
    if not one.says or one.term.sign is None:
        return number
    if number < 0:
        wrong = f'"{one.says}" says the sign already, and the number has another'
        right = f'give "{one.term.key}" with its sign: {signed_ways("…", one.term, both=True)}'
        raise InputError(error("contradiction", wrong, read=f"{number:g}", right=right))
    return -number if one.says in one.term.sign.minus else number


def _says(text: str, word: str) -> bool:
    return f" {word} " in f" {' '.join(text.replace(',', ' ').split())} "
