"""Which state of a part is the current one: states are never averaged together."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ccassist.analysis.wording import whose
from ccassist.bench.cell import Cell
from ccassist.job.records import Job
from ccassist.values.findings import Finding, note, question, warning
from ccassist.vocabulary.slips import closest, plain

UNSAID = "state-not-said"
MISSPELT = "state-misspelt"
_FIGURES = re.compile(r"[0-9]+")


def order_of(job: Job, part: str, cells: Sequence[Cell]) -> list[str]:
    """The states of a part, oldest first: as the part lists them, then as they appear in the file."""
    listed = list(job.parts[part].states) if part in job.parts else []
    return list(dict.fromkeys([*listed, *(c.state for c in cells)]))


def current_state(job: Job, part: str, cells: Sequence[Cell]) -> tuple[str, list[Finding]]:
    """The newest complete state of one step on one part, and a note if a newer one is half done.

    Complete means that every cylinder the part serves has a counted reading;
    where no state is complete the newest one is current.
    """
    unsaid = [*_unsaid(cells, job), *_misspelt(job, part, cells)]
    done = {
        s: {n for c in cells if c.state == s and c.counted for n in c.cylinders} for s in order_of(job, part, cells)
    }
    states = [s for s, counted in done.items() if counted]
    if not states:
        return "", unsaid
    wanted = set(job.parts[part].cylinders) if part in job.parts else {n for c in cells for n in c.cylinders}
    complete = [s for s in states if wanted <= done[s]]
    current = complete[-1] if complete else states[-1]
    newest = states[-1]
    left = sorted(wanted - done[newest])
    place = part or cells[0].step.title
    if newest != current:
        wrong = f'"{newest}" is not complete: {whose(left)} still to do'
        newer = note("newer-state", wrong, right=f'results are of "{current}"', place=place, file=job.file)
        return current, [*unsaid, newer]
    elsewhere = (wanted - done[newest]) & set().union(*done.values())
    if elsewhere and len(states) > 1:
        wrong = f'no state is complete, so results are of "{newest}", which lacks {whose(left)}'
        right = "readings of another state are not mixed in"
        return current, [*unsaid, warning("no-complete-state", wrong, right=right, place=place, file=job.file)]
    return current, unsaid


def _unsaid(cells: Sequence[Cell], job: Job) -> list[Finding]:
    """Questions about what is in no state after something of the same part was read in one."""
    found: list[Finding] = []
    for i, cell in enumerate(cells):
        last = next((c.state for c in reversed(cells[:i]) if c.state and c.counted), "")
        if last and cell.counted and not cell.state:
            wrong = (
                f'no state is said, though the readings before are "{last}": taken as a newer state, which hides them'
            )
            right = f'state = "{last}", or what was done since'
            found.append(question(UNSAID, wrong, right=right, line=cell.line, place=cell.where, file=job.file))
    return found


def _misspelt(job: Job, part: str, cells: Sequence[Cell]) -> list[Finding]:
    """Questions about a state that is an earlier one with a slip of spelling: its readings would hide the others.

    What differs in a figure, such as two skims, is another state; and so is what the part lists.
    """
    found: list[Finding] = []
    known = [*job.parts[part].states] if part in job.parts else []
    for cell in (c for c in cells if c.state):
        if cell.state in known:
            continue
        alike = {plain(s): (s,) for s in known if _FIGURES.findall(s) == _FIGURES.findall(cell.state)}
        meant = closest(cell.state, alike)
        if meant and cell.counted:
            wrong = f'read as another state than "{meant}", which it hides'
            right = f'state = "{meant}", if that is meant'
            made = question(MISSPELT, wrong, read=cell.state, right=right, line=cell.line, place=cell.where)
            found.append(made.at(file=job.file))
        known.append(cell.state)
    return found
