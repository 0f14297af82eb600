"""Readings in a table: taken in with the checks of typing, written out, and taken in again."""

from __future__ import annotations

import contextlib
import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.job.file import load, parse_job
from ccassist.job.recording import Taken
from ccassist.job.records import Job
from ccassist.job.tables import read_csv, readings_csv
from ccassist.job.write import append_reading
from ccassist.values.findings import InputError, errors

EXAMPLES = Path(__file__).parents[2] / "examples"
JOB = 'format = 1\n[job]\nunits = "metric"\n[engine]\ncylinders = 4\n[part.head]\nkind = "head"\nstates = ["cut"]\n'
HEAD = "step,cylinder,instrument,fluid,plug,hole,start,end,set_aside\n"
ONE = "chamber,1,burette 50 ml class B,water,fitted,not filled,0.10,46.15 ml,\n"


def taken(folder: Path, text: str, job: str = JOB, name: str = "table.csv") -> Taken:
    """The readings of a table."""
    path = folder / name
    path.write_bytes(text.encode())
    return read_csv(path, parse_job(job).job)


def added(job: str, found: Taken) -> str:
    """The job with them."""
    for reading in found.new:
        job = append_reading(job, reading.header, reading.row)
    return job


def test_a_line_becomes_a_reading(tmp_path: Path) -> None:
    found = taken(
        tmp_path, HEAD + ONE + 'chamber,2,burette 50 ml class B,water,fitted,not filled,0; 0,"40; 6.2",saw a bubble\n'
    )
    job = parse_job(added(JOB, found)).job
    first, second = job.series
    assert first.rows[0].fields == {"start": ("0.10 cc",), "end": ("46.15 ml",)}
    assert (first.instrument, first.fluid, first.choices["plug"]) == ("burette 50 ml class B", "water", "fitted")
    assert second.rows[0].fields["end"] == ("40 cc", "6.2 cc")
    assert second.rows[0].set_aside == "saw a bubble"
    assert first.rows[0].box == "table.csv line 2"


@pytest.mark.parametrize("mark", [";", "\t"])
def test_other_separators_and_decimal_commas(tmp_path: Path, mark: str) -> None:
    lines = [
        HEAD.strip().split(","),
        ["chamber", "1", "burette 50 ml class B", "water", "fitted", "not filled", "0,10", "46,15", ""],
    ]
    found = taken(tmp_path, "\n".join(mark.join(line) for line in lines))
    assert found.new[0].row["end"] == ("46,15 cc",)


def test_taken_twice_nothing_counts_twice_and_a_changed_line_is_refused(tmp_path: Path) -> None:
    job = added(JOB, taken(tmp_path, HEAD + ONE))
    again = taken(tmp_path, HEAD + ONE + ONE, job)
    assert (len(again.new), again.known) == (1, 1)
    with pytest.raises(InputError, match=r"line 2: .*it was read before as start 0\.10 cc, end 46\.15 ml"):
        taken(tmp_path, HEAD + ONE.replace("46.15", "46.25"), job)


@pytest.mark.parametrize("name", ["three-pistons", "turbo-four", "v8-heads"])
def test_written_out_and_taken_in_again_the_readings_are_the_same(tmp_path: Path, name: str) -> None:
    loaded = load(EXAMPLES / f"{name}.toml")
    bare = loaded.text[: loaded.text.index("[[series]]")]
    (tmp_path / "out.csv").write_text(readings_csv(loaded.job), encoding="utf-8")
    found = read_csv(tmp_path / "out.csv", parse_job(bare).job)
    back = parse_job(added(bare, found)).job
    assert not errors(parse_job(added(bare, found)).findings)

    def of(job: Job) -> list[object]:
        heads = [replace(s, rows=(), place="", line=None) for s in job.series for _ in s.rows]
        rows = [replace(r, place="", line=None, box="") for s in job.series for r in s.rows]
        return list(zip(heads, rows, strict=True))

    assert of(back) == of(loaded.job)
    own = read_csv(tmp_path / "out.csv", loaded.job)  # into the job that it was written from: nothing counts twice
    assert (own.new, own.known) == ([], len(of(back)))
    again = read_csv(tmp_path / "out.csv", back)
    assert (again.new, again.known) == ([], len(of(back)))


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", "table.csv, line 1: no column says the step"),
        ("step,end,end\n", 'line 1: read "end": this column is there twice'),
        (HEAD + "chamber,1,b,water,fitted,not filled,0,1,,9\n", "line 2: 10 cells, but 9 columns"),
        (HEAD + 'chamber,1,"b,water\n', "the table cannot be read"),
        (HEAD + ONE.replace("chamber", "chambre"), 'line 2: read "chambre": no such bench step'),
        (HEAD + ONE.replace("chamber,1", "chamber,one"), 'line 2: read "one": the cylinder is a whole number'),
        (HEAD + ONE.replace("chamber,1", "chamber,9"), "line 2"),
        (HEAD + ONE.replace("46.15 ml", "46.15 mm"), "line 2"),
        (HEAD + ONE.replace("chamber", "bore"), "line 2: the step bore has no plug"),
        ("end\n1\n", "no column says the step"),
        ("step,end\n,1\n", "line 2: the step is not said"),
        (HEAD + ONE.replace("water", "x" * 500), "line 2, fluid: read"),
        ("step,endd\n", 'line 1: read "endd": no such column; did you mean "end"?'),
    ],
)
def test_what_cannot_be_used_is_said_at_its_line(tmp_path: Path, text: str, line: str) -> None:
    with pytest.raises(InputError) as fault:
        taken(tmp_path, text)
    assert line in fault.value.findings[0].text()


def test_all_faults_come_together(tmp_path: Path) -> None:
    with pytest.raises(InputError) as fault:
        taken(tmp_path, HEAD + ONE.replace("46.15 ml", "much") + ONE.replace("0.10", "none"))
    assert [f.place for f in fault.value.findings] == ["line 2, end", "line 3, start"]


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=200))
def test_any_text_is_read_or_refused_in_words(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    folder = tmp_path_factory.mktemp("csv")
    with contextlib.suppress(InputError):
        assert isinstance(taken(folder, HEAD + text), Taken)


@pytest.mark.parametrize("words", ["=1+1", "+SUM(A1)", "-2+3", "@here", "\t=1", "\uff1d1+1", '=HYPERLINK("x")'])
def test_no_words_are_a_formula_for_a_spreadsheet(tmp_path: Path, words: str) -> None:
    """The cells that a spreadsheet computes start with one of these marks (common practice, no source)."""
    header = {"step": "bore", "cylinder": 1, "state": words, "instrument": words, "by": words, "date": words}
    row = {"bore": "83.4 mm", "remark": words, "time": words, "set_aside": words}
    job = parse_job(append_reading(JOB, header, row)).job
    table = readings_csv(job)
    cells = next(csv.DictReader(io.StringIO(table)))
    assert [cells[key] for key in ("state", "instrument", "by", "date", "remark", "time", "set_aside")] == (
        ["'" + words.strip()] * 7
    )
    own = JOB + f'[instrument.{json.dumps(words.strip())}]\nlike = "bore gauge"\n'
    back = taken(tmp_path, table, own).new[0]
    assert (back.header["state"], back.row["remark"]) == (words.strip(), words.strip())


def test_codes_that_steer_a_terminal_stand_by_their_number_in_a_table() -> None:
    header = {"step": "bore", "cylinder": 1, "by": "Ida\x1b[31m"}
    job = parse_job(append_reading(JOB, header, {"bore": "83.4 mm", "remark": "\u202eback"})).job
    assert "Ida<U+001B>[31m" in readings_csv(job)
    assert "<U+202E>back" in readings_csv(job)
