"""The cam card and the valves against the pistons, told: the plain data, and the report made from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from ccassist.bench.cautions import cautions
from ccassist.plan.valves.cam import Cam, table_of
from ccassist.plan.valves.other_lift import others
from ccassist.plan.valves.room import ValveRoom, wheel_zero
from ccassist.report import cam_words as words
from ccassist.report.blocks import MARKS, Block, Figure, Heading, Report, Table, Text, items, part
from ccassist.report.curves import LiftCurve
from ccassist.report.findings import first_of
from ccassist.values.display import Formatter
from ccassist.values.findings import capital, runs
from ccassist.values.measured import Value, unsure_texts
from ccassist.values.verdict import Verdict
from ccassist.vocabulary import term
from ccassist.vocabulary.record import together
from ccassist.vocabulary.units import Origin

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


# The report.


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
            yield Text(f"{name}: {words.unknown_text(room)}.")
            continue
        asked = words.asked_text("wanted_valve_gap", room.wanted, room.verdict, fmt)
        yield Text(f"{name}: {words.gap_text(room, worst, cam.card, fmt)}. {asked}", strong=True)
        if not room.measured:
            yield Text(words.ASSUMED)
        if room.pocket is not None:
            yield Text(f"{capital(words.pocket_text(room.pocket, fmt))}.")


def _card(cam: Cam, fmt: Formatter) -> Iterator[Block]:
    """Every figure of the card with its ± and where it is from."""
    if not cam.card.given:
        yield Text(words.NOTHING_GIVEN)
        return
    yield Text(f"Cam card, as installed, every figure {cam.card.lift_basis}:")
    rows = tuple((term(key).name, fmt.value(one), _origin(one)) for key, one in cam.card.values.items())
    yield Table(head=("figure", "value", "origin"), rows=rows, names=(0, 1, 2), long=True)


def _origin(value: Value) -> str:
    return "worked out" if value.origin == Origin.COMPUTED else words.origin_text(value)


def _behind(cam: Cam, fmt: Formatter) -> Iterator[Block]:
    """Where phasing brings the events, what could not be worked out, and where 95 % cannot be said."""
    worst = [(f"{room.valve} valve", room.worst.gap) for room in cam.rooms.values() if room.worst is not None]
    told = [
        f"{capital(term(key).name)} {words.origin_text(one)}."
        for key, one in cam.card.values.items()
        if one.origin == Origin.COMPUTED
    ]
    told += _at_other_lifts(cam, fmt)
    told += [words.lacking_text(cam.card), *words.reach_texts(cam.card, fmt)]
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
    yield from (Text(f"{capital(text)}.") for text in words.lift_texts(room, fmt))
    worst, place = room.worst, room.worst_place
    if worst is None or place is None:
        yield Text(f"{capital(words.unknown_text(room))}.")
        return
    yield _nearest(room, cam, fmt)
    yield Text(UNSAFE, small=True)
    if radial := words.radial_text(room, fmt):
        yield Text(capital(radial), strong=room.radial_verdict not in (None, Verdict.INSIDE))
    if room.pocket is not None:
        yield Text(f"{capital(words.size_text(room.pocket, fmt)).rstrip('.')}.")
    elif room.needed is not None:
        yield Text(words.NO_POCKET)
    yield from items(cautions(BESIDE))
    yield Heading(f"{room.valve.capitalize()} valve of cylinder {worst.cylinder} about overlap", 2)
    about = max((abs(angle) for angle in angles), default=0.0)
    yield Figure(LiftCurve(room=room, worst=worst, place=place, about=about, fmt=fmt, width=WIDE).scene())
    if angles:
        yield Text(words.table_text(room, worst, fmt))
        first, *lengths = words.table_head(place)
        head = (first, *(f"{name}, {words.gap_unit(fmt)}" for name in lengths))
        yield Table(head=head, rows=tuple(tuple(words.table_cells(row, place, fmt)) for row in table_of(place, angles)))


def _nearest(room: ValveRoom, cam: Cam, fmt: Formatter) -> Table:
    """The least gap of every cylinder: how large, where, at which phasing; those that are alike in one row."""
    phased = cam.card.phased(room.valve)
    rows: dict[tuple[str, ...], list[int]] = {}
    for one in room.nearest:
        phase = [words.phase_text(one.phase, fmt).removeprefix("phased ")] if phased else []
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
