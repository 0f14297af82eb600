"""Sections that state things for the whole engine, such as the cam."""

import math

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors
from ccassist.values.number import nominal

HEAD = "format = 1\n[engine]\ncylinders = 1\n"


def test_a_cam_is_read_with_its_words() -> None:
    text = HEAD + '[cam]\nintake_closing = "64 +/- 1 deg after BDC, measured"\nlift_read_at = "the valve"\n'
    job = parse_job(text).job
    found = survey(job)
    assert not errors(found.findings)
    assert math.degrees(nominal(found.stated["cam"]["intake_closing"].number)) == pytest.approx(64)
    assert job.said == {"cam": {"lift_read_at": "the valve"}}


def test_before_and_after_are_opposite() -> None:
    job = parse_job(HEAD + '[cam]\nintake_opening = "5 +/- 1 deg after TDC, measured"\n').job
    assert math.degrees(nominal(survey(job).stated["cam"]["intake_opening"].number)) == pytest.approx(-5)


@pytest.mark.parametrize(
    ("section", "code", "line"),
    [
        ('[cam]\nintake_closed = "64 deg"', "unknown-key", 5),
        ('[cam]\nlift_read_at = "the lobe"', "unknown-word", 5),
        ("cam = 3", "not-a-table", 1),
    ],
)
def test_slips_of_form_are_found_at_their_line(section: str, code: str, line: int) -> None:
    text = HEAD + section + "\n" if section.startswith("[") else section + "\n" + HEAD
    found = errors(parse_job(text).findings)
    assert [(f.code, f.line) for f in found] == [(code, line)]
