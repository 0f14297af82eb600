"""``ccassist check``: everything wrong or doubtful in a job file."""

from __future__ import annotations

from pathlib import Path

from ccassist.cli.screen import list_findings, say
from ccassist.findings import Level
from ccassist.job.file import load


def run(file: Path, *, as_json: bool) -> int:
    """Print all findings of a file; 2 where one of them is an error."""
    loaded = load(file)
    findings = list(loaded.findings)
    if not any(f.level is Level.ERROR for f in findings):
        from ccassist.results import survey

        findings += survey(loaded.job).findings
    wrong = sum(f.level is Level.ERROR for f in findings)
    if as_json:
        import json

        say(json.dumps([f.to_dict() for f in findings], ensure_ascii=False, indent=2))
        return 2 if wrong else 0
    list_findings(findings)
    doubtful = sum(f.level is Level.WARNING for f in findings)
    say(f"{wrong} wrong, {doubtful} to look at." if findings else "Nothing wrong and nothing doubtful.")
    return 2 if wrong else 0
