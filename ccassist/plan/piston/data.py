"""A piston order as plain data for JSON, SI, each number with its printed text."""

from __future__ import annotations

from typing import Any

from ccassist.analysis.cylinder import Cylinder
from ccassist.bench.cautions import cautions
from ccassist.job.sections.order_checks import CHECKS
from ccassist.plan.piston.crown import hollow_texts
from ccassist.plan.piston.fields import Row
from ccassist.plan.piston.mistakes import Mistake, mistake_texts, told
from ccassist.plan.piston.order import CAUTIONS, CONVENTION, Order, counted, worst_text
from ccassist.plan.piston.specification import RATIO, Specification
from ccassist.plan.piston.written import ordered_text, said_tolerance
from ccassist.plan.tolerance.worst import Span
from ccassist.values.display import show, show_value
from ccassist.values.ground import ground_to_dict
from ccassist.values.judge import decide
from ccassist.values.measured import Value
from ccassist.values.plain import known
from ccassist.vocabulary import term


def to_dict(order: Order) -> dict[str, Any]:
    """The order as plain data for JSON, SI, each number with its printed text."""
    spec, system = order.spec, order.system
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
    worst = spec.worst.get(cylinder.number, {}) if spec.held else {}
    ratio = worst.get(RATIO)
    return {
        "cylinder": cylinder.number,
        "values": {
            key: {
                "value": v.nominal,
                "expanded_uncertainty": known(v.expanded),
                **ground_to_dict(v.number),
                "text": show_value(v, system=system),
                "worst_case": _span(worst.get(key)),
                "wanted": decide(v.nominal, v.expanded, band).value if (band := spec.survey.wanted.get(key)) else None,
            }
            for key in keys
            if (v := cylinder.values.get(key)) is not None
        },
        "ratio_worst_case": _span(ratio),
        "ratio_worst_case_text": worst_text(spec, cylinder.number, system),
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


def _mistake(one: Mistake, system: str) -> dict[str, Any]:
    return {"key": one.key, "text": told(one, system), **mistake_texts(one, system), "ratio": one.ratio,
            "squish": one.squish, "crown_volume": one.crown, "assumed": one.assumed}  # fmt: skip
