"""Which instruments are offered a calibration: improvised burettes, whose scale says only roughly what runs."""

from __future__ import annotations

from collections.abc import Iterable

from ccassist.bench import instruments
from ccassist.bench.steps import STEPS
from ccassist.bench.steps.fills import CALIBRATE
from ccassist.job.records import Job, Series


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


def named(job: Job, more: Iterable[str] = ()) -> list[str]:
    """The instruments whose calibration is part of the walk: those begun, and those improvised that were filled with.

    ``more`` : names chosen in this sitting that the file does not hold yet.
    """
    begun = [s.instrument for s in job.series if s.step == CALIBRATE.key and s.instrument]
    filled = [s.instrument for s in job.series if STEPS[s.step].fills and STEPS[s.step].part and _by_scale(s)]
    return list(dict.fromkeys([*begun, *(name for name in filled if improvised(name, job)), *more]))


def _by_scale(series: Series) -> bool:
    """Whether its fills were read on the instrument's own scale, not weighed."""
    return bool(series.instrument) and all("before" not in row.fields for row in series.rows)
