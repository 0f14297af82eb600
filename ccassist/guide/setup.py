"""What is said of a set-up before anything is asked, and how a set-up stands in the file and in words."""

from __future__ import annotations

import datetime

from ccassist.bench.step import Step
from ccassist.bench.steps import STEPS
from ccassist.guide.asks import FINER, ONCE, Said
from ccassist.guide.walk import Target, Task, rows_of, same_thing
from ccassist.job.records import Job, Series
from ccassist.job.write import Entry

NOT_IN_FILE = ("method", "finer", "picked")


def fixed(target: Target) -> dict[str, tuple[str, ...]]:
    """What a target says of its set-up by itself: the instrument, where one is calibrated."""
    return {} if STEPS[target.step].part else {"instrument": (target.part,)}


def remembered(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """The set-up to go on with: that of the task itself, else of its step's last series.

    What is read anew for each cylinder (such as the drop of the piston) and
    the state are left to be asked; empty where the step was never measured.
    """
    step = STEPS[task.target.step]
    if task.latest is not None:
        return said_in(task.latest, step)
    last = next((s for s in reversed(job.series) if s.step == step.key and rows_of(s, task.target)), None)
    return for_another(said_in(last, step), task) if last is not None else {}


def for_another(said: Said, task: Task) -> dict[str, tuple[str, ...]]:
    """The set-up of one cylinder for the next, without what is read anew for each."""
    anew = {f.name for f in STEPS[task.target.step].settings if f.many}
    kept = {name: texts for name, texts in said.items() if name not in anew}
    return {**kept, "state": (task.state,)} if task.state else kept


def asked_once(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What was answered, or left unsaid, at an earlier step and is not asked again."""
    step = STEPS[task.target.step]
    last = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods), None)
    known = {f.name for f in step.settings}
    return {} if last is None else {name: last.settings.get(name, ()) for name in ONCE if name in known}


def hints(job: Job, task: Task) -> dict[str, tuple[str, ...]]:
    """What an empty line takes where nothing is remembered: who read last, the state, what was filled with."""
    step = STEPS[task.target.step]
    by = next((s.by for s in reversed(job.series) if s.by), job.about.get("by", ""))
    found: dict[str, tuple[str, ...]] = {"by": (by,) if by else (), "state": (task.state,) if task.state else ()}
    last = next((s for s in reversed(job.series) if STEPS[s.step].methods == step.methods), None)
    if not step.part:
        found["fluid"] = ("water",)
    if step.fills and last is not None:
        said = said_in(last, STEPS[last.step])
        known = {"method", "instrument", "fluid", "temperature", "by", *(c.name for c in step.choices)}
        found.update({k: v for k, v in said.items() if k in known and v})
    return found


def said_in(series: Series, step: Step) -> dict[str, tuple[str, ...]]:
    """The answers that a series in the file stands for; what it does not say was not said."""
    method = step.method_of(frozenset(series.rows[-1].fields)) if series.rows else None
    plain = {"instrument": series.instrument, "state": series.state, "by": series.by}
    if step.fills:
        plain["fluid"] = series.fluid
    said: dict[str, tuple[str, ...]] = {name: (text,) if text else () for name, text in plain.items()}
    if method is not None and len(same_thing(step, method)) > 1:
        said["method"] = (method.title,)
    said.update({c.name: (series.choices[c.name],) if c.name in series.choices else () for c in step.choices})
    said.update({f.name: series.settings.get(f.name, ()) for f in step.settings})
    if step.fills:
        said["temperature"] = series.settings.get("temperature", ())
        said["finer"], said["picked"] = (), tuple(name for name in FINER if said.get(name))
    return said


def header(job: Job, target: Target, said: Said, date: datetime.date) -> dict[str, Entry]:
    """The keys of the series as they go into the file."""
    step = STEPS[target.step]
    found: dict[str, Entry] = {"step": step.key}
    if target.cylinder is not None:
        found["cylinder"] = target.cylinder
        part = job.part_of(step.part, target.cylinder)
        if part is not None and sum(p.kind == step.part for p in job.parts.values()) > 1:
            found["part"] = part.name
    elif step.part:
        found["part"] = target.part
    found.update({name: texts for name, texts in said.items() if texts and name not in NOT_IN_FILE})
    found["date"] = date
    return found


_IN_WORDS = {
    "method": "{}",
    "instrument": "{}",
    "fluid": "{}",
    "temperature": "{}",
    "hole": "plate hole {}",
    "plug": "plug {}",
    "seal": "sealed by {}",
    "state": "state: {}",
    "by": "read by {}",
}


def in_words(said: Said) -> str:
    """The set-up in a line, who and in what state last."""
    last = ("state", "by")
    order = [name for name in ("method", "instrument", "fluid", "temperature") if name in said]
    order += [name for name in said if name not in (*order, *last, *NOT_IN_FILE)] + [
        name for name in last if name in said
    ]
    parts = [_IN_WORDS.get(n, n.replace("_", " ") + " {}").format(" and ".join(said[n])) for n in order if said[n]]
    return "; ".join(parts)
