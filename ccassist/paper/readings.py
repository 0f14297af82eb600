"""The readings as they were made: raw texts, results, what was set aside, and how each mean was formed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from reportlab.platypus import Flowable

from ccassist.analysis import calibration_words as told
from ccassist.analysis.results import Survey
from ccassist.analysis.sums import as_printed, printed
from ccassist.analysis.which_counts import order_of
from ccassist.bench.calibrated import Calibration
from ccassist.bench.cell import Cell as Series
from ccassist.bench.cell import Reading, Reduced
from ccassist.bench.step import SameWay
from ccassist.job.records import Row
from ccassist.paper.furniture import Cell, Entry, Line, heading, labelled, prose, subheading, table
from ccassist.paper.page import STRONG
from ccassist.paper.sheet import INDENT, MOST_TEXT, SMALL, Sheet
from ccassist.paper.values import own, stated
from ccassist.values.display import places
from ccassist.values.findings import listed, runs
from ccassist.values.measured import Value
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.enumerations import Origin

OLDER, NEWER, UNUSED = (
    "older state, not in the results",
    "newer state, not complete: not in the results",
    "not in the results",
)
ROOM, ROW = 125.0, 15.0  # points: what stands above the first row, and a row
MOST_WIDE = 3  # columns of readings that leave room for wide ones beside them
LONGEST_WHOLE = 10  # rows of one series that are kept on one page
LONGEST_NAME = 60  # characters of a name in a title


@dataclass
class _Block:
    """Series made alike, in one table."""

    sheet: Sheet
    members: list[Reduced]
    rows: list[list[Entry]] = field(default_factory=list)
    breaks: list[int] = field(default_factory=list)
    strong: list[int] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    spans: dict[int, tuple[int, int]] = field(default_factory=dict)
    whole: list[tuple[int, int]] = field(default_factory=list)

    @property
    def first(self) -> Series:
        """One of the series, for what all of them have alike."""
        return self.members[0].cell

    def noted(self, text: str, limit: int) -> str:
        """A text, or the number of the note in which it stands whole."""
        if len(self.sheet.words(text)) <= limit:
            return self.sheet.words(text)
        if text not in self.notes:
            self.notes.append(text)
        return f"see note {self.notes.index(text) + 1}"


def readings(sheet: Sheet) -> list[Flowable]:
    """Every series, then the values that were stated."""
    rows = {row.line: row for series in sheet.survey.job.series for row in series.rows if row.line is not None}
    made = [_Block(sheet, members) for members in _grouped(sheet).values()]
    blocks = [_block(one, rows) for one in made]
    story = heading(sheet, "Readings", room=50 + (_room(made[0]) if made else 0))
    if not blocks:
        story.append(prose("No readings were made: every value is stated."))
    return [*story, *(f for block in blocks for f in block), *stated(sheet), *own(sheet)]


def _grouped(sheet: Sheet) -> dict[tuple[SameWay, tuple[str, ...]], list[Reduced]]:
    """Series of the same step, made the same way in the same state, together."""
    groups: dict[tuple[SameWay, tuple[str, ...]], list[Reduced]] = {}
    for one in sheet.survey.reduced:
        c = one.cell
        if c.readings:
            warmth = tuple(q.raw for q in c.settings.get("temperature", ()))  # read anew each time, and printed
            apart = tuple(repr(sorted(s.choices.items())) + repr(s.settings) for s in c.set_ups)
            groups.setdefault((c.same_way.anywhere, (*warmth, *apart)), []).append(one)
    return groups


def _block(block: _Block, rows: dict[int, Row]) -> list[Flowable]:
    sheet, cell = block.sheet, block.first
    fields = [
        f
        for f in cell.readings[0].method.fields
        if any(f.name in r.fields for m in block.members for r in m.cell.readings)
    ]
    for one in block.members:
        _one_series(block, one, [f.name for f in fields], rows)
    head: list[Entry] = [
        "",
        "no.",
        *(Cell(Line(f.words, STRONG)) for f in fields),
        Cell(Line(_result_title(block), STRONG)),
        "remark",
    ]
    width = sheet.width
    few = len(fields) <= MOST_WIDE
    where, all_fields, result, remark = (0.15, 0.39, 0.185, 0.22) if few else (0.1, 0.53, 0.13, 0.185)
    parts = [where, 0.055, *([all_fields / len(fields)] * len(fields)), result, remark]
    return [
        *subheading(_title(block), room=_room(block)),
        *_about(block, rows),
        table(
            head,
            block.rows,
            [width * p for p in parts],
            words=(0, 1, *range(2, 2 + len(fields)), 3 + len(fields)),
            breaks=block.breaks,
            strong=block.strong,
            spans=block.spans,
            whole=block.whole,
        ),
        *(
            labelled(f"note {i}", sheet.words(text), indent=INDENT, size=SMALL)
            for i, text in enumerate(block.notes, start=1)
        ),
    ]


def _room(block: _Block) -> float:
    """Height for the heading, the head of the table and its first series."""
    return ROOM + ROW * (block.whole[0][1] if block.whole else LONGEST_WHOLE)


def _title(block: _Block) -> str:
    cell, short = block.first, block.sheet.short
    words = [
        cell.step.title,
        *([short(cell.part, LONGEST_NAME)] if cell.part else []),
        *([short(cell.state, LONGEST_NAME)] if cell.state else []),
    ]
    return " · ".join(words)


def _about(block: _Block, rows: dict[int, Row]) -> list[Flowable]:
    """How it was set up, dates and remarks; and whether it is in the results."""
    sheet = block.sheet
    lines = {r.line for m in block.members for r in m.cell.readings}
    series = [s for s in sheet.survey.job.series if any(r.line in lines for r in s.rows if r.line is not None)]
    dates = dict.fromkeys(f"date {s.date}" for s in series if s.date)
    remarks = dict.fromkeys(f"remark: {s.remark}" for s in series if s.remark)
    story = [prose(sheet.words("; ".join([*_set_up(block.first), *dates])), size=SMALL, after=2)]
    story += [prose(sheet.words(remark), size=SMALL, after=2) for remark in remarks]
    return [*story, *_standing(block)]


def _conditions(cell: Series) -> list[str]:
    """Settings and choices in words; where some readings were set up otherwise, which."""
    known = {f.name: f.words for f in cell.step.settings}
    ways = []
    for part in cell.parts:
        said = [f"{known.get(n, n)} {', '.join(q.raw for q in found)}" for n, found in sorted(part.settings.items())]
        said += [f"{name} {word}" for name, word in sorted(part.choices.items())]
        rows = [number for number, row in enumerate(cell.readings, 1) if row in part.readings]
        ways.append((rows, said))
    if len(ways) == 1:
        return ways[0][1]
    return [f"{cell.step.noun} {runs(rows)}: {', '.join(said) or 'nothing said'}" for rows, said in ways]


def _set_up(cell: Series) -> list[str]:
    """Method, instrument, fluid, settings, choices and person, in words; names too long for the title in full."""
    said = [
        cell.readings[0].method.title,
        cell.instrument and f"instrument {cell.instrument}",
        cell.fluid and f"fluid {cell.fluid}",
        *_conditions(cell),
        cell.by and f"read by {cell.by}",
        f"part {cell.part}" if len(cell.part) > LONGEST_NAME else "",
        f"state {cell.state}" if len(cell.state) > LONGEST_NAME else "",
    ]
    return [words for words in said if words]


def _standing(block: _Block) -> list[Flowable]:
    """Which series of a block are not in the results, and why."""
    said: dict[str, list[str]] = {}
    for one in block.members:
        said.setdefault(_status(block.sheet, one), []).append(block.sheet.short(one.cell.where, LONGEST_NAME))
    alone = len(said) == 1
    return [
        prose(f"{words if alone else f'{listed(where)}: {words}'}.".capitalize(), STRONG, SMALL, after=2)
        for words, where in said.items()
        if words
    ]


def _status(sheet: Sheet, one: Reduced) -> str:
    """Whether its values are those of the cylinders, and if not, why."""
    cylinders = [c for c in sheet.survey.cylinders if c.number in one.cell.cylinders]
    if any(c.uses(one) for c in cylinders):
        return ""
    if not one.values:
        return "every reading set aside"
    survey, cell = sheet.survey, one.cell
    alike = [r for r in survey.reduced if r.cell.step is cell.step and r.cell.part == cell.part]
    order = order_of(survey.job, cell.part, [r.cell for r in alike])
    used = [order.index(r.cell.state) for r in alike if r.cell.state != cell.state and _enters(r, survey)]
    if not used:
        return UNUSED
    return OLDER if order.index(cell.state) < max(used) else NEWER


def _enters(one: Reduced, survey: Survey) -> bool:
    """Whether a value of it is that of some cylinder."""
    counted = {id(value) for cylinder in survey.cylinders for value in cylinder.values.values()}
    return any(id(value) in counted for value in one.values.values())


def _result_title(block: _Block) -> str:
    key = _row_key(block.first)
    unit = term(key).shown(block.sheet.system)
    return f"result, {unit}" if unit else "result"


def _row_key(cell: Series) -> str:
    return "fill_volume" if cell.step.fills else cell.readings[0].method.result


def _one_series(block: _Block, one: Reduced, fields: Sequence[str], rows: dict[int, Row]) -> None:
    sheet, cell = block.sheet, one.cell
    if block.rows:
        block.breaks.append(len(block.rows))
    first, short = len(block.rows), len(cell.readings) + len(one.lines) <= LONGEST_WHOLE
    key = _row_key(cell)
    decimals = places(sheet.fmt.unit(key), None) + 1
    where = f"cyl. {runs(cell.cylinders)}" if len(cell.cylinders) < 6 else block.noted(cell.where, 30)
    for n, (reading, result) in enumerate(zip(cell.readings, one.rows, strict=False), start=1):
        row = rows.get(reading.line) if reading.line is not None else None
        texts = [block.noted("; ".join(q.raw for q in reading.fields.get(name, ())), MOST_TEXT) for name in fields]
        shown = "" if result is None else sheet.fmt.amount(key, result, decimals=decimals)
        struck = bool(reading.set_aside)
        block.rows.append(
            [
                where if n == 1 or not short else "",
                str(n),
                *(_text(t, struck) for t in texts),
                _text(shown, struck),
                _remark(block, reading, row),
            ]
        )
    _lines(block, one, len(fields), decimals)
    if short:
        block.whole.append((first, len(block.rows) - 1))


def _text(text: str, struck: bool) -> Entry:
    return Cell(Line(text, struck=True)) if struck and text else text


def _remark(block: _Block, reading: Reading, row: Row | None) -> str:
    said = [f"set aside: {reading.set_aside}" if reading.set_aside else "", reading.remark, row.time if row else ""]
    return block.noted("; ".join(text for text in said if text), MOST_TEXT)


def _lines(block: _Block, one: Reduced, columns: int, decimals: int) -> None:
    """The reduction line by line; what is added adds exactly as printed, and the headline is rounded after."""
    running, added = Decimal(0), False
    for line in one.lines:
        value = Value(key=line.key, number=line.number, origin=Origin.MEASURED)
        part = as_printed(value, decimals, block.sheet.fmt)
        addend = not line.total and term(line.key).kind is Kind.VOLUME
        running, added = (running + part, True) if addend else (running, added)
        result = running if line.total and added else part
        if line.total:
            block.strong.append(len(block.rows))
            running, added = Decimal(0), False
        block.spans[len(block.rows)] = (2, 1 + columns)
        said = "" if addend else f"= {block.sheet.fmt.value(value)}"
        block.rows.append(["", "", line.words, *([""] * (columns - 1)), printed(result), said])


# What was calibrated: its steps, the line through them and the ± over its range, so that each correction re-adds.

SHARE = 0.11  # of the width, each column
ROOM_FOR_STEPS = 130.0  # points: what stands above the steps, and a few of them


def calibrations(sheet: Sheet) -> list[Flowable]:
    """A section of its own where any scale was calibrated, else nothing."""
    found = sheet.survey.calibrations
    if not found:
        return []
    story = heading(sheet, "Calibrations")
    for made in found.values():
        story += _calibration(sheet, made)
    return story


def _calibration(sheet: Sheet, made: Calibration) -> list[Flowable]:
    said = (*told.line_in_words(made, sheet.fmt), *told.doubts(made, sheet.fmt))
    return [
        *subheading(sheet.words(told.title(made)), room=ROOM_FOR_STEPS),
        prose(sheet.words(told.how_made(made)), size=SMALL, after=2),
        prose(told.UNIT, size=SMALL, after=2),
        _steps(sheet, made),
        *(prose(sheet.words(text), size=SMALL, before=2, after=1) for text in _set_aside(made)),
        *(prose(text, size=SMALL, before=2, after=1) for text in said),
        table(told.REACH_HEAD, told.reach_rows(made, sheet.fmt), _widths(sheet, told.REACH_HEAD), words=()),
        prose(sheet.words(told.common(made, sheet.fmt)), size=SMALL, before=2, after=2),
        *(labelled("•", sheet.words(text), indent=12, size=SMALL) for text in told.advice(made)),
    ]


def _steps(sheet: Sheet, made: Calibration) -> Flowable:
    """Each step with its readings as written."""
    rows = told.step_rows(made, sheet.fmt)
    read = [sheet.words(step.reading.said) for step in made.steps]
    widths = [*_widths(sheet, told.STEP_HEAD), sheet.width * (1 - SHARE * len(told.STEP_HEAD))]
    lines: list[list[Entry]] = [[*row, text] for row, text in zip(rows, read, strict=True)]
    return table([*told.STEP_HEAD, "as read"], lines, widths, words=(0, len(told.STEP_HEAD)))


def _set_aside(made: Calibration) -> list[str]:
    """Readings that do not count, and why."""
    rows = [row for cell in made.cells for row in cell.readings if row.set_aside]
    return [f"Set aside: {row.said}; {row.set_aside}." for row in rows]


def _widths(sheet: Sheet, head: tuple[str, ...]) -> list[float]:
    return [sheet.width * SHARE for _ in head]
