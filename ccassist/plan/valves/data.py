"""The cam card and the valves against the pistons as plain data for JSON, SI."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ccassist.plan.valves.cam_card import CamCard
from ccassist.plan.valves.pocket import Pocket
from ccassist.plan.valves.room import ValveRoom
from ccassist.plan.valves.table import table_of
from ccassist.values.findings import Finding
from ccassist.values.plain import perhaps_to_dict, value_to_dict


def cam_to_dict(
    card: CamCard, rooms: Mapping[str, ValveRoom], angles: Sequence[float], system: str, findings: Iterable[Finding]
) -> dict[str, Any]:
    """Everything of the cam; every event with the lift at which it holds."""
    reaches = {key: card.reach(key) for key in card.values if key.split("_")[1] in ("opening", "closing")}
    return {
        "format": 1,
        "lift_basis": card.lift_basis,
        "event_lift": perhaps_to_dict(card.event_lift, system),
        "card": {key: {**value_to_dict(v, system), "at": card.lift_basis} for key, v in card.values.items()},
        "not_worked_out": list(card.lacking),
        "phasing": {
            key: {"earliest": value_to_dict(r.earliest, system), "latest": value_to_dict(r.latest, system)}
            for key, r in reaches.items()
            if r is not None
        },
        "valves": {valve: room_to_dict(room, angles, system) for valve, room in rooms.items()},
        "findings": [f.to_dict() for f in findings],
    }


def room_to_dict(room: ValveRoom, angles: Sequence[float], system: str) -> dict[str, Any]:
    """One valve against the pistons."""
    worst, place = room.worst, room.worst_place
    return {
        "lobe_lift": perhaps_to_dict(room.lifts.lobe, system),
        "valve_lift": perhaps_to_dict(room.lifts.valve, system),
        "lift_curve": ("read" if room.measured else "assumed, for planning only") if room.places else None,
        "not_given": list(room.lacking),
        "nearest": [
            {
                "cylinder": one.cylinder,
                "gap": value_to_dict(one.gap, system),
                "crank_after_tdc": one.crank,
                "advanced": one.phase,
                "lift": one.lift,
                "piston_drop": one.drop,
                "lift_readings_end_there": one.at_end,
            }
            for one in room.nearest
        ],
        "nearest_of_all": worst.cylinder if worst else None,
        "wanted_gap": perhaps_to_dict(room.wanted, system),
        "verdict": room.verdict.value if room.verdict else None,
        "radial": perhaps_to_dict(room.radial, system),
        "wanted_radial": perhaps_to_dict(room.wanted_radial, system),
        "radial_verdict": room.radial_verdict.value if room.radial_verdict else None,
        "pocket_made": perhaps_to_dict(room.made, system),
        "pocket_needed": room.needed,
        "pocket": pocket_to_dict(room.pocket, system) if room.pocket else None,
        "table": [vars(row) for row in table_of(place, angles)] if place else [],
    }


def pocket_to_dict(pocket: Pocket, system: str) -> dict[str, Any]:
    """A pocket that is needed."""
    return {
        "along_valve": value_to_dict(pocket.along, system),
        "along_valve_to_be_sure": pocket.sure,
        "middle": value_to_dict(pocket.depth, system),
        "deepest_edge": perhaps_to_dict(pocket.edge, system),
        "diameter": perhaps_to_dict(pocket.diameter, system),
        "volume": perhaps_to_dict(pocket.volume, system),
        "runs_out_over_the_edge": pocket.runs_out,
    }
