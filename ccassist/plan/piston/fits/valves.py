"""The valves against the crown to be ordered, at their worst: contact, and the least gap wanted."""

from __future__ import annotations

from collections.abc import Iterator
from math import sin

from ccassist.analysis.wording import listed
from ccassist.plan.piston.fits.case import Case, Fault, Told, Unseen
from ccassist.plan.piston.valves import ordered_rooms
from ccassist.plan.tolerance.worst import reach
from ccassist.plan.valves.cam_card import VALVES
from ccassist.plan.valves.room import ValveRoom
from ccassist.values.measured import nominal
from ccassist.vocabulary import term


def valves(case: Case) -> Iterator[Told]:
    """Every valve of the job; that there is none is said."""
    rooms = ordered_rooms(case.spec.planned)
    absent = [valve for valve in VALVES if valve not in rooms]
    if absent:
        lacks = "no cam and no valve is given" if len(absent) == len(VALVES) else f"no {absent[0]} valve is given"
        yield Unseen(what=f"{listed(absent)} valve against the piston", lacks=lacks)
    for room in rooms.values():
        yield from _room(case, room)
    if not case.spec.shape.pockets:
        yield Unseen(what="valve pockets", lacks="none are ordered")


def _room(case: Case, room: ValveRoom) -> Iterator[Told]:
    if room.lacking or room.worst is None:
        names = listed([term(key).name for key in dict.fromkeys(room.lacking)]) or "the lift curve"
        yield Unseen(what=f"{room.valve} valve against the piston", lacks=f"not given: {names}")
        return
    if _height_unknown(case, room.valve):
        wrong = f"the crown is not flat and its height under the {room.valve} valve is not given: its gap is not known"
        yield Fault(key="valve_crown", wrong=wrong)
        return
    least = min(reach(one.gap.number).low for one in room.nearest) - _tilted(case, room.valve)
    said = case.told("valve_gap", least)
    cylinder = room.worst.cylinder
    if least < 0:
        wrong = f"the {room.valve} valve goes into the crown in cylinder {cylinder}: {said} at its worst"
        yield Fault(key="valve_contact", wrong=wrong)
    else:
        yield from _wanted(case, room, least, said)
    yield from _rim(case, room)


def _height_unknown(case: Case, valve: str) -> bool:
    """Whether a dome may stand under the valve without its height being said."""
    domed = case.spec.crown is not None and case.spec.crown.value < 0
    domed = domed or "dome" in case.spec.shape.hollow
    return domed and "crown_at_valve" not in case.spec.survey.stated.get(f"valve.{valve}", {})


def _tilted(case: Case, valve: str) -> float:
    """What a pocket that does not lie square to the stem takes from the gap at the valve's rim, SI."""
    pocket = case.spec.shape.pockets.get(valve)
    stands = case.spec.survey.stated.get(f"valve.{valve}", {})
    if pocket is None or not {"valve_angle", "valve_diameter"} <= set(stands):
        return 0.0
    return stands["valve_diameter"].nominal / 2 * sin(abs(pocket.tilt - stands["valve_angle"].nominal))


def _wanted(case: Case, room: ValveRoom, least: float, said: str) -> Iterator[Told]:
    if room.wanted is None:
        yield Unseen(what=f"least gap of the {room.valve} valve", lacks=f"none is wanted; at its worst it is {said}")
        return
    wanted = case.said("valve_gap", room.wanted.nominal)
    if least < room.wanted.nominal:
        near = case.short("valve_gap", least, room.wanted.nominal, words=True)
        wrong = f"the {room.valve} valve comes as near as {near} at its worst; at least {wanted} is wanted"
        yield Fault(key="valve_gap", wrong=wrong)
    elif not room.measured:
        wrong = f"the gap of the {room.valve} valve, {said}, is only from an assumed lift curve"
        yield Fault(key="valve_gap", wrong=wrong, right="read the lift about overlap; or accept it with a reason")
    elif any(one.at_end for one in room.nearest):
        wrong = f"the gap of the {room.valve} valve still falls where its lift readings end"
        yield Fault(key="valve_gap", wrong=wrong, right="read on past it; or accept it with a reason")


def _rim(case: Case, room: ValveRoom) -> Iterator[Told]:
    """The valve's rim against the wall of its pocket, which may be cut aside of the valve."""
    if room.radial is None:
        return
    stands, pocket = case.spec.survey.stated[f"valve.{room.valve}"], case.spec.shape.pockets.get(room.valve)
    aside = 0.0
    if pocket is not None and pocket.offset is not None and "valve_offset" in stands:
        aside = abs(pocket.offset - stands["valve_offset"].nominal)
    else:
        yield Unseen(
            what=f"place of the {room.valve} pocket against its valve",
            lacks=f"not given: {term('pocket_offset').name} or {term('valve_offset').name}",
        )
    least = reach(room.radial.number).low - aside
    if least < 0:
        wrong = f"the rim of the {room.valve} valve meets the wall of its pocket: {case.told('radial_gap', least)}"
        yield Fault(key="valve_contact", wrong=wrong)
    elif room.wanted_radial is not None and least < nominal(room.wanted_radial.number):
        wanted = case.said("radial_gap", room.wanted_radial.nominal)
        near = case.short("radial_gap", least, room.wanted_radial.nominal, words=True)
        wrong = f"the rim of the {room.valve} valve has {near}; at least {wanted} is wanted"
        yield Fault(key="valve_gap", wrong=wrong)
