"""``ccassist cam``: the cam card, the lifts, and the valves against the pistons."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.job.outputs import check_output
from ccassist.plan.valves import words
from ccassist.plan.valves.cam import angles_about, cam_of, table_of
from ccassist.plan.valves.cam_card import CamCard
from ccassist.plan.valves.room import ValveRoom
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import InputError, clean, error, errors, placed
from ccassist.values.quantity import read_amount
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.enumerations import Origin

_ROWS = 400
_FINEST, _WIDEST = math.radians(0.1), math.radians(90.0)


def run(
    file: Path,
    *,
    around: str,
    every: str,
    system: str | None,
    as_json: bool,
    out: Path | None = None,
    page: str = "A4",
    force: bool = False,
) -> int:
    """Print everything of the cam, on pages too where asked.

    1 where an asked minimum fails or statements contradict each other.
    """
    if out is not None:
        check_output(out, "--out", file, force=force)
    angles = _angles(around, every)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    cam = cam_of(survey, fmt.system)
    if as_json:
        say_json(cam.to_dict(fmt.system, angles))
    else:
        _print(cam.card, cam.rooms, angles, fmt)
        if cam.findings:
            say()
            list_findings(cam.findings)
        say()
        for caution in cam.cautions:
            wrapped(caution)
    if out is not None:
        from ccassist.paper.cam_pages import write_cam

        pages = write_cam(cam, out, page=page, system=fmt.system, angles=angles)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.", error=as_json)
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
        raise InputError(
            error("bad-span", wrong, read=around, right="say up to 90 deg, or a larger --every", place="--around")
        )
    return angles_about(reach, step)


def _print(card: CamCard, rooms: Mapping[str, ValveRoom], angles: Sequence[float], fmt: Formatter) -> None:
    _print_card(card, fmt)
    for room in rooms.values():
        say()
        _print_room(room, card, fmt)
    _print_table(rooms, angles, fmt)
    worst = [(f"{room.valve} valve", room.worst.gap) for room in rooms.values() if room.worst is not None]
    unsure([*(("", value) for value in card.values.values()), *worst], fmt)


def _print_card(card: CamCard, fmt: Formatter) -> None:
    if not card.given:
        say(words.NOTHING_GIVEN)
        return
    wrapped(words.card_text(card))
    for key, value in card.values.items():
        how = "" if value.origin != Origin.COMPUTED else ", worked out"
        say(f"  {term(key).name:<20} {fmt.value(value)}{how}")
    for text in (words.lacking_text(card), *words.reach_texts(card, fmt)):
        if text:
            wrapped(text, rest="  ")


def _print_room(room: ValveRoom, card: CamCard, fmt: Formatter) -> None:
    say(f"{room.valve.capitalize()} valve")
    for text in words.lift_texts(room, fmt):
        wrapped(text, first="  ", rest="    ")
    worst = room.worst
    if worst is None:
        wrapped(words.unknown_text(room), first="  ", rest="    ")
        return
    if not room.measured:
        wrapped(words.ASSUMED, first="  ", rest="  ")
    said = [words.gap_text(room, worst, card, fmt), words.by_cylinder_text(room, fmt)]
    for text in (*said, words.gap_asked_text(room, fmt), words.radial_text(room, fmt)):
        if text:
            wrapped(text, first="  ", rest="    ")
    _print_pocket(room, fmt)


def _print_pocket(room: ValveRoom, fmt: Formatter) -> None:
    if room.pocket is not None:
        wrapped(words.pocket_text(room.pocket, fmt), first="  ", rest="    ")
        wrapped(words.size_text(room.pocket, fmt), first="    ", rest="    ")
    elif room.needed is not None:
        wrapped(words.NO_POCKET, first="  ")


def _print_table(rooms: Mapping[str, ValveRoom], angles: Sequence[float], fmt: Formatter) -> None:
    """Lift, drop and gap about overlap, for the cylinder with the least gap."""
    for room in rooms.values():
        worst, place = room.worst, room.worst_place
        if worst is None or place is None or not angles:
            continue
        say()
        wrapped(words.table_text(room, worst, fmt))
        rows = [words.table_cells(row, place, fmt) for row in table_of(place, angles)]
        table(words.table_head(place), rows)
