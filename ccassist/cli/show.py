"""``ccassist show``: the engine as measured."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say_json, show_report
from ccassist.report.measured import survey_data
from ccassist.report.survey import survey_report
from ccassist.values.display import formatter


def run(file: Path, *, system: str | None, as_json: bool, everything: bool = False) -> int:
    """Print the survey of a job file."""
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    if as_json:
        say_json(survey_data(survey, fmt))
    else:
        show_report(survey_report(survey, fmt, everything=everything), everything=everything)
    return 0
