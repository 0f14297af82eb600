"""Anything at all as input: refused in printable lines or worked out, and never an exception of another kind."""

from __future__ import annotations

import json
import math
import tomllib
from typing import Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ccassist.analysis.results import survey
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import parse_job
from ccassist.job.lines import line_index
from ccassist.report.measured import survey_data
from ccassist.report.survey import survey_report
from ccassist.values.display import METRIC, formatter
from ccassist.values.findings import Finding, InputError, errors
from ccassist.values.quantity import UNSAID, parse, read_amount
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS, Kind
from tests.sound_job import SOUND, changed
from tests.strange_jobs import file_of, jobs, odd_files

PATIENT = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def assert_printable(findings: tuple[Finding, ...] | list[Finding]) -> None:
    for finding in findings:
        assert finding.text().isprintable()
        assert len(finding.text()) < 1500
        json.dumps(finding.to_dict())


def read_or_refused(text: str) -> None:
    """A file's text becomes a job with findings, or one InputError."""
    try:
        loaded = parse_job(text, "job.toml")
    except InputError as fault:
        assert_printable(list(fault.findings))
        return
    assert_printable(list(loaded.findings))
    lost = [f for f in errors(loaded.findings) if f.line is None and f.code not in ("no-format", "missing-value")]
    assert lost == []
    assert_printable(list(survey(loaded.job).findings))


@given(st.text(max_size=200))
@settings(PATIENT, max_examples=60)
@example("\ud800 = 1")
@example('"\\u0000" = 1')
@example("[engine]\ncylinders = 1\n[engine.bore]\nvalue = '''86 mm'''")
def test_any_text_as_a_file(text: str) -> None:
    read_or_refused(text)


PIECES = [
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "\n",
    '"',
    "'",
    '"""',
    "'''",
    "#",
    " ",
    "\\",
    "\\u001b",
    "\r\n",
]
WORDS = [
    "engine",
    "series",
    "cylinders",
    "bore",
    "readings",
    "start",
    "end",
    "step",
    "chamber",
    "1",
    "0x1f",
    "true",
    "86 mm",
]


@given(st.lists(st.sampled_from(PIECES + WORDS), max_size=40))
@settings(PATIENT, max_examples=90)
def test_any_heap_of_marks_and_words_as_a_file(pieces: list[str]) -> None:
    read_or_refused("".join(pieces))


@given(st.integers(0, len(SOUND)), st.integers(0, 30), st.sampled_from([*PIECES, *WORDS, "", "\x00", "é"]))
@settings(PATIENT, max_examples=90)
def test_the_sound_job_with_a_hole_torn_in_it(at: int, length: int, patch: str) -> None:
    read_or_refused(SOUND[:at] + patch + SOUND[at + length :])


@given(odd_files())
@settings(PATIENT, max_examples=60)
def test_values_of_any_type_at_any_key(data: dict[str, Any]) -> None:
    read_or_refused(file_of(data))


@given(jobs())
@settings(PATIENT, max_examples=60)
def test_any_job_is_worked_out(data: dict[str, Any]) -> None:
    """Whatever is given and left out: numbers or "not given", a printed table, JSON without NaN."""
    job = parse_job(file_of(data), "job.toml").job
    found = survey(job)
    assert_printable(list(found.findings))
    text = json.dumps(survey_data(found, METRIC), allow_nan=False)
    assert json.loads(text)["cylinders"][0]["cylinder"] == 1
    if errors(found.findings):
        return
    for cylinder in found.cylinders:
        assert all(math.isfinite(value.nominal) for value in cylinder.values.values())
    for system in ("metric", "imperial"):
        report = survey_report(found, formatter(system), everything=True)
        assert len(report_lines(report)) < HEIGHT, "\n".join(report_lines(report))
        assert "nan" not in "".join(report_lines(report, everything=True)).lower().replace("manner", "")


@given(st.text(max_size=130), st.sampled_from(sorted(TERMS)), st.sampled_from(["metric", "imperial", UNSAID]))
@settings(PATIENT, max_examples=60)
def test_any_text_as_a_quantity_a_band_or_an_amount(text: str, key: str, system: str) -> None:
    for read in (
        lambda: parse(text, key, system=system),
        lambda: parse_band(text, key, system=system),
        lambda: read_amount(text, Kind.VOLUME, system=system),
    ):
        found: tuple[Finding, ...] = ()
        try:
            read()
        except InputError as fault:
            found = fault.findings
        assert len(found) <= 1
        assert_printable(found)


# -- where things stand ---------------------------------------------------------------------------------

NAMES = st.sampled_from(["bore", '"bore"', "'bore'", '"b o.r]e"', '"\\u0062ore"', "'b # [x'", '"a\\"b"', "1"])
ENTRIES = st.sampled_from(
    ['"x"', "'x # ]'", '"\\"]"', "1", '"""a\nb"""', "{ a = 1, b = ['}'] }", "[[1], []]", "2026-01-01"]
)
GAPS = st.sampled_from(["", "\n", "# a [comment] = 1\n", "\n\n  # x\n", "\t"])


@st.composite
def laid_out(draw: st.DrawFn) -> tuple[str, dict[tuple[str | int, ...], int]]:
    """A TOML text with known lines: headings, dotted keys, lists over several lines, odd quoting."""
    text, lines = "", {}
    for number in range(draw(st.integers(1, 3))):
        many = draw(st.booleans())
        section: tuple[str | int, ...] = (f"list{number}", 0) if many else (f"table{number}",)
        text += draw(GAPS)
        lines[section] = text.count("\n") + 1
        text += f"[[ list{number} ]]\n" if many else f"[table{number}]\n"
        for index in range(draw(st.integers(0, 3))):
            text += draw(GAPS)
            raw = f"k{index}.{draw(NAMES)}"
            name = next(iter(tomllib.loads(f"{raw} = 1")[f"k{index}"]))
            path = (*section, f"k{index}", name)
            lines[path[:-1]] = lines[path] = text.count("\n") + 1
            text += f"{raw} = ["
            for position in range(draw(st.integers(0, 3))):
                text += draw(st.sampled_from(["\n", " ", " # no\n"]))
                lines[(*path, position)] = text.count("\n") + 1
                text += draw(ENTRIES) + ","
            text += "]\n"
    return text, lines


@given(laid_out(), st.booleans())
@settings(PATIENT, max_examples=60)
def test_every_key_and_entry_is_found_on_its_line(
    case: tuple[str, dict[tuple[str | int, ...], int]], crlf: bool
) -> None:
    text, lines = case
    text = text.replace("\n", "\r\n") if crlf else text
    tomllib.loads(text)  # valid, or the test would prove nothing
    index = line_index(text)
    assert {path: index.get(path) for path in lines} == lines


def test_lines_of_dotted_keys_and_of_sections_only_opened_on_the_way() -> None:
    text = changed(('bore = "83.40', 'bore.value = "83.40 foo'))
    job = parse_job(text, "job.toml").job
    assert [(f.line, f.place) for f in errors(survey(job).findings)] == [(9, "engine.bore.value")]
