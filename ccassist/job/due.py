"""Readings taken, or a job begun, after a calibration was due again."""

from __future__ import annotations

from collections.abc import Mapping

from ccassist.bench.calibrated import Calibration
from ccassist.bench.calibration import read_date
from ccassist.bench.steps import STEPS
from ccassist.job.records import Job
from ccassist.values.findings import Finding, warning


def overdue(job: Job, calibrations: Mapping[str, Calibration]) -> list[Finding]:
    """A warning for each instrument used after the day until which its calibration is good.

    A series without a date was read on the day of the job.
    """
    found = []
    for name, made in calibrations.items():
        used = [s for s in job.series if s.instrument == name and STEPS[s.step].part]
        days = [(day, s) for s in used if (day := read_date(s.date or job.about.get("date", "")))]
        late = [(day, s) for day, s in days if made.due is not None and day > made.due]
        if late:
            day, series = late[0]
            wrong = f"its calibration of {made.made} was due again on {made.due}, and it was used on {day}"
            finding = warning("calibration-due", wrong, read=name, right="calibrate it again")
            found.append(finding.at(line=series.line, place=series.place))
    return found
