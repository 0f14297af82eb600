"""``ccassist machine``: cuts of head and deck and a change of gasket, before and after."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import sound_survey
from ccassist.cli.screen import say_json, show_report
from ccassist.job.file import load_sound
from ccassist.plan.machining.changes import machine
from ccassist.plan.machining.work import MachineAsked
from ccassist.report.data import to_json
from ccassist.report.machining import machining_of, machining_report
from ccassist.values.display import formatter


def run(file: Path, asked: MachineAsked, *, system: str | None, as_json: bool, everything: bool = False) -> int:
    """Print the plan; 0 where it can be done."""
    job = load_sound(file).job
    plan = machine(sound_survey(job), asked.work(job.bare))
    fmt = formatter(system or job.system)
    told = machining_of(plan, fmt)
    if as_json:
        say_json(to_json(told, fmt))
    else:
        show_report(machining_report(plan, told, fmt), everything=everything)
    return 0
