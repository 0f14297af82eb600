"""A term by whatever the trade calls it, in an option: found, or refused with the candidates or the likeliest slip."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from ccassist.values.findings import Finding, InputError, error
from ccassist.values.said import without_origin
from ccassist.vocabulary import Meant, Term, find, meant, nearest, otherwise


def named(text: str, place: str = "", *, among: Collection[str] | None = None, none: str = "no such term") -> Meant:
    """The term of a name; ``among`` are the keys that have a place there, ``none`` what is said where it is none.

    Raises
    ------
    InputError : there is none, or it may be several; says which, or which is near.
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
    """What to write instead of a name that has no place: how the thing is said here, or what was mistyped; else ""."""
    alone = name.partition("=")[0].strip()
    if alone != name and meant(alone, among):
        return f'did you mean "{alone}"?'
    other = otherwise(name)
    if other is not None:
        return f'write "{other[0].key}": {other[1]}'
    near = nearest(name, None if among is None else tuple(among))
    return f'did you mean "{near}"?' if near else ""


def with_sign(text: str, one: Meant) -> str:
    """A value under a name that says its sign, such as a dish: the sign put into the value.

    Raises
    ------
    InputError : the value says another sign.

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


def _says(text: str, word: str) -> bool:
    return f" {word} " in f" {' '.join(text.replace(',', ' ').split())} "
