"""Readings taken from elsewhere, a filled form or a table: looked at whole before anything is kept.

Each remembers the box or line that it came from, so that a source read twice,
or filled further and read again, does not count anything twice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from ccassist.job.entry import SURE, try_reading
from ccassist.job.records import Job, Row, Series
from ccassist.values.findings import Finding, InputError, error

Texts = tuple[str, ...]
Header = Mapping[str, str | int | Texts]


@dataclass(frozen=True, kw_only=True)
class TakenReading:
    """One reading: header and row as they go into the file, and where it stood."""

    header: Header
    row: Mapping[str, str | Texts]
    where: str


@dataclass(kw_only=True)
class Taken:
    """What a source holds.

    ``new`` is to be added, ``known`` counts what is there already, ``left`` says what was only
    begun, ``unusual`` what is to be asked about.
    """

    new: list[TakenReading] = field(default_factory=list)
    known: int = 0
    left: list[Finding] = field(default_factory=list)
    unusual: list[Finding] = field(default_factory=list)
    _boxes: dict[tuple[str, str], Mapping[str, Texts]] = field(default_factory=dict)

    def take(self, job: Job, header: Header, row: Mapping[str, Texts], *, box: str, where: str, **more: str) -> None:
        """Look at one reading as the file check would; keep it where the job does not hold it yet.

        Raises
        ------
        InputError : it cannot be used, or the job holds another reading of the same box.
        """
        if is_known(job, header, row, box) or self._has(header, row, box):
            self.known += 1
            return
        tried = try_reading(job, header, row)
        self.unusual += [f.at(place=where) for f in tried.unusual]
        said = [text for text in (more.pop("remark", ""), SURE if tried.unusual else "") if text]
        kept: dict[str, str | Texts] = {**row, **{key: text for key, text in more.items() if text}}
        kept |= {"remark": "; ".join(said)} if said else {}
        self.new.append(TakenReading(header=header, row={**kept, "box": box}, where=where))
        self._boxes[(box, repr(sorted(header.items())))] = dict(row)

    def mark(self, number: int) -> None:
        """Note of a reading (from 0) that it is doubtful and was confirmed."""
        reading = self.new[number]
        said = str(reading.row.get("remark", ""))
        if SURE not in said:
            row = {**reading.row, "remark": "; ".join(text for text in (said, SURE) if text)}
            self.new[number] = replace(reading, row=row)

    def _has(self, header: Header, row: Mapping[str, Texts], box: str) -> bool:
        """Whether the source itself said this reading already; raises InputError where it said another of that box."""
        before = self._boxes.get((box, repr(sorted(header.items()))))
        if before is not None and before != dict(row):
            raise InputError(error("twice", "two readings of one box", read=box, right="give each a box of its own"))
        return before is not None


def placed(fault: Finding, path: Path, where: str) -> Finding:
    """A finding with its file and its place in it."""
    place = where if not fault.place or fault.place in where else f"{where}, {fault.place}"
    return replace(fault, file=str(path), line=None, place=place)


def is_known(job: Job, header: Header, row: Mapping[str, Texts], box: str) -> bool:
    """Whether the job holds the reading of this box already; one typed in has its place in the file for a box.

    Raises
    ------
    InputError : it holds another one of the same box.
    """
    sheets = (series for series in job.series if _same_sheet(series, header))
    there = [kept.fields for series in sheets for kept in series.rows if (kept.box or kept.place) == box]
    if any({name: tuple(texts) for name, texts in fields.items()} == dict(row) for fields in there):
        return True
    if there:
        now, before = (", ".join(f"{k} {' and '.join(v)}" for k, v in said.items()) for said in (row, there[0]))
        right = "set the old reading aside or correct it in the file; another sheet needs its own date"
        raise InputError(error("changed", f"it was read before as {before}", read=now, right=right))
    return False


def line_box(path: Path, line: int) -> str:
    """The box of a reading that a table gives no other: its file and line."""
    return f"{path.name} line {line}"


def told_elsewhere(job: Job, readings: Sequence[TakenReading], path: Path) -> str:
    """The other file from which a job has the readings of this one, all in their order; "" where there is none.

    So it is with a table that was copied under another name, whole or in part; and with one that was
    copied and went on growing, which starts with all that came from the other.
    """
    sources: dict[str, list[tuple[Series, Row]]] = {}
    for series in job.series:
        for row in series.rows:
            source, line, _ = row.box.rpartition(" line ")
            if line and source != path.name:
                sources.setdefault(source, []).append((series, row))
    for source, there in sources.items():
        grown = 2 <= len(there) < len(readings) and _in_order(readings[: len(there)], there)
        if grown or _in_order(readings, there):
            return source
    return ""


def _in_order(readings: Sequence[TakenReading], there: Sequence[tuple[Series, Row]]) -> bool:
    """Whether readings are all among others, in the same order; none at all are not."""
    rest = iter(there)
    return bool(readings) and all(any(_same_reading(one, *other) for other in rest) for one in readings)


def _same_reading(one: TakenReading, series: Series, row: Row) -> bool:
    """Whether a reading says the same of the same thing as one that the job holds."""
    if series.step != one.header["step"]:
        return False
    if "cylinder" in one.header and series.cylinders != (one.header["cylinder"],):
        return False
    if "part" in one.header and series.part != one.header["part"]:
        return False
    texts = {name: (said,) if isinstance(said, str) else tuple(said) for name, said in one.row.items()}
    return all(texts.get(name) == tuple(said) for name, said in row.fields.items())


def _same_sheet(series: Series, header: Header) -> bool:
    """Whether a block of readings came from the same sheet: same step, place, state, day and instrument."""
    if series.step != header["step"] or series.date != header.get("date", ""):
        return False
    if series.state != header.get("state", "") or series.instrument != header.get("instrument", ""):
        return False
    if "cylinder" in header:
        return series.cylinders == (header["cylinder"],)
    return series.part == header.get("part", "")
