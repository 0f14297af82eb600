"""What is not settled of an order stands in the bar of its first page, on the screen and in the JSON, with the way out.

An invented twin, "Sandpiper"; no dimension is a real engine's.
"""

from __future__ import annotations

import json
import re
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from typer.testing import CliRunner

from ccassist.analysis.results import survey
from ccassist.cli.app import app
from ccassist.job.file import parse_job
from ccassist.paper.documents import order_bytes
from ccassist.report.findings import on_paper
from ccassist.report.order import Order, order_of
from tests.paper.read_back import squeezed

ENGINE = """\
format = 1
[job]
name = "Sandpiper"
[engine]
cylinders = 2
bore = "77.3 +/- 0.01 mm, measured"
stroke = "69.7 +/- 0.02 mm, measured"
rod_length = "127.9 +/- 0.02 mm, measured"
block_deck_height = "195.6 +/- 0.02 mm, measured"
chamber_volume = "34.1 +/- 0.1 cc, measured"
gasket_thickness = "1.13 +/- 0.02 mm, measured"
gasket_area = "48.2 +/- 0.2 cm2, measured"
[wanted]
static_ratio = "9.0 to 9.6"
deck_clearance = "0.05 to 0.35 mm below deck"
[order]
"""
ASSUMED = """\
pin_diameter = "19.3 mm, assumed"
pin_length = "53.1 mm, assumed"
land_height = "6.7 mm, assumed"
crown_thickness = "6.2 mm, assumed"
[order.crown]
shape = "flat dish"
dish_diameter = "51.7 mm, assumed"
dish_corner = "1.7 mm, assumed"
"""
OTHER = """\
rings = "three, plain"
[order.to_decide]
fuel = "Rosa"
use = "Rosa"
"""
ORDERS = {"nothing said": "", "much assumed": ASSUMED, "left to somebody": OTHER}


def order_from(text: str, system: str = "metric") -> Order:
    """From the text of a job to its order."""
    return order_of(survey(parse_job(ENGINE + text, "order.toml").job), system)


def in_the_bar(data: bytes) -> str:
    """The words in white on black on the first page, in the order of reading."""
    with pdfplumber.open(BytesIO(data)) as document:
        return squeezed(document.pages[0].filter(_white).extract_text() or "")


def _white(thing: dict[str, object]) -> bool:
    return thing["object_type"] == "char" and thing["non_stroking_color"] in (1, (1,), (1, 1, 1), [1])


class TestInTheBar:
    @pytest.mark.parametrize(("page", "system"), [("A4", "metric"), ("Letter", "imperial")])
    @pytest.mark.parametrize("said", ORDERS)
    def test_every_open_point_stands_there_whole(self, said: str, page: str, system: str) -> None:
        order = order_from(ORDERS[said], system)
        assert order.points
        bar = in_the_bar(order_bytes(order, page=page)[0])
        for point in order.open:
            assert squeezed(on_paper(point)) in bar


class TestEveryPointHasItsWayOut:
    @pytest.mark.parametrize("said", ORDERS)
    def test_each_says_what_to_do(self, said: str) -> None:
        for point in order_from(ORDERS[said]).points:
            assert re.search(r": (say|measure|have|take|want|give|put|state) ", point), point

    def test_what_is_assumed_stands_together(self) -> None:
        (point,) = [one for one in order_from(ASSUMED).points if one.startswith("assumed")]
        for name in ("pin diameter", "dish diameter", "dish corner radius", "least crown thickness"):
            assert name in point
        assert "measure them, or state whose figures they are" in point

    def test_what_somebody_is_to_decide_stands_together(self) -> None:
        (point,) = [one for one in order_from(OTHER).points if "decided by Rosa" in one]
        assert "use and cooling" in point
        assert "fuel" in point

    def test_the_way_out_of_what_is_missing_settles_it(self) -> None:
        """Whatever is marked as such may be left to the maker, and is open no more."""
        before = [row for row in order_from("").rows if row.unsettled == "missing"]
        left = [row for row in before if row.entry.maker]
        text = "[order.to_decide]\n" + "\n".join(f'{row.entry.key} = "the maker"' for row in left)
        after = [row for row in order_from(text).rows if row.open]
        assert left
        assert {row.entry.key for row in after} == {row.entry.key for row in before if row not in left}


@pytest.mark.parametrize("said", ORDERS)
def test_screen_and_json_say_the_same(said: str, tmp_path: Path) -> None:
    job = tmp_path / "order.toml"
    job.write_text(ENGINE + ORDERS[said], encoding="utf-8")
    shown, data = (CliRunner().invoke(app, ["order", str(job), *more]).output for more in ([], ["--json"]))
    told = json.loads(data)["open"]
    assert told == list(order_from(ORDERS[said]).open)
    assert f"And {len(told) - 1} more" in shown
    assert squeezed(told[0])[:150] in squeezed(shown)
