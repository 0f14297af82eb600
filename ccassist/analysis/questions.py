"""What a change to a job would make doubtful, asked before the change is taken.

A finding that bears ``asks`` is a LOOK of ``check`` in a file; before it gets
there it is a question: "are you sure?" at a prompt, exit 2 and nothing
recorded elsewhere, unless ``--sure``.  Whoever is about to save something::

    after = job_file.with_readings([(header, row)])
    asked = new_questions(job_file.job(), after)

and saves only where ``asked`` is empty or was confirmed; the remark of a reading that was confirmed says so
(``job.entry.SURE``).  What makes a finding a question is said where the finding is made: ``findings.question``.

What is new is told by what a finding says and where, without its numbers: a doubt that was confirmed once is not asked
again because a mean moved.
"""

from __future__ import annotations

import re
from collections import Counter

from ccassist.analysis.results import Survey, survey
from ccassist.job.records import Job
from ccassist.values.findings import Finding, InputError

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_KEPT = 2  # surveys: of the job as it stands, and as it would be
_surveys: list[tuple[Job, Survey]] = []


def new_questions(before: Job, after: Job) -> list[Finding]:
    """What is worth asking in a job as it would be, and was not in the job as it stands.

    Where the change adds readings, only what stands at one of them is asked: a good reading that shows up another one
    is taken, and the other is remarked like anything else.
    """
    asked = _asked(after)
    if not asked:
        return []
    known = _asked(before)
    exact = {_said(f) for f in known}
    there = Counter(_meant(f) for f in known)
    there.subtract(_meant(f) for f in asked if _said(f) in exact)
    found = []
    for finding in (f for f in asked if _said(f) not in exact):
        if there[_meant(finding)] > 0:
            there[_meant(finding)] -= 1
        else:
            found.append(finding)
    read = _lines_read(before, after)
    return [f for f in found if not read or f.line in read]


def surveyed(job: Job) -> Survey:
    """The engine of a job as measured; computed once for a job looked at several times in a row."""
    found = next((made for of, made in _surveys if of is job), None)
    if found is None:
        found = survey(job)
        _surveys[:] = [*_surveys[1 - _KEPT :], (job, found)]
    return found


def _asked(job: Job) -> list[Finding]:
    """The questions of a job; a job that cannot be worked out has none: what is wrong with it is said elsewhere."""
    try:
        return [f for f in surveyed(job).findings if f.asks]
    except (InputError, ValueError, ArithmeticError):
        return []


def _said(finding: Finding) -> tuple[str, str, str]:
    return finding.code, finding.place, finding.wrong


def _meant(finding: Finding) -> tuple[str, str, str]:
    """What is doubted, whatever the numbers are by now."""
    return finding.code, finding.place, _NUMBER.sub("#", finding.wrong)


def _lines_read(before: Job, after: Job) -> set[int | None]:
    """The lines of the readings that were added, and of series that are new."""
    old = {row.place for series in before.series for row in series.rows}
    new = [(s, row) for s in after.series for row in s.rows if row.place not in old]
    return {row.line for _, row in new} | {s.line for s, row in new if row is s.rows[0]}
