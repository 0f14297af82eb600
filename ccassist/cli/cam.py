"""``ccassist cam``: the cam card, the lifts, and the valves against the pistons."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from ccassist.cli.screen import list_findings, say, say_json, table, wrapped
from ccassist.display import amount, show, show_value
from ccassist.findings import InputError, clean, error, errors, placed
from ccassist.judge import Verdict
from ccassist.measured import Value
from ccassist.plan.valves.cam import cam_of
from ccassist.plan.valves.cam_card import VALVES, CamCard
from ccassist.plan.valves.pocket import Pocket
from ccassist.plan.valves.room import ValveRoom
from ccassist.plan.valves.table import TableRow, angles_about, table_of
from ccassist.quantity import read_amount
from ccassist.results import survey_of
from ccassist.terms import Kind, term

_ROWS = 400
_HAIR = 1e-9
_FINEST, _WIDEST = math.radians(0.1), math.radians(90.0)


def run(file: Path, *, around: str, every: str, system: str | None, as_json: bool) -> int:
    """Print everything of the cam; 1 where an asked minimum fails or statements contradict each other."""
    angles = _angles(around, every)
    survey = survey_of(file)
    shown = system or survey.job.system
    cam = cam_of(survey, shown)
    if as_json:
        say_json(cam.to_dict(shown, angles))
    else:
        _print(cam.card, cam.rooms, angles, shown)
        if cam.findings:
            say()
            list_findings(cam.findings)
        say()
        for caution in cam.cautions:
            wrapped(caution)
    return 1 if errors(cam.findings) or cam.fails else 0


def _angles(around: str, every: str) -> list[float]:
    """The crank angles of the table."""
    with placed("--around"):
        reach = read_amount(around, Kind.ANGLE, name="angle about top dead centre")
    with placed("--every"):
        step = read_amount(every, Kind.ANGLE, name="step of the table")
    if not _FINEST <= step <= _WIDEST:
        raise InputError(
            error("bad-step", "no step of a table", read=every, right="say 0.1 to 90 deg", place="--every")
        )
    if not 0 <= reach <= _WIDEST or reach / step > _ROWS / 2:
        wrong = f"the table would not end, or have more than {_ROWS} rows"
        raise InputError(error("bad-span", wrong, read=around, right="say up to 90 deg", place="--around"))
    return angles_about(reach, step)


def _print(card: CamCard, rooms: Mapping[str, ValveRoom], angles: Sequence[float], system: str) -> None:
    _print_card(card, system)
    for room in rooms.values():
        say()
        _print_room(room, card, system)
    _print_table(rooms, angles, system)


def _print_card(card: CamCard, system: str) -> None:
    if not card.given:
        say("No events, durations or centrelines are given.")
        return
    wrapped(f"Cam card, as installed, every figure {card.lift_basis}:")
    for key, value in card.values.items():
        how = "" if value.origin != "computed" else ", worked out"
        say(f"  {term(key).name:<20} {show_value(value, system=system)}{how}")
    if card.lacking:
        wrapped(f"Not worked out: {', '.join(term(key).name for key in card.lacking)}.", rest="  ")
    for valve in VALVES:
        if card.phased(valve):
            _print_reach(card, valve, system)
    overlap = card.overlap_reach()
    if overlap and any(card.phased(valve) for valve in VALVES):
        least, most = (show_value(value, system=system) for value in overlap)
        wrapped(f"Overlap over the whole phasing: {least} to {most}.", rest="  ")


def _print_reach(card: CamCard, valve: str, system: str) -> None:
    """Where phasing brings one valve's events."""
    for what in ("opening", "closing"):
        reach = card.reach(f"{valve}_{what}")
        if reach is not None:
            ends = [show_value(value, system=system) for value in (reach.earliest, reach.latest)]
            wrapped(f"{valve.capitalize()} {what} by phasing: {ends[0]} (earliest) to {ends[1]} (latest).", rest="  ")


def _print_room(room: ValveRoom, card: CamCard, system: str) -> None:
    say(f"{room.valve.capitalize()} valve")
    for value in (room.lifts.lobe, room.lifts.valve):
        if value is not None:
            wrapped(f"{term(value.key).name}: {show_value(value, system=system)} ({clean(value.how)})", first="  ")
    if room.lifts.lacking and room.lifts.lobe is not None:
        wrapped(f"valve lift not worked out: not given {_names(room.lifts.lacking)}", first="  ", rest="    ")
    worst = room.worst
    if worst is None:
        lack = f": not given {_names(room.lacking)}" if room.lacking else ""
        wrapped(f"gap to the piston not worked out{lack}", first="  ", rest="    ")
        return
    if not room.measured:
        wrapped(
            "The lift curve is ASSUMED from the largest lift and the events: for planning only, never a final "
            "clearance. Read the lifts every 2 to 5 degrees.",
            first="  ",
            rest="  ",
        )
    _print_gap(room, card, system)
    _print_pocket(room, system)


def _names(keys: Sequence[str]) -> str:
    return ", ".join(term(key).name for key in keys)


def _print_gap(room: ValveRoom, card: CamCard, system: str) -> None:
    worst = room.worst
    assert worst is not None
    phase = f", {_phase(worst.phase, system)}" if card.phased(room.valve) else ""
    where = f"{show('crank_angle', worst.crank, system=system)}{phase}"
    made = f", in {room.made.how}" if room.made is not None else ""
    wrapped(
        f"least gap to the piston, along the valve: {show_value(worst.gap, system=system)}, cylinder "
        f"{worst.cylinder}, {where}{made}",
        first="  ",
        rest="    ",
    )
    if len(room.nearest) > 1:
        others = ", ".join(
            f"{one.cylinder}: {amount('valve_gap', one.gap.nominal, system=system)}" for one in room.nearest
        )
        wrapped(f"by cylinder, {_unit(system)}: {others}", first="  ", rest="    ")
    wrapped(_asked("wanted_valve_gap", room.wanted, room.verdict, system), first="  ", rest="    ")
    if room.radial is not None:
        rim = f"rim to the pocket's wall: {show_value(room.radial, system=system)}. "
        asked = _asked("wanted_radial_gap", room.wanted_radial, room.radial_verdict, system)
        wrapped(rim + asked, first="  ", rest="    ")


def _phase(phase: float, system: str) -> str:
    """The phasing in words."""
    return "phased as read" if abs(phase) < _HAIR else f"phased {show('cam_advance', phase, system=system)}"


def _asked(key: str, wanted: Value | None, verdict: Verdict | None, system: str) -> str:
    """How a gap stands to what is asked."""
    if wanted is None or verdict is None:
        return f"No least gap is asked, so none is judged: say {key} (the cam grinder's and piston maker's figure)."
    least = show(key, wanted.nominal, system=system)
    said = {
        Verdict.INSIDE: "held",
        Verdict.OUTSIDE: "NOT HELD",
        Verdict.CANNOT_TELL: "CANNOT BE TOLD from this: take it as not held",
    }
    return f"Asked at least {least}: {said[verdict]}."


def _print_pocket(room: ValveRoom, system: str) -> None:
    if room.needed is None:
        return
    if room.pocket is None:
        wrapped("No pocket is needed for the gap asked.", first="  ")
        return
    pocket = room.pocket
    sure = show("pocket_along_valve", pocket.sure, system=system)
    wrapped(
        f"pocket needed for the gap asked: {show_value(pocket.along, system=system)} deep along the valve at its rim; "
        f"{sure} to be sure of it at this ±",
        first="  ",
        rest="    ",
    )
    wrapped(_size(pocket, system), first="    ", rest="    ")


def _size(pocket: Pocket, system: str) -> str:
    """The pocket's other sizes in words."""
    middle = show("pocket_depth", abs(pocket.depth.nominal), system=system)
    side = "below" if pocket.depth.nominal >= 0 else "above"
    said = f"middle of its floor {middle} {side} the crown"
    if pocket.diameter is None or pocket.edge is None or pocket.volume is None:
        return f"{said}. Its diameter and volume are not worked out: say wanted_radial_gap."
    edge, across = (show_value(value, system=system) for value in (pocket.edge, pocket.diameter))
    said += f", deepest edge {edge} square to the crown, diameter {across}, adds {show_value(pocket.volume)} of space."
    if pocket.runs_out:
        said += " It runs out over the edge of the crown: the volume is then less, and the land thinner."
    if pocket.runs_out is None:
        said += " Whether it runs out over the edge is not known: say valve_offset."
    return said


def _print_table(rooms: Mapping[str, ValveRoom], angles: Sequence[float], system: str) -> None:
    """Lift, drop and gap about overlap, for the cylinder with the least gap."""
    for room in rooms.values():
        worst = room.worst
        if worst is None or not angles:
            continue
        place = next(p for p in room.places if p.cylinder == worst.cylinder)
        phased = place.phases != (0.0, 0.0)
        say()
        lift = "read" if room.measured else "ASSUMED"
        wrapped(
            f"{room.valve.capitalize()} valve of cylinder {worst.cylinder} about overlap, lift {lift}; gap along the "
            f"valve, {_unit(system)}, less than nothing where they meet:"
        )
        head = ["crank", "lift", "piston drop", "gap", *(["worst phasing"] if phased else [])]
        table(head, [_cells(row, phased, system) for row in table_of(place, angles)])


def _unit(system: str) -> str:
    from ccassist.units import shown_unit

    return shown_unit(term("valve_gap"), system)


def _cells(row: TableRow, phased: bool, system: str) -> list[str]:
    def cell(value: float | None) -> str:
        return "-" if value is None else amount("valve_gap", value, system=system)

    gaps = [row.gap, *([row.worst] if phased else [])]
    crank = show("crank_angle", row.crank, system=system)
    return [crank, cell(row.lift), cell(row.drop), *map(cell, gaps)]
