"""Whole jobs at and beyond the ends of what is possible, through every command that reads one.

Whatever the job: exit code 0, 1 or 2, never an exception, nothing that steers a terminal, numbers that are numbers,
one line for each fault and nothing beside it, and the job file as it was.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ccassist.cli import app
from tests.any_job import any_jobs, tight_jobs
from tests.strange_jobs import file_of

QUICK = settings(deadline=None, max_examples=25, derandomize=True, suppress_health_check=list(HealthCheck))
NO_NUMBER = re.compile(r"(?<![a-z])(nan|inf)(?![a-z])", re.IGNORECASE)
SOLVED = ("crown_volume", "compression_height", "gasket_thickness", "chamber_volume", "stroke", "rod_length", "bore")
AIMS = ("static_ratio=9.5", "squish=1.0 mm", "chamber_volume=50 cc", "trapped_ratio=8", "static_ratio=100")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("check",),
    ("check", "--json"),
    ("show", "--all"),
    ("show", "--json", "--units", "imperial"),
    ("compare", "--all"),
    ("balance",),
    ("balance", "--json"),
    ("tolerance", "--of", "static_ratio", "--holds", "crown_volume=0.5 cc"),
    ("tolerance", "--json", "--band", "static_ratio=9 to 10", "--holds", "crown_volume", "--holds", "gasket_thickness"),
    ("combine", "--to", "static_ratio=9.5", "--json"),
    ("combine", "--within", "squish=0.9 to 1.1 mm", "--csv", "rows.csv"),
    ("machine", "--skim", "0.2 mm", "--deck", "0.1 mm"),
    ("machine", "--json", "--skim-to", "static_ratio=10", "--equalise"),
    ("machine", "--angle-skim", "1 mm", "--width", "150 mm", "--centroid", "80 mm", "--level"),
    ("cam", "--every", "5 deg"),
    ("cam", "--json"),
    ("order",),
    ("boost", "--json"),
    ("readings",),
    ("readings", "--csv", "rows.csv"),
    ("calibrate", "--json"),
)
SOLVES = st.tuples(
    st.just("solve"),
    st.just("--for"),
    st.sampled_from(SOLVED),
    st.just("--to"),
    st.sampled_from(AIMS),
    st.sampled_from(("--json", "--units=imperial")),
)


def ran(words: tuple[str, ...]) -> tuple[int, str, str]:
    """Exit code and what was printed."""
    out, err = io.StringIO(), io.StringIO()
    sys.argv = ["ccassist", words[0], "job.toml", *words[1:]]
    code: object = None
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            app.main()
        except SystemExit as end:
            code = end.code
    assert isinstance(code, int)
    return code, out.getvalue(), err.getvalue()


def attack(text: bytes, words: tuple[str, ...]) -> None:
    """One command on one job file, and what holds of every one."""
    here, said = Path.cwd(), sys.argv
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("CCASSIST_TRACEBACK", "1")  # a fault of the program itself fails the test
        path = Path(folder) / "job.toml"
        path.write_bytes(text)
        os.chdir(folder)
        try:
            code, out, err = ran(words)
            assert set(os.listdir()) <= {"job.toml", "rows.csv"}
        finally:
            os.chdir(here)
            sys.argv = said
        assert path.read_bytes() == text
    assert code in (0, 1, 2)
    assert all(line.isprintable() for line in (out + err).split("\n"))
    if code == 2 and words[0] != "check":
        assert (out, bool(err)) == ("", True)
    if out and "--json" in words:
        json.loads(out, parse_constant=pytest.fail)
    elif code == 0:
        assert not NO_NUMBER.search(out)


@given(tight_jobs(), st.one_of(st.sampled_from(COMMANDS), SOLVES))
@settings(QUICK, max_examples=60)
def test_values_at_the_ends_of_what_they_can_be(data: dict[str, Any], words: tuple[str, ...]) -> None:
    attack(file_of(data).encode(), words)


@given(any_jobs(), st.one_of(st.sampled_from(COMMANDS), SOLVES))
@settings(QUICK, max_examples=40)
def test_anything_anywhere_in_a_sound_job(data: dict[str, Any], words: tuple[str, ...]) -> None:
    attack(file_of(data).encode("utf-8", "surrogatepass"), words)


@given(any_jobs(1), st.sampled_from(COMMANDS), st.binary(max_size=6), st.integers(0, 3000))
@example({"format": 1}, ("check",), b"\xef\xbb\xbf", 0)
@example({"format": 1}, ("show", "--all"), b"\r\n\0\xff\xfe", 10)
@settings(QUICK, max_examples=30)
def test_any_bytes_put_into_a_file(data: dict[str, Any], words: tuple[str, ...], bytes_: bytes, at: int) -> None:
    text = file_of(data).encode("utf-8", "surrogatepass")
    attack(text[:at] + bytes_ + text[at:], words)
