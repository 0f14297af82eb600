"""Readings typed elsewhere, in a table: one line a reading, the first line names the columns.

Columns are the keys of the job file: step, cylinder or part, instrument, fluid ..., and the fields, settings and
choices of the steps.  A column may say its unit, as in ``end (ml)``: bare numbers take it; or else the job's. Several
values in one cell stand with ; between.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from ccassist.bench.step import Field, Step
from ccassist.bench.steps import STEPS
from ccassist.job.disk import read_text
from ccassist.job.entry import settings_of, step_named, with_units
from ccassist.job.readings import no_reason
from ccassist.job.recording import Taken, Texts, line_box, placed, told_elsewhere
from ccassist.job.records import Job, Row, Series
from ccassist.job.vocabulary import ROW_KEYS, SERIES_KEYS
from ccassist.values.findings import Finding, InputError, clean, error
from ccassist.vocabulary import suggested, term
from ccassist.vocabulary.units import UNITS

# Words in a cell of a table for a spreadsheet: never a formula there, never a code that steers a terminal.

_MARK = "'"  # spreadsheets read what follows it as text
_RISKY = ("=", "+", "-", "@")  # what starts a formula, wide forms of them too


def as_cell(text: str) -> str:
    """Words as they are put into a cell, in one line.

    >>> as_cell("=1+1"), as_cell("seats cut"), as_cell("two\\nlines")
    ("'=1+1", 'seats cut', 'two lines')
    """
    line = " ".join(text.split())
    return clean(_MARK + line if _starts_formula(line) else line, len(line) + 1)


def from_cell(text: str) -> str:
    """The words of a cell, in one line, without the mark that :func:`as_cell` put before them.

    >>> from_cell("'=1+1"), from_cell("'quoted'")
    ('=1+1', "'quoted'")
    """
    line = " ".join(text.split())
    return line[1:] if line.startswith(_MARK) and _starts_formula(line[1:]) else line


def _starts_formula(line: str) -> bool:
    return unicodedata.normalize("NFKC", line[:1]) in _RISKY


MOST_LINES, LONGEST = 5000, 400
MARKS = (",", ";", "\t")
NUMBERED = ("cylinder", "position")
PLAIN = tuple(key for key in SERIES_KEYS if key not in ("readings", "temperature", "remark", *NUMBERED))
# A column that says its unit: "end (ml)", "end [ml]".
UNIT = re.compile(r"^(?P<name>[^()\[\]]*?)\s*[(\[]\s*(?P<unit>[^()\[\]]+?)\s*[)\]]$")
OWN = ("remark", "set_aside", "time", "box")  # of the reading itself


def columns() -> tuple[str, ...]:
    """Every column that a table may have, in the order in which one is written."""
    first = ("step", *NUMBERED, *(key for key in PLAIN if key != "step"), "temperature")
    fields = [name for step in STEPS.values() for name in step.fields]
    more = [f.name for step in STEPS.values() for f in step.settings]
    more += [c.name for step in STEPS.values() for c in step.choices]
    return tuple(dict.fromkeys((*first, *fields, *more, *ROW_KEYS)))


def read_csv(path: Path, job: Job, *, again: bool = False) -> Taken:
    """The readings of a table that a job does not hold yet; ``again`` : also those it holds from another file.

    Raises InputError: it cannot be read, its readings stand in the job from another file, or with every line that holds
    something unusable.
    """
    found, faults = Taken(), list[Finding]()
    for number, cells, units in _lines(path):
        where = f"line {number}"
        try:
            _take(found, job, cells, units, box=cells.pop("box", "") or line_box(path, number), where=where)
        except InputError as fault:
            faults += [placed(f, path, where) for f in fault.findings]
    if faults:
        raise InputError(faults)
    other = "" if again or found.known else told_elsewhere(job, found.new, path)
    if other:
        wrong = f"its readings stand in the job already, in this order, from {other}"
        raise InputError(error("again", wrong, file=str(path), right="if they were all read once more, add --again"))
    found.unusual = [placed(f, path, f.place) for f in found.unusual]
    return found


def _lines(path: Path) -> Iterator[tuple[int, dict[str, str], dict[str, str]]]:
    """Every line that is not empty: its number, its cells by column, empty ones left out, and the columns' units."""
    text = read_text(path, "table")
    if "\0" in text:
        raise InputError(error("not-a-table", "zero bytes in the text", file=str(path), right="save it as UTF-8 text"))
    head = text.split("\n", 1)[0]
    mark = max(MARKS, key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    try:
        units = _columns(next(reader, []), path)
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if reader.line_num > MOST_LINES:
                raise InputError(error("too-large", f"more than {MOST_LINES} lines", file=str(path)))
            yield reader.line_num, _cells(cells, list(units), path, reader.line_num), units
    except csv.Error as fault:
        wrong = f"the table cannot be read: {fault}"
        raise InputError(error("not-a-table", wrong, file=str(path), line=reader.line_num)) from None


def _columns(cells: list[str], path: Path) -> dict[str, str]:
    """The columns with their units, all of them known and each once; a spreadsheet may leave empty ones at the end."""
    heads = [_head(cell.strip()) for cell in cells]
    return dict(zip(_names([name for name, _ in heads], path), (unit for _, unit in heads), strict=False))


def _head(text: str) -> tuple[str, str]:
    """A column's name and its unit, "" where it says none that is known."""
    said = UNIT.match(text)
    return (said["name"], said["unit"]) if said and said["unit"] in UNITS else (text, "")


def _names(names: list[str], path: Path) -> list[str]:
    known = columns()
    while names and not names[-1]:
        names.pop()
    if len(names) > len(known):
        wrong = f"{len(names)} columns, but there are only {len(known)} to choose from"
        raise InputError(error("too-large", wrong, file=str(path), line=1))
    faults = []
    for name in dict.fromkeys(names):
        if not name:
            wrong = f"column {names.index(name) + 1} has no name"
            faults.append(error("unknown-key", wrong, right="name it or take it out", file=str(path), line=1))
        elif name not in known:
            right = suggested(name, known, f"such as {', '.join(known[:6])}")
            faults.append(error("unknown-key", "no such column", read=name, right=right, file=str(path), line=1))
        elif names.count(name) > 1:
            faults.append(error("twice", "this column is there twice", read=name, file=str(path), line=1))
    if "step" not in names:
        right = "the first line names the columns: step,cylinder,instrument,start,end"
        faults = [error("missing-value", "no column says the step", file=str(path), line=1, right=right)]
    if faults:
        raise InputError(faults)
    return names


def _cells(cells: list[str], names: list[str], path: Path, line: int) -> dict[str, str]:
    if any(cell.strip() for cell in cells[len(names) :]):
        wrong = f"{len(cells)} cells, but {len(names)} columns"
        right = "put a cell that holds the separator in quotes"
        raise InputError(error("not-a-table", wrong, file=str(path), line=line, right=right))
    found = {name: from_cell(cell) for name, cell in zip(names, cells, strict=False) if cell.strip()}
    for name, text in found.items():
        if len(text) > LONGEST:
            wrong = f"more than {LONGEST} characters in a cell"
            raise InputError(error("too-long", wrong, read=text[:40], file=str(path), line=line, place=name))
    return found


def _take(found: Taken, job: Job, cells: dict[str, str], units: dict[str, str], *, box: str, where: str) -> None:
    """One line: header and reading, with the checks of typing it."""
    if "step" not in cells:
        raise InputError(error("missing-value", "the step is not said", right=f"one of {', '.join(STEPS)}"))
    step = step_named(cells["step"])
    header: dict[str, str | int | Texts] = {key: cells[key] for key in PLAIN if key in cells}
    header |= {key: _whole(cells[key], key) for key in NUMBERED if key in cells}
    own = {key: cells[key] for key in OWN if key in cells}
    lacks = no_reason(own["set_aside"]) if "set_aside" in own else None
    if lacks is not None:
        raise InputError(lacks)
    rest = {name: text for name, text in cells.items() if name not in (*header, *own)}
    _known_to(step, rest)
    settings, choices = settings_of(step), {c.name for c in step.choices}
    split = {name: tuple(part.strip() for part in text.split(";") if part.strip()) for name, text in rest.items()}
    set_up = {name: texts for name, texts in split.items() if name in settings and name not in step.fields}
    sight = _sight(units, rest, {**settings, **step.fields})
    header |= with_units(set_up, settings, job.system, sight)
    header |= {name: rest[name] for name in choices & set(rest)}
    read = {name: texts for name, texts in split.items() if name in step.fields}
    row = with_units(read, step.fields, job.system, sight)
    found.take(job, header, row, box=box, where=where, **own)


def _sight(units: Mapping[str, str], cells: Mapping[str, str], fields: Mapping[str, Field]) -> dict[str, str]:
    """The units that the heads of the filled columns say, each of the kind that is read there."""
    said = {name: unit for name, unit in units.items() if unit and name in cells}
    for name, unit in said.items():
        if name not in fields or UNITS[unit][0] is not term(fields[name].term).kind:
            raise InputError(error("wrong-unit", f"the column {name} is not in {unit}", read=f"{name} ({unit})"))
    return said


def _known_to(step: Step, cells: Mapping[str, str]) -> None:
    """Refuse a cell that says something which this step has no place for."""
    known = {*step.fields, *settings_of(step), *(c.name for c in step.choices)}
    strange = [name for name in cells if name not in known]
    if strange:
        wrong = f"the step {step.key} has no {' and no '.join(strange)}"
        raise InputError(error("unknown-name", wrong, right="leave the cell empty"))


def _whole(text: str, what: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 6):
        raise InputError(error("not-whole", f"the {what} is a whole number", read=text))
    return int(text)


# The readings of a job as a table, in the columns that can be read back.


def readings_csv(job: Job) -> str:
    """Every reading in a line, those set aside too, as typed; columns that hold nothing are left out."""
    lines = [{name: as_cell(text) for name, text in line.items()} for line in _lines_of(job)]
    used = [name for name in columns() if any(name in line for line in lines)] or ["step"]
    stream = io.StringIO()
    out = csv.DictWriter(stream, used, lineterminator="\n")
    out.writeheader()
    out.writerows(lines)
    return stream.getvalue()


def is_readings(head: Sequence[str]) -> bool:
    """Whether the first line of a table is one that :func:`readings_csv` writes."""
    return "step" in head and set(head) <= set(columns())


def _lines_of(job: Job) -> Iterator[dict[str, str]]:
    for number, series in enumerate(job.series, 1):
        head = _head_of(job, series)
        for place, row in enumerate(series.rows, 1):
            yield {**head, **_row(row, f"series {number}, reading {place}")}


def _head_of(job: Job, series: Series) -> dict[str, str]:
    said = {key: getattr(series, key) for key in ("step", "state", "instrument", "fluid", "by", "date")}
    if len(series.cylinders) == 1 and job.cylinders > 1:
        said["cylinder"] = str(series.cylinders[0])
        kind = [p for p in job.parts.values() if series.part and p.name == series.part]
        several = kind and sum(p.kind == kind[0].kind for p in job.parts.values()) > 1
        said["part"] = series.part if several else ""
    else:
        said["part"] = series.part
        said["cylinder"] = "1" if not series.part and series.cylinders == (1,) else ""
    said |= {name: "; ".join(texts) for name, texts in series.settings.items()}
    said |= dict(series.choices)
    return {key: text for key, text in said.items() if text}


def _row(row: Row, box: str) -> dict[str, str]:
    said = {name: "; ".join(texts) for name, texts in row.fields.items()}
    said |= {"set_aside": row.set_aside, "remark": row.remark, "time": row.time, "box": row.box or box}
    return {key: text for key, text in said.items() if text}
