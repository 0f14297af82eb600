"""Every reading of a job as it was typed, those set aside too; then what each came to and how its mean was formed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ccassist.analysis.results import survey
from ccassist.bench.steps import STEPS
from ccassist.job.records import Job, Row, Series
from ccassist.report.blocks import Block, Heading, Report, Table, Text
from ccassist.values.display import Formatter
from ccassist.values.findings import clean, errors
from ccassist.vocabulary.record import record

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
    table = Table(head=("", "", "as read", ""), rows=tuple(_rows(job)), names=(0, 1, 2, 3), long=True)
    return Report(
        title="Readings",
        subject="Every reading as it was typed, and what it came to",
        answer=(Text(told, strong=True), table) if rows else (Text(told),),
        support=tuple(_worked_out(job, fmt)) if everything and rows else (),
        more=bool(rows),
    )


def _rows(job: Job) -> Iterator[tuple[str, str, str, str]]:
    for series in job.series:
        what = clean(", ".join(filter(None, (STEPS[series.step].title, _where(series), series.state))), MOST)
        for number, row in enumerate(series.rows, 1):
            yield (what if number == 1 else "", str(number), clean(as_read(row), MOST), _remark(row))


def _where(series: Series) -> str:
    """What was measured: a cylinder, a part, or the instrument itself."""
    return f"cylinder {series.cylinders[0]}" if len(series.cylinders) == 1 else series.part or series.instrument


def as_read(row: Row) -> str:
    """The texts of a reading, each after its name."""
    return ", ".join(f"{name} {'; '.join(texts)}" for name, texts in row.fields.items())


def _remark(row: Row) -> str:
    return clean("; ".join(filter(None, (f"set aside: {row.set_aside}" if row.set_aside else "", row.remark))), MOST)


def _worked_out(job: Job, fmt: Formatter) -> Iterator[Block]:
    from ccassist.report.readings_in_full import readings_in_full  # what few ask for

    found = survey(job)
    wrong = errors(found.findings)
    if wrong:
        yield Heading("What they came to")
        yield Text(f"Not worked out: {len(wrong)} wrong; see ccassist check.")
        return
    yield from readings_in_full(found, fmt)
