"""What is asked for in texts: TERM=VALUE, the one place where it is read, and what is to be found and to be reached."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from ccassist.values.asking import example, named, signed, with_sign
from ccassist.values.findings import InputError, error, placed
from ccassist.values.pint_bridge import Written, is_pint
from ccassist.values.quantity import parse
from ccassist.vocabulary import Meant, Term
from ccassist.vocabulary.record import record


@record
class Pair:
    """A text TERM=VALUE: what is meant, and the value as written, the sign in it that the name says; "" without one."""

    meant: Meant
    value: str

    @property
    def term(self) -> Term:
        """Its term."""
        return self.meant.term

    @property
    def key(self) -> str:
        """Of the term."""
        return self.term.key


def read_pair(
    text: str,
    place: str,
    *,
    among: Collection[str] | None = None,
    none: str = "no such term",
    limit: bool = False,
    single: bool = False,
    bare: bool = False,
    or_else: str = "",
) -> Pair:
    """TERM=VALUE, the term by whatever the trade calls it.

    text : as typed.
    place : the option it was typed for, such as "--to".
    among : keys of the terms that have a place there, and ``none``, what is said of a term that has not.
    limit : whether the value is how close the term is held, a size without sign.
    single : whether it is one number, no range.
    bare : whether the term may stand alone; ``or_else``, what else can be done where it may not.

    Raises InputError: the name is no such term, no value is said, or name and value say two signs.

    >>> read_pair("dish = 8 cc", "--to").key, read_pair("dish = 8 cc", "--to").value
    ('crown_volume', 'dish 8 cc')
    """
    name, _, said = text.partition("=")
    one, value = named(name, place, among=among, none=none), said.strip()
    if not value and not bare:
        such = f"0.5 {one.term.shown()}".strip() if limit else example(one.term.key)
        such = such.rpartition(" to ")[2] if single else such
        right = f"{place} '{one.term.key}={such}'{or_else}".lstrip()
        raise InputError(error("no-value", "no value is said", read=text, place=place, right=right))
    with placed(place):
        return Pair(meant=one, value=with_sign(value, one) if value and not limit else value)


def check_once(pairs: Sequence[Pair], texts: Sequence[str], place: str) -> None:
    """That no term is said twice for one option. Raises InputError: one is."""
    keys = [pair.key for pair in pairs]
    for at, key in enumerate(keys):
        if key in keys[:at]:
            raise InputError(error("same-term", "this term is said already", read=texts[at], place=place))


@record
class Request:
    """What is to be found, and what it must reach: one or two term keys, and as many with their SI values."""

    unknowns: tuple[str, ...]
    targets: Mapping[str, float]


def wished(unknowns: Sequence[str], targets: Sequence[str], system: str) -> Request:
    """The wish in texts: names of terms, and as many TERM=VALUE with the value as people write it.

    Raises InputError: not one or two of each, a term is not known, or a value cannot be read.

    SI.

    >>> wished(["crown_volume"], ["static_ratio=9.5"], "metric")
    Request(unknowns=('crown_volume',), targets={'static_ratio': 9.5})
    """
    found = _found(unknowns, len(targets))
    pairs = [read_pair(text, "--to", single=True) for text in targets]
    check_once(pairs, targets, "--to")
    return Request(unknowns=found, targets={pair.key: _aim(pair.meant, pair.value, system) for pair in pairs})


def wish_of(unknowns: str | Sequence[str], targets: Mapping[str, Written], system: str) -> Request:
    """The same of one unknown or several, and of targets by term: as people write it, an SI number, or one of Pint.

    Raises InputError: as :func:`wished`.

    >>> wish_of("crown_volume", {"squish": "1 mm"}, "metric").targets
    {'squish': 0.001}
    """
    found = _found((unknowns,) if isinstance(unknowns, str) else unknowns, len(targets))
    pairs = [read_pair(f"{name}={value}" if isinstance(value, str) else name, "--to", single=True,
                       bare=not isinstance(value, str)) for name, value in targets.items()]  # fmt: skip
    check_once(pairs, list(targets), "--to")
    values = zip(pairs, targets.values(), strict=True)
    return Request(unknowns=found, targets={pair.key: _aim(pair.meant, value, system) for pair, value in values})


def _found(unknowns: Sequence[str], reached: int) -> tuple[str, ...]:
    """What is to be found, as many terms as are to be reached."""
    if len(unknowns) != reached or not 1 <= reached <= 2:
        wrong = f"{len(unknowns)} to find and {reached} to reach: there must be one of each, or two of each"
        right = "--for compression_height --for crown_volume --to 'squish=1.0 mm' --to static_ratio=9.6"
        raise InputError(error("uneven-question", wrong, right=right))
    return tuple(named(name, "--for").term.key for name in unknowns)


def _aim(one: Meant, value: Written, system: str) -> float:
    """The value to be reached, SI: one number without a ±."""
    with placed("--to"):
        if not isinstance(value, str) and not is_pint(value):
            return signed(float(value), one)
        text = with_sign(value.strip(), one) if isinstance(value, str) else value
        aim = parse(text, one.term.key, system=system)
        if aim.spread is not None or aim.standard is not None:
            wrong, right = "what is to be reached is one value, without ±", "tolerance and combine take a range"
            raise InputError(error("wrong-spread", wrong, read=aim.raw, right=right))
        return aim.value if isinstance(value, str) else signed(aim.value, one)
