"""``ccassist check``: everything wrong or doubtful in a job file."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import list_findings, say, say_json
from ccassist.job.file import load
from ccassist.values.findings import Finding, InputError, Level, grouped


def run(file: Path, *, as_json: bool) -> int:
    """Print all findings of a file; 2 where one of them is an error."""
    findings = everything(file)
    wrong = sum(f.level is Level.ERROR for f in findings)
    if as_json:
        say_json([f.to_dict() for f in findings])
        return 2 if wrong else 0
    list_findings(findings)
    findings = grouped(findings)
    wrong = sum(f.level is Level.ERROR for f in findings)
    doubtful = sum(f.level is Level.WARNING for f in findings)
    say(f"{wrong} wrong, {doubtful} to look at." if findings else "Nothing wrong and nothing doubtful.")
    return 2 if wrong else 0


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
