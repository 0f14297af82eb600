"""What to look at, in words, with what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from reportlab.platypus import Flowable

from ccassist.analysis.checks import engine_findings
from ccassist.analysis.wording import listed
from ccassist.paper.furniture import labelled, prose, subheading
from ccassist.paper.sheet import Sheet
from ccassist.values.findings import Finding, Level


def notices(sheet: Sheet) -> list[Flowable]:
    """Findings in words, the gravest first, with what to do; the same thing found in several places is said once."""
    groups: dict[tuple[Level, str], list[Finding]] = {}
    for finding in sorted(shown_findings(sheet), key=lambda f: -f.level):
        groups.setdefault((finding.level, _sentence(finding)), []).append(finding)
    if not groups:
        return [*subheading("To look at"), prose("Nothing doubtful was found.")]
    return [
        *subheading("To look at"),
        *(labelled(mark(level), sheet.words(f"{_places(found)}{words}")) for (level, words), found in groups.items()),
    ]


def told(sheet: Sheet, finding: Finding) -> Flowable:
    """One finding by itself."""
    return labelled(mark(finding.level), sheet.words(finding.text()))


def mark(level: Level) -> str:
    """The word that stands beside a finding."""
    return "LOOK" if level > Level.NOTE else "note"


def _places(found: Sequence[Finding]) -> str:
    places = dict.fromkeys(f.place for f in found if f.place)
    lines = dict.fromkeys(str(f.line) for f in found if f.line)
    said = [*places, *([f"line{'s' if len(lines) > 1 else ''} {listed(list(lines))}"] if lines else [])]
    return f"{', '.join(said)}: " if said else ""


def shown_findings(sheet: Sheet) -> list[Finding]:
    """The findings, those on the engine worded in the units of the page."""
    survey = sheet.survey
    if sheet.system == survey.job.system:
        return list(survey.findings)
    own = set(engine_findings(survey))
    shown = replace(survey, job=replace(survey.job, system=sheet.system))
    return [*(f for f in survey.findings if f not in own), *engine_findings(shown)]


def _sentence(finding: Finding) -> str:
    read = f"read “{finding.read}”: " if finding.read else ""
    words = f"{read}{finding.wrong}{f'; {finding.right}' if finding.right else ''}"
    return words if words.endswith((".", "?")) else f"{words}."
