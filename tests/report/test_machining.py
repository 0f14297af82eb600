"""What is told of cuts and another gasket: what they make of the ratio in one window, the rest when asked for."""

from __future__ import annotations

import json

import pytest

from ccassist.analysis.results import sound_survey
from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.job.file import parse_job
from ccassist.plan.machining.changes import Plan, machine
from ccassist.plan.machining.work import MachineAsked
from ccassist.report.data import to_json
from ccassist.report.machining import machining_of, machining_report
from ccassist.values.display import formatter
from tests.cli.test_machine import OPENING
from tests.sound_job import changed

TWO = changed(OPENING)
EIGHT = (
    'format = 1\n[engine]\ncylinders = 8\nbore = "87.3 mm, measured"\nstroke = "79.4 mm, measured"\n'
    'deck_clearance = "0.60 mm below deck, measured"\ngasket_bore = "88.9 mm, measured"\n'
    'gasket_thickness = "1.3 mm, measured"\ncrown_volume = "dish 3.1 +/- 0.2 cc, measured"\n'
    'chamber_area = "46 +/- 0.5 cm2, measured"\n[counted]\ncrevice = "not counted"\n'
    '[wanted]\nstatic_ratio = "9 to 9.6"\n'
    + "".join(f'[cylinder.{n}]\nchamber_volume = "{46 + n * 0.6:.1f} +/- 0.2 cc, measured"\n' for n in range(1, 9))
)
WORK = {
    "skim": MachineAsked(skim="0.25 mm"),
    "all at once": MachineAsked(skim="0.25 mm", deck="0.05 mm", gasket_thickness="1.1 mm", equalise=True),
    "a target": MachineAsked(skim_to="chamber_volume=45.5 cc"),
    "tilted": MachineAsked(angle_skim="0.4 mm", width="160 mm", centroids=("80 mm",)),
}


def plan_of(text: str, work: str) -> Plan:
    job = parse_job(text).job
    return machine(sound_survey(job), WORK[work].work(job.bare))


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("work", WORK)
@pytest.mark.parametrize("text", [TWO, EIGHT], ids=["two", "eight"])
def test_the_answer_fits_a_window_and_nothing_breaks_in_a_narrow_one(text: str, work: str, system: str) -> None:
    plan, fmt = plan_of(text, work), formatter(system)
    report = machining_report(plan, machining_of(plan, fmt), fmt)
    lines = report_lines(report)
    assert len(lines) < HEIGHT
    assert "To begin with: " in " ".join(lines)
    for width in (60, 80):
        for said in (report_lines(report, width=width), report_lines(report, everything=True, width=width)):
            assert max(map(len, said)) < width
            assert not any(line.endswith("±") for line in said)


def test_every_caution_and_every_step_is_told_when_asked_for() -> None:
    fmt = formatter("metric")
    plan = plan_of(EIGHT, "all at once")
    told = machining_of(plan, fmt)
    said = " ".join(" ".join(report_lines(machining_report(plan, told, fmt), everything=True)).split())
    assert len(told.cautions) >= 5
    for text in (*told.cautions, *told.order_of_work, *told.consequences):
        assert " ".join(text.split()) in said.replace("  - ", " "), text
    data = to_json(told, fmt)
    assert data["format"] == 1
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert [one["cylinder"] for one in data["cylinders"]] == list(range(1, 9))
