"""What the job itself says: errors, and readings that cannot all be true."""

from __future__ import annotations

from collections.abc import Iterator

from ccassist.plan.piston.fits.case import Case, Fault, Told
from ccassist.values.findings import Finding, Level, clean

# Findings of check that say that two statements, or a statement and a reading, go against one another.
_DOUBTFUL = (
    "stack-differs",
    "assembly-differs",
    "two-measurements",
    "sister-slip",
    "sister-refill",
    "impossible-result",
    "refuted",
    "repeats-apart",
    "stands-apart",
    "stages-apart",
)
_NAMED = 3


def contradictions(case: Case) -> Iterator[Told]:
    """Errors of the job, a piston that no engine can have, and readings that refute one another."""
    wrong = [_told(one) for one in case.spec.survey.findings if one.level is Level.ERROR]
    wrong += [f"cylinder {c.number}: {c.contradiction}" for c in case.cylinders if c.contradiction]
    for words in dict.fromkeys(wrong):
        yield Fault(key="contradiction", wrong=words)
    found = [one for one in case.spec.survey.findings if one.code in _DOUBTFUL and one.level is not Level.ERROR]
    for one in found[:_NAMED]:
        yield Fault(key="doubts", wrong=_told(one))
    if len(found) > _NAMED:
        yield Fault(key="doubts", wrong=f"{len(found) - _NAMED} more findings of this kind: see check")


def _told(one: Finding) -> str:
    """A finding without its file."""
    return clean(f"{one.place}: {one.wrong}" if one.place else one.wrong, 300)
