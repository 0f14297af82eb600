"""The readings of a job as a table, in the columns that can be read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from ccassist.job.from_csv import columns
from ccassist.job.records import Job, Row, Series
from ccassist.job.spreadsheet import as_cell


def readings_csv(job: Job) -> str:
    """Every reading in a line, those set aside too, as typed; columns that hold nothing are left out."""
    lines = [{name: as_cell(text) for name, text in line.items()} for line in _lines(job)]
    used = [name for name in columns() if any(name in line for line in lines)] or ["step"]
    stream = io.StringIO()
    out = csv.DictWriter(stream, used, lineterminator="\n")
    out.writeheader()
    out.writerows(lines)
    return stream.getvalue()


def is_readings(head: Sequence[str]) -> bool:
    """Whether the first line of a table is one that :func:`readings_csv` writes."""
    return "step" in head and set(head) <= set(columns())


def _lines(job: Job) -> Iterator[dict[str, str]]:
    for number, series in enumerate(job.series, 1):
        head = _head(job, series)
        for place, row in enumerate(series.rows, 1):
            yield {**head, **_row(row, f"series {number}, reading {place}")}


def _head(job: Job, series: Series) -> dict[str, str]:
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
