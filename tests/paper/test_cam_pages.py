"""Cam pages: the numbers and sentences of the screen, the drawing, cautions, and that nothing lies over anything else.

What the numbers themselves are worth is checked in the rooms that make them.
"""

from __future__ import annotations

import json
import math
import re
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest

from ccassist.analysis.results import survey
from ccassist.bench.cautions import cautions
from ccassist.cli.layout import report_lines
from ccassist.job.file import load
from ccassist.paper.reports import report_bytes
from ccassist.plan.valves.cam import Cam, angles_about, cam_of, table_of
from ccassist.report.cam import ASSUMED as ASSUMED_CURVE
from ccassist.report.cam import BESIDE, cam_report, cam_told, table_cells
from ccassist.report.data import to_json
from ccassist.values.display import METRIC, formatter
from tests.cam_job import CAM, ENGINE, EXHAUST, INTAKE, PHASING, valve
from tests.paper.read_back import Printed, check_boxes, made, squeezed
from tests.sound_job import Shop
from tests.sound_survey import surveyed

EXAMPLE = Path(__file__).parents[2] / "examples" / "turbo-four.toml"
BOTH = ENGINE + CAM + PHASING + INTAKE + EXHAUST
ASSUMED = ENGINE + CAM + valve("intake", more='valve_lift = "9.8 +/- 0.05 mm, measured"\nwanted_valve_gap = "0.1 mm"')
SHORT = (
    ENGINE
    + CAM
    + PHASING
    + INTAKE.replace("\n\n[valve", '\nwanted_valve_gap = "8 mm"\nwanted_radial_gap = "1.3 mm"\n[valve')
)
TOUCHING = ENGINE + CAM + INTAKE.replace("3.0 +/- 0.05 mm recessed", "3.0 +/- 0.05 mm proud")
JOBS = {"example": "", "both": BOTH, "assumed": ASSUMED, "short": SHORT, "touching": TOUCHING}
WAYS = [("A4", "metric"), ("Letter", "imperial")]
AROUND, EVERY = math.radians(30.0), math.radians(5.0)
ANGLES = angles_about(AROUND, EVERY)


@cache
def cam(name: str, system: str = "metric") -> Cam:
    """The cam of a job; of the example where it has no text."""
    return cam_of(surveyed(JOBS[name]) if JOBS[name] else survey(load(EXAMPLE).job), system)


@cache
def printed(name: str, page: str = "A4", system: str = "metric") -> Printed:
    """Its pages."""
    found, fmt = cam(name, system), formatter(system)
    return made(lambda: report_bytes(cam_report(found, ANGLES, fmt), found.survey, page=page, fmt=fmt))


def _texts(found: Any) -> list[str]:
    """Every value in it as text."""
    if isinstance(found, list):
        return [text for one in found for text in _texts(one)]
    if not isinstance(found, dict):
        return []
    own = [found["text"]] if "text" in found and "value" in found else []
    return [*own, *(text for one in found.values() for text in _texts(one))]


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("name", JOBS)
def test_every_number_of_the_json_stands_on_the_page(name: str, page: str, system: str) -> None:
    fmt = formatter(system)
    told, paper = to_json(cam_told(cam(name, system), ANGLES), fmt), printed(name, page, system)
    for one in told["valves"].values():
        if one["radial"] is None:
            del one["wanted_radial"]  # asked of a pocket made, and there is none
        if one["pocket"]:
            middle = one["pocket"].pop("depth")["text"].partition(" ± ")[0]  # its ± is that of the depth at the rim
            assert squeezed(f"middle of its floor {middle}") in paper.body.replace("Middle", "middle")
    texts = _texts({key: told[key] for key in ("card", "phasing", "valves")})
    assert len(texts) > 10
    assert not [text for text in texts if squeezed(text) not in paper.body]
    for finding in told["findings"]:
        assert squeezed(finding["wrong"]) in paper.body
    for room in cam(name, system).rooms.values():
        place = room.worst_place
        assert place is not None
        for row in table_of(place, ANGLES):
            assert squeezed("".join(table_cells(row, place, fmt))) in paper.body
    check_boxes(paper)


@pytest.mark.parametrize("width", [60, 80])
@pytest.mark.parametrize("name", JOBS)
def test_the_answer_fits_a_window(name: str, width: int) -> None:
    report = cam_report(cam(name), ANGLES, METRIC)
    lines = report_lines(report, width=width)
    assert len(lines) < (24 if width == 80 else 34)
    assert max(map(len, (*lines, *report_lines(report, everything=True, width=width)))) < width


def test_each_figure_says_where_it_is_from_and_the_lift_it_holds_for() -> None:
    body, card = printed("example").body, cam("example").card
    assert squeezed(f"every figure {card.lift_basis}") in body
    for value in card.values.values():
        assert squeezed(value.how if value.origin == "computed" else value.origin) in body


def test_the_gap_is_judged_at_the_unsafe_end() -> None:
    """The end is the value less its ±, of each cylinder."""
    rows = re.findall(
        r"\b\d (\d+\.\d\d) ± (\d+\.\d\d) mm (\d+\.\d\d) mm",
        " ".join(" ".join(printed("example").texts).split()),
    )
    assert rows
    for middle, spread, end in rows:
        assert float(end) == pytest.approx(float(middle) - float(spread), abs=0.011)
    assert "Askedatleast1.80mm:held." in printed("example").body


def test_what_is_not_held_assumed_or_touching_is_said() -> None:
    assert "NOTHELD" in printed("short").body
    assert "pocketneededforthegapasked" in printed("short").body.lower()
    assert squeezed(ASSUMED_CURVE) in printed("assumed").body
    assert "CANNOTBETOLD" in printed("assumed").body
    assert squeezed("lift, ASSUMED") in printed("assumed").body
    assert "maytouch" in printed("touching").body


def test_a_contradiction_is_wrong_on_the_screen_and_on_paper_alike() -> None:
    stated = CAM.replace("lift_read_at", 'intake_duration = "260 +/- 1 deg, measured"\nlift_read_at')
    report = cam_report(cam_of(surveyed(ENGINE + stated), "metric"), ANGLES, METRIC)
    assert report_lines(report)[0].startswith("WRONG ")
    assert [block for block in report.answer if getattr(block, "mark", "") == "WRONG"]


@pytest.mark.parametrize("name", JOBS)
def test_cautions_stand_with_the_gaps_and_at_the_end(name: str) -> None:
    body = printed(name).body
    rooms = [room for room in cam(name).rooms.values() if room.worst is not None]
    (beside,) = cautions(BESIDE)
    assert body.count(squeezed(beside)) == len(rooms) + 2
    place = body.rindex("Cautions")
    for text in cam(name).cautions:
        assert squeezed(text) in body[place:]


def test_the_command_writes_them_and_the_json_stays(shop: Shop) -> None:
    shop.write(BOTH)
    assert shop.run("cam", "job.toml", "--json") == 0
    data = json.loads(shop.out)
    assert shop.run("cam", "job.toml", "--json", "--out", "cam.pdf", "--page", "Letter", "--units", "metric") == 0
    assert json.loads(shop.out) == data
    reader = pypdf.PdfReader("cam.pdf")
    assert f"Wrote cam.pdf, {len(reader.pages)} pages Letter." in shop.err
    assert shop.run("cam", "job.toml", "--out", "job.toml") == 2
    assert "would replace the job file" in shop.err


def test_a_card_alone_is_one_page_and_no_valve_is_asked() -> None:
    found = cam_of(surveyed(ENGINE + CAM), "metric")
    paper = made(lambda: report_bytes(cam_report(found, ANGLES, METRIC), found.survey, fmt=METRIC))
    assert len(paper.texts) == 1
    assert "againstthepistons" not in paper.body
