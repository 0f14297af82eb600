"""Which value counts for a cylinder where several are given: the nearest one, and a reading before a statement."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from ccassist.bench.cell import Cell, Reduction
from ccassist.engine.cam import COUNTS_FIRST, complete, counting
from ccassist.job.records import Job
from ccassist.values.display import Formatter, formatter
from ccassist.values.findings import Finding, note, question, warning, whose
from ccassist.values.measured import Value, computed
from ccassist.values.number import Number
from ccassist.values.uncertainty import differ
from ccassist.vocabulary import term
from ccassist.vocabulary.names import closest, plain
from ccassist.vocabulary.record import record
from ccassist.vocabulary.units import Origin

# The forms in which a gasket's opening may be known; of two, an area stands before axes, and these before a bore.
OPENING = ("gasket_area", "gasket_long", "gasket_short", "gasket_bore")


@record
class Displaced:
    """A value that does not count for one cylinder, because a nearer one does."""

    cylinder: int
    old: Value
    new: Value


def layers(
    number: int,
    job: Job,
    engine: Mapping[str, Value],
    parts: Mapping[str, Mapping[str, Value]],
    own: Mapping[str, Value],
    current: Sequence[Reduction],
) -> list[Mapping[str, Value]]:
    """Everything known of a cylinder, the farthest first: engine, parts, shared readings, its own."""
    serving = [parts[p.name] for p in job.parts.values() if number in p.cylinders]
    shared = [r.values for r in current if number in r.cell.cylinders and len(r.cell.cylinders) > 1]
    alone = [r.values for r in current if r.cell.cylinders == (number,)]
    return [engine, *serving, *shared, own, *alone]


def chosen(number: int, found: Iterable[Mapping[str, Value]]) -> tuple[dict[str, Value], list[Displaced]]:
    """The value of each term that counts, and those that do not."""
    inputs: dict[str, Value] = {}
    displaced: list[Displaced] = []
    for layer in found:
        for key, value in layer.items():
            if key in inputs:
                displaced.append(Displaced(cylinder=number, old=inputs[key], new=value))
            inputs[key] = value
    if "crown_fill" in inputs and "crown_volume" in inputs:
        displaced.append(Displaced(cylinder=number, old=inputs.pop("crown_volume"), new=inputs["crown_fill"]))
    displaced += _other_openings(number, inputs)
    return inputs, displaced


def _other_openings(number: int, inputs: dict[str, Value]) -> list[Displaced]:
    """A gasket's bore that was measured stands before another form of its opening that was not; taken out here."""
    read = inputs.get("gasket_bore")
    if read is None or read.origin != Origin.MEASURED:
        return []
    stated = [key for key in OPENING if key in inputs and inputs[key].origin != Origin.MEASURED]
    return [Displaced(cylinder=number, old=inputs.pop(key), new=read) for key in stated]


def displaced_findings(displaced: Iterable[Displaced], job: Job) -> list[Finding]:
    """What to say of values that do not count: one finding a statement, with the cylinders it is about."""
    groups: dict[tuple[str, int | None, int | None], list[Displaced]] = {}
    for one in displaced:
        code = _code(one)
        if code:
            replacing = one.new.line if code == "two-measurements" else None
            groups.setdefault((code, one.old.line, replacing), []).append(one)
    return [_finding(code, members, job) for (code, _, _), members in groups.items()]


def _code(one: Displaced) -> str:
    """Whether it is worth saying: a measurement is never set aside in silence, nor a statement by one."""
    if one.old.line is None or one.new.line is None:
        return ""
    read = not (one.old.raw or one.new.raw)
    if one.old.origin == one.new.origin == Origin.MEASURED and read:
        return "two-measurements"
    if one.new.origin == Origin.MEASURED:
        return "measured-wins" if one.old.raw else ""
    return "nearer-wins" if one.old.origin == Origin.MEASURED else ""


def _finding(code: str, members: Sequence[Displaced], job: Job) -> Finding:
    first, numbers = members[0], sorted({m.cylinder for m in members})
    old, new, name = first.old, first.new, term(first.old.key).name
    place = whose(numbers)
    for_whom = "" if len(numbers) == job.cylinders else f" for {place}"
    if code == "two-measurements":
        where = f"line {old.line}" if old.line == new.line else f"lines {old.line} and {new.line}"
        wrong = f"two separate measurements of its {name} ({where}) that cannot be averaged: the later one counts"
        return warning(code, wrong, place=place, file=job.file, line=new.line)
    if code == "measured-wins":
        wrong = f"the {name} was measured{for_whom}: the stated one is not used{' there' if for_whom else ''}"
        return note(code, wrong, read=old.raw[0], file=job.file, line=old.line)
    wrong = f"the {name} measured (line {old.line}) does not count{for_whom}: this one is stated nearer to it"
    return note(code, wrong, read=new.raw[0] if new.raw else "", file=job.file, line=new.line)


# Which state of a part is the current one: states are never averaged together.

UNSAID = "state-not-said"
MISSPELT = "state-misspelt"
_FIGURES = re.compile(r"[0-9]+")


def order_of(job: Job, part: str, cells: Sequence[Cell]) -> list[str]:
    """The states of a part, oldest first: as the part lists them, then as they appear in the file."""
    listed = list(job.parts[part].states) if part in job.parts else []
    return list(dict.fromkeys([*listed, *(c.state for c in cells)]))


def current_state(job: Job, part: str, cells: Sequence[Cell]) -> tuple[str, list[Finding]]:
    """The newest complete state of one step on one part, and a note if a newer one is half done.

    Complete means that every cylinder the part serves has a counted reading; where no state is complete the newest one
    is current.
    """
    unsaid = [*_unsaid(cells, job), *_misspelt(job, part, cells)]
    done = {
        s: {n for c in cells if c.state == s and c.counted for n in c.cylinders} for s in order_of(job, part, cells)
    }
    states = [s for s, counted in done.items() if counted]
    if not states:
        return "", unsaid
    wanted = set(job.parts[part].cylinders) if part in job.parts else {n for c in cells for n in c.cylinders}
    complete = [s for s in states if wanted <= done[s]]
    current = complete[-1] if complete else states[-1]
    newest = states[-1]
    left = sorted(wanted - done[newest])
    place = part or cells[0].step.title
    if newest != current:
        wrong = f'"{newest}" is not complete: {whose(left)} still to do'
        newer = note("newer-state", wrong, right=f'results are of "{current}"', place=place, file=job.file)
        return current, [*unsaid, newer]
    elsewhere = (wanted - done[newest]) & set().union(*done.values())
    if elsewhere and len(states) > 1:
        wrong = f'no state is complete, so results are of "{newest}", which lacks {whose(left)}'
        right = "readings of another state are not mixed in"
        return current, [*unsaid, warning("no-complete-state", wrong, right=right, place=place, file=job.file)]
    return current, unsaid


def _unsaid(cells: Sequence[Cell], job: Job) -> list[Finding]:
    """Questions about what is in no state after something of the same part was read in one."""
    found: list[Finding] = []
    for i, cell in enumerate(cells):
        last = next((c.state for c in reversed(cells[:i]) if c.state and c.counted), "")
        if last and cell.counted and not cell.state:
            wrong = (
                f'no state is said, though the readings before are "{last}": taken as a newer state, which hides them'
            )
            right = f'state = "{last}", or what was done since'
            found.append(question(UNSAID, wrong, right=right, line=cell.line, place=cell.where, file=job.file))
    return found


def _misspelt(job: Job, part: str, cells: Sequence[Cell]) -> list[Finding]:
    """Questions about a state that is an earlier one with a slip of spelling: its readings would hide the others.

    What differs in a figure, such as two skims, is another state; and so is what the part lists.
    """
    found: list[Finding] = []
    known = [*job.parts[part].states] if part in job.parts else []
    for cell in (c for c in cells if c.state):
        if cell.state in known:
            continue
        alike = {plain(s): (s,) for s in known if _FIGURES.findall(s) == _FIGURES.findall(cell.state)}
        meant = closest(cell.state, alike)
        if meant and cell.counted:
            wrong = f'read as another state than "{meant}", which it hides'
            right = f'state = "{meant}", if that is meant'
            made = question(MISSPELT, wrong, read=cell.state, right=right, line=cell.line, place=cell.where)
            found.append(made.at(file=job.file))
        known.append(cell.state)
    return found


# Intake closing of an engine, from what is stated of its cam, and the lift for which it holds, in words.

CLOSING = "intake_closing"


RANKS = {Origin.MEASURED: 0, Origin.MAKER: 1}  # what was read counts before what is printed, and both before hearsay


@record
class Events:
    """A cam card as stated: the figures that count, all that follows from them and how, and what they contradict."""

    numbers: Mapping[str, Number]
    found: Mapping[str, Number]
    how: Mapping[str, str]
    denied: tuple[str, ...]


def events_of(cam: Mapping[str, Value]) -> Events:
    """Which figures of a card count, and which of the others are more than their ± away from what those make them."""
    ranks = {key: RANKS.get(one.origin, len(RANKS)) for key, one in cam.items()}
    numbers = counting({key: one.number for key, one in cam.items()}, ranks)
    found, how = complete(numbers)
    others = (key for key in COUNTS_FIRST if key in cam and key not in numbers)
    denied = tuple(key for key in others if differ(cam[key].number, found[key], hair=1e-9))
    return Events(numbers=numbers, found=found, how=how, denied=denied)


def closing_of(job: Job, cam: Mapping[str, Value]) -> Value | None:
    """Intake closing [rad after bottom dead centre], as stated, or as the rest of the card makes it where that counts.

    ``cam`` : what the job states of its cam.  What it hangs on says the lift; None where it is not known.
    """
    basis = lift_basis(job, cam.get("event_lift"), formatter(job.system))
    events = events_of(cam)
    if CLOSING in cam and CLOSING not in events.denied:
        one = cam[CLOSING]
        return replace(one, how=", ".join(filter(None, (one.how, basis))))
    if CLOSING not in events.found:
        return None
    return computed(CLOSING, events.found[CLOSING], f"worked out: {events.how[CLOSING]}, {basis}")


def with_basis(trapped: Value, closing: Value) -> Value:
    """A trapped ratio that says the lift at which its closing was read."""
    return replace(trapped, how=f"{trapped.how}; intake closing {closing.how}")


def trapped_text(closing: Value, fmt: Formatter) -> str:
    """What must be said wherever a trapped ratio is shown."""
    shown = fmt.value(closing)
    return f"Trapped ratio is geometry alone, for intake closing {shown}, {closing.how}."


def basis_notes(job: Job, cam: Mapping[str, Value], keys: Iterable[str], fmt: Formatter) -> tuple[Finding, ...]:
    """That figures hold for one lift only, where any of the terms hangs on intake closing."""
    if not {CLOSING, "trapped_ratio"} & set(keys):
        return ()
    basis = lift_basis(job, cam.get("event_lift"), fmt)
    wrong = f"intake closing and trapped ratio hold {basis}: the same cam read at another lift gives others"
    return (note("closing-basis", wrong, file=job.file),)


def lift_basis(job: Job, lift: Value | None, fmt: Formatter) -> str:
    """The lift at which valve events hold, in words; ``lift`` : as stated; None where it is not."""
    if lift is None:
        return "at a lift that is not said"
    if lift.nominal == 0:
        return "seat to seat"
    where = job.said.get("cam", {}).get("lift_read_at", "")
    shown = fmt.show("event_lift", lift.nominal)
    return f"at {shown} lift of {where}" if where else f"at {shown} lift, at the valve or the tappet is not said"
