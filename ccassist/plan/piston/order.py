"""The whole piston order, ready to be shown: specification, fields, mistakes, checks, and what still stands open."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.results import Survey
from ccassist.bench.cautions import cautions
from ccassist.job.sections.order import CHECKS, DECIDABLE, ORDER
from ccassist.plan.piston.checks import to_confirm
from ccassist.plan.piston.crown import hollow_texts
from ccassist.plan.piston.fields import ASSUMED, LEFT, MISSING, NOT_SAID, Row, ordered_text, rows, said_tolerance
from ccassist.plan.piston.fits.judged import Judged, judged
from ccassist.plan.piston.mistakes import Mistake, mistake_texts, mistakes, told
from ccassist.plan.piston.specification import RATIO, Specification, specify
from ccassist.plan.tolerance.expected import Span
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, whose
from ccassist.values.measured import Value, ground_to_dict, known
from ccassist.values.verdict import decide
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin
from ccassist.vocabulary.record import record

# What is not settled of a piston order, with the way out: fields of one kind together, so that many stay readable.

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


CAUTIONS = ("crown", "contact", "metal", "planning", "knock")
CONVENTION = (
    "Crown volume is net of dish, dome and pockets, from the crown flat; it adds space where it is a dish. "
    "Compression height is from the pin axis to the crown flat. Deck clearance is + below the deck."
)


@record
class Order:
    """A piston order.

    Attributes
    ----------
    spec : the piston and what it gives.
    system : units shown.
    rows : every field.
    mistakes : what the usual mistakes would come to, on the cylinder with the highest ratio.
    checks : what to confirm with the maker.
    points : what is not settled yet.
    judged : what does not fit, what of it is accepted, what could not be looked at.
    """

    spec: Specification
    system: str
    rows: tuple[Row, ...]
    mistakes: tuple[Mistake, ...]
    checks: tuple[Finding, ...]
    points: tuple[str, ...]
    judged: Judged

    @property
    def fmt(self) -> Formatter:
        """What makes every printed number of it."""
        return formatter(self.system)

    @property
    def first(self) -> Cylinder | None:
        """The cylinder with the highest ratio, the first to knock; None where no ratio can be worked out."""
        known = [c for c in self.spec.planned.cylinders if RATIO in c.values]
        return max(known, key=lambda c: c.values[RATIO].nominal, default=None)

    @property
    def open(self) -> tuple[str, ...]:
        """Why it cannot be final: what does not fit, then what is not settled; empty where it can."""
        return (*dict.fromkeys(one.text for one in self.judged.faults), *self.points)

    @property
    def final(self) -> bool:
        """Whether nothing stands open."""
        return not self.open

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI, each number with its printed text."""
        return to_dict(self)


def order_of(survey: Survey, system: str | None = None) -> Order:
    """The piston order of a job, in the units asked for (else the job's own)."""
    fmt = formatter(system or survey.job.system)
    spec = specify(survey)
    made, found = rows(spec, fmt), judged(spec, fmt)
    order = Order(
        spec=spec,
        system=fmt.system,
        rows=made,
        mistakes=(),
        checks=to_confirm(spec, fmt, found),
        points=open_points(spec, made),
        judged=found,
    )
    free = spec.order.get("free_thickness")
    if order.first is None:
        return order
    return replace(order, mistakes=mistakes(order.first, free_thickness=free.nominal if free else None))


def worst_text(spec: Specification, cylinder: int, fmt: Formatter, key: str = RATIO) -> str:
    """A term from its lowest to its highest with every limit reached at once, "" where it is not known."""
    worst = spec.worst.get(cylinder, {}).get(key)
    if worst is None or math.isnan(worst.low) or not spec.held:
        return ""
    return fmt.span(key, worst.low, worst.high)


def counted(order: Order) -> str:
    """What was counted in the sum, in words."""
    choices = order.spec.planned.cylinders[0].choices
    said = [
        f"{name} {'counted' if on else 'not counted'}"
        for name, on in (("top-land crevice", choices.crevice), ("bore chamfer", choices.chamfer))
    ]
    return f"Counted: chamber, compressed gasket, deck, net crown; {', '.join(said)}."


# A piston order as plain data for JSON, SI, each number with its printed text.


def to_dict(order: Order) -> dict[str, Any]:
    """The order as plain data for JSON, SI, each number with its printed text."""
    spec, fmt = order.spec, order.fmt
    return {
        "format": 1,
        "final": order.final,
        "open": list(order.open),
        "does_not_fit": [one.to_dict() for one in order.judged.faults],
        "accepted": [one.to_dict() for one in order.judged.accepted],
        "not_checked": list(order.judged.unseen),
        "checks": [
            {"check": one.key, "looks_at": one.looks_at, "acceptable": one.acceptable} for one in CHECKS.values()
        ],
        "convention": CONVENTION,
        "ordered": {key: _ordered(spec, key, fmt) for key in spec.ordered()},
        "crown": _crown(spec, fmt),
        "counted": counted(order),
        "cylinders": [_cylinder(c, spec, fmt) for c in spec.planned.cylinders],
        "fields": [_field(row) for row in order.rows],
        "mistakes": {
            "cylinder": order.first.number if order.first else None,
            "rows": [_mistake(one, fmt) for one in order.mistakes],
        },
        "to_confirm": [one.to_dict() for one in order.checks],
        "cautions": cautions(CAUTIONS),
    }


def _ordered(spec: Specification, key: str, fmt: Formatter) -> dict[str, Any]:
    one = spec.ordered()[key]
    found = Value(key=key, number=one.found, origin=one.origin)
    return {
        "name": term(key).name,
        "value": one.value,
        "text": ordered_text(one, fmt),
        "worked_out": found.nominal,
        "worked_out_expanded_uncertainty": known(found.expanded),
        "tolerance": one.tolerance.size,
        "tolerance_text": said_tolerance(key, one.tolerance.size, fmt),
        "tolerance_from": one.tolerance.how or one.tolerance.reason,
        "origin": one.origin,
        "how": one.how,
    }


def _crown(spec: Specification, fmt: Formatter) -> dict[str, Any]:
    shape = spec.shape
    return {
        "shape": shape.shape,
        "sizes": {key: {"value": size, "text": fmt.show(key, size)} for key, size in shape.sizes.items()},
        "worked_out": shape.solved,
        "adds": {
            name: {"value": shape.hollow.get(name, shape.net), "text": text}
            for name, text in hollow_texts(shape, fmt).items()
        },
        "net": shape.net,
        "faults": list(shape.faults),
    }


def _cylinder(cylinder: Cylinder, spec: Specification, fmt: Formatter) -> dict[str, Any]:
    """What one cylinder has with the ordered piston in it."""
    keys = (RATIO, "squish", "deck_clearance", "clearance_volume")
    worst = spec.worst.get(cylinder.number, {}) if spec.held else {}
    ratio = worst.get(RATIO)
    return {
        "cylinder": cylinder.number,
        "values": {
            key: {
                "value": v.nominal,
                "expanded_uncertainty": known(v.expanded),
                **ground_to_dict(v.number),
                "text": fmt.value(v),
                "worst_case": _span(worst.get(key)),
                "wanted": decide(v, band).value if (band := spec.survey.wanted.get(key)) else None,
            }
            for key in keys
            if (v := cylinder.values.get(key)) is not None
        },
        "ratio_worst_case": _span(ratio),
        "ratio_worst_case_text": worst_text(spec, cylinder.number, fmt),
    }


def _span(span: Span | None) -> list[float | None] | None:
    """From the lowest to the highest, SI."""
    return None if span is None else [known(span.low), known(span.high)]


def _field(row: Row) -> dict[str, Any]:
    return {
        "key": row.entry.key,
        "group": row.entry.group,
        "name": row.name,
        "text": row.text,
        "low": row.low,
        "high": row.high,
        "tolerance": row.size,
        "tolerance_text": row.tolerance,
        "origin": row.origin,
        "decided_by": row.who,
        "needed": row.entry.needed,
        "open": row.open,
    }


def _mistake(one: Mistake, fmt: Formatter) -> dict[str, Any]:
    return {"key": one.key, "text": told(one, fmt), **mistake_texts(one, fmt), "ratio": one.ratio,
            "squish": one.squish, "crown_volume": one.crown, "assumed": one.assumed}  # fmt: skip
