"""The whole piston order, ready to be shown: specification, fields, mistakes, checks, and what still stands open."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ccassist.bench.cautions import cautions
from ccassist.display import show, show_value
from ccassist.findings import Finding
from ccassist.judge import decide
from ccassist.measured import Value
from ccassist.plain import known
from ccassist.plan.piston.checks import to_confirm
from ccassist.plan.piston.crown import hollow_texts
from ccassist.plan.piston.fields import Row, open_points, ordered_text, rows, said_tolerance
from ccassist.plan.piston.mistakes import Mistake, mistakes, told
from ccassist.plan.piston.specification import RATIO, Specification, specify
from ccassist.results import Cylinder, Survey
from ccassist.terms import term

CAUTIONS = ("crown", "contact", "metal", "planning", "knock")
CONVENTION = (
    "Crown volume is net of dish, dome and pockets, from the crown flat; it adds space where it is a dish. "
    "Compression height is from the pin axis to the crown flat. Deck clearance is + below the deck."
)


@dataclass(frozen=True, kw_only=True)
class Order:
    """A piston order.

    Attributes
    ----------
    spec : the piston and what it gives.
    system : units shown.
    rows : every field.
    mistakes : what the usual mistakes would come to, on the cylinder with the highest ratio.
    checks : what to confirm with the maker.
    open : why it cannot be final; empty where it can.
    """

    spec: Specification
    system: str
    rows: tuple[Row, ...]
    mistakes: tuple[Mistake, ...]
    checks: tuple[Finding, ...]
    open: tuple[str, ...]

    @property
    def first(self) -> Cylinder | None:
        """The cylinder with the highest ratio, the first to knock; None where no ratio can be worked out."""
        known = [c for c in self.spec.planned.cylinders if RATIO in c.values]
        return max(known, key=lambda c: c.values[RATIO].nominal, default=None)

    @property
    def final(self) -> bool:
        """Whether nothing stands open."""
        return not self.open

    def to_dict(self) -> dict[str, Any]:
        """Plain data, SI, each number with its printed text."""
        return to_dict(self)


def order_of(survey: Survey, system: str | None = None) -> Order:
    """The piston order of a job, in the units asked for (else the job's own)."""
    shown = system or survey.job.system
    spec = specify(survey)
    made = rows(spec, shown)
    order = Order(
        spec=spec, system=shown, rows=made, mistakes=(), checks=to_confirm(spec, shown), open=open_points(spec, made)
    )
    free = spec.order.get("free_thickness")
    if order.first is None:
        return order
    found = mistakes(order.first, free_thickness=free.nominal if free else None)
    return Order(spec=spec, system=shown, rows=made, mistakes=found, checks=order.checks, open=order.open)


def worst_text(spec: Specification, cylinder: int, system: str) -> str:
    """The ratio from its lowest to its highest with every limit reached at once, "" where it is not known."""
    worst = spec.worst.get(cylinder)
    if worst is None or math.isnan(worst.low):
        return ""
    return " to ".join(show(RATIO, end, system=system) for end in (worst.low, worst.high))


def counted(order: Order) -> str:
    """What was counted in the sum, in words."""
    choices = order.spec.planned.cylinders[0].choices
    said = [
        f"{name} {'counted' if on else 'not counted'}"
        for name, on in (("top-land crevice", choices.crevice), ("bore chamfer", choices.chamfer))
    ]
    return f"Counted: chamber, compressed gasket, deck, net crown; {', '.join(said)}."


def to_dict(order: Order) -> dict[str, Any]:
    """The order as plain data for JSON, SI, each number with its printed text."""
    spec, system = order.spec, order.system
    return {
        "format": 1,
        "final": order.final,
        "open": list(order.open),
        "convention": CONVENTION,
        "ordered": {key: _ordered(spec, key, system) for key in spec.ordered()},
        "crown": _crown(spec, system),
        "counted": counted(order),
        "cylinders": [_cylinder(c, spec, system) for c in spec.planned.cylinders],
        "fields": [_field(row) for row in order.rows],
        "mistakes": {
            "cylinder": order.first.number if order.first else None,
            "rows": [_mistake(one, system) for one in order.mistakes],
        },
        "to_confirm": [one.to_dict() for one in order.checks],
        "cautions": cautions(CAUTIONS),
    }


def _ordered(spec: Specification, key: str, system: str) -> dict[str, Any]:
    one = spec.ordered()[key]
    found = Value(key=key, number=one.found, origin=one.origin)
    return {
        "name": term(key).name,
        "value": one.value,
        "text": ordered_text(one, system),
        "worked_out": found.nominal,
        "worked_out_expanded_uncertainty": known(found.expanded),
        "tolerance": one.tolerance.size,
        "tolerance_text": said_tolerance(key, one.tolerance.size, system),
        "tolerance_from": one.tolerance.how or one.tolerance.reason,
        "origin": one.origin,
        "how": one.how,
    }


def _crown(spec: Specification, system: str) -> dict[str, Any]:
    shape = spec.shape
    return {
        "shape": shape.shape,
        "sizes": {key: {"value": size, "text": show(key, size, system=system)} for key, size in shape.sizes.items()},
        "worked_out": shape.solved,
        "adds": {
            name: {"value": shape.hollow.get(name, shape.net), "text": text}
            for name, text in hollow_texts(shape, system).items()
        },
        "net": shape.net,
        "faults": list(shape.faults),
    }


def _cylinder(cylinder: Cylinder, spec: Specification, system: str) -> dict[str, Any]:
    """What one cylinder has with the ordered piston in it."""
    keys = (RATIO, "squish", "deck_clearance", "clearance_volume")
    worst = spec.worst.get(cylinder.number)
    return {
        "cylinder": cylinder.number,
        "values": {
            key: {
                "value": v.nominal,
                "expanded_uncertainty": known(v.expanded),
                "text": show_value(v, system=system),
                "wanted": decide(v.nominal, v.expanded, band).value if (band := spec.survey.wanted.get(key)) else None,
            }
            for key in keys
            if (v := cylinder.values.get(key)) is not None
        },
        "ratio_worst_case": None if worst is None else [known(worst.low), known(worst.high)],
        "ratio_worst_case_text": worst_text(spec, cylinder.number, system),
    }


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


def _mistake(one: Mistake, system: str) -> dict[str, Any]:
    return {"key": one.key, "text": told(one, system), **mistake_texts(one, system), "ratio": one.ratio,
            "squish": one.squish, "crown_volume": one.crown, "assumed": one.assumed}  # fmt: skip


def mistake_texts(one: Mistake, system: str) -> Mapping[str, str]:
    """The three numbers of a mistake as printed."""
    return {
        "ratio_text": "" if one.ratio is None else show(RATIO, one.ratio, system=system),
        "squish_text": "" if one.squish is None else show("squish", one.squish, system=system),
        "crown_text": show("crown_volume", one.crown, system=system, decimals=1),
    }
