"""What is not settled of a piston order, with the way out: fields of one kind together, so that many stay readable."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ccassist.job.sections.order import DECIDABLE, ORDER
from ccassist.plan.piston.fields import ASSUMED, LEFT, MISSING, NOT_SAID, Row
from ccassist.plan.piston.specification import RATIO, Specification
from ccassist.values.findings import whose
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

_CROWN = next(section.keys for section in ORDER if section.name == "order.crown")


def open_points(spec: Specification, made: Sequence[Row]) -> tuple[str, ...]:
    """Why the order cannot be final, each once; empty where it can."""
    points = [*spec.refused, *_unsettled(made)]
    for one in spec.ordered().values():
        if one.tolerance.size is None:
            points.append(f"no tolerance for the {term(one.key).name}: {one.tolerance.reason}")
    points += _unknown_spread(spec)
    return tuple(dict.fromkeys(points))


def _unsettled(made: Sequence[Row]) -> Iterator[str]:
    """Fields that are not settled, those of one kind together, each with the way out."""
    for kind in (MISSING, ASSUMED, NOT_SAID, LEFT):
        found: dict[str, list[Row]] = {}
        for row in made:
            if row.unsettled == kind:
                found.setdefault(row.who if kind in (MISSING, LEFT) else "", []).append(row)
        for who, several in found.items():
            yield _together(kind, who, several)


def _together(kind: str, who: str, several: Sequence[Row]) -> str:
    """Fields of one kind in one line: what is the matter, their names, what to do."""
    names, it = ", ".join(row.name for row in several), "them" if len(several) > 1 else "it"
    match kind:
        case "missing":
            return f"missing, for {who} to say: {_say_them(several, it)}"
        case Origin.ASSUMED:
            whose_are = "whose figures they are" if len(several) > 1 else "whose figure it is"
            return f"assumed: {names}: measure {it}, or state {whose_are}, such as “, maker's figure”"
        case Origin.NOT_SAID:
            return f"given without origin: {names}: say of {it} where the figure is from, such as “, maker's figure”"
        case _:
            return f"to be decided by {who}: {names}: have {it} decided, then say {it} instead"


def _say_them(several: Sequence[Row], it: str) -> str:
    """What is missing, with where it is said; what may be left to the maker is marked where not all may."""
    may = [row for row in several if row.entry.maker]
    names = ", ".join(f"{row.name}{'*' if row in may and len(may) < len(several) else ''}" for row in several)
    places = dict.fromkeys(_place(row.entry.key) for row in several)
    left = f"leave {it}" if len(may) == len(several) else "leave what is marked *"
    rest = f", or {left} to the maker under [order.to_decide]" if may else ""
    return f"{names}: say {it} under {' or '.join(places)}{rest}"


def _place(key: str) -> str:
    """The table of the job file in which a field of the order is said."""
    if key in _CROWN:
        return "[order.crown]"
    return "[order]" if key in DECIDABLE else "[engine], where it is not measured"


def _unknown_spread(spec: Specification) -> Iterator[str]:
    for key in (RATIO, "squish"):
        found = {c.number: c.values[key] for c in spec.planned.cylinders if key in c.values}
        numbers = [number for number, value in found.items() if math.isnan(value.expanded)]
        if numbers:
            where = whose(numbers)
            yield f"the ± of the {term(key).name} is not known yet in {where}: take the repeats that show asks for"
