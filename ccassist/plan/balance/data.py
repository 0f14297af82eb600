"""The plan of a balance as plain data for JSON, SI."""

from __future__ import annotations

from typing import Any

from ccassist.plan.balance.alike import Balance
from ccassist.plan.balance.parts import Move, Swap
from ccassist.values.ground import ground_to_dict
from ccassist.values.measured import expand, nominal
from ccassist.values.plain import known
from ccassist.values.spread import Spread, is_shown


def move_text(move: Move, swap: Swap) -> str:
    """One move, such as "piston 3 with rod 1 to hole 2"."""
    if not swap.rods:
        return f"piston {move.piston} to hole {move.hole}"
    if not swap.pistons:
        return f"rod {move.rod} to hole {move.hole}"
    return f"piston {move.piston} with rod {move.rod} to hole {move.hole}"


def to_dict(plan: Balance) -> dict[str, Any]:
    """The plan as plain data, SI; a ± that is not known yet is null."""
    return {
        "of": plan.key,
        "largest": plan.largest,
        "openings": [
            {
                "cylinder": o.cylinder,
                "value": nominal(o.amount),
                "expanded_uncertainty": known(o.expanded),
                **ground_to_dict(o.amount),
                "shown": o.shown,
                "first_cut": o.first_cut,
            }
            for o in plan.openings
        ],
        "spread": _spread(plan.spread),
        "swap": None if plan.swap is None else _swap(plan.swap),
        "skim": None
        if plan.skim is None
        else {"volume": _number(plan.skim.volume), "cut": None if plan.skim.cut is None else _number(plan.skim.cut)},
    }


def _number(value: object) -> dict[str, Any]:
    return {"value": nominal(value), "expanded_uncertainty": known(expand(value).expanded), **ground_to_dict(value)}


def _spread(spread: Spread) -> dict[str, Any]:
    least = known(spread.expanded)
    return {
        "of": spread.key,
        "largest": spread.high,
        "smallest": spread.low,
        "value": nominal(spread.difference),
        "expanded_uncertainty": least,
        **ground_to_dict(spread.difference),
        "picked_from": spread.count,
        "judged_by": "studentized range" if spread.count > 2 else "Student's t",
        "shown": is_shown(spread) if least is not None else None,
        "least_that_can_be_shown": least or None,
    }


def _swap(swap: Swap) -> dict[str, Any]:
    return {
        "of": swap.key,
        "helps": swap.helps,
        "piston_of_hole": {str(m.hole): m.piston for m in swap.moves},
        "rod_of_hole": {str(m.hole): m.rod for m in swap.moves},
        "moves": [move_text(m, swap) for m in swap.moves if not m.stays],
        "before": _spread(swap.before),
        "after": _spread(swap.after),
        "proved_best": swap.proved,
        "cannot_be_under": swap.floor,
    }
