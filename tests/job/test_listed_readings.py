"""Lists of readings in a section: lifts against crank angle."""

from __future__ import annotations

from math import degrees

import pytest

from ccassist.analysis.results import survey
from ccassist.job.file import parse_job
from ccassist.values.findings import errors

HEAD = "format = 1\n[engine]\ncylinders = 1\n[valve.intake]\n"
ROWS = '[ { angle = "10 deg before TDC", lift = "1.05 mm" }, { angle = "at TDC", lift = "1.93 mm" } ]'


@pytest.mark.parametrize(
    "text",
    [f"lifts = {ROWS}", f'[valve.intake.lifts]\ninstrument = "dial indicator"\nreadings = {ROWS}'],
    ids=["bare list", "with the instrument"],
)
def test_both_forms_are_read(text: str) -> None:
    made = survey(parse_job(HEAD + text + "\n").job)
    assert not errors(made.findings)
    rows = made.listed["valve.intake"]["lifts"]
    assert [degrees(row["angle"].nominal) for row in rows] == pytest.approx([-10, 0])
    assert [row["lift"].nominal for row in rows] == pytest.approx([1.05e-3, 1.93e-3])
    guessed = [cause for cause in made.guesses if cause.key == "valve_lift"]  # the usual tool, once for all of them
    assert len(guessed) == (0 if "instrument" in text else 1)


def test_the_instrument_makes_one_error_for_all_readings() -> None:
    """One dial, one scale: the difference of two readings carries only their rounding (JCGM 100:2008, F.1.2)."""
    text = f'{HEAD}[valve.intake.lifts]\ninstrument = "dial indicator"\nreadings = {ROWS}\n'
    first, last = (row["lift"].number for row in survey(parse_job(text).job).listed["valve.intake"]["lifts"])
    assert (last - first).std_dev < (first.std_dev**2 + last.std_dev**2) ** 0.5


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ('lifts = "1 mm"', "not-a-list", 5),
        ("lifts = []", "not-a-list", 5),
        ('lifts = [\n  { angle = "10 deg" },\n]', "incomplete-reading", 6),
        ('lifts = [\n  { angle = "10 deg", lifts = "1 mm" },\n]', "unknown-key", 6),
        ("lifts = [\n  3,\n]", "not-a-table", 6),
        ('[valve.intake.lifts]\ntool = "dial indicator"\nreadings = ' + ROWS, "unknown-key", 6),
    ],
)
def test_slips_of_form_are_found_at_their_line(text: str, code: str, line: int) -> None:
    found = errors(parse_job(f"{HEAD}{text}\n").findings)
    assert (code, line) in [(f.code, f.line) for f in found]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('lifts = [ { angle = "10 deg", lift = "1 cc" } ]', "wrong-unit"),
        (f'[valve.intake.lifts]\ninstrument = "no such dial"\nreadings = {ROWS}', "unknown-instrument"),
        (f'[valve.intake.lifts]\ninstrument = "burette 50 ml class B"\nreadings = {ROWS}', "wrong-instrument"),
    ],
)
def test_slips_of_meaning_are_found(text: str, code: str) -> None:
    found = errors(survey(parse_job(f"{HEAD}{text}\n").job).findings)
    assert code in {f.code for f in found}


def test_an_instrument_of_a_section_counts_toward_the_doubt() -> None:
    """What is stated in a section with an instrument takes that instrument's error, as in any other section."""
    text = 'valve_diameter = { value = "33.0 mm", instrument = "micrometer" }'
    named = survey(parse_job(f"{HEAD}{text}\n").job)
    assert "unknown-instrument" not in {f.code for f in named.findings}
    assert "micrometer" in named.stated["valve.intake"]["valve_diameter"].number.error_components().__repr__()
