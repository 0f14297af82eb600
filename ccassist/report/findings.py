"""What was found wrong, to be looked at or worth saying: counted, the gravest first, what is alike said once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from ccassist.report.blocks import MARKS, Report, Text
from ccassist.values.findings import Finding, Level, grouped
from ccassist.vocabulary.record import record

MOST_SHOWN = 200  # findings printed; plain data have them all
FIRST = 12  # of them that may stand in an answer
CLEAN = "Nothing wrong was found, and nothing to look at."


@record
class Checked:
    """What is told of a job file: how many findings of each sort, and all of them."""

    wrong: int
    look: int
    notes: int
    findings: Sequence[dict[str, Any]]


def checked(findings: Sequence[Finding]) -> Checked:
    """The findings of a file, each by itself."""
    wrong, look, notes = (sum(f.level is level for f in findings) for level in reversed(Level))
    return Checked(wrong=wrong, look=look, notes=notes, findings=[f.to_dict() for f in findings])


def check_report(findings: Sequence[Finding]) -> Report:
    """The count, then the findings, the gravest first."""
    first, *others = [Text(counted(findings), strong=True), *finding_texts(findings)]
    return Report(
        title="Check",
        subject="What is wrong in the job file, or to be looked at",
        answer=(first, *others[:1], *(replace(one, spare=True) for one in others[1:FIRST])),
        support=tuple(others[FIRST:]),
    )


def counted(findings: Iterable[Finding]) -> str:
    """How many there are of each sort, what is alike of several cylinders counted once; as a sentence."""
    found = grouped(findings)
    wrong, look, notes = (sum(f.level is level for f in found) for level in reversed(Level))
    noted = f"{notes} note{'s' if notes > 1 else ''}"
    if not wrong and not look:
        return f"{CLEAN[:-1]}; {noted}." if notes else CLEAN
    return f"{wrong} wrong, {look} to look at{f', {noted}' if notes else ''}."


def finding_texts(findings: Iterable[Finding]) -> list[Text]:
    """Each by its mark, the gravest first; of very many the first, and how many more there are."""
    found = sorted(grouped(findings), key=lambda f: (-f.level, f.line or 0))
    more = [Text(f"And {len(found) - MOST_SHOWN} more; put these right first.")] if len(found) > MOST_SHOWN else []
    return [*(Text(f.text(), MARKS[f.level]) for f in found[:MOST_SHOWN]), *more]
