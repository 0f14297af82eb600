"""A machining plan as plain data for JSON: SI numbers with their ±, and the words that go with them."""

from __future__ import annotations

from typing import Any

from ccassist.bench.cautions import cautions
from ccassist.plan.machining.changes import Machined, Plan
from ccassist.plan.machining.words import caution_keys, consequences, order_of_work
from ccassist.values.judge import verdicts
from ccassist.values.measured import Number, computed, nominal
from ccassist.values.plain import value_to_dict

SHOWN = (
    "chamber_volume",
    "gasket_volume",
    "deck_clearance",
    "deck_volume",
    "squish",
    "clearance_volume",
    "static_ratio",
)
WHERE_MOVED = ("gasket_volume", "deck_volume")


def to_dict(plan: Plan, system: str) -> dict[str, Any]:
    """The whole plan."""
    return {
        "cylinders": [_row(row, plan, system) for row in plan.rows],
        "asked_alone": {str(n): _number("face_cut", cut, system) for n, cut in plan.alone.items()},
        "consequences": consequences(plan, system),
        "order_of_work": order_of_work(plan, system),
        "cautions": cautions(caution_keys(plan)),
        "findings": [f.to_dict() for f in plan.findings],
    }


def keys_shown(row: Machined) -> list[str]:
    """The terms known before and after; of the parts of a sum only those that move."""
    changes = {key: change for key in SHOWN if (change := row.change(key)) is not None}
    return [key for key, change in changes.items() if key not in WHERE_MOVED or change.nominal != 0]


def _row(row: Machined, plan: Plan, system: str) -> dict[str, Any]:
    cuts = row.cuts
    depths = {"flat": cuts.skim, "tilted_at_centroid": cuts.tilt, "deck": cuts.deck, "gasket_thinner": cuts.thinner}
    return {
        "cylinder": row.number,
        "cuts": {name: nominal(depth) for name, depth in depths.items()},
        "approach": nominal(cuts.approach),
        "opened": _number("correction", cuts.opened, system),
        "taken": _number("fill_volume", cuts.taken, system),
        "reckoned_by": cuts.how,
        "values": {key: _moved(row, key, system) for key in keys_shown(row)},
        "wanted": verdicts(row.after.values, plan.survey.wanted),
    }


def _moved(row: Machined, key: str, system: str) -> dict[str, Any]:
    change = row.change(key)
    assert change is not None  # the key was chosen for that
    moved = value_to_dict(change, system)
    del moved["text"]  # a change bears no sign words
    return {
        "before": value_to_dict(row.before.values[key], system),
        "after": value_to_dict(row.after.values[key], system),
        "change": moved,
    }


def _number(key: str, number: Number, system: str) -> dict[str, Any]:
    return value_to_dict(computed(key, number), system)
