"""From the texts of a job to numbers: readings into cells, stated values into uncertain numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

from ccassist.bench.cell import Cell, Reading
from ccassist.bench.kit import Kit
from ccassist.bench.lengths import Several, mean_of_several
from ccassist.bench.requirements import out_of_reach
from ccassist.bench.step import Field, SameWay, Way
from ccassist.bench.steps import STEPS
from ccassist.job.equipment import all_given
from ccassist.job.records import Given, Job, Listed, Row, Series
from ccassist.job.sections import Section
from ccassist.job.vocabulary import CHOSEN, PLAIN
from ccassist.values.findings import Finding, InputError, warning
from ccassist.values.measured import Value
from ccassist.values.number import Number
from ccassist.values.quantity import Quantity, doubtful, parse
from ccassist.values.statement import has_doubt, number_of
from ccassist.vocabulary import term
from ccassist.vocabulary.record import once_each
from ccassist.vocabulary.units import Origin

TEMPERATURE = Field(name="temperature", term="temperature", words="temperature", many=True)


class Collector:
    """Reads quantities and keeps what was wrong with them, each with its line."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.findings: list[Finding] = []

    def quantity(self, text: str, key: str, line: int | None, place: str, number: int = 0) -> Quantity | None:
        """One quantity, or None and a finding; ``line`` serves where the place has none of its own.

        ``number`` : which of several it is, where it may be one of a list.
        """
        quantity, faults = None, list[Finding]()
        try:
            quantity = parse(text, key, system=self.job.bare)
        except InputError as fault:
            faults += fault.findings
        else:
            faults += [unusual] if (unusual := doubtful(quantity)) else []
        if faults:
            place = self._nth(place, number) if number else place
            line = self.job.line_at(place) or line
            self.findings += [f.at(file=self.job.file, line=line, place=place) for f in faults]
        return quantity

    def all(self, texts: Sequence[str], key: str, line: int | None, place: str) -> tuple[Quantity, ...]:
        """Several quantities; those that cannot be read are left out (with a finding)."""
        found = [self.quantity(text, key, line, place, number) for number, text in enumerate(texts, 1)]
        return tuple(q for q in found if q is not None)

    def _nth(self, place: str, number: int) -> str:
        """The place of one of several, where the file has a list."""
        tried = (f"{place}.value", f"{place}, reading {number}", f"{place} {number}")
        return next((at for at in tried if self.job.line_at(at)), place)


def cells_of(job: Job) -> tuple[list[Cell], list[Finding]]:
    """The readings of a job as cells; blocks of the same thing made the same way are joined."""
    findings: list[Finding] = []
    joined: dict[SameWay, Cell] = {}
    for series in job.series:
        cells, faults = _split(series, job)
        findings += faults
        for cell in cells:
            earlier = joined.get(cell.one_mean)
            joined[cell.one_mean] = cell if earlier is None else _join(earlier, cell)
    return list(joined.values()), findings


def _hangs_on(series: Series, job: Job) -> tuple[object, ...]:
    """All that a block's cells hang on: its record, what bare numbers are in, and the temperature of the bench."""
    return series, job.file, job.bare, repr(job.engine.get("temperature"))


@once_each(_hangs_on)
def _split(series: Series, job: Job) -> tuple[list[Cell], list[Finding]]:
    """A series as cells, one for each method among its rows, and what cannot be read or is doubtful in it."""
    step, collector = STEPS[series.step], Collector(job)
    known = {f.name: f for f in (*step.settings, TEMPERATURE)}
    settings = {
        name: collector.all(texts, known[name].term, series.line, f"{series.place}.{name}")
        for name, texts in series.settings.items()
    }
    warmth = job.engine.get("temperature")
    if warmth and "temperature" not in settings:
        settings["temperature"] = collector.all(warmth.texts, "temperature", warmth.line, warmth.place)
    methods: dict[str, list[Reading]] = {}
    for row in series.rows:
        reading = _reading(row, series, collector)
        if reading is not None:
            methods.setdefault(reading.method.key, []).append(reading)
    if any(len(settings[name]) != len(texts) for name, texts in series.settings.items()):
        return [], collector.findings  # what was misread has its finding; without it the readings mean something else
    cells = [
        Cell(
            step=step,
            cylinders=series.cylinders,
            readings=tuple(rows),
            state=series.state,
            part=series.part,
            instrument=series.instrument,
            fluid=series.fluid or step.fluid,
            by=series.by,
            date=series.date,
            line=series.line,
            place=series.place,
            settings={k: q for k, q in settings.items() if q},
            choices=series.choices,
        )
        for rows in methods.values()
    ]
    return cells, collector.findings


def _reading(row: Row, series: Series, collector: Collector) -> Reading | None:
    step = STEPS[series.step]
    method = step.method_of(frozenset(row.fields))
    if method is None:
        return None
    terms = {f.name: f.term for f in method.fields}
    fields = {
        name: collector.all(texts, terms[name], row.line, f"{row.place}.{name}") for name, texts in row.fields.items()
    }
    if any(len(fields[name]) != len(texts) for name, texts in row.fields.items()):
        return None
    return Reading(
        fields=fields, method=method, set_aside=row.set_aside, remark=row.remark, line=row.line, place=row.place
    )


@once_each(lambda first, second: (first, second))
def _join(first: Cell, second: Cell) -> Cell:
    """Readings that make one mean; where their set-ups differ each keeps its own."""
    warmth = first.settings.get("temperature", ()) + second.settings.get("temperature", ())
    settings = {**first.settings, **({"temperature": warmth} if warmth else {})}
    readings = first.readings + second.readings
    if first.same_way == second.same_way and not first.set_ups:
        return replace(first, readings=readings, settings=settings)
    set_ups = (*(first.set_ups or (first.set_up,)), second.set_up)
    return replace(first, readings=readings, settings=settings, set_ups=set_ups)


def stated_values(
    givens: Mapping[str, Given], job: Job, kit: Kit, collector: Collector, *, of: Section | None = None
) -> dict[str, Value]:
    """The values stated in one section, by term.  The same statement always gives the same uncertain number.

    ``of`` : the section, which says of which terms the origin need not be said.
    """
    asked = of.unasked if of else ()
    found: dict[str, Value] = {}
    for key, given in givens.items():
        quantities = collector.all(given.texts, key, given.line, given.place)
        misread = [fault for q in quantities for fault in out_of_reach(given.instrument, q, kit)]
        collector.findings += [f.at(file=job.file, line=given.line, place=given.place) for f in misread]
        if len(quantities) != len(given.texts) or misread:
            continue
        found[key] = _stated(given, quantities, kit, unsaid=_unsaid_origin(key, of))
        if key not in (*PLAIN, *asked):
            unsaid = _open(found[key], quantities)
            collector.findings += [f.at(file=job.file, line=given.line, place=given.place) for f in unsaid]
    return found


def _unsaid_origin(key: str, of: Section | None) -> Origin:
    """What stands for the origin of a term where none is said."""
    if key in CHOSEN or (of is not None and key in of.decided):
        return Origin.CHOSEN
    return Origin.ASKED if of is not None and key in of.asked else Origin.NOT_SAID


def _open(value: Value, quantities: Sequence[Quantity]) -> list[Finding]:
    """What a statement leaves open: where it comes from, and how good it is."""
    wanted, found = term(value.key), []
    if value.origin == Origin.NOT_SAID:
        right = 'add ", measured", ", maker\'s figure" or ", assumed"'
        wrong = f"it is not said where the {wanted.name} comes from"
        found.append(warning("no-origin", wrong, read=value.raw[0], right=right))
    if any(0 in (q.spread, q.standard) for q in quantities):
        wrong = f"a ± of nothing for the {wanted.name}: nobody knows it so well, and it is taken as if none were said"
        found.append(warning("no-doubt", wrong, read=value.raw[0], right='write e.g. "… +/- 0.02 mm"'))
    return found


def _stated(given: Given, quantities: tuple[Quantity, ...], kit: Kit, *, unsaid: Origin) -> Value:
    read = Origin.MEASURED if given.instrument or len(quantities) > 1 else Origin.UNSAID
    said = given.origin or quantities[0].origin or read
    origin = said or unsaid
    words = f"{term(given.key).name} ({given.place})"
    if given.key in CHOSEN or (origin == Origin.CHOSEN and not has_doubt(quantities[0])):
        number: Number = quantities[0].value
        return Value(given.key, number, Origin.CHOSEN, how="chosen", line=given.line, raw=given.texts)
    if unsaid == Origin.ASKED:  # of a part to be made: a ± is what its maker will hold, and no guess
        number = number_of(replace(quantities[0], origin=said), words, at_the_bench=True)
    elif len(quantities) == 1 and (has_doubt(quantities[0]) or given.instrument not in kit.instruments):
        number = kit.stated(replace(quantities[0], origin=said), given.place, words, given.instrument)
    else:
        number = kit.shared(("listed", given.place), lambda: mean_of_several(_several(given, quantities), kit))
    how = f"mean of {len(quantities)} readings" if len(quantities) > 1 else f"stated, {origin}"
    return Value(given.key, number, origin, how=how, line=given.line, raw=given.texts)


def _several(given: Given, quantities: tuple[Quantity, ...]) -> Several:
    """Readings that are stated as a list: made the same way as all lists of that term by that instrument."""
    return Several(
        quantities=quantities,
        key=given.key,
        where=f"{term(given.key).name} ({given.place})",
        instrument=given.instrument,
        way=Way("stated", given.key, given.instrument),
        name=given.place,
        place=given.place,
        line=given.line,
    )


def stated_lists(job: Job) -> list[Several]:
    """Every value stated as readings, or as read with an instrument; what cannot be read has its finding elsewhere."""
    collector, found = Collector(job), []
    for given in all_given(job):
        if len(given.texts) > 1 or given.instrument:
            quantities = collector.all(given.texts, given.key, given.line, given.place)
            found += [_several(given, quantities)] if len(quantities) == len(given.texts) else []
    return found


# Lists of readings in the sections, such as lifts against crank angle: from texts to numbers.


def listed_values(
    listed: Listed, fields: Mapping[str, str], kit: Kit, collector: Collector
) -> tuple[Mapping[str, Value], ...]:
    """Every reading that can be understood: its values by field.

    The instrument is what the last of the fields was read with; all count as measured.
    """
    last = list(fields)[-1]
    tools = {name: listed.instrument if name == last else "" for name in fields}
    read = [(row, _quantities(row, fields, tools, kit, collector)) for row in listed.rows]
    sound = [(row, found) for row, found in read if len(found) == len(fields)]
    return tuple({name: _value(row, name, q, tools[name], kit) for name, q in found.items()} for row, found in sound)


def curve_values(cell: Cell, kit: Kit) -> tuple[Mapping[str, Value], ...]:
    """The points of a curve that a bench step read, as those of a list; of several at one place the mean.

    The first field is the place, the last what was read there.
    """
    place, *_, read = (f.name for f in cell.method.fields)
    found: dict[float, list[dict[str, Value]]] = {}
    for row in cell.counted:
        point = {
            name: _point(row.fields[name][0], f"{row.place}.{name}", row.line, kit, cell.instrument * (name == read))
            for name in (place, read)
        }
        found.setdefault(row.one(place), []).append(point)
    return tuple({**points[0], read: _mean(read, points)} for points in found.values())


def _mean(name: str, points: Sequence[Mapping[str, Value]]) -> Value:
    number = sum((point[name].number for point in points), start=cast(Number, 0.0)) / len(points)
    return replace(points[0][name], number=number)


def _quantities(
    row: Row, fields: Mapping[str, str], tools: Mapping[str, str], kit: Kit, collector: Collector
) -> dict[str, Quantity]:
    """The fields of one reading that can be understood."""
    found = {}
    for name, key in fields.items():
        at = f"{row.place}.{name}"
        quantity = collector.quantity(row.fields[name][0], key, row.line, at)
        misread = out_of_reach(tools[name], quantity, kit) if quantity is not None else []
        collector.findings += [f.at(file=collector.job.file, line=row.line, place=at) for f in misread]
        if quantity is not None and not misread:
            found[name] = quantity
    return found


def _value(row: Row, name: str, quantity: Quantity, tool: str, kit: Kit) -> Value:
    return _point(quantity, f"{row.place}.{name}", row.line, kit, tool)


def _point(quantity: Quantity, at: str, line: int | None, kit: Kit, tool: str) -> Value:
    number = kit.listed(replace(quantity, origin=Origin.MEASURED), at, f"{term(quantity.key).name} ({at})", tool)
    return Value(quantity.key, number, Origin.MEASURED, how="read", line=line, raw=(quantity.raw,))
