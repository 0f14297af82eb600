"""The valves against the crown to be ordered, at their worst: contact, and the least gap wanted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import sin

from ccassist.analysis.results import Survey
from ccassist.plan.expected import reach
from ccassist.plan.piston.fits_case import Fault, FitCase, Told, Unseen
from ccassist.plan.valves.cam_card import VALVES
from ccassist.plan.valves.room import PocketNeeded, ValveRoom, valve_room
from ccassist.values.display import Formatter
from ccassist.values.findings import Finding, listed, note, warning
from ccassist.values.measured import Value
from ccassist.values.number import nominal
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term

# Valves against the piston to be ordered: the least gap with its pockets, and the pockets that the gap asks for.

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


def valves_to_confirm(planned: Survey, fmt: Formatter) -> Iterator[Finding]:
    """What the cam and the valves say about the pockets, as questions to the maker."""
    for room in ordered_rooms(planned).values():
        yield from _of_one(room, fmt)


def _of_one(room: ValveRoom, fmt: Formatter) -> Iterator[Finding]:
    if room.lacking or room.worst is None:
        names = ", ".join(dict.fromkeys(term(key).name for key in room.lacking)) or "the lift curve"
        yield note(
            "valve-room", f"{room.valve} valve against the piston cannot be told: not given: {names}", right=MOCK_UP
        )
        return
    gap = f"{room.valve} valve: least gap {fmt.value(room.worst.gap)}"
    if room.wanted is None:
        yield note("valve-room", f"{gap}; no least gap is asked", right=f"say what is wanted, and {MOCK_UP}")
    else:
        wrong = f"{gap}, at least {fmt.value(room.wanted)} asked: {_judged(room)}"
        told = note if room.verdict is Verdict.INSIDE else warning
        yield told("valve-room", wrong, right=MOCK_UP)
    if room.pocket is None:
        return
    wrong = f"the gap asked needs an {room.valve} pocket {_pocket(room.pocket, fmt)}"
    held = room.verdict is Verdict.INSIDE
    right = "the pocket ordered holds it" if held else "order it so, or more, or settle another gap; the maker confirms"
    yield (note if held else warning)("valve-pocket", wrong, right=right)
    if room.pocket.runs_out:
        wrong = f"that {room.valve} pocket reaches past the edge of the crown"
        yield warning("valve-pocket", wrong, right="settle it with the maker")


def _pocket(pocket: PocketNeeded, fmt: Formatter) -> str:
    """Where its floor lies: of a tilted one only the deep side may lie below the crown."""
    depth = pocket.depth
    spread = depth.expanded or None
    said = f"with the middle of its floor {fmt.show(depth.key, depth.nominal, spread)}, along the valve"
    if pocket.edge is not None:
        said += f", its deepest edge {fmt.value(pocket.edge)} below it"
    if pocket.diameter is not None:
        said += f", {fmt.value(pocket.diameter)} across"
    return said


def _judged(room: ValveRoom) -> str:
    """How the nearest stands to what is asked; the lift curve, where it was not read, is only assumed."""
    said = "cannot tell" if room.verdict is None else room.verdict.value
    return said if room.measured else f"{said}, from an assumed lift curve"


def valves(case: FitCase) -> Iterator[Told]:
    """Every valve of the job; that there is none is said."""
    rooms = ordered_rooms(case.spec.planned)
    absent = [valve for valve in VALVES if valve not in rooms]
    if absent:
        lacks = "no cam and no valve is given" if len(absent) == len(VALVES) else f"no {absent[0]} valve is given"
        yield Unseen(f"{listed(absent)} valve against the piston", lacks)
    for room in rooms.values():
        yield from _room(case, room)
    if not case.spec.shape.pockets:
        yield Unseen("valve pockets", "none are ordered")


def _room(case: FitCase, room: ValveRoom) -> Iterator[Told]:
    if room.lacking or room.worst is None:
        names = listed([term(key).name for key in dict.fromkeys(room.lacking)]) or "the lift curve"
        yield Unseen(f"{room.valve} valve against the piston", f"not given: {names}")
        return
    if _height_unknown(case, room.valve):
        wrong = f"the crown is not flat and its height under the {room.valve} valve is not given: its gap is not known"
        yield Fault("valve_crown", wrong)
        return
    least = min(reach(one.gap.number).low for one in room.nearest) - _tilted(case, room.valve)
    said = case.told("valve_gap", least)
    cylinder = room.worst.cylinder
    if least < 0:
        wrong = f"the {room.valve} valve goes into the crown in cylinder {cylinder}: {said} at its worst"
        yield Fault("valve_contact", wrong)
    else:
        yield from _wanted(case, room, least, said)
    yield from _rim(case, room)


def _height_unknown(case: FitCase, valve: str) -> bool:
    """Whether a dome may stand under the valve without its height being said."""
    domed = case.spec.crown is not None and case.spec.crown.value < 0
    domed = domed or "dome" in case.spec.shape.hollow
    return domed and "crown_at_valve" not in case.spec.survey.stated.get(f"valve.{valve}", {})


def _tilted(case: FitCase, valve: str) -> float:
    """What a pocket that does not lie square to the stem takes from the gap at the valve's rim, SI."""
    pocket = case.spec.shape.pockets.get(valve)
    stands = case.spec.survey.stated.get(f"valve.{valve}", {})
    if pocket is None or not {"valve_angle", "valve_diameter"} <= set(stands):
        return 0.0
    return stands["valve_diameter"].nominal / 2 * sin(abs(pocket.tilt - stands["valve_angle"].nominal))


def _wanted(case: FitCase, room: ValveRoom, least: float, said: str) -> Iterator[Told]:
    if room.wanted is None:
        yield Unseen(f"least gap of the {room.valve} valve", f"none is wanted; at its worst it is {said}")
        return
    wanted = case.said("valve_gap", room.wanted.nominal)
    if least < room.wanted.nominal:
        near = case.short("valve_gap", least, room.wanted.nominal, words=True)
        wrong = f"the {room.valve} valve comes as near as {near} at its worst; at least {wanted} is wanted"
        yield Fault("valve_gap", wrong)
    elif not room.measured:
        wrong = f"the gap of the {room.valve} valve, {said}, is only from an assumed lift curve"
        yield Fault("valve_gap", wrong, right="read the lift about overlap; or accept it with a reason")
    elif any(one.at_end for one in room.nearest):
        wrong = f"the gap of the {room.valve} valve still falls where its lift readings end"
        yield Fault("valve_gap", wrong, right="read on past it; or accept it with a reason")


def _rim(case: FitCase, room: ValveRoom) -> Iterator[Told]:
    """The valve's rim against the wall of its pocket, which may be cut aside of the valve."""
    if room.radial is None:
        return
    stands, pocket = case.spec.survey.stated[f"valve.{room.valve}"], case.spec.shape.pockets.get(room.valve)
    aside = 0.0
    if pocket is not None and pocket.offset is not None and "valve_offset" in stands:
        aside = abs(pocket.offset - stands["valve_offset"].nominal)
    else:
        yield Unseen(
            f"place of the {room.valve} pocket against its valve",
            f"not given: {term('pocket_offset').name} or {term('valve_offset').name}",
        )
    least = reach(room.radial.number).low - aside
    if least < 0:
        wrong = f"the rim of the {room.valve} valve meets the wall of its pocket: {case.told('radial_gap', least)}"
        yield Fault("valve_contact", wrong)
    elif room.wanted_radial is not None and least < nominal(room.wanted_radial.number):
        wanted = case.said("radial_gap", room.wanted_radial.nominal)
        near = case.short("radial_gap", least, room.wanted_radial.nominal, words=True)
        yield Fault("valve_gap", f"the rim of the {room.valve} valve has {near}; at least {wanted} is wanted")
