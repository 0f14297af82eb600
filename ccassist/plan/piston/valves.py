"""Valves against the piston to be ordered: the least gap with its pockets, and the pockets that the gap asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ccassist.analysis.results import Survey
from ccassist.plan.valves.pocket import Pocket
from ccassist.plan.valves.room import ValveRoom, valve_room
from ccassist.values.display import show, show_value
from ccassist.values.findings import Finding, note, warning
from ccassist.values.judge import Verdict
from ccassist.values.measured import Value
from ccassist.vocabulary import term

MOCK_UP = "check valve to piston at mock-up, about overlap and over every cam phasing"


_OLD = ("pocket_depth", "pocket_diameter")  # of the pistons there are now: what is ordered has its own pockets, or none


def ordered_rooms(planned: Survey) -> dict[str, ValveRoom]:
    """Every valve over the pistons ordered; ``planned`` has them in every cylinder.

    Pockets stated with a valve are those of the pistons there are now: only those of the order count.  So is a crown
    that lies below its flat there, unless a dish is ordered.
    """
    dished = "dish" in planned.job.said.get("order.crown", {}).get("shape", "")
    stated = {
        name: {key: value for key, value in values.items() if not name.startswith("valve.") or _counts(value, dished)}
        for name, values in planned.stated.items()
    }
    return valve_room(replace(planned, stated=stated))


def _counts(value: Value, dished: bool) -> bool:
    """Whether what is stated with a valve can be of the pistons ordered: no pocket, a hollow only in a dished one."""
    return value.key not in _OLD and not (value.key == "crown_at_valve" and value.nominal > 0 and not dished)


def valves_to_confirm(planned: Survey, system: str) -> Iterator[Finding]:
    """What the cam and the valves say about the pockets, as questions to the maker."""
    for room in ordered_rooms(planned).values():
        yield from _of_one(room, system)


def _of_one(room: ValveRoom, system: str) -> Iterator[Finding]:
    if room.lacking or room.worst is None:
        names = ", ".join(dict.fromkeys(term(key).name for key in room.lacking)) or "the lift curve"
        yield note(
            "valve-room", f"{room.valve} valve against the piston cannot be told: not given: {names}", right=MOCK_UP
        )
        return
    gap = f"{room.valve} valve: least gap {show_value(room.worst.gap, system=system)}"
    if room.wanted is None:
        yield note("valve-room", f"{gap}; no least gap is asked", right=f"say what is wanted, and {MOCK_UP}")
    else:
        wrong = f"{gap}, at least {show_value(room.wanted, system=system)} asked: {_judged(room)}"
        told = note if room.verdict is Verdict.INSIDE else warning
        yield told("valve-room", wrong, right=MOCK_UP)
    if room.pocket is None:
        return
    wrong = f"the gap asked needs an {room.valve} pocket {_pocket(room.pocket, system)}"
    held = room.verdict is Verdict.INSIDE
    right = "the pocket ordered holds it" if held else "order it so, or more, or settle another gap; the maker confirms"
    yield (note if held else warning)("valve-pocket", wrong, right=right)
    if room.pocket.runs_out:
        yield warning(
            "valve-pocket",
            f"that {room.valve} pocket reaches past the edge of the crown",
            right="settle it with the maker",
        )


def _pocket(pocket: Pocket, system: str) -> str:
    """Where its floor lies: of a tilted one only the deep side may lie below the crown."""
    depth = pocket.depth
    spread = depth.expanded or None
    shown = show(depth.key, abs(depth.nominal), spread, system=system)
    below = depth.nominal >= 0
    said = f"with the middle of its floor {shown} {'below' if below else 'ABOVE'} the crown flat, along the valve"
    if pocket.edge is not None:
        said += f", its deepest edge {show_value(pocket.edge, system=system)} below it"
    if pocket.diameter is not None:
        said += f", {show_value(pocket.diameter, system=system)} across"
    return said


def _judged(room: ValveRoom) -> str:
    """How the nearest stands to what is asked; the lift curve, where it was not read, is only assumed."""
    said = "cannot tell" if room.verdict is None else room.verdict.value
    return said if room.measured else f"{said}, from an assumed lift curve"
