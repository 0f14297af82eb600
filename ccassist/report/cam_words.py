"""What is said of a cam card and of the valves against the pistons, on the screen and on paper alike."""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.plan.valves.cam import TableRow
from ccassist.plan.valves.cam_card import VALVES, CamCard
from ccassist.plan.valves.place import ValveOverPiston
from ccassist.plan.valves.room import Nearest, PocketNeeded, ValveRoom
from ccassist.values.display import Formatter
from ccassist.values.findings import clean
from ccassist.values.measured import Value
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term
from ccassist.vocabulary.units import Origin

NOTHING_GIVEN = "No events, durations or centrelines are given."
ASSUMED = (
    "The lift curve is ASSUMED from the largest lift and the events: for planning only, never a final clearance. Read "
    "the lifts every 2 to 5 degrees."
)
NO_POCKET = "No pocket is needed for the gap asked."
_HAIR = 1e-9
_SAID = {
    Verdict.INSIDE: "held",
    Verdict.OUTSIDE: "NOT HELD",
    Verdict.CANNOT_TELL: "CANNOT BE TOLD from this: take it as not held",
}


# -- the card -------------------------------------------------------------------------------------


def origin_text(value: Value) -> str:
    """How a figure of the card is known: as it is stated, or how it was worked out."""
    return clean(value.how if value.origin == Origin.COMPUTED else value.origin)


def lacking_text(card: CamCard) -> str:
    """What could not be worked out; "" where nothing is lacking."""
    return f"Not worked out: {names(card.lacking)}." if card.lacking else ""


def reach_texts(card: CamCard, fmt: Formatter) -> list[str]:
    """Where phasing brings the events, and the overlap with them."""
    said = []
    for valve in VALVES:
        for what in ("opening", "closing") if card.phased(valve) else ():
            reach = card.reach(f"{valve}_{what}")
            if reach is not None:
                ends = [fmt.value(value) for value in (reach.earliest, reach.latest)]
                said.append(f"{valve.capitalize()} {what} by phasing: {ends[0]} (earliest) to {ends[1]} (latest).")
    overlap = card.overlap_reach()
    if overlap and any(card.phased(valve) for valve in VALVES):
        least, most = (fmt.value(value) for value in overlap)
        said.append(f"Overlap over the whole phasing: {least} to {most}.")
    return said


# -- a valve against the pistons --------------------------------------------------------------------


def lift_texts(room: ValveRoom, fmt: Formatter) -> list[str]:
    """Lobe and valve lift, and what is not given for them."""
    told = [value for value in (room.lifts.lobe, room.lifts.valve) if value is not None]
    said = [f"{term(value.key).name}: {fmt.value(value)} ({clean(value.how)})" for value in told]
    if room.lifts.lacking and room.lifts.lobe is not None:
        said.append(f"valve lift not worked out: not given {names(room.lifts.lacking)}")
    return said


def unknown_text(room: ValveRoom) -> str:
    """That there is no gap, and why."""
    lack = f": not given {names(room.lacking)}" if room.lacking else ""
    return f"gap to the piston not worked out{lack}"


def gap_text(room: ValveRoom, worst: Nearest, card: CamCard, fmt: Formatter) -> str:
    """The least gap, and where it is."""
    phase = f", {phase_text(worst.phase, fmt)}" if card.phased(room.valve) else ""
    where = f"{fmt.show('crank_angle', worst.crank)}{phase}"
    made = f", in {room.made.how}" if room.made is not None else ""
    gap = fmt.value(worst.gap)
    return f"least gap to the piston, along the valve: {gap}, cylinder {worst.cylinder}, {where}{made}"


def phase_text(phase: float, fmt: Formatter) -> str:
    """The phasing in words."""
    return "phased as read" if abs(phase) < _HAIR else f"phased {fmt.show('cam_advance', phase)}"


def asked_text(key: str, wanted: Value | None, verdict: Verdict | None, fmt: Formatter) -> str:
    """How a gap stands to what is asked."""
    if wanted is None or verdict is None:
        return f"No least gap is asked, so none is judged: say {key} (the cam grinder's and piston maker's figure)."
    return f"Asked at least {fmt.show(key, wanted.nominal)}: {_SAID[verdict]}."


def radial_text(room: ValveRoom, fmt: Formatter) -> str:
    """The valve's rim in the pocket made; "" where none is."""
    if room.radial is None:
        return ""
    asked = asked_text("wanted_radial_gap", room.wanted_radial, room.radial_verdict, fmt)
    return f"rim to the pocket's wall: {fmt.value(room.radial)}. {asked}"


def pocket_text(pocket: PocketNeeded, fmt: Formatter) -> str:
    """How deep a pocket must be."""
    sure = fmt.show("pocket_along_valve", pocket.sure)
    return (
        f"pocket needed for the gap asked: {fmt.value(pocket.along)} deep along the valve at its rim; "
        f"{sure} to be sure of it at this ±"
    )


def size_text(pocket: PocketNeeded, fmt: Formatter) -> str:
    """The pocket's other sizes."""
    said = f"middle of its floor {fmt.show('pocket_depth', pocket.depth.nominal)}"
    if pocket.diameter is None or pocket.edge is None or pocket.volume is None:
        return f"{said}. Its diameter and volume are not worked out: say wanted_radial_gap."
    edge, across = (fmt.value(value) for value in (pocket.edge, pocket.diameter))
    said += f", deepest edge {edge} square to the crown, diameter {across}, adds {fmt.value(pocket.volume)} of space."
    if pocket.runs_out:
        said += " It runs out over the edge of the crown: the volume is then less, and the land thinner."
    if pocket.runs_out is None:
        said += " Whether it runs out over the edge is not known: say valve_offset."
    return said


# -- the table about overlap ------------------------------------------------------------------------


def table_text(room: ValveRoom, worst: Nearest, fmt: Formatter) -> str:
    """What the table shows."""
    lift = "read" if room.measured else "ASSUMED"
    return (
        f"{room.valve.capitalize()} valve of cylinder {worst.cylinder} about overlap, lift {lift}; gap along the "
        f"valve, {gap_unit(fmt)}, less than nothing where they meet:"
    )


def table_head(place: ValveOverPiston) -> list[str]:
    """Its columns; the last only where the cam is phased."""
    return ["crank", "lift", "piston drop", "gap", *(["worst phasing"] if phased(place) else [])]


def table_cells(row: TableRow, place: ValveOverPiston, fmt: Formatter) -> list[str]:
    """One row of it."""
    lengths = [row.lift, row.drop, row.gap, *([row.worst] if phased(place) else [])]
    shown = ("-" if value is None else fmt.amount("valve_gap", value) for value in lengths)
    return [fmt.show("crank_angle", row.crank), *shown]


def phased(place: ValveOverPiston) -> bool:
    """Whether the cam over a piston can be phased."""
    return place.phases != (0.0, 0.0)


def gap_unit(fmt: Formatter) -> str:
    """The unit of gaps, and of the lifts and drops beside them."""
    return fmt.unit("valve_gap")


def names(keys: Sequence[str]) -> str:
    """Terms by name."""
    return ", ".join(term(key).name for key in keys)
