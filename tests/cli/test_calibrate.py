"""The calibrate command: recorded step by step, printed, and what it says where it cannot.

Trade example C3b: common practice, recomputed.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from ccassist.analysis.results import survey
from ccassist.cli import record
from ccassist.cli.engine import calibrate
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.cli.screen import Showing
from ccassist.job.file import load_sound
from ccassist.job.recording import TypedReading
from ccassist.report.calibration import calibration_report
from ccassist.values.display import formatter
from ccassist.values.findings import InputError, NotPossible

HEAD = """format = 1
[job]
units = "metric"
[engine]
cylinders = 2
[instrument."marked tube"]
like = "bottle"
resolution = "0.5 ml"
capacity = "100 ml"
"""
STEPS = (("10", "9.86"), ("20", "19.80"), ("30", "29.81"), ("40", "39.70"), ("50", "49.66"))
EXAMPLE = Path(__file__).parents[2] / "examples" / "v8-heads.toml"


def put(file: Path, mark: str, mass: str, scale: str = "scale 0.01 g", instrument: str = "marked tube") -> int:
    """Record one step as a script would."""
    settings = [f"scale={scale}", "temperature=21"]
    fields = [f"to={mark}", "before=0", f"after={mass}"]
    return record.run(
        file, TypedReading(step="calibrate", fields=fields, instrument=instrument, fluid="water", settings=settings)
    )


@pytest.fixture
def job(tmp_path: Path) -> Path:
    file = tmp_path / "heads.toml"
    file.write_text(HEAD, encoding="utf-8")
    return file


def shown(file: Path, *, instrument: str | None = None, as_json: bool = False) -> int:
    return calibrate(file, Showing(as_json=as_json, everything=True), instrument=instrument)


def test_recorded_and_printed(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """C3b: errors −0.11, −0.14, −0.10, −0.18, −0.19, in one block of the file."""
    assert [put(job, *step) for step in STEPS] == [0] * 5
    assert job.read_text(encoding="utf-8").count("[[series]]") == 1
    capsys.readouterr()
    assert shown(job) == 0
    said = capsys.readouterr().out
    rows = [line.split() for line in said.splitlines() if line[:4].strip() in tuple("12345")]
    assert [row[3] for row in rows] == ["−0.11", "−0.14", "−0.10", "−0.18", "−0.19"]
    for words in ("True volume = 0.99805 × reading − 0.0843 cc", "10.00 to 50.00 cc", "good until", "one direction"):
        assert words in said


def test_too_few_steps_is_not_possible_yet(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for step in STEPS[:2]:
        put(job, *step)
    assert "2 steps of marked tube: not enough" in capsys.readouterr().out
    assert shown(job) == 1
    assert "three steps at least" in " ".join(capsys.readouterr().out.split())


def test_json_is_in_si(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for step in STEPS:
        put(job, *step)
    capsys.readouterr()
    assert shown(job, as_json=True) == 0
    (made,) = json.loads(capsys.readouterr().out)["calibrations"]
    assert made["range"] == pytest.approx([10e-6, 50e-6])
    assert made["slope"] == pytest.approx(0.9950 * 1.003064, abs=2e-6)  # slope of the masses × Z at 21 °C
    assert made["degrees_of_freedom"] == 3
    assert made["steps"][0]["error"] == pytest.approx(-0.11e-6, abs=0.005e-6)


def test_no_readings_says_how(job: Path) -> None:
    with pytest.raises(NotPossible, match="no calibration readings of any instrument"):
        shown(job)
    with pytest.raises(NotPossible, match='no calibration readings of "shop jug"'):
        shown(EXAMPLE, instrument="shop jug")


def test_wrong_scale_is_refused(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert put(job, "10", "9.86", scale="dial indicator") == 2
    assert "name the scale" in capsys.readouterr().err
    assert job.read_text(encoding="utf-8") == HEAD


def test_faults_of_its_readings_are_raised(job: Path) -> None:
    for step in STEPS:
        put(job, *step)
    job.write_text(job.read_text(encoding="utf-8").replace('after = "9.86 g"', 'after = "0 g"'), encoding="utf-8")
    with pytest.raises(InputError, match="the mass did not change"):
        shown(job)


def test_example_reads_too_much(capsys: pytest.CaptureFixture[str]) -> None:
    """Its invented syringe gives eight tenths of a per cent less than it says; its name in any spelling."""
    assert shown(EXAMPLE, instrument="Syringe, shop") == 0
    said = capsys.readouterr().out
    assert "reads 0.83 ± 0.28 % too much" in said
    assert "good until 2027-10-12" in said


@pytest.mark.parametrize("width", [60, 80])
def test_the_answer_fits_a_window(job: Path, width: int) -> None:
    for step in STEPS:
        put(job, *step)
    engine = survey(load_sound(job).job)
    report = calibration_report(list(engine.calibrations.values()), [], formatter())
    lines = report_lines(report, width=width)
    assert len(lines) < HEIGHT
    assert max(map(len, (*lines, *report_lines(report, width=width, everything=True)))) < width
    assert any(line.startswith("True volume = ") for line in lines)
