"""Bare numbers of imperial jobs, where thousandths and inches are both said: refused wherever no unit is in sight."""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.analysis.results import new_questions, survey
from ccassist.bench.forms import Form
from ccassist.job.file import parse_job
from ccassist.job.recording import TypedReading, record_reading
from ccassist.job.tables import read_csv
from ccassist.plan.combine.candidates import aims_of
from ccassist.plan.machining.work import MachineAsked
from ccassist.plan.tolerance import wished as tolerance_wished
from ccassist.solve.request import wished
from ccassist.values.asking import band_with_unit, with_unit
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, errors
from ccassist.values.quantity import parse
from ccassist.values.verdict import parse_band
from ccassist.vocabulary import TERMS
from tests.each import each

IN_THOU = [key for key, term in TERMS.items() if term.shown("imperial") == "thou"]
JOB = 'format = 1\n[job]\nunits = "imperial"\n[engine]\ncylinders = 1\n[part.block]\nkind = "block"\n'
# What may be typed for 25 thou and for 0.025 in, and the lines that are named for it.
BOTH = {
    "0.025": ('"0.025 in{}" or "25 thou{}"'),
    ".025": ('".025 in{}" or "25 thou{}"'),
    "25": ('"25 thou{}" or "0.025 in{}"'),
    "1/40": ('"1/40 in{}" or "25 thou{}"'),
}


@each("key", IN_THOU)
@each("typed", BOTH)
def test_both_lines_to_type_are_named(key: str, typed: str) -> None:
    sign = TERMS[key].sign
    words = f" {sign.plus[0]}" if sign and not sign.bare_is_plus else ""
    with pytest.raises(InputError, match="not said whether") as caught:
        parse(typed + words, key, system="imperial")
    (finding,) = caught.value.findings
    assert finding.code == "no-unit"
    for line in finding.right.removeprefix("write ").split(" or "):
        assert parse(line.strip('"'), key).unit in ("in", "thou")
    if TERMS[key].plausible[1] >= 0.025 * 25.4e-3 and key not in ("level_depth",):
        assert finding.right == f"write {BOTH[typed].format(words, words)}"


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("0.040 to 0.045", 'write "0.040 to 0.045 in" or "40 to 45 thou"'),
        ("40 to 45", 'write "40 to 45 thou" or "0.040 to 0.045 in"'),
        ("at least 0.040", 'write "at least 0.040 in" or "at least 40 thou"'),
        ("0.040 +/- 0.002", 'write "0.040 +/- 0.002 in" or "40 +/- 2 thou"'),
    ],
)
def test_a_range_is_named_whole(text: str, right: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_band(text, "squish", system="imperial")
    assert [(f.read, f.right) for f in caught.value.findings] == [(text, right)]


@pytest.mark.parametrize("text", ["0 below deck", "flush", "0"])
def test_nothing_needs_no_unit(text: str) -> None:
    assert parse(text, "deck_clearance", system="imperial").value == 0


@each("key", [key for key in TERMS if key not in IN_THOU and TERMS[key].kind.value == "length"])
def test_what_is_said_in_inches_keeps_its_bare_numbers(key: str) -> None:
    assert parse("3.5", "bore", system="imperial").unit == "in"
    assert TERMS[key].shown("imperial") in ("in", "ft")


# -- every way in ------------------------------------------------------------------------------------------


def test_a_job_file() -> None:
    job = JOB + '[cylinder.1]\ndeck_clearance = "0.025 below deck, measured"\n[wanted]\nsquish = "0.040"\n'
    found = errors(survey(parse_job(job).job).findings)
    assert [f.code for f in found] == ["no-unit", "no-unit"]
    assert "0.025 in below deck, measured" in found[0].right + found[1].right


def test_what_is_recorded(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(JOB)
    words = {"step": "deck", "cylinder": 1, "instrument": "dial indicator 0.01 mm"}
    with pytest.raises(InputError, match=r'"0\.008 in below deck" or "8 thou below deck"'):
        record_reading(
            file, TypedReading(fields=["front=0.008 below deck", "rear=8 thou below deck"], **words), new_questions
        )  # type: ignore[arg-type]
    assert file.read_text() == JOB


TABLE = "step,cylinder,instrument,front{0},rear{0}\ndeck,1,dial indicator 0.01 mm,{1},{1}\n"


@pytest.mark.parametrize(
    ("unit", "typed", "kept"),
    [(" (thou)", "8 below deck", "8 thou below deck"), (" [in]", "0.008 below deck", "0.008 in below deck")],
)
def test_a_column_that_says_its_unit(tmp_path: Path, unit: str, typed: str, kept: str) -> None:
    (tmp_path / "table.csv").write_text(TABLE.format(unit, typed))
    found = read_csv(tmp_path / "table.csv", parse_job(JOB).job)
    assert found.new[0].row["front"] == (kept,)


@pytest.mark.parametrize(("unit", "says"), [("", "not said whether"), (" (cc)", "is not in cc")])
def test_a_column_that_does_not(tmp_path: Path, unit: str, says: str) -> None:
    (tmp_path / "table.csv").write_text(TABLE.format(unit, "0.008 below deck"))
    with pytest.raises(InputError, match=says):
        read_csv(tmp_path / "table.csv", parse_job(JOB).job)


@pytest.mark.parametrize("typed", ["0.008 below deck", "0.0080 below deck"])
def test_inches_in_a_column_of_thou_are_questioned(tmp_path: Path, typed: str) -> None:
    """Finer than the dial reads: a tenth of its step is as much as an eye guesses between two marks."""
    (tmp_path / "table.csv").write_text(TABLE.format(" (thou)", typed))
    found = read_csv(tmp_path / "table.csv", parse_job(JOB).job)
    assert {f.code for f in found.unusual} == {"finer-than-read", "unusual"}  # an inch in a thou column is both
    assert any("written finer" in f.wrong for f in found.unusual)


def test_the_options() -> None:
    for ask in (
        lambda: wished(["chamber_volume"], ["squish=0.040"], "imperial"),
        lambda: aims_of({}, ["squish=0.040"], fmt=formatter("imperial")),
        lambda: aims_of({}, (), ["squish=0.038 to 0.042"], fmt=formatter("imperial")),
        lambda: MachineAsked(skim="0.010").work("imperial"),
        lambda: MachineAsked(deck="10").work("imperial"),
        lambda: MachineAsked(gasket_thickness="0.040").work("imperial"),
        lambda: MachineAsked(skim_to="squish=0.040").work("imperial"),
        lambda: tolerance_wished("squish", ["gasket_thickness=1 thou"], "0.040", formatter("imperial")),
    ):
        with pytest.raises(InputError, match=r'write "[^"]*(in|thou)" or "[^"]*(in|thou)"'):
            ask()


def test_a_prompt_or_box_that_prints_its_unit() -> None:
    assert with_unit("8 below", "dial_reading", sight="thou") == "8 thou below"
    assert band_with_unit("40 to 45", "squish", sight="thou") == "40 to 45 thou"
    assert Form.__doc__  # the boxes of a form print the unit shown: see test_from_form


@pytest.mark.parametrize(("system", "sight"), [("metric", ""), ("imperial", "thou"), ("metric", "mm")])
def test_a_bare_fraction_is_of_an_inch(system: str, sight: str) -> None:
    with pytest.raises(InputError, match='write "1/32 in"'):
        parse("1/32", "gasket_thickness", system=system, sight=sight)
