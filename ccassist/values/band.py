"""What is wanted of a term, as people write it: a value, a limit or a range <-> SI numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from ccassist.values.grammar import NUMBER, fault, sign_words
from ccassist.values.quantity import Quantity, check_length, parse
from ccassist.vocabulary import Kind, Term, term


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


def parse_band(text: str, key: str, *, system: str = "metric", sight: str = "") -> Band:
    """What is wanted: ``"8.8"``, ``"8.8 +/- 0.1"``, ``"8.7 to 8.9"``, ``"at least 58 cc"``, ``"at most 1.1 mm"``.

    Limits and ranges go by the amount as said: ``"at most 0.2 mm proud"`` permits any clearance from −0.2 mm up.

    Raises
    ------
    InputError : as :func:`ccassist.values.quantity.parse`, and where the limits are the wrong way round.

    >>> band = parse_band("0.9 to 1.1 mm gap", "squish"); (round(band.low * 1e3, 6), round(band.high * 1e3, 6))
    (0.9, 1.1)
    """
    wanted = term(key)
    check_length(text, wanted)

    def read(part: str) -> Quantity:
        return parse(part, key, system=system, sight=sight, raw=text)

    low, high, aim = _limits(text.strip(), wanted, read)
    return Band(key=key, low=low, high=high, aim=aim, raw=text)


def _limits(body: str, wanted: Term, read: Callable[[str], Quantity]) -> tuple[float, float, float]:
    """Low and high limit and the aim, SI."""
    limit = re.match(r"at (least|most)\s+(.*)$", body, re.IGNORECASE)
    if limit:
        value = _exact(read(limit[2]))
        upward = (limit[1].lower() == "least") != _counts_down(body, wanted)
        return (value, math.inf, value) if upward else (-math.inf, value, value)
    if wanted.kind is Kind.RATIO:
        body = re.sub(r"\s+to\s+1$", ":1", body)  # "9.5 to 1" is one ratio, not a range
    ends = re.match(r"(.+?)\s+to\s+(.+)$", body)
    if ends and NUMBER.search(ends[1]):
        first, last = (_exact(read(end)) for end in _range_ends(ends[1], ends[2]))
        if first > last and not _counts_down(body, wanted):
            raise fault(
                "wrong-order", body, "the lower limit is above the upper one", f'write "{ends[2]} to {ends[1]}"'
            )
        return min(first, last), max(first, last), (first + last) / 2
    one = read(body)
    if one.spread is None:
        return _exact(one), one.value, one.value
    return one.value - one.spread, one.value + one.spread, one.value


def _exact(quantity: Quantity) -> float:
    """A limit, which has no ± of its own."""
    if quantity.spread is not None or quantity.standard is not None:
        wrong = f"a limit of the {term(quantity.key).name} has no ± of its own"
        raise fault("wrong-spread", quantity.raw, wrong, 'write a range such as "… to …", or one value with ±')
    return quantity.value


def _counts_down(body: str, wanted: Term) -> bool:
    """Whether a larger amount is a smaller value: "at most 0.2 mm proud" is a lower limit of the clearance."""
    words = wanted.sign.minus if wanted.sign else ()
    return any(re.search(rf"\b{re.escape(word)}\b", sign_words(body)) for word in words)


def _range_ends(first: str, last: str) -> tuple[str, str]:
    """Both ends as text; each takes from the other the words before and the unit and words after its number."""
    one, other = NUMBER.search(first), NUMBER.search(last)
    if not one or not other:
        return first, last
    before = first[: one.start()], last[: other.start()]
    after = first[one.end() :], last[other.end() :]
    return (
        (before[0] or before[1]) + one[0] + (after[0] or after[1]),
        (before[1] or before[0]) + other[0] + (after[1] or after[0]),
    )
