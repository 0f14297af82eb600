"""The cam card and the valves against the pistons, told: the plain data, and the report made from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from ccassist.bench.cautions import cautions
from ccassist.plan.valves.cam import Cam, TableRow, table_of
from ccassist.plan.valves.cam_card import VALVES, CamCard
from ccassist.plan.valves.lift import others
from ccassist.plan.valves.place import ValveOverPiston
from ccassist.plan.valves.room import Nearest, PocketNeeded, ValveRoom, wheel_zero
from ccassist.report.blocks import MARKS, Block, Figure, Heading, Report, Table, Text, items, part
from ccassist.report.curves import LiftCurve, phase_text
from ccassist.report.findings import first_of
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, clean, runs
from ccassist.values.measured import Value, unsure_texts
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import Origin

NOTHING_GIVEN = "No events, durations or centrelines are given."
ASSUMED = (
    "The lift curve is ASSUMED from the largest lift and the events: for planning only, never a final clearance. Read "
    "the lifts every 2 to 5 degrees."
)
NO_POCKET = "No pocket is needed for the gap asked."
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
        f"valve, {fmt.unit('valve_gap')}, less than nothing where they meet:"
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


def names(keys: Sequence[str]) -> str:
    """Terms by name."""
    return ", ".join(term(key).name for key in keys)


BESIDE = ("valve-mock-up",)  # the caution that stands with every gap
UNSAFE = "The unsafe end is the least gap less its ±; it is judged there."
WIDE = 177.0  # mm: of the drawing


def cam_told(cam: Cam, angles: Sequence[float]) -> dict[str, Any]:
    """What is told of a cam, every event for the lift of ``lift_basis`` but the other lifts [m].

    ``angles`` of the tables about overlap, rad after top dead centre.
    """
    card, zero = cam.card, wheel_zero(cam.survey)
    events = {key: card.reach(key) for key in card.values if key.split("_")[1] in ("opening", "closing")}
    return {
        "lift_basis": card.lift_basis,
        "event_lift": card.event_lift,
        "card": card.values,
        "other_lifts": [{"event": one, "lift": lift} for one, lift in others(cam.survey, card.event_lift, zero)],
        "not_worked_out": card.lacking,
        "phasing": {key: reach for key, reach in events.items() if reach is not None},
        "valves": {valve: _valve(room, angles) for valve, room in cam.rooms.items()},
        "findings": [f.to_dict() for f in cam.findings],
        "cautions": cam.cautions,
    }


def _valve(room: ValveRoom, angles: Sequence[float]) -> dict[str, Any]:
    """One valve against the pistons."""
    place = room.worst_place
    return {
        "lobe_lift": room.lifts.lobe,
        "valve_lift": room.lifts.valve,
        "lift_curve": ("read" if room.measured else "assumed, for planning only") if room.places else None,
        "not_given": room.lacking,
        "nearest": room.nearest,
        "nearest_of_all": room.worst.cylinder if room.worst else None,
        "wanted_gap": room.wanted,
        "verdict": room.verdict.value if room.verdict else None,
        "radial": room.radial,
        "wanted_radial": room.wanted_radial,
        "radial_verdict": room.radial_verdict.value if room.radial_verdict else None,
        "pocket_made": room.made,
        "pocket_needed": room.needed,
        "pocket": room.pocket,
        "pocket_to_be_sure": room.pocket.sure if room.pocket else None,
        "table": table_of(place, angles) if place else (),
    }


# -- the report -----------------------------------------------------------------------------------


def cam_report(cam: Cam, angles: Sequence[float], fmt: Formatter) -> Report:
    """The answer first: what is wrong, the least gap of each valve and its verdict, the card."""
    grave = sorted(cam.findings, key=lambda one: -one.level)
    found = [Text(one.text(), MARKS[one.level]) for one in grave]
    return Report(
        title="Cam card and valves",
        subject="Cam card as installed, and valves against pistons",
        answer=(
            *first_of(found),
            *_least(cam, fmt),
            *_card(cam, fmt),
            *(Text(text, spare=True) for text in cautions(BESIDE) if cam.rooms),
        ),
        support=(
            *_behind(cam, fmt),
            *(block for room in cam.rooms.values() for block in _room(room, cam, angles, fmt)),
            *part("To look at", found),
            Heading("Cautions"),
            *items(cam.cautions),
        ),
    )


def _least(cam: Cam, fmt: Formatter) -> Iterator[Block]:
    """The least gap of each valve and how it stands to what is asked."""
    for room in cam.rooms.values():
        name, worst = f"{room.valve.capitalize()} valve", room.worst
        if worst is None:
            yield Text(f"{name}: {unknown_text(room)}.")
            continue
        asked = asked_text("wanted_valve_gap", room.wanted, room.verdict, fmt)
        yield Text(f"{name}: {gap_text(room, worst, cam.card, fmt)}. {asked}", strong=True)
        if not room.measured:
            yield Text(ASSUMED)
        if room.pocket is not None:
            yield Text(f"{capital(pocket_text(room.pocket, fmt))}.")


def _card(cam: Cam, fmt: Formatter) -> Iterator[Block]:
    """Every figure of the card with its ± and where it is from."""
    if not cam.card.given:
        yield Text(NOTHING_GIVEN)
        return
    yield Text(f"Cam card, as installed, every figure {cam.card.lift_basis}:")
    rows = tuple((term(key).name, fmt.value(one), _origin(one)) for key, one in cam.card.values.items())
    yield Table(head=("figure", "value", "origin"), rows=rows, names=(0, 1, 2), long=True)


def _origin(value: Value) -> str:
    return "worked out" if value.origin == Origin.COMPUTED else origin_text(value)


def _behind(cam: Cam, fmt: Formatter) -> Iterator[Block]:
    """Where phasing brings the events, what could not be worked out, and where 95 % cannot be said."""
    worst = [(f"{room.valve} valve", room.worst.gap) for room in cam.rooms.values() if room.worst is not None]
    told = [
        f"{capital(term(key).name)} {origin_text(one)}."
        for key, one in cam.card.values.items()
        if one.origin == Origin.COMPUTED
    ]
    told += _at_other_lifts(cam, fmt)
    told += [lacking_text(cam.card), *reach_texts(cam.card, fmt)]
    told += unsure_texts([*(("", value) for value in cam.card.values.values()), *worst], fmt)
    yield from part("What else follows from the card", map(Text, filter(None, told)))


def _at_other_lifts(cam: Cam, fmt: Formatter) -> list[str]:
    """The events where the lift as read passes the other lifts that cards are printed at, a line a lift."""
    passed = others(cam.survey, cam.card.event_lift, wheel_zero(cam.survey))
    said = together((lift, f"{term(event.key).name} {fmt.value(event)}") for event, lift in passed)
    return [f"At {fmt.show('event_lift', lift)} by the lift as read: {', '.join(all_)}." for lift, all_ in said.items()]


def _room(room: ValveRoom, cam: Cam, angles: Sequence[float], fmt: Formatter) -> Iterator[Block]:
    """One valve: its lift, the least gap of every cylinder, the pocket, the picture and the table about overlap."""
    yield Heading(f"{room.valve.capitalize()} valve against the pistons")
    yield from (Text(f"{capital(text)}.") for text in lift_texts(room, fmt))
    worst, place = room.worst, room.worst_place
    if worst is None or place is None:
        yield Text(f"{capital(unknown_text(room))}.")
        return
    yield _nearest(room, cam, fmt)
    yield Text(UNSAFE, small=True)
    if radial := radial_text(room, fmt):
        yield Text(capital(radial), strong=room.radial_verdict not in (None, Verdict.INSIDE))
    if room.pocket is not None:
        yield Text(f"{capital(size_text(room.pocket, fmt)).rstrip('.')}.")
    elif room.needed is not None:
        yield Text(NO_POCKET)
    yield from items(cautions(BESIDE))
    yield Heading(f"{room.valve.capitalize()} valve of cylinder {worst.cylinder} about overlap", 2)
    about = max((abs(angle) for angle in angles), default=0.0)
    yield Figure(LiftCurve(room=room, worst=worst, place=place, about=about, fmt=fmt, width=WIDE).scene())
    if angles:
        yield Text(table_text(room, worst, fmt))
        first, *lengths = table_head(place)
        head = (first, *(f"{name}, {fmt.unit('valve_gap')}" for name in lengths))
        yield Table(head=head, rows=tuple(tuple(table_cells(row, place, fmt)) for row in table_of(place, angles)))


def _nearest(room: ValveRoom, cam: Cam, fmt: Formatter) -> Table:
    """The least gap of every cylinder: how large, where, at which phasing; those that are alike in one row."""
    phased = cam.card.phased(room.valve)
    rows: dict[tuple[str, ...], list[int]] = {}
    for one in room.nearest:
        phase = [phase_text(one.phase, fmt).removeprefix("phased ")] if phased else []
        lengths = [fmt.show("valve_gap", length, words=False) for length in (one.lift, one.drop)]
        at = [fmt.show("valve_gap", one.unsafe), fmt.show("crank_angle", one.crank), *phase, *lengths]
        rows.setdefault((fmt.value(one.gap), *at), []).append(one.cylinder)
    head = (
        "cylinder",
        "least gap",
        "unsafe end",
        "at crank angle",
        *(["phased"] if phased else []),
        "lift",
        "piston drop",
    )
    return Table(head=head, rows=tuple((runs(who), *cells) for cells, who in rows.items()), long=True)
