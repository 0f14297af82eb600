"""Which readings a job still asks for: every step on every cylinder or part, in the trade's order.

Decided from the texts of the file alone where nothing is read yet, so that the
first prompt of a new job needs no unit library.
"""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from enum import Enum

from ccassist.bench import instruments
from ccassist.bench.repeats import ENOUGH, repeats_of_each
from ccassist.bench.step import Method, SameWay, Step, one_mean, same_way
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.job.records import Job, Part, Row, Series
from ccassist.job.vocabulary import GIVEN_TERMS
from ccassist.values.findings import InputError
from ccassist.vocabulary import Kind
from ccassist.vocabulary.record import record


class Status(Enum):
    """How far a reading has come."""

    TO_DO = "to do"
    STARTED = "started"
    DONE = "done"
    GIVEN = "stated in the file"
    LEFT_OUT = "left out"
    OTHERWISE = "measured another way"
    OFFERED = "if you like"


@record
class Target:
    """One thing to be measured: a step on a cylinder, or one reading of a step on a part.

    ``method`` is the reading where a step has several (gasket opening,
    thickness), "" where the step has one or its methods are alternatives.
    ``part`` is the instrument where the step belongs to one.
    """

    step: str
    cylinder: int | None = None
    part: str = ""
    method: str = ""

    @property
    def where(self) -> str:
        """The thing measured, in words."""
        return f"cylinder {self.cylinder}" if self.cylinder is not None else self.part

    @property
    def series(self) -> str:
        """What its set-up holds for: the step, and the reading where that has several."""
        return f"{self.step} {self.method}".rstrip()

    @property
    def place(self) -> str:
        """The shortest word for it within its step: the cylinder's number, or the reading."""
        return str(self.cylinder) if self.cylinder is not None else self.method or self.part


@record
class Task:
    """A target and how far it has come."""

    target: Target
    status: Status
    cylinders: tuple[int, ...]  # the cylinders for which it holds
    asked: int  # repeats asked for
    state: str = ""  # the state of the part in which it is being measured
    rows: tuple[Row, ...] = ()  # its readings in that state, made the way of the latest one; those set aside too
    latest: Series | None = None  # the series that holds the latest of them, or None

    @property
    def counted(self) -> int:
        """Readings that enter the mean."""
        return sum(row.counts for row in self.rows)

    @property
    def open(self) -> bool:
        """Whether it is still to be done."""
        return self.status in (Status.TO_DO, Status.STARTED)


def parts_separately(step: Step) -> bool:
    """Whether the step's methods are readings of different things, not ways to the same one."""
    things = [m for m in step.methods if not m.instead_of]
    return len(things) > 1 and all(len(m.fields) == 1 and m.fields[0].term in step.gives for m in things)


def same_thing(step: Step, method: Method) -> tuple[Method, ...]:
    """The methods of a step that are ways to the same thing, this one among them."""
    if not parts_separately(step):
        return step.methods
    thing = method.instead_of or method.key
    return tuple(m for m in step.methods if thing in (m.key, m.instead_of))


def ways(target: Target) -> tuple[Method, ...]:
    """The methods by which a target may be measured."""
    step = STEPS[target.step]
    return same_thing(step, method_named(step, target.method))


def method_named(step: Step, key: str) -> Method:
    """The step's method of that name; its only (or first) one where none is named."""
    return next((m for m in step.methods if m.key == key), step.methods[0])


BEFORE = (
    "calibrate",
    "chamber",
)  # the volume that everyone wants comes first, then block and crank, in the trade's order


def plan(job: Job, tools: Iterable[str] = ()) -> tuple[Task, ...]:
    """Every target of a job in the trade's order, with its status.

    ``tools`` : instruments to be calibrated that the file does not name yet.
    """
    ordered = sorted(STEPS.values(), key=lambda step: step.key not in BEFORE)
    tasks = [in_state(job, target) for step in ordered for target in targets(job, step, tools)]
    return tuple(_otherwise(tasks, task) for task in tasks)


def targets(job: Job, step: Step, tools: Iterable[str] = ()) -> Iterator[Target]:
    """Where a step is to be measured; on which instruments, where it belongs to one."""
    if not step.part:
        yield from (Target(step=step.key, part=name) for name in _calibrated(job, tools))
        return
    if not step.by_part:
        for number in _by_part(job, step.part):
            yield Target(step=step.key, cylinder=number)
        return
    for method in (m for m in step.methods if not m.instead_of):
        kind = method.part or step.part
        names = [p.name for p in job.parts.values() if p.kind == kind] or [_unused(job, kind)]
        for name in names:
            yield Target(step=step.key, part=name, method=method.key)


def _unused(job: Job, kind: str) -> str:
    """A name for a part of a kind that the file does not name yet."""
    return kind if kind not in job.parts else f"{kind} measured"


def kind_of(target: Target) -> str:
    """The kind of part that a target is measured on."""
    step = STEPS[target.step]
    return (method_named(step, target.method).part if target.method else "") or step.part


def _by_part(job: Job, kind: str) -> list[int]:
    """All cylinders, those of one head or block after those of another."""
    served = [n for part in job.parts.values() if part.kind == kind for n in part.cylinders]
    return list(dict.fromkeys([*served, *range(1, job.cylinders + 1)]))


def in_state(job: Job, target: Target, state: str | None = None) -> Task:
    """A target as it stands in a state of its part, which nothing in the file need be in yet; None: the newest."""
    step = STEPS[target.step]
    if not step.part:
        return _calibration(job, target, step)
    part = job.parts.get(target.part)
    if target.cylinder is not None:
        cylinders: tuple[int, ...] = (target.cylinder,)
    else:
        cylinders = part.cylinders if part else tuple(range(1, job.cylinders + 1))
    near, _ = readings_near(job, target)
    state = _state(job, target, near) if state is None else state
    found = [_latest(near, target, number, state) for number in cylinders] or [(None, ())]
    latest, rows = min(found, key=lambda pair: sum(row.counts for row in pair[1]))
    asked = _asked(job, target, rows)
    status = _status(job, target, cylinders, rows, asked)
    return Task(target=target, status=status, cylinders=cylinders, asked=asked, state=state, rows=rows, latest=latest)


def _asked(job: Job, target: Target, rows: Sequence[Row]) -> int:
    """Repeats asked for: where something is read, by the same rule as everything that is said of a ±."""
    step = STEPS[target.step]
    usual = (method_named(step, target.method).repeats if target.method else 0) or step.repeats
    alike = job.cylinders if target.cylinder is not None else 1
    if not rows or alike * (usual - 1) >= ENOUGH:  # as many as the step asks will do
        return usual
    from ccassist.analysis.benefit import repeats_asked
    from ccassist.analysis.results import surveyed

    least = repeats_of_each(usual, (alike - 1) * (usual - 1)) if step.fills else usual
    with contextlib.suppress(InputError, ValueError, ArithmeticError):  # what is wrong with the file is said elsewhere
        survey, lines = surveyed(job), {row.line for row in rows if row.line is not None}
        found = (one for one in survey.reduced if lines & {reading.line for reading in one.cell.readings})
        return max((repeats_asked(one, survey) for one in found), default=least)
    return least


def readings_near(job: Job, target: Target) -> tuple[list[Series], Part | None]:
    """The series of a target's step on its part, whatever their state; and that part, where it is named."""
    served = set(_served(job, target))
    near = [s for s in job.series if s.step == target.step and set(s.cylinders) & served and _of(job, target, s.part)]
    return near, _part(job, target)


def _of(job: Job, target: Target, part: str) -> bool:
    """Whether what is known of a part may be the target's: not where it is another layer of the same kind."""
    own, other = job.parts.get(target.part), job.parts.get(part)
    return own is None or other is None or own is other or own.kind != other.kind


def _calibration(job: Job, target: Target, step: Step) -> Task:
    """The calibration of an instrument: offered, and asked for once it is begun."""
    series = calibrations_of(target.part, job)
    rows = tuple(row for s in series for row in s.rows)
    return Task(
        target=target,
        status=_status(job, target, (), rows, step.repeats),
        cylinders=(),
        asked=step.repeats,
        rows=rows,
        latest=series[-1] if series else None,
    )


def _status(job: Job, target: Target, cylinders: tuple[int, ...], rows: Sequence[Row], asked: int) -> Status:
    """How far a target has come with these readings."""
    step = STEPS[target.step]
    if sum(row.counts for row in rows) >= asked:
        return Status.DONE
    if _left_out(job, target):
        return Status.LEFT_OUT
    if rows:
        return Status.STARTED
    if step.part and _is_given(job, target, cylinders):
        return Status.GIVEN
    return Status.OFFERED if step.check or not step.part else Status.TO_DO


def _latest(near: Sequence[Series], target: Target, cylinder: int, state: str) -> tuple[Series | None, tuple[Row, ...]]:
    """The newest series for a cylinder (or for a part that serves it) in that state, and all rows made its way."""
    rows = [(s, row) for s in near if cylinder in s.cylinders and s.state == state for row in rows_of(s, target)]
    if not rows:
        return None, ()
    ways = {(s.place, *row.fields): (s, row) for s, row in rows}
    last = _way(*rows[-1])
    same = {key for key, one in ways.items() if _way(*one) == last}
    return rows[-1][0], tuple(row for s, row in rows if (s.place, *row.fields) in same)


def _way(series: Series, row: Row) -> SameWay | None:
    """What must agree for readings to be averaged; None where the row is none of its step."""
    method = _method(series, row)
    step = STEPS[series.step]
    return one_mean(step, same_way(step, method, series, series.settings)) if method is not None else None


def _method(series: Series, row: Row) -> Method | None:
    return STEPS[series.step].method_of(frozenset(row.fields))


def rows_of(series: Series, target: Target) -> list[Row]:
    """The rows of a series that are readings of the target."""
    if target.method:
        fields = {method.fields[0].name for method in ways(target)}
        return [row for row in series.rows if fields & set(row.fields)]
    return list(series.rows)


def _part(job: Job, target: Target) -> Part | None:
    """The part that a target is measured on, where the file names it."""
    if target.cylinder is None:
        return job.parts.get(target.part)
    return job.part_of(kind_of(target), target.cylinder)


def _served(job: Job, target: Target) -> tuple[int, ...]:
    part = _part(job, target)
    return part.cylinders if part else tuple(range(1, job.cylinders + 1))


def _state(job: Job, target: Target, near: Sequence[Series]) -> str:
    """The state to be measured: the newest begun and, where all of it is done, the next that the part lists."""
    part = _part(job, target)
    listed = list(part.states) if part else []
    order = list(dict.fromkeys([*listed, *(s.state for s in near if s.rows)]))
    begun = [state for state in order if any(s.state == state and s.rows for s in near)]
    if not begun:
        return listed[0] if listed else ""
    newest = begun[-1]
    done = {n for s in near if s.state == newest and s.counted for n in s.cylinders}
    later = [state for state in listed if order.index(state) > order.index(newest)]
    return later[0] if later and set(_served(job, target)) <= done else newest


def left_out(job: Job) -> list[str]:
    """What the file says to leave out: steps, or a step and a cylinder."""
    return [" ".join(entry.split()) for entry in job.about.get("leave_out", "").split(",") if entry.strip()]


def _left_out(job: Job, target: Target) -> bool:
    said = left_out(job)
    if {target.step, f"{target.step} {target.place}", f"{target.step} {target.part}"} & set(said):
        return True
    sealed = any(s.choices.get("seal") == "ring" for s in job.series)
    return target.step == "land" and job.counted.get("crevice") == "not counted" and not sealed


def _is_given(job: Job, target: Target, cylinders: tuple[int, ...]) -> bool:
    """Whether what the target would find is stated in the file for every cylinder it serves."""
    step, method = STEPS[target.step], target.method
    if step.curve and step.curve[1] in job.listed.get(step.curve[0], {}):
        return True

    def stated(keys: Iterable[str]) -> bool:
        return all(_stated(job, target, key, number) for key in keys for number in cylinders)

    if method and any(stated(f.term for f in way.fields) or stated([way.result]) for way in ways(target)):
        return True
    wanted = [] if method else list(step.gives)
    other = next((one for one in STEPS.values() if one.instead_of == step.key), None)
    keys = [k for k in (*wanted, *(other.gives if other else ())) if k in GIVEN_TERMS]
    if keys and stated(keys):
        return True
    needless = method_named(step, method).needless if method else ""
    return bool(needless) and stated([needless])


def _stated(job: Job, target: Target, key: str, cylinder: int) -> bool:
    if key in job.engine or key in job.per_cylinder.get(cylinder, {}):
        return True
    serving = (p for p in job.parts.values() if cylinder in p.cylinders and _of(job, target, p.name))
    return any(key in part.given for part in serving)


def _otherwise(tasks: Iterable[Task], task: Task) -> Task:
    """A second way is put forward only where the first is left out and not measured."""
    first = STEPS[task.target.step].instead_of
    other = first or next((one.key for one in STEPS.values() if one.instead_of == task.target.step), None)
    if other is None or not task.open or task.rows:
        return task
    twin = next(t for t in tasks if t.target.step == other and t.target.cylinder == task.target.cylinder)
    if twin.rows or (first and twin.status is not Status.LEFT_OUT):
        return replace(task, status=Status.OTHERWISE)
    return task


def following(tasks: Sequence[Task], after: Target | None, skipped: Collection[Target]) -> Task | None:
    """The next open task after a target, round to the start; None where nothing is left."""
    start = next((i + 1 for i, t in enumerate(tasks) if t.target == after), 0)
    return next((t for t in (*tasks[start:], *tasks[:start]) if t.open and t.target not in skipped), None)


# -- calibrations: offered of improvised burettes, whose scale says only roughly what runs ------
def improvised(name: str, job: Job) -> bool:
    """Whether a delivering instrument has no stated error, one that grows with the amount, or is the shop's own."""
    if name in job.instruments:
        like = instruments.find(job.instruments[name].get("like", ""))
        return like is None or like.fills
    tool = instruments.find(name)
    return tool is not None and tool.fills and (not tool.limits or tool.limits[-1].share > 0)


def calibrations_of(name: str, job: Job) -> list[Series]:
    """The series of an instrument's latest calibration; an older one, of another day, is another one."""
    found = [s for s in job.series if s.step == CALIBRATE.key and s.instrument == name and s.rows]
    return [s for s in found if s.date == found[-1].date]


def _calibrated(job: Job, more: Iterable[str] = ()) -> list[str]:
    """The instruments whose calibration is part of the walk: those begun, and those improvised that were filled with.

    ``more`` : names chosen in this sitting that the file does not hold yet.
    """
    told = job.set_ups.get(CALIBRATE.key, {}).get("instrument", ())
    begun = [*told, *(s.instrument for s in job.series if s.step == CALIBRATE.key and s.instrument)]
    filled = [s.instrument for s in job.series if STEPS[s.step].fills and STEPS[s.step].part and _by_scale(s)]
    return list(dict.fromkeys([*begun, *(name for name in filled if improvised(name, job)), *more]))


def _by_scale(series: Series) -> bool:
    """Whether its fills were read on the instrument's own scale, not weighed."""
    methods = [_method(series, row) for row in series.rows]
    return bool(series.instrument) and all(method is None or method.reads is Kind.VOLUME for method in methods)
