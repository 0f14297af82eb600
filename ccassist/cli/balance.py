"""``ccassist balance``: making every cylinder alike."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say_json, show_report
from ccassist.plan.balance import balance
from ccassist.report.balance import balance_report
from ccassist.values.display import formatter


def run(file: Path, *, system: str | None, as_json: bool, everything: bool = False) -> int:
    """Print the plan for a job."""
    survey = survey_of(file)
    plan = balance(survey)
    if as_json:
        say_json(plan.to_dict())
    else:
        show_report(balance_report(plan, survey, formatter(system or survey.job.system)), everything=everything)
    return 0
