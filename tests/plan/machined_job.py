"""A four whose heads are to be machined, shared by the tests of machining; all numbers invented but those cited."""

from __future__ import annotations

from collections.abc import Sequence

from ccassist.analysis.results import Survey, survey
from ccassist.job.file import parse_job
from ccassist.plan.machining.changes import Plan, machine
from ccassist.plan.machining.work import MachineAsked

C4 = (58.9, 59.6, 60.4, 59.2)  # chambers of trade example C4 [cc]
OPENING = 'chamber_area = "46 +/- 1 cm2, measured"'


def job_text(*, chambers: Sequence[float] = C4, engine: str = OPENING, more: str = "") -> str:
    text = f"""format = 1
[job]
units = "metric"
[engine]
cylinders = {len(chambers)}
bore = "83.40 +/- 0.01 mm, measured"
stroke = "91.70 +/- 0.02 mm, measured"
deck_clearance = "0.20 +/- 0.02 mm below deck, measured"
crown_volume = "dish 8.7 +/- 0.3 cc, measured"
{engine}
[counted]
crevice = "not counted"
[part.gasket]
kind = "gasket"
gasket_bore = "84.9 +/- 0.1 mm, measured"
gasket_thickness = "1.30 +/- 0.05 mm, maker's figure"
"""
    for number, chamber in enumerate(chambers, 1):
        text += f'[cylinder.{number}]\nchamber_volume = "{chamber} +/- 0.2 cc, measured"\n'
    return text + more


def surveyed(text: str) -> Survey:
    return survey(parse_job(text).job)


def planned(text: str | None = None, **asked: object) -> Plan:
    """The plan for a job and what is asked of it, as written."""
    return machine(surveyed(text or job_text()), MachineAsked(**asked).work("metric"))  # type: ignore[arg-type]
