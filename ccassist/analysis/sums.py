"""Sums that add exactly as printed, and relations with their numbers put in.

Parts are rounded to the decimals of the headline and one more (a guard digit); the printed total is the sum of the
printed parts; the headline is the total rounded.  Where one guard digit would leave the headline of any cylinder
different from its own rounded total, another is added for all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from ccassist.analysis.cylinder import Cylinder
from ccassist.engine.mathematics import Relation
from ccassist.values.display import Formatter
from ccassist.values.measured import Value
from ccassist.vocabulary.record import record

TOTAL, SWEPT, RATIO = "clearance_volume", "swept_volume", "static_ratio"
MOST_GUARDS = 6
EXACT, TINY = 12, Decimal("1e-10")  # decimals of an exact value, and what is no difference


# The parts of the sum, in its order, by the words of a narrow column.
PARTS = {
    "chamber_volume": "chamber",
    "gasket_volume": "gasket",
    "deck_volume": "deck",
    "crown_volume": "crown",
    "crown_and_deck_volume": "over piston",
    "crevice_counted": "crevice",
    "chamfer_counted": "chamfer",
    "extra_volume": "other",
}


@record
class Addition:
    """One cylinder's clearance volume as printed: signed parts by term, and their exact sum."""

    parts: dict[str, Decimal]
    total: Decimal


def decimal(text: str) -> Decimal:
    """A printed amount as an exact decimal number."""
    return Decimal(text.replace("−", "-"))


def printed(number: Decimal, *, signed: bool = False) -> str:
    """An exact decimal as printed, with "−" for minus and, where asked, "+" for plus."""
    text = f"{number:+f}" if signed and number else f"{number:f}"
    return text.replace("-", "−")


def coefficients(relation: Relation) -> dict[str, int]:
    """How often each part enters a plain sum: 1, or −1 where it is taken out."""
    nothing = dict.fromkeys(relation.needs, 0.0)
    return {key: int(relation({**nothing, key: 1.0})) for key in relation.needs}


def parts_of(cylinder: Cylinder) -> dict[str, int]:
    """The parts of a cylinder's clearance volume and their signs; empty where it is no sum here."""
    relation = cylinder.model.relation_of(TOTAL)
    return coefficients(relation) if relation else {}


def addition(cylinder: Cylinder, decimals: int, fmt: Formatter) -> Addition | None:
    """The sum as printed, or None where the clearance volume is not a sum here."""
    signs = parts_of(cylinder)
    if not signs:
        return None
    parts = {key: sign * as_printed(cylinder.values[key], decimals, fmt) for key, sign in signs.items()}
    return Addition(parts=parts, total=sum(parts.values(), Decimal(0).scaleb(-decimals)))


def as_printed(value: Value, decimals: int, fmt: Formatter) -> Decimal:
    """A value rounded as it is printed."""
    return decimal(fmt.amount(value.key, value.nominal, decimals=decimals))


def guarded(cylinders: Sequence[Cylinder], fmt: Formatter) -> int:
    """Decimals of the printed parts: the headline's and as many guard digits as keep sum, ratio and headline one."""
    summed = [c for c in cylinders if parts_of(c)]
    least = max((fmt.decimals(c.values[TOTAL]) for c in summed), default=2) + 1
    counts = range(least, least + MOST_GUARDS)
    return next((n for n in counts if all(_agrees(c, n, fmt) for c in summed)), least)


def _agrees(cylinder: Cylinder, decimals: int, fmt: Formatter) -> bool:
    """Whether a cylinder's printed sum, rounded, is its headline, and the ratio worked out from it too."""
    found = addition(cylinder, decimals, fmt)
    if found is None or not _rounds_to(found.total, cylinder.values[TOTAL], fmt):
        return False
    if RATIO not in cylinder.values:
        return True
    return _rounds_to(_ratio(cylinder, found.total, decimals, fmt), cylinder.values[RATIO], fmt)


def _rounds_to(number: Decimal, value: Value, fmt: Formatter) -> bool:
    """Whether a printed number, rounded, is a value's headline; halfway either way is right where it is exact."""
    count = fmt.decimals(value)
    headline = as_printed(value, count, fmt)
    exact = abs(number - decimal(fmt.amount(value.key, value.nominal, decimals=EXACT))) < TINY
    return round(number, count) == headline or (exact and abs(number - headline) <= Decimal(5).scaleb(-count - 1))


def _ratio(cylinder: Cylinder, total: Decimal, decimals: int, fmt: Formatter) -> Decimal:
    relation = cylinder.model.relation_of(RATIO)
    assert relation is not None
    ratio: Decimal = relation({SWEPT: as_printed(cylinder.values[SWEPT], decimals, fmt), TOTAL: total})
    return ratio


def ratio_as_printed(cylinder: Cylinder, total: Decimal, decimals: int, fmt: Formatter) -> Decimal:
    """Static ratio worked out from the printed volumes, with as many guard digits as lead to its headline."""
    ratio, value = _ratio(cylinder, total, decimals, fmt), cylinder.values[RATIO]
    least = fmt.decimals(value) + 1
    counts = range(least, least + MOST_GUARDS)
    return next((r for n in counts if _rounds_to(r := round(ratio, n), value, fmt)), round(ratio, least))


def percents(shares: Sequence[float]) -> list[Decimal]:
    """Shares of 1 as percentages to one decimal that add to exactly 100.

    Each is rounded down or up, those with the largest remainder up.

    >>> [str(p) for p in percents([1 / 3, 1 / 3, 1 / 3])]
    ['33.4', '33.3', '33.3']
    """
    tenths = [1000 * share / sum(shares) for share in shares]
    counts = [int(t) for t in tenths]
    order = sorted(range(len(tenths)), key=lambda i: counts[i] - tenths[i])
    for i in order[: 1000 - sum(counts)]:
        counts[i] += 1
    return [Decimal(count).scaleb(-1) for count in counts]
