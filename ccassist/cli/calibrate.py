"""``ccassist calibrate``: what an improvised burette truly delivers."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ccassist.analysis.results import survey
from ccassist.bench.names import words
from ccassist.bench.steps import STEPS
from ccassist.cli.screen import say_json, show_report
from ccassist.job.file import load_sound
from ccassist.job.records import Job, Series
from ccassist.report.calibration import calibration_report
from ccassist.values.display import formatter
from ccassist.values.findings import Finding, InputError, Level, NotPossible, clean, errors

HOW = (
    "ccassist record FILE calibrate to='10 ml' before='0 g' after='9.9 g' --instrument '…' --fluid water "
    "--setting scale='scale 0.1 g'"
)


def run(file: Path, *, instrument: str | None, system: str | None, as_json: bool, everything: bool = False) -> int:
    """Print the calibrations of a job file; 1 where one of them cannot be computed yet."""
    job = load_sound(file).job
    asked = _asked(job, instrument)
    result = survey(job)
    findings = _of(asked, result.findings)
    if errors(findings):
        raise InputError(errors(findings))
    names = dict.fromkeys(series.instrument for series in asked)
    made = [result.calibrations[name] for name in names if name in result.calibrations]
    if as_json:
        shown = [one.to_dict() for one in made]
        say_json({"format": 1, "calibrations": shown, "findings": [f.to_dict() for f in findings]})
    else:
        show_report(calibration_report(made, findings, formatter(system or job.system)), everything=everything)
    return 0 if len(made) == len(names) else 1


def _asked(job: Job, instrument: str | None) -> list[Series]:
    """The calibration readings asked for.

    Raises
    ------
    NotPossible : there are none.
    """
    found = [s for s in job.series if not STEPS[s.step].part]
    if instrument is not None:
        found = [s for s in found if s.instrument == instrument or words(s.instrument) == words(instrument)]
    if not found:
        what = f'"{clean(instrument, 60)}"' if instrument is not None else "any instrument"
        raise NotPossible(f"no calibration readings of {what} in {clean(job.file, 120)}; record some: {HOW}")
    return found


def _of(asked: Sequence[Series], findings: Sequence[Finding]) -> list[Finding]:
    """The findings on these series, and on what was measured after their calibration was due again."""
    places = {series.place for series in asked}
    names = {series.instrument for series in asked}
    own = [f for f in findings if f.place.split(",")[0].split(".")[0] in places and f.level is not Level.NOTE]
    return own + [f for f in findings if f.code == "calibration-due" and f.read in names]
