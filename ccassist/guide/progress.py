"""How far a job has come, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

from ccassist.guide.asks import is_left_out, is_stated, statements
from ccassist.guide.walk import Status, Target, Task
from ccassist.job.records import Job

# In the order in which they are said; what is left out and what is merely offered is not part of the job.
_DONE = (Status.DONE, Status.GIVEN, Status.OTHERWISE)
_OPEN = (Status.TO_DO, Status.STARTED)


def how_far(tasks: Sequence[Task]) -> str:
    """Such as "Bench: 3 of 14 done or stated, 1 begun, 10 to do"."""
    count = Counter(task.status for task in tasks)
    done, wanted = sum(count[s] for s in _DONE), sum(count[s] for s in (*_DONE, *_OPEN))
    if not wanted:
        return "Bench: nothing asked for"
    words = [f"Bench: {done} of {wanted} done or stated"]
    more = ((Status.STARTED, "begun"), (Status.TO_DO, "to do"))
    return ", ".join(words + [f"{count[status]} {word}" for status, word in more if count[status]])


def in_short(tasks: Sequence[Task]) -> str:
    """Tasks by step: "chamber 2, 3; gasket thickness"."""
    by_step: dict[str, list[str]] = {}
    for task in tasks:
        t = task.target
        by_step.setdefault(t.step, []).append(t.place)
    return "; ".join(f"{step} {', '.join(places)}" for step, places in by_step.items())


def said_in_short(places: Sequence[str]) -> str:
    """Statements by section: "cam intake_closing, event_lift; charge boost_gauge"."""
    by_section: dict[str, list[str]] = {}
    for place in places:
        section, _, key = place.partition(" ")
        by_section.setdefault(section, []).append(key)
    return "; ".join(f"{section} {', '.join(keys)}" for section, keys in by_section.items())


def bench_list(tasks: Sequence[Task], skipped: Collection[Target]) -> list[str]:
    """Every step with its places and how far each is, a line a step; in one line the steps left out everywhere."""
    by_step: dict[str, list[Task]] = {}
    for task in tasks:
        by_step.setdefault(task.target.step, []).append(task)
    nowhere = [step for step, found in by_step.items() if all(t.status is Status.LEFT_OUT for t in found)]
    lines = [f"left out: {', '.join(nowhere)}"] if nowhere else []
    for step, found in by_step.items():
        if step in nowhere:
            continue
        groups: dict[str, list[str]] = {}
        for task in found:
            state = "skipped for today" if task.target in skipped and task.open else task.status.value
            count = f" ({task.counted} of {task.asked})" if task.rows and task.open else ""
            groups.setdefault(state, []).append(task.target.place + count)
        lines.append(f"{step}: " + "; ".join(f"{', '.join(places)} {state}" for state, places in groups.items()))
    return lines


def stated_list(job: Job, passed: Collection[str]) -> list[str]:
    """What is stated and what is still to be, a line a section."""
    by_section: dict[str, dict[str, list[str]]] = {}
    for one in statements(job):
        waits = "passed over for today" if one.place in passed else "to be stated"
        state = "stated" if is_stated(job, one) else "left out" if is_left_out(job, one) else waits
        by_section.setdefault(one.section, {}).setdefault(state, []).append(one.key)
    return [
        f"{section}: " + "; ".join(f"{', '.join(keys)} {state}" for state, keys in groups.items())
        for section, groups in by_section.items()
    ]
