"""Which value counts for a cylinder where several are given: the nearest one, and a reading before a statement."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ccassist.analysis.wording import whose
from ccassist.bench.cell import Reduced
from ccassist.job.records import Job
from ccassist.values.findings import Finding, note, warning
from ccassist.values.measured import Value
from ccassist.vocabulary import term

# The forms in which a gasket's opening may be known; of two, an area stands before axes, and these before a bore.
OPENING = ("gasket_area", "gasket_long", "gasket_short", "gasket_bore")


@dataclass(frozen=True, kw_only=True)
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
    current: Sequence[Reduced],
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
    if read is None or read.origin != "measured":
        return []
    stated = [key for key in OPENING if key in inputs and inputs[key].origin != "measured"]
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
    if one.old.origin == one.new.origin == "measured" and read:
        return "two-measurements"
    if one.new.origin == "measured":
        return "measured-wins" if one.old.raw else ""
    return "nearer-wins" if one.old.origin == "measured" else ""


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
