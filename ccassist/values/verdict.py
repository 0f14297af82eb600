"""What is wanted of a term, and what may be said at 95 %: of a value against it, of two things, of all cylinders.

Decision rule against a band: inside only where the whole 95 % interval lies within the limits, outside only where none
of it does (guarded acceptance and guarded rejection; JCGM 106:2012, clauses 8.3.2 and 8.3.3, from memory).

Of two things everything that they share cancels.  Largest and smallest of several are picked after looking, so that
their difference is judged by the studentized range for as many as there are, not by Student's t, which is for a pair
named beforehand.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from enum import Enum

from ccassist.values.display import NEEDS_REPEATS, Formatter, places
from ccassist.values.grammar import NUMBER, fault, sign_words
from ccassist.values.measured import Value
from ccassist.values.number import Number, nominal, standard
from ccassist.values.quantity import Quantity, check_length, parse
from ccassist.values.statistics import COVERAGE, studentized_range
from ccassist.values.uncertainty import budget, degrees, expand
from ccassist.vocabulary import Kind, Term, term
from ccassist.vocabulary.record import record


@record
class Band:
    """What is wanted of a term: a value, a limit or a range, SI.

    ``low`` and ``high`` are the permitted limits (infinite where open); ``aim`` is the value to solve for.
    """

    key: str
    low: float
    high: float
    aim: float
    raw: str


def parse_band(text: str, key: str, *, system: str = "metric", sight: str = "") -> Band:
    """What is wanted: ``"8.8"``, ``"8.8 +/- 0.1"``, ``"8.7 to 8.9"``, ``"at least 58 cc"``, ``"at most 1.1 mm"``.

    Limits and ranges go by the amount as said: ``"at most 0.2 mm proud"`` permits any clearance from −0.2 mm up.

    Raises InputError: as :func:`ccassist.values.quantity.parse`, and where the limits are the wrong way round.

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
    if wanted.kind is Kind.RATIO and wanted.plausible[0] > 1:
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


def band_text(band: Band, fmt: Formatter) -> str:
    """What is wanted in the units shown; a limit of a signed quantity says which way it is open.

    >>> from ccassist.values.display import formatter
    >>> band_text(parse_band("0.9 to 1.1 mm", "squish"), formatter("imperial"))
    '35.4 to 43.3 thou'
    """
    decimals = _exact_at(band, fmt)
    if band.low < band.high < math.inf and band.low > -math.inf:
        return fmt.span(band.key, band.low, band.high, decimals=decimals)
    if band.low == band.high:
        return fmt.show(band.key, band.aim, decimals=decimals)
    least, limit = band.high == math.inf, band.low if band.high == math.inf else band.high
    downward = term(band.key).sign is not None and limit < 0
    return f"at {'least' if least != downward else 'most'} {fmt.show(band.key, limit, decimals=decimals)}"


def _exact_at(band: Band, fmt: Formatter) -> int | None:
    """Decimals at which a limit is printed as it was said; None, the usual ones, where no few of them do so."""
    ends = [abs(end) for end in (band.low, band.high) if math.isfinite(end)]
    usual = places(fmt.unit(band.key), None)
    for decimals in range(usual, usual + 3):
        pairs = ([fmt.amount(band.key, end, decimals=n).replace("−", "-") for n in (decimals, 9)] for end in ends)
        if all(math.isclose(float(one), float(other), abs_tol=1e-7) for one, other in pairs):
            return decimals
    return None


class Verdict(Enum):
    """What may be said: of a value against a band (the first three), of one thing against another (the others)."""

    INSIDE = "inside"
    OUTSIDE = "outside"
    CANNOT_TELL = "cannot tell at this ±"
    DIFFERS = "differs"
    NOT_SHOWN = "no difference shown"
    ONE_VALUE = "one and the same value serves both"
    NOT_KNOWN = NEEDS_REPEATS


def decide(value: Value, band: Band) -> Verdict:
    """The verdict on a value with its expanded uncertainty against a band.

    An unknown ± (NaN) never decides.  A band without width is taken as an aim: inside where the interval holds it.

    >>> from ccassist.values.measured import computed
    >>> decide(computed("chamber_volume", 58.4e-6), parse_band("at least 58.0 cc", "chamber_volume")).value
    'inside'
    """
    stated = expand(value.number)
    if math.isnan(stated.expanded):
        return Verdict.CANNOT_TELL
    low, high = stated.low, stated.high
    if band.low == band.high:
        return Verdict.INSIDE if low <= band.aim <= high else Verdict.OUTSIDE
    if band.low <= low and high <= band.high:
        return Verdict.INSIDE
    if high < band.low or low > band.high:
        return Verdict.OUTSIDE
    return Verdict.CANNOT_TELL


def verdicts(values: Mapping[str, Value], wanted: Mapping[str, Band]) -> dict[str, str]:
    """The verdict in words on every wanted term that is known, by its key."""
    return {key: decide(value, band).value for key, band in wanted.items() if (value := values.get(key)) is not None}


def of_difference(difference: Number, expanded: float) -> Verdict:
    """Whether two things differ: their difference (SI), what they share cancelled, against its ± at 95 % (SI)."""
    if nominal(difference) == 0 and standard(difference) == 0:
        return Verdict.ONE_VALUE
    if math.isnan(expanded):
        return Verdict.NOT_KNOWN
    return Verdict.DIFFERS if abs(nominal(difference)) > expanded else Verdict.NOT_SHOWN


COMPARED = ("chamber_volume", "clearance_volume", "static_ratio", "deck_clearance", "squish")


@record
class Spread:
    """Largest less smallest of one term.

    low, high : the numbers of the cylinders with the smallest and the largest.
    """

    key: str  # the term
    low: int
    high: int
    difference: Number  # largest less smallest, SI; it keeps only the causes of doubt that the two do not share
    average: Number  # mean of all that have it, SI
    count: int = 2  # how many there were to pick from

    @property
    def expanded(self) -> float:
        """Expanded uncertainty of the difference at 95 %, SI."""
        return apart(self.difference, self.count)


def apart(difference: Number, count: int = 2, rows: int = 1) -> float:
    """Expanded uncertainty of a difference at 95 %, SI; NaN where it is not known.

    difference : of two results, its shared causes cancelled.
    count : of how many the two were picked after looking; 2 where they were named beforehand.
    rows : how many such differences, each named beforehand, are looked at together.

    Source: q(0.95; count, ν)/√2 standard uncertainties of the difference, Tukey-Kramer (NIST/SEMATECH e-Handbook
    7.4.7.1).  Of several rows each has a chance of 0.05 ÷ rows to be wrong, so that all hold together with 95 %
    whatever they share: Bonferroni's method (ibid. 7.4.7.3; Dunn, J. Am. Stat. Assoc. 56 (1961) 52, from memory).
    """
    u = standard(difference)
    if count == 2 or u == 0 or math.isnan(u):
        return expand(difference, 1 - (1 - COVERAGE) / rows).expanded
    return studentized_range(count, degrees(budget(difference))) / math.sqrt(2) * u


def spread_of(key: str, values: Sequence[tuple[int, Value]]) -> Spread | None:
    """The spread of a term over the cylinders that have it; None where fewer than two do."""
    if len(values) < 2:
        return None
    low = min(values, key=lambda pair: pair[1].nominal)
    others = [pair for pair in values if pair is not low]  # where all are alike, two of them have a ± between them
    high = max(others, key=lambda pair: pair[1].nominal)
    total = sum(v.number for _, v in values)
    return Spread(
        key=key,
        low=low[0],
        high=high[0],
        difference=high[1].number - low[1].number,
        average=total / len(values),
        count=len(values),
    )


def is_shown(spread: Spread) -> bool:
    """Whether the measurement shows a difference at all."""
    return of_difference(spread.difference, spread.expanded) is Verdict.DIFFERS
