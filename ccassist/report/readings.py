"""The readings: what each came to, as they were made and how each mean was formed, and every one as it was typed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from ccassist.analysis.results import Survey, survey
from ccassist.analysis.sums import as_printed, printed
from ccassist.analysis.which_counts import order_of
from ccassist.bench.calibrated import Calibration
from ccassist.bench.cell import Cell, Reading, Reduction
from ccassist.bench.steps import STEPS
from ccassist.job.records import Given, Job, Row, Series
from ccassist.report import calibration as told
from ccassist.report.blocks import Block, Heading, Report, Table, Text, items
from ccassist.values.display import Formatter, places
from ccassist.values.findings import capital, clean, errors, listed, runs
from ccassist.values.measured import Value
from ccassist.values.quantity import Quantity
from ccassist.vocabulary import Kind, term
from ccassist.vocabulary.record import record, together
from ccassist.vocabulary.units import Origin

LONGEST = 60  # characters of a name


def readings_in_short(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """A table for each sort of series; nothing where every value is stated."""
    used = [one for one in survey.reduced if one.values and any(c.uses(one) for c in survey.cylinders)]
    groups = together(((one.cell.same_way.anywhere, one.cell.state, set_ups(one.cell)), one) for one in used)
    for members in groups.values():
        yield Heading(titled(members[0].cell), 2)
        yield Text(f"{'; '.join(set_up(members, fmt))}.", small=True)
        yield _table(members, fmt)


def set_ups(cell: Cell) -> tuple[str, ...]:
    """What tells the set-ups of a series apart from those of another."""
    return tuple(repr(sorted(one.choices.items())) + repr(one.settings) for one in cell.set_ups)


def titled(cell: Cell) -> str:
    """The step, the part and its state."""
    names = [clean(name, LONGEST) for name in (cell.part, cell.state) if name]
    return " · ".join([cell.step.title, *names])


def set_up(members: Sequence[Reduction], fmt: Formatter | None) -> list[str]:
    """Method, instrument, fluid, settings, choices and person, in words; settings as written where ``fmt`` is None."""
    cell = members[0].cell
    said = [
        cell.readings[0].method.title,
        cell.instrument,
        cell.fluid,
        *_conditions(members, fmt),
        f"read by {cell.by}" if cell.by else "",
    ]
    return [clean(words, LONGEST * 2) for words in said if words]


def _conditions(members: Sequence[Reduction], fmt: Formatter | None) -> list[str]:
    """Settings and choices in words; where some readings of a series were set up otherwise, which."""
    cell, ways = members[0].cell, []
    known = {field.name: field.words for field in cell.step.settings}
    for part in cell.parts:
        alike = [part] if len(cell.parts) > 1 else [one.cell for one in members]
        said = [
            f"{known.get(name, name)} "
            + ", ".join(dict.fromkeys(_said(q, fmt) for one in alike for q in one.settings.get(name, ())))
            for name in sorted(part.settings)
        ]
        said += [f"{name} {word}" for name, word in sorted(part.choices.items())]
        ways.append(([n for n, row in enumerate(cell.readings, 1) if row in part.readings], said))
    if len(ways) == 1:
        return ways[0][1]
    return [f"{cell.step.noun} {runs(rows)}: {', '.join(said) or 'nothing said'}" for rows, said in ways]


def _said(read: Quantity, fmt: Formatter | None) -> str:
    """A setting as written, or in the units shown where it was written in others."""
    if fmt is None or read.unit == fmt.unit(read.key):
        return read.raw
    return fmt.show(read.key, read.value, words=False)


def _table(members: Sequence[Reduction], fmt: Formatter) -> Table:
    """A row for each series: what was read and, first of what follows from it, the value with its ±."""
    cell = members[0].cell
    read = "fill_volume" if cell.step.fills else cell.readings[0].method.result
    unit = fmt.unit(read)
    rows = []
    for one in members:
        value = next(iter(one.values.values()))
        rows.append((runs(one.cell.cylinders), _read(one, read, fmt), fmt.value(value)))
    result = term(next(iter(members[0].values))).name
    return Table(head=("cyl", f"read{f', {unit}' if unit else ''}", result), rows=tuple(rows), names=(0, 1))


def _read(one: Reduction, key: str, fmt: Formatter) -> str:
    """What each row came to; those set aside in brackets."""
    decimals = places(fmt.unit(key), None) + (1 if fmt.unit(key) in ("mm", "cc") else 0)
    said = []
    for reading, result in zip(one.cell.readings, one.rows, strict=False):
        text = "–" if result is None else fmt.amount(key, result, decimals=decimals)
        said.append(f"({text} set aside)" if reading.set_aside else text)
    return ", ".join(said)


# The readings as they were made: raw texts, results, what was set aside, how each mean was formed; calibrations.

OLDER, NEWER, UNUSED = (
    "older state, not in the results",
    "newer state, not complete: not in the results",
    "not in the results",
)
MOST_TEXT = 90  # characters that a cell holds; longer texts stand below the table
MOST_READ = 200  # characters of a reading
Rows = Mapping[int, Row]  # of the job file, by their line


class _Notes:
    """Texts that are too long for a cell of a table, by the numbers under which they stand below it."""

    def __init__(self) -> None:
        self.texts: list[str] = []

    def noted(self, text: str, most: int = MOST_TEXT) -> str:
        """The text, or where it stands whole."""
        if len(text) <= most:
            return text
        if text not in self.texts:
            self.texts.append(text)
        return f"see note {self.texts.index(text) + 1}"

    def below(self) -> Iterator[Text]:
        """What stands below the table."""
        for number, text in enumerate(self.texts, 1):
            yield Text(clean(text, len(text)), f"note {number}", small=True)


def readings_in_full(survey: Survey, fmt: Formatter) -> Iterator[Block]:
    """Every series, what was stated instead, what was calibrated."""
    rows = {row.line: row for series in survey.job.series for row in series.rows if row.line is not None}
    groups: dict[object, list[Reduction]] = {}
    for one in survey.reduced:
        if one.cell.readings:
            warmth = tuple(q.raw for q in one.cell.settings.get("temperature", ()))  # read anew each time
            groups.setdefault((one.cell.same_way.anywhere, warmth, set_ups(one.cell)), []).append(one)
    yield Heading("Readings")
    if not groups:
        yield Text("No readings were made: every value is stated.")
    for members in groups.values():
        yield from _series(survey, members, rows, fmt)
    yield from _stated(survey)
    yield from _own(survey)
    if survey.calibrations:
        yield Heading("Calibrations")
        for made in survey.calibrations.values():
            yield from _calibration(made, fmt)


# -- a series -----------------------------------------------------------------------------


def _series(survey: Survey, members: Sequence[Reduction], rows: Rows, fmt: Formatter) -> Iterator[Block]:
    """Series made alike, in one table, with how they were made and whether they are in the results."""
    cell, notes = members[0].cell, _Notes()
    lines = {r.line for m in members for r in m.cell.readings}
    series = [s for s in survey.job.series if any(r.line in lines for r in s.rows if r.line is not None)]
    dates = dict.fromkeys(f"date {s.date}" for s in series if s.date)
    yield Heading(titled(cell), 2)
    yield Text(f"{'; '.join([*set_up(members, None), *_long_names(cell), *dates])}.", small=True)
    yield from (Text(f"Remark: {clean(s, len(s))}", small=True) for s in dict.fromkeys(s.remark for s in series) if s)
    yield from _standing(survey, members)
    unit = fmt.unit(_row_key(cell))
    made = [_rows(one, notes, rows, fmt) for one in members]
    firsts = [sum(len(part) for part, _ in made[:n]) for n in range(len(made))]
    yield Table(
        head=("", "no.", "as read", f"result, {unit}" if unit else "result", "remark"),
        rows=tuple(row for part, _ in made for row in part),
        names=(0, 1, 2, 4),
        strong=tuple((first + n, c) for first, (_, totals) in zip(firsts, made, strict=True) for n in totals
                     for c in (2, 3)),
        groups=tuple(firsts),
        struck=tuple(first + n for first, one in zip(firsts, members, strict=True)
                     for n, reading in enumerate(one.cell.readings) if reading.set_aside),
    )  # fmt: skip
    yield from notes.below()


def _long_names(cell: Cell) -> list[str]:
    """Names that are too long for the title."""
    names = {"part": cell.part, "state": cell.state}
    return [f"{what} {clean(name, len(name))}" for what, name in names.items() if len(name) > LONGEST]


def _rows(one: Reduction, notes: _Notes, rows: Rows, fmt: Formatter) -> tuple[list[tuple[str, ...]], list[int]]:
    """The readings of one series, then its reduction line by line; which of them are totals."""
    cell, key = one.cell, _row_key(one.cell)
    decimals = places(fmt.unit(key), None) + 1
    where = f"cyl. {runs(cell.cylinders)}" if len(cell.cylinders) < 6 else notes.noted(cell.where, 30)
    made: list[tuple[str, ...]] = []
    for n, (reading, result) in enumerate(zip(cell.readings, one.rows, strict=False), 1):
        row = rows.get(reading.line) if reading.line is not None else None
        shown = "" if result is None else fmt.amount(key, result, decimals=decimals)
        read = notes.noted(_as_read(reading), MOST_READ)
        made.append((where if n == 1 else "", str(n), read, shown, _remark(reading, row, notes)))
    more, totals = _reduction(one, decimals, fmt)
    return [*made, *more], [len(made) + n for n in totals]


def _as_read(reading: Reading) -> str:
    """Each field in words with its texts as written."""
    words = {field.name: field.words for field in reading.method.fields}
    read = {words.get(name, name): "; ".join(q.raw for q in found) for name, found in reading.fields.items()}
    return clean(", ".join(f"{name} {texts}" for name, texts in read.items()), 10_000)


def _row_key(cell: Cell) -> str:
    return "fill_volume" if cell.step.fills else cell.readings[0].method.result


def _remark(reading: Reading, row: Row | None, notes: _Notes) -> str:
    said = [f"set aside: {reading.set_aside}" if reading.set_aside else "", reading.remark, row.time if row else ""]
    return notes.noted("; ".join(text for text in said if text))


def _reduction(one: Reduction, decimals: int, fmt: Formatter) -> tuple[list[tuple[str, ...]], list[int]]:
    """What is added adds exactly as printed, and the headline is rounded after; which of the lines are totals."""
    running, added = Decimal(0), False
    made: list[tuple[str, ...]] = []
    totals: list[int] = []
    for line in one.lines:
        value = Value(key=line.key, number=line.number, origin=Origin.MEASURED)
        part = as_printed(value, decimals, fmt)
        addend = not line.total and term(line.key).kind is Kind.VOLUME
        running, added = (running + part, True) if addend else (running, added)
        result = running if line.total and added else part
        if line.total:
            totals.append(len(made))
            running, added = Decimal(0), False
        made.append(("", "", line.words, printed(result), "" if addend else f"= {fmt.value(value)}"))
    return made, totals


def _standing(survey: Survey, members: Sequence[Reduction]) -> Iterator[Text]:
    """Which series are not in the results, and why."""
    said = together((_status(survey, one), clean(one.cell.where, LONGEST)) for one in members)
    for words, where in said.items():
        if words:
            yield Text(f"{capital(words if len(said) == 1 else f'{listed(where)}: {words}')}.", strong=True, small=True)


def _status(survey: Survey, one: Reduction) -> str:
    """Whether its values are those of the cylinders, and if not, why."""
    if any(c.uses(one) for c in survey.cylinders if c.number in one.cell.cylinders):
        return ""
    if not one.values:
        return "every reading set aside"
    cell = one.cell
    alike = [r for r in survey.reduced if r.cell.step is cell.step and r.cell.part == cell.part]
    order = order_of(survey.job, cell.part, [r.cell for r in alike])
    counted = {id(value) for cylinder in survey.cylinders for value in cylinder.values.values()}
    used = [
        order.index(r.cell.state)
        for r in alike
        if r.cell.state != cell.state and any(id(value) in counted for value in r.values.values())
    ]
    if not used:
        return UNUSED
    return OLDER if order.index(cell.state) < max(used) else NEWER


# -- what was stated instead of being read ------------------------------------------------


def _stated(survey: Survey) -> Iterator[Block]:
    """Values as written, then the shop's own instruments and fluids."""
    job, notes = survey.job, _Notes()
    places_ = [
        ("every cylinder", job.engine),
        *((name, part.given) for name, part in job.parts.items()),
        *((f"cylinder {n}", given) for n, given in job.per_cylinder.items()),
    ]
    rows = [_as_written(where, one, notes) for where, given in places_ for one in given.values()]
    if rows:
        yield Heading("Stated values, as written", 2)
        head = ("for", "what", "as written", "origin, instrument, note")
        yield Table(head=head, rows=tuple(rows), names=(0, 1, 2, 3))
        yield from notes.below()


def _as_written(where: str, one: Given, notes: _Notes) -> tuple[str, ...]:
    origin = "; ".join(t for t in (one.origin, one.instrument, one.note) if t)
    return clean(where, LONGEST), term(one.key).name, notes.noted(", ".join(one.texts)), notes.noted(origin)


def _own(survey: Survey) -> Iterator[Block]:
    """The shop's own instruments and fluids, and what is noted about parts, as written."""
    job = survey.job
    said = [
        f"{name}: " + "; ".join(f"{key.replace('_', ' ')} {text}" for key, text in found.items())
        for name, found in {**job.instruments, **job.fluids}.items()
    ]
    said += [f"{name}: {part.note}" for name, part in job.parts.items() if part.note]
    if said:
        yield Heading("Own instruments, fluids, notes on parts", 2)
        yield from (Text(clean(text, len(text)), small=True) for text in said)


# -- what was calibrated: its steps, the line through them and the ± over its range, so that each correction re-adds


def _calibration(made: Calibration, fmt: Formatter) -> Iterator[Block]:
    yield Heading(told.title(made), 2)
    yield Text(told.how_made(made), small=True)
    yield Text(told.UNIT, small=True)
    rows = [(*row, step.reading.said) for row, step in zip(told.step_rows(made, fmt), made.steps, strict=True)]
    yield Table(head=(*told.STEP_HEAD, "as read"), rows=tuple(rows), names=(0, len(told.STEP_HEAD)))
    aside = [row for cell in made.cells for row in cell.readings if row.set_aside]
    yield from (Text(f"Set aside: {row.said}; {row.set_aside}.", small=True) for row in aside)
    yield from (Text(text, small=True) for text in (*told.line_in_words(made, fmt), *told.doubts(made, fmt)))
    yield Table(head=told.REACH_HEAD, rows=tuple(tuple(row) for row in told.reach_rows(made, fmt)))
    yield Text(told.common(made, fmt), small=True)
    yield from items(told.advice(made))


# Every reading of a job as it was typed, those set aside too.

MOST = 500  # characters of a reading


@record
class Readings:
    """All readings of a job, series by series, as written."""

    series: Sequence[Series]


def readings_report(job: Job, fmt: Formatter, *, everything: bool = False) -> Report:
    """How many there are, and each of them; ``everything`` : with what they came to, where that can be worked out."""
    rows = [row for series in job.series for row in series.rows]
    aside = sum(not row.counts for row in rows)
    count = f"{len(rows)} reading{'' if len(rows) == 1 else 's'} in {len(job.series)} series"
    told = f"{count}{f', {aside} set aside' if aside else ''}." if rows else "No readings yet."
    table = Table(head=("", "", "as read", ""), rows=tuple(_as_typed(job)), names=(0, 1, 2, 3), long=True)
    return Report(
        title="Readings",
        subject="Every reading as it was typed, and what it came to",
        answer=(Text(told, strong=True), table) if rows else (Text(told),),
        support=tuple(_worked_out(job, fmt)) if everything and rows else (),
        more=bool(rows),
    )


def _as_typed(job: Job) -> Iterator[tuple[str, str, str, str]]:
    for series in job.series:
        what = clean(", ".join(filter(None, (STEPS[series.step].title, _where(series), series.state))), MOST)
        for number, row in enumerate(series.rows, 1):
            yield (what if number == 1 else "", str(number), clean(as_read(row), MOST), _remarks(row))


def _where(series: Series) -> str:
    """What was measured: a cylinder, a part, or the instrument itself."""
    return f"cylinder {series.cylinders[0]}" if len(series.cylinders) == 1 else series.part or series.instrument


def as_read(row: Row) -> str:
    """The texts of a reading, each after its name."""
    return ", ".join(f"{name} {'; '.join(texts)}" for name, texts in row.fields.items())


def _remarks(row: Row) -> str:
    return clean("; ".join(filter(None, (f"set aside: {row.set_aside}" if row.set_aside else "", row.remark))), MOST)


def _worked_out(job: Job, fmt: Formatter) -> Iterator[Block]:
    found = survey(job)
    wrong = errors(found.findings)
    if wrong:
        yield Heading("What they came to")
        yield Text(f"Not worked out: {len(wrong)} wrong; see ccassist check.")
        return
    yield from readings_in_full(found, fmt)
