"""``ccassist check``: everything wrong or doubtful in a job file."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import say_json, show_report
from ccassist.job.file import load
from ccassist.report.data import to_json
from ccassist.report.findings import check_report, checked
from ccassist.values.display import METRIC
from ccassist.values.findings import Finding, InputError, Level


def run(file: Path, *, as_json: bool, all_shown: bool = False) -> int:
    """Print all findings of a file; 2 where one of them is an error."""
    findings = everything(file)
    if as_json:
        say_json(to_json(checked(findings), METRIC))
    else:
        show_report(check_report(findings), everything=all_shown)
    return 2 if any(f.level is Level.ERROR for f in findings) else 0


def everything(file: Path) -> list[Finding]:
    """All findings of a file; while something is wrong, notes on results would speak of half of them."""
    try:
        loaded = load(file)
    except InputError as fault:
        return list(fault.findings)
    findings = list(loaded.findings)
    if not any(f.level is Level.ERROR for f in findings):
        from ccassist.analysis.results import survey
        from ccassist.plan.boost.stated import charge_findings
        from ccassist.plan.valves.room import cam_findings

        made = survey(loaded.job)
        findings += made.findings
        if not any(f.level is Level.ERROR for f in findings):
            findings += [*cam_findings(made), *charge_findings(made)]
    if any(f.level is Level.ERROR for f in findings):
        return [f for f in findings if f.level is not Level.NOTE]
    return findings
