"""Cam pages: the numbers and sentences of the screen, the drawing, cautions, and that nothing lies over anything else.

What the numbers themselves are worth is checked in the rooms that make them.
"""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest

from ccassist.analysis.results import survey
from ccassist.bench.cautions import cautions
from ccassist.job.file import load
from ccassist.paper.cam_pages import BESIDE, cam_bytes
from ccassist.plan.valves import words
from ccassist.plan.valves.cam import AROUND, EVERY, Cam, angles_about, cam_of, table_of
from ccassist.values.display import METRIC, formatter
from ccassist.values.findings import InputError
from tests.cam_job import CAM, ENGINE, EXHAUST, INTAKE, PHASING, surveyed, valve
from tests.paper.read_back import Printed, check_boxes, check_file, made, squeezed
from tests.sound_job import Shop

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
ANGLES = angles_about(AROUND, EVERY)


@cache
def cam(name: str, system: str = "metric") -> Cam:
    """The cam of a job; of the example where it has no text."""
    return cam_of(surveyed(JOBS[name]) if JOBS[name] else survey(load(EXAMPLE).job), system)


@cache
def printed(name: str, page: str = "A4", system: str = "metric") -> Printed:
    """Its pages."""
    return made(lambda: cam_bytes(cam(name, system), page=page, system=system, angles=ANGLES))


def _texts(found: Any) -> list[str]:
    """Every value in it as text."""
    if isinstance(found, list):
        return [text for one in found for text in _texts(one)]
    if not isinstance(found, dict):
        return []
    own = [found["text"]] if "text" in found and "value" in found else []
    return [*own, *(text for one in found.values() for text in _texts(one))]


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("name", JOBS)
def test_every_number_of_the_json_stands_on_the_page(name: str, system: str) -> None:
    told, body = cam(name, system).to_dict(system, ANGLES), printed(name, system=system).body
    for one in told["valves"].values():
        if one["radial"] is None:
            del one["wanted_radial"]  # asked of a pocket made, and there is none
        if one["pocket"]:
            middle = one["pocket"].pop("middle")["text"].partition(" ± ")[0]  # its ± is that of the depth at the rim
            assert squeezed(f"middle of its floor {middle}") in body.replace("Middle", "middle")
    texts = _texts({key: told[key] for key in ("card", "phasing", "valves")})
    assert len(texts) > 10
    assert not [text for text in texts if squeezed(text) not in body]
    for finding in told["findings"]:
        assert squeezed(finding["wrong"]) in body


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("name", JOBS)
def test_the_tables_are_those_of_the_screen(name: str, system: str) -> None:
    body = printed(name, system=system).body
    for room in cam(name, system).rooms.values():
        place = room.worst_place
        assert place is not None
        rows = [words.table_cells(row, place, formatter(system)) for row in table_of(place, ANGLES)]
        assert squeezed("".join("".join(row) for row in rows)) in body


def test_the_sentences_of_the_screen_stand_on_the_page(shop: Shop) -> None:
    """But for the card, the table and the list of cylinders, which are tables on paper."""
    shop.write(SHORT)
    assert shop.run("cam", "job.toml", "--out", "cam.pdf") == 1
    body = squeezed("".join(page.extract_text() for page in pypdf.PdfReader("cam.pdf").pages)).lower()
    said = " ".join(shop.out.split())
    start, end = said.index("least gap"), said.index("Intake valve of")
    told = re.split(r"(?<=[a-z])\. |(?=Asked)|(?=by cylinder)|(?=pocket needed)|(?=middle of its)", said[start:end])
    kept = [text for text in told if text.strip() and not text.startswith("by cylinder")]
    assert [text.split()[0] for text in kept][:3] == ["least", "Asked", "pocket"]
    for text in kept:
        assert squeezed(text).rstrip(".").lower() in body, text


def test_each_figure_says_where_it_is_from_and_the_lift_it_holds_for() -> None:
    body, card = printed("example").body, cam("example").card
    assert squeezed(f"every figure {card.lift_basis}") in body
    for key, value in card.values.items():
        origin = value.how if value.origin == "computed" else value.origin
        assert squeezed(f"{words.names([key])}{METRIC.value(value)}{origin}") in body
    assert {"measured", "maker's figure", "computed"} <= {value.origin for value in card.values.values()}


def test_the_gap_is_judged_at_the_unsafe_end() -> None:
    """The end is the value less its ±, of each cylinder."""
    rows = re.findall(
        r"\b\d (\d+\.\d\d) ± (\d+\.\d\d) mm gap (\d+\.\d\d) mm gap",
        " ".join(" ".join(printed("example").texts).split()),
    )
    assert len(rows) == 8
    for middle, spread, end in rows:
        assert float(end) == pytest.approx(float(middle) - float(spread), abs=0.011)
    assert "Askedatleast1.80mm:held." in printed("example").body


def test_what_is_not_held_assumed_or_touching_is_said() -> None:
    assert "NOTHELD" in printed("short").body
    assert "pocketneededforthegapasked" in printed("short").body.lower()
    assert squeezed(words.ASSUMED) in printed("assumed").body
    assert "CANNOTBETOLD" in printed("assumed").body
    assert squeezed("lift, ASSUMED") in printed("assumed").body
    assert "maytouch" in printed("touching").body


@pytest.mark.parametrize("name", JOBS)
def test_cautions_stand_with_the_gaps_and_at_the_end(name: str) -> None:
    body = printed(name).body
    rooms = [room for room in cam(name).rooms.values() if room.worst is not None]
    (beside,) = cautions(BESIDE)
    assert body.count(squeezed(beside)) == len(rooms) + 1
    place = body.rindex("Cautions")
    for text in cam(name).cautions:
        assert squeezed(text) in body[place:]


@pytest.mark.parametrize(("page", "system"), WAYS)
@pytest.mark.parametrize("name", JOBS)
def test_nothing_is_clipped_crossed_or_overlapped(name: str, page: str, system: str) -> None:
    check_boxes(printed(name, page, system))


@pytest.mark.parametrize(("page", "system"), WAYS)
def test_it_is_read_from_the_card_to_the_cautions(page: str, system: str) -> None:
    paper = printed("example", page, system)
    check_file(paper, "Oddmere four, 1.0 bar planned: cam card and valves")
    assert paper.titles == [
        "Cam card, as installed",
        "Intake valve against the pistons",
        "Exhaust valve against the pistons",
        "Cautions",
    ]
    pieces = ["Overlap over the whole phasing", "Intake valve against", "Asked at least", "Exhaust valve against"]
    places = [paper.body.index(squeezed(piece)) for piece in pieces]
    assert places == sorted(places)


# -- the command ----------------------------------------------------------------------------------------


def test_the_command_writes_them_and_the_json_stays(shop: Shop) -> None:
    shop.write(BOTH)
    assert shop.run("cam", "job.toml", "--json") == 0
    data = json.loads(shop.out)
    assert shop.run("cam", "job.toml", "--json", "--out", "cam.pdf", "--page", "Letter", "--units", "metric") == 0
    assert json.loads(shop.out) == data
    reader = pypdf.PdfReader("cam.pdf")
    assert f"Wrote cam.pdf, {len(reader.pages)} pages Letter." in shop.err
    assert float(reader.pages[0].mediabox.width) == pytest.approx(612)
    assert shop.run("cam", "job.toml", "--out", "job.toml") == 2
    assert "would replace the job file" in shop.err
    assert shop.run("cam", "job.toml", "--page", "A4") == 2
    assert "--page would do nothing without --out" in shop.err


def test_a_card_alone_is_one_page_and_no_valve_is_asked() -> None:
    found = cam_of(surveyed(ENGINE + CAM), "metric")
    paper = made(lambda: cam_bytes(found, system="metric", angles=ANGLES))
    assert len(paper.texts) == 1
    assert "againstthepistons" not in paper.body
    check_boxes(paper)


def test_the_same_cam_gives_the_same_bytes() -> None:
    assert cam_bytes(cam("both"), system="metric", angles=ANGLES)[0] == printed("both").data


def test_an_unknown_page_size_is_refused() -> None:
    with pytest.raises(InputError, match="no such page size"):
        cam_bytes(cam("both"), page="A9", system="metric")
